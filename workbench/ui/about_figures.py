"""The usual cautions, one line below the figures until they are asked for."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QLabel, QToolButton, QVBoxLayout, QWidget

from workbench.base.text import _
from workbench.recipe.words import CAUTIONS


class AboutFigures(QWidget):
    """A line that opens.  ``opened`` is sent when the cautions have come into sight."""

    opened = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._cautions: QLabel | None = None
        self.switch = QToolButton(self)
        self.switch.setText(_("about these figures"))
        self.switch.setCheckable(True)
        self.switch.setAutoRaise(True)
        self.switch.setArrowType(Qt.ArrowType.RightArrow)
        self.switch.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.switch.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.switch.toggled.connect(self._show_cautions)
        self._column = layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.switch, 0, Qt.AlignmentFlag.AlignLeft)

    @Slot(bool)
    def _show_cautions(self, shown: bool) -> None:
        self.switch.setArrowType(Qt.ArrowType.DownArrow if shown else Qt.ArrowType.RightArrow)
        if self._cautions is None:
            self._cautions = QLabel("\n".join(_(caution) for caution in CAUTIONS), self)
            self._cautions.setWordWrap(True)
            self._column.addWidget(self._cautions)
        self._cautions.setVisible(shown)
        if shown:
            self.opened.emit()
