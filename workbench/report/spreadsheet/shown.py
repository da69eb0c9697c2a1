"""Which quantities the workbook shows, in which order, and which others it has to work out for them."""

from collections.abc import Iterable

from workbench.base.text import N_, _
from workbench.document.project import Basis
from workbench.recipe.quantities import QUANTITIES

TABLE: tuple[tuple[str, str], ...] = (
    ("energy_kj", "strong"),
    ("energy_kcal", "strong"),
    ("FAT", "strong"),
    ("FASAT", "part"),
    ("mct_c6_c10", "part_of_part"),
    ("F12D0", "part_of_part"),
    ("other_saturated", "part_of_part"),
    ("unsaturated", "part"),
    ("CHOAVLDF", "strong"),
    ("SUGAR", "part"),
    ("STARCH", "part"),
    ("glucose_type", "part"),
    ("fructose_type", "part"),
    ("galactose", "part"),
    ("other_carbohydrate", "part"),
    ("fructose_to_glucose", "part"),
    ("CHOCDF", "name"),
    ("FIBTG", "strong"),
    ("FIBSOL", "part"),
    ("FIBINS", "part"),
    ("PROCNT", "strong"),
    ("salt", "strong"),
    ("NA", "part"),
    ("WATER", "name"),
    ("residue_organic", "name"),
    ("residue_fibre_based", "name"),
)
"""Quantities of the table, with the style that says what is part of what."""

COLUMNS: tuple[Basis, ...] = ("per_100g", "portion", "per_25g_carbohydrate", "per_hour")
HEADLINE = ("CHOAVLDF", "FAT", "FIBTG", "energy_kcal")
BARS = (
    "CHOAVLDF",
    "glucose_type",
    "fructose_type",
    "SUGAR",
    "FAT",
    "mct_c6_c10",
    "FIBTG",
    "PROCNT",
    "residue_organic",
)
WEIGHT = "weight"

_OWN_INDEX = ("residue_organic", "residue_fibre_based")


def quantity_title(key: str) -> str:
    """Title of a quantity; an estimate of the program's own is marked."""
    title = _(QUANTITIES[key].title)
    return _(N_("{title} (own index)"), title=title) if key in _OWN_INDEX else title


def needed(more: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Keys to work out: the linear ones, with what ratios are made of, and the ratios; ``more`` beside the table's."""
    wanted = dict.fromkeys((WEIGHT, *(key for key, _style in TABLE), *more))
    ratios = tuple(key for key in wanted if QUANTITIES[key].kind == "ratio")
    parts = (part for key in ratios for part in (QUANTITIES[key].numerator, QUANTITIES[key].denominator))
    linear = dict.fromkeys(key for key in (*wanted, *parts) if QUANTITIES[key].kind == "linear")
    return tuple(linear), ratios
