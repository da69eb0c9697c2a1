"""Which of the chosen columns are in sight: those that fit beside the slider, from the first one scrolled to."""

from typing import NamedTuple


class FigureWindow(NamedTuple):
    """A run of columns: the first in sight, how many, and of how many."""

    first: int
    shown: int
    count: int

    @property
    def hidden(self) -> int:
        """How many have no room; as far as one can scroll."""
        return self.count - self.shown

    def holds(self, k: int) -> bool:
        """Whether a column is in sight."""
        return self.first <= k < self.first + self.shown


def figure_window(widths: list[int], room: int, first: int) -> FigureWindow:
    """As many columns as fit into ``room`` pixels, beginning at ``first`` or as late as needed to fill it."""
    count = len(widths)

    def fitting(start: int) -> int:
        used = 0
        for k in range(start, count):
            used += widths[k]
            if used > room:
                return k - start
        return count - start

    first = min(max(first, 0), max(count - 1, 0))
    while first > 0 and first + fitting(first) == count and fitting(first - 1) == count - first + 1:
        first -= 1
    return FigureWindow(first, fitting(first), count)
