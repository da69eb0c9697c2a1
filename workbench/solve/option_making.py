"""One option made ready: how near it is, whether the batch bears it, grams as a kitchen scale shows them."""

import math
from collections.abc import Mapping, Sequence

from workbench.base.text import _
from workbench.composition.exchanges import LOSSES
from workbench.composition.food import Food
from workbench.composition.piece_forms import limits_everywhere
from workbench.document.edits import food_name
from workbench.solve.exchange import Basket, distance, edible_g, role_match
from workbench.solve.substitution import Option, Part

COMPUTED_COUNTS = 0.9  # a kitchen has not tried what is only near in composition
_FURTHEST = 3.0  # distances beyond count alike
_ROLE_COUNTS = 0.6
_UNKNOWN_COUNTS = 0.1

_ROLE_LOSSES: Mapping[str, str] = {
    "binder": "binding",
    "sweetener": "sweetness",
    "flavour": "flavour",
    "leavening": "lift",
    "inclusion": "crunch",
    "protein": "protein",
}


def role_losses(old: Food, done: frozenset[str]) -> list[str]:
    """What is lost where these roles are all that is done in place of a food, in words."""
    return [_(LOSSES[_ROLE_LOSSES[role]]) for role in old.roles if role in _ROLE_LOSSES and role not in done]


def option_of(
    inside: Basket,
    parts: tuple[Part, ...],
    because: str,
    source: str,
    losses: Sequence[str],
    trials: Sequence[str],
    more: float,
) -> Option:
    """An option with its score; ``more`` is what it counts for beside distance, role and what is not known."""
    foods = [part.food for part in parts]
    role = role_match(inside.food, foods)
    far, unknown = distance(inside, foods, [part.amount_g for part in parts])
    score = min(far, _FURTHEST) + _ROLE_COUNTS * (1.0 - role) + _UNKNOWN_COUNTS * len(unknown) + more
    name = food_name(inside.project, inside.line)
    return Option(
        inside.line.id,
        name,
        parts,
        because,
        source,
        tuple(dict.fromkeys(losses)),
        tuple(trials),
        role,
        far,
        unknown,
        score,
    )


def bearable(inside: Basket, parts: Sequence[Part]) -> bool:
    """Whether the batch bears so much of what comes in; limits count lines that stay as well."""
    batch = inside.raw_g - inside.edible_g + sum(part.amount_g for part in parts)
    for limit in limits_everywhere():
        mine = sum(part.amount_g for part in parts if limit.counts(part.food))
        if mine <= 0.0 or limit.high is None:
            continue
        there = sum(
            edible_g(line, food)
            for line in inside.variant.lines
            if line.id != inside.line.id
            and (food := inside.project.foods.get(line.food_ref.id)) is not None
            and limit.counts(food)
        )
        if 100.0 * (mine + there) > limit.high * batch:
            return False
    return True


def kitchen_grams(grams: float) -> float:
    """Grams as a kitchen scale shows them: whole from 20 g on, halves from 5 g on, tenths below."""
    step = 1.0 if grams >= 20.0 else 0.5 if grams >= 5.0 else 0.1
    return math.floor(grams / step + 0.5) * step if step >= 0.5 else math.floor(grams * 10.0 + 0.5) / 10.0
