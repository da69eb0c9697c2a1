"""The header of a table: quiet words over the columns, no buttons."""

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QHeaderView, QWidget

from workbench.ui.guard import guarded
from workbench.ui.theme import colours

_PAD = 6


@guarded
class PlainHeader(QHeaderView):
    """Muted titles of one or two lines with a thin line under them; widths belong to the view."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setHighlightSections(False)

    def sectionSizeFromContents(self, section: int) -> QSize:
        size = super().sectionSizeFromContents(section)
        count = max((self._title(k).count("\n") for k in range(self.count())), default=0) + 1
        return QSize(size.width(), count * self.fontMetrics().height() + 2 * _PAD)

    def _title(self, section: int) -> str:
        return str(self.model().headerData(section, self.orientation(), Qt.ItemDataRole.DisplayRole) or "")

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        look, metrics = colours(self), painter.fontMetrics()
        painter.fillRect(rect, look.paper)
        painter.setPen(look.muted)
        alignment = int(self.model().headerData(section, self.orientation(), Qt.ItemDataRole.TextAlignmentRole))
        inner = rect.adjusted(_PAD, 0, -_PAD, 0)
        lines = self._title(section).split("\n")
        shown = [metrics.elidedText(line, Qt.TextElideMode.ElideRight, inner.width()) for line in lines]
        painter.drawText(inner, alignment, "\n".join(shown))
        painter.setPen(QPen(look.grid, 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
