"""Writing revisions, and taking whole steps back: the library's own undo.

A step is one transaction.  A food gets at most one revision in a step, so a step is undone by pointing each of its
foods at the revision before, whatever was done to it.  The next new step drops for good what was taken back.
"""

import datetime
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import NamedTuple

import msgspec

from workbench.base.progress import Progress
from workbench.composition.library.index_writing import IndexWriter
from workbench.composition.library.packing import pack, pack_tags, unpack
from workbench.composition.library.records import Entry, Step, TableInfo
from workbench.composition.library.thinning import thin

_TOGETHER = 250  # rows that are written by one call
_STEPS_PER_LOOK = 20_000  # SQLite's own steps between two looks at whether the work is to stop: a few milliseconds


def now() -> str:
    """This moment, UTC, ISO 8601 to the second."""
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")


def read_tags(connection: sqlite3.Connection) -> dict[int, str]:
    """Words for tags by number."""
    return dict(connection.execute("SELECT number, word FROM tag"))


def read_published(connection: sqlite3.Connection) -> list[TableInfo]:
    """What is known of every imported table now."""
    found = connection.execute(
        "SELECT info, max(published.row) FROM published JOIN step ON step.number = published.step"
        " WHERE NOT step.undone GROUP BY published.key ORDER BY published.key"
    )
    return [msgspec.msgpack.decode(info, type=TableInfo) for info, _row in found]


class Held(NamedTuple):
    """What the library holds of a food."""

    row: int
    current: int  # its revision
    place: int | None  # None: it is not found
    packed: bytes  # nothing where it is deleted


class Writer:
    """Writes one step inside the transaction that is open; it begins with the first change, if there is any."""

    def __init__(self, connection: sqlite3.Connection, words: str) -> None:
        self._connection = connection
        self._words = words
        self._tags = read_tags(connection)
        self._numbers = {word: number for number, word in self._tags.items()}
        self._packed_tags: dict[tuple[str, ...], bytes] = {}  # foods of a table have much the same
        self._index = IndexWriter(connection, self._numbers)
        self._number: int | None = None
        self._next = self._next_food = 0
        self._new: list[tuple[int, str, int, int | None, bool]] = []
        self._changed: list[tuple[int, int | None, int]] = []
        self._revisions: list[tuple[object, ...]] = []

    def _begin(self) -> None:
        """Begin the step, and forget those that were taken back: they cannot be done again after it."""
        if self._number is not None:
            return
        run = self._connection.execute
        first = run("SELECT min(first) FROM step WHERE undone").fetchone()[0]
        if first is not None:
            run("DELETE FROM revision WHERE row >= ?", (first,))
            run("DELETE FROM food WHERE current IS NULL")
            run("DELETE FROM published WHERE step IN (SELECT number FROM step WHERE undone)")
            run("DELETE FROM step WHERE undone")
        self._next = run("SELECT coalesce(max(row), 0) + 1 FROM revision").fetchone()[0]
        self._next_food = run("SELECT coalesce(max(row), 0) + 1 FROM food").fetchone()[0]
        parts = (now(), self._words, self._next, self._next - 1)
        self._number = run("INSERT INTO step (at, words, first, last) VALUES (?, ?, ?, ?)", parts).lastrowid

    def _number_of_tag(self, word: str) -> int:
        number = self._numbers.get(word)
        if number is None:
            number = len(self._numbers)
            self._connection.execute("INSERT INTO tag (number, word) VALUES (?, ?)", (number, word))
            self._numbers[word], self._tags[number] = number, word
        return number

    def _number_tags(self, words: tuple[str, ...]) -> bytes:
        packed = self._packed_tags.get(words)
        if packed is None:
            packed = self._packed_tags[words] = pack_tags([self._number_of_tag(word) for word in words])
        return packed

    def state(self, food_id: str) -> tuple[Entry | None, bytes]:
        """What holds of a food now, and its bytes; None and nothing where there is no such food."""
        held = self.held((food_id,)).get(food_id)
        return (self.unpacked(held), held.packed) if held is not None else (None, b"")

    def held(self, ids: Sequence[str]) -> dict[str, Held]:
        """What is held of these foods now, by id; at most a few hundred.  What was taken back is not."""
        self._store()
        found = self._connection.execute(
            "SELECT id, food.row, current, place, packed FROM food JOIN revision ON revision.row = food.current"
            f" WHERE id IN ({', '.join('?' * len(ids))})",
            ids,
        )
        return {food_id: Held(row, current, place, packed or b"") for food_id, row, current, place, packed in found}

    def unpacked(self, held: Held) -> Entry | None:
        """The entry that is held; None if it is deleted."""
        return unpack(held.packed, self._tags) if held.packed else None

    def packed(self, entry: Entry) -> bytes:
        """``entry`` as it would be kept; equal bytes, equal entries."""
        return pack(entry, self._number_tags)

    def record(self, food_id: str, entry: Entry | None, *, note: str = "") -> None:
        """Write the next revision of a food; None deletes it."""
        packed = None if entry is None else self.packed(entry)
        self.write(food_id, self.held((food_id,)).get(food_id), entry, packed, note=note)

    def write(
        self, food_id: str, held: Held | None, entry: Entry | None, packed: bytes | None, *, note: str = ""
    ) -> int:
        """The same where it is known what is held of it, and how the entry is packed; returns its row."""
        self._begin()
        number, self._next = self._next, self._next + 1
        if held is None:
            row, self._next_food = self._next_food, self._next_food + 1
        else:
            row = held.row
            self._index.forget(row, held.place)
        place = None if entry is None else self._index.add(row, entry)
        if held is None:
            self._new.append((row, food_id, number, place, entry is None or not entry.table))
        else:
            self._changed.append((number, place, row))
        before = None if held is None else held.current
        self._revisions.append((number, row, self._number, before, note or None, packed))
        if len(self._revisions) >= _TOGETHER:
            self._store()
        return row

    def _store(self) -> None:
        """Write what was gathered, in as few calls as possible."""
        if not self._revisions:
            return
        many = self._connection.executemany
        many("INSERT INTO food (row, id, current, place, own) VALUES (?, ?, ?, ?, ?)", self._new)
        many("UPDATE food SET current = ?, place = ? WHERE row = ?", self._changed)
        many("INSERT INTO revision (row, food, step, before, note, packed) VALUES (?, ?, ?, ?, ?, ?)", self._revisions)
        for rows in (self._new, self._changed, self._revisions):
            rows.clear()

    def publish(self, info: TableInfo) -> None:
        """Say what is known of an imported table from this step on."""
        if info in read_published(self._connection):
            return
        self._begin()
        self._connection.execute(
            "INSERT INTO published (key, info, step) VALUES (?, ?, ?)",
            (info.key, msgspec.msgpack.encode(info), self._number),
        )

    def finish(self) -> None:
        """Write the index and close the step."""
        if self._number is not None:
            self._store()
            self._index.finish()
            self._connection.execute("UPDATE step SET last = ? WHERE number = ?", (self._next - 1, self._number))
            thin(self._connection)


