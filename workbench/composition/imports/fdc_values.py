"""The values of FoodData Central, food_nutrient.csv: the one file that is so long that it needs care.

It may hold the values of a food in several places, so all of it is read before the first food is made; until
then a value takes 48 bytes.
"""

import math
import struct
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.composition.components import COMPONENTS, HIGHEST
from workbench.composition.food import Kind, Value
from workbench.composition.imports import findings, plain_columns, usda
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.figures import Take
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Header, Meter, byte_blocks, rows_of, shape_of
from workbench.composition.value_columns import Columns, ColumnValues

NAME = "food_nutrient.csv"
_HIGHEST_ID = 1_000_000  # of a nutrient, for the quick way
_MOST_TAGS, _MOST_RANKS, _MOST_DERIVATIONS = 256, 64, 1 << 20
_HIGHEST_FOOD = 10**14  # of a food; with its tag and rank it fits into 64 bits
_NAN = math.nan


class _Part(NamedTuple):
    """Values of one block, column by column."""

    food: npt.NDArray[np.int64]
    place: npt.NDArray[np.int64]  # of the nutrient among the takes
    amount: npt.NDArray[np.float64]
    n: npt.NDArray[np.int64]  # -1 where it is not said
    sd: npt.NDArray[np.float64]
    derivation: npt.NDArray[np.int64]

    def chosen(self, rows: npt.NDArray[np.bool_] | npt.NDArray[np.int64]) -> "_Part":
        """Some of the values, or all in another order."""
        return _Part(
            self.food[rows], self.place[rows], self.amount[rows], self.n[rows], self.sd[rows], self.derivation[rows]
        )


def _together(parts: Sequence[_Part]) -> _Part:
    if not parts:
        return _part(())
    return _Part(
        np.concatenate([part.food for part in parts]),
        np.concatenate([part.place for part in parts]),
        np.concatenate([part.amount for part in parts]),
        np.concatenate([part.n for part in parts]),
        np.concatenate([part.sd for part in parts]),
        np.concatenate([part.derivation for part in parts]),
    )


class _Columns(NamedTuple):
    """Where the columns stand; -1 for one that is missing."""

    n_cells: int
    food: int
    nutrient: int
    amount: int
    n: int
    derivation: int
    se: int
    low: int
    high: int


class _OfFood(NamedTuple):
    """Values of one food: how each was found, figures as packed doubles, samples, spreads."""

    ways: npt.NDArray[np.int64]
    figures: bytes
    n: Sequence[int | None]
    sd: Sequence[float | None]


