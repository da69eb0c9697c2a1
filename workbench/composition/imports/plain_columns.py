"""Columns of figures from a very long CSV file, a block at a time and without making a text of every cell.

It reads a block only if that is certain to give what the csv module would: every line has as many signs between cells
as the header and an even number of quotation marks, and the cells that are asked for are plain figures, quoted or not.
Of any other block it says so.
"""

import numpy as np
import numpy.typing as npt

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]
Bytes = npt.NDArray[np.uint8]

_COMMA, _LINE_END, _QUOTE, _DOT, _ZERO = b',\n".0'
_WIDEST = 18  # characters of a figure; so many digits fit into 64 bits
_ROOM = b" " * _WIDEST  # behind the last cell, so that none is read beyond the end
_EXACT = 2**53  # whole numbers below it are exact as floats


class Block:
    """The cells of one block by row and column."""

    def __init__(self, data: Bytes, starts: Ints, ends: Ints) -> None:
        self._data, self._starts, self._ends = data, starts, ends

    def __len__(self) -> int:
        return len(self._starts)

    def rows(self, chosen: npt.NDArray[np.bool_]) -> "Block":
        """Some of the rows."""
        return Block(self._data, self._starts[chosen], self._ends[chosen])

    def figures(self, column: int) -> tuple[Ints, Ints] | None:
        """Digits of a column as whole numbers, and how many of them stand behind the point (-1: the cell is blank).

        None where a cell is no plain figure.
        """
        starts, ends = self._starts[:, column], self._ends[:, column]
        quoted = self._data[starts] == _QUOTE
        starts = starts + quoted
        ends = np.maximum(ends - quoted, starts)
        lengths = ends - starts
        widest = int(lengths.max(initial=0))
        if widest > _WIDEST:
            return None
        if len(lengths) and int(lengths.min()) == widest:  # most columns: no cell has to be looked at on its own
            alike = self._alike(starts, widest)
            if alike is not None:
                return alike
        return self._each(starts, lengths, widest)

    def _alike(self, starts: Ints, width: int) -> tuple[Ints, Ints] | None:
        """Figures of one width with the point at one place; None if they are not."""
        total = np.zeros(len(starts), np.int64)
        point = -1
        for k in range(width):
            digit = self._data[starts + k] - np.uint8(_ZERO)  # wraps around below zero
            if (digit <= 9).all():
                total = total * 10 + digit
            elif point < 0 and width > 1 and (digit == np.uint8(_DOT - _ZERO + 256)).all():
                point = k
            else:
                return None
        behind = -1 if width == 0 else 0 if point < 0 else width - point - 1
        return total, np.full(len(starts), behind, np.int64)

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
    if data.count(b"\n") != len(ends) or not (signs[ends[:, -1]] == _LINE_END).all():
        return None
    behind = np.empty_like(found)
    behind[0] = 0
    np.add(found[:-1], 1, out=behind[1:])
    starts = behind.reshape(-1, n_cells)
    # A line end within a cell leaves an odd number of quotation marks before it.
    marks = np.add.reduceat((signs == _QUOTE).view(np.uint8), starts[:, 0])  # modulo 256, which keeps odd and even
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
    amounts = found[0] / np.power(10.0, np.maximum(found[1], 0))
    amounts[found[1] < 0] = np.nan
    return amounts
