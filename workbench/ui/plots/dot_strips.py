"""Dot strips: one food among others, a strip for each quantity, so that "is that much?" is seen at a glance.

The food is a filled diamond, those that are named are open rings, the rest of its kind are short strokes, with an
arrowhead where some lie beyond the end.  What is not known has no place on a strip: it is counted beside it and named
when the strip is read dot by dot.
"""

from typing import NamedTuple

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from workbench.ui.guard import guarded
from workbench.ui.plots.faces import Face, sized
from workbench.ui.plots.painted_lines import PaintedLines
from workbench.ui.plots.scale import round_limit
from workbench.ui.theme import number_font

_PAD = 4
_GAP = 8
_LEAST_STRIP_PX = 64
_NEAR_PX = 9  # how far from a dot the mouse still means it


class Dot(NamedTuple):
    """One food on a strip; ``value`` is None where it is not known."""

    name: str
    value: float | None
    text: str  # its figure with the unit, or that it is not known


class Strip(NamedTuple):
    """One quantity."""

    title: str
    own: Dot
    near: tuple[Dot, ...]  # the foods that are named
    rest: tuple[float, ...]  # the others of the kind
    words: str  # where the food stands
    limit_text: str  # unit of the strip

    def dots(self) -> list[Dot]:
        """All that can be read, from the least to the most; what is not known comes last."""
        return sorted((self.own, *self.near), key=lambda dot: (dot.value is None, dot.value or 0.0, dot.name))

    @property
    def limit(self) -> float:
        """The end of the strip, which begins at nothing; one of the others far out does not squeeze those named."""
        known = [dot.value for dot in (self.own, *self.near) if dot.value is not None]
        return round_limit(max(known or self.rest, default=0.0))


