"""Bench of the library: every keystroke of what cooks type, over 400,000 imported foods beside the bundled ones."""

import atexit
import functools
import itertools
import os
import random
import shutil
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from contextlib import closing
from pathlib import Path

import msgspec

from tests.bench.measure import Result
from tests.bench.search import KINDS, QUERIES, SLIPS, keystrokes
from workbench.base.progress import Progress
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.composition.library.records import TableInfo
from workbench.composition.library.store import Library
from workbench.composition.search_all import FoodSearch
from workbench.composition.search_filter import SearchFilter
from workbench.composition.search_ranking import typed_words

N_FOODS = 400_000
N_MAKERS = 20_000
RARELY_KNOWN = SearchFilter(known=("STARCH", "CHOAVLDF"))
_PAGE_BYTES = os.sysconf("SC_PAGE_SIZE") if hasattr(os, "sysconf") else 0


def generated_foods() -> Iterator[Food]:
    """The bundled foods again and again, of another kind and by another maker each time, as branded foods are."""
    chance = random.Random(26)
    bundled = [
        msgspec.structs.replace(food, names={}, also=(), values=dict(itertools.islice(food.values.items(), 3)))
        for food in bundled_foods().values()
    ]
    syllables = [consonant + vowel for consonant in "bdfgklmnprst" for vowel in "aeiou"]
    makers = ["".join(chance.choices(syllables, k=3)) for _ in range(N_MAKERS)]
    for k in range(N_FOODS):
        food = bundled[k % len(bundled)]
        name = f"{food.name}, {KINDS[k * 7 // len(bundled) % len(KINDS)]}, {chance.choice(makers)} mill"
        yield msgspec.structs.replace(food, id=str(k), name=name)


def build(path: Path) -> None:
    """Import all of them into a library, and print how much more memory is taken afterwards. [MB]"""
    foods = generated_foods()
    with Library.open(path.with_name("first.sqlite")) as library:  # loads what every import needs
        library.import_table(TableInfo(key="first", title="first"), itertools.islice(foods, 2_000), Progress())
    before = _resident_mb()
    with Library.open(path) as library:
        library.import_table(TableInfo(key="branded", title="branded foods"), generated_foods(), Progress())
    print(f"{_resident_mb() - before:.0f}")


@functools.cache
def _built() -> tuple[Path, float, str]:
    """The library, made once for all runs by another process; how long that took [s], and what stayed of it [MB]."""
    folder = Path(tempfile.mkdtemp())
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    path = folder / "library.sqlite"
    program = "import sys, pathlib; from tests.bench.library import build; build(pathlib.Path(sys.argv[1]))"
    began = time.perf_counter()
    done = subprocess.run([sys.executable, "-c", program, str(path)], check=True, stdout=subprocess.PIPE, text=True)
    return path, time.perf_counter() - began, done.stdout.strip()


def _resident_mb() -> float:
    try:
        return int(Path("/proc/self/statm").read_text().split()[1]) * _PAGE_BYTES / 1e6
    except OSError:  # only Linux says so
        return float("nan")


def search() -> Result:
    """A keystroke in the library and the bundled table together, against the full-text index with its own ranking."""
    path, built_s, import_mb = _built()
    alone = FoodSearch(bundled_foods().values())
    for text in ("rice flour", SLIPS[0]):
        alone.find(text)  # loads what every search needs
    before = _resident_mb()
    both = FoodSearch(bundled_foods().values(), library=path)
    typed = keystrokes(QUERIES)

    def times_ms(texts: Iterable[str], filters: SearchFilter | None = None) -> list[float]:
        times = []
        for text in texts:
            began = time.perf_counter()
            found = both.find(text, filters=filters)
            times.append((time.perf_counter() - began) * 1000)
            assert both.without_library is None and (found or filters), text
        return sorted(times)

    (first,) = times_ms(typed[:1])
    ours = times_ms(typed * 2)
    slips = times_ms(SLIPS)
    known = times_ms(typed, RARELY_KNOWN)
    added_mb = _resident_mb() - before
    both.close()
    theirs = []
    with closing(sqlite3.connect(path)) as database:
        for text in QUERIES:  # it is slow: whole texts only
            query = " AND ".join(f'"{word}" *' for word in typed_words(text).words)
            began = time.perf_counter()
            database.execute("SELECT rowid FROM words WHERE words MATCH ? ORDER BY rank LIMIT 200", (query,)).fetchall()
            theirs.append((time.perf_counter() - began) * 1000)
    p95, p95_known, baseline = (sorted(times)[int(0.95 * len(times))] for times in (ours, known, theirs))
    note = (
        f"both p95 (goal 50 ms); median {statistics.median(ours):.1f} ms, longest {max(ours):.0f} ms, a slip "
        f"{max(slips):.0f} ms, the first {first:.0f} ms, where components must be known {p95_known:.0f} ms, "
        f"{added_mb:.0f} MB more memory and {import_mb} MB after an import (goal 50), imported in {built_s:.0f} s"
    )
    return Result(f"a key in {N_FOODS} foods", p95, "full-text index, ranked by itself", baseline, 1.0, note)
