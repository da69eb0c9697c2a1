"""The side panel: detail that slides in from the right over the charts and never covers the recipe."""

from collections.abc import Callable
from typing import Any, NamedTuple

from PySide6.QtCore import QEasingCurve, QEvent, QObject, QPoint, QPropertyAnimation, QSize, Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeySequence, QMouseEvent, QPainter, QPaintEvent, QShortcut
from PySide6.QtWidgets import (
    QApplication,
    QButtonGroup,
    QHBoxLayout,
    QStackedWidget,
    QStyle,
    QToolButton,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from workbench.base.text import _
from workbench.ui.guard import guarded
from workbench.ui.session import Session
from workbench.ui.side_page import SidePage
from workbench.ui.theme import colours
from workbench.ui.wrapping_row import WrappingRow

_MOTION_MS = 80
_GRIP_PX = 8
_LEAST_EMS = 24
_USUAL_EMS = 42
_STRIP_EMS = 12  # a narrower strip of the charts beside the panel shows nothing of use


class _Known(NamedTuple):
    make: Callable[[], SidePage]
    button: QToolButton


@guarded
class SidePanel(QWidget):
    """Covers the right of ``area``, the column of the charts, while a page is open.

    Pages are named with ``add_page`` and made when they are first opened.  A page that is not in sight hears of
    nothing, so it costs a drag nothing.  ``opened(key)`` and ``closed()`` say what happens.
    """

    opened = Signal(str)
    closed = Signal()

    def __init__(self, session: Session, area: QWidget) -> None:
        super().__init__(area)
        self._session = session
        self._area = area
        self._known: dict[str, _Known] = {}
        self._pages: dict[str, SidePage] = {}
        self._focus_before: QWidget | None = None
        self._wanted_width = 0
        self._covered: list[tuple[QWidget, Qt.FocusPolicy]] = []  # what the keyboard must not get lost in
        self.setAutoFillBackground(True)
        self.setAttribute(Qt.WidgetAttribute.WA_NoMousePropagation)
        self.setAccessibleName(_("side panel"))
        self._choice = QButtonGroup(self)
        self._head = QHBoxLayout()
        self._head.setContentsMargins(8, 4, 4, 0)
        self._head.setSpacing(2)
        self._tabs = WrappingRow()
        self._head.addLayout(self._tabs, 1)
        self.close_button = QToolButton(self)
        self.close_button.setText("✕")
        self.close_button.setToolTip(_("close (Escape)"))
        self.close_button.setAccessibleName(_("close the side panel"))
        self.close_button.setAutoRaise(True)
        self.close_button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.close_button.clicked.connect(self.close_page)
        self._head.addWidget(self.close_button, 0, Qt.AlignmentFlag.AlignTop)
        self._stack = QStackedWidget(self)
        self._grip = _Grip(self)
        column = QVBoxLayout()
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(self._head)
        column.addWidget(self._stack, 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self._grip)
        row.addLayout(column, 1)
        self._slide = QPropertyAnimation(self, b"pos", self)
        self._slide.setEasingCurve(QEasingCurve.Type.OutCubic)
        escape = QShortcut(QKeySequence(Qt.Key.Key_Escape), self)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self.close_page)
        session.evaluated.connect(self._follow)
        area.installEventFilter(self)
        self.hide()

    # --- pages ----------------------------------------------------------------------------------------------------

    def add_page(self, key: str, title: str, make: Callable[[], SidePage]) -> None:
        """Name a page; ``make`` is called when the page is first opened."""
        button = QToolButton(self)
        button.setText(title)
        button.setCheckable(True)
        button.setProperty("choice", True)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        button.clicked.connect(lambda: self.open_page(key))
        self._choice.addButton(button)
        self._tabs.addWidget(button)
        self._known[key] = _Known(make, button)

    def has_page(self, key: str) -> bool:
        """Whether a page of this name was added."""
        return key in self._known

    @property
    def page_key(self) -> str:
        """The page in sight; "" where none is."""
        if self.isHidden():
            return ""
        return next((key for key, page in self._pages.items() if page is self._stack.currentWidget()), "")

    def page(self, key: str) -> SidePage:
        """A page, made now if it was never opened."""
        if key not in self._pages:
            self._pages[key] = made = self._known[key].make()
            self._stack.addWidget(made)
        return self._pages[key]

    def open_page(self, key: str, /, **what: Any) -> None:
        """Bring a page into sight and put the keyboard into it."""
        was_hidden = self.isHidden()
        focus = QApplication.focusWidget()
        if was_hidden or (focus is not None and not self.isAncestorOf(focus)):
            self._focus_before = focus
        page = self.page(key)
        self._stack.setCurrentWidget(page)
        self._known[key].button.setChecked(True)
        page.begin(**what)
        if was_hidden:
            self.show()
            self._place()
            self.raise_()
            self._slide_in()
        page.setFocus(Qt.FocusReason.OtherFocusReason)
        self.opened.emit(key)

    def close_page(self) -> None:
        """Give the charts back, and the keyboard to where it was."""
        if self.isHidden():
            return
        focus = QApplication.focusWidget()
        had_focus = focus is None or focus is self or self.isAncestorOf(focus)
        self._slide.stop()
        self.hide()
        self._keep_keyboard_out(False)
        before, self._focus_before = self._focus_before, None
        if had_focus and before is not None and _is_there(before):
            before.setFocus(Qt.FocusReason.OtherFocusReason)
        self.closed.emit()

    def _follow(self) -> None:
        key = self.page_key
        if key:
            self._pages[key].follow()

    # --- place ------------------------------------------------------------------------------------------------------

    @property
    def kept_width(self) -> int:
        """The width that the user gave it; 0 where that is left to the panel. [px]"""
        return self._wanted_width

    def set_kept_width(self, width: int) -> None:
        """Make it as wide as there is room for, up to ``width``; 0 is the usual width. [px]"""
        em = self.fontMetrics().horizontalAdvance("m")
        self._wanted_width = max(width, _LEAST_EMS * em) if width > 0 else 0
        self._place()

    def sizeHint(self) -> QSize:
        em = self.fontMetrics().horizontalAdvance("m")
        width = self._wanted_width or _USUAL_EMS * em
        return QSize(min(width, self._area.width()), self._area.height())

    def _place(self) -> None:
        size = self.sizeHint()
        self._slide.stop()
        self.setGeometry(self._area.width() - size.width(), 0, size.width(), size.height())
        strip = _STRIP_EMS * self.fontMetrics().horizontalAdvance("m")
        self._keep_keyboard_out(not self.isHidden() and self._area.width() - size.width() < strip)

    def _keep_keyboard_out(self, covered: bool) -> None:
        """Let Tab go past the charts while they are covered."""
        if covered == bool(self._covered):
            return
        if not covered:
            for widget, policy in self._covered:
                if isValid(widget):
                    widget.setFocusPolicy(policy)
            self._covered = []
            return
        for widget in self._area.findChildren(QWidget):
            policy = widget.focusPolicy()
            if policy != Qt.FocusPolicy.NoFocus and widget is not self and not self.isAncestorOf(widget):
                self._covered.append((widget, policy))
                widget.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def _slide_in(self) -> None:
        duration = min(_MOTION_MS, self.style().styleHint(QStyle.StyleHint.SH_Widget_Animation_Duration))
        if duration <= 0 or QGuiApplication.platformName() == "offscreen":
            return
        self._slide.setDuration(duration)
        self._slide.setStartValue(self.pos() + QPoint(self.width(), 0))
        self._slide.setEndValue(self.pos())
        self.move(self.pos() + QPoint(self.width(), 0))
        self._slide.start()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self._area and event.type() == QEvent.Type.Resize and not self.isHidden():
            self._place()
        return super().eventFilter(watched, event)


def _is_there(widget: QWidget) -> bool:
    return isValid(widget) and widget.isVisible()


@guarded
class _Grip(QWidget):
    """The left edge: a line that sets the panel off from the charts, and can be dragged to make it wider."""

    def __init__(self, panel: SidePanel) -> None:
        super().__init__(panel)
        self._panel = panel
        self.setFixedWidth(_GRIP_PX)
        self.setCursor(Qt.CursorShape.SplitHCursor)
        self.setAccessibleName(_("width of the side panel"))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if event.buttons() & Qt.MouseButton.LeftButton:
            x = self._panel.mapToParent(self.mapToParent(event.position().toPoint())).x()
            self._panel.set_kept_width(self._panel.x() + self._panel.width() - x)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        look = colours(self)
        painter.fillRect(0, 0, 1, self.height(), look.grid)
        middle = self.height() // 2
        for offset in (-6, 0, 6):
            painter.fillRect(3, middle + offset, 2, 2, look.muted)
