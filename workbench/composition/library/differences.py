"""What two states of a food say otherwise, in words, so that one of them can be chosen."""

from collections.abc import Iterator

from workbench.base.text import N_, _, number, plural
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food
from workbench.composition.library.records import Entry

_FIGURES_NAMED = 3
_OF_ENTRY = {
    "active": N_("active or not"),
    "tags": N_("tags"),
    "note": N_("note"),
    "lots": N_("lots"),
    "made_from": N_("recipe"),
}
_OF_FOOD = {
    "name": N_("name"),
    "packs": N_("packs and prices"),
    "roles": N_("role"),
    "origin": N_("origin"),
    "contains": N_("allergens"),
    "may_contain": N_("allergens"),
}
_REST = tuple(field for field in Food.__struct_fields__ if field not in (*_OF_FOOD, "id", "values", "limits"))


def differences(mine: Entry, theirs: Entry) -> str:
    """What differs: a few figures as mine → theirs, and whatever else by its name."""
    parts = list(_figures(mine.food, theirs.food))
    named = dict.fromkeys(
        _(words)
        for one, other, fields in ((mine, theirs, _OF_ENTRY), (mine.food, theirs.food, _OF_FOOD))
        for field, words in fields.items()
        if getattr(one, field) != getattr(other, field)
    )
    if any(getattr(mine.food, field) != getattr(theirs.food, field) for field in _REST):
        named[_("other properties")] = None
    return ", ".join((*parts, *named)) or _("where it is from")


def _figures(mine: Food, theirs: Food) -> Iterator[str]:
    tags = dict.fromkeys((*COMPONENTS, *mine.values, *theirs.values, *mine.limits, *theirs.limits))
    moved = [tag for tag in tags if _shown(mine, tag) != _shown(theirs, tag)]
    for tag in moved[:_FIGURES_NAMED]:
        component = COMPONENTS.get(tag)
        yield _(
            "{title} {mine} → {theirs} {unit}",
            title=_(component.title) if component else tag,
            mine=_shown(mine, tag),
            theirs=_shown(theirs, tag),
            unit=component.unit if component else "",
        ).rstrip()
    if len(moved) > _FIGURES_NAMED:
        yield plural("{n} more figure", "{n} more figures", len(moved) - _FIGURES_NAMED)
    elif not moved and (dict(mine.values) != dict(theirs.values) or mine.limits != theirs.limits):
        yield _("sources of figures, or their last digits")


def _shown(food: Food, tag: str) -> str:
    """A figure as precisely as it is shown; a dash where it is not known."""
    decimals = COMPONENTS[tag].decimals if tag in COMPONENTS else 2
    if tag in food.values:
        return number(food.values[tag].value, decimals)
    return _("< {limit}", limit=number(food.limits[tag], decimals)) if tag in food.limits else number(None)
