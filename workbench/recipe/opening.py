"""Which compound ingredients a list opens, which it need not, and which it cannot because nobody typed what is inside.

Regulation (EU) No 1169/2011, Annex VII, part E, 2; 21 CFR 101.4(b)(2), which knows no lower limit (both from memory).
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

from workbench.base.text import N_, _
from workbench.composition.compounds import act_of
from workbench.composition.food import ALLERGENS, Food
from workbench.recipe.allergens import LEGAL_WORDS, Rules
from workbench.recipe.ingredient_list import SMALL_PERCENT, Listed
from workbench.recipe.list_words import mentioned

_SMALL = N_("{name}: below 2 % of the food, and {act} lays its composition down (Annex VII, part E, 2a)")
_UNNAMED = N_("Check “{name}”: its list names {allergens}, its allergens do not.")
# A drink or a fat of a plant borrows the word of the animal's.
_BORROWED = re.compile(r"\b(?:coconut|oats?|almond|rice|soya?|soybean|cashew|hazelnut|pea)\s+milk\b", re.IGNORECASE)


class Opening(NamedTuple):
    """Names and sentences about the compound ingredients of a list."""

    exempt: tuple[str, ...]
    closed: tuple[str, ...]
    doubts: tuple[str, ...]


def opening(parts: tuple[Listed, ...], rules: Rules) -> Opening:
    """What is to be said of compound ingredients; those inside others count by their share of the whole food."""
    exempt: dict[str, None] = {}
    closed: dict[str, None] = {}
    doubts: dict[str, None] = {}
    for food, percent in _foods(parts, 1.0):
        if food.made_of.strip():
            if unnamed := _unnamed(food):
                doubts[_(_UNNAMED, name=food.name, allergens=", ".join(unnamed))] = None
            continue
        act = act_of(food)
        if act and rules == "eu" and percent < SMALL_PERCENT:
            exempt[_(_SMALL, name=food.name, act=act)] = None
        elif act is not None:
            closed[food.name] = None
    return Opening(tuple(exempt), tuple(closed), tuple(doubts))


def _foods(parts: tuple[Listed, ...], share: float) -> Iterator[tuple[Food, float]]:
    for part in parts:
        if part.food is not None:
            yield part.food, share * part.percent
        yield from _foods(part.inside, share * part.percent / 100.0)


def _unnamed(food: Food) -> list[str]:
    """Allergens that a typed list names and the food does not say it contains."""
    if food.contains is None:  # said already: not stated
        return []
    named = mentioned(_BORROWED.sub("", food.made_of), ALLERGENS)
    return [_(LEGAL_WORDS[key][0]) for key in ALLERGENS if key in named and key not in food.contains]
