"""What can be read of a library: foods, their revisions, the tables they came with."""

import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

import msgspec

from workbench.composition.bundled import row_hash
from workbench.composition.food import Food, TakenFrom
from workbench.composition.library.connection import at_one_moment, worded
from workbench.composition.library.index import LibraryIndex
from workbench.composition.library.packing import unpack
from workbench.composition.library.records import Entry, Revision, Step, TableInfo
from workbench.composition.library.steps import last_step, read_published, read_tags
from workbench.composition.search_filter import SearchFilter
from workbench.composition.search_ranking import typed_words

_PAGE = 200
_WHICH = {  # active, inactive
    (True, True): (),
    (True, False): ("place IS NOT NULL",),
    (False, True): ("place IS NULL",),
    (False, False): ("0",),
}
_ANYTHING = typed_words("")


class Reading:
    """The part of ``Library`` that changes nothing; of no use in another thread than the one that opened it."""

    def __init__(self, path: Path, connection: sqlite3.Connection, readonly: bool, notices: tuple[str, ...]) -> None:
        self.path = path
        self.readonly = readonly
        self.notices = notices
        self._connection = connection
        self._tags: dict[int, str] = {}
        self._tags_of_change = -1
        self.index = LibraryIndex(connection)

    def _all(self, query: str, *parts: object) -> list[tuple[object, ...]]:
        """Rows, and the words for the tags in them, as they were at one moment."""
        run = self._connection.execute
        with worded(self.path), at_one_moment(self._connection):
            rows = run(query, parts).fetchall()
            change = run("PRAGMA data_version").fetchone()[0]
            if change != self._tags_of_change:  # another program may have restored a library of other tags
                self._tags, self._tags_of_change = read_tags(self._connection), change
        return rows

    def _unpack(self, packed: object) -> Entry:
        assert isinstance(packed, bytes)
        return unpack(packed, self._tags)

    def entry(self, food_id: str) -> Entry | None:
        """A food with everything kept about it; None if there is none with this id."""
        found = self._all(
            "SELECT packed FROM food JOIN revision ON revision.row = food.current WHERE id = ?", food_id
        )  # fmt: skip
        return self._unpack(found[0][0]) if found and found[0][0] is not None else None

    def food(self, food_id: str) -> Food | None:
        """A food as a project takes it, stamped with where it came from; None if there is none with this id."""
        entry = self.entry(food_id)
        return None if entry is None else self.stamped(entry)

    def stamped(self, entry: Entry) -> Food:
        """The food of ``entry`` with the note of table version and row hash that a project's copy keeps."""
        info = self.tables().get(entry.table)
        stamp = TakenFrom("library", entry.food.id, info.version if info else "", row_hash(entry.food))
        return msgspec.structs.replace(entry.food, taken_from=stamp)

    def entries(
        self, *, table: str | None = None, tag: str = "", inactive: bool = False, active: bool = True
    ) -> Iterator[Entry]:
        """Everything kept, in the order of ids; read page by page as it is asked for, never whole.

        Parameters
        ----------
        table : str, optional
            Only what was imported with this table; "" for foods of one's own.
        tag : str
            Only what carries this tag.
        inactive : bool
            Deactivated foods too.
        active : bool
            Foods that are not deactivated; without them, only deactivated ones are read, which takes ``inactive``.
        """
        conditions = ["packed IS NOT NULL", *_WHICH[active, inactive]]
        parts: list[str] = []
        if table:
            conditions.append("food.id >= ? AND food.id < ?")
            parts += [f"{table}:", f"{table};"]
        elif table == "":
            conditions.append("food.own")
        if tag:
            conditions.append("food.row IN (SELECT food FROM tagged WHERE word = ?)")
            parts.append(tag)
        last = ""
        while True:
            found = self._all(
                "SELECT food.id, packed FROM food CROSS JOIN revision ON revision.row = food.current"
                f" WHERE food.id > ? AND {' AND '.join(conditions)} ORDER BY food.id LIMIT {_PAGE}",
                *(last, *parts),
            )
            for _food_id, packed in found:
                yield self._unpack(packed)
            if not found:
                return
            last = str(found[-1][0])

    def foods(self, *, table: str | None = None, tag: str = "", inactive: bool = False) -> Iterator[Food]:
        """The foods of ``entries``, as a project takes them."""
        for entry in self.entries(table=table, tag=tag, inactive=inactive):
            yield self.stamped(entry)

    def with_roles(self, roles: Iterable[str], most: int) -> tuple[list[Food], bool]:
        """Active foods of these roles, at most so many of each, in the order of ids; and whether there are more.

        Raises
        ------
        LibraryError
            If the library cannot be read.
        """
        with worded(self.path):
            asked = [self.index.found(_ANYTHING, most + 1, SearchFilter(role=role), similar=False) for role in roles]
        ids = sorted({one.id for found in asked for one in found[:most]})
        foods = [food for food_id in ids if (food := self.food(food_id)) is not None]
        return foods, any(len(found) > most for found in asked)

    def change_number(self) -> int:
        """A number that differs after every change by whatever connection, from any program."""
        with worded(self.path):
            return int(self._connection.execute("PRAGMA data_version").fetchone()[0])

    def count(self) -> int:
        """Active foods."""
        with worded(self.path):
            return int(self._connection.execute("SELECT count(*) FROM sought").fetchone()[0])

    def tags(self) -> list[str]:
        """Every tag in use."""
        return [str(word) for (word,) in self._all("SELECT DISTINCT word FROM tagged ORDER BY word")]

    def tables(self) -> Mapping[str, TableInfo]:
        """Imported tables, by key."""
        with worded(self.path):
            return {info.key: info for info in read_published(self._connection)}

    def revisions(self, food_id: str) -> list[Revision]:
        """Every state that a food has had, the present one first; without those that were taken back."""
        found = self._all(
            "WITH RECURSIVE state(row) AS (SELECT current FROM food WHERE id = ? UNION ALL"
            " SELECT before FROM state JOIN revision USING (row) WHERE before IS NOT NULL)"
            " SELECT row, at, words, note, packed FROM state JOIN revision USING (row)"
            " JOIN step ON step.number = revision.step ORDER BY row DESC",
            food_id,
        )
        return [
            Revision(row, at, words, note or "", None if packed is None else self._unpack(packed))  # type: ignore[arg-type]
            for row, at, words, note, packed in found
        ]

    def composites_of(self, food_id: str) -> list[str]:
        """Ids of composite ingredients that were made of a food and may have to be computed again when it changes."""
        found = self._all(
            "SELECT food.id FROM part JOIN food ON food.row = part.food WHERE part.id = ? ORDER BY food.id", food_id
        )
        return [str(composite) for (composite,) in found]

    def next_undo(self) -> Step | None:
        """What ``undo`` would take back."""
        with worded(self.path):
            return last_step(self._connection)

    def next_redo(self) -> Step | None:
        """What ``redo`` would do again."""
        with worded(self.path):
            return last_step(self._connection, undone=True)
