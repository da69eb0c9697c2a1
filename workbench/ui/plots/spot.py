"""Spot: one variant's figure in a small chart, as a bar with what may be and what is aimed at."""

from typing import NamedTuple

from PySide6.QtCore import QRect
from PySide6.QtGui import QBrush, QPainter

from workbench.ui.plots.reading import Band, Mark
from workbench.ui.theme import Colours


class Spot(NamedTuple):
    """One variant in a chart: its figure with limits, the same in a few signs, and the change from the reference."""

    value: float
    low: float
    high: float
    text: str
    change: str
    band: Band | None
    mark: Mark | None
    known: bool = True  # whether the figure says anything


class Axis(NamedTuple):
    """Where nothing and where ``limit`` lie. [px]"""

    left: int
    right: int
    limit: float

    def x(self, value: float) -> int:
        """Where a value lies; the end of the axis for whatever is beyond. [px]"""
        return self.left + round((self.right - self.left) * min(max(value / self.limit, 0.0), 1.0))


def paint_spot(
    painter: QPainter, look: Colours, spot: Spot, place: QRect, axis: Axis, fill: QBrush, unknown: QBrush
) -> None:
    """Paint a row of a small chart: the band, the bar filled with ``fill``, and the whisker.

    Where nothing is known, ``unknown`` fills the length of the axis.
    """
    _paint_band(painter, look, spot.band, place, axis)
    painter.fillRect(axis.left, place.top(), 1, place.height(), look.grid)
    thick = max(place.height() // 2 - 1, 5)
    top = place.top() + (place.height() - thick) // 2
    if not spot.known:
        painter.fillRect(axis.left, top, axis.right - axis.left, thick, unknown)
        return
    width = axis.x(spot.value) - axis.left
    if width > 0:
        painter.fillRect(axis.left, top, width, thick, look.edge)
        painter.fillRect(axis.left + 1, top + 1, max(width - 2, 0), thick - 2, fill)
    if axis.x(spot.high) > axis.x(spot.low):
        _paint_whisker(painter, look, axis.x(spot.low), axis.x(spot.high), place, open_end=spot.high > axis.limit)


def _paint_band(painter: QPainter, look: Colours, band: Band | None, place: QRect, axis: Axis) -> None:
    if band is None:
        return
    if band.low is not None or band.high is not None:
        left = axis.x(band.low or 0.0)
        right = axis.right if band.high is None else axis.x(band.high)
        painter.fillRect(left, place.top(), max(right - left, 2), place.height(), look.band)
        for edge in (band.low, band.high):
            if edge is not None:
                painter.fillRect(axis.x(edge), place.top(), look.line_px, place.height(), look.accent)
    elif band.aim is not None:
        painter.fillRect(axis.x(band.aim), place.top(), 2 * look.line_px, place.height(), look.accent)


def _paint_whisker(painter: QPainter, look: Colours, low: int, high: int, place: QRect, *, open_end: bool) -> None:
    middle, reach = place.center().y(), place.height() // 4
    painter.fillRect(low, middle, high - low, 1, look.ink)
    painter.fillRect(low, middle - reach, 1, 2 * reach + 1, look.ink)
    if open_end:  # an arrow: the truth may lie beyond
        painter.setPen(look.ink)
        painter.drawLine(high - reach, middle - reach, high, middle)
        painter.drawLine(high - reach, middle + reach, high, middle)
    else:
        painter.fillRect(high, middle - reach, 1, 2 * reach + 1, look.ink)
