"""The header of a table: quiet words over the columns, no buttons."""

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QHeaderView, QWidget

from workbench.ui.theme import colours

_PAD = 6


class PlainHeader(QHeaderView):
    """Muted titles with a thin line under them; widths belong to the view."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setHighlightSections(False)

    def sectionSizeFromContents(self, section: int) -> QSize:
        size = super().sectionSizeFromContents(section)
        return QSize(size.width(), self.fontMetrics().height() + 2 * _PAD)

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        look, model, across = colours(self), self.model(), self.orientation()
        painter.fillRect(rect, look.paper)
        painter.setPen(look.muted)
        text = str(model.headerData(section, across, Qt.ItemDataRole.DisplayRole) or "")
        alignment = int(model.headerData(section, across, Qt.ItemDataRole.TextAlignmentRole))
        inner = rect.adjusted(_PAD, 0, -_PAD, 0)
        shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, inner.width())
        painter.drawText(inner, alignment, shown)
        painter.setPen(QPen(look.grid, 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
