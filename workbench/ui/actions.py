"""User actions: what a user can do, as a table; menus, shortcuts and context menus are made from it."""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget


def _always() -> bool:
    return True


class UserAction(NamedTuple):
    """One thing a user can do."""

    id: str
    title: str
    run: Callable[[], object]
    shortcut: str = ""  # several are separated by a blank
    enabled: Callable[[], bool] = _always
    checked: Callable[[], bool] | None = None  # for a switch: whether it is on
    only_in: QWidget | None = None  # a shortcut that must not fire while typing elsewhere belongs to one widget


class ActionTable(QObject):
    """The actions of one window.  ``refresh`` asks each whether it is possible now."""

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self._actions: dict[str, tuple[UserAction, QAction]] = {}

    def add(self, rows: Iterable[UserAction]) -> None:
        """Make actions from rows of the table."""
        for row in rows:
            action = QAction(row.title, self)
            action.setObjectName(row.id)
            action.setShortcuts([QKeySequence(text) for text in row.shortcut.split()])
            if row.only_in is not None:
                action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
            action.setCheckable(row.checked is not None)
            action.triggered.connect(lambda _checked=False, run=row.run: run())
            (row.only_in or self._window).addAction(action)
            self._actions[row.id] = (row, action)

    def __getitem__(self, action_id: str) -> QAction:
        return self._actions[action_id][1]

    def refresh(self) -> None:
        """Enable what is possible now, and show which switches are on."""
        for row, action in self._actions.values():
            action.setEnabled(row.enabled())
            if row.checked is not None:
                action.setChecked(row.checked())
