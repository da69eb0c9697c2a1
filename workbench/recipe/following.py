"""Composite ingredients of the library follow their recipe.

A composite keeps the recipe it was made from.  Where the variant of its project has moved on from that recipe, its
figures move too; projects that use the composite keep their copies until they ask for newer ones.  Where only
ingredients read otherwise in the library today, the user is told and may compute it anew.

Project files are read and written beside this layer, hence ``Files``.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from msgspec.structs import replace

from workbench.base.errors import WorkbenchError
from workbench.base.text import _
from workbench.composition.bundled import bundled_foods, row_hash
from workbench.composition.food import Food
from workbench.composition.library.records import Entry, MadeFrom
from workbench.composition.library.store import Library
from workbench.document.project import Project, Variant
from workbench.recipe.composite import composite_food, made_of, recipe_alone

COMPUTED = ("values", "limits", "digestibility", "origin", "contains", "may_contain", "gut", "doping", "made_of")
"""Fields of a composite that come from its recipe; everything else is the user's."""


class Files(NamedTuple):
    """How a recipe becomes bytes and is read again."""

    encode: Callable[[Project], bytes]
    decode: Callable[[bytes], Project]


def composite_id(variant_id: str) -> str:
    """Id of the composite ingredient of a variant."""
    return f"recipe-{variant_id}"


def composite_of(project: Project, variant: Variant, name: str, date: str, files: Files) -> tuple[Food, MadeFrom]:
    """A variant as a new ingredient, with its recipe.

    Raises
    ------
    CalculationError
        If the variant has no valid result.
    """
    food = composite_food(project, variant, composite_id(variant.id), name=name, date=date)
    recipe = recipe_alone(project, variant)
    return food, MadeFrom(recipe=files.encode(recipe), variant_id=variant.id, foods=made_of(recipe))


# --- the variant has changed --------------------------------------------------------------------------------------


class Followed(NamedTuple):
    """What followed, by name, what could not, with why, and the recipes that hold now by id of the composite."""

    names: tuple[str, ...] = ()
    failed: tuple[tuple[str, WorkbenchError], ...] = ()
    recipes: Mapping[str, bytes] = MappingProxyType({})


class Moment(NamedTuple):
    """When and why composites are to follow.

    ``saved`` is when the project's file was written (ISO 8601, UTC), where it was only opened: a composite that was
    changed later is left alone then, as the file may be an old copy.  ``recipes`` were followed already: where the
    library has another one than these, the user has taken that back.
    """

    today: str  # ISO 8601, for prices
    saved: str = ""
    recipes: Mapping[str, bytes] = MappingProxyType({})


def follow(project: Project, library: Library, moment: Moment, files: Files) -> Followed:
    """Bring the composites that were made from this project up to its variants; each is a step of the library's undo.

    Raises
    ------
    LibraryError
        If the library cannot be read.
    """
    names: list[str] = []
    failed: list[tuple[str, WorkbenchError]] = []
    recipes: dict[str, bytes] = {}
    for variant in project.variants:
        entry = library.entry(composite_id(variant.id))
        if entry is None or entry.made_from is None or _is_left_alone(entry, library, moment):
            continue
        try:
            moved = _moved_on(entry, project, variant, moment, files)
            if moved is not None:
                library.put(moved[0], made_from=moved[1], words=_following_words(entry))
                names.append(entry.food.name)
                recipes[entry.food.id] = moved[1].recipe
        except WorkbenchError as error:
            failed.append((entry.food.name, error))
    return Followed(tuple(names), tuple(failed), recipes)


def _following_words(entry: Entry) -> str:
    return _("“{name}” follows its recipe", name=entry.food.name)


def _is_left_alone(entry: Entry, library: Library, moment: Moment) -> bool:
    if not moment.saved:
        return False
    taken_back = library.next_redo()
    if taken_back is not None and taken_back.words == _following_words(entry):
        return True
    return library.revisions(entry.food.id)[0].when > moment.saved


def _moved_on(
    entry: Entry, project: Project, variant: Variant, moment: Moment, files: Files
) -> tuple[Food, MadeFrom] | None:
    """The composite by the variant of today; None if that gives what the kept recipe gives."""
    assert entry.made_from is not None
    kept = files.decode(entry.made_from.recipe)
    if kept.id != project.id:
        return None  # a copy of the variant in another project
    new, made_from = composite_of(project, variant, entry.food.name, moment.today, files)
    if made_from.recipe in (entry.made_from.recipe, moment.recipes.get(new.id)):
        return None
    old = composite_food(kept, kept.variant(variant.id), new.id, name=new.name, date=moment.today)
    if new == old and made_from.foods.keys() == entry.made_from.foods.keys():
        return None
    return _over(entry.food, new), made_from


def _over(old: Food, new: Food) -> Food:
    """``old`` with what a recipe gives taken from ``new``; earlier packs stay."""
    fresh = [replace(pack, date="") for pack in new.packs]
    packs = (*new.packs, *(pack for pack in old.packs if replace(pack, date="") not in fresh))
    return replace(old, packs=packs, **{field: getattr(new, field) for field in COMPUTED})


# --- ingredients have changed -------------------------------------------------------------------------------------


def changed_ingredients(made_from: MadeFrom, library: Library) -> dict[str, Food]:
    """Ingredients that the library, or else the bundled table, has otherwise than the composite was computed with."""
    found: dict[str, Food] = {}
    for food_id, then in made_from.foods.items():
        now = library.food(food_id) or bundled_foods().get(food_id)
        if now is not None and row_hash(now) != then:
            found[food_id] = now
    return found


def compute_anew(food_id: str, library: Library, today: str, files: Files) -> None:
    """Compute a composite of the library with today's ingredients; name, tags and earlier packs stay.

    Raises
    ------
    CalculationError
        If the recipe has no valid result with them.
    WorkbenchError
        If the recipe cannot be read.
    """
    entry = library.entry(food_id)
    if entry is None or entry.made_from is None:
        return
    kept, variant_id = files.decode(entry.made_from.recipe), entry.made_from.variant_id
    recipe = replace(kept, foods=kept.foods | changed_ingredients(entry.made_from, library))
    new = composite_food(recipe, recipe.variant(variant_id), food_id, name=entry.food.name, date=today)
    made_from = replace(entry.made_from, foods=made_of(recipe))
    library.put(
        _over(entry.food, new),
        made_from=made_from,
        words=_("“{name}” computed with the ingredients of today", name=entry.food.name),
    )