class StoredValues:
    """Every value of the table that is taken, found again by food; of several for one component the best."""

    def __init__(self, parts: Sequence[_Part], takes: Sequence[Take]) -> None:
        columns = _together(parts)
        tags = {tag: k for k, tag in enumerate(COMPONENTS)}
        tag = np.array([tags[take.tag] for take in takes], np.int64)[columns.place]
        rank = np.array([take.rank for take in takes], np.int64)[columns.place]
        component = columns.food * _MOST_TAGS + tag
        order = np.argsort(component * _MOST_RANKS + rank, kind="stable")
        component, rank = component[order], rank[order]
        again = np.zeros(len(order), np.bool_)
        again[1:] = component[1:] == component[:-1]
        twice = again.copy()
        twice[1:] &= rank[1:] == rank[:-1]
        self.twice = [(str(columns.food[k]), takes[columns.place[k]].tag) for k in order[twice]]
        self._all = columns.chosen(order[~again])
        food = self._all.food
        starts = np.flatnonzero(np.diff(food, prepend=-1))
        ends = [*starts[1:].tolist(), len(food)]
        self._at = {code: slice(a, b) for code, a, b in zip(food[starts].tolist(), starts.tolist(), ends, strict=True)}
        self._figures = self._all.amount.astype("<f8", copy=False)
        highest = np.array([HIGHEST[take.tag] for take in takes])[self._all.place]
        wrong = ~((self._all.amount >= 0.0) & (self._all.amount <= highest))  # NaN is wrong too
        self.doubtful = frozenset(map(str, self._all.food[wrong].tolist()))
        self._spreads = not np.isnan(self._all.sd).all()
        # What values have in common by how they were found: few ways, so that each is looked up once.
        n_derivations = int(self._all.derivation.max(initial=0)) + 2
        way = self._all.place * n_derivations + self._all.derivation + 1
        used = np.bincount(way, minlength=1) > 0
        self._way = (np.cumsum(used) - 1)[way]
        self.ways = [(takes[k // n_derivations], k % n_derivations - 1) for k in np.flatnonzero(used).tolist()]

    def codes(self) -> Iterator[tuple[str, int]]:
        """Codes of foods, with how many values they have."""
        return ((str(code), span.stop - span.start) for code, span in self._at.items())

    def of(self, code: str) -> _OfFood | None:
        """The values of one food."""
        here = self._at.get(int(code)) if code.isdecimal() else None
        if here is None:
            return None
        n = self._all.n[here].tolist()
        if min(n) <= 0:
            n = [samples if samples > 0 else None for samples in n]
        sd = [None if sd != sd else sd for sd in self._all.sd[here].tolist()] if self._spreads else ()
        return _OfFood(self._way[here], self._figures[here].tobytes(), n, sd)


def read(
    bundle: Bundle, place_of: Mapping[str, int], takes: Sequence[Take], tally: Tally, meter: Meter
) -> StoredValues:
    """Read the whole file.

    Parameters
    ----------
    place_of : mapping of str to int
        Place of a nutrient among ``takes``, by its id.
    takes : sequence of Take
        What is taken of each.
    """
    parts: list[_Part] = []
    times = np.array([take.factor for take in takes])
    quick = all(key.isdecimal() and int(key) < _HIGHEST_ID for key in place_of)
    table = np.full(_HIGHEST_ID if quick else 0, -1, np.int64)
    for key, place in place_of.items() if quick else ():
        table[int(key)] = place
    with bundle.open(NAME) as stream:
        blocks = byte_blocks(stream, shape_of(bundle, NAME, ",").encoding, NAME, meter)
        line, _end, rest = next(blocks, b"").partition(b"\n")
        columns = _columns(next(rows_of(iter((line,)), NAME, tally), []))
        for data in _chain(rest, blocks):
            part = _quick(data, columns, table, tally) if quick else None
            if part is None:  # from here on a cell may reach over lines
                parts += _slow(_chain(data, blocks), columns, place_of, tally)
                break
            parts.append(part)
    parts = [p._replace(amount=p.amount * times[p.place], sd=p.sd * times[p.place]) for p in parts if len(p.food)]
    return StoredValues(parts, takes)


def _chain(first: bytes, rest: Iterator[bytes]) -> Iterator[bytes]:
    if first:
        yield first
    yield from rest


def _columns(cells: Sequence[str]) -> _Columns:
    header = Header(cells, NAME)
    food, nutrient, amount = header.need("fdc_id", "nutrient_id", "amount")
    return _Columns(
        len(cells), food, nutrient, amount, header.get("data_points"), header.get("derivation_id"),
        header.get("standard_error", "std_error"), header.get("min"), header.get("max"),
    )  # fmt: skip


def _quick(data: bytes, columns: _Columns, table: npt.NDArray[np.int64], tally: Tally) -> _Part | None:
    """Values of a block of plain lines; None where it holds anything else."""
    if columns.se >= 0 or not data.endswith(b"\n"):
        return None
    block = plain_columns.block_of(data, columns.n_cells)
    if block is None:
        return None
    nutrients = plain_columns.whole(block.figures(columns.nutrient))
    if nutrients is None:
        return None
    places = np.where(nutrients < len(table), table[np.minimum(nutrients, len(table) - 1)], -1)
    taken = places >= 0
    block, places = block.rows(taken), places[taken]
    food = plain_columns.whole(block.figures(columns.food))
    amount = plain_columns.decimal(block.figures(columns.amount))
    none = np.full(len(block), -1, np.int64)
    n_found = plain_columns.decimal(block.figures(columns.n)) if columns.n >= 0 else np.full(len(block), _NAN)
    derivation = plain_columns.whole(block.figures(columns.derivation)) if columns.derivation >= 0 else none
    if food is None or amount is None or n_found is None or derivation is None:
        return None
    if (food < 0).any() or (food >= _HIGHEST_FOOD).any() or (derivation >= _MOST_DERIVATIONS - 1).any():
        return None
    stated = ~np.isnan(amount)
    n = np.nan_to_num(n_found, nan=-1.0).astype(np.int64)
    sd = np.full(len(food), _NAN)
    blanks = len(amount) - int(np.count_nonzero(stated))
    tally.blanks += blanks
    part = _Part(food, places, amount, n, sd, derivation)
    return part.chosen(stated) if blanks else part


_MANY = 20_000  # values that become arrays together


def _slow(data: Iterator[bytes], columns: _Columns, place_of: Mapping[str, int], tally: Tally) -> Iterator[_Part]:
    """Values of lines of any kind, one by one."""
    found: list[tuple[int, int, float, int, float, int]] = []
    for row in rows_of(data, NAME, tally):
        if len(row) < 2:
            continue
        try:
            place = place_of.get(row[columns.nutrient])
            if place is not None and row[columns.amount]:
                found.append(_one(row, columns, place))
            elif place is not None:
                tally.blanks += 1
        except (ValueError, IndexError, OverflowError):
            tally.note(findings.UNREADABLE, f"{NAME}: {','.join(row)[:60]}")
        if len(found) >= _MANY:
            yield _part(found)
            found = []
    yield _part(found)


def _one(row: Sequence[str], columns: _Columns, place: int) -> tuple[int, int, float, int, float, int]:
    def figure(column: int) -> float | None:
        return float(row[column]) if 0 <= column < len(row) and row[column] else None

    n = figure(columns.n)
    samples = int(n) if n is not None and math.isfinite(n) else -1
    sd = usda.spread(figure(columns.se), samples, figure(columns.low), figure(columns.high))
    derivation = figure(columns.derivation)
    if not 0 <= int(row[columns.food]) < _HIGHEST_FOOD:
        raise OverflowError
    return (
        int(row[columns.food]), place, float(row[columns.amount]), samples, _NAN if sd is None else sd,
        -1 if derivation is None else min(int(derivation), _MOST_DERIVATIONS - 2),
    )  # fmt: skip


def _part(found: Sequence[tuple[int, int, float, int, float, int]]) -> _Part:
    food, place, amount, n, sd, derivation = zip(*found, strict=True) if found else ((),) * 6
    return _Part(
        np.array(food, np.int64),
        np.array(place, np.int64),
        np.array(amount, np.float64),
        np.array(n, np.int64),
        np.array(sd, np.float64),
        np.array(derivation, np.int64),
    )


class _Alike(NamedTuple):
    """What foods have in common whose values were found in the same ways."""

    tags: tuple[str, ...]
    ways: tuple[tuple[Kind, str], ...]  # kind and note, in the order of their first use
    way_of: bytes


_MOST_ALIKE = 2_000


class ValueMaker:
    """Makes the values of one food after the other."""

    def __init__(self, stored: StoredValues, derivations: Mapping[int, str], source: str) -> None:
        self._stored, self._source = stored, source
        self._tags = [take.tag for take, _derivation in stored.ways]
        usual: tuple[Kind, ...] = ("measured", "label")
        self._ways = {kind: [(_kind(*way, derivations, kind), way[0].note) for way in stored.ways] for kind in usual}
        self._alike: dict[tuple[Kind, bytes], _Alike] = {}

    def values(self, code: str, usual: Kind) -> Mapping[str, Value]:
        """The values of the food with this code."""
        found = self._stored.of(code)
        if found is None:
            return {}
        key = (usual, found.ways.tobytes())
        alike = self._alike.get(key)
        if alike is None:
            if len(self._alike) >= _MOST_ALIKE:
                self._alike.clear()
            alike = self._alike[key] = self._alike_as(found.ways.tolist(), usual)
        n = found.n if found.n.count(None) < len(found.n) else ()
        sd = found.sd if found.sd.count(None) < len(found.sd) else ()
        ways = [(kind, self._source, code, "", note) for kind, note in alike.ways]
        return ColumnValues(Columns(alike.tags, found.figures, ways, alike.way_of, n, sd))

    def _alike_as(self, ways: Sequence[int], usual: Kind) -> _Alike:
        each = [self._ways[usual][way] for way in ways]
        place = {way: k for k, way in enumerate(dict.fromkeys(each))}
        way_of = struct.pack(f"<{len(each)}H", *[place[way] for way in each]) if len(place) > 1 else b""
        return _Alike(tuple([self._tags[way] for way in ways]), tuple(place), way_of)


def _kind(take: Take, derivation: int, derivations: Mapping[int, str], usual: Kind) -> Kind:
    kind = usda.kind_of(derivations[derivation], usual) if derivation in derivations else usual
    return take.kind if kind == "measured" else kind
