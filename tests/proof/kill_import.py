"""``python -m tests.proof.kill_import --rounds 200``: imports killed at random moments, as a power cut would.

A child process imports a newer edition of a table: rows that are new, changed, the same and gone.  It is killed
(kill -9) at a random moment; then the library must open and be exactly as before or as after, with its index whole.
"""

import argparse
import contextlib
import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from workbench.base.progress import Progress
from workbench.composition.food import Food, Value
from workbench.composition.library.records import TableInfo
from workbench.composition.library.store import Library

N_FOODS = 1_500
_CHILD = """
import sys
from pathlib import Path
from tests.proof.kill_import import import_edition
print("ready", flush=True)
sys.stdin.readline()
import_edition(Path(sys.argv[1]), 2)
print("done", flush=True)
"""
State = dict[str, object]


def edition(number: int) -> Iterator[Food]:
    """Foods of an edition of the table; every third row differs between two editions, and the last are new."""
    for k in range(N_FOODS * number // 4, N_FOODS + N_FOODS * number // 4):
        amount = float(k % 50) + (number if k % 3 == 0 else 0)
        values = {tag: Value(amount, source="table", code=str(k)) for tag in ("WATER", "FAT", "PROCNT", "SUGAR")}
        yield Food(id=str(k), name=f"food {k} of mill {k % 97}", values=values)


def import_edition(path: Path, number: int) -> None:
    """Import an edition into the library at ``path``."""
    with Library.open(path) as library:
        library.import_table(TableInfo(key="table", title="table", version=str(number)), edition(number), Progress())


def state(path: Path) -> State:
    """Everything the library at ``path`` says, after seeing that file and index are whole."""
    with Library.open(path) as library:
        assert not library.notices, library.notices
        kept: State = {entry.food.id: entry for entry in library.entries(inactive=True)}
        kept["tables"] = dict(library.tables())
        kept["step"] = getattr(library.next_undo(), "number", 0)
    with contextlib.closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        connection.execute("INSERT INTO words (words, rank) VALUES ('integrity-check', 1)")
        kept["found"] = connection.execute("SELECT count(*) FROM words WHERE words MATCH 'mill'").fetchone()[0]
    return kept


def rounds(folder: Path, n: int, seed: int) -> Counter[str]:
    """Kill ``n`` imports; returns how often the library was as before and as after.

    Raises
    ------
    AssertionError
        If it was neither.
    """
    chance = random.Random(seed)
    before, after = folder / "before.sqlite", folder / "after.sqlite"
    import_edition(before, 1)
    shutil.copyfile(before, after)
    began = time.perf_counter()
    import_edition(after, 2)
    took = time.perf_counter() - began
    known = {"before": state(before), "after": state(after)}
    assert known["before"] != known["after"]
    seen: Counter[str] = Counter()
    for _round in range(n):
        shutil.rmtree(folder / "killed", ignore_errors=True)
        (folder / "killed").mkdir()
        path = folder / "killed" / "library.sqlite"
        shutil.copyfile(before, path)
        _kill(path, chance.uniform(0.0, 2.0 * took))
        found = state(path)
        names = [name for name, wanted in known.items() if found == wanted]
        assert names, f"neither before nor after; the library is kept in {path.parent}"
        seen[names[0]] += 1
        import_edition(path, 2)  # neither journal nor lock of the dead stands in the way
        assert state(path) == known["after"] or names == ["after"]
    return seen


def _kill(path: Path, after_s: float) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", _CHILD, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdin is not None and child.stdout is not None
        assert child.stdout.readline() == "ready\n"
        child.stdin.write("\n")
        child.stdin.flush()
        time.sleep(after_s)
        child.kill()


def main() -> int:
    """Run as many rounds as asked and print what the library was like."""
    parser = argparse.ArgumentParser(prog="python -m tests.proof.kill_import", description=__doc__)
    parser.add_argument("--rounds", type=int, default=200)
    parser.add_argument("--seed", type=int, default=random.randrange(1_000_000))
    arguments = parser.parse_args()
    print(f"seed {arguments.seed}", flush=True)
    seen = rounds(Path(tempfile.mkdtemp()), arguments.rounds, arguments.seed)
    print(f"{arguments.rounds} imports killed: {seen['before']} libraries as before, {seen['after']} as after")
    return 0


if __name__ == "__main__":
    sys.exit(main())
