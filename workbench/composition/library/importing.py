"""Taking a whole table into the library, or replacing the rows of its earlier import."""

import sqlite3
from collections.abc import Iterable

import msgspec

from workbench.base.progress import Progress
from workbench.base.text import _
from workbench.composition.food import Food
from workbench.composition.library.connection import LibraryError
from workbench.composition.library.records import Entry, ImportSummary, TableInfo
from workbench.composition.library.steps import Writer

_NAMES_KEPT = 200  # of foods whose figures the user had changed; nobody reads more
_FROM_THE_TABLE = frozenset(("values", "limits"))  # what a new import replaces even where the user had changed it


def write_table(
    connection: sqlite3.Connection, writer: Writer, info: TableInfo, foods: Iterable[Food], progress: Progress
) -> ImportSummary:
    """Write every food of a table in the step of ``writer``.

    Raises
    ------
    LibraryError
        If a code is empty or stands twice.
    Cancelled
        If ``progress`` is stopped.
    """
    run = connection.execute
    run("CREATE TEMP TABLE IF NOT EXISTS visited (id TEXT PRIMARY KEY) WITHOUT ROWID")
    run("DELETE FROM temp.visited")
    added = replaced = same = 0
    overwritten: list[str] = []
    for done, food in enumerate(foods):
        progress.step(done)
        code, food_id = food.id, f"{info.key}:{food.id}"
        if not code.strip():
            raise LibraryError(_("“{name}” has no code.", name=food.name), hint=_("Every row of a table needs one."))
        if not run("INSERT OR IGNORE INTO temp.visited VALUES (?)", (food_id,)).rowcount:
            old, _packed = writer.state(food_id)
            names = (old.food.name if old else food.name, food.name)
            raise LibraryError(
                _("The code {code} stands twice: “{one}” and “{other}”.", code=code, one=names[0], other=names[1]),
                hint=_("Give one of them another code, or leave it out."),
            )
        entry = Entry(food=msgspec.structs.replace(food, id=food_id, taken_from=None), table=info.key, code=code)
        old, old_packed = writer.state(food_id)
        if old is not None:
            entry = keep_stated(entry, old)
        packed = writer.packed(entry)
        if packed == old_packed:
            same += 1
            continue
        writer.record(food_id, entry, packed=packed)
        added, replaced = added + (old is None), replaced + (old is not None)
        if old is not None and _FROM_THE_TABLE & set(old.stated) and len(overwritten) < _NAMES_KEPT:
            overwritten.append(old.food.name)
    gone = _deactivate_others(connection, writer, info.key, progress)
    writer.publish(info)
    return ImportSummary(added, replaced, same, gone, tuple(overwritten))


def keep_stated(new: Entry, old: Entry) -> Entry:
    """``new`` from the table, with everything that the user has said of ``old``; not its figures."""
    kept = tuple(field for field in old.stated if field not in _FROM_THE_TABLE)
    said = {field: getattr(old.food, field) for field in kept if field != "active"}
    return msgspec.structs.replace(
        new,
        food=msgspec.structs.replace(new.food, **said),
        active=old.active if "active" in kept else True,
        note=old.note,
        tags=old.tags,
        lots=old.lots,
        stated=kept,
    )


def _deactivate_others(connection: sqlite3.Connection, writer: Writer, key: str, progress: Progress) -> int:
    """Deactivate the rows of an earlier import that the table has no more: projects may still use them."""
    gone, last = 0, ""
    while True:
        found = connection.execute(
            "SELECT id FROM food WHERE id > ? AND id >= ? AND id < ? AND place IS NOT NULL"
            " AND id NOT IN (SELECT id FROM temp.visited) ORDER BY id LIMIT 500",
            (last, f"{key}:", f"{key};"),
        ).fetchall()
        if not found:
            return gone
        for (food_id,) in found:
            progress.step(gone)
            old, _packed = writer.state(food_id)
            if old is not None:
                writer.record(food_id, msgspec.structs.replace(old, active=False))
                gone += 1
            last = food_id
