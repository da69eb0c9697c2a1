"""Painting of the recipe's cells: the stage rows, the slider in each line, marks, lock and remove signs.

Only painting and geometry; what a press or a key does is the recipe panel's business.
"""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from workbench.base.text import grams_text
from workbench.ui.guard import guarded
from workbench.ui.models.figure_cells import BAR_STEPS
from workbench.ui.models.recipe_model import RecipeModel
from workbench.ui.models.recipe_rows import AMOUNT, LOCK, NAME, SLIDER, LineRow, StageRow
from workbench.ui.theme import Colours, colours, mixed

SLIDER_WIDTH = 176  # the least width of the slider's column; the groove itself is 160 or more
_MARGIN = 8
_KNOB = 7.0  # radius
_PAD = 6
_GRIP = 12  # room for the dots that say that a row can be taken
_BAR = 3  # height of the bar under a figure
_DIAMOND = 5.5  # half the height of the mark at a proposed amount

_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_ELIDE = Qt.TextElideMode.ElideRight
_SELECTED = QStyle.StateFlag.State_Selected
_FOCUSED = QStyle.StateFlag.State_HasFocus
_NO_PEN = Qt.PenStyle.NoPen
_ROUND = Qt.PenCapStyle.RoundCap
_BOX_STYLE = Qt.PenStyle.SolidLine


def knob_x(rect: QRect, row: LineRow) -> float:
    """Where the middle of the knob is."""
    return _place(rect, row, row.line.amount_g)


def _place(rect: QRect, row: LineRow, amount_g: float) -> float:
    left, right = rect.left() + _MARGIN, rect.right() - _MARGIN
    return left + row.scale.fraction(amount_g) * (right - left)


def amount_at(rect: QRect, row: LineRow, x: float) -> float:
    """The amount that a knob at ``x`` stands for. [g]"""
    left, right = rect.left() + _MARGIN, rect.right() - _MARGIN
    share = (x - left) / max(right - left, 1)
    return row.scale.snapped(row.scale.minimum + share * (row.scale.maximum - row.scale.minimum))


def on_knob(rect: QRect, row: LineRow, x: float) -> bool:
    """Whether a press at ``x`` takes the knob where it is."""
    return abs(x - knob_x(rect, row)) <= _KNOB + 2


def selection_colour(look: Colours) -> QColor:
    """Ground of the chosen rows, light enough to read everything on it."""
    return mixed(look.accent, look.paper, 0.15)


