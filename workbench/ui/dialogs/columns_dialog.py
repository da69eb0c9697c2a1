"""Choosing the columns beside the amounts: what is in 100 g of an ingredient, and what it brings."""

from typing import NamedTuple

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import N_, _
from workbench.composition.search import folded
from workbench.document.project import Basis
from workbench.recipe.columns import MOST_COLUMNS, SHARE, Column, ColumnKind, possible
from workbench.recipe.quantities import BASES, BASIS_TITLES, QUANTITIES
from workbench.ui.dialogs.buttons import done_or_cancel
from workbench.ui.dialogs.room import resize_within
from workbench.ui.tables.tick_delegate import TickDelegate

_KINDS: tuple[ColumnKind, ...] = ("per_100g", "brings")
_TITLES = (N_("quantity"), N_("in 100 g of it"), N_("what it brings"))
_FIRST = ("CHOAVLDF", "SUGAR", "glucose_type", "fructose_type", "FAT", "medium_chain", "PROCNT", "FIBTG", "NA")
_CHECK = Qt.ItemDataRole.CheckStateRole


class ColumnChoice(NamedTuple):
    """The answer."""

    columns: tuple[Column, ...]
    basis: Basis


def ask_columns(columns: tuple[Column, ...], basis: Basis, parent: QWidget) -> ColumnChoice | None:
    """Ask which columns to show; None if cancelled."""
    dialog = ColumnsDialog(columns, basis, parent)
    return dialog.choice() if dialog.exec() == QDialog.DialogCode.Accepted else None


class ColumnsDialog(QDialog):
    """A searchable list of all quantities with two boxes to tick."""

    def __init__(self, columns: tuple[Column, ...], basis: Basis, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("columns of the recipe"))
        self._before = columns
        self.share = QCheckBox(_("share of the batch"), self)
        self.share.setChecked(SHARE in columns)
        self.basis = QComboBox(self)
        self.basis.setAccessibleName(_("what it brings, to"))
        for one in BASES:
            self.basis.addItem(_(BASIS_TITLES[one]), one)
        self.basis.setCurrentIndex(BASES.index(basis))
        self.search = QLineEdit(self)
        self.search.setPlaceholderText(_("type to find a quantity"))
        self.search.setAccessibleName(_("search the quantities"))
        self.search.setClearButtonEnabled(True)
        self._keys = tuple(dict.fromkeys((*_FIRST, *QUANTITIES)))
        self.table = self._make_table()
        self.message = QLabel(self)
        top = QHBoxLayout()
        top.addWidget(self.share)
        top.addStretch(1)
        top.addWidget(QLabel(_("what it brings, to"), self))
        top.addWidget(self.basis)
        layout = QVBoxLayout(self)
        layout.addLayout(top)
        layout.addWidget(self.search)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.message)
        layout.addWidget(done_or_cancel(self))
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(44 * em, 40 * em))
        self.search.textChanged.connect(self._find)
        self.table.itemChanged.connect(self._count)
        self.share.toggled.connect(self._count)
        self._count()
        self.search.setFocus()

    def _make_table(self) -> QTableWidget:
        table = QTableWidget(len(self._keys), len(_TITLES), self)
        table.setAccessibleName(_("quantities"))
        table.setHorizontalHeaderLabels([_(title) for title in _TITLES])
        table.verticalHeader().hide()
        table.setShowGrid(False)
        table.setItemDelegate(TickDelegate(table))
        table.setTabKeyNavigation(False)
        table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        plain = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        for row, key in enumerate(self._keys):
            quantity = QUANTITIES[key]
            title = f"{_(quantity.title)}, {quantity.unit}" if quantity.unit else _(quantity.title)
            name = QTableWidgetItem(title)
            name.setFlags(plain)
            table.setItem(row, 0, name)
            for at, kind in enumerate(_KINDS, 1):
                item, column = QTableWidgetItem(), Column(kind, key)
                item.setFlags(plain)
                if possible(column):
                    item.setFlags(plain | Qt.ItemFlag.ItemIsUserCheckable)
                    item.setCheckState(Qt.CheckState.Checked if column in self._before else Qt.CheckState.Unchecked)
                    item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{title}: {_(_TITLES[at])}")
                table.setItem(row, at, item)
        return table

    def _find(self, text: str) -> None:
        """Show the quantities in which every word occurs."""
        words = folded(text).split()
        for row, key in enumerate(self._keys):
            title = folded(f"{_(QUANTITIES[key].title)} {key}")
            self.table.setRowHidden(row, not all(word in title for word in words))

    def _ticked(self) -> list[Column]:
        chosen = [SHARE] if self.share.isChecked() else []
        for row, key in enumerate(self._keys):
            for at, kind in enumerate(_KINDS, 1):
                item = self.table.item(row, at)
                if item is not None and item.data(_CHECK) is not None and item.checkState() == Qt.CheckState.Checked:
                    chosen.append(Column(kind, key))
        return chosen

    def _count(self) -> None:
        count = len(self._ticked())
        too_many = count > MOST_COLUMNS
        words = _("▲ {n} columns; only the first {most} are shown") if too_many else _("{n} of {most} columns")
        self.message.setText(words.format(n=count, most=MOST_COLUMNS))

    def choice(self) -> ColumnChoice:
        """What the form says now; columns that were there keep their order, new ones follow."""
        ticked = self._ticked()
        kept = [column for column in self._before if column in ticked]
        columns = tuple(dict.fromkeys((*kept, *ticked)))[:MOST_COLUMNS]
        return ColumnChoice(columns, self.basis.currentData())
