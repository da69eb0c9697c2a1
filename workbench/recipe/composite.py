"""A composite ingredient from a variant: a jam, a nut butter, a cooked base, used like any other food.

What is exactly known becomes a value of kind "calculated"; "less than" stays "less than", and everything else
stays unknown.  Nothing is said of the composite that could be said only of some of its ingredients.
"""

import math

from msgspec.structs import replace

from workbench.base.errors import CalculationError
from workbench.base.text import _
from workbench.composition.bundled import row_hash
from workbench.composition.components import COMPONENTS
from workbench.composition.derive import fill_gaps
from workbench.composition.food import Food, Origin, Pack, Value
from workbench.composition.gut import gut_flags
from workbench.document.project import Project, Variant
from workbench.recipe.cost import project_currency
from workbench.recipe.declaration import Declaration, declare
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.ingredient_list import ingredient_list
from workbench.recipe.list_words import in_words
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import INDEX

_COMPONENTS = tuple(tag for tag in COMPONENTS if tag in INDEX)  # energy is always computed


def composite_food(project: Project, variant: Variant, food_id: str, *, name: str = "", date: str = "") -> Food:
    """The finished food of a variant as an ingredient, per 100 g.

    Parameters
    ----------
    project : Project
    variant : Variant
        One of its variants.
    food_id : str
        Id of the ingredient; the same again for a recipe that was computed before.
    name : str
        Its name; that of the variant where empty.
    date : str
        ISO 8601 day of the price, which is that of the ingredients.

    Raises
    ------
    CalculationError
        If the variant has no valid result.
    """
    evaluation = evaluate(prepare(project, variant))
    if not evaluation.valid:
        raise CalculationError(
            _("“{name}” cannot become an ingredient.", name=variant.name),
            hint=_("Mend its problems first."),
            problems=evaluation.problems,
        )
    declared = declare(project, evaluation)
    foods = [ingredient.food for ingredient in declared.ingredients]
    values, limits = _composition(evaluation, foods, _("recipe of “{name}”", name=variant.name))
    contains = None if declared.not_stated else tuple(declared.contains)
    # Allergens that are known for certain, beside ingredients that say nothing, must not look like the whole list.
    may_contain = tuple(declared.may_contain) if contains is not None else (*declared.contains, *declared.may_contain)
    digestibilities = {food.digestibility for food in foods}
    return Food(
        id=food_id,
        name=name or variant.name,
        values=values,
        limits=limits,
        digestibility=digestibilities.pop() if len(digestibilities) == 1 else "",
        origin=_origin(declared, values),
        contains=contains,
        made_of="".join(run.text for run in in_words(ingredient_list(project, evaluation), frozenset(), "eu")),
        may_contain=tuple(dict.fromkeys(key for key in may_contain if key not in (contains or ()))),
        gut=gut_flags(values, tuple(declared.contains), tuple({flag for food in foods for flag in food.gut})),
        doping="; ".join(dict.fromkeys(food.doping for food in foods if food.doping)),
        packs=_packs(evaluation, project_currency(project), date),
    )


def recipe_alone(project: Project, variant: Variant) -> Project:
    """A project of this variant and the variants in it, with only the foods they use: what the library keeps of it."""
    variants: dict[str, Variant] = {}
    ahead = [variant.id]
    while ahead:
        variant_id = ahead.pop()
        if variant_id not in variants:
            variants[variant_id] = project.variant(variant_id)
            ahead += [line.food_ref.id for line in variants[variant_id].lines if line.food_ref.kind == "variant"]
    used = {x.food_ref.id for v in variants.values() for x in v.lines if x.food_ref.kind != "variant"}
    return replace(
        project,
        title=variant.name,
        foods={food_id: food for food_id, food in project.foods.items() if food_id in used},
        variants=tuple(v for v in project.variants if v.id in variants),
        target_sets=(),
        plans=(),
        trials=(),
        notes="",
    )


def made_of(recipe: Project) -> dict[str, str]:
    """Ids of the foods in a recipe, with the row hash that each was computed with."""
    return {food_id: row_hash(food) for food_id, food in recipe.foods.items()}


def _composition(evaluation: Evaluation, foods: list[Food], source: str) -> tuple[dict[str, Value], dict[str, float]]:
    values: dict[str, Value] = {}
    limits: dict[str, float] = {}
    for tag in _COMPONENTS:
        amount = evaluation.bound(tag, "per_100g")
        if amount.certainty == "exact":
            values[tag] = Value(amount.value, "calculated", source)
        elif math.isfinite(amount.high) and all(tag in food.limits or tag in fill_gaps(food).values for food in foods):
            limits[tag] = amount.high
    return values, limits


def _origin(declared: Declaration, values: dict[str, Value]) -> Origin:
    """The one origin of all ingredients; "animal" for a mixture with any of it, where that says nothing untrue.

    What origin alone makes zero (no fibre in milk) holds for single foods.  A mixture counts as one that has known
    starch or fibre; without them it is left open, which counts as a risk.
    """
    if declared.origin_not_stated:
        return "unknown"
    origins = {ingredient.food.origin for ingredient in declared.ingredients}
    if len(origins) > 1:
        origins.discard("mineral")  # water and salt
    if len(origins) == 1:
        return origins.pop()
    is_mixed = any(tag in values and values[tag].value > 0 for tag in ("FIBTG", "STARCH"))
    return "animal" if is_mixed else "unknown"


def _packs(evaluation: Evaluation, currency: str, date: str) -> tuple[Pack, ...]:
    cost = evaluation.bound("cost", "batch")
    if not currency or cost.certainty != "exact":
        return ()
    return (Pack(evaluation.finished_g, cost.value, currency, date),)
