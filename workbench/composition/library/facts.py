"""What a filter may ask of a food, as words of the full-text index.

What is known of a food is one word as well: foods that know the same components are of one kind, and a table has few
kinds.  Where a filter fits more kinds than can be asked for at once, it fits many foods; then ``known`` is looked at.
"""

import re
import sqlite3
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from workbench.composition.library.records import Entry
from workbench.composition.library.schema import KIND, KNOWN_BITS
from workbench.composition.search_filter import SearchFilter
from workbench.composition.value_columns import columns_of

_PLANT_ONLY = SearchFilter(plant_only=True)
_NOT_A_TOKEN = re.compile(r"[\W_]+")
_MOST_KINDS = 60  # that are asked for at once


class Wanted(NamedTuple):
    """A filter as the index is asked for it."""

    query: str  # in the language of the index
    low: int  # bits of components that must be known and that the query does not ask for
    high: int


@lru_cache(maxsize=1_000)
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
    for source in {source for _kind, source, *_others in columns_of(food.values).ways}:
        yield token("source", source)


def asked_for(wanted: SearchFilter, connection: sqlite3.Connection) -> Wanted:
    """How the index must be asked so that only foods come that ``wanted`` admits."""
    needed = [
        *(["plant_only"] if wanted.plant_only else []),
        *(["stated"] if wanted.without else []),
        *([token("role", wanted.role)] if wanted.role else []),
        *([token("source", wanted.source)] if wanted.source else []),
    ]
    low = high = 0
    if wanted.known:
        low, high = known_bits(wanted.known, dict(connection.execute("SELECT word, number FROM tag")))
        found = connection.execute(
            "SELECT number FROM kind WHERE low & ? = ? AND high & ? = ? LIMIT ?",
            (low, low, high, high, _MOST_KINDS + 1),
        )
        kinds = [f"{KIND}{number}" for (number,) in found] or [f"{KIND}0"]  # no food is of the last
        if len(kinds) <= _MOST_KINDS:
            low = high = 0
            needed.append(f"({' OR '.join(kinds)})")
    query = f"{{facts}} : ({' AND '.join(needed)})" if needed else ""
    if wanted.without:
        risks = " OR ".join(token("risk", allergen) for allergen in wanted.without)
        query = f"{query} NOT {{facts}} : ({risks})"
    return Wanted(query, low, high)


def known_bits(tags: Iterable[str], numbers: dict[str, int]) -> tuple[int, int]:
    """Components as the bits of two numbers; those beyond them are left out."""
    bits = 0
    for tag in tags:
        number = numbers.get(tag, 2 * KNOWN_BITS)
        if number < 2 * KNOWN_BITS:
            bits |= 1 << number
    return bits & (2**KNOWN_BITS - 1), bits >> KNOWN_BITS
