"""Fills: patterns and shapes that say without colour what colour says with it."""

from typing import Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPixmap, QPolygonF

Pattern = Literal["plain", "dots", "lines", "hatch", "slant"]
Shape = Literal["tick", "down", "up", "ask", "cross", "point", "none"]

_TILE_PX = 8


def pattern_brush(colour: QColor, pattern: Pattern, ink: QColor, ratio: float) -> QBrush:
    """A fill of ``colour`` under a pattern of ``ink``, sharp at the device's pixel ratio.

    ``lines`` lie flat, so that a sliver shows them too; ``hatch`` crosses; ``slant`` is kept for what is not known.
    """
    if pattern == "plain":
        return QBrush(colour)
    tile = QPixmap(round(_TILE_PX * ratio), round(_TILE_PX * ratio))
    tile.setDevicePixelRatio(ratio)
    tile.fill(colour)
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(ink, 1.0)
    if pattern == "dots":
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink)
        for x, y in ((2.0, 2.0), (6.0, 6.0)):
            painter.drawEllipse(QPointF(x, y), 0.9, 0.9)
    elif pattern == "lines":
        painter.setPen(pen)
        for y in (1.5, 5.5):
            painter.drawLine(QPointF(0.0, y), QPointF(_TILE_PX, y))
    else:
        painter.setPen(pen)
        size = float(_TILE_PX)
        for shift in (-size, 0.0, size):
            painter.drawLine(QPointF(shift, size), QPointF(shift + size, 0.0))
            if pattern == "hatch":
                painter.drawLine(QPointF(shift, 0.0), QPointF(shift + size, size))
    painter.end()
    return QBrush(tile)


def draw_shape(painter: QPainter, shape: Shape, box: QRectF, colour: QColor) -> None:
    """One of the marks beside a verdict or a finding, drawn into a square box."""
    if shape == "none":
        return
    x, y, side = box.x(), box.y(), box.width()

    def at(across: float, down: float) -> QPointF:
        return QPointF(x + across * side, y + down * side)

    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(colour, max(1.6, side / 7))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    if shape == "tick":
        painter.drawPolyline(QPolygonF([at(0.1, 0.55), at(0.4, 0.85), at(0.9, 0.15)]))
    elif shape == "cross":
        painter.drawLine(at(0.15, 0.15), at(0.85, 0.85))
        painter.drawLine(at(0.85, 0.15), at(0.15, 0.85))
    elif shape == "ask":
        painter.drawPolygon(QPolygonF([at(0.5, 0.02), at(0.98, 0.5), at(0.5, 0.98), at(0.02, 0.5)]))
        painter.drawPoint(at(0.5, 0.5))
    elif shape == "point":
        painter.drawEllipse(box.adjusted(side * 0.3, side * 0.3, -side * 0.3, -side * 0.3))
    else:
        painter.setBrush(colour)
        base, tip = (0.2, 0.85) if shape == "down" else (0.8, 0.15)
        painter.drawPolygon(QPolygonF([at(0.1, base), at(0.9, base), at(0.5, tip)]))
    painter.restore()
