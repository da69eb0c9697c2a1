"""Searching the library by its full-text index, ranked as ``search`` ranks the foods it holds in memory.

The index gives its answers in the order of ``sought.place``: plain foods first.  For one word it is asked for one
distance after the other, so that its answers are ranked already; for several words at most ``MOST_RANKED`` of them are
ranked here.  Nothing is read of a food but its name until it is chosen.
"""

import sqlite3
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple

from workbench.composition.library.connection import at_one_moment
from workbench.composition.library.facts import Wanted, asked_for
from workbench.composition.library.index_writing import plainness_at
from workbench.composition.library.schema import DISTANCES, WORD_COLUMNS
from workbench.composition.plurals import singulars
from workbench.composition.search_filter import SearchFilter
from workbench.composition.search_ranking import (
    BEGINS,
    FIRST_RANKED_LETTERS,
    INSIDE,
    MOST_RANKED,
    Found,
    Rank,
    Typed,
    forgiving,
    similar_words,
    trigrams_of,
    typed_words,
)

_ANY = Wanted("", 0, 0)
_END = "\U0010ffff"
_NOWHERE = 10_000
_NEXT = " \n "  # between the words of two distances
_MOST_HOLDING = 100  # words that hold what was typed; shorter ones first

_ANY_WORD = f"{{{' '.join(WORD_COLUMNS)}}}"
_NAMED = "sought.place, id, sought.name, source, called FROM sought JOIN food ON food.row = sought.food"

Distances = dict[int, int]  # place -> distance


class _Word(NamedTuple):
    """A typed word, and what else may stand for it."""

    typed: str
    forms: tuple[str, ...]  # it, and what it may be the plural of
    holding: tuple[str, ...] = ()  # words that it is a part of
    similar: Mapping[str, int] = MappingProxyType({})  # words of similar spelling, with what the distance grows by

    def exact(self) -> str:
        return f"({' OR '.join(map(_quoted, self.forms))})"

    def begun(self) -> str:
        words = (f"{_quoted(self.typed)} *", *map(_quoted, (*self.forms, *self.holding, *self.similar)))
        return f"({' OR '.join(words)})"

    def distance(self, words: str) -> int:
        """From a food with these words, nearest first, a line for each distance; very large if it has none of them."""
        ways = [(f" {form} ", 0) for form in self.forms]
        ways += [(f" {self.typed}", BEGINS), *((f" {word} ", extra) for word, extra in self.similar.items())]
        if self.holding:
            ways.append((self.typed, INSIDE))
        nearest = _NOWHERE
        for part, extra in ways:
            at = words.find(part)
            if at >= 0:
                nearest = min(nearest, DISTANCES[words.count("\n", 0, at)] + extra)
        return nearest


def _quoted(word: str) -> str:
    return f'"{word}"'


