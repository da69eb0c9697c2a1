"""A tree of words and figures that follows a drag: texts change in place, and what is open stays open."""

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)

from workbench.ui.guard import guarded
from workbench.ui.plots.faces import Face, sized
from workbench.ui.tables.plain_header import PlainHeader
from workbench.ui.theme import colours, mixed, number_font

_PAD = 4
_BAR_PX = 4
_FOCUS_PX = 1
_DEPTH, _FEWEST_LETTERS = 2, 6  # for which the words have room however wide the figures are
_NUMBER_ROLE = int(Qt.ItemDataRole.UserRole)  # which row of ``_shown`` an item is

_Index = QModelIndex | QPersistentModelIndex


class FigureRow(NamedTuple):
    """One row: cells in columns, or, where ``wide``, one text over the whole width with a figure at its end."""

    key: str  # what the row is about, to know it again
    cells: tuple[str, ...]
    wide: bool = False
    figure: str = ""
    share: float | None = None  # 0 to 1, drawn as a bar below the last cell
    muted: bool = False
    bold: bool = False
    children: tuple["FigureRow", ...] = ()

    def words(self) -> str:
        """The row as it is read aloud."""
        return ", ".join(filter(None, (*self.cells, self.figure)))


@guarded
class FigureTree(QTreeWidget):
    """The tree.  ``copyRequested`` is sent for the keys that copy.

    Rows are painted whole, from texts that are laid out once, because a frame of a drag paints all of them.
    """

    copyRequested = Signal()

    def __init__(self, name: str, columns: tuple[str, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[FigureRow, ...] = ()
        self._shown: list[tuple[QTreeWidgetItem, FigureRow]] = []
        self.setAccessibleName(name)
        self.setColumnCount(len(columns))
        self.setHeaderLabels(list(columns))
        for column in range(len(columns)):
            side = Qt.AlignmentFlag.AlignRight if column else Qt.AlignmentFlag.AlignLeft
            self.headerItem().setTextAlignment(column, side | Qt.AlignmentFlag.AlignVCenter)
        header = PlainHeader(self)
        self.setHeader(header)
        header.setStretchLastSection(False)
        header.setMinimumSectionSize(4 * self.fontMetrics().averageCharWidth())
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionsMovable(False)
        header.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setItemDelegate(_RowHeights(self))
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        self.setIndentation(4 * _PAD)
        self.setExpandsOnDoubleClick(False)
        self.itemActivated.connect(lambda item, _column: item.setExpanded(not item.isExpanded()))
        self._make_faces()

    def show_rows(self, rows: tuple[FigureRow, ...], *, resting: bool = True, opened: bool = False) -> None:
        """Show other rows.

        ``resting`` is False while a hand is on a slider: then columns only grow.  ``opened`` says whether rows that
        were not there before show their children.
        """
        if _shape(rows) == _shape(self._rows):
            self._change(rows)
        else:
            self._build(rows, opened)
        self._rows = rows
        self._fit_columns(may_shrink=resting)

    def rows(self) -> tuple[FigureRow, ...]:
        """What is shown."""
        return self._rows

    def row_texts(self) -> list[str]:
        """Every row in words, from the top."""
        return [row.words() for _item, row in self._shown]

    def item_of(self, *path: str) -> QTreeWidgetItem:
        """The item with these keys, from the top down."""
        return next(item for item, _row in self._shown if self._path(item) == path)

    # --- inside -------------------------------------------------------------------------------------------------------

    def _change(self, rows: tuple[FigureRow, ...]) -> None:
        """Other texts in the same rows.  The view is told once, not for every cell."""
        shown, taller = [], False
        model = self.model()
        model.blockSignals(True)
        for (item, old), new in zip(self._shown, _walk(rows), strict=True):
            shown.append((item, new))
            if new[1:-1] != old[1:-1]:
                _fill(item, new, old)
                if new.cells[0] != old.cells[0] or new.figure != old.figure:
                    index = self.indexFromItem(item)
                    taller = taller or self.row_height_of(index, new) != self.row_height_of(index, old)
        model.blockSignals(False)
        self._shown = shown
        if taller:
            self.scheduleDelayedItemsLayout()
        self.viewport().update()

    def _build(self, rows: tuple[FigureRow, ...], opened: bool) -> None:
        known = {self._path(item): item.isExpanded() for item, _row in self._shown}
        chosen = self.currentItem()
        current = self._path(chosen) if chosen is not None else ()
        at = self.verticalScrollBar().value()
        self.setUpdatesEnabled(False)
        self.clear()
        self._shown = []
        for row in rows:
            self._add(row, self.invisibleRootItem())
        for item, row in self._shown:
            if row.wide:
                item.setFirstColumnSpanned(True)
            path = self._path(item)
            if row.children:
                item.setExpanded(known.get(path, opened or row.bold))
            if path == current:
                self.setCurrentItem(item)
        first = self.topLevelItem(0)
        if self.currentItem() is None and first is not None:
            self.setCurrentItem(first)
        self.setUpdatesEnabled(True)
        self.verticalScrollBar().setValue(at)

    def _add(self, row: FigureRow, parent: QTreeWidgetItem) -> None:
        item = QTreeWidgetItem(parent)
        item.setData(0, _NUMBER_ROLE, len(self._shown))
        _fill(item, row, None)
        self._shown.append((item, row))
        for child in row.children:
            self._add(child, item)

    def _path(self, item: QTreeWidgetItem) -> tuple[str, ...]:
        key = self._shown[item.data(0, _NUMBER_ROLE)][1].key
        parent = item.parent()
        return (*self._path(parent), key) if parent else (key,)

    def _fit_columns(self, *, may_shrink: bool) -> None:
        head = self.headerItem()
        for column in range(1, self.columnCount()):
            texts = {row.cells[column] for _item, row in self._shown if not row.wide and column < len(row.cells)}
            widest = max((self._plain.width(text) for text in texts if text), default=0)
            self.setColumnHidden(column, not widest)
            wanted = max(widest, self._plain.width(head.text(column))) + 4 * _PAD
            width = self.columnWidth(column)
            if wanted > width or (may_shrink and wanted < width):
                self.setColumnWidth(column, wanted)
        self._share_width()

    def _share_width(self) -> None:
        """Give the words what the figures leave, but never less than a few letters: then the columns are scrolled."""
        figures = sum(self.columnWidth(column) for column in range(1, self.columnCount()))
        least = _DEPTH * self.indentation() + 2 * _PAD + self._least_room()
        stretched = self.viewport().width() - figures >= least
        mode = QHeaderView.ResizeMode.Stretch if stretched else QHeaderView.ResizeMode.Fixed
        self.header().setSectionResizeMode(0, mode)
        if not stretched:
            self.setColumnWidth(0, least)

    def _least_room(self) -> int:
        return _FEWEST_LETTERS * self._plain.metrics.averageCharWidth()

    def _make_faces(self) -> None:
        font = number_font(self.font())
        self._plain, self._bold = Face(font), Face(sized(font, 1.0, bold=True))
        self._look = colours(self.parentWidget() or self)  # a framed widget has the outline as its ground

    # --- looks --------------------------------------------------------------------------------------------------------

    def row_height_of(self, index: _Index, row: FigureRow | None = None) -> int:
        """Height of a row, with its words broken where there is no room. [px]"""
        row = row or self._shown[index.data(_NUMBER_ROLE)][1]
        face = self._bold if row.bold else self._plain
        return max(face.wrapped_height(row.cells[0], self._room(index, row, face)), face.height) + 2 * _PAD

    def _room(self, index: _Index, row: FigureRow, face: Face) -> int:
        """Width for the words of a row. [px]"""
        depth, parent = 1, index.parent()
        while parent.isValid():
            depth, parent = depth + 1, parent.parent()
        room = (self.viewport().width() if row.wide else self.columnWidth(0)) - depth * self.indentation() - 2 * _PAD
        if row.wide and row.figure:
            room -= face.width(row.figure) + 3 * _PAD
        return max(room, self._least_room())

    def drawRow(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        row = self._shown[index.data(_NUMBER_ROLE)][1]
        face, look, area = self._bold if row.bold else self._plain, self._look, option.rect
        if index == self.currentIndex():
            painter.fillRect(area, mixed(look.accent, look.paper, 0.15))
            if self.hasFocus():
                painter.fillRect(area.x(), area.y(), area.width(), _FOCUS_PX, look.accent)
                painter.fillRect(area.x(), area.bottom() - _FOCUS_PX + 1, area.width(), _FOCUS_PX, look.accent)
        room = self._room(index, row, face)
        end = self.viewport().width() if row.wide else self.columnWidth(0)
        left = end - _PAD - room - (face.width(row.figure) + 3 * _PAD if row.wide and row.figure else 0)
        left += 0 if row.wide else self.columnViewportPosition(0)
        if row.children:
            self.drawBranches(
                painter, QRect(left - _PAD - self.indentation(), area.y(), self.indentation(), area.height()), index
            )
        top = area.y() + _PAD
        painter.setFont(face.font)
        painter.setPen(look.muted if row.muted else look.ink)
        face.draw(painter, left, top, row.cells[0], room)
        if row.wide:
            if row.figure:
                face.draw_right(painter, end - _PAD, top, row.figure)
            return
        for column, text in enumerate(row.cells[1:], 1):
            if text:
                right = self.columnViewportPosition(column) + self.columnWidth(column) - _PAD
                face.draw_right(painter, right, top, text)
        if row.share is not None:
            column = len(row.cells) - 1
            width = self.columnWidth(column) - 2 * _PAD
            x, y = self.columnViewportPosition(column) + _PAD, area.bottom() - _BAR_PX
            painter.fillRect(x, y, width, _BAR_PX - 1, look.track)
            painter.fillRect(x, y, round(width * min(max(row.share, 0.0), 1.0)), _BAR_PX - 1, look.accent)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._make_faces()
            self.scheduleDelayedItemsLayout()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copyRequested.emit()
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._share_width()
        self.scheduleDelayedItemsLayout()  # other widths break texts elsewhere


def _walk(rows: tuple[FigureRow, ...]) -> Iterator[FigureRow]:
    for row in rows:
        yield row
        yield from _walk(row.children)


def _shape(rows: tuple[FigureRow, ...]) -> tuple[object, ...]:
    return tuple((row.key, row.wide, _shape(row.children)) for row in rows)


def _fill(item: QTreeWidgetItem, row: FigureRow, old: FigureRow | None) -> None:
    """Texts for those who listen and for finding a row by its letters; painting reads the row itself."""
    for column, text in enumerate(row.cells):
        if old is None or column >= len(old.cells) or text != old.cells[column]:
            item.setText(column, text)
    if row.wide and row.figure:
        item.setData(0, Qt.ItemDataRole.AccessibleTextRole, row.words())


@guarded
class _RowHeights(QStyledItemDelegate):
    """Says how tall a row is; the tree paints it."""

    def __init__(self, tree: FigureTree) -> None:
        super().__init__(tree)
        self._tree = tree

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        return QSize(0, self._tree.row_height_of(index) if index.column() == 0 else 0)
