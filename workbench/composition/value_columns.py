"""The values of one food side by side, as a long table and the library hold them; a `Value` is made when asked for.

A table has a million values whose publication, code and kind are the same for most of a food: making an object of each
only to pack it again took half of the time of an import.
"""

import struct
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import msgspec

from workbench.composition.food import Kind, Value

Way = tuple[Kind, str, str, str, str]
"""Kind, source, code, rule and note: what most values of a food have in common."""

_as_tuple = msgspec.structs.astuple


class Columns(NamedTuple):
    """Values in their order, a column for each of their facts."""

    tags: tuple[str, ...]
    figures: bytes  # doubles
    ways: Sequence[Way]  # in the order of their first use
    way_of: bytes  # place in ``ways`` of every value, 16 bits each; nothing where there is only one
    n: Sequence[int | None]  # empty where no value says it
    sd: Sequence[float | None]

    def amounts(self) -> tuple[float, ...]:
        """The figures as numbers."""
        return struct.unpack(f"<{len(self.figures) // 8}d", self.figures)

    def all(self) -> dict[str, Value]:
        """Every value, made.

        Raises
        ------
        struct.error, LookupError, ValueError
            If the columns do not belong together.
        """
        size = len(self.tags)
        way_of = struct.unpack(f"<{size}H", self.way_of) if self.way_of else (0,) * size
        rows = zip(self.tags, self.amounts(), way_of, self.n or (None,) * size, self.sd or (None,) * size, strict=True)
        values = {}
        for tag, amount, way, n, sd in rows:
            kind, source, code, rule, note = self.ways[way]
            values[tag] = Value(amount, kind, source, code, rule, n, sd, note)
        return values


class ColumnValues(Mapping[str, Value]):
    """Values by tag that stay columns until the first of them is looked at."""

    __slots__ = ("_made", "columns")

    def __init__(self, columns: Columns) -> None:
        self.columns = columns
        self._made: dict[str, Value] | None = None

    def __getitem__(self, tag: str) -> Value:
        if self._made is None:
            self._made = self.columns.all()
        return self._made[tag]

    def __contains__(self, tag: object) -> bool:
        return tag in self.columns.tags

    def __iter__(self) -> Iterator[str]:
        return iter(self.columns.tags)

    def __len__(self) -> int:
        return len(self.columns.tags)

    def __repr__(self) -> str:
        return repr(dict(self))


def columns_of(values: Mapping[str, Value]) -> Columns:
    """Any values as columns."""
    if isinstance(values, ColumnValues):
        return values.columns
    if not values:
        return _NONE
    figures, kind, source, code, rule, n, sd, note = zip(*map(_as_tuple, values.values()), strict=True)
    each = list(zip(kind, source, code, rule, note, strict=True))
    ways = {way: k for k, way in enumerate(dict.fromkeys(each))}
    size = len(each)
    return Columns(
        tuple(values),
        struct.pack(f"<{size}d", *figures),
        list(ways),
        struct.pack(f"<{size}H", *[ways[way] for way in each]) if len(ways) > 1 else b"",
        n if n.count(None) < size else (),
        sd if sd.count(None) < size else (),
    )


_NONE = Columns((), b"", (), b"", (), ())
