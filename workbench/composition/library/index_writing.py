"""Keeping the search index in step with the foods: what a food is found by, written in the order of the index."""

import sqlite3

from workbench.composition.derive import looked_at
from workbench.composition.food import Food
from workbench.composition.library.facts import facts_of, known_bits
from workbench.composition.library.records import Entry
from workbench.composition.library.schema import DISTANCES, INDEXED, KIND
from workbench.composition.search_filter import known_components
from workbench.composition.search_words import plainness, words_of
from workbench.composition.synonyms import Synonyms, bundled_synonyms

_COLUMN_OF = {distance: k for k, distance in enumerate(DISTANCES)}
_ROW_BITS, _LENGTH_BITS, _PREPARED_BITS = 30, 10, 6
_SOUGHT = ("place", "food", "called", "name", "source", *INDEXED)
_COLUMNS = ("low", "high", *_SOUGHT)
_TOGETHER = 250  # rows that are written by one call
_MOST_ALIKE = 5_000
_MARKS = ", ".join("?" * len(_COLUMNS))


def place_of(row: int, table: str, prepared: int, length: int) -> int:
    """Where a food stands among all foods that a word finds equally well; unlike any other's."""
    prepared, length = min(prepared, 2**_PREPARED_BITS - 1), min(length, 2**_LENGTH_BITS - 1)
    first: int = (bool(table) << _PREPARED_BITS | prepared) << _LENGTH_BITS | length
    return first << _ROW_BITS | row


def plainness_at(place: int) -> tuple[bool, int, int]:
    """Whether the food at a place is imported, how prepared it is, and how long its name is."""
    first = place >> _ROW_BITS
    length, prepared = first & (2**_LENGTH_BITS - 1), first >> _LENGTH_BITS
    return bool(prepared >> _PREPARED_BITS), prepared & (2**_PREPARED_BITS - 1), length


class IndexWriter:
    """Writes the derived tables inside the transaction that is open; nothing is found before ``finish``."""

    def __init__(
        self, connection: sqlite3.Connection, numbers: dict[str, int], synonyms: Synonyms | None = None
    ) -> None:
        self._connection = connection
        self._numbers = numbers
        self._synonyms = bundled_synonyms() if synonyms is None else synonyms
        self._seen: set[str] = set()
        self._known: dict[tuple[object, ...], tuple[int, int]] = {}  # foods of a table know much the same
        self._kinds = {(low, high): n for n, low, high in connection.execute("SELECT number, low, high FROM kind")}
        self._rows: list[tuple[object, ...]] = []
        connection.execute(f"CREATE TEMP TABLE IF NOT EXISTS fresh ({', '.join(_COLUMNS)})")
        connection.execute("DELETE FROM temp.fresh")

    def forget(self, row: int, place: int | None) -> None:
        """Take a food out of the index."""
        if place is not None:
            named = ", ".join(INDEXED)
            self._connection.execute(
                f"INSERT INTO words (words, rowid, {named})"
                f" SELECT 'delete', place, {named} FROM sought WHERE place = ?",
                (place,),
            )
            self._connection.execute("DELETE FROM sought WHERE place = ?", (place,))
            self._connection.execute("DELETE FROM known WHERE place = ?", (place,))
        self._connection.execute("DELETE FROM tagged WHERE food = ?", (row,))
        self._connection.execute("DELETE FROM part WHERE food = ?", (row,))

    def add(self, row: int, entry: Entry) -> int | None:
        """Put a food into the index that is not in it.

        Returns
        -------
        int or None
            Its place; None for one that is not active and therefore not found.
        """
        if entry.tags:
            self._connection.executemany("INSERT INTO tagged VALUES (?, ?)", [(tag, row) for tag in set(entry.tags)])
        if entry.made_from is not None:
            self._connection.executemany("INSERT INTO part VALUES (?, ?)", [(p, row) for p in entry.made_from.foods])
        if not entry.active:
            return None
        food = entry.food
        prepared, length, called = plainness(food)
        place = place_of(row, entry.table, prepared, length)
        columns = [""] * len(DISTANCES)
        words = words_of(food, self._synonyms)
        for word, distance in words.items():
            column = _COLUMN_OF[distance]
            columns[column] = f"{columns[column]} {word}" if columns[column] else word
        self._seen.update(words)
        known = self._known_of(food)
        facts = " ".join((*facts_of(entry), f"{KIND}{self._kind(known)}"))
        self._rows.append((*known, place, row, called, food.name, entry.table, *columns, facts))
        if len(self._rows) >= _TOGETHER:
            self._store()
        return place

    def _known_of(self, food: Food) -> tuple[int, int]:
        key = looked_at(food)
        bits = self._known.get(key)
        if bits is None:
            if len(self._known) >= _MOST_ALIKE:
                self._known.clear()
            bits = self._known[key] = known_bits(known_components(food), self._numbers)
        return bits

    def _kind(self, known: tuple[int, int]) -> int:
        number = self._kinds.get(known)
        if number is None:
            number = self._kinds[known] = len(self._kinds) + 1
            self._connection.execute("INSERT INTO kind (number, low, high) VALUES (?, ?, ?)", (number, *known))
        return number

    def _store(self) -> None:
        self._connection.executemany(f"INSERT INTO temp.fresh VALUES ({_MARKS})", self._rows)
        self._rows.clear()

    def finish(self) -> None:
        """Write what was added, in the order in which the index takes it fastest."""
        self._store()
        run = self._connection.execute
        named = ", ".join(_SOUGHT)
        run("INSERT INTO known (place, low, high) SELECT place, low, high FROM temp.fresh ORDER BY place")
        run(f"INSERT INTO sought ({named}) SELECT {named} FROM temp.fresh ORDER BY place")
        indexed = ", ".join(INDEXED)
        run(f"INSERT INTO words (rowid, {indexed}) SELECT place, {indexed} FROM temp.fresh ORDER BY place")
        run("DELETE FROM temp.fresh")
        last = run("SELECT coalesce(max(row), 0) FROM vocabulary").fetchone()[0]
        self._connection.executemany(
            "INSERT OR IGNORE INTO vocabulary (word) VALUES (?)", ((word,) for word in sorted(self._seen))
        )
        run(
            "INSERT INTO spelling (rowid, padded) SELECT row, '  ' || word || ' ' FROM vocabulary WHERE row > ?",
            (last,),
        )
        self._seen.clear()
