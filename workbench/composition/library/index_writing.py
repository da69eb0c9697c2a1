"""Keeping the search index in step with the foods: what a food is found by, written in the order of the index."""

import re
import sqlite3
from collections.abc import Iterable, Iterator

from workbench.composition.library.records import Entry
from workbench.composition.library.schema import DISTANCES, INDEXED, KNOWN_BITS
from workbench.composition.search_filter import SearchFilter, known_components
from workbench.composition.search_words import plainness, words_of
from workbench.composition.synonyms import Synonyms, bundled_synonyms

_COLUMN_OF = {distance: k for k, distance in enumerate(DISTANCES)}
_PLANT_ONLY = SearchFilter(plant_only=True)
_NOT_A_TOKEN = re.compile(r"[\W_]+")
_ROW_BITS, _LENGTH_BITS, _PREPARED_BITS = 30, 10, 6
_COLUMNS = ("place", "food", "called", "name", "source", "known_low", "known_high", *INDEXED)
_MARKS = ", ".join("?" * len(_COLUMNS))


def place_of(row: int, entry: Entry) -> int:
    """Where the food stands among all foods that a word finds equally well; unlike any other's."""
    prepared, length, _name = plainness(entry.food)
    prepared, length = min(prepared, 2**_PREPARED_BITS - 1), min(length, 2**_LENGTH_BITS - 1)
    first: int = (bool(entry.table) << _PREPARED_BITS | prepared) << _LENGTH_BITS | length
    return first << _ROW_BITS | row


def plainness_at(place: int) -> tuple[bool, int, int]:
    """Whether the food at a place is imported, how prepared it is, and how long its name is."""
    first = place >> _ROW_BITS
    length, prepared = first & (2**_LENGTH_BITS - 1), first >> _LENGTH_BITS
    return bool(prepared >> _PREPARED_BITS), prepared & (2**_PREPARED_BITS - 1), length


def token(prefix: str, word: str) -> str:
    """A fact as one word of the index."""
    return f"{prefix}_{_NOT_A_TOKEN.sub('_', word.casefold())}"


def facts_of(entry: Entry) -> Iterator[str]:
    """What ``SearchFilter`` may ask of a food, as words of the index."""
    food = entry.food
    if _PLANT_ONLY.admits(food):
        yield "plant_only"
    if food.contains is not None:
        yield "stated"
        for allergen in {*food.contains, *food.may_contain}:
            yield token("risk", allergen)
    for role in food.roles:
        yield token("role", role)
    for source in {value.source for value in food.values.values()}:
        yield token("source", source)


def fact_query(wanted: SearchFilter) -> str:
    """What the index must be asked so that only foods come that ``wanted`` admits; its components come on top."""
    needed = [
        *(["plant_only"] if wanted.plant_only else []),
        *(["stated"] if wanted.without else []),
        *([token("role", wanted.role)] if wanted.role else []),
        *([token("source", wanted.source)] if wanted.source else []),
    ]
    query = f"{{facts}} : ({' AND '.join(needed)})" if needed else ""
    if wanted.without:
        risks = " OR ".join(token("risk", allergen) for allergen in wanted.without)
        query = f"{query} NOT {{facts}} : ({risks})"
    return query


def known_bits(tags: Iterable[str], numbers: dict[str, int]) -> tuple[int, int]:
    """Components as the bits of two numbers; those beyond them are left out."""
    bits = 0
    for tag in tags:
        number = numbers.get(tag, 2 * KNOWN_BITS)
        if number < 2 * KNOWN_BITS:
            bits |= 1 << number
    return bits & (2**KNOWN_BITS - 1), bits >> KNOWN_BITS


class IndexWriter:
    """Writes the derived tables inside the transaction that is open; nothing is found before ``finish``."""

    def __init__(
        self, connection: sqlite3.Connection, numbers: dict[str, int], synonyms: Synonyms | None = None
    ) -> None:
        self._connection = connection
        self._numbers = numbers
        self._synonyms = bundled_synonyms() if synonyms is None else synonyms
        self._seen: set[str] = set()
        self._bits: dict[frozenset[str], tuple[int, int]] = {}  # foods of a table know much the same
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
        self._connection.execute("DELETE FROM tagged WHERE food = ?", (row,))
        self._connection.execute("DELETE FROM part WHERE food = ?", (row,))

    def add(self, row: int, entry: Entry) -> int | None:
        """Put a food into the index that is not in it.

        Returns
        -------
        int or None
            Its place; None for one that is not active and therefore not found.
        """
        self._connection.executemany("INSERT INTO tagged VALUES (?, ?)", [(tag, row) for tag in set(entry.tags)])
        if entry.made_from is not None:
            self._connection.executemany("INSERT INTO part VALUES (?, ?)", [(p, row) for p in entry.made_from.foods])
        if not entry.active:
            return None
        food, place = entry.food, place_of(row, entry)
        columns: list[list[str]] = [[] for _distance in DISTANCES]
        words = words_of(food, self._synonyms)
        for word, distance in words.items():
            columns[_COLUMN_OF[distance]].append(word)
        self._seen.update(words)
        known = frozenset(known_components(food))
        bits = self._bits.get(known)
        if bits is None:
            bits = self._bits[known] = known_bits(known, self._numbers)
        self._connection.execute(
            f"INSERT INTO temp.fresh VALUES ({_MARKS})",
            (
                place,
                row,
                plainness(food)[2],
                food.name,
                entry.table,
                *bits,
                *(" ".join(column) for column in columns),
                " ".join(facts_of(entry)),
            ),
        )
        return place

    def finish(self) -> None:
        """Write what was added, in the order in which the index takes it fastest."""
        run = self._connection.execute
        named = ", ".join(_COLUMNS)
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
