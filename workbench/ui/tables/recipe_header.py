"""The header of the recipe, with the sign that asks for other columns."""

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtWidgets import QToolButton, QWidget

from workbench.base.text import _
from workbench.ui.tables.plain_header import PlainHeader


class RecipeHeader(PlainHeader):
    """``columnsRequested()`` asks for other columns, ``menuRequested(column, place)`` for the menu of one of them."""

    columnsRequested = Signal()
    menuRequested = Signal(int, QPoint)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.customContextMenuRequested.connect(
            lambda at: self.menuRequested.emit(self.logicalIndexAt(at), self.mapToGlobal(at))
        )
        self._more = QToolButton(self)
        self._more.setText("+")
        self._more.setAutoRaise(True)
        self._more.setToolTip(_("columns …"))
        self._more.setAccessibleName(_("choose columns"))
        self._more.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._more.clicked.connect(self.columnsRequested)

    def place_sign(self, column: int) -> None:
        """Put the sign over a column."""
        self._more.setGeometry(self.sectionViewportPosition(column), 0, self.sectionSize(column), self.height())
