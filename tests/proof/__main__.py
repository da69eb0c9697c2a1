"""``python -m tests.proof --minutes 10 --seed 1``: random sessions until the time is up.

The suite runs a few thousand fixed actions; this looks further, with another seed each time unless one is given.
"""

import argparse
import os
import random
import sys
import time

from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis.stateful import run_state_machine_as_test

STEPS, EXAMPLES = 100, 20


def main() -> int:
    """Run rounds of random sessions and print how far it came."""
    parser = argparse.ArgumentParser(prog="python -m tests.proof", description=__doc__)
    parser.add_argument("--minutes", type=float, default=5.0)
    parser.add_argument("--seed", type=int, default=random.randrange(1_000_000))
    arguments = parser.parse_args()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    from tests.gui.random_session import RandomUser

    _app = QApplication([])
    end, done = time.monotonic() + 60 * arguments.minutes, 0
    print(f"seed {arguments.seed}", flush=True)
    while time.monotonic() < end:
        machine = seed(arguments.seed + done)(type("RandomUser", (RandomUser,), {}))
        wanted = settings(
            max_examples=EXAMPLES,
            phases=(Phase.generate,),  # a failure names its steps; shrinking them is for the debugger
            stateful_step_count=STEPS,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
        )
        run_state_machine_as_test(machine, settings=wanted)
        done += 1
    print(f"{done * EXAMPLES * STEPS} random actions at most, nothing broke")
    return 0


if __name__ == "__main__":
    sys.exit(main())
