"""Figures of up to eight characters read eight characters at a time, as one whole number of 64 bits each.

Most cells of a long table are so short.  The last character of a figure is put into the highest byte, what is free
below it becomes "0", a point is taken out; then neighbouring digits are joined, four times two, two times four.
"""

import numpy as np
import numpy.typing as npt

Ints = npt.NDArray[np.int64]
Bytes = npt.NDArray[np.uint8]
Eights = npt.NDArray[np.uint64]

_U = np.uint64


def _all(sign: int) -> np.uint64:
    return _U(sign * 0x0101_0101_0101_0101)


_ONES, _HIGH_BITS, _ZEROS, _DOTS = _all(1), _all(0x80), _all(ord("0")), _all(ord("."))
_ABOVE_NINE = _all(0x7F - ord("9"))
_EIGHT, _ZERO, _BYTE = _U(8), _U(ord("0")), _U(0xFF)
_NOTHING_BUT_A_POINT = _ZEROS ^ (_U(ord("0") ^ ord(".")) << _U(56))
_UP = np.array([56, *range(56, -1, -8)], _U)  # by length, how far the characters move
_FILL = np.array([(int(_ZEROS) >> 8 * length) for length in range(9)], _U)  # and what stands below them then


def read(data: Bytes, starts: Ints, lengths: Ints) -> tuple[Ints, Ints] | None:
    """Whole numbers and digits behind the point, as ``plain_columns.Block.figures`` gives them.

    Parameters
    ----------
    data : array of uint8
        Signs; at least eight of them stand behind every start.
    starts, lengths : array of int64
        Where the figures begin, and how many characters they have, 0 to 8.
    """
    eights = np.ndarray((len(data) - 7,), np.dtype("<u8"), data, strides=(1,))[starts]
    alike = len(lengths) > 0 and bool((lengths == lengths[0]).all())  # most columns
    one_or_each = lengths[0] if alike else lengths
    signs = (eights << _UP[one_or_each]) | _FILL[one_or_each]
    blank = lengths == 0
    if blank.any():
        signs[blank] = _ZEROS
    if ((signs == _NOTHING_BUT_A_POINT) & (lengths == 1)).any():
        return None
    signs, behind = _without_points(signs)
    digits = signs - _ZEROS
    if (((signs + _ABOVE_NINE) | digits) & _HIGH_BITS).any():
        return None
    behind[blank] = -1
    return _joined(digits), behind


def _without_points(signs: Eights) -> tuple[Eights, Ints]:
    """The same without the first point of each, and how many characters stand behind it."""
    differing = signs ^ _DOTS
    points = (differing - _ONES) & ~differing & _HIGH_BITS
    first = points & (~points + _U(1))  # the lowest of them is certain to be one
    behind = np.zeros(len(signs), np.int64)
    found = first != 0
    if not found.any():
        return signs, behind
    below = (first >> _U(7)) - _U(1)
    above = ~(below | ((first >> _U(7)) * _BYTE))
    moved = (signs & above) | ((signs & below) << _EIGHT) | _ZERO
    behind = 7 - (np.log2(first.astype(np.float64), where=found, out=np.full(len(signs), 63.0)).astype(np.int64) >> 3)
    return np.where(found, moved, signs), behind


def _joined(digits: Eights) -> Ints:
    """One number of eight digits, the first in the lowest byte."""
    pairs = digits * _U(10) + (digits >> _EIGHT)
    every_other = _U(0x0000_00FF_0000_00FF)
    upper = (pairs & every_other) * _U(0x000F_4240_0000_0064)
    lower = ((pairs >> _U(16)) & every_other) * _U(0x0000_2710_0000_0001)
    return ((upper + lower) >> _U(32)).astype(np.int64)
