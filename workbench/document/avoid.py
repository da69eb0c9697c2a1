"""What must not be in a recipe: kept for the whole project, or for one variant in its place."""

from collections.abc import Iterable, Mapping

import msgspec

from workbench.composition.food import ALLERGENS, GUT_FLAGS, WATCHED, Origin

ANIMAL: tuple[Origin, ...] = ("dairy", "egg", "bee", "animal")
GLUTEN: tuple[str, ...] = tuple(key for key in ALLERGENS if key.startswith("gluten_"))


class Avoid(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Everything that must not be in a recipe; ``avoiding`` makes one whose lists are in their own order."""

    origins: tuple[Origin, ...] = ()
    allergens: tuple[str, ...] = ()  # of ALLERGENS and WATCHED
    traces: bool = False  # "may contain" counts as contained, for allergens and for animal origin
    gut: tuple[str, ...] = ()  # of GUT_FLAGS
    foods: dict[str, str] = {}  # id -> name of ingredients somebody does not want

    def __bool__(self) -> bool:
        return bool(self.origins or self.allergens or self.gut or self.foods)

    def __or__(self, other: "Avoid") -> "Avoid":
        """Both wishes at once."""
        return avoiding(
            origins=(*self.origins, *other.origins),
            allergens=(*self.allergens, *other.allergens),
            traces=self.traces or other.traces,
            gut=(*self.gut, *other.gut),
            foods={**self.foods, **other.foods},
        )


def avoiding(
    *,
    origins: Iterable[Origin] = (),
    allergens: Iterable[str] = (),
    traces: bool = False,
    gut: Iterable[str] = (),
    foods: Mapping[str, str] | None = None,
) -> Avoid:
    """A wish with each entry once and in one order, so that equal wishes are equal and files do not flicker."""
    origin, allergen, flag = frozenset(origins), frozenset(allergens), frozenset(gut)
    return Avoid(
        origins=tuple(key for key in ANIMAL if key in origin),
        allergens=tuple(key for key in (*ALLERGENS, *WATCHED) if key in allergen),
        traces=traces,
        gut=tuple(key for key in GUT_FLAGS if key in flag),
        foods=dict(sorted((foods or {}).items())),
    )


PLANT_BASED = avoiding(origins=ANIMAL)
GLUTEN_FREE = avoiding(allergens=GLUTEN)
