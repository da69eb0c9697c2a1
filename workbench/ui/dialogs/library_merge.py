"""Foods that two libraries have and that are not the same in both: a tick for each that is taken from the other."""

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import N_, _, plural
from workbench.composition.library.merging import Differing
from workbench.composition.library.records import Choice

_FOR_ALL: dict[Choice, str] = {"mine": N_("mine"), "theirs": N_("theirs"), "newer": N_("the newer one")}
_MOST_LISTED = 1_000
_TICKED, _UNTICKED = Qt.CheckState.Checked, Qt.CheckState.Unchecked


class MergeChoice(QWidget):
    """A choice for all foods, and one for each.  ``changed()`` tells of either."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._differing: tuple[Differing, ...] = ()
        self._label = QLabel(_("where they differ, &keep"), self)
        self.whose = QComboBox(self)
        for key, words in _FOR_ALL.items():
            self.whose.addItem(_(words), key)
        self._label.setBuddy(self.whose)
        self.foods = QTreeWidget(self)
        self.foods.setAccessibleName(_("foods that differ; ticked ones are taken from the other library"))
        self.foods.setHeaderLabels([_("take theirs"), _("what differs, mine → theirs"), _("newer")])
        self.foods.setRootIsDecorated(False)
        self.foods.setUniformRowHeights(True)
        self.foods.setMinimumHeight(8 * self.fontMetrics().lineSpacing())
        self.foods.header().setStretchLastSection(False)
        for column in (0, 1):
            self.foods.header().setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
        self.foods.header().setSectionResizeMode(2, QHeaderView.ResizeMode.ResizeToContents)
        self.count = QLabel(self)
        self.count.setWordWrap(True)
        row = QHBoxLayout()
        row.addWidget(self._label)
        row.addWidget(self.whose)
        row.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addLayout(row)
        whole.addWidget(self.foods, 1)
        whole.addWidget(self.count)
        self.whose.activated.connect(self._choose_all)
        self.foods.itemChanged.connect(self._tell)

    def begin(self, differing: tuple[Differing, ...]) -> None:
        """Show other foods, all of them kept as they are."""
        self._differing = differing
        with QSignalBlocker(self.foods):
            self.foods.clear()
            for one in differing[:_MOST_LISTED]:
                name = one.mine if one.mine == one.theirs else f"{one.mine} → {one.theirs}"
                newer = _("theirs") if one.newer == "theirs" else _("mine")
                item = QTreeWidgetItem(self.foods, [name, one.what, newer])
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
                item.setToolTip(0, name)
                item.setToolTip(1, one.what)
                item.setToolTip(2, f"{_when(one.mine_when)} → {_when(one.theirs_when)}")
            if differing:
                self.foods.setCurrentItem(self._item(0))
        self.whose.setCurrentIndex(0)
        self._choose_all()

    def _choose_all(self) -> None:
        whose = self.otherwise
        with QSignalBlocker(self.foods):
            for k, one in enumerate(self._differing[:_MOST_LISTED]):
                theirs = (one.newer if whose == "newer" else whose) == "theirs"
                self._item(k).setCheckState(0, _TICKED if theirs else _UNTICKED)
        self._tell()

    def _tell(self) -> None:
        listed = min(len(self._differing), _MOST_LISTED)
        n = sum(choice == "theirs" for choice in self.choices().values())
        words = plural("{n} of {all} is taken from them", "{n} of {all} are taken from them", n, all=listed)
        if len(self._differing) > listed:
            words += _("; {n} more are not listed: the choice for all holds", n=len(self._differing) - listed)
        self.count.setText(words)
        self.changed.emit()

    def _item(self, k: int) -> QTreeWidgetItem:
        item = self.foods.topLevelItem(k)
        assert item is not None
        return item

    @property
    def otherwise(self) -> Choice:
        """Whose foods count that are not listed."""
        chosen: Choice = self.whose.currentData()
        return chosen

    def choices(self) -> dict[str, Choice]:
        """Whose food counts, by id."""
        return {
            one.id: "theirs" if self._item(k).checkState(0) == _TICKED else "mine"
            for k, one in enumerate(self._differing[:_MOST_LISTED])
        }


def _when(moment: str) -> str:
    return moment[:16].replace("T", " ")
