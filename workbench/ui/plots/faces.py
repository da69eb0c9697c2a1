"""Face: a font with its measures and the texts already laid out in it.

Laying a text out costs several times what drawing it does, and a frame of a drag shows mostly texts shown before.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QStaticText, QTransform

_MOST = 1000  # laid-out texts kept; a long drag over a large batch shows more figures than are worth keeping
_AS_IS = QTransform()


class Face:
    """A font, ready to paint with; the painter's font must be ``font`` when ``draw`` is called."""

    def __init__(self, font: QFont) -> None:
        self.font = font
        metrics = QFontMetrics(font)
        self.metrics = metrics
        self.height = metrics.height()
        self.ascent = metrics.ascent()
        self._laid_out: dict[tuple[str, int], tuple[QStaticText, int, int]] = {}

    def width(self, text: str) -> int:
        """Width of one line. [px]"""
        return self._find(text, 0)[1]

    def wrapped_height(self, text: str, width: int) -> int:
        """Height of a text broken into lines of this width. [px]"""
        return self._find(text, width)[2]

    def draw(self, painter: QPainter, x: int, top: int, text: str, wrap: int = 0) -> None:
        """Draw from the left, on one line or broken into lines of width ``wrap``."""
        painter.drawStaticText(x, top, self._find(text, wrap)[0])

    def draw_right(self, painter: QPainter, right: int, top: int, text: str) -> int:
        """Draw so that the text ends at ``right``; returns where it begins."""
        static, width, _height = self._find(text, 0)
        painter.drawStaticText(right - width, top, static)
        return right - width

    def elided(self, text: str, width: int) -> str:
        """The text, shortened where it is wider than ``width``."""
        return text if self.width(text) <= width else self.metrics.elidedText(text, Qt.TextElideMode.ElideRight, width)

    def _find(self, text: str, wrap: int) -> tuple[QStaticText, int, int]:
        key = text, wrap
        found = self._laid_out.get(key)
        if found is None:
            if len(self._laid_out) >= _MOST:
                self._laid_out.clear()
            static = QStaticText(text)
            static.setTextFormat(Qt.TextFormat.PlainText)
            if wrap > 0:
                static.setTextWidth(wrap)
            static.prepare(_AS_IS, self.font)
            size = static.size()
            found = self._laid_out[key] = static, round(size.width() + 0.49), round(size.height() + 0.49)
        return found


def sized(base: QFont, factor: float, *, bold: bool = False) -> QFont:
    """``base`` scaled, whether its size was given in points or in pixels."""
    font = QFont(base)
    if base.pointSizeF() > 0:
        font.setPointSizeF(base.pointSizeF() * factor)
    else:
        font.setPixelSize(max(1, round(base.pixelSize() * factor)))
    font.setBold(bold)
    return font
