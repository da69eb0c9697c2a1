"""What an ingredient is compared with: its own kind of food, and of those the ones that are made most like it.

A figure says little alone: 10 g fibre are a lot for a flour and usual for a dried fruit.  The kind is the food's group,
or, where that holds too few, those that share its main role.  The nearest are found by what a food is made of, water,
protein, fat and carbohydrate; what one wants to compare, such as fibre, sugars and sodium, has no say in it.
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from workbench.composition.derive import ALL_RULES, fill_gaps
from workbench.composition.food import Food

FEWEST, MOST_NEAREST = 5, 8
_MADE_OF = ("WATER", "PROCNT", "FAT", "CHOCDF")
_UNLIKE_G = 100.0  # a component that cannot be compared counts as being this far off


class Kin(NamedTuple):
    """Foods to compare with."""

    by: str  # "group" or "role"; "" where there is nothing to compare with
    kind: str  # its name or key
    foods: tuple[Food, ...]  # all of the kind, the nearest first, without the food itself

    @property
    def nearest(self) -> tuple[Food, ...]:
        """The few that are named one by one."""
        return self.foods[:MOST_NEAREST]


class Standing(NamedTuple):
    """Where a food stands among its kind in one component, per 100 g."""

    tag: str
    amount: float | None  # None = not known
    others: tuple[float | None, ...]  # in the order of ``Kin.foods``

    @property
    def known(self) -> tuple[float, ...]:
        """Amounts of the others that are known."""
        return tuple(other for other in self.others if other is not None)

    @property
    def above(self) -> int:
        """How many of the others have more."""
        return sum(other > self.amount for other in self.known) if self.amount is not None else 0

    @property
    def below(self) -> int:
        """How many of the others have less."""
        return sum(other < self.amount for other in self.known) if self.amount is not None else 0


def kin_of(food: Food, foods: Iterable[Food]) -> Kin:
    """Those of ``foods`` that ``food`` can be compared with.

    Parameters
    ----------
    food : Food
        What is looked at; copies of it among the others are left out.
    foods : iterable of Food
        All there are to choose from.

    Returns
    -------
    Kin
        At least ``FEWEST`` foods, or none.
    """
    itself = _keys(food)
    others = [other for other in foods if itself.isdisjoint(_keys(other))]
    kinds = [("group", food.group, [other for other in others if food.group and other.group == food.group])]
    kinds += [("role", role, [other for other in others if role in other.roles]) for role in food.roles[:1]]
    mine = amounts_of(food)
    for by, kind, found in kinds:
        if len(found) >= FEWEST:
            near = sorted(found, key=lambda other: (_distance_g(mine, amounts_of(other)), other.name))
            return Kin(by, kind, tuple(near))
    return Kin("", "", ())


def standing(food: Food, kin: Kin, tags: Iterable[str], rules: frozenset[str] = ALL_RULES) -> tuple[Standing, ...]:
    """Where ``food`` stands in each component, with gaps filled by ``rules``."""
    mine, theirs = amounts_of(food, rules), [amounts_of(other, rules) for other in kin.foods]
    return tuple(Standing(tag, mine.get(tag), tuple(amounts.get(tag) for amounts in theirs)) for tag in tags)


def amounts_of(food: Food, rules: frozenset[str] = ALL_RULES) -> Mapping[str, float]:
    """Known amounts per 100 g, in both conventions of carbohydrate where fibre allows to convert."""
    known = {tag: value.value for tag, value in fill_gaps(food, rules).values.items()}
    if "FIBTG" in known:
        if "CHOCDF" in known:
            known.setdefault("CHOAVLDF", max(known["CHOCDF"] - known["FIBTG"], 0.0))
        elif "CHOAVLDF" in known:
            known["CHOCDF"] = known["CHOAVLDF"] + known["FIBTG"]
    return known


def _keys(food: Food) -> set[str]:
    """What the food, or the row that it was copied from, is called in tables."""
    origin = food.taken_from
    return {food.id, origin.key} if origin is not None and origin.key else {food.id}


def _distance_g(one: Mapping[str, float], other: Mapping[str, float]) -> float:
    """How far two foods are apart in what they are made of; far where that is not known."""
    return sum(abs(one[tag] - other[tag]) if tag in one and tag in other else _UNLIKE_G for tag in _MADE_OF)
