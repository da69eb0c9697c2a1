"""What an ingredient must be, beside its name, to be shown in a search."""

import msgspec

from workbench.composition.derive import fill_gaps
from workbench.composition.food import Food

_ANIMAL = frozenset(("crustaceans", "egg", "fish", "milk", "molluscs"))


class SearchFilter(msgspec.Struct, frozen=True):
    """Everything asked for must hold; what is not stated counts as a risk, and what is unknown as missing."""

    plant_only: bool = False
    without: tuple[str, ...] = ()  # allergens, neither contained nor possible
    role: str = ""
    source: str = ""  # key of a publication that figures come from
    known: tuple[str, ...] = ()  # components that must be known, gaps filled

    def __bool__(self) -> bool:
        return bool(self.plant_only or self.without or self.role or self.source or self.known)

    def admits(self, food: Food) -> bool:
        """Whether ``food`` may be shown."""
        contained = food.contains or ()
        if self.plant_only and (food.origin not in ("plant", "mineral") or not _ANIMAL.isdisjoint(contained)):
            return False
        if self.without and (
            food.contains is None or any(name in contained or name in food.may_contain for name in self.without)
        ):
            return False
        if self.role and self.role not in food.roles:
            return False
        if self.source and all(value.source != self.source for value in food.values.values()):
            return False
        return not self.known or known_components(food).issuperset(self.known)


def known_components(food: Food) -> set[str]:
    """Components of ``food`` that are known, gaps filled."""
    known = set(fill_gaps(food).values)
    return known | {"CHOAVLDF"} if {"CHOCDF", "FIBTG"} <= known else known
