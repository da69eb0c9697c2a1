"""Tick boxes in the cells of a table."""

from PySide6.QtCore import QAbstractItemModel, QEvent, QModelIndex, QPersistentModelIndex, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QTableWidget

from workbench.ui.guard import guarded
from workbench.ui.plots.fills import draw_shape
from workbench.ui.theme import colours

_CHECKED, _OPEN = Qt.CheckState.Checked, Qt.CheckState.Unchecked


@guarded
class TickDelegate(QStyledItemDelegate):
    """Draws ticks in ink, with boxes that can be seen on dark paper too."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        state = index.data(Qt.ItemDataRole.CheckStateRole)
        if state is None:
            super().paint(painter, option, index)
            return
        table = option.widget
        look = colours(option.palette)
        enabled = bool(option.state & QStyle.StateFlag.State_Enabled)
        ink = look.ink if enabled else look.grid
        side = 0.8 * option.fontMetrics.height()
        box = QRectF(0, 0, side, side)
        box.moveCenter(QRectF(option.rect).center())
        painter.save()
        painter.setPen(QPen(look.muted if enabled else look.grid, 1))
        painter.drawRect(box)
        if isinstance(table, QTableWidget) and table.hasFocus() and table.currentIndex() == index:
            painter.setPen(QPen(look.accent, 2))
            painter.drawRect(box.adjusted(-3, -3, 3, 3))
        if Qt.CheckState(state) == _CHECKED:
            draw_shape(painter, "tick", box.adjusted(2, 2, -2, -2), ink)
        painter.restore()

    def editorEvent(
        self,
        event: QEvent,
        model: QAbstractItemModel,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> bool:
        """A click anywhere in the cell ticks it."""
        state = index.data(Qt.ItemDataRole.CheckStateRole)
        enabled = bool(option.state & QStyle.StateFlag.State_Enabled)
        if state is None or not enabled or not isinstance(event, QMouseEvent):
            return super().editorEvent(event, model, option, index)
        if event.type() == QEvent.Type.MouseButtonRelease and event.button() == Qt.MouseButton.LeftButton:
            model.setData(
                index, _OPEN if Qt.CheckState(state) == _CHECKED else _CHECKED, Qt.ItemDataRole.CheckStateRole
            )
        return True
