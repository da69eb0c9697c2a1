"""Small multiples: a small chart for each quantity, in it a bar for each variant, all on one scale.

A bar ends at what is known; a whisker spans what may be, open where nothing limits it; the target lies behind the bar
as a band.  A dotted line through all bars marks the reference.  Beside each bar stand the value, how it is to its
target, and how far it is from the reference.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtCore import QEvent, QPoint, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QHelpEvent, QKeyEvent, QPainter, QPaintEvent, QPen, QRegion
from PySide6.QtWidgets import QToolTip, QWidget

from workbench.ui.guard import guarded
from workbench.ui.plots.badges import Badge, badge_side, draw_badge
from workbench.ui.plots.faces import Face, sized
from workbench.ui.plots.fills import draw_shape, pattern_brush
from workbench.ui.plots.painted_lines import ChosenLines
from workbench.ui.plots.scale import Scale
from workbench.ui.plots.spot import Axis, Spot, paint_spot
from workbench.ui.theme import mixed, number_font

_PAD, _GAP = 4, 6
_BETWEEN = 20  # charts beside each other
_LEAST_TRACK_EMS, _NAME_EMS = 4, 9
_MOST_COLUMNS = 6
_GRID_KEYS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}


class SmallChart(NamedTuple):
    """One quantity."""

    key: str
    title: str
    unit: str
    family: str  # a chart family of ``Colours``; "" for none
    target: str  # the target in words where all variants share it
    spots: tuple[Spot, ...]

    def room(self) -> float:
        """How far its axis has to reach; an upper limit counts only as far as it leaves the known part readable."""
        most = max((spot.value for spot in self.spots if math.isfinite(spot.value)), default=0.0)
        wanted = [most, *(min(spot.high, 1.5 * most) for spot in self.spots if math.isfinite(spot.high))]
        for spot in self.spots:
            wanted += [x for x in (spot.band or ())[:3] if isinstance(x, float | int)]
        return max(wanted)


class _Widths(NamedTuple):
    """Room for the words of a row. [px]"""

    text: int
    mark: int
    change: int

    def least(self, other: "_Widths") -> "_Widths":
        """Room for both."""
        return _Widths(max(self[0], other[0]), max(self[1], other[1]), max(self[2], other[2]))

    def total(self) -> int:
        return self.text + self.change + 2 * _GAP + (self.mark + _GAP if self.mark else 0)


@guarded
class Multiples(ChosenLines):
    """The charts, in as many columns as there is room for; see ``ChosenLines`` for keys and signals.

    ``strode(top, height)`` is sent where a key leads to another chart, so that it can be scrolled into sight.
    """

    strode = Signal(int, int)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        self.hint_for: Callable[[int], str] | None = None  # a chart in sentences
        self._badges: tuple[Badge, ...] = ()
        self._charts: tuple[SmallChart, ...] = ()
        self._closing = ""
        self._scales: dict[str, Scale] = {}
        self._widths: dict[str, _Widths] = {}
        self._columns = 1
        self._name_room = 0  # 0: only letters
        super().__init__(parent)
        self.setAccessibleName(name)
        self.make_choosable()

    @property
    def charts(self) -> tuple[SmallChart, ...]:
        """What is shown."""
        return self._charts

    def keys_in_sight(self) -> list[str]:
        """The charts that can be seen now."""
        region = self.visibleRegion()
        return [chart.key for k, chart in enumerate(self._charts) if region.intersects(self._area(k))]

    def show_charts(
        self, badges: tuple[Badge, ...], charts: tuple[SmallChart, ...], closing: str = "", *, resting: bool
    ) -> None:
        """Show other figures; while a hand is on a slider scales and columns of words only grow.

        ``closing`` is a sentence below them.
        """
        before = self._badges, self._charts, self._closing
        self._badges, self._charts, self._closing = badges, charts, closing
        if resting:
            fresh = charts
        else:  # what is out of sight stays the same object
            fresh = tuple(new for new, old in zip(charts, before[1], strict=False) if new is not old)
        moved = self._fit_scales(fresh, resting) | self._measure(fresh, resting)
        alike = (before[0], before[2]) == (badges, closing) and [c.key for c in before[1]] == [c.key for c in charts]
        if resting:
            self._place()
            self._describe()
        if not alike:
            self.update()
            return
        changed = QRegion()
        for k, (old, new) in enumerate(zip(before[1], charts, strict=True)):
            if new is old and new.key not in moved:
                continue
            if new.key in moved or old[:-1] != new[:-1] or old.spots[0] != new.spots[0]:
                changed += self._area(k)
                continue
            for row, (a, b) in enumerate(zip(old.spots, new.spots, strict=True)):
                if a != b:
                    changed += self._row_area(self._area(k), row)
        if not changed.isEmpty():
            self.update(changed)

    def _fit_scales(self, charts: tuple[SmallChart, ...], resting: bool) -> set[str]:
        """Make room on the axes; says which charts have another axis now, by key."""
        moved = set()
        for chart in charts:
            scale = self._scales.setdefault(chart.key, Scale(0.0))
            limit = scale.limit
            scale.fit(chart.room(), may_shrink=resting)
            if scale.limit != limit:
                moved.add(chart.key)
        return moved

    def _describe(self) -> None:
        if self.hint_for is None or not self._charts:
            return
        chosen = min(self._chosen, len(self._charts) - 1)
        self._say([self.hint_for(chosen)])

    # --- place ------------------------------------------------------------------------------------------------------

    def _make_faces(self) -> None:
        super()._make_faces()
        font = number_font(self.font())
        self._bold, self._small_bold = Face(sized(font, 1.0, bold=True)), Face(sized(font, 0.92, bold=True))
        self._badge_face = Face(sized(font, 0.8, bold=True))
        self._unknown_brush = pattern_brush(QColor(0, 0, 0, 0), "slant", self._look.edge, self.devicePixelRatioF())

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._measure(self._charts, resting=True)
            self._place()

    def _measure(self, charts: tuple[SmallChart, ...], resting: bool) -> set[str]:
        """Make room for words; says which charts have other columns of words now, by key."""
        found = {chart.key: self._wanted(chart) for chart in charts}
        if not resting:
            found = {key: new.least(self._widths.get(key, new)) for key, new in found.items()}
        moved = {key for key, new in found.items() if new != self._widths.get(key)}
        self._widths = found if resting else {**self._widths, **found}
        return moved

    def _wanted(self, chart: SmallChart) -> _Widths:
        face, small = self._plain, self._small
        return _Widths(
            max((face.width(spot.text) for spot in chart.spots), default=0),
            face.ascent if any(spot.mark for spot in chart.spots) else 0,
            max((small.width(spot.change) for spot in chart.spots), default=0),
        )

    def _place(self) -> None:
        columns = self._columns_for(self.width())
        self._columns = columns
        name = max((self._small.width(badge.name) for badge in self._badges), default=0)
        wanted = min(name, _NAME_EMS * self._plain.height) + _GAP
        spare = (self.width() + _BETWEEN) // columns - _BETWEEN - self._needed_width()
        self._name_room = wanted if spare >= wanted else 0
        self._fit(may_shrink=True)

    def _needed_width(self) -> int:
        """The least width of a chart without names. [px]"""
        words = max((widths.total() for widths in self._widths.values()), default=0)
        return words + badge_side(self._badge_face) + _GAP + 2 * _PAD + _LEAST_TRACK_EMS * self._plain.height

    def _columns_for(self, width: int) -> int:
        fit = (width + _BETWEEN) // (self._needed_width() + _BETWEEN)
        return min(max(fit, 1), _MOST_COLUMNS, max(len(self._charts), 1))

    def _row_height(self) -> int:
        return self._plain.height + 2

    def _chart_height(self) -> int:
        return self._plain.height + 2 + len(self._badges) * self._row_height() + 2 * _PAD

    def lines_height(self, width: int) -> int:
        columns = self._columns if width == self.width() else self._columns_for(width)
        closing = self._small.wrapped_height(self._closing, max(width - 2 * _PAD, 1)) if self._closing else 0
        return self._charts_height(columns) + closing

    def _charts_height(self, columns: int) -> int:
        return -(-len(self._charts) // columns) * (self._chart_height() + _GAP)

    def resizeEvent(self, event: object) -> None:
        self._place()

    def _area(self, k: int) -> QRect:
        """Where a chart is."""
        width = (self.width() - (self._columns - 1) * _BETWEEN) // self._columns
        down, across = divmod(k, self._columns)
        return QRect(across * (width + _BETWEEN), down * (self._chart_height() + _GAP), width, self._chart_height())

    def areas(self) -> list[QRect]:
        return [self._area(k) for k in range(len(self._charts))]

    def _row_area(self, area: QRect, row: int) -> QRect:
        top = area.top() + _PAD + self._plain.height + 2 + row * self._row_height()
        return QRect(area.left(), top, area.width(), self._row_height())

    def _track(self, area: QRect, widths: _Widths) -> tuple[int, int, int]:
        """Where names begin, and the left and right end of the bars. [px]"""
        names = area.left() + _PAD + badge_side(self._badge_face) + _GAP
        right = area.right() - _PAD - widths.total()
        left = names + self._name_room
        return names, left, max(right, left + 1)

    # --- looks ------------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        region = event.region()
        for k, chart in enumerate(self._charts):
            area = self._area(k)
            if region.intersects(area):
                self._paint_chart(painter, chart, area, region)
        if self._closing:
            painter.setFont(self._small.font)
            painter.setPen(self._look.muted)
            top = self._charts_height(self._columns)
            self._small.draw(painter, _PAD, top, self._closing, max(self.width() - 2 * _PAD, 1))
        self._paint_choice(painter)

    def _paint_chart(self, painter: QPainter, chart: SmallChart, area: QRect, region: QRegion) -> None:
        self._paint_title(painter, chart, area)
        widths = self._widths[chart.key]
        names, left, end = self._track(area, widths)
        limit = self._scales[chart.key].limit
        fill = self._fill(chart.family)
        for row, (badge, spot) in enumerate(zip(self._badges, chart.spots, strict=False)):
            place = self._row_area(area, row)
            if region.intersects(place):
                self._paint_row(painter, badge, spot, place, (names, left, end), widths, limit, fill)
        self._paint_reference(painter, chart, area, left, end, limit)

    def _paint_title(self, painter: QPainter, chart: SmallChart, area: QRect) -> None:
        """Title, unit, and the target where there is room; a long title is written smaller before it is cut."""
        look, left, right = self._look, area.left() + _PAD, area.right() - _PAD
        base = area.top() + _PAD + self._plain.ascent
        room = right - left - _GAP - self._small.width(chart.unit)
        faces = self._bold, self._small_bold, self._small
        face = next((face for face in faces if face.width(chart.title) <= room), self._small)
        title = face.elided(chart.title, room)
        painter.setFont(face.font)
        painter.setPen(look.ink)
        face.draw(painter, left, base - face.ascent, title)
        left += face.width(title) + _GAP
        painter.setFont(self._small.font)
        painter.setPen(look.muted)
        self._small.draw(painter, left, base - self._small.ascent, chart.unit)
        left += self._small.width(chart.unit) + 2 * _GAP
        if chart.target and left + self._small.width(chart.target) <= right:
            self._small.draw_right(painter, right, base - self._small.ascent, chart.target)

    def _fill(self, family: str) -> QBrush:
        look = self._look
        shades: tuple[QColor, ...] = getattr(look, family) if family else ()
        return QBrush(shades[min(1, len(shades) - 1)] if shades else mixed(look.ink, look.panel, 0.38))

    def _paint_row(
        self,
        painter: QPainter,
        badge: Badge,
        spot: Spot,
        place: QRect,
        across: tuple[int, int, int],
        widths: _Widths,
        limit: float,
        fill: QBrush,
    ) -> None:
        look, (names, left, end) = self._look, across
        top = place.top() + 1
        if badge.edited:
            painter.fillRect(place, mixed(look.accent, look.panel, 0.12))
        draw_badge(painter, self._badge_face, look, badge, place.left() + _PAD, top)
        small_top = top + self._plain.ascent - self._small.ascent
        if left > names:
            painter.setFont(self._small.font)
            painter.setPen(look.ink if badge.edited else look.muted)
            self._small.draw(painter, names, small_top, self._small.elided(badge.name, left - names - _GAP))
        paint_spot(painter, look, spot, place, Axis(left, end, limit), fill, self._unknown_brush)
        right = place.right() - _PAD
        if spot.change:
            painter.setFont(self._small.font)
            painter.setPen(look.muted)
            self._small.draw_right(painter, right, small_top, spot.change)
        right -= widths.change + _GAP
        if widths.mark:
            side = self._small.ascent - 2
            if spot.mark is not None:
                tone: QColor = getattr(look, spot.mark.tone)
                box = QRectF(right - side, top + (self._plain.height - side) / 2, side, side)
                draw_shape(painter, spot.mark.shape, box, tone)
            right -= widths.mark + _GAP
        painter.setFont(self._plain.font)
        painter.setPen(look.ink if math.isfinite(spot.value) else look.muted)
        self._plain.draw_right(painter, right, top, spot.text)

    def _paint_reference(
        self, painter: QPainter, chart: SmallChart, area: QRect, left: int, end: int, limit: float
    ) -> None:
        at = next((k for k, badge in enumerate(self._badges) if badge.reference), -1)
        if at < 0 or not math.isfinite(chart.spots[at].value):
            return
        x = Axis(left, end, limit).x(chart.spots[at].value)
        first, last = self._row_area(area, 0).top(), self._row_area(area, len(self._badges) - 1).bottom()
        painter.setPen(QPen(self._look.ink, self._look.line_px, Qt.PenStyle.DotLine))
        painter.drawLine(x, first, x, last)

    # --- hands ------------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        before, step = self._chosen, _GRID_KEYS.get(Qt.Key(event.key()))
        if step is not None and not event.modifiers():
            wanted = self._chosen + step * self._columns
            if 0 <= wanted < len(self._charts):
                self._choose(wanted)
        else:
            super().keyPressEvent(event)
        if self._chosen != before:
            self._describe()
            area = self._area(self._chosen)
            self.strode.emit(area.top(), area.height())

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip and self.hint_for is not None:
            k = self.line_at(QPoint(event.pos()))
            QToolTip.showText(event.globalPos(), self.hint_for(k) if k >= 0 else "", self)
            return True
        return super().event(event)
