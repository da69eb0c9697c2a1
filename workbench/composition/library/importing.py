"""Taking a whole table into the library, or replacing the rows of its earlier import."""

import sqlite3
from collections.abc import Iterable, Iterator

import msgspec

from workbench.base.progress import Progress
from workbench.base.text import _
from workbench.composition.food import Food
from workbench.composition.library.connection import LibraryError
from workbench.composition.library.records import Entry, ImportSummary, TableInfo
from workbench.composition.library.steps import Writer

_NAMES_KEPT = 200  # of foods whose figures the user had changed; nobody reads more
_TOGETHER = 250  # foods that are looked up by one call
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
    added = replaced = same = 0
    overwritten: list[str] = []
    visited = _Visited()
    for batch in _batches(info, foods, progress):
        known = writer.held([food.id for _code, food in batch])
        names: dict[str, str] = {}
        for code, food in batch:
            held = known.get(food.id)
            old = writer.unpacked(held) if held is not None else None
            if food.id in names or (held is not None and held.row in visited):
                earlier = names.get(food.id) or (old.food.name if old is not None else food.name)
                raise LibraryError(
                    _("The code {code} stands twice: “{one}” and “{other}”.", code=code, one=earlier, other=food.name),
                    hint=_("Give one of them another code, or leave it out."),
                )
            names[food.id] = food.name
            entry = Entry(food=food, table=info.key, code=code)
            if old is not None:
                entry = keep_stated(entry, old)
            packed = writer.packed(entry)
            if held is not None and packed == held.packed:
                same += 1
                visited.add(held.row)
                continue
            visited.add(writer.write(food.id, held, entry, packed))
            added, replaced = added + (old is None), replaced + (old is not None)
            if old is not None and _FROM_THE_TABLE & set(old.stated) and len(overwritten) < _NAMES_KEPT:
                overwritten.append(old.food.name)
    gone = _deactivate_others(connection, writer, info.key, visited, progress)
    writer.publish(info)
    return ImportSummary(added, replaced, same, gone, tuple(overwritten))


class _Visited:
    """Rows of the foods that the import has come by, a byte each."""

    def __init__(self) -> None:
        self._seen = bytearray()

    def add(self, row: int) -> None:
        if row >= len(self._seen):
            self._seen.extend(bytes(row + 10_000 - len(self._seen)))
        self._seen[row] = 1

    def __contains__(self, row: int) -> bool:
        return row < len(self._seen) and bool(self._seen[row])


def _batches(info: TableInfo, foods: Iterable[Food], progress: Progress) -> Iterator[list[tuple[str, Food]]]:
    """Codes and foods, a few hundred at a time, with the ids that they have in the library."""
    batch: list[tuple[str, Food]] = []
    for done, food in enumerate(foods):
        progress.step(done)
        if not food.id.strip():
            raise LibraryError(_("“{name}” has no code.", name=food.name), hint=_("Every row of a table needs one."))
        batch.append((food.id, msgspec.structs.replace(food, id=f"{info.key}:{food.id}", taken_from=None)))
        if len(batch) == _TOGETHER:
            yield batch
            batch = []
    if batch:
        yield batch


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


def _deactivate_others(
    connection: sqlite3.Connection, writer: Writer, key: str, visited: _Visited, progress: Progress
) -> int:
    """Deactivate the rows of an earlier import that the table has no more: projects may still use them."""
    gone, last = 0, ""
    while True:
        found = connection.execute(
            "SELECT id, row FROM food WHERE id > ? AND id >= ? AND id < ? AND place IS NOT NULL ORDER BY id LIMIT 500",
            (last, f"{key}:", f"{key};"),
        ).fetchall()
        if not found:
            return gone
        for food_id, row in found:
            progress.step(gone)
            if row not in visited:
                old, _packed = writer.state(food_id)
                if old is not None:
                    writer.record(food_id, msgspec.structs.replace(old, active=False))
                    gone += 1
        last = found[-1][0]
