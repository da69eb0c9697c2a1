"""FrontChart: the best trade-offs between two quantities as points to choose from, and where the recipe stands now."""

import math
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.base.text import _, number
from workbench.ui.guard import guarded
from workbench.ui.plots.faces import Face, sized
from workbench.ui.plots.scale import round_limit
from workbench.ui.theme import colours, number_font

_PAD, _DOT, _NEAR_PX = 6, 4.0, 14
_STEPS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}


class Place(NamedTuple):
    """A point of the chart: its two figures, and the same in words."""

    x: float
    y: float
    words: str


@guarded
class FrontChart(QWidget):
    """Points joined by a line; arrows or the mouse choose one.

    ``chosen(k)`` says which; the present recipe is a cross.
    """

    chosen = Signal(int)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._places: tuple[Place, ...] = ()
        self._now: Place | None = None
        self._titles = ("", "")
        self._at = -1
        self._x_limit = self._y_limit = 1.0
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)

    def show_front(self, places: tuple[Place, ...], now: Place | None, titles: tuple[str, str]) -> None:
        """Show points; ``titles`` name the axes with their units."""
        self._places, self._now, self._titles, self._at = places, now, titles, -1
        known = [*places, *((now,) if now is not None else ())]
        self._x_limit = round_limit(max((p.x for p in known if math.isfinite(p.x)), default=1.0))
        self._y_limit = round_limit(max((p.y for p in known if math.isfinite(p.y)), default=1.0))
        self._describe()
        self.update()

    @property
    def places(self) -> tuple[Place, ...]:
        """The points to choose from."""
        return self._places

    def choose(self, k: int) -> None:
        """Choose a point."""
        if 0 <= k < len(self._places) and k != self._at:
            self._at = k
            self._describe()
            self.update()
            self.chosen.emit(k)

    def _describe(self) -> None:
        said = [_("{n} points", n=len(self._places))]
        if self._now is not None:
            said.append(_("now: {figures}", figures=self._now.words))
        if self._at >= 0:
            said.append(_("chosen: {figures}", figures=self._places[self._at].words))
        self.setAccessibleDescription("; ".join(said))

    def sizeHint(self) -> QSize:
        return QSize(24 * self.fontMetrics().height(), 12 * self.fontMetrics().height())

    def minimumSizeHint(self) -> QSize:
        return QSize(12 * self.fontMetrics().height(), 8 * self.fontMetrics().height())

    # --- hand and keys ------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
        else:
            first = 0 if step > 0 else len(self._places) - 1
            self.choose(first if self._at < 0 else self._at + step)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        area, at = self._area(), event.position()

        def distance(k: int) -> float:
            point = self._point(area, self._places[k])
            return math.hypot(point.x() - at.x(), point.y() - at.y())

        nearest = min(range(len(self._places)), key=distance, default=-1)
        if nearest >= 0 and distance(nearest) <= _NEAR_PX:
            self.choose(nearest)

    # --- painting -----------------------------------------------------------------------------------------------------

    def _area(self) -> QRect:
        """Where the points are."""
        face = Face(sized(number_font(self.font()), 0.92))
        left = max(face.width(number(self._y_limit, _decimals(self._y_limit))), face.width("0")) + 2 * _PAD
        return QRect(
            left,
            face.height + 2 * _PAD,
            max(self.width() - left - 3 * _PAD, 1),
            self.height() - 3 * face.height - 4 * _PAD,
        )

    def _point(self, area: QRect, place: Place) -> QPointF:
        x = area.left() + area.width() * min(max(place.x / self._x_limit, 0.0), 1.0)
        return QPointF(x, area.bottom() - area.height() * min(max(place.y / self._y_limit, 0.0), 1.0))

    def paintEvent(self, event: QPaintEvent) -> None:
        look, face = colours(self), Face(sized(number_font(self.font()), 0.92))
        painter, area = QPainter(self), self._area()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(face.font)
        painter.setPen(QPen(look.grid, 1))
        painter.drawRect(area)
        painter.setPen(look.muted)
        face.draw(painter, _PAD, _PAD // 2, self._titles[1])
        face.draw_right(painter, area.right(), area.bottom() + face.height + 2, self._titles[0])
        for limit, at_x in ((self._x_limit, True), (self._y_limit, False)):
            text = number(limit, _decimals(limit))
            if at_x:
                face.draw(painter, area.left(), area.bottom() + 2, "0")
                face.draw_right(painter, area.right(), area.bottom() + 2, text)
            else:
                face.draw_right(painter, area.left() - _PAD, area.top(), text)
        points = [self._point(area, place) for place in self._places]
        painter.setPen(QPen(look.accent, 1.5))
        painter.drawPolyline(points)
        for k, point in enumerate(points):
            painter.setBrush(look.accent if k == self._at else look.paper)
            size = _DOT + 2 if k == self._at else _DOT
            painter.drawEllipse(point, size, size)
        if self._now is not None and math.isfinite(self._now.x) and math.isfinite(self._now.y):
            at = self._point(area, self._now)
            painter.setPen(QPen(look.ink, 2))
            painter.drawLine(at - QPointF(5, 5), at + QPointF(5, 5))
            painter.drawLine(at - QPointF(5, -5), at + QPointF(5, -5))
        if self.hasFocus():
            painter.setPen(QPen(look.accent, 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(self.rect().adjusted(1, 1, -1, -1), 3, 3)


def _decimals(limit: float) -> int:
    return 0 if limit >= 10 else 1 if limit >= 1 else 2
