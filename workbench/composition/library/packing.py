"""An entry as bytes: one blob a food, its figures packed side by side, the words for tags once in the whole library.

A food of a hundred values takes about 1.2 kB.  Nothing is rounded: what is unpacked equals what was packed.
"""

import struct
from collections.abc import Callable, Mapping, Sequence

import msgspec

from workbench.composition.food import Kind, Value
from workbench.composition.library.records import Entry

Way = tuple[Kind, str, str, str, str]  # kind, source, code, rule, note: what most values of a food have in common


class _Packed(msgspec.Struct, array_like=True):
    entry: Entry  # its food without values
    tags: bytes  # numbers of the words for tags, 16 bits each
    figures: bytes  # doubles
    ways: list[Way]
    way_of: bytes  # place in ``ways`` of every value, 16 bits each; nothing where there is only one
    n: list[int | None]  # empty where no value says it
    sd: list[float | None]


_encoder = msgspec.msgpack.Encoder()
_decoder = msgspec.msgpack.Decoder(_Packed)
_as_tuple = msgspec.structs.astuple
_NO_VALUES: dict[str, Value] = {}


def pack(entry: Entry, number_tags: Callable[[tuple[str, ...]], bytes]) -> bytes:
    """The bytes of ``entry``; ``number_tags`` gives every tag its permanent number, see `pack_tags`."""
    food, size = entry.food, len(entry.food.values)
    figures: Sequence[float] = ()
    ways: dict[Way, int] = {}
    way_of: Sequence[int] = ()
    n: Sequence[int | None] = ()
    sd: Sequence[float | None] = ()
    if size:  # column by column, because a table has a million values
        figures, kind, source, code, rule, n, sd, note = zip(*map(_as_tuple, food.values.values()), strict=True)
        each = list(zip(kind, source, code, rule, note, strict=True))
        ways = {way: k for k, way in enumerate(dict.fromkeys(each))}
        way_of = [ways[way] for way in each] if len(ways) > 1 else ()
    packed = _Packed(
        msgspec.structs.replace(entry, food=msgspec.structs.replace(food, values=_NO_VALUES)),
        number_tags(tuple(food.values)),
        struct.pack(f"<{size}d", *figures),
        list(ways),
        struct.pack(f"<{len(way_of)}H", *way_of),
        list(n) if n.count(None) < size else [],
        list(sd) if sd.count(None) < size else [],
    )
    return _encoder.encode(packed)


def pack_tags(numbers: Sequence[int]) -> bytes:
    """The numbers of tags, each below 65,536."""
    return struct.pack(f"<{len(numbers)}H", *numbers)


def unpack(packed: bytes, tags: Sequence[str] | Mapping[int, str]) -> Entry:
    """The entry that ``pack`` was given.

    Raises
    ------
    msgspec.MsgspecError, struct.error, LookupError
        If the bytes are not what ``pack`` gave.
    """
    found = _decoder.decode(packed)
    entry, size = found.entry, len(found.figures) // 8
    figures = struct.unpack(f"<{size}d", found.figures)
    numbers = struct.unpack(f"<{size}H", found.tags)
    way_of = struct.unpack(f"<{size}H", found.way_of) if found.way_of else (0,) * size
    n, sd = found.n or (None,) * size, found.sd or (None,) * size
    values: dict[str, Value] = {}
    for k in range(size):
        kind, source, code, rule, note = found.ways[way_of[k]]
        values[tags[numbers[k]]] = Value(figures[k], kind, source, code, rule, n[k], sd[k], note)
    return msgspec.structs.replace(entry, food=msgspec.structs.replace(entry.food, values=values))
