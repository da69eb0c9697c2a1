"""The list of ingredients: descending weight at mixing, what is compound opened, added water as food law counts it.

Regulation (EU) No 1169/2011, Article 18 and Annex VII, parts A and E; percentages by Article 22 and Annex VIII (from
memory).  A variant used as an ingredient is a compound ingredient; ``declaration`` has the same foods unopened.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

from workbench.base.text import _
from workbench.composition.food import Food
from workbench.composition.plurals import singulars
from workbench.document.project import Project
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare

LEAST_WATER_PERCENT = 5.0  # of the finished food; Annex VII, part A, 1
SMALL_PERCENT = 2.0  # below it ingredients may follow in any order; Annex VII, part A, 6

_PLAIN_WATER = 99.0  # g water per 100 g


class Listed(NamedTuple):
    """One ingredient as the list has it.

    ``mass_g`` is edible weight at mixing, of added water what is left in the finished food; ``percent`` is that of the
    finished food which it is listed in.  ``inside`` opens a compound ingredient; ``food`` is None for one, and for
    water that was taken up without having been entered.
    """

    id: str
    name: str
    food: Food | None
    mass_g: float
    percent: float
    inside: tuple["Listed", ...] = ()

    @property
    def small(self) -> bool:
        """Whether it may stand in any order after the others."""
        return self.percent < SMALL_PERCENT


def is_water(food: Food) -> bool:
    """Whether an ingredient is plain water."""
    water = food.values.get("WATER")
    return food.origin in ("mineral", "unknown") and water is not None and water.value >= _PLAIN_WATER


def ingredient_list(project: Project, evaluation: Evaluation) -> tuple[Listed, ...]:
    """Ingredients of an evaluated variant in the order in which a pack names them; lines of 0 g are left out.

    Added water is the finished weight less every other ingredient; up to 5 % of it need not be named and is not.

    Parameters
    ----------
    project : Project
        Holds the foods and the variants used as ingredients.
    evaluation : Evaluation
        A valid one: ``declaration.declare`` refuses the others.

    Returns
    -------
    tuple of Listed
        The list.
    """
    return _listed(project, evaluation, FoodRows())


def _listed(project: Project, evaluation: Evaluation, rows: FoodRows) -> tuple[Listed, ...]:
    grams: dict[tuple[bool, str], float] = {}
    for line, mass in zip(evaluation.prepared.variant.lines, evaluation.edible_g, strict=True):
        if mass > 0:
            key = line.food_ref.kind == "variant", line.food_ref.id
            grams[key] = grams.get(key, 0.0) + float(mass)
    water = next((id_ for of_variant, id_ in grams if not of_variant and is_water(project.foods[id_])), None)
    others = sum(mass for (_v, id_), mass in grams.items() if _v or not is_water(project.foods[id_]))
    finished = evaluation.finished_g
    made = [
        _one(project, of_variant, id_, mass, finished, rows)
        for (of_variant, id_), mass in grams.items()
        if of_variant or not is_water(project.foods[id_])
    ]
    left = finished - others
    if 100.0 * left / finished > LEAST_WATER_PERCENT:
        food = project.foods[water] if water is not None else None
        made.append(Listed(water or "", _("water"), food, left, 100.0 * left / finished))
    return tuple(sorted(made, key=lambda part: (-part.mass_g, part.name)))


def _one(project: Project, of_variant: bool, id_: str, mass: float, finished: float, rows: FoodRows) -> Listed:
    percent = 100.0 * mass / finished
    if not of_variant:
        return Listed(id_, project.foods[id_].name, project.foods[id_], mass, percent)
    used = evaluate(prepare(project, project.variant(id_), rows))
    return Listed(id_, used.variant.name, None, mass, percent, _listed(project, used, rows))


def characterising(parts: tuple[Listed, ...], *names: str) -> frozenset[str]:
    """Ids of the ingredients that are named in the title or the name of the food, whose percentage it must print."""
    named = {form for name in names for word in _words(name) for form in singulars(word)}
    return frozenset(
        part.id for part in _walk(parts) if any(singulars(word) & named for word in _words(part.name.split(",")[0]))
    )


def _words(text: str) -> list[str]:
    return [word for word in re.findall(r"[^\W\d_]+", text) if len(word) > 2 and word.casefold() not in _NO_FOOD]


# Words of names that say nothing of what is inside.
_NO_FOOD = frozenset(
    {
        "and",
        "with",
        "the",
        "for",
        "from",
        "raw",
        "dried",
        "fresh",
        "whole",
        "long",
        "short",
        "race",
        "ride",
        "bar",
        "bars",
    }
)


def _walk(parts: tuple[Listed, ...]) -> Iterator[Listed]:
    for part in parts:
        yield part
        yield from _walk(part.inside)
