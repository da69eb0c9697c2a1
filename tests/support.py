"""Small builders that tests share: a food from a few figures, a project from (grams, food) pairs, its evaluation."""

from collections.abc import Mapping, Sequence

import msgspec

from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food, Value
from workbench.document.project import (
    Assumptions,
    ByCount,
    FoodRef,
    Line,
    Portioning,
    Project,
    Stage,
    Unchanged,
    Variant,
    WeightChoice,
)
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.preparation import prepare

NO_RULES = Assumptions(true_zeros=False, starch_by_difference=False, medium_chain_from_profile=False)


def make_food(food_id: str, amounts: Mapping[str, float], **facts: object) -> Food:
    """A food of one's own with these amounts per 100 g; what is not named is unknown."""
    values = {tag: Value(amount, "label") for tag, amount in amounts.items()}
    return Food(id=food_id, **{"name": food_id, "values": values, **facts})  # type: ignore[arg-type]


def bundled_by_code(code: str) -> Food:
    """The bundled food that cites this NDB number of USDA SR26."""
    found = [f for f in bundled_foods().values() if {(v.source, v.code) for v in f.values.values()} >= {("sr26", code)}]
    whole = [f for f in found if f.values["WATER"].code == code]
    assert len(whole) == 1, f"{code}: {[f.id for f in whole]}"
    return whole[0]


def make_line(food: Food | Variant, grams: float, line_id: str = "", **facts: object) -> Line:
    """A line of the stage "s1"."""
    kind = "variant" if isinstance(food, Variant) else "own"
    defaults = {"id": line_id or food.id, "stage_id": "s1", "food_ref": FoodRef(kind=kind, id=food.id)}  # type: ignore[arg-type]
    return Line(**{"amount_g": grams, **defaults, **facts})  # type: ignore[arg-type]


def make_variant(
    *lines: Line, weight: WeightChoice | None = None, portioning: Portioning | None = None, **facts: object
) -> Variant:
    """A variant of one stage "s1", unless ``stages`` are given."""
    defaults = {"id": "v", "name": "test", "stages": (Stage(id="s1", name="cook", weight=weight or Unchanged()),)}
    shape = {"lines": lines, "portioning": portioning or ByCount(count=1)}
    return Variant(**{**defaults, **shape, **facts})  # type: ignore[arg-type]


def make_project(foods: Sequence[Food], *variants: Variant, **facts: object) -> Project:
    """A project that holds these foods and variants."""
    shape = {"id": "p", "title": "test", "foods": {food.id: food for food in foods}, "variants": variants}
    return Project(**{**shape, **facts})  # type: ignore[arg-type]


def project_of(
    parts: Sequence[tuple[float, Food]],
    weight: WeightChoice | None = None,
    portioning: Portioning | None = None,
    assumptions: Assumptions | None = None,
) -> Project:
    """A project with one variant of these grams of these foods; a food may come more than once."""
    lines = [make_line(food, grams, f"line{k}") for k, (grams, food) in enumerate(parts)]
    variant = make_variant(*lines, weight=weight, portioning=portioning)
    return make_project([food for _grams, food in parts], variant, assumptions=assumptions or Assumptions())


def evaluated(project: Project, variant_id: str = "") -> Evaluation:
    """The evaluation of a variant; of the first where none is named."""
    variant = project.variant(variant_id) if variant_id else project.variants[0]
    return evaluate(prepare(project, variant))


def evaluation_of(
    parts: Sequence[tuple[float, Food]],
    weight: WeightChoice | None = None,
    portioning: Portioning | None = None,
    assumptions: Assumptions | None = None,
) -> Evaluation:
    """``project_of``, evaluated."""
    return evaluated(project_of(parts, weight, portioning, assumptions))


def without(food: Food, *tags: str) -> Food:
    """The food with these components unknown."""
    values = {tag: value for tag, value in food.values.items() if tag not in tags}
    return msgspec.structs.replace(food, values=values)