@guarded
class RecipeDelegate(QStyledItemDelegate):
    """Paints every cell of the recipe."""

    def __init__(self, model: RecipeModel, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self._view = parent
        self.restyle()

    def restyle(self) -> None:
        """Read colours and fonts again after the theme changed."""
        self._colours: Colours = colours(self._view)
        base = QFont(self._view.font())
        self._small = QFont(base)
        if base.pixelSize() > 0:
            self._small.setPixelSize(max(round(base.pixelSize() * 0.85), 9))
        else:
            self._small.setPointSizeF(base.pointSizeF() * 0.85)
        self._bold = QFont(base)
        self._bold.setBold(True)
        self._font, self._metrics = base, QFontMetrics(base)
        self._small_metrics, self._bold_metrics = QFontMetrics(self._small), QFontMetrics(self._bold)
        self._selection = selection_colour(self._colours)
        self._bar = mixed(self._colours.accent, self._colours.paper, 0.6)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        size = super().sizeHint(option, index)
        width = max(size.width(), SLIDER_WIDTH) if index.column() == SLIDER else size.width() + _PAD
        return QSize(width, size.height())

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        row = self._model.rows[index.row()]
        rect, column = option.rect, index.column()
        painter.save()
        if isinstance(row, StageRow):
            painter.fillRect(rect, self._selection if option.state & _SELECTED else self._colours.panel)
            if column == NAME:
                self._stage(painter, rect, row)
        elif column == NAME:
            self._name(painter, rect, row)
        elif column == SLIDER:
            self._slider(painter, rect, row)
        elif column == AMOUNT:
            self._amount(painter, rect, row)
        elif column == LOCK:
            self._lock(painter, rect, row.line.lock)
        elif column == self._model.remove_column:
            self._cross(painter, rect)
        else:
            self._figure(painter, rect, row.texts[column], row.bars[column])
        if option.state & _FOCUSED:
            painter.setPen(QPen(self._colours.accent, 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(QRectF(rect).adjusted(1.5, 1.5, -1.5, -1.5), 3, 3)
        painter.restore()

    # --- cells --------------------------------------------------------------------------------------------------

    def _text(self, painter: QPainter, rect: QRect, text: str, colour: QColor) -> None:
        painter.setFont(self._font)
        painter.setPen(colour)
        painter.drawText(rect.adjusted(_PAD, 0, -_PAD, 0), int(_RIGHT), text)

    def _figure(self, painter: QPainter, rect: QRect, text: str, bar: int) -> None:
        """A figure, over a bar as long as what the line brings of all that is brought."""
        if bar:
            inner = rect.adjusted(_PAD, 0, -_PAD, 0)
            width = round(inner.width() * bar / BAR_STEPS)
            painter.fillRect(inner.right() - width + 1, rect.bottom() - _BAR - 1, width, _BAR, self._bar)
        if self._metrics.horizontalAdvance(text) <= rect.width() - _PAD:
            self._text(painter, rect, text, self._colours.ink)
            return
        painter.setFont(self._small)  # a range is longer than a figure
        painter.setPen(self._colours.ink)
        room = rect.adjusted(1, 0, -_PAD, 0)
        painter.drawText(room, int(_RIGHT), self._small_metrics.elidedText(text, _ELIDE, room.width()))

    def _stage(self, painter: QPainter, rect: QRect, row: StageRow) -> None:
        title, weights, how = row.texts
        inner = rect.adjusted(_PAD, 0, -_PAD, 0)
        painter.setFont(self._bold)
        painter.setPen(self._colours.ink)
        right_width = self._metrics.horizontalAdvance(weights)
        title_width = min(self._bold_metrics.horizontalAdvance(title) + 2, inner.width() - right_width - 2 * _PAD)
        painter.drawText(inner, int(_LEFT), self._bold_metrics.elidedText(title, _ELIDE, max(title_width, 0)))
        painter.setFont(self._font)
        painter.drawText(inner, int(_RIGHT), weights)
        free = inner.adjusted(title_width + 2 * _PAD, 0, -right_width - 2 * _PAD, 0)
        if free.width() > 3 * _PAD:
            painter.setFont(self._small)
            painter.setPen(self._colours.muted)
            painter.drawText(free, int(_RIGHT), self._small_metrics.elidedText(how, _ELIDE, free.width()))

    def _name(self, painter: QPainter, rect: QRect, row: LineRow) -> None:
        inner = rect.adjusted(_PAD + _GRIP, 0, -_PAD, 0)
        middle = rect.center().y()
        for x in (rect.left() + _PAD, rect.left() + _PAD + 4):
            for y in (middle - 5, middle - 1, middle + 3):
                painter.fillRect(x, y, 2, 2, self._colours.grid)
        painter.setFont(self._font)
        painter.setPen(self._colours.ink)
        name = self._metrics.elidedText(row.name, _ELIDE, inner.width())
        if not (row.marks or row.offence):
            painter.drawText(inner, int(_LEFT), name)
            return
        lines = self._metrics.height() + self._small_metrics.height()
        top = inner.top() + (inner.height() - lines) // 2
        painter.drawText(QRect(inner.left(), top, inner.width(), self._metrics.height()), int(_LEFT), name)
        painter.setFont(self._small)
        below = QRect(inner.left(), top + self._metrics.height(), inner.width(), self._small_metrics.height())
        if row.offence:
            painter.setPen(self._colours.missed if row.sure else self._colours.near)
            painter.drawText(below, int(_LEFT), self._small_metrics.elidedText(row.offence, _ELIDE, below.width()))
            below.setLeft(below.left() + self._small_metrics.horizontalAdvance(row.offence) + 2 * _PAD)
        if row.marks and below.width() > 2 * _PAD:
            painter.setPen(self._colours.muted)
            painter.drawText(below, int(_LEFT), self._small_metrics.elidedText(row.marks, _ELIDE, below.width()))

    def _slider(self, painter: QPainter, rect: QRect, row: LineRow) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        locked = row.line.lock
        y = rect.center().y() + 0.5
        left, right, x = rect.left() + _MARGIN, rect.right() - _MARGIN, knob_x(rect, row)
        rail = QColor(self._colours.muted)
        rail.setAlpha(110)
        painter.setPen(QPen(rail, 3, _BOX_STYLE, _ROUND))
        painter.drawLine(QPointF(left, y), QPointF(right, y))
        ink = self._colours.muted if locked else self._colours.accent
        painter.setPen(QPen(ink, 3, _BOX_STYLE, _ROUND))
        painter.drawLine(QPointF(left, y), QPointF(x, y))
        if locked:  # a bar instead of a knob: nothing to take hold of
            painter.drawLine(QPointF(x, y - _KNOB), QPointF(x, y + _KNOB))
            return
        painter.setPen(QPen(self._colours.paper, 1.5))
        painter.setBrush(ink)
        painter.drawEllipse(QPointF(x, y), _KNOB, _KNOB)
        if row.proposed is not None:
            self._diamond(painter, QPointF(_place(rect, row, row.proposed), y))

    def _diamond(self, painter: QPainter, at: QPointF) -> None:
        """An empty diamond: where the knob would go."""
        painter.setPen(QPen(self._colours.ink, 1.5))
        painter.setBrush(self._colours.paper)
        right, down = QPointF(_DIAMOND, 0), QPointF(0, _DIAMOND)
        painter.drawPolygon([at - down, at + right, at + down, at - right])

    def _amount(self, painter: QPainter, rect: QRect, row: LineRow) -> None:
        inner = rect.adjusted(_PAD, 0, -_PAD, 0)
        grams = row.texts[AMOUNT]
        self._text(painter, rect, grams, self._colours.ink)
        beside = row.line.entered if row.proposed is None else f"◇ {grams_text(row.proposed)}"
        if beside:
            free = inner.width() - self._metrics.horizontalAdvance(grams) - _PAD
            painter.setFont(self._small)
            painter.setPen(self._colours.muted if row.proposed is None else self._colours.ink)
            painter.drawText(inner, int(_LEFT), self._small_metrics.elidedText(beside, _ELIDE, max(free, 0)))

    def _lock(self, painter: QPainter, rect: QRect, locked: bool) -> None:
        """A padlock: closed and filled, or open and empty."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle = QRectF(rect).center()
        body = QRectF(middle.x() - 5, middle.y() - 1, 10, 7.5)
        colour = self._colours.ink if locked else self._colours.muted
        painter.setPen(QPen(colour, 1.4))
        painter.setBrush(colour if locked else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(body, 1.5, 1.5)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        shackle = QPainterPath(QPointF(body.left() + 2, body.top()))
        shackle.lineTo(body.left() + 2, body.top() - 2.5)
        shackle.arcTo(QRectF(body.left() + 2, body.top() - 5.5, 6, 6), 180, -180 if locked else -130)
        if locked:
            shackle.lineTo(body.right() - 2, body.top())
        painter.drawPath(shackle)

    def _cross(self, painter: QPainter, rect: QRect) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(self._colours.muted, 1.5, _BOX_STYLE, _ROUND))
        middle = QRectF(rect).center()
        for sign in (-1, 1):
            painter.drawLine(middle + QPointF(-4, -4 * sign), middle + QPointF(4, 4 * sign))
