"""PaintedBar: one quantity as a horizontal bar of its parts, with its figure, its legend and what is not known of it.

Plain painting in one widget: during a drag it lays out no text it has shown before and allocates next to nothing.  What
a part is called stands below the bar, never inside it, so that a sliver is as readable as a long part.  What a hand can
do with a bar is in ``stacked_bar``.
"""

import math

from PySide6.QtCore import QEvent, QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QPainter, QPaintEvent, QPen, QPolygon, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.base.text import N_, _, number
from workbench.ui.guard import guarded
from workbench.ui.plots.band_edges import EDGES, Edge, edge_value
from workbench.ui.plots.faces import Face, sized
from workbench.ui.plots.fills import draw_shape, pattern_brush
from workbench.ui.plots.legend import Legend
from workbench.ui.plots.reading import NO_READING, Band, Mark, Marker, Reading, Segment
from workbench.ui.plots.scale import round_step
from workbench.ui.theme import Colours, colours, number_font

_PAD = 4  # around everything, where the focus frame runs
_GAP = 4
_OVERHANG = 4  # of band and marker above and below the bar
_WIDEST = "at least 000.0"  # what a figure may become in a drag
_NO_RECT = QRect()
_EDGE_WORDS: dict[Edge, str] = {
    "low": N_("at least {figure}"),
    "aim": N_("aim {figure}"),
    "high": N_("at most {figure}"),
}


