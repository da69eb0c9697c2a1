"""Provenance: where the values of one food come from, and which gaps were filled by which rule."""

from typing import NamedTuple

from workbench.composition.derive import fill_gaps
from workbench.composition.food import Food, Kind
from workbench.document.project import Assumptions
from workbench.recipe.food_row import rules_in_use


class Cited(NamedTuple):
    """Values of one kind from one place."""

    source: str  # key of a publication, or free text; "" where nobody stated it
    code: str
    kind: Kind
    tags: tuple[str, ...]
    notes: tuple[str, ...]


class Filled(NamedTuple):
    """Gaps that one rule filled; the source is what the rule built on, "" where it needs none."""

    rule: str  # key of ``composition.derive.RULES``
    source: str
    code: str
    tags: tuple[str, ...]


class Provenance(NamedTuple):
    """Everything a food's figures rest on: values that were entered, and gaps that were filled."""

    cited: tuple[Cited, ...]
    filled: tuple[Filled, ...]


def provenance(food: Food, assumptions: Assumptions) -> Provenance:
    """Sources of a food's values, in the order of the values, under the project's switches."""
    groups: dict[tuple[str, str, Kind], list[str]] = {}
    for tag, value in food.values.items():
        groups.setdefault((value.source, value.code, value.kind), []).append(tag)
    cited = tuple(Cited(*key, tuple(tags), _notes(food, tags)) for key, tags in groups.items())
    filled: dict[tuple[str, str, str], list[str]] = {}
    for tag, value in fill_gaps(food, rules_in_use(assumptions)).values.items():
        if tag not in food.values:
            filled.setdefault((value.rule, value.source, value.code), []).append(tag)
    return Provenance(cited, tuple(Filled(*key, tuple(tags)) for key, tags in filled.items()))


def _notes(food: Food, tags: list[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(note for tag in tags if (note := food.values[tag].note)))
