"""What the dialog of the library reads: a list of foods, and everything about one; run beside the window's thread."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import islice
from typing import NamedTuple

from workbench.base.progress import Progress
from workbench.base.text import _, plural
from workbench.composition.food import Food
from workbench.composition.library.connection import LibraryError, worded
from workbench.composition.library.records import Entry, Revision, Step, TableInfo
from workbench.composition.library.store import Library
from workbench.composition.search_ranking import MOST_RANKED, Found, typed_words
from workbench.composition.words import folded
from workbench.recipe.following import changed_ingredients
from workbench.recipe.food_words import ROLE_WORDS, named, source_words
from workbench.recipe.words import ALLERGEN_WORDS, ORIGINS

MOST_LISTED = 300
EVERYTHING, OWN, DEACTIVATED = "", "own", "deactivated"  # what to list; or "table:" and a key, "tag:" and a tag


class Row(NamedTuple):
    """One food of the list."""

    id: str
    name: str
    source: str  # in words


class Listed(NamedTuple):
    """The list, and what can be undone."""

    rows: tuple[Row, ...]
    more: bool  # than are listed
    n_active: int
    tables: Mapping[str, TableInfo]
    tags: tuple[str, ...]
    undo: Step | None
    redo: Step | None


class Detail(NamedTuple):
    """Everything about one food."""

    entry: Entry
    table: TableInfo | None
    revisions: tuple[Revision, ...]
    composites: tuple[str, ...]  # names of what is made of it
    changed: tuple[str, ...]  # of a composite: names of ingredients that read otherwise now


def listed(text: str, show: str, library: Library, progress: Progress) -> Listed:
    """Foods of the library by words.

    Parameters
    ----------
    show : str
        ``EVERYTHING`` that is active, ``OWN`` foods, ``DEACTIVATED`` ones, or ``"table:"`` with the key
        of a table, or ``"tag:"`` with a tag.
    """
    tables = library.tables()
    rows = _found(text, library, tables) if show == EVERYTHING else _scanned(text, show, library, tables, progress)
    first = tuple(islice(rows, MOST_LISTED + 1))
    return Listed(
        first[:MOST_LISTED],
        len(first) > MOST_LISTED,
        library.count(),
        tables,
        tuple(library.tags()),
        library.next_undo(),
        library.next_redo(),
    )


def _found(text: str, library: Library, tables: Mapping[str, TableInfo]) -> Iterator[Row]:
    typed = typed_words(text)
    with worded(library.path):
        found: Iterable[Found] = library.index.found(typed, MOST_LISTED + 1, None, similar=False)
        found = found or library.index.found(typed, MOST_LISTED + 1, None, similar=True)
    for one in found:
        yield Row(one.id, one.name, _source(one.source, tables))


def _scanned(
    text: str, show: str, library: Library, tables: Mapping[str, TableInfo], progress: Progress
) -> Iterator[Row]:
    words = folded(text).split()
    table = "" if show == OWN else show.removeprefix("table:") if show.startswith("table:") else None
    tag = show.removeprefix("tag:") if show.startswith("tag:") else ""
    for done, entry in enumerate(library.entries(table=table, tag=tag, inactive=show in (OWN, DEACTIVATED))):
        progress.step(done)
        name = folded(entry.food.name)
        if (show != DEACTIVATED or not entry.active) and all(word in name for word in words):
            state = "" if entry.active or show == DEACTIVATED else _("  (deactivated)")
            source = _("made from a recipe") if entry.made_from else _source(entry.table, tables)
            yield Row(entry.food.id, entry.food.name + state, source)


def foods_shown(text: str, show: str, library: Library, progress: Progress) -> Iterator[Food]:
    """Every food that ``listed`` lists or would list, however many, as a project takes it."""
    if show == EVERYTHING and text.strip():
        with worded(library.path):
            found = library.index.found(typed_words(text), library.count(), None, similar=False)
        ids = [one.id for one in found]
        if len(ids) >= MOST_RANKED and len(text.split()) > 1:
            raise LibraryError(
                _("More foods fit “{text}” than can be told apart.", text=text.strip()[:60]),
                hint=_("Type a word more, or choose a table in the list."),
            )
    elif show == EVERYTHING:
        yield from library.foods()
        return
    else:
        ids = [row.id for row in _scanned(text, show, library, library.tables(), progress)]
    for done, food_id in enumerate(ids):
        progress.step(done, 2 * len(ids))  # writing them is the other half
        food = library.food(food_id)
        if food is not None:
            yield food


def _source(key: str, tables: Mapping[str, TableInfo]) -> str:
    if not key:
        return _("your own")
    return tables[key].title if key in tables else source_words(key, "")


def detail(food_id: str, library: Library, _progress: Progress) -> Detail | None:
    """Everything about one food; None if it is no longer there."""
    entry = library.entry(food_id)
    if entry is None:
        return None
    composites = (library.entry(other) for other in library.composites_of(food_id))
    names = tuple(other.food.name for other in composites if other is not None)
    changed = changed_ingredients(entry.made_from, library).values() if entry.made_from is not None else ()
    return Detail(
        entry,
        library.tables().get(entry.table),
        tuple(library.revisions(food_id)),
        names,
        tuple(food.name for food in changed),
    )


def _facts(food: Food) -> Iterator[str]:
    """What can be stated of a food, and whether it is."""
    yield _(
        "role: {roles}; origin: {origin}",
        roles=named(food.roles, ROLE_WORDS) if food.roles else _("not stated"),
        origin=_("not stated") if food.origin == "unknown" else _(ORIGINS[food.origin]),
    )
    contains = (
        _("▲ not stated, which counts as a risk") if food.contains is None else named(food.contains, ALLERGEN_WORDS)
    )
    yield _("allergens: {names}", names=contains)
    if food.may_contain:
        yield _("may contain: {names}", names=named(food.may_contain, ALLERGEN_WORDS))


def detail_text(shown: Detail) -> str:
    """It in words."""
    entry, food = shown.entry, shown.entry.food
    lines = [food.name]
    if not entry.active:
        lines.append(_("▲ deactivated: not found by the search; projects that use it keep it"))
    if entry.table:
        title = shown.table.title if shown.table else entry.table
        edition = shown.table.version if shown.table else ""
        lines.append(" ".join(filter(None, (_("from {table}", table=title), edition, entry.code))))
    else:
        lines.append(_("made from a recipe") if entry.made_from else _("your own"))
    if food.group:
        lines.append(food.group)
    lines.append(plural("{n} figure is known", "{n} figures are known", len(food.values)))
    lines += _facts(food)
    if shown.changed:
        lines.append(_("▲ changed since it was computed: {names}", names="; ".join(shown.changed)))
    if shown.composites:
        lines.append(_("in composite ingredients: {names}", names=", ".join(shown.composites)))
    lines += ["", _("states of it, the latest first:")]
    lines += [f"  {r.when[:16].replace('T', ' ')}  {r.words}" for r in shown.revisions[:12]]
    if len(shown.revisions) > 12:
        lines.append("  " + plural("and {n} more", "and {n} more", len(shown.revisions) - 12))
    return "\n".join(lines)