@guarded
class DotStrips(PaintedLines):
    """The strips, and a line below them that names what is pointed at; arrows go from strip to strip and dot to dot.

    ``strode(top, height)`` is sent where a key leads to another strip, so that it can be scrolled into sight.
    """

    strode = Signal(int, int)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        self._strips: tuple[Strip, ...] = ()
        self._legend = ""
        self._row, self._dot = 0, -1  # which strip, and which of its dots; -1 = none yet
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)

    def show_strips(self, strips: tuple[Strip, ...], legend: str) -> None:
        """Show other strips; ``legend`` says what the signs mean."""
        if (strips, legend) != (self._strips, self._legend):
            self._strips, self._legend = strips, legend
            self._row, self._dot = 0, -1
            self._describe()
            self._fit(may_shrink=True)

    def reading(self) -> str:
        """What is pointed at, in words; else what the signs mean."""
        if self._dot < 0 or not self._strips:
            return self._legend
        strip = self._strips[self._row]
        dot = strip.dots()[self._dot]
        words = f"{strip.title}: {dot.name} {dot.text}"
        return f"{words}, {strip.words}" if dot is strip.own and strip.words else words

    def _describe(self) -> None:
        lines = [] if self._dot < 0 else [self.reading()]
        self._say([*lines, *(f"{strip.title}: {strip.own.text}, {strip.words}" for strip in self._strips)])

    # --- place ------------------------------------------------------------------------------------------------------

    def _make_faces(self) -> None:
        super()._make_faces()
        self._bold = Face(sized(number_font(self.font()), 1.0, bold=True))

    def lines_height(self, width: int) -> int:
        rows = len(self._strips) * self._row_height(width)
        words = [self._legend, *(f"{s.title}: {dot.name} {dot.text}" for s in self._strips for dot in s.dots())]
        room = max(width - 2 * _PAD, 1)
        return rows + max(self._small.wrapped_height(text, room) for text in words) + 2 * _PAD

    def _row_height(self, width: int) -> int:
        line = self._plain.height + 6
        return line if self._one_line(width) else line + self._plain.height

    def _one_line(self, width: int) -> bool:
        """Whether words and strip fit beside each other."""
        return width - self._words_width() >= _LEAST_STRIP_PX

    def _widths(self) -> tuple[int, int, int, int]:
        """Widest title, end of a strip, figure, and words. [px]"""
        face, small = self._plain, self._small
        return (
            max((face.width(strip.title) for strip in self._strips), default=0),
            max((small.width(strip.limit_text) for strip in self._strips), default=0),
            max((self._bold.width(strip.own.text) for strip in self._strips), default=0),
            max((small.width(strip.words) for strip in self._strips), default=0),
        )

    def _words_width(self) -> int:
        return sum(self._widths()) + 4 * _GAP + 2 * _PAD

    def _track(self, row: int) -> QRect:
        """Where the strip itself is."""
        title, end, figure, words = self._widths()
        height, width = self._row_height(self.width()), self.width()
        top = row * height
        if self._one_line(width):
            left, right = _PAD + title + _GAP, width - _PAD - words - figure - end - 3 * _GAP
            return QRect(left, top, right - left, height)
        below = self._plain.height
        return QRect(2 * _PAD, top + below, width - 4 * _PAD - end - _GAP, height - below)

    def _x(self, track: QRect, strip: Strip, value: float) -> float:
        return track.left() + track.width() * min(value / strip.limit, 1.0)

    def _dot_at(self, at: QPoint) -> tuple[int, int]:
        """Strip and dot at a place; the dot is -1 where none is near."""
        row = at.y() // max(self._row_height(self.width()), 1)
        if not 0 <= row < len(self._strips):
            return self._row, -1
        strip, track = self._strips[row], self._track(row)
        dots = strip.dots()
        far = [abs(self._x(track, strip, d.value) - at.x()) if d.value is not None else 1e9 for d in dots]
        nearest = min(range(len(dots)), key=far.__getitem__)
        return row, nearest if far[nearest] <= _NEAR_PX else -1

    # --- looks ------------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        height, look = self._row_height(self.width()), self._look
        for row, strip in enumerate(self._strips):
            self._paint_words(painter, row, strip)
            self._paint_strip(painter, row, strip)
        painter.setFont(self._small.font)
        painter.setPen(look.ink if self._dot >= 0 else look.muted)
        top = len(self._strips) * height + _PAD
        self._small.draw(painter, _PAD, top, self.reading(), max(self.width() - 2 * _PAD, 1))
        if self.hasFocus() and self._strips:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(look.accent, look.line_px))
            painter.drawRect(QRect(0, self._row * height, self.width() - 1, height - 1))

    def _paint_words(self, painter: QPainter, row: int, strip: Strip) -> None:
        title, _end, figure, words = self._widths()
        look, height, width = self._look, self._row_height(self.width()), self.width()
        track, top = self._track(row), row * height + 3
        painter.setFont(self._plain.font)
        painter.setPen(look.ink)
        self._plain.draw(painter, _PAD, top, strip.title)
        small_top = top + self._plain.ascent - self._small.ascent
        right = width - _PAD
        painter.setFont(self._small.font)
        painter.setPen(look.muted)
        if title + figure + words + 2 * _GAP + 2 * _PAD > width:  # then only the line below says it
            right += words + _GAP
        else:
            self._small.draw(painter, right - words, small_top, strip.words)
        end_top = track.top() + 3 + self._plain.ascent - self._small.ascent if not self._one_line(width) else small_top
        self._small.draw(painter, track.right() + 1 + _GAP, end_top, strip.limit_text)
        painter.setFont(self._bold.font)
        painter.setPen(look.ink if strip.own.value is not None else look.near)
        self._bold.draw_right(painter, right - words - _GAP, top, strip.own.text)

    def _paint_strip(self, painter: QPainter, row: int, strip: Strip) -> None:
        look, track = self._look, self._track(row)
        middle = track.center().y()
        painter.fillRect(track.left(), middle, track.width(), 1, look.grid)
        painter.fillRect(track.left(), middle - 3, 1, 7, look.grid)
        painter.fillRect(track.right(), middle - 3, 1, 7, look.grid)
        if any(value > strip.limit for value in strip.rest):
            painter.setPen(look.muted)
            for x, y in ((-4, -4), (-4, 4)):
                painter.drawLine(track.right() + 4, middle, track.right() + 4 + x, middle + y)
        for value in strip.rest:
            if value > strip.limit:
                continue
            painter.fillRect(round(self._x(track, strip, value)), middle - 4, 1, 9, look.muted)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        dots = strip.dots()
        for k, dot in enumerate(dots):
            if dot.value is None or dot is strip.own:
                continue
            chosen = row == self._row and k == self._dot
            painter.setPen(QPen(look.ink, 2.0 if chosen else 1.2))
            painter.setBrush(look.band if chosen else look.panel)
            radius = 5.0 if chosen else 3.5
            painter.drawEllipse(QPointF(self._x(track, strip, dot.value), middle + 0.5), radius, radius)
        if strip.own.value is not None:
            side = 7.5 if row == self._row and self._dot >= 0 and dots[self._dot] is strip.own else 6.0
            at_x, at_y = self._x(track, strip, strip.own.value), middle + 0.5
            corners = ((0.0, -side), (side, 0.0), (0.0, side), (-side, 0.0))
            painter.setPen(QPen(look.panel, 1.0))
            painter.setBrush(look.accent)
            painter.drawPolygon(QPolygonF([QPointF(at_x + a, at_y + b) for a, b in corners]))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)

    # --- hands ------------------------------------------------------------------------------------------------------

    def _point(self, row: int, dot: int) -> None:
        if (row, dot) != (self._row, self._dot):
            self._row, self._dot = row, dot
            self._describe()
            self.setToolTip(self.reading() if dot >= 0 else "")  # the line below may be out of sight
            self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._point(*self._dot_at(event.position().toPoint()))

    def leaveEvent(self, event: QEvent) -> None:
        self._point(self._row, -1)
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, most = event.key(), len(self._strips) - 1
        if most < 0 or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
        elif key in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            row = min(max(self._row + (1 if key == Qt.Key.Key_Down else -1), 0), most)
            self._point(row, self._dot_of_itself(row))
            height = self._row_height(self.width())
            self.strode.emit(row * height, height)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            dots = len(self._strips[self._row].dots())
            begun = self._dot if self._dot >= 0 else self._dot_of_itself(self._row)
            step = (1 if key == Qt.Key.Key_Right else -1) if self._dot >= 0 else 0
            self._point(self._row, min(max(begun + step, 0), dots - 1))
        else:
            super().keyPressEvent(event)

    def _dot_of_itself(self, row: int) -> int:
        strip = self._strips[row]
        return next(k for k, dot in enumerate(strip.dots()) if dot is strip.own)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._point(self._row, -1)
        self.update()