@guarded
class PaintedBar(QWidget):
    """A bar with title, figure and legend.

    Parameters
    ----------
    key : str
        The quantity of the bar as a whole.
    unit : str
        Written behind figures.
    thin, large : bool
        A thin bar is a lesser figure and has no legend; a large one is the figure to see first.
    axis : bool
        Whether the scale is written below the bar.
    decimals : int
        With how many decimals limits are shown and set.
    """

    def __init__(
        self,
        key: str,
        unit: str,
        parent: QWidget | None = None,
        *,
        thin: bool = False,
        large: bool = False,
        axis: bool = False,
        decimals: int = 1,
    ) -> None:
        super().__init__(parent)
        self.key = key
        self._unit, self._thin, self._large, self._axis, self._decimals = unit, thin, large, axis, decimals
        self._title = self._note = ""
        self._segments: tuple[Segment, ...] = ()
        self._reading = NO_READING
        self._band: Band | None = None
        self._marker: Marker | None = None
        self._mark: Mark | None = None
        self._limit = 1.0
        self._ticks: tuple[tuple[float, str], ...] = ()
        self._chosen = -1  # index of the part under the keyboard; -1 is the whole
        self._held: Edge | None = None  # the edge of the band that a hand moves, or may take
        self._offers = False  # whether a bar without a target offers to set one
        self._bar = self._target_area = _NO_RECT
        self._note_below = False
        self._brushes: list[QBrush] = []
        self._open_brush = QBrush()
        self._look: Colours = colours(self)
        self._make_faces()
        self._legend = Legend((), self._small)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.set_limit(1.0)

    @property
    def band(self) -> Band | None:
        """The target behind the bar."""
        return self._band

    @property
    def marker(self) -> Marker | None:
        """The other variant that the bar is seen against."""
        return self._marker

    @property
    def limit(self) -> float:
        """The end of the axis."""
        return self._limit

    @property
    def bar_area(self) -> QRect:
        """Where the bar itself is."""
        return self._bar

    def legend_areas(self) -> list[QRect]:
        """Where the entries of the legend are."""
        return self._legend.areas()

    # --- what it shows --------------------------------------------------------------------------------------------

    def set_parts(self, title: str, note: str, segments: tuple[Segment, ...]) -> None:
        """Name the bar and its parts."""
        self._title, self._note, self._segments = title, note, segments
        self._chosen = -1
        self.setAccessibleName(f"{title}, {note}" if note else title)
        self._restyle()

    def set_limit(self, limit: float) -> None:
        """Set the end of the axis."""
        if limit == self._limit and self._ticks:
            return
        step = round_step(limit)
        decimals = max(0, -math.floor(math.log10(step) + 1e-9))
        count = math.floor(limit / step + 1e-9)
        ticks = tuple((k * step, number(k * step, decimals)) for k in range(count + 1))
        self._limit, self._ticks = limit, ticks
        self.update()

    def set_context(self, band: Band | None, marker: Marker | None) -> None:
        """Set the target and the other variant that the bar is seen against."""
        if (band, marker) != (self._band, self._marker):
            self._band, self._marker = band, marker
            self._describe()
            self.update()

    def show_reading(self, reading: Reading, mark: Mark | None = None) -> None:
        """Show other figures and how they stand to the target; does nothing where they are the same."""
        if (reading, mark) == (self._reading, self._mark):
            return
        self._reading, self._mark = reading, mark
        if self._legend.reserve(reading.part_texts):
            self._arrange()
        self._describe()
        self.update()

    def settle(self) -> None:
        """The hand is off the slider: give back room that figures no longer need."""
        if self._legend.settle(self._reading.part_texts):
            self._arrange()
            self.update()

    def figure_text(self) -> str:
        """The figure as shown, with its unit."""
        known = math.isfinite(self._reading.value) and self._unit
        return f"{self._reading.text} {self._unit}" if known else self._reading.text

    def _describe(self) -> None:
        """The bar in words, for whoever does not see it."""
        said = [self.figure_text()]
        parts = zip(self._segments, self._reading.part_texts, strict=False)
        if len(self._segments) > 1:
            said += [f"{segment.label} {text} {self._unit}" for segment, text in parts]
        if self._band is not None:
            said.append(_("target {band}", band=self._band.text))
        if self._mark is not None:
            said.append(self._mark.word)
        if self._marker is not None:
            said.append(f"{self._marker.name} {self._marker.text}")
        words = "; ".join(said)
        if words != self.accessibleDescription():
            self.setAccessibleDescription(words)

    # --- measures ---------------------------------------------------------------------------------------------------

    def _make_faces(self) -> None:
        font: QFont = number_font(self.font())
        self._plain = Face(sized(font, 1.0, bold=not self._thin))
        self._small = Face(sized(font, 0.92))
        self._figure = Face(sized(font, 1.9 if self._large else 1.0, bold=True))

    def _restyle(self) -> None:
        """Fonts, colours or parts changed."""
        self._legend = Legend(self._segments if self._has_legend() else (), self._small)
        self._legend.reserve(self._reading.part_texts)
        self._look = colours(self)
        ratio = self.devicePixelRatioF()
        self._brushes = [pattern_brush(s.colour, s.pattern, self._look.pattern, ratio) for s in self._segments]
        self._open_brush = pattern_brush(QColor(0, 0, 0, 0), "slant", self._look.edge, ratio)
        self._arrange()
        self.update()

    def _title_height(self, width: int) -> int:
        height = max(self._plain.height, self._figure.height)
        return height + self._small.height if self._note_goes_below(width) else height

    def _note_goes_below(self, width: int) -> bool:
        """Whether the note needs a line of its own, so that it is never left out; the same throughout a drag."""
        beside = self._plain.width(self._title) + self._small.width(self._note) + self._figure.width(_WIDEST)
        return bool(self._note) and beside + self._small.width(self._unit) + 2 * _PAD + 5 * _GAP > width

    def _bar_height(self) -> int:
        return max(4, round(self._plain.height * (0.5 if self._thin else 1.15 if self._large else 0.9)))

    def _has_legend(self) -> bool:
        return not self._thin and len(self._segments) > 1

    def _arrange(self) -> None:
        """Place bar and legend for the width there is."""
        self._note_below = self._note_goes_below(self.width())
        top = _PAD + self._title_height(self.width()) + _OVERHANG
        self._bar = QRect(_PAD, top, max(self.width() - 2 * _PAD, 1), self._bar_height())
        self._legend.place(_PAD, self._legend_top(self.width()), self.width() - _PAD)
        if self.height() != self.heightForWidth(self.width()):
            self.updateGeometry()

    def _legend_top(self, width: int) -> int:
        return _PAD + self._title_height(width) + 2 * _OVERHANG + self._bar_height() + self._axis_height()

    def _axis_height(self) -> int:
        return self._small.height if self._axis else 0

    def heightForWidth(self, width: int) -> int:
        return self._legend_top(width) + self._legend.height(width - 2 * _PAD) + _PAD // 2

    def sizeHint(self) -> QSize:
        return QSize(24 * self._plain.height, self.heightForWidth(max(self.width(), 24 * self._plain.height)))

    def minimumSizeHint(self) -> QSize:
        return QSize(14 * self._plain.height, self.heightForWidth(max(self.width(), 14 * self._plain.height)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.FontChange:
            self._make_faces()
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.PaletteChange):
            self._restyle()
        super().changeEvent(event)

    # --- painting -----------------------------------------------------------------------------------------------------

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
        look, reading, base = self._look, self._reading, _PAD + max(self._plain.ascent, self._figure.ascent)
        right = self.width() - _PAD
        painter.setFont(self._small.font)
        painter.setPen(look.muted)
        if self._unit and math.isfinite(reading.value):
            right = self._small.draw_right(painter, right, base - self._small.ascent, self._unit) - _GAP
        painter.setFont(self._figure.font)
        painter.setPen(look.ink if math.isfinite(reading.value) else look.muted)
        right = self._figure.draw_right(painter, right, base - self._figure.ascent, reading.text) - 2 * _GAP
        end, self._target_area = right, _NO_RECT
        if self._mark is not None:
            right = self._paint_mark(painter, self._mark, right, base) - 2 * _GAP
        elif self._band is None and (self._offers or self.hasFocus()):
            painter.setFont(self._small.font)
            painter.setPen(look.accent)
            right = self._small.draw_right(painter, right, base - self._small.ascent, _("set a target")) - 2 * _GAP
        if right < end:
            self._target_area = QRect(right, _PAD, end - right, base - _PAD + _GAP)
        painter.setFont(self._plain.font)
        painter.setPen(look.ink)
        title = self._plain.elided(self._title, right - _PAD)
        self._plain.draw(painter, _PAD, base - self._plain.ascent, title)
        if self._note:
            left = _PAD if self._note_below else _PAD + self._plain.width(title) + 2 * _GAP
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
        left = face.draw_right(painter, right, base - face.ascent, mark.word) - _GAP - side
        draw_shape(painter, mark.shape, QRectF(left, base - side, side, side), tone)
        return left

    def _paint_track(self, painter: QPainter) -> None:
        bar, look = self._bar, self._look
        top, height = bar.top() - _OVERHANG, bar.height() + 2 * _OVERHANG
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
        painter.fillRect(x - 1, bar.top() - _OVERHANG, 3, bar.height() + 2 * _OVERHANG, look.accent)
        text = _(_EDGE_WORDS[self._held], figure=f"{number(at, self._decimals)} {self._unit}".rstrip())
        width = face.width(text) + 2 * _GAP
        left = max(min(x - width // 2, self.width() - width), 0)
        top = bar.bottom() + _OVERHANG
        painter.setFont(face.font)
        painter.fillRect(left, top, width, face.height, look.accent)
        painter.setPen(look.paper)
        face.draw(painter, left + _GAP, top, text)

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
        top, height = bar.top() - _OVERHANG, bar.height() + 2 * _OVERHANG
        painter.fillRect(x - 1, top, 4, height, self._look.panel)
        painter.fillRect(x, top, 2, height, self._look.ink)

    def _paint_axis(self, painter: QPainter) -> None:
        """The scale in figures, and the name of the variant that the marker stands for, which goes first."""
        face, look, top = self._small, self._look, self._bar.bottom() + _OVERHANG
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
            if taken_to < 0 or x + width + _GAP < taken_from or x > taken_to + _GAP:
                face.draw(painter, x, top, text)
