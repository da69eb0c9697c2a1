"""The list of allergens in the label dialog: what a label says it contains and may contain."""

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import N_, _
from workbench.composition.food import ALLERGENS, WATCHED
from workbench.recipe.words import ALLERGEN_WORDS
from workbench.ui.guard import guarded
from workbench.ui.tables.tick_delegate import TickDelegate

_WATCHED = (*ALLERGENS, *WATCHED)
_CHECKED, _OPEN = Qt.CheckState.Checked, Qt.CheckState.Unchecked


class AllergenFields(QWidget):
    """What the label says of allergens: nothing was entered, none is named, or those that are ticked."""

    _NOT_STATED, _NONE, _TICKED = range(3)
    _CHOICES = (N_("not stated"), N_("none on the label"), N_("as ticked below"))

    def __init__(
        self, contains: tuple[str, ...] | None, may_contain: tuple[str, ...], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.choice = QComboBox(self)
        self.choice.addItems([_(words) for words in self._CHOICES])
        self.choice.setAccessibleName(_("allergens on the label"))
        self.table = _TickTable(self)
        for row, key in enumerate(_WATCHED):
            ticks = (_CHECKED if key in (contains or ()) else _OPEN, _CHECKED if key in may_contain else _OPEN)
            self.table.add(row, _(ALLERGEN_WORDS[key]), ticks)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.choice)
        layout.addWidget(self.table, 1)
        if contains or may_contain:
            self.choice.setCurrentIndex(self._TICKED)
        else:
            self.choice.setCurrentIndex(self._NOT_STATED if contains is None else self._NONE)
        self.choice.currentIndexChanged.connect(self._show_choice)
        self._show_choice()

    def _show_choice(self) -> None:
        self.table.setEnabled(self.choice.currentIndex() == self._TICKED)

    def tick(self, key: str, column: int) -> None:
        """Tick one allergen: 1 contains, 2 may contain."""
        self.choice.setCurrentIndex(self._TICKED)
        item = self.table.item(_WATCHED.index(key), column)
        if item is not None:
            item.setCheckState(_CHECKED)

    def answer(self) -> tuple[tuple[str, ...] | None, tuple[str, ...]]:
        """Allergens that it contains (None: not stated) and may contain."""
        if self.choice.currentIndex() == self._TICKED:
            return self.table.ticked(1), self.table.ticked(2)
        return (None if self.choice.currentIndex() == self._NOT_STATED else ()), ()


@guarded
class _TickTable(QTableWidget):
    """Two columns of ticks beside a name; arrows move, the space bar ticks, and one line has one tick at most."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(len(_WATCHED), 3, parent)
        self.setHorizontalHeaderLabels([_("allergen"), _("contains"), _("may contain")])
        self.setAccessibleName(_("allergens"))
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionsClickable(False)
        header.setHighlightSections(False)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().setDefaultSectionSize(round(1.5 * self.fontMetrics().height()))
        self.setItemDelegate(TickDelegate(self))
        self.itemChanged.connect(self._one_tick)

    def add(self, row: int, name: str, ticks: tuple[Qt.CheckState, Qt.CheckState]) -> None:
        """Fill one line."""
        enabled, selectable = Qt.ItemFlag.ItemIsEnabled, Qt.ItemFlag.ItemIsSelectable
        title = QTableWidgetItem(name)
        title.setFlags(enabled)
        self.setItem(row, 0, title)
        for column, (state, words) in enumerate(zip(ticks, (_("contains"), _("may contain")), strict=True), 1):
            item = QTableWidgetItem()
            item.setFlags(enabled | selectable | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(state)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{words} {name}")
            self.setItem(row, column, item)

    def ticked(self, column: int) -> tuple[str, ...]:
        """Keys of the lines with a tick in a column."""
        items = ((key, self.item(row, column)) for row, key in enumerate(_WATCHED))
        return tuple(key for key, item in items if item is not None and item.checkState() == _CHECKED)

    def _one_tick(self, item: QTableWidgetItem) -> None:
        if item.column() > 0 and item.checkState() == _CHECKED:
            other = self.item(item.row(), 3 - item.column())
            if other is not None:
                other.setCheckState(_OPEN)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.EnabledChange:
            self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        item: QTableWidgetItem | None = self.currentItem()
        if event.key() == Qt.Key.Key_Space and item is not None and item.column() > 0:
            item.setCheckState(_OPEN if item.checkState() == _CHECKED else _CHECKED)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.ignore()  # moves on to the next field
        else:
            super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width(), 8 * self.verticalHeader().defaultSectionSize())