class LibraryIndex:
    """The index of one library, read through a connection that its owner keeps open."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    def find(self, text: str, limit: int = 200, filters: SearchFilter | None = None) -> list[Found]:
        """Foods of this library alone in which every word of ``text`` occurs, best first; slips are forgiven.

        Raises
        ------
        sqlite3.Error
            If the library cannot be read.
        """
        typed = typed_words(text)
        return forgiving(
            lambda similar: self.found(typed, limit, filters, similar=similar),
            lambda: typed.is_short or bool(self.found(typed, 1, None, similar=False)),
        )

    def found(self, typed: Typed, limit: int, filters: SearchFilter | None, *, similar: bool) -> list[Found]:
        """Foods in which every typed word occurs, best first; only words of similar spelling count if ``similar``.

        Raises
        ------
        sqlite3.Error
            If the library cannot be read.
        """
        with at_one_moment(self._connection):  # what was found is named by a second query
            wanted = asked_for(filters, self._connection) if filters else _ANY
            if typed.is_short or all(len(word) < 2 for word in typed.words):
                return [] if similar else self._beginning(typed, limit, wanted)
            if len(typed.words) == 1 and not similar:
                distances = self._one_word(typed.words[0], limit, wanted)
            else:
                distances = self._several(typed.words, limit, wanted, similar=similar)
            return self._named(distances, limit)

    def having(self, ids: list[str]) -> set[str]:
        """Which of these foods the library has, active."""
        marks = ", ".join("?" * len(ids))
        rows = self._connection.execute(f"SELECT id FROM food WHERE place IS NOT NULL AND id IN ({marks})", ids)
        return {food_id for (food_id,) in rows}

    # --- short texts --------------------------------------------------------------------------------------------------

    def _beginning(self, typed: Typed, limit: int, wanted: Wanted) -> list[Found]:
        """Names that begin with what was typed, in alphabetical order; then foods with another word that does."""
        text = typed.text
        found: list[Found] = []
        if wanted == _ANY:
            rows = self._connection.execute(
                f"SELECT {_NAMED} WHERE called >= ? AND called < ? ORDER BY called LIMIT ?", (text, text + _END, limit)
            )
            found = [_beginning_with(text, *row) for row in rows]
        if len(found) < limit and (wanted != _ANY or text):
            words = f"{_ANY_WORD} : ({_quoted(typed.words[-1])} *)" if typed.words else ""
            for place, _columns in self._asked(words, 2 * limit, wanted):
                found.append(_beginning_with(text, *self._name_at(place)))
        return sorted(set(found))[:limit]

    # --- ranking ------------------------------------------------------------------------------------------------------

    def _asked(
        self, words: str, limit: int, wanted: Wanted, *, columns: bool = False
    ) -> Iterator[tuple[int, tuple[str, ...]]]:
        """Places, and if asked the words by distance, of the plainest foods that fit a query and the filter."""
        facts, low, high = wanted
        query = " AND ".join(part for part in (words, facts) if part)
        # In this order: the cheapest says which foods the others are asked about.
        tables: list[tuple[str, str]] = []  # with the name of the place in it
        conditions: list[str] = []
        parts: list[object] = []
        if query:
            tables.append(("words", "rowid"))
            conditions.append("words MATCH ?")
            parts.append(query)
        if low or high or not query:
            tables.append(("known", "place"))
            conditions += ["low & ? = ?", "high & ? = ?"]
            parts += [low, low, high, high]
        if columns:
            tables.append(("sought", "place"))
        first = ".".join(tables[0])
        conditions += [f"{table}.{place} = {first}" for table, place in tables[1:]]
        named = ", ".join((first, *(f"sought.{column}" for column in WORD_COLUMNS if columns)))
        joined = " CROSS JOIN ".join(table for table, _place in tables)
        for place, *texts in self._connection.execute(
            f"SELECT {named} FROM {joined} WHERE {' AND '.join(conditions)} ORDER BY {first} LIMIT ?", (*parts, limit)
        ):
            yield place, tuple(texts)

    def _one_word(self, word: str, limit: int, wanted: Wanted) -> Distances:
        """One distance after the other, until there are enough."""
        found: Distances = {}
        typed = _Word(word, _forms(word))
        for query, extra in ((typed.exact(), 0), (f"({_quoted(word)} *)", BEGINS)):
            for distance, column in zip(DISTANCES, WORD_COLUMNS, strict=True):
                if len(found) >= limit:
                    return found
                for place, _columns in self._asked(f"{{{column}}} : {query}", limit, wanted):
                    found.setdefault(place, distance + extra)
        if len(found) < limit:
            self._rank_into(found, [typed._replace(holding=self._holding(word))], wanted)
        return found

    def _several(self, words: tuple[str, ...], limit: int, wanted: Wanted, *, similar: bool) -> Distances:
        found: Distances = {}
        if similar:
            typed = [_Word(word, _forms(word), similar=self._similar(word)) for word in words]
            self._rank_into(found, typed, wanted)
            return found
        typed = [_Word(word, _forms(word)) for word in words]
        seen = 0
        if all(len(word) > 1 for word in words):
            seen = self._rank_into(found, typed, wanted, exact=True)
        if seen < MOST_RANKED:
            self._rank_into(found, typed, wanted)
        if len(found) < limit:
            holding = [word._replace(holding=self._holding(word.typed)) for word in typed]
            self._rank_into(found, holding, wanted)
        return found

    def _rank_into(self, found: Distances, words: list[_Word], wanted: Wanted, *, exact: bool = False) -> int:
        """Add foods in which every word occurs; a single letter is only looked for in what longer words find.

        Returns
        -------
        int
            Foods that were looked at.
        """
        asked = [word for word in words if len(word.typed) > 1]
        query = " AND ".join(f"{_ANY_WORD} : {word.exact() if exact else word.begun()}" for word in asked)
        seen = 0
        for place, columns in self._asked(query, MOST_RANKED, wanted, columns=True):
            seen += 1
            if place not in found:
                text = " ".join(("", _NEXT.join(columns), ""))
                distance = sum(word.distance(text) for word in words)
                if distance < _NOWHERE:
                    found[place] = distance
        return seen

    def _named(self, distances: Distances, limit: int) -> list[Found]:
        nearest = sorted(distances.items(), key=lambda item: (item[1], item[0]))[:limit]
        found = []
        for place, distance in nearest:
            _place, food_id, name, source, called = self._name_at(place)
            found.append(Found(Rank(distance, *plainness_at(place), called), food_id, name, source))
        return found

    def _name_at(self, place: int) -> tuple[int, str, str, str, str]:
        row: tuple[int, str, str, str, str] = self._connection.execute(
            f"SELECT {_NAMED} WHERE sought.place = ?", (place,)
        ).fetchone()
        return row

    # --- words that are not typed in full -----------------------------------------------------------------------------

    def _spelled(self, query: str, order: str, limit: int) -> list[str]:
        rows = self._connection.execute(
            "SELECT word FROM spelling JOIN vocabulary ON vocabulary.row = spelling.rowid WHERE spelling MATCH ?"
            f" ORDER BY {order} LIMIT ?",
            (query, limit),
        )
        return [word for (word,) in rows]

    def _holding(self, part: str) -> tuple[str, ...]:
        """Words that hold ``part``, not at their beginning."""
        if len(part) < FIRST_RANKED_LETTERS:
            return ()
        trigrams = " AND ".join(_quoted(part[k : k + 3]) for k in range(len(part) - 2))
        words = self._spelled(trigrams, "length(word)", MOST_RANKED)
        holding = [word for word in words if part in word and not word.startswith(part)]
        return tuple(holding[:_MOST_HOLDING])

    def _similar(self, word: str) -> dict[str, int]:
        if len(word) < FIRST_RANKED_LETTERS:
            return {}
        query = " OR ".join(_quoted(trigram) for trigram in sorted(trigrams_of(word)))
        return similar_words(word, self._spelled(query, "rank", MOST_RANKED))


def _forms(word: str) -> tuple[str, ...]:
    return tuple(sorted({word, *singulars(word)}))


def _beginning_with(text: str, place: int, food_id: str, name: str, source: str, called: str) -> Found:
    distance = 0 if called.startswith(text) else BEGINS
    return Found(Rank(distance, plainness_at(place)[0], 0, 0, called), food_id, name, source)
