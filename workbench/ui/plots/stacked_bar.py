"""StackedBar: a bar to ask and to set targets on, by hand and by keyboard."""

import math
from collections.abc import Callable

from PySide6.QtCore import QEvent, QPoint, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QEnterEvent, QFocusEvent, QHelpEvent, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QToolTip, QWidget

from workbench.base.text import _
from workbench.ui.guard import guarded
from workbench.ui.plots.band_edges import Edge, edge_near, edge_step, edge_value, placed
from workbench.ui.plots.keys import asks_why, claims_why
from workbench.ui.plots.painted_bar import PaintedBar

_REACH_PX = 5  # how near to an edge of the band a hand takes it
_SIDES = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}


@guarded
class StackedBar(PaintedBar):
    """A bar to ask and to set targets on.

    Signals carry the key of a part, or of the whole bar: ``segmentActivated`` (click, Enter: who brings it),
    ``figureAsked`` (Ctrl+click, Ctrl+E: why this number), ``menuAsked`` (with a place on the screen).
    ``targetAsked`` wants the target of the bar to be typed (click on its word, T).  ``edgeMoved`` says where a hand has
    taken an edge of the target so far; then ``edgeReleased``, or ``edgeDropped`` to have it back where it was.
    """

    segmentActivated = Signal(str)
    figureAsked = Signal(str)
    menuAsked = Signal(str, QPoint)
    targetAsked = Signal()
    edgeMoved = Signal(str, float)
    edgeReleased = Signal()
    edgeDropped = Signal()

    def __init__(self, key: str, unit: str, parent: QWidget | None = None, *, decimals: int = 1, **look: bool) -> None:
        super().__init__(key, unit, parent, decimals=decimals, **look)
        self.hint_for: Callable[[str], str] | None = None  # words for the tooltip of a key
        self._dragging = self._typing = self._moved = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)

    def key_at(self, point: QPoint) -> str:
        """The part at a place, in the bar or in the legend; elsewhere the whole."""
        part = self._legend.part_at(point)
        if part >= 0:
            return self._segments[part].key
        if self._bar.contains(point):
            total = 0.0
            for value, segment in zip(self._reading.parts, self._segments, strict=False):
                total += max(value, 0.0)
                if value > 0 and point.x() < self._x(total):
                    return segment.key
        return self.key

    @property
    def chosen_key(self) -> str:
        """The part under the keyboard, or the whole."""
        return self._segments[self._chosen].key if self._chosen >= 0 else self.key

    @property
    def dragging(self) -> bool:
        """Whether the mouse has an edge of the target."""
        return self._dragging

    # --- mouse ------------------------------------------------------------------------------------------------------

    def _edge_at(self, point: QPoint) -> Edge | None:
        inside = self._bar.adjusted(-_REACH_PX, -_REACH_PX, _REACH_PX, _REACH_PX).contains(point)
        return edge_near(self._band, self._places(), point.x(), _REACH_PX) if inside else None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        event.accept()
        if event.button() == Qt.MouseButton.LeftButton:
            self._moved = False
            self._hold(self._edge_at(event.position().toPoint()))
            self._dragging = self._held is not None and not event.modifiers() & Qt.KeyboardModifier.ControlModifier

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        point = event.position().toPoint()
        if self._dragging and self._held is not None:
            share = (point.x() - self._bar.left()) / self._bar.width()
            self._move_edge(self._held, min(max(share, 0.0), 1.0) * self._limit)
        elif not event.buttons():
            self._hold(self._edge_at(point))
            over_word = self._target_area.contains(point)
            hand = Qt.CursorShape.PointingHandCursor if over_word else Qt.CursorShape.ArrowCursor
            self.setCursor(hand if self._held is None else Qt.CursorShape.SplitHCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        point = event.position().toPoint()
        if event.button() != Qt.MouseButton.LeftButton:
            return
        dragged, self._dragging = self._dragging and self._moved, False
        if dragged:
            self.edgeReleased.emit()
            self._hold(self._edge_at(point))
        elif self.rect().contains(point):
            if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                self.figureAsked.emit(self.key_at(point))
            elif self._target_area.contains(point):
                self.targetAsked.emit()
            else:
                self.segmentActivated.emit(self.key_at(point))

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        by_key = event.reason() == QContextMenuEvent.Reason.Keyboard
        at = self.mapToGlobal(self._bar.bottomLeft()) if by_key else event.globalPos()
        self.menuAsked.emit(self.chosen_key if by_key else self.key_at(event.pos()), at)

    def enterEvent(self, event: QEnterEvent) -> None:
        self._offers = True
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        self._offers = False
        if not self._dragging and not self._typing:
            self._hold(None)
        self.update()

    # --- keyboard ---------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        side, modifiers = _SIDES.get(Qt.Key(event.key())), event.modifiers()
        if event.key() == Qt.Key.Key_Escape and (self._dragging or self._typing):
            self._dragging = self._typing = False
            self._hold(None)
            self.edgeDropped.emit()
        elif side is not None and modifiers & Qt.KeyboardModifier.AltModifier:
            self._step_edge("high" if modifiers & Qt.KeyboardModifier.ShiftModifier else "low", side)
        elif side is not None and len(self._segments) > 1:
            self._chosen = min(max(self._chosen + side, -1), len(self._segments) - 1)
            self.update()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.segmentActivated.emit(self.chosen_key)
        elif asks_why(event):
            self.figureAsked.emit(self.chosen_key)
        elif event.key() == Qt.Key.Key_T and not modifiers:
            self.targetAsked.emit()
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if self._typing and not event.isAutoRepeat() and event.key() in (*_SIDES, Qt.Key.Key_Alt):
            self._stop_typing()
        else:
            super().keyReleaseEvent(event)

    def _step_edge(self, wanted: Edge, side: int) -> None:
        """Move an edge one step; an edge that the target lacks begins at the figure."""
        only_aim = self._band is not None and (self._band.low, self._band.high) == (None, None)
        edge: Edge = "aim" if only_aim else wanted
        now = edge_value(self._band, edge)
        step = edge_step(self._limit, 10.0**-self._decimals)
        if now is None:
            value = self._reading.value if math.isfinite(self._reading.value) else 0.0
        else:
            value = now + side * step
        self._typing = True
        self._hold(edge)
        self._move_edge(edge, value)

    def _stop_typing(self) -> None:
        self._typing = False
        self._hold(None)
        self.edgeReleased.emit()

    def _move_edge(self, edge: Edge, value: float) -> None:
        value = placed(self._band, edge, value, edge_step(self._limit, 10.0**-self._decimals))
        if value != edge_value(self._band, edge):
            self._moved = True
            self.edgeMoved.emit(edge, value)

    def _hold(self, edge: Edge | None) -> None:
        if edge != self._held:
            self._held = edge
            self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        self._chosen = -1
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        if self._typing:
            self._stop_typing()
        super().focusOutEvent(event)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip and self.hint_for is not None:
            over_word = self._target_area.contains(event.pos())
            words = _("type the target (T)") if over_word else self.hint_for(self.key_at(event.pos()))
            QToolTip.showText(event.globalPos(), words, self)
            return True
        return claims_why(event) or super().event(event)
