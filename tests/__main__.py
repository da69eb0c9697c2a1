"""``python3 -m tests``: the whole suite, from a bare checkout.

Without arguments every test runs and the modules named in ``[tool.coverage.run]`` must be covered completely; arguments
go to pytest as they are (``python3 -m tests -k residue``), without that condition.
"""

import os
import sys

from workbench.__main__ import python_is_new_enough

WHOLE_SUITE = ["--cov", "--cov-report=term-missing:skip-covered", "--cov-fail-under=100"]


def main(arguments: "list[str]") -> int:
    """Run pytest where everything it needs is installed, and return its exit code."""
    if not python_is_new_enough():
        return 2
    from workbench import bootstrap

    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    try:
        bootstrap.check_window("python3 -m workbench")
        bootstrap.prepare_environment(bootstrap.TEST_LOCKS)
    except bootstrap.CannotStart as problem:
        print(problem, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130
    import pytest

    return int(pytest.main(arguments or WHOLE_SUITE))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
