"""Foods that somebody does not want: those of the recipe to tick, and any other by search."""

from collections.abc import Mapping

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import _
from workbench.ui.models.shared_search import SharedSearch
from workbench.ui.session import Session

_COLUMNS = 2
_SHOWN = 6  # results
_ID = int(Qt.ItemDataRole.UserRole)


class UnwantedFoods(QWidget):
    """A box for each food of the recipe and each that is unwanted; the search adds one."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._search = SharedSearch.of(session)
        refs = dict.fromkeys(line.food_ref.id for line in session.variant.lines)
        of_recipe = {key: food.name for key in refs if (food := session.project.foods.get(key)) is not None}
        self.boxes: dict[str, QCheckBox] = {}
        self._names: dict[str, str] = {}
        self._grid = QGridLayout()
        self.search = QLineEdit(self)
        self.search.setPlaceholderText(_("another food: type its name, Enter adds it"))
        self.search.setAccessibleName(_("search a food that is not wanted"))
        self.search.setClearButtonEnabled(True)
        self.results = QListWidget(self)
        self.results.setAccessibleName(_("foods found"))
        self.results.hide()
        self.nothing = QLabel(_("nothing found: try another word"), self)
        self.nothing.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.search)
        column.addWidget(self.nothing)
        column.addWidget(self.results)
        column.addLayout(self._grid)
        self.search.textChanged.connect(self._find)
        self.results.itemClicked.connect(self._take)
        for key, name in of_recipe.items():
            self._add(key, name, False)

    def show_foods(self, unwanted: Mapping[str, str]) -> None:
        """Tick these, and no other."""
        for key, name in unwanted.items():
            if key not in self.boxes:
                self._add(key, name, True)
        for key, box in self.boxes.items():
            box.setChecked(key in unwanted)

    def foods(self) -> dict[str, str]:
        """What is ticked, by id."""
        return {key: self._names[key] for key, box in self.boxes.items() if box.isChecked()}

    def take_first(self) -> bool:
        """Enter: take the chosen result; False where that is none of its business."""
        at = self.window().focusWidget()
        if not (at is self.search and self.search.text()) and at is not self.results:
            return False
        if (item := self.results.currentItem()) is not None:
            self._take(item)
        return True

    @Slot(str)
    def _find(self, text: str) -> None:
        found = self._search.find(text, None)[:_SHOWN] if text.strip() else []
        self.results.clear()
        for one in found:
            item = QListWidgetItem(one.name, self.results)
            item.setData(_ID, one.id)
        self.results.setCurrentRow(0)
        self.results.setVisible(bool(found))
        self.nothing.setVisible(bool(text.strip()) and not found)
        if found:
            frame = 2 * self.results.frameWidth()
            self.results.setFixedHeight(self.results.sizeHintForRow(0) * len(found) + frame + 2)

    @Slot(QListWidgetItem)
    def _take(self, item: QListWidgetItem) -> None:
        key, name = item.data(_ID), item.text()
        if key in self.boxes:
            self.boxes[key].setChecked(True)
        else:
            self._add(key, name, True)
        self.search.clear()
        self.search.setFocus()

    def _add(self, key: str, name: str, ticked: bool) -> None:
        box = QCheckBox(name.replace("&", "&&"), self)
        box.setChecked(ticked)
        k = len(self.boxes)
        self.setTabOrder(next(reversed(self.boxes.values()), self.results), box)
        self._grid.addWidget(box, k // _COLUMNS, k % _COLUMNS)
        self.boxes[key] = box
        self._names[key] = name
