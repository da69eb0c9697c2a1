"""What a pack would have to say: ingredients in descending weight, allergens, animal origin.

Variants used as ingredients are opened.  An ingredient whose allergens are not stated is a risk and is named as one.
"""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from workbench.base.errors import CalculationError
from workbench.base.text import _
from workbench.composition.food import ALLERGENS, WATCHED, Food, Origin
from workbench.document.project import Project
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare

_ANIMAL: tuple[Origin, ...] = ("dairy", "egg", "bee", "animal")


class Ingredient(NamedTuple):
    """One food of the recipe, all its lines together."""

    food: Food
    mass_g: float  # edible part at mixing
    share: float  # of the raw batch weight

    @property
    def as_bought_g(self) -> float:
        """What has to be bought to have this much edible part. [g]"""
        return self.mass_g / self.food.edible_fraction


class Declaration(NamedTuple):
    """Ingredients of a variant and what they bring along.

    ``contains`` and ``may_contain`` map allergen keys, in the order of the law, to the names of the ingredients that
    bring them.  ``not_stated`` names ingredients whose allergens nobody entered.
    """

    ingredients: tuple[Ingredient, ...]
    contains: dict[str, tuple[str, ...]]
    may_contain: dict[str, tuple[str, ...]]
    not_stated: tuple[str, ...]
    animal: dict[Origin, tuple[str, ...]]
    origin_not_stated: tuple[str, ...]

    @property
    def plant_based(self) -> bool:
        """Whether no animal ingredient was entered and every origin is stated."""
        return not self.animal and not self.origin_not_stated


def declare(project: Project, evaluation: Evaluation) -> Declaration:
    """Ingredients, allergens and origins of an evaluated variant; lines of 0 g do not count.

    Raises
    ------
    CalculationError
        If an ingredient is missing or variants form a ring: a list with gaps would hide allergens.
    """
    if evaluation.prepared.broken:
        raise CalculationError(
            _("The ingredients of “{name}” cannot be listed.", name=evaluation.variant.name),
            hint=_("Mend its problems first."),
            problems=evaluation.problems,
        )
    grams: dict[str, float] = {}
    _collect(project, evaluation, 1.0, grams, FoodRows())
    total = sum(grams.values())
    ingredients = tuple(
        Ingredient(project.foods[food_id], mass, mass / total)
        for food_id, mass in sorted(grams.items(), key=lambda item: (-item[1], item[0]))
    )
    foods = [ingredient.food for ingredient in ingredients]

    def by_allergen(listed: Callable[[Food], tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
        bringing = {key: _names(f for f in foods if key in listed(f)) for key in (*ALLERGENS, *WATCHED)}
        return {key: names for key, names in bringing.items() if names}

    return Declaration(
        ingredients,
        by_allergen(lambda food: food.contains or ()),
        by_allergen(lambda food: food.may_contain),
        _names(f for f in foods if f.contains is None),
        {origin: names for origin in _ANIMAL if (names := _names(f for f in foods if f.origin == origin))},
        _names(f for f in foods if f.origin == "unknown"),
    )


def _names(foods: Iterable[Food]) -> tuple[str, ...]:
    return tuple(food.name for food in foods)


def _collect(project: Project, evaluation: Evaluation, scale: float, grams: dict[str, float], rows: FoodRows) -> None:
    """Add up grams per food; a variant used as an ingredient gives its raw ingredients in proportion."""
    for line, mass in zip(evaluation.prepared.variant.lines, evaluation.edible_g, strict=True):
        if mass <= 0:
            continue
        if line.food_ref.kind == "variant":
            used = evaluate(prepare(project, project.variant(line.food_ref.id), rows))
            _collect(project, used, scale * float(mass) / used.finished_g, grams, rows)
        else:
            grams[line.food_ref.id] = grams.get(line.food_ref.id, 0.0) + float(mass) * scale
