"""An entry as bytes: one blob a food, its figures packed side by side, the words for tags once in the whole library.

A food of a hundred values takes about 1.2 kB.  Nothing is rounded: what is unpacked equals what was packed.
"""

import struct
from collections.abc import Callable, Mapping, Sequence

import msgspec

from workbench.composition.food import Value
from workbench.composition.library.records import Entry
from workbench.composition.value_columns import Columns, Way, columns_of


class _Packed(msgspec.Struct, array_like=True):
    entry: Entry  # its food without values
    tags: bytes  # numbers of the words for tags, 16 bits each
    figures: bytes  # the rest as in ``Columns``
    ways: Sequence[Way]
    way_of: bytes
    n: Sequence[int | None]
    sd: Sequence[float | None]


_encoder = msgspec.msgpack.Encoder()
_decoder = msgspec.msgpack.Decoder(_Packed)
_NO_VALUES: dict[str, Value] = {}


def pack(entry: Entry, number_tags: Callable[[tuple[str, ...]], bytes]) -> bytes:
    """The bytes of ``entry``; ``number_tags`` gives every tag its permanent number, see `pack_tags`."""
    tags, figures, ways, way_of, n, sd = columns_of(entry.food.values)
    alone = msgspec.structs.replace(entry, food=msgspec.structs.replace(entry.food, values=_NO_VALUES))
    return _encoder.encode(_Packed(alone, number_tags(tags), figures, ways, way_of, n, sd))


def pack_tags(numbers: Sequence[int]) -> bytes:
    """The numbers of tags, each below 65,536."""
    return struct.pack(f"<{len(numbers)}H", *numbers)


def unpack(packed: bytes, tags: Sequence[str] | Mapping[int, str]) -> Entry:
    """The entry that ``pack`` was given.

    Raises
    ------
    msgspec.MsgspecError, struct.error, LookupError, ValueError
        If the bytes are not what ``pack`` gave.
    """
    found = _decoder.decode(packed)
    numbers = struct.unpack(f"<{len(found.tags) // 2}H", found.tags)
    words = tuple([tags[number] for number in numbers])
    values = Columns(words, found.figures, found.ways, found.way_of, found.n, found.sd).all()
    return msgspec.structs.replace(found.entry, food=msgspec.structs.replace(found.entry.food, values=values))
