"""What one gram more of each ingredient does to many quantities at once, as a table to sort and to copy."""

import math
import textwrap
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QPainter
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from workbench.base.text import _
from workbench.document.project import Target
from workbench.recipe.bound import Bound
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.words import span_cell, span_text, target_title
from workbench.solve.effects import Effects
from workbench.ui.guard import guarded
from workbench.ui.tables.plain_header import PlainHeader
from workbench.ui.theme import colours

_Index = QModelIndex | QPersistentModelIndex
_MORE_DECIMALS = 2  # a gram does little
_TITLE_SIGNS = 14  # in a line of a title
_NAME_SIGNS = 24  # room for the name of an ingredient
_PAD = 4
_TEXTS = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole)
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


@guarded
class EffectsModel(QAbstractTableModel):
    """One row an ingredient, one column a quantity."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._found: Effects | None = None
        self._currency = ""
        self._order: list[int] = []  # which ingredient stands in which row
        self.sorted_by: tuple[int, Qt.SortOrder] | None = None

    def show_effects(self, found: Effects, currency: str) -> None:
        """Show other figures, in the order that was chosen."""
        self.beginResetModel()
        if self._found is None or found.pairs != self._found.pairs:
            self.sorted_by = None
        self._found, self._currency = found, currency
        self._arrange()
        self.endResetModel()

    def rowCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008  (Qt's own default)
        return 0 if parent.isValid() else len(self._order)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() or self._found is None else len(self._found.pairs)

    def headerData(self, section: int, side: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if self._found is None:
            return None
        across = side == Qt.Orientation.Horizontal
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(_RIGHT if across else _LEFT)
        if not across and role in _TEXTS:
            return self._found.names[self._order[section]]
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        mark = "" if self.sorted_by is None or self.sorted_by[0] != section else _arrow(self.sorted_by[1])
        title = _(QUANTITIES[self._found.pairs[section][0]].title)
        return "\n".join((*textwrap.wrap(title, _TITLE_SIGNS), f"{self._unit(section)}{mark}".strip()))

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        found, column = self._found, index.column()
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(_RIGHT)
        if found is None or role not in _TEXTS:
            return None
        k = self._order[index.row()]
        change, decimals = self._change(k, column), self._decimals(column)
        if role == Qt.ItemDataRole.DisplayRole:
            return "0" if change == (0.0, 0.0, 0.0, ()) else span_cell(change, decimals)
        key, basis = found.pairs[column]
        return _(
            "1 g more of {name}: {quantity} {change} {unit}",
            name=found.names[k],
            quantity=target_title(Target(id="", quantity=key, basis=basis)),
            change=span_text(change, decimals),
            unit=self._unit(column),
        ).rstrip()

    def sort_by(self, column: int) -> None:
        """Sort by a column: the greatest first, then the smallest, then as in the recipe again."""
        last = self.sorted_by[1] if self.sorted_by is not None and self.sorted_by[0] == column else None
        falling, rising = Qt.SortOrder.DescendingOrder, Qt.SortOrder.AscendingOrder
        order = {None: falling, falling: rising}.get(last)
        self.layoutAboutToBeChanged.emit()
        self.sorted_by = None if order is None else (column, order)
        self._arrange()
        self.layoutChanged.emit()

    def as_text(self, rows: range, columns: range) -> str:
        """Cells with their titles as tab-separated text; one cell alone without."""
        cells = [[str(self.data(self.index(row, column))) for column in columns] for row in rows]
        if len(rows) == len(columns) == 1:
            return cells[0][0]
        across, down = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
        titles = [" ".join(str(self.headerData(column, across)).split()) for column in columns]
        names = [str(self.headerData(row, down)) for row in rows]
        lines = [[_("1 g more of"), *titles], *([name, *row] for name, row in zip(names, cells, strict=True))]
        return "\n".join(map("\t".join, lines))

    def _arrange(self) -> None:
        found = self._found
        assert found is not None
        self._order = list(range(len(found.names)))
        if self.sorted_by is None:
            return
        column, order = self.sorted_by
        sign = -1.0 if order == Qt.SortOrder.DescendingOrder else 1.0
        keys = [(math.isnan(value), sign * value) for value in found.per_gram[:, column].tolist()]
        self._order.sort(key=keys.__getitem__)

    def _change(self, k: int, column: int) -> Bound:
        assert self._found is not None
        at = k, column
        return Bound(float(self._found.per_gram[at]), float(self._found.low[at]), float(self._found.high[at]))

    def _decimals(self, column: int) -> int:
        assert self._found is not None
        return QUANTITIES[self._found.pairs[column][0]].decimals + _MORE_DECIMALS

    def _unit(self, column: int) -> str:
        assert self._found is not None
        key = self._found.pairs[column][0]
        return self._currency if key == "cost" else QUANTITIES[key].unit


def _arrow(order: Qt.SortOrder) -> str:
    return " ▾" if order == Qt.SortOrder.DescendingOrder else " ▴"


@guarded
class _Names(QHeaderView):
    """Names at the side of a table: plain words, cut where there is no room."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Vertical, parent)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(min(super().sizeHint().width(), _NAME_SIGNS * self.fontMetrics().averageCharWidth()), 0)

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        look, room = colours(self), rect.adjusted(_PAD, 0, -_PAD, 0)
        painter.fillRect(rect, look.paper)
        painter.setPen(look.ink)
        name = str(self.model().headerData(section, Qt.Orientation.Vertical))
        shown = painter.fontMetrics().elidedText(name, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, int(_LEFT), shown)


@guarded
class EffectsTable(QTableView):
    """The table.  A click on a title sorts, as does S on a cell; see ``EffectsModel.sort_by``."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.effects = EffectsModel(self)
        self.setModel(self.effects)
        header = PlainHeader(self)
        self.setHorizontalHeader(header)
        header.setSectionsClickable(True)
        header.sectionClicked.connect(self.sort_by)
        self.setVerticalHeader(_Names(self))  # at the side, so that names stay in sight
        self.setCornerButtonEnabled(False)
        self.setStyleSheet("QTableCornerButton::section { background: transparent; border: none; }")
        self.setAccessibleName(_("what 1 g more of each ingredient does"))
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)

    def show_effects(self, found: Effects, currency: str) -> None:
        """Show what was found; ``currency`` is what costs are counted in."""
        at = self.currentIndex()
        row, column = max(at.row(), 0), max(at.column(), 0)
        self.effects.show_effects(found, currency)
        self.setCurrentIndex(self.effects.index(min(row, self.effects.rowCount() - 1), column))
        self.resizeColumnsToContents()
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 8)

    def sort_by(self, column: int) -> None:
        """Sort, and put the mark into the title."""
        self.effects.sort_by(column)
        self.resizeColumnsToContents()

    def copy(self) -> None:
        """Put the chosen cells on the clipboard."""
        chosen = self.selectedIndexes()
        if chosen:
            rows, columns = ([index.row() for index in chosen], [index.column() for index in chosen])
            text = self.effects.as_text(range(min(rows), max(rows) + 1), range(min(columns), max(columns) + 1))
            QGuiApplication.clipboard().setText(text)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.key() == Qt.Key.Key_S and not event.modifiers():
            self.sort_by(self.currentIndex().column())
        else:
            super().keyPressEvent(event)
