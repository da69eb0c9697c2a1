"""Painted lines: words and figures that change with every frame, painted so that changing them lays out nothing anew.

A row of labels would ask its window for a new layout with each new text; these keep their height while a hand is on the
slider and give room back when they are told that it is off (``settle``).
"""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.ui.guard import guarded
from workbench.ui.plots.faces import Face, sized
from workbench.ui.plots.keys import asks_why, claims_why
from workbench.ui.theme import Colours, colours, number_font

_STEPS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Right: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_Left: -1}


@guarded
class PaintedLines(QWidget):
    """What the kinds of lines share: faces, colours, and a height that follows from the width."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._reserved = 0
        self._make_faces()

    def lines_height(self, width: int) -> int:
        """Height that the present lines need. [px]"""
        raise NotImplementedError

    def settle(self) -> None:
        """Give back room that is no longer needed."""
        self._fit(may_shrink=True)

    def _make_faces(self) -> None:
        font = number_font(self.font())
        self._plain, self._small = Face(font), Face(sized(font, 0.92))
        self._look: Colours = colours(self)

    def _fit(self, *, may_shrink: bool) -> None:
        needed = self.lines_height(self.width())
        if needed > self._reserved or (may_shrink and needed < self._reserved):
            self._reserved = needed
            self.updateGeometry()
        self.update()

    def _say(self, words: Sequence[str]) -> None:
        text = "\n".join(words)
        if text != self.accessibleDescription():
            self.setAccessibleDescription(text)

    def heightForWidth(self, width: int) -> int:
        needed = self.lines_height(width)
        return max(needed, self._reserved) if width == self.width() else needed

    def sizeHint(self) -> QSize:
        width = max(self.width(), 20 * self._plain.height)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        return QSize(10 * self._plain.height, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._fit(may_shrink=True)

    def changeEvent(self, event: QEvent) -> None:
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.PaletteChange):
            self._make_faces()
            self._fit(may_shrink=True)
        super().changeEvent(event)


@guarded
class ChosenLines(PaintedLines):
    """Lines of which one is chosen, with the arrows or a click, and then asked or changed.

    Signals carry the number of the line: ``activated`` (double click, Enter), ``clicked``, ``figureAsked`` (Ctrl+click,
    Ctrl+E), ``menuAsked`` (with a place on the screen).
    """

    activated = Signal(int)
    clicked = Signal(int)
    figureAsked = Signal(int)
    menuAsked = Signal(int, QPoint)

    def __init__(self, parent: QWidget | None = None) -> None:
        self._chosen = 0
        super().__init__(parent)

    def make_choosable(self) -> None:
        """Let keyboard and mouse in."""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def areas(self) -> list[QRect]:
        """Where the lines are, in their order."""
        raise NotImplementedError

    def line_at(self, point: QPoint) -> int:
        """The line at a place; -1 where there is none."""
        return next((k for k, area in enumerate(self.areas()) if area.contains(point)), -1)

    def _choose(self, k: int) -> None:
        self._chosen = min(max(k, 0), max(len(self.areas()) - 1, 0))
        self.update()

    def _paint_choice(self, painter: QPainter) -> None:
        areas = self.areas() if self.hasFocus() else []
        if self._chosen < len(areas):
            px = self._look.line_px
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(self._look.accent, px))
            painter.drawRect(areas[self._chosen].adjusted(px // 2, px // 2, -(px + 1) // 2, -(px + 1) // 2))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        k = self.line_at(event.position().toPoint())
        if self.focusPolicy() == Qt.FocusPolicy.NoFocus or k < 0:
            super().mousePressEvent(event)
            return
        self._choose(k)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        k = self.line_at(event.position().toPoint())
        if k < 0 or event.button() != Qt.MouseButton.LeftButton or self.focusPolicy() == Qt.FocusPolicy.NoFocus:
            super().mouseReleaseEvent(event)
        elif event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.figureAsked.emit(k)
        else:
            self.clicked.emit(k)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        k = self.line_at(event.position().toPoint())
        if k >= 0 and event.button() == Qt.MouseButton.LeftButton:
            self.activated.emit(k)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(Qt.Key(event.key()))
        has_line = self._chosen < len(self.areas())
        if step is not None and not event.modifiers():
            self._choose(self._chosen + step)
        elif has_line and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.activated.emit(self._chosen)
        elif has_line and asks_why(event):
            self.figureAsked.emit(self._chosen)
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        by_key = event.reason() == QContextMenuEvent.Reason.Keyboard
        k = self._chosen if by_key else self.line_at(event.pos())
        areas = self.areas()
        if 0 <= k < len(areas) and self.focusPolicy() != Qt.FocusPolicy.NoFocus:
            self.menuAsked.emit(k, self.mapToGlobal(areas[k].bottomLeft()) if by_key else event.globalPos())

    def focusInEvent(self, event: QFocusEvent) -> None:
        self._choose(self._chosen)
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.update()
        super().focusOutEvent(event)

    def event(self, event: QEvent) -> bool:
        return claims_why(event) or super().event(event)
