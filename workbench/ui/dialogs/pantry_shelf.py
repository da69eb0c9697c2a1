"""What is at hand: every ingredient with a box, those that are ticked at first above, and a search."""

from collections.abc import Iterable

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import _, plural
from workbench.composition.food import Food
from workbench.composition.words import folded
from workbench.ui.substituting import marked_name

_ID_ROLE = int(Qt.ItemDataRole.UserRole)
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class PantryShelf(QWidget):
    """The list with its search and how many are ticked."""

    def __init__(self, foods: Iterable[Food], at_hand: frozenset[str], parent: QWidget) -> None:
        super().__init__(parent)
        self.search = QLineEdit(self)
        self.search.setPlaceholderText(_("type to find an ingredient, Enter ticks it"))
        self.search.setAccessibleName(_("search the ingredients"))
        self.search.setClearButtonEnabled(True)
        self.list = self._make_list(foods, at_hand)
        self.count = QLabel(self)
        self.none_button = QPushButton(_("untick all"), self)
        self.none_button.setAutoDefault(False)
        column, below = QVBoxLayout(self), QHBoxLayout()
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.search)
        column.addWidget(self.list, 1)
        below.addWidget(self.count, 1)
        below.addWidget(self.none_button)
        column.addLayout(below)
        self.search.textChanged.connect(self._search)
        self.list.itemChanged.connect(self._count)
        self.none_button.clicked.connect(self.untick_all)
        self._count()

    def _make_list(self, foods: Iterable[Food], at_hand: frozenset[str]) -> QListWidget:
        made = QListWidget(self)
        made.setAccessibleName(_("ingredients at hand"))
        made.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for food in sorted(foods, key=lambda f: (f.id not in at_hand, folded(f.name), f.id)):
            shown = marked_name(food)
            item = QListWidgetItem(shown, made)
            item.setData(_ID_ROLE, food.id)
            item.setToolTip(shown)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked if food.id in at_hand else Qt.CheckState.Unchecked)
        made.setCurrentRow(0)
        return made

    def _items(self) -> list[QListWidgetItem]:
        return [self.list.item(k) for k in range(self.list.count())]

    @property
    def ticked(self) -> frozenset[str]:
        """Ids of the ingredients that are ticked."""
        return frozenset(i.data(_ID_ROLE) for i in self._items() if i.checkState() == Qt.CheckState.Checked)

    def tick(self, food_id: str, on: bool = True) -> None:
        """Tick one ingredient, or untick it."""
        item = next(item for item in self._items() if item.data(_ID_ROLE) == food_id)
        item.setCheckState(Qt.CheckState.Checked if on else Qt.CheckState.Unchecked)

    @Slot()
    def untick_all(self) -> None:
        """Begin with an empty pantry."""
        for item in self._items():
            item.setCheckState(Qt.CheckState.Unchecked)

    def takes(self, event: QKeyEvent) -> bool:
        """Whether a key in the search is for the list: Enter ticks what was found first, the arrow goes there."""
        if self.window().focusWidget() is not self.search:
            return False
        if event.key() in _ENTER and self.search.text():
            self._tick_current()
            return True
        if event.key() == Qt.Key.Key_Down:
            self.list.setFocus()
            return True
        return False

    @Slot(str)
    def _search(self, text: str) -> None:
        words = folded(text).split()
        first = -1
        for k, item in enumerate(self._items()):
            fits = all(word in folded(item.text()) for word in words)
            item.setHidden(not fits)
            first = k if fits and first < 0 else first
        if first >= 0:
            self.list.setCurrentRow(first)
        self._count()

    @Slot()
    def _count(self) -> None:
        n = len(self.ticked)
        words = plural("{n} ingredient at hand", "{n} ingredients at hand", n)
        if self.search.text() and all(item.isHidden() for item in self._items()):
            words = _("nothing found: try another word; {words}", words=words)
        self.count.setText(words)
        self.none_button.setEnabled(n > 0)

    def _tick_current(self) -> None:
        """Tick or untick what the search found first, and be ready for the next word."""
        item = self.list.item(max(self.list.currentRow(), 0))
        if not item.isHidden():
            ticked = item.checkState() == Qt.CheckState.Checked
            item.setCheckState(Qt.CheckState.Unchecked if ticked else Qt.CheckState.Checked)
            self.search.selectAll()
