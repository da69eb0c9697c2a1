"""A printed page as a picture: the same marks that become the PDF, with the same font."""

from functools import cache

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.base.text import _
from workbench.report.labels.sheet import LabelSheet
from workbench.report.pdf.fonts import MM_PER_PT, font_file, width_mm
from workbench.report.pdf.page import Line, Mark, Page, Polygon, Rect, Text
from workbench.ui.guard import guarded
from workbench.ui.theme import colours

_FONT_PX = 100  # texts are drawn at this size and scaled, so that hinting changes no width
_PAPER, _INK = QColor("#FFFFFF"), QColor("#000000")  # of the printed page, in every look
_TAKEN = QColor("#8A8F96")
_GRID = QColor("#B9BDC2")


@cache
def page_font(*, bold: bool) -> QFont:
    """The bundled font for the screen."""
    families = QFontDatabase.applicationFontFamilies(QFontDatabase.addApplicationFont(str(font_file(bold=bold))))
    font = QFont(families[0]) if families else QFont()
    font.setPixelSize(_FONT_PX)
    font.setBold(bold)
    font.setStretch(QFont.Stretch.SemiCondensed)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


@guarded
class PagePicture(QWidget):
    """One page, as large as there is room.

    On a sheet of labels every position has a faint edge, and those before ``start`` are struck out as taken.
    ``positionClicked(n)`` tells which one was clicked, counted from 1.
    """

    positionClicked = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._page: Page | None = None
        self._sheet: LabelSheet | None = None
        self._taken = 0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(160, 160)

    def show_page(self, page: Page | None, sheet: LabelSheet | None = None, taken: int = 0) -> None:
        """Show a page; of a sheet of labels with its first ``taken`` positions used up."""
        self._page, self._sheet, self._taken = page, sheet, taken
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(360, 480)

    def height_for(self, width: int) -> int:
        """How high the page is where it fills a width. [px]"""
        size = self._page.size if self._page else None
        return round(width * size.height_mm / size.width_mm) if size else width

    def page_area(self) -> QRectF:
        """Where the page lies. [px]"""
        if self._page is None:
            return QRectF()
        size, margin = self._page.size, 6.0
        scale = min((self.width() - 2 * margin) / size.width_mm, (self.height() - 2 * margin) / size.height_mm)
        wide, high = size.width_mm * scale, size.height_mm * scale
        return QRectF((self.width() - wide) / 2, (self.height() - high) / 2, wide, high)

    def position_at(self, at: QPoint | QPointF) -> int:
        """The label at a point, counted from 1; 0 where there is none."""
        area, sheet = self.page_area(), self._sheet
        if sheet is None or self._page is None or area.isEmpty():
            return 0
        scale = area.width() / self._page.size.width_mm
        x, y = (at.x() - area.left()) / scale, (at.y() - area.top()) / scale
        for k in range(sheet.labels):
            left, top = sheet.corner_mm(k)
            if 0 <= x - left < sheet.label_width_mm and 0 <= y - top < sheet.label_height_mm:
                return k + 1
        return 0

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        position = self.position_at(event.position())
        if position:
            self.positionClicked.emit(position)

    def paintEvent(self, event: QPaintEvent) -> None:
        page = self._page
        if page is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = self.page_area()
        painter.fillRect(area, _PAPER)
        painter.setPen(QPen(colours(self).outline, 1))
        painter.drawRect(area)
        painter.setClipRect(area)
        painter.translate(area.topLeft())
        scale = area.width() / page.size.width_mm
        painter.scale(scale, scale)
        if self._sheet is not None:
            self._draw_positions(painter, self._sheet)
        for mark in page.marks:
            draw(painter, mark)

    def _draw_positions(self, painter: QPainter, sheet: LabelSheet) -> None:
        for k in range(sheet.labels):
            x, y = sheet.corner_mm(k)
            box = QRectF(x, y, sheet.label_width_mm, sheet.label_height_mm)
            painter.setPen(QPen(_GRID, 0.25))
            if k >= self._taken:
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRect(box)
                continue
            painter.setBrush(QBrush(QColor("#E8E8E8")))
            painter.drawRect(box)
            painter.setPen(QPen(_TAKEN, 0.4))
            painter.drawLine(box.topLeft(), box.bottomRight())
            painter.drawLine(box.topRight(), box.bottomLeft())
            word = _("taken")
            size = min(0.3 * sheet.label_height_mm, 6.0) / MM_PER_PT
            middle = Text(box.center().x(), box.center().y() + 0.35 * size * MM_PER_PT, word, size, True, "centre", 0.3)
            wide = width_mm(word, size, bold=True) + 2.0
            high = 1.2 * size * MM_PER_PT
            painter.fillRect(QRectF(box.center().x() - wide / 2, box.center().y() - high / 2, wide, high), "#E8E8E8")
            draw(painter, middle)


def draw(painter: QPainter, mark: Mark) -> None:
    """Draw one mark; the painter measures in millimetres."""
    if isinstance(mark, Text):
        _write(painter, mark)
        return
    if isinstance(mark, Line):
        painter.setPen(QPen(_INK, mark.line_mm))
        painter.drawLine(QPointF(mark.x_mm, mark.y_mm), QPointF(mark.to_x_mm, mark.to_y_mm))
        return
    painter.setPen(QPen(_INK, mark.line_mm) if mark.line_mm else QPen(Qt.PenStyle.NoPen))
    painter.setBrush(Qt.BrushStyle.NoBrush if mark.fill is None else QBrush(_grey(mark.fill)))
    if isinstance(mark, Rect):
        painter.drawRect(QRectF(mark.x_mm, mark.y_mm, mark.width_mm, mark.height_mm))
    elif isinstance(mark, Polygon):
        painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in mark.points_mm]))


def _grey(shade: float) -> QColor:
    return QColor.fromRgbF(shade, shade, shade)


def _write(painter: QPainter, mark: Text) -> None:
    """A text exactly as wide as it will be printed."""
    font = page_font(bold=mark.bold)
    advance = QFontMetricsF(font).horizontalAdvance(mark.text)
    if advance <= 0.0:
        return
    wide = width_mm(mark.text, mark.size_pt, bold=mark.bold)
    left = {"left": 0.0, "right": wide, "centre": wide / 2}[mark.align]
    painter.save()
    painter.translate(mark.x_mm - left, mark.y_mm)
    painter.scale(wide / advance, mark.size_pt * MM_PER_PT / _FONT_PX)
    painter.setFont(font)
    painter.setPen(_grey(mark.ink))
    painter.drawText(QPointF(0.0, 0.0), mark.text)
    painter.restore()
