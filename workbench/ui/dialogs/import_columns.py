"""The columns of a foreign table: what each is read as and in which unit, to be changed one at a time."""

from collections.abc import Mapping

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import N_, _
from workbench.composition.components import COMPONENTS
from workbench.composition.imports.detection import MAPPED, ImportPlan
from workbench.composition.imports.header_words import CARBOHYDRATE, DRY_MATTER, ENERGY, ENERGY_KJ, SALT
from workbench.composition.imports.headers import factor, is_amount
from workbench.composition.imports.layout import Column
from workbench.ui.dialogs.import_words import FACT_WORDS, column_words, target_words

_TITLES = (N_("column"), N_("read as"), N_("unit"))
_FACTS = ("name", "code", "group", "also", "density", "edible_percent", "refuse_percent", "nitrogen_factor",
          "fatty_acid_factor")  # fmt: skip
_AMOUNTS = (*COMPONENTS, CARBOHYDRATE, ENERGY, ENERGY_KJ, SALT, DRY_MATTER)
_UNITS = ("", "g", "mg", "µg", "kJ", "kcal", "%")


class ColumnsForm(QWidget):
    """A table of columns, and below it two fields for the row that is chosen.  ``changed()`` tells of a new choice."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._columns: tuple[Column, ...] = ()
        self._mapping: dict[str, str] = {}
        self._mapped = False
        self.table = QTableWidget(0, len(_TITLES), self)
        self.table.setAccessibleName(_("columns of the table"))
        self.table.setHorizontalHeaderLabels([_(title) for title in _TITLES])
        self.table.verticalHeader().hide()
        self.table.setTabKeyNavigation(False)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        header, em = self.table.horizontalHeader(), self.fontMetrics().horizontalAdvance("m")
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        self.table.setColumnWidth(2, 5 * em)
        self.target = QComboBox(self)
        self.target.addItem(_("left out"), "")
        for target in (*_FACTS, *_AMOUNTS):
            self.target.addItem(target_words(target), target)
        self.target.setMinimumContentsLength(18)
        self.target.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.unit = QComboBox(self)
        self._label = QLabel(_("&read it as"), self)
        self._label.setBuddy(self.target)
        self._unit_label = QLabel(_("in"), self)
        row = QHBoxLayout()
        row.addWidget(self._label)
        row.addWidget(self.target, 1)
        row.addWidget(self._unit_label)
        row.addWidget(self.unit)
        self.note = QLabel(_("the columns of this layout are known"), self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.table, 1)
        layout.addLayout(row)
        layout.addWidget(self.note)
        self.table.currentCellChanged.connect(self._follow)
        self.target.activated.connect(self._target_chosen)
        self.unit.activated.connect(self._choose)

    @property
    def mapping(self) -> Mapping[str, str]:
        """What was chosen, by title of the column, as ``make_plan`` takes it."""
        return self._mapping

    def begin(self, mapping: Mapping[str, str]) -> None:
        """Begin with another table, of which this is chosen already."""
        self._mapping = dict(mapping)
        self.table.setCurrentCell(-1, -1)

    def show_plan(self, plan: ImportPlan) -> None:
        """Show what the columns are read as; the row that is chosen stays so."""
        self._columns = plan.layout.columns
        self._mapped = plan.layout.name in MAPPED
        at = max(self.table.currentRow(), 0)
        with QSignalBlocker(self.table):
            self.table.setRowCount(len(self._columns))
            for k, column in enumerate(self._columns):
                mark = "✎ " if column.key in self._mapping else ""
                usual = COMPONENTS[column.target].unit if column.target in COMPONENTS else ""
                unit = (column.unit or usual) if is_amount(column.target) else ""
                for place, text in enumerate((column.key, mark + column_words(column), unit)):
                    item = QTableWidgetItem(text)
                    item.setToolTip(text[:500])
                    self.table.setItem(k, place, item)
            self.table.setCurrentCell(min(at, len(self._columns) - 1), 0)
        for widget in (self.target, self.unit, self._label, self._unit_label):
            widget.setVisible(self._mapped)
        self.note.setVisible(not self._mapped)
        self._follow()

    def _follow(self) -> None:
        """Show in the two fields what the chosen row is read as."""
        at = self.table.currentRow()
        if not 0 <= at < len(self._columns) or not self._mapped:
            return
        column = self._columns[at]
        target = "" if column.why_not else column.target
        if self.target.findData(target) < 0:
            self.target.addItem(target_words(target), target)
        self.target.setCurrentIndex(self.target.findData(target))
        self.target.setAccessibleName(_("read “{column}” as", column=column.key[:60]))
        self.unit.setAccessibleName(_("unit of “{column}”", column=column.key[:60]))
        self._offer_units(target, column.unit)

    def _offer_units(self, target: str, unit: str) -> None:
        self.unit.clear()
        fits = is_amount(target) and target not in FACT_WORDS
        for one in _UNITS if fits else ():
            if factor(target, one) is not None:
                self.unit.addItem(one or _("as usual"), one)
        self.unit.setCurrentIndex(max(self.unit.findData(unit), 0))
        self.unit.setEnabled(fits)

    def _target_chosen(self) -> None:
        self._offer_units(self.target.currentData(), self.unit.currentData() or "")
        self._choose()

    def _choose(self) -> None:
        column = self._columns[self.table.currentRow()]
        target, unit = self.target.currentData(), self.unit.currentData() or ""
        self._mapping[column.key] = f"{target}:{unit}" if target and unit else target
        self.changed.emit()
