"""Columns of figures from a very long CSV file, a block at a time and without making a text of every cell.

It reads a block only if that is certain to give what the csv module would: every line has as many signs between cells
as the header and an even number of quotation marks, and the cells that are asked for are plain figures, quoted or not.
Of any other block it says so.
"""

import numpy as np
import numpy.typing as npt

from workbench.composition.imports import short_figures
from workbench.composition.imports.short_figures import Bytes, Ints

Floats = npt.NDArray[np.float64]

_COMMA, _LINE_END, _QUOTE, _DOT, _ZERO = b',\n".0'
_WIDEST = 18  # characters of a figure; so many digits fit into 64 bits
_ROOM = b" " * _WIDEST  # behind the last cell, so that none is read beyond the end
_EXACT = 2**53  # whole numbers below it are exact as floats
_POWERS = np.array([*(10.0**k for k in range(_WIDEST)), np.nan])  # the last is that of a blank cell, -1


class Block:
    """The cells of one block by row and column."""

    def __init__(self, data: Bytes, starts: Ints, ends: Ints) -> None:
        self._data = data
        self._starts = starts  # of the rows
        self._ends = ends  # of the cells, by row and column
        self._rows: Ints | None = None

    def __len__(self) -> int:
        return len(self._ends if self._rows is None else self._rows)

    def rows(self, chosen: npt.NDArray[np.bool_]) -> "Block":
        """Some of the rows of a whole block."""
        some = Block(self._data, self._starts, self._ends)
        some._rows = np.flatnonzero(chosen)
        return some

    def figures(self, column: int) -> tuple[Ints, Ints] | None:
        """Digits of a column as whole numbers, and how many of them stand behind the point (-1: the cell is blank).

        None where a cell is no plain figure.
        """
        ends, starts = self._ends[:, column], self._ends[:, column - 1] if column else self._starts
        if self._rows is not None:
            ends, starts = ends[self._rows], starts[self._rows]
        if column:
            starts = starts + 1
        quoted = self._data[starts] == _QUOTE
        starts = starts + quoted
        lengths = np.maximum(ends - quoted - starts, 0)
        widest = int(lengths.max(initial=0))
        if widest > _WIDEST:
            return None
        return short_figures.read(self._data, starts, lengths) if widest <= 8 else self._each(starts, lengths, widest)

    def _each(self, starts: Ints, lengths: Ints, widest: int) -> tuple[Ints, Ints] | None:
        """Figures of any width; None where a cell is none."""
        total = np.zeros(len(starts), np.int64)
        behind = np.zeros(len(starts), np.int64)
        points = np.zeros(len(starts), np.int64)
        for k in range(widest):
            here = lengths > k
            sign = self._data[starts + k]
            digit = sign - np.uint8(_ZERO)
            is_digit = (digit <= 9) & here
            is_point = (sign == _DOT) & here
            if not np.array_equal(is_digit | is_point, here):
                return None
            total = np.where(is_digit, total * 10 + digit, total)
            behind += is_digit & (points > 0)
            points += is_point
        if (points > 1).any() or ((points == 1) & (lengths == 1)).any():
            return None
        behind[lengths == 0] = -1
        return total, behind


def block_of(data: bytes, n_cells: int) -> Block | None:
    """The cells of ``data``, which ends with a line; None where a line does not have ``n_cells`` of them."""
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n")
    if b"\r" in data:
        return None
    signs = np.frombuffer(data + _ROOM, np.uint8)
    found = np.flatnonzero((signs == _COMMA) | (signs == _LINE_END))
    if not len(found) or len(found) % n_cells:
        return None
    ends = found.reshape(-1, n_cells)
    line_ends = ends[:, -1]
    if np.count_nonzero(signs == _LINE_END) != len(ends) or not (signs[line_ends] == _LINE_END).all():
        return None
    starts = np.concatenate(((0,), line_ends[:-1] + 1))
    # A line end within a cell leaves an odd number of quotation marks before it.
    marks = np.add.reduceat((signs == _QUOTE).view(np.uint8), starts)  # modulo 256, which keeps odd and even
    if (marks & 1).any():
        return None
    return Block(signs, starts, ends)


def whole(found: tuple[Ints, Ints] | None) -> Ints | None:
    """Whole numbers of a column; -1 where the cell is blank, None where one is no whole number."""
    if found is None or (found[1] > 0).any():
        return None
    return np.where(found[1] < 0, -1, found[0])


def decimal(found: tuple[Ints, Ints] | None) -> Floats | None:
    """Figures of a column, the same as ``float`` gives; NaN where the cell is blank, None where that cannot be."""
    if found is None or (found[0] >= _EXACT).any():
        return None
    # Both whole numbers are exact, so their quotient is the float nearest to what was written.
    amounts: Floats = found[0] / _POWERS[found[1]]
    return amounts
