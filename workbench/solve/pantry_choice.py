"""Recipes of one pantry that are really different, and names that tell them apart."""

from collections.abc import Mapping, Sequence

from workbench.base.text import _
from workbench.composition.food import Food
from workbench.composition.textures import texture_of
from workbench.solve.pantry_model import Answer, Kitchen

MOVED = 0.15
"""Of the weight that goes in, without what every kitchen has: so much at least is of another texture."""

ATTEMPTS = 5
"""Programmes to solve, of which some give what is there already."""

_NAMED = 3  # ingredients in the name of a recipe


def _sort(food: Food) -> str:
    """What is the same to a cook as the main ingredient, such as two sorts of white rice."""
    texture = texture_of(food)
    return f"{food.name.split(',')[0].casefold()} {texture.key if texture is not None else ''}"


def _kind(food: Food) -> str:
    """What is nearly the same beside the main ingredient, such as honey and maple syrup."""
    texture = texture_of(food)
    return texture.key if texture is not None else _sort(food)


def ranked(at_hand: Kitchen, answer: Answer) -> list[Food]:
    """Ingredients by weight, without what every kitchen has."""
    pairs = sorted(zip(answer.grams, at_hand.foods, strict=True), key=lambda pair: (-pair[0], pair[1].id))
    return [food for grams, food in pairs if grams > 1e-6 and food.id not in at_hand.form.always]


def held_back(at_hand: Kitchen, answers: Sequence[Answer], k: int) -> Mapping[str, float] | None:
    """What the next recipe must do without or with half of, so that it is another one.

    The first attempt is free; then goes the sort of the first ingredient of the best recipe, the kind of the second, of
    the third, and at last half of the first.

    Returns
    -------
    mapping of str to float or None
        The most grams in a piece, by id; None where there is nothing to hold back.
    """
    if k == 0:
        return {}
    foods = ranked(at_hand, answers[0]) if answers else []
    if k == ATTEMPTS - 1 and foods:
        return {foods[0].id: answers[0].grams[at_hand.foods.index(foods[0])] / 2.0}
    if len(foods) < k:
        return None
    alike = _sort if k == 1 else _kind
    return {food.id: 0.0 for food in at_hand.foods if alike(food) == alike(foods[k - 1])}


def really_other(at_hand: Kitchen, one: Answer, other: Answer) -> bool:
    """Whether a cook would call them two recipes.

    Either the main ingredient of one is not in the other, or at least ``MOVED`` is of another texture.
    """
    sorts = [{_sort(food) for food in ranked(at_hand, answer)} for answer in (one, other)]
    mains = [_sort(ranked(at_hand, answer)[0]) for answer in (one, other)]
    if mains[0] not in sorts[1] or mains[1] not in sorts[0]:
        return True
    first, second = (_shares(at_hand, answer) for answer in (one, other))
    moved = sum(abs(first.get(kind, 0.0) - second.get(kind, 0.0)) for kind in first.keys() | second.keys()) / 2.0
    return moved >= MOVED


def _shares(at_hand: Kitchen, answer: Answer) -> dict[str, float]:
    """Shares of the kinds in what goes in."""
    found: dict[str, float] = {}
    for food, grams in zip(at_hand.foods, answer.grams, strict=True):
        if food.id not in at_hand.form.always:
            found[_kind(food)] = found.get(_kind(food), 0.0) + float(grams)
    whole = sum(found.values())
    return {kind: grams / whole for kind, grams in found.items()}


def recipe_names(at_hand: Kitchen, answers: Sequence[Answer]) -> list[str]:
    """A name for each: the form, its main ingredient, and what the recipes before it do not have."""
    title = _(at_hand.form.title)
    seen: set[str] = set()
    names: list[str] = []
    for answer in answers:
        main, *others = ranked(at_hand, answer)
        others.sort(key=lambda food: food.id in seen)  # keeps their order by weight
        told = [main, *others][:_NAMED]
        seen |= {food.id for food in (main, *others)}
        names.append(_("{form}: {foods}", form=title, foods=", ".join(_short(food, at_hand.foods) for food in told)))
    return names


def _short(food: Food, others: Sequence[Food]) -> str:
    """As much of a name as tells it from those of the others."""
    parts = food.name.split(", ")
    for k in range(1, len(parts)):
        short = ", ".join(parts[:k])
        if not any(other.id != food.id and other.name.startswith(f"{short},") for other in others):
            return short
    return food.name
