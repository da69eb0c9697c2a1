"""PaintedBar: one quantity as a horizontal bar of its parts, with its figure, its legend and what is not known of it.

Plain painting in one widget: during a drag it lays out no text it has shown before and allocates next to nothing.
"""

import math

from PySide6.QtCore import QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygon

from workbench.base.text import N_, _, number
from workbench.ui.guard import guarded
from workbench.ui.plots.band_edges import EDGES, Edge, edge_value
from workbench.ui.plots.fills import draw_shape
from workbench.ui.plots.measured_bar import GAP, NO_RECT, OVERHANG, PAD, MeasuredBar
from workbench.ui.plots.reading import Mark

_EDGE_WORDS: dict[Edge, str] = {
    "low": N_("at least {figure}"),
    "aim": N_("aim {figure}"),
    "high": N_("at most {figure}"),
}


@guarded
class PaintedBar(MeasuredBar):
    """A bar with title, figure and legend."""

    def _x(self, value: float) -> int:
        """Where a value lies on the axis; the end of the axis for whatever is beyond. [px]"""
        share = min(max(value / self._limit, 0.0), 1.0)
        return self._bar.left() + round(share * self._bar.width())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        self._paint_title(painter)
        self._paint_track(painter)
        if math.isfinite(self._reading.value):
            self._paint_parts(painter)
        self._paint_open_end(painter)
        self._paint_marker(painter)
        painter.setFont(self._small.font)
        if self._axis:
            self._paint_axis(painter)
        chosen = self._chosen if self.hasFocus() else -1
        self._legend.paint(painter, self._look, self._reading.part_texts, self._brushes, chosen)
        self._paint_held_edge(painter)
        if self.hasFocus():
            px = self._look.line_px
            painter.setPen(QPen(self._look.accent, px))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(px // 2, px // 2, -(px + 1) // 2, -(px + 1) // 2))

    def _paint_title(self, painter: QPainter) -> None:
        look, reading, base = self._look, self._reading, PAD + max(self._plain.ascent, self._figure.ascent)
        right = self.width() - PAD
        painter.setFont(self._small.font)
        painter.setPen(look.muted)
        if self._unit and math.isfinite(reading.value):
            right = self._small.draw_right(painter, right, base - self._small.ascent, self._unit) - GAP
        painter.setFont(self._figure.font)
        painter.setPen(look.ink if math.isfinite(reading.value) else look.muted)
        right = self._figure.draw_right(painter, right, base - self._figure.ascent, reading.text) - 2 * GAP
        end, self._target_area = right, NO_RECT
        if self._mark is not None:
            right = self._paint_mark(painter, self._mark, right, base) - 2 * GAP
        elif self._band is None and (self._offers or self.hasFocus()):
            painter.setFont(self._small.font)
            painter.setPen(look.accent)
            right = self._small.draw_right(painter, right, base - self._small.ascent, _("set a target")) - 2 * GAP
        if right < end:
            self._target_area = QRect(right, PAD, end - right, base - PAD + GAP)
        painter.setFont(self._plain.font)
        painter.setPen(look.ink)
        title = self._plain.elided(self._title, right - PAD)
        self._plain.draw(painter, PAD, base - self._plain.ascent, title)
        if self._note:
            left = PAD if self._note_below else PAD + self._plain.width(title) + 2 * GAP
            line = base + self._small.height if self._note_below else base
            if self._note_below or self._small.width(self._note) <= right - left:
                painter.setFont(self._small.font)
                painter.setPen(look.muted)
                self._small.draw(painter, left, line - self._small.ascent, self._note)

    def _paint_mark(self, painter: QPainter, mark: Mark, right: int, base: int) -> int:
        """How the figure stands to its target, left of the figure; returns where it begins."""
        tone: QColor = getattr(self._look, mark.tone)
        side, face = self._small.ascent - 2, self._small
        painter.setFont(face.font)
        painter.setPen(tone)
        left = face.draw_right(painter, right, base - face.ascent, mark.word) - GAP - side
        draw_shape(painter, mark.shape, QRectF(left, base - side, side, side), tone)
        return left

    def _paint_track(self, painter: QPainter) -> None:
        bar, look = self._bar, self._look
        top, height = bar.top() - OVERHANG, bar.height() + 2 * OVERHANG
        painter.fillRect(bar, look.track)
        if look.line_px > 1:
            painter.setPen(look.outline)
            painter.drawRect(bar.adjusted(0, 0, -1, -1))
        band = self._band
        if band is not None and not (band.low is None and band.high is None):
            left = self._x(band.low or 0.0)
            right = bar.right() + 1 if band.high is None else self._x(band.high)
            painter.fillRect(left, top, max(right - left, 2), height, look.band)
            for edge in (band.low, band.high):
                if edge is not None:
                    painter.fillRect(min(self._x(edge), bar.right()), top, look.line_px, height, look.accent)
        for value, _text in self._ticks:
            painter.fillRect(min(self._x(value), bar.right()), bar.top(), 1, bar.height(), look.grid)
        if band is not None and band.aim is not None:  # a flag: what is aimed at, inside the limits or without any
            x = min(self._x(band.aim), bar.right())
            painter.fillRect(x, top - 2, look.line_px, height + 2, look.accent)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(look.accent)
            painter.drawPolygon(QPolygon([QPoint(x - 5, top - 3), QPoint(x + 6, top - 3), QPoint(x, top + 4)]))

    def _places(self) -> dict[Edge, int]:
        """Where the edges of the target are. [px]"""
        found = {edge: edge_value(self._band, edge) for edge in EDGES}
        return {edge: min(self._x(at), self._bar.right()) for edge, at in found.items() if at is not None}

    def _paint_held_edge(self, painter: QPainter) -> None:
        """The edge under the hand, thicker and with its figure."""
        at = None if self._held is None else edge_value(self._band, self._held)
        if self._held is None or at is None:
            return
        face, look, bar, x = self._small, self._look, self._bar, self._places()[self._held]
        painter.fillRect(x - 1, bar.top() - OVERHANG, 3, bar.height() + 2 * OVERHANG, look.accent)
        text = _(_EDGE_WORDS[self._held], figure=f"{number(at, self._decimals)} {self._unit}".rstrip())
        width = face.width(text) + 2 * GAP
        left = max(min(x - width // 2, self.width() - width), 0)
        top = bar.bottom() + OVERHANG
        painter.setFont(face.font)
        painter.fillRect(left, top, width, face.height, look.accent)
        painter.setPen(look.paper)
        face.draw(painter, left + GAP, top, text)

    def _paint_parts(self, painter: QPainter) -> None:
        bar, edge, left, total = self._bar, self._look.edge, self._bar.left(), 0.0
        px = self._look.line_px
        for k, (value, brush) in enumerate(zip(self._reading.parts, self._brushes, strict=False)):
            if value <= 0:
                continue
            total += value
            right = max(self._x(total), left + 1)
            painter.fillRect(left, bar.top(), right - left, bar.height(), brush)
            painter.fillRect(max(right - px, left), bar.top(), min(px, right - left), bar.height(), edge)
            if k == self._chosen and self.hasFocus():
                painter.fillRect(left, bar.top() - 3, right - left, 3, self._look.accent)
                painter.fillRect(left, bar.bottom() + 1, right - left, 3, self._look.accent)
            left = right
        whole = self._x(self._reading.value)
        if whole > left:  # known as a whole, and not in its parts
            painter.fillRect(left, bar.top(), whole - left, bar.height(), self._look.grid)
            left = whole
        if left > bar.left():
            painter.fillRect(bar.left(), bar.top(), left - bar.left(), px, edge)
            painter.fillRect(bar.left(), bar.bottom() + 1 - px, left - bar.left(), px, edge)
            painter.fillRect(bar.left(), bar.top(), px, bar.height(), edge)

    def _paint_open_end(self, painter: QPainter) -> None:
        """Hatch what may be there and what may not; without an upper limit the hatching has no end."""
        bar, reading = self._bar, self._reading
        known = math.isfinite(reading.value)
        if not known and not reading.high > 0:  # no result at all
            return
        left = self._x(reading.low if known else 0.0)
        right = self._x(reading.high)
        if right - left < 2:
            return
        painter.fillRect(left, bar.top(), right - left, bar.height(), self._open_brush)
        if math.isfinite(reading.high) and reading.high <= self._limit:
            painter.fillRect(right - 1, bar.top(), 1, bar.height(), self._look.ink)

    def _paint_marker(self, painter: QPainter) -> None:
        if self._marker is None or not math.isfinite(self._marker.value):
            return
        bar, x = self._bar, min(self._x(self._marker.value), self._bar.right() - 1)
        top, height = bar.top() - OVERHANG, bar.height() + 2 * OVERHANG
        painter.fillRect(x - 1, top, 4, height, self._look.panel)
        painter.fillRect(x, top, 2, height, self._look.ink)

    def _paint_axis(self, painter: QPainter) -> None:
        """The scale in figures, and the name of the variant that the marker stands for, which goes first."""
        face, look, top = self._small, self._look, self._bar.bottom() + OVERHANG
        taken_from = taken_to = -1
        if self._marker is not None and math.isfinite(self._marker.value):
            width = face.width(self._marker.name)
            most = self._bar.right() - width
            taken_from = max(min(self._x(self._marker.value) - width // 2, most), self._bar.left())
            taken_to = taken_from + width
            painter.setPen(look.ink)
            face.draw(painter, taken_from, top, self._marker.name)
        painter.setPen(look.muted)
        last = len(self._ticks) - 1
        for k, (value, figure) in enumerate(self._ticks):
            text = f"{figure} {self._unit}" if k == last else figure
            width = face.width(text)
            x = max(min(self._x(value) - width // 2, self._bar.right() + 1 - width), self._bar.left())
            if taken_to < 0 or x + width + GAP < taken_from or x > taken_to + GAP:
                face.draw(painter, x, top, text)
