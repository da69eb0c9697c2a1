"""Putting another library's foods into this one, with a preview of what that changes."""

import contextlib
import sqlite3
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from workbench.base.progress import Progress
from workbench.composition.library.backup import look_at
from workbench.composition.library.connection import at_one_moment, connect, worded
from workbench.composition.library.differences import differences
from workbench.composition.library.packing import unpack
from workbench.composition.library.records import Choice, Entry, TableInfo
from workbench.composition.library.steps import Writer, read_published, read_tags


class Differing(NamedTuple):
    """A food that both libraries have and that is not the same in both."""

    id: str
    mine: str  # its name
    theirs: str
    mine_when: str  # last change, ISO 8601
    theirs_when: str
    what: str  # differs, in words

    @property
    def newer(self) -> Choice:
        """Which was changed last; mine if at the same second."""
        return "theirs" if self.theirs_when > self.mine_when else "mine"


class Merging(NamedTuple):
    """What merging would change."""

    new: tuple[tuple[str, str], ...]  # id and name
    n_same: int
    differing: tuple[Differing, ...]


class _Kept(NamedTuple):
    entry: Entry
    when: str


_CURRENT = (
    "SELECT food.id, revision.packed, step.at FROM food JOIN revision ON revision.row = food.current"
    " JOIN step ON step.number = revision.step WHERE revision.packed IS NOT NULL"
)


class Other:
    """Another library, open for reading."""

    def __init__(self, path: Path) -> None:
        look_at(path)
        self._path = path
        self._connection = connect(path, readonly=True, patience_s=5.0)

    def close(self) -> None:
        self._connection.close()

    def foods(self) -> Iterator[tuple[str, _Kept]]:
        """Every food with its id and when it was changed last."""
        with worded(self._path), at_one_moment(self._connection):
            tags = read_tags(self._connection)
            for food_id, packed, when in self._connection.execute(f"{_CURRENT} ORDER BY food.id"):
                yield food_id, _Kept(unpack(packed, tags), when)

    def tables(self) -> list[TableInfo]:
        """What it knows of its imported tables."""
        return read_published(self._connection)


def preview(connection: sqlite3.Connection, path: Path, progress: Progress) -> Merging:
    """Compare the open library with the one at ``path``.

    Raises
    ------
    LibraryError
        If there is no sound library at ``path``.
    Cancelled
        If ``progress`` is stopped.
    """
    new: list[tuple[str, str]] = []
    differing: list[Differing] = []
    n_same = 0
    tags = read_tags(connection)
    with contextlib.closing(Other(path)) as other:
        for done, (food_id, theirs) in enumerate(other.foods()):
            progress.step(done)
            found = connection.execute(f"{_CURRENT} AND food.id = ?", (food_id,)).fetchone()
            if found is None:
                new.append((food_id, theirs.entry.food.name))
                continue
            mine = unpack(found[1], tags)
            if mine == theirs.entry:
                n_same += 1
            else:
                what = differences(mine, theirs.entry)
                differing.append(
                    Differing(food_id, mine.food.name, theirs.entry.food.name, found[2], theirs.when, what)
                )
    return Merging(tuple(new), n_same, tuple(differing))


def merge(
    connection: sqlite3.Connection,
    writer: Writer,
    path: Path,
    choices: Mapping[str, Choice],
    otherwise: Choice,
    progress: Progress,
) -> int:
    """Write what comes from the library at ``path`` in the step of ``writer``.

    Returns
    -------
    int
        Foods that were added or changed.
    """
    changes = preview(connection, path, progress)
    chosen = {one.id: choices.get(one.id, otherwise) for one in changes.differing}
    taken = {food_id for food_id, _name in changes.new}
    for one in changes.differing:
        choice = chosen[one.id]
        if (one.newer if choice == "newer" else choice) == "theirs":
            taken.add(one.id)
    known = {info.key for info in read_published(connection)}
    with contextlib.closing(Other(path)) as other:
        for done, (food_id, theirs) in enumerate(other.foods()):
            progress.step(done)
            if food_id in taken:
                writer.record(food_id, theirs.entry)
        for info in other.tables():
            if info.key not in known:
                writer.publish(info)
    return len(taken)