@contextmanager
def transaction(connection: sqlite3.Connection, progress: Progress) -> Iterator[None]:
    """All or nothing: commit at the end, or take everything back on any exception.

    Raises
    ------
    Cancelled
        If ``progress`` is stopped, at the latest a few milliseconds after.
    """
    connection.set_progress_handler(lambda: progress.cancelled, _STEPS_PER_LOOK)
    try:
        connection.execute("BEGIN IMMEDIATE")
        yield
        connection.execute("COMMIT")
    except BaseException as error:
        connection.set_progress_handler(None, 0)
        if connection.in_transaction:  # a full disk has rolled back already
            connection.execute("ROLLBACK")
        if isinstance(error, sqlite3.OperationalError) and error.sqlite_errorcode == sqlite3.SQLITE_INTERRUPT:
            progress.step(0)  # raises Cancelled
        raise
    finally:
        connection.set_progress_handler(None, 0)


def last_step(connection: sqlite3.Connection, *, undone: bool = False) -> Step | None:
    """The step that ``undo`` would take back, or ``redo`` would do again."""
    order = "number ASC" if undone else "number DESC"
    found = connection.execute(
        "SELECT number, at, words, last - first + 1 FROM step WHERE undone = ? AND NOT closed"
        f" ORDER BY {order} LIMIT 1",
        (undone,),
    ).fetchone()
    return None if found is None else Step(*found)


def turn(connection: sqlite3.Connection, step: Step, *, back: bool, progress: Progress) -> None:
    """Take a step back, or do it again, inside the transaction that is open."""
    tags = read_tags(connection)
    index = IndexWriter(connection, {word: number for number, word in tags.items()})
    run = connection.execute
    first, last = run("SELECT first, last FROM step WHERE number = ?", (step.number,)).fetchone()
    for done, row in enumerate(range(first, last + 1)):
        progress.step(done, last + 1 - first)
        food, before = run("SELECT food, before FROM revision WHERE row = ?", (row,)).fetchone()
        holds = before if back else row
        index.forget(food, run("SELECT place FROM food WHERE row = ?", (food,)).fetchone()[0])
        packed = None if holds is None else run("SELECT packed FROM revision WHERE row = ?", (holds,)).fetchone()[0]
        place = None if packed is None else index.add(food, unpack(packed, tags))
        run("UPDATE food SET current = ?, place = ? WHERE row = ?", (holds, place, food))
    index.finish()
    run("UPDATE step SET undone = ? WHERE number = ?", (back, step.number))
