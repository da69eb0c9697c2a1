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

_LINE_END, _QUOTE, _DOT, _ZERO = b'\n".0'
_BETWEEN = bytes(sign in b",\n" for sign in range(256))
_QUOTES = bytes(sign == _QUOTE for sign in range(256))
_WIDEST = 18  # characters of a figure; so many digits fit into 64 bits
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
        last = len(self._data) - 1
        total = np.zeros(len(starts), np.int64)
        behind = np.zeros(len(starts), np.int64)
        points = np.zeros(len(starts), np.int64)
        for k in range(widest):
            here = lengths > k
            sign = self._data[np.minimum(starts + k, last)]
            digit = sign - np.uint8(_ZERO)  # wraps around below zero
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
    signs = np.frombuffer(data, np.uint8)
    found = np.flatnonzero(np.frombuffer(data.translate(_BETWEEN), np.bool_))
    if not len(found) or len(found) % n_cells:
        return None
    ends = found.reshape(-1, n_cells)
    if data.count(b"\n") != len(ends) or not (signs[ends[:, -1]] == _LINE_END).all():
        return None
    starts = np.empty_like(ends)
    starts.flat[0] = 0
    starts.flat[1:] = found[:-1] + 1
    # A line end within a cell leaves an odd number of quotation marks before it.
    quoted = np.frombuffer(data.translate(_QUOTES), np.uint8)
    marks = np.add.reduceat(quoted, starts[:, 0])  # modulo 256, which keeps odd and even
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
