"""What is near a line in composition: foods of the same first duty and texture, alone or with a companion.

Composition never decides taste or setting, and a food of another texture comes only where there is no other, and last.
"""

from collections.abc import Mapping, Sequence

import numpy as np

from workbench.base.text import _
from workbench.composition.exchanges import LOSSES
from workbench.composition.food import Food
from workbench.composition.textures import same_texture, texture_of
from workbench.document.avoid import ANIMAL
from workbench.solve.exchange import Basket, Field, role_match
from workbench.solve.option_making import COMPUTED_COUNTS, bearable, kitchen_grams, option_of, role_losses
from workbench.solve.substitution import Option, Part

_LEAST_ROLE = 0.7  # of what is only near in composition
_LEAST_TIMES, _MOST_TIMES = 0.4, 2.5  # of the old weight; beyond, composition says nothing of the texture
_OTHER_TEXTURE_COUNTS = 2.0
_NEW_ALLERGEN_COUNTS = 0.3  # for each that the recipe does not hold yet
_SINGLE = 40  # foods that are looked at alone
_PAIRED = 6  # foods for which a companion is looked for
_WORTH_A_SECOND = 0.6  # a companion must bring the squared distance down to this

COMPANIONS = ("water", "sugar_white", "cornstarch", "rapeseed_oil")
"""What a second ingredient may be where one alone does not bring enough: water, sweetness, starch or fat."""


def by_composition(inside: Basket, choice: Mapping[str, Food]) -> list[Option]:
    """Foods whose first duty is that of the old one, alone or with a companion, by how little the batch moves."""
    alike = _candidates(inside.food, choice)
    texture = texture_of(inside.food)
    with_second = COMPANIONS if texture is not None and texture.blends else ()
    companions = [choice[food_id] for food_id in with_second if food_id in choice and food_id != inside.food.id]
    field = Field([*alike, *companions], inside.assumptions, inside.rows)
    grams, squares = field.nearest_amounts(inside)
    order = sorted(range(len(alike)), key=lambda k: (squares[k], alike[k].id))
    found: list[Option] = []
    for k in order[:_SINGLE]:
        found += _computed(inside, [alike[k]], [float(grams[k])])
    for k in order[:_PAIRED]:
        for j in range(len(alike), len(field.foods)):
            pair = field.pair_amounts(inside, k, j)
            if min(pair) <= 0.0 or field.foods[j].id == alike[k].id:
                continue
            left = (np.array(pair) @ field.value[[k, j]] - inside.matters) / inside.scale
            if float(left @ left) <= _WORTH_A_SECOND * squares[k]:
                found += _computed(inside, [alike[k], field.foods[j]], list(pair))
    found.sort(key=lambda option: (option.score, option.foods))
    return found


def _candidates(old: Food, choice: Mapping[str, Food]) -> list[Food]:
    """Those that feel alike, and beside them foods that nobody knows the feel of; all others only if there are none."""
    alike = [food for food in choice.values() if _alike(old, food)]
    kin = [food for food in alike if same_texture(old, food)]
    return kin + [food for food in alike if texture_of(food) is None and not same_texture(old, food)] if kin else alike


def _alike(old: Food, new: Food) -> bool:
    """Whether composition may speak: same first duty, no animal for a plant, one kind where it tastes or sets."""
    duty = old.roles[:1]
    if new.id == old.id or new.roles[:1] != duty or role_match(old, [new]) < _LEAST_ROLE:
        return False
    if new.origin in ANIMAL and old.origin not in ANIMAL:
        return False
    if duty == ("flavour",) and texture_of(old) is None:
        return False  # vanilla is not pepper, however alike they are in figures
    alone = duty == ("flavour",) or old.group == "setting agents"
    return not alone or new.group == old.group


def _computed(inside: Basket, foods: Sequence[Food], grams: Sequence[float]) -> list[Option]:
    parts = tuple(Part(food, kitchen_grams(g)) for food, g in zip(foods, grams, strict=True) if kitchen_grams(g) > 0)
    total = sum(part.amount_g for part in parts) / inside.edible_g
    if len(parts) != len(foods) or not _LEAST_TIMES <= total <= _MOST_TIMES or not bearable(inside, parts):
        return []
    done = frozenset(role for part in parts for role in part.food.roles)
    more, losses = COMPUTED_COUNTS, role_losses(inside.food, done)
    if not same_texture(inside.food, foods[0]):
        more += _OTHER_TEXTURE_COUNTS
        losses.insert(0, _other_texture(inside.food, foods[0]))
    more += _NEW_ALLERGEN_COUNTS * _n_new_allergens(inside, foods)
    losses.append(_(LOSSES["flavour"]))
    trials = [_("Chosen by composition alone, no kitchen's practice: make a small batch first.")]
    return [option_of(inside, parts, _("nearest in composition"), "", losses, trials, more)]


def _n_new_allergens(inside: Basket, foods: Sequence[Food]) -> int:
    """Allergens that the recipe does not hold yet; a food of which nobody stated any counts as one."""
    stated = {key for food in foods for key in food.contains or ()}
    return len(stated - inside.allergens) + sum(food.contains is None for food in foods)


def _other_texture(old: Food, new: Food) -> str:
    """Why a food of another texture stands last."""
    was, now = texture_of(old), texture_of(new)
    if was is None or now is None:
        return _("it is not known whether it feels the same")
    return _("another texture: {now} instead of {was}", now=_(now.title), was=_(was.title))
