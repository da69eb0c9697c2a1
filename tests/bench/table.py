"""Bench of the bundled composition table: reading it with every check of its cells."""

import csv

from tests.bench.measure import Result, interleaved_ms
from workbench.base import paths
from workbench.composition.bundled import bundled_foods, read_foods

FILES = ("ingredients", "provenance", "facts", "measures", "sources", "digestibility", "fat_profiles")
GOAL_MS = 30.0


def loading() -> Result:
    """Reading the table against the csv module's own reading of the same files into one dict a line."""
    folder = paths.ingredient_db()

    def plain() -> list[dict[str | None, str | None]]:
        lines = []
        for name in FILES:
            with (folder / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
                lines += list(csv.DictReader(handle, strict=True))
        return lines

    ours, theirs = interleaved_ms(lambda: read_foods(folder, "bench"), plain, 20)
    note = f"{len(bundled_foods())} ingredients (goal {GOAL_MS:.0f} ms); the hash of a row is made when it is asked for"
    return Result("table read and checked", ours, "csv module, dicts, unchecked", theirs, 4.0, note)
