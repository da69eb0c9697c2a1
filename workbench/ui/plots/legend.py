"""Legend: the parts of a bar with swatch, name and figure, placed so that none ever covers another."""

from typing import NamedTuple

from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QBrush, QPainter

from workbench.ui.plots.faces import Face
from workbench.ui.plots.reading import Segment
from workbench.ui.theme import Colours

_GAP = 4


class _Cell(NamedTuple):
    """Place of one entry."""

    area: QRect
    swatch: QRect
    label_x: int
    figure_x: int


class Legend:
    """Entries in reading order; a new line begins where one does not fit.

    The room kept for a figure only grows while figures change, so that a drag moves no label; ``settle`` gives back
    what is no longer needed.
    """

    def __init__(self, segments: tuple[Segment, ...], face: Face) -> None:
        self._segments, self._face = segments, face
        self._reserved = [0] * len(segments)
        self._cells: list[_Cell] = []

    def reserve(self, texts: tuple[str, ...]) -> bool:
        """Make room for figures; True where the entries have to be placed anew."""
        return self._keep([max(*both) for both in zip(self._reserved, self._widths(texts), strict=True)])

    def settle(self, texts: tuple[str, ...]) -> bool:
        """Keep no more room than figures need; True where the entries have to be placed anew."""
        return self._keep(self._widths(texts))

    def _widths(self, texts: tuple[str, ...]) -> list[int]:
        """Room that the figures need now; none for an entry whose figure is still to come."""
        widths = [self._face.width(text) for text in texts[: len(self._segments)]]
        return widths + [0] * (len(self._segments) - len(widths))

    def _keep(self, wanted: list[int]) -> bool:
        changed = wanted != self._reserved
        self._reserved = wanted
        return changed

    def place(self, left: int, top: int, right: int) -> None:
        """Place the entries between two edges, from ``top`` down."""
        self._cells = self._placed(left, top, right)

    def height(self, width: int) -> int:
        """Height for a width. [px]"""
        cells = self._placed(0, 0, width)
        return cells[-1].area.bottom() + 1 if cells else 0

    def _placed(self, left: int, top: int, right: int) -> list[_Cell]:
        face, side, x = self._face, self._face.ascent - 1, left
        cells = []
        for segment, reserved in zip(self._segments, self._reserved, strict=True):
            label_width = face.width(segment.label)
            needed = side + _GAP + label_width + _GAP + reserved
            if x > left and x + needed > right:
                x, top = left, top + face.height + 1
            label_x = x + side + _GAP
            swatch = QRect(x, top + (face.height - side) // 2, side, side)
            cells.append(_Cell(QRect(x, top, needed, face.height), swatch, label_x, label_x + label_width + _GAP))
            x += needed + 3 * _GAP
        return cells

    def areas(self) -> list[QRect]:
        """Where the entries are."""
        return [cell.area for cell in self._cells]

    def paint(
        self, painter: QPainter, look: Colours, texts: tuple[str, ...], brushes: list[QBrush], chosen: int
    ) -> None:
        """Paint the entries; the painter's font is that of the legend."""
        face = self._face
        painter.setPen(look.muted)
        for cell, segment in zip(self._cells, self._segments, strict=False):
            face.draw(painter, cell.label_x, cell.area.top(), segment.label)
        painter.setPen(look.ink)
        for cell, text in zip(self._cells, texts, strict=False):
            face.draw(painter, cell.figure_x, cell.area.top(), text)
        for k, (cell, brush) in enumerate(zip(self._cells, brushes, strict=False)):
            painter.fillRect(cell.swatch, look.edge)
            painter.fillRect(cell.swatch.adjusted(1, 1, -1, -1), brush)
            if k == chosen:
                painter.fillRect(cell.area.left(), cell.area.bottom(), cell.area.width(), 2, look.accent)

    def part_at(self, point: QPoint) -> int:
        """Index of the entry at a place; -1 where there is none."""
        return next((k for k, cell in enumerate(self._cells) if cell.area.contains(point)), -1)
