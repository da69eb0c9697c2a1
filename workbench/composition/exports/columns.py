"""Sheets and columns of an exported table, and how lists and maps of words stand in one cell."""

import re
from collections.abc import Iterable, Mapping

FOODS, VALUES, MEASURES, PACKS = "foods", "values", "measures", "packs"

# The first columns hold for every value of the row, unless the sheet of values says otherwise of one.
ROW = ("id", "name", "group", "source", "code", "kind", "note")
FACTS = (
    "digestibility", "origin", "contains", "may_contain", "gut", "doping", "roles", "density_g_per_ml",
    "density_source", "edible_fraction", "bought_as", "storage", "typical_yield", "yield_source",
    "nitrogen_factor", "fat_profile", "cannot_contain", "also", "names", "made_of", "food_note", "taken_kind",
    "taken_key", "taken_version", "taken_hash",
)  # fmt: skip
COLUMNS: Mapping[str, tuple[str, ...]] = {
    VALUES: ("food", "tag", "value", "source", "code", "kind", "rule", "n", "sd", "note"),
    MEASURES: ("food", "measure", "grams", "source", "code"),
    PACKS: ("food", "size_g", "price", "currency", "date"),
}
LESS_THAN = "less_than"  # in the column kind: the value is a limit
NONE = "none"  # a list that is stated to be empty, where a blank says that nothing is stated

_CUT = re.compile(r"((?:[^;\\]|\\.)*)(?:;|$)", re.DOTALL)


def joined(words: Iterable[str]) -> str:
    """Words in one cell, separated by semicolons."""
    return ";".join(word.replace("\\", "\\\\").replace(";", "\\;") for word in words)


def parted(text: str) -> tuple[str, ...]:
    """The words that ``joined`` was given."""
    if not text:
        return ()
    found = [cut[1] for cut in _CUT.finditer(text)]
    if not text.endswith(";") or text.endswith("\\;"):
        found = found[:-1]  # the empty match at the end
    return tuple(re.sub(r"\\(.)", r"\1", word, flags=re.DOTALL) for word in found)
