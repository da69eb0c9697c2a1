"""A tree of words and figures that follows a drag: texts change in place, and what is open stays open."""

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QKeySequence, QPainter, QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)

from workbench.ui.plots.faces import sized
from workbench.ui.tables.plain_header import PlainHeader
from workbench.ui.theme import colours, mixed, number_font

_PAD = 4
_BAR_PX = 4
_FOCUS_PX = 1
_WIDE_ROLE = int(Qt.ItemDataRole.UserRole)
_FIGURE_ROLE = _WIDE_ROLE + 1
_SHARE_ROLE = _WIDE_ROLE + 2
_MUTED_ROLE = _WIDE_ROLE + 3
_BOLD_ROLE = _WIDE_ROLE + 4

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


class FigureTree(QTreeWidget):
    """The tree.  ``copyRequested`` is sent for the keys that copy."""

    copyRequested = Signal()

    def __init__(self, name: str, columns: tuple[str, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
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
        self.setFont(number_font(self.font()))
        self.setItemDelegate(_RowDelegate(self))
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAllColumnsShowFocus(True)
        self.setTabKeyNavigation(False)
        self.setIndentation(4 * _PAD)
        self.setExpandsOnDoubleClick(False)
        self.itemActivated.connect(lambda item, _column: item.setExpanded(not item.isExpanded()))
        self._choose_colours()
        self._rows: tuple[FigureRow, ...] = ()
        self._shown: list[tuple[QTreeWidgetItem, FigureRow]] = []

    def show_rows(self, rows: tuple[FigureRow, ...], *, resting: bool = True, opened: bool = False) -> None:
        """Show other rows.

        ``resting`` is False while a hand is on a slider: then columns only grow.  ``opened`` says whether rows that
        were not there before show their children.
        """
        if _shape(rows) == _shape(self._rows):
            for (item, old), new in zip(self._shown, _walk(rows), strict=True):
                if new[1:-1] != old[1:-1]:
                    _fill(item, new)
            self._shown = [(item, new) for (item, _old), new in zip(self._shown, _walk(rows), strict=True)]
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
        return next(item for item, _row in self._shown if _path(item) == path)

    # --- inside -------------------------------------------------------------------------------------------------------

    def _build(self, rows: tuple[FigureRow, ...], opened: bool) -> None:
        known = {_path(item): item.isExpanded() for item, _row in self._shown}
        chosen = self.currentItem()
        current = _path(chosen) if chosen is not None else ()
        at = self.verticalScrollBar().value()
        self.setUpdatesEnabled(False)
        self.clear()
        self._shown = []
        for row in rows:
            self._add(row, self.invisibleRootItem())
        for item, row in self._shown:
            item.setFirstColumnSpanned(row.wide)
            item.setExpanded(known.get(_path(item), opened or row.bold))
            if _path(item) == current:
                self.setCurrentItem(item)
        first = self.topLevelItem(0)
        if self.currentItem() is None and first is not None:
            self.setCurrentItem(first)
        self.setUpdatesEnabled(True)
        self.verticalScrollBar().setValue(at)

    def _add(self, row: FigureRow, parent: QTreeWidgetItem) -> None:
        item = QTreeWidgetItem(parent)
        item.setData(0, Qt.ItemDataRole.WhatsThisRole, row.key)
        for column in range(1, self.columnCount()):
            item.setTextAlignment(column, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        _fill(item, row)
        self._shown.append((item, row))
        for child in row.children:
            self._add(child, item)

    def _fit_columns(self, *, may_shrink: bool) -> None:
        metrics, head = QFontMetrics(self.font()), self.headerItem()
        for column in range(1, self.columnCount()):
            texts = [row.cells[column] for _item, row in self._shown if not row.wide and column < len(row.cells)]
            self.setColumnHidden(column, not any(texts))
            widest = max((metrics.horizontalAdvance(text) for text in (*texts, head.text(column))), default=0)
            wanted = widest + 4 * _PAD
            if wanted > self.columnWidth(column) or may_shrink:
                self.setColumnWidth(column, wanted)

    def _choose_colours(self) -> None:
        """A pale selection, as in the recipe: words stay ink on paper."""
        look, palette = colours(self), self.palette()
        pale = mixed(look.accent, look.paper, 0.15)
        if palette.color(QPalette.ColorRole.Highlight) != pale:
            palette.setColor(QPalette.ColorRole.Highlight, pale)
            palette.setColor(QPalette.ColorRole.HighlightedText, look.ink)
            self.setPalette(palette)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._choose_colours()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copyRequested.emit()
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()  # other widths break texts elsewhere


def _walk(rows: tuple[FigureRow, ...]) -> Iterator[FigureRow]:
    for row in rows:
        yield row
        yield from _walk(row.children)


def _shape(rows: tuple[FigureRow, ...]) -> tuple[object, ...]:
    return tuple((row.key, row.wide, _shape(row.children)) for row in rows)


def _path(item: QTreeWidgetItem) -> tuple[str, ...]:
    key = str(item.data(0, Qt.ItemDataRole.WhatsThisRole))
    parent = item.parent()
    return (*_path(parent), key) if parent else (key,)


def _fill(item: QTreeWidgetItem, row: FigureRow) -> None:
    for column, text in enumerate(row.cells):
        if item.text(column) != text:
            item.setText(column, text)
    data = {_WIDE_ROLE: row.wide, _FIGURE_ROLE: row.figure, _MUTED_ROLE: row.muted, _BOLD_ROLE: row.bold}
    for role, value in data.items():
        item.setData(0, role, value)
    if row.share is not None:
        item.setData(len(row.cells) - 1, _SHARE_ROLE, row.share)
    if row.wide:
        item.setData(0, Qt.ItemDataRole.AccessibleTextRole, row.words())
    elif row.cells[0] != item.toolTip(0):
        item.setToolTip(0, row.cells[0])


class _RowDelegate(QStyledItemDelegate):
    """Paints wide rows over the whole width, breaks long words, and draws shares as bars."""

    def __init__(self, tree: FigureTree) -> None:
        super().__init__(tree)
        self._tree = tree

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        tree = self._tree
        metrics = QFontMetrics(self._font(index))
        least = QSize(0, metrics.height() + 2 * _PAD)
        if index.column() > 0:
            return least
        depth, parent = 1, index.parent()
        while parent.isValid():
            depth, parent = depth + 1, parent.parent()
        wide = bool(index.data(_WIDE_ROLE))
        width = (tree.viewport().width() if wide else tree.columnWidth(0)) - depth * tree.indentation() - 2 * _PAD
        if wide:
            width -= self._figure_width(index)
        room = QRect(0, 0, max(width, 6 * metrics.averageCharWidth()), 10_000)
        height = metrics.boundingRect(room, int(Qt.TextFlag.TextWordWrap), str(index.data() or "")).height()
        return QSize(0, max(least.height(), height + 2 * _PAD))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        self.initStyleOption(option, index)
        row = index.sibling(index.row(), 0)
        option.state &= ~QStyle.StateFlag.State_HasFocus  # drawn below
        text, option.text = option.text, ""
        self._tree.style().drawControl(QStyle.ControlElement.CE_ItemViewItem, option, painter, self._tree)
        look = colours(self._tree)
        painter.save()
        painter.setFont(self._font(row))
        painter.setPen(look.muted if row.data(_MUTED_ROLE) else look.ink)
        if self._tree.hasFocus() and row == self._tree.currentIndex().siblingAtColumn(0):
            left = option.rect.left() if index.column() == 0 else option.rect.left() - 1
            painter.fillRect(left, option.rect.top(), option.rect.width() + 1, _FOCUS_PX, look.accent)
            painter.fillRect(
                left, option.rect.bottom() - _FOCUS_PX + 1, option.rect.width() + 1, _FOCUS_PX, look.accent
            )
        area = option.rect.adjusted(_PAD, _PAD, -_PAD, -_PAD)
        if index.column() > 0:
            painter.drawText(area, int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop), text)
            share = index.data(_SHARE_ROLE)
            if share is not None:
                self._draw_bar(painter, option.rect, float(share))
        else:
            if index.data(_WIDE_ROLE):
                top_right = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
                painter.drawText(area, top_right, str(index.data(_FIGURE_ROLE)))
                area.setRight(area.right() - self._figure_width(index))
            painter.drawText(area, int(Qt.AlignmentFlag.AlignLeft) | int(Qt.TextFlag.TextWordWrap), text)
        painter.restore()

    def _draw_bar(self, painter: QPainter, cell: QRect, share: float) -> None:
        look = colours(self._tree)
        track = QRect(cell.left() + _PAD, cell.bottom() - _BAR_PX, cell.width() - 2 * _PAD, _BAR_PX - 1)
        painter.fillRect(track, look.track)
        track.setWidth(round(track.width() * min(max(share, 0.0), 1.0)))
        painter.fillRect(track, look.accent)

    def _font(self, index: _Index) -> QFont:
        bold = bool(index.sibling(index.row(), 0).data(_BOLD_ROLE))
        return sized(self._tree.font(), 1.0, bold=True) if bold else self._tree.font()

    def _figure_width(self, index: _Index) -> int:
        figure = str(index.data(_FIGURE_ROLE) or "")
        return QFontMetrics(self._font(index)).horizontalAdvance(figure) + 3 * _PAD if figure else 0
