"""Grams of protein that a table counted for a gram of nitrogen, and what Regulation (EU) No 1169/2011 counts.

A food that was imported carries it; ``nitrogen_factors.csv`` says it of the bundled foods.  Labels follow the law
already: they count 6.25.
"""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from workbench.base import paths
from workbench.composition.food import Food
from workbench.composition.table_file import rows

LABEL_FACTOR = 6.25  # Annex I, 10: protein is total Kjeldahl nitrogen × 6.25
SPECIFIC_FACTORS = (5.18, 6.38)
"""Almonds and milk, the least and the most of D. B. Jones, USDA Circular 183, 1941 (from memory)."""


@cache
def nitrogen_factors() -> Mapping[str, float]:
    """The factor behind the protein of bundled foods, by food id; foods of which no table states it are left out.

    Raises
    ------
    CompositionError
        If a cell cannot be used; the error names file, line and column.
    """
    found: dict[str, float] = {}
    for row in rows(paths.ingredient_db(), "nitrogen_factors.csv", ("food", "factor", "source", "code", "note")):
        factor = row.number("factor", low=5.0, high=7.0)
        if factor is not None:
            found[row.required("food")] = factor
    return MappingProxyType(found)


def nitrogen_factor(food: Food) -> float | None:
    """The factor behind the protein of a food, even of one whose protein is blank; None where it is not known."""
    protein = food.values.get("PROCNT")
    if protein is not None and (protein.kind == "label" or protein.value == 0.0):
        return LABEL_FACTOR
    if food.nitrogen_factor is not None:
        return food.nitrogen_factor
    taken = food.taken_from
    return nitrogen_factors().get(taken.key) if taken is not None and taken.kind == "bundled" else None
