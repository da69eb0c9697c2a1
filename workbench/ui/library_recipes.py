"""Composite ingredients of the library follow their recipe: what has changed in it, and computing them anew."""

import datetime

from msgspec.structs import replace

from workbench.composition.bundled import bundled_foods, row_hash
from workbench.composition.food import Food
from workbench.composition.library.records import Entry, MadeFrom
from workbench.composition.library.store import Library
from workbench.recipe.composite import composite_food, made_of
from workbench.storage.project_file import decode_project

_COMPUTED = ("values", "limits", "digestibility", "origin", "contains", "may_contain", "gut", "doping")


def changed_ingredients(made_from: MadeFrom, library: Library) -> dict[str, Food]:
    """Ingredients that the library, or else the bundled table, has otherwise than the composite was computed with."""
    found: dict[str, Food] = {}
    for food_id, then in made_from.foods.items():
        now = library.food(food_id) or bundled_foods().get(food_id)
        if now is not None and row_hash(now) != then:
            found[food_id] = now
    return found


def computed_anew(entry: Entry, library: Library) -> tuple[Food, MadeFrom]:
    """A composite ingredient with today's ingredients; name, tags and earlier packs stay.

    Raises
    ------
    CalculationError
        If the recipe has no valid result with them.
    WorkbenchError
        If the recipe cannot be read.
    """
    made_from = entry.made_from
    assert made_from is not None
    kept = decode_project(made_from.recipe, name=entry.food.name).project
    recipe = replace(kept, foods=kept.foods | changed_ingredients(made_from, library))
    today = f"{datetime.datetime.now().astimezone():%Y-%m-%d}"
    new = composite_food(recipe, recipe.variant(made_from.variant_id), entry.food.id, name=entry.food.name, date=today)
    packs = (*new.packs, *(pack for pack in entry.food.packs if pack not in new.packs))
    food = replace(entry.food, packs=packs, **{field: getattr(new, field) for field in _COMPUTED})
    return food, replace(made_from, foods=made_of(recipe))


def compute_anew(food_id: str, library: Library) -> None:
    """Put a composite ingredient with today's ingredients into the library."""
    entry = library.entry(food_id)
    if entry is not None and entry.made_from is not None:
        food, made_from = computed_anew(entry, library)
        library.put(food, made_from=made_from)
