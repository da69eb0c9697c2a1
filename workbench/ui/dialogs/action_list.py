"""The searchable list of everything that can be done: type some letters, arrows choose, Enter does it."""

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QObject, QSize, Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHeaderView,
    QLabel,
    QLineEdit,
    QMenu,
    QMenuBar,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import _
from workbench.composition.search import folded
from workbench.ui.actions import ActionTable
from workbench.ui.dialogs.room import resize_within
from workbench.ui.guard import guarded
from workbench.ui.tables.plain_header import PlainHeader

_MOVES = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: 10, Qt.Key.Key_PageUp: -10}
_WIDTH_EMS, _HEIGHT_EMS = 58, 38
_MOST_KEYS = 2


class Listed(NamedTuple):
    """One action with the menus it stands in."""

    action: QAction
    title: str
    menus: str  # titles of the menus around it; "" where it is in none

    @property
    def keys(self) -> str:
        return ", ".join(
            k.toString(QKeySequence.SequenceFormat.NativeText) for k in self.action.shortcuts()[:_MOST_KEYS]
        )


def choose_action(table: ActionTable, menu_bar: QMenuBar, parent: QWidget) -> None:
    """Show the list, and do what is chosen once it is closed."""
    table.refresh()
    dialog = ActionListDialog(listed_actions(table, menu_bar), parent)
    if dialog.exec() == QDialog.DialogCode.Accepted and dialog.chosen is not None:
        dialog.chosen.trigger()


def listed_actions(table: ActionTable, menu_bar: QMenuBar) -> tuple[Listed, ...]:
    """Everything in the menus, in their order, and then what is only in the table."""
    found = {id(listed.action): listed for top in menu_bar.actions() for listed in _in_menu(top, "")}
    for action in table.findChildren(QAction, options=Qt.FindChildOption.FindDirectChildrenOnly):
        found.setdefault(id(action), Listed(action, _plain(action.text()), ""))
    return tuple(found.values())


def _in_menu(entry: QAction, path: str) -> Iterator[Listed]:
    menu: QObject | None = entry.menu()
    title = _plain(entry.text())
    if isinstance(menu, QMenu):
        menu.aboutToShow.emit()  # some are filled when they open
        inside = f"{path} → {title}" if path else title
        for action in menu.actions():
            yield from _in_menu(action, inside)
    elif not entry.isSeparator() and (entry.isEnabled() or entry.objectName() or not entry.shortcut().isEmpty()):
        # without: a line in a menu that only says that there is nothing
        yield Listed(entry, title, path)


def _plain(text: str) -> str:
    return text.replace("&&", "\0").replace("&", "").replace("\0", "&")


def _starts(wanted: list[str], text: str) -> bool:
    """Whether each wanted word begins a word of the text."""
    return all(f" {word}" in f" {text}" for word in wanted)


@guarded
class ActionListDialog(QDialog):
    """The list.  ``chosen`` is the action that was asked for."""

    def __init__(self, actions: tuple[Listed, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("what can be done"))
        self.chosen: QAction | None = None
        self._actions = actions
        self._words = [(folded(x.title), folded(f"{x.title} {x.menus}")) for x in actions]
        self._found: list[Listed] = []
        self._row_height = round(1.6 * self.fontMetrics().height())
        self.line = QLineEdit(self)
        self.line.setPlaceholderText(_("type what you want to do"))
        self.line.setAccessibleName(_("search the actions"))
        self.line.setClearButtonEnabled(True)
        self.results = QTreeWidget(self)
        self.results.setAccessibleName(_("actions found"))
        self.results.setHeader(PlainHeader(self.results))
        self.results.setHeaderLabels([_("action"), _("menu"), _("keys"), ""])
        for column in range(4):
            self.results.headerItem().setTextAlignment(
                column, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
            )
        self.results.setRootIsDecorated(False)
        self.results.setUniformRowHeights(True)
        self.results.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.results.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        header = self.results.header()
        header.setStretchLastSection(False)
        header.setMinimumSectionSize(5 * self.fontMetrics().horizontalAdvance("m"))
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)
        layout = QVBoxLayout(self)
        layout.addWidget(self.line)
        layout.addWidget(self.results, 1)
        layout.addWidget(self.message)
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(_WIDTH_EMS * em, _HEIGHT_EMS * em))
        self.line.textChanged.connect(self._search)
        self.results.itemClicked.connect(lambda _item: self._run())
        self._search("")

    def shown(self) -> list[str]:
        """Titles of the actions found, best first."""
        return [listed.title for listed in self._found]

    def _search(self, text: str) -> None:
        """Every word must be in the title or in the menus; what is possible comes first, and titles that begin so."""
        wanted = folded(text).split()
        hits = []
        for k, (title, everything) in enumerate(self._words):
            if all(word in everything for word in wanted):
                begins = bool(wanted) and title.startswith(" ".join(wanted))
                impossible = bool(wanted) and not self._actions[k].action.isEnabled()
                hits.append((impossible, not begins, not _starts(wanted, title), not _starts(wanted, everything), k))
        self._found = [self._actions[hit[-1]] for hit in sorted(hits)]
        self.results.clear()
        for listed in self._found:
            possible = listed.action.isEnabled()
            state = _("on") if listed.action.isChecked() else ""
            item = QTreeWidgetItem(
                self.results, [listed.title, listed.menus, listed.keys, state if possible else _("not now")]
            )
            item.setSizeHint(0, QSize(0, self._row_height))
            if not possible:
                muted = self.palette().placeholderText()
                for column in range(4):
                    item.setForeground(column, muted)
        self.message.setText("" if self._found else _("nothing found: try another word"))
        self._go_to(0)

    def _run(self) -> None:
        at = self.results.currentIndex().row()
        if at < 0:
            return
        listed = self._found[at]
        if not listed.action.isEnabled():
            self.message.setText(_("▲ “{title}” is not possible now", title=listed.title))
            return
        self.chosen = listed.action
        self.accept()

    def _go_to(self, row: int) -> None:
        item = self.results.topLevelItem(row)
        if item is not None:
            self.results.setCurrentItem(item)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._run()
        elif key in _MOVES and self._found:
            self._go_to(min(max(self.results.currentIndex().row() + _MOVES[key], 0), len(self._found) - 1))
        else:
            super().keyPressEvent(event)
