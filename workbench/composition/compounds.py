"""Which foods are made of several ingredients, so that a pack that uses them has to name those too.

``compounds.csv`` says it of the bundled foods, with the act of the European Union that lays their composition down
where there is one; what is inside stands on the pack that was bought, never here.
"""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from workbench.base import paths
from workbench.composition.food import Food
from workbench.composition.table_file import rows


@cache
def compounds() -> Mapping[str, str]:
    """The act behind every compound food of the bundled table, empty where none lays its composition down, by food id.

    Raises
    ------
    CompositionError
        If a cell cannot be used; the error names file, line and column.
    """
    found = rows(paths.ingredient_db(), "compounds.csv", ("food", "act", "note"))  # the table itself is not needed
    return MappingProxyType({row.required("food"): row.text("act") for row in found})


def act_of(food: Food) -> str | None:
    """The act that lays a compound food's composition down; empty for one without, None where it may be a single food.

    A food that was entered from a pack counts as compound until its list, or its name alone, is entered.
    """
    taken = food.taken_from
    if taken is not None and taken.kind == "bundled":
        return compounds().get(taken.key)
    return "" if any(value.kind == "label" for value in food.values.values()) else None


def listed_inside(food: Food) -> str:
    """The ingredients as they stand on the pack, on one line; empty where none were entered or it is the food alone."""
    text = " ".join(food.made_of.split()).rstrip(" .;,")
    return "" if text.casefold() == food.name.casefold() else text
