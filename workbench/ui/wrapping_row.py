"""WrappingRow: a layout that puts its widgets beside each other and begins a new line where one does not fit."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from workbench.ui.guard import guarded


@guarded
class WrappingRow(QLayout):
    """Widgets in reading order; none is ever squeezed or cut, and a hidden one takes no room."""

    def __init__(self, parent: QWidget | None = None, gap_px: int = 2) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap = gap_px
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._place(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, area: QRect) -> None:
        super().setGeometry(area)
        self._place(area, move=True)

    def sizeHint(self) -> QSize:
        sizes = [item.sizeHint() for item in self._items if not item.isEmpty()]
        width = sum(size.width() + self._gap for size in sizes)
        return QSize(width, max((size.height() for size in sizes), default=0))

    def minimumSize(self) -> QSize:
        sizes = [item.sizeHint() for item in self._items if not item.isEmpty()]
        widest = max((size.width() for size in sizes), default=0)
        return QSize(widest, max((size.height() for size in sizes), default=0))

    def _place(self, area: QRect, *, move: bool) -> int:
        """Put the widgets into their places, in the middle of their line; returns the height they take. [px]"""
        lines: list[list[tuple[QLayoutItem, int, QSize]]] = [[]]
        x = 0
        for item in self._items:
            if item.isEmpty():
                continue
            size = item.sizeHint()
            if lines[-1] and x + size.width() > area.width():
                lines.append([])
                x = 0
            lines[-1].append((item, x, size))
            x += size.width() + self._gap
        y = area.top()
        for line in lines:
            height = max((size.height() for _item, _x, size in line), default=0)
            for item, x, size in line if move else ():
                item.setGeometry(QRect(QPoint(area.left() + x, y + (height - size.height()) // 2), size))
            y += height + self._gap
        return y - self._gap - area.top()
