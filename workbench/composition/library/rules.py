"""Stating role, origin and allergens of many foods at once."""

import sqlite3
from collections.abc import Iterator

import msgspec

from workbench.base.progress import Progress
from workbench.base.text import _
from workbench.composition.food import Food
from workbench.composition.library.connection import LibraryError
from workbench.composition.library.records import Entry, Rule
from workbench.composition.library.steps import Writer
from workbench.composition.words import split

_PAGE = 500


def apply_rule(connection: sqlite3.Connection, writer: Writer, rule: Rule, progress: Progress) -> int:
    """State what ``rule`` says of every active food that it fits.

    Returns
    -------
    int
        Foods that were changed.

    Raises
    ------
    LibraryError
        If the rule has no condition, or states nothing.
    """
    if not (rule.table or rule.group or rule.word or rule.ids):
        raise LibraryError(_("The rule fits every food."), hint=_("Name a table, a group, a word or some foods."))
    if rule.roles is None and rule.origin is None and rule.contains is None and rule.may_contain is None:
        raise LibraryError(_("The rule states nothing."), hint=_("Say a role, an origin or allergens."))
    changed = 0
    for done, food_id in enumerate(rule.ids or _candidates(connection, rule)):
        progress.step(done)
        entry, _packed = writer.state(food_id)
        if entry is None or not entry.active or not _fits(entry, rule):
            continue
        food = _stated(entry.food, rule)
        if food != entry.food:
            writer.record(food_id, with_food(entry, food))
            changed += 1
    return changed


def with_food(entry: Entry, food: Food) -> Entry:
    """``entry`` with another state of its food; on an imported food, what differs is remembered as said by the user."""
    if not entry.table:
        return msgspec.structs.replace(entry, food=food)
    fields = [name for name in Food.__struct_fields__ if name not in ("id", "taken_from")]
    differing = {name for name in fields if getattr(food, name) != getattr(entry.food, name)}
    stated = tuple(name for name in (*fields, "active") if name in differing or name in entry.stated)
    return msgspec.structs.replace(entry, food=food, stated=stated)


def _fits(entry: Entry, rule: Rule) -> bool:
    return (
        (not rule.table or entry.table == rule.table)
        and (not rule.group or entry.food.group.casefold() == rule.group.casefold())
        and (not rule.word or set(split(rule.word)) <= set(split(entry.food.name)))
    )


def _stated(food: Food, rule: Rule) -> Food:
    said: dict[str, object] = {}
    if rule.roles is not None and not (rule.only_unstated and food.roles):
        said["roles"] = rule.roles
    if rule.origin is not None and not (rule.only_unstated and food.origin != "unknown"):
        said["origin"] = rule.origin
    if rule.contains is not None and not (rule.only_unstated and food.contains is not None):
        said["contains"] = rule.contains
    if rule.may_contain is not None and not (rule.only_unstated and food.may_contain):
        said["may_contain"] = rule.may_contain
    return msgspec.structs.replace(food, **said)


def _candidates(connection: sqlite3.Connection, rule: Rule) -> Iterator[str]:
    """Ids of active foods of the rule's table, in which its words occur; page by page, as they change meanwhile."""
    low, high = (f"{rule.table}:", f"{rule.table};") if rule.table else ("", "\U0010ffff")
    words = split(rule.word)
    last, pattern = "", "%".join(("", *words[:1], ""))
    while True:
        found = connection.execute(
            "SELECT food.id FROM food JOIN sought ON sought.place = food.place"
            " WHERE food.id > ? AND food.id >= ? AND food.id < ? AND sought.called LIKE ? ORDER BY food.id LIMIT ?",
            (last, low, high, pattern, _PAGE),
        ).fetchall()
        yield from (food_id for (food_id,) in found)
        if not found:
            return
        last = found[-1][0]
