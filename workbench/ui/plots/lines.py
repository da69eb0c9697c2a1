"""Lines around the charts: sentences with a mark, named figures, the headline, and ingredients in order."""

from typing import NamedTuple

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from workbench.ui.guard import guarded
from workbench.ui.plots.faces import Face, sized
from workbench.ui.plots.fills import Shape, draw_shape
from workbench.ui.plots.painted_lines import ChosenLines, PaintedLines
from workbench.ui.theme import number_font

_PAD = 4
_GAP = 4


class MarkedLine(NamedTuple):
    """A sentence with a mark before it."""

    shape: Shape
    tone: str  # the name of a colour of ``Colours``
    text: str


@guarded
class MarkedLines(ChosenLines):
    """Sentences, each with a shape that says what kind it is; long ones are broken."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        self._lines: tuple[MarkedLine, ...] = ()
        super().__init__(parent)
        self.setAccessibleName(name)

    def show_lines(self, lines: tuple[MarkedLine, ...], *, may_shrink: bool) -> None:
        """Show other sentences; without any the widget takes no room."""
        if lines == self._lines:
            if may_shrink:
                self.settle()
            return
        self._lines = lines
        self._say([line.text for line in lines])
        self.setVisible(bool(lines))
        self._fit(may_shrink=may_shrink)

    def _text_left(self) -> int:
        return _PAD + self._plain.ascent + 2 * _GAP

    def lines_height(self, width: int) -> int:
        return sum(self._heights(width))

    def _heights(self, width: int) -> list[int]:
        most = max(width - self._text_left() - _PAD, 1)
        return [self._plain.wrapped_height(line.text, most) + 2 for line in self._lines]

    def areas(self) -> list[QRect]:
        found, top = [], 0
        for height in self._heights(self.width()):
            found.append(QRect(0, top, self.width(), height))
            top += height
        return found

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setFont(self._plain.font)
        painter.setPen(self._look.ink)
        left, top, side = self._text_left(), 0, self._plain.ascent - 2
        most = max(self.width() - left - _PAD, 1)
        for line in self._lines:
            self._plain.draw(painter, left, top, line.text, most)
            tone: QColor = getattr(self._look, line.tone)
            draw_shape(painter, line.shape, QRectF(_PAD, top + (self._plain.height - side) / 2, side, side), tone)
            top += self._plain.wrapped_height(line.text, most) + 2
        self._paint_choice(painter)


class Figure(NamedTuple):
    """A figure with its name and its unit."""

    key: str
    label: str
    unit: str


@guarded
class Figures(ChosenLines):
    """Named figures in as many columns as there is room for, figures right-aligned, units muted."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        self._figures: tuple[Figure, ...] = ()
        self._texts: tuple[str, ...] = ()
        super().__init__(parent)
        self.setAccessibleName(name)

    def set_figures(self, figures: tuple[Figure, ...]) -> None:
        """Say which figures there are."""
        self._figures, self._texts = figures, ("",) * len(figures)
        self._fit(may_shrink=True)

    def show_texts(self, texts: tuple[str, ...]) -> None:
        """Show other figures, in the order of ``set_figures``."""
        if texts != self._texts:
            self._texts = texts
            pairs = zip(self._figures, texts, strict=True)
            self._say([f"{figure.label} {text} {figure.unit}".rstrip() for figure, text in pairs])
            self.update()

    def _columns(self, width: int) -> int:
        widest = max((self._small.width(figure.label) for figure in self._figures), default=0)
        return 2 if width >= 2 * (widest + self._small.width("at least 000.0 mg") + 6 * _GAP) else 1

    def lines_height(self, width: int) -> int:
        columns = self._columns(width)
        return -(-len(self._figures) // columns) * (self._small.height + 2)

    def _column_width(self) -> int:
        columns = self._columns(self.width())
        return (self.width() - 2 * _PAD - (columns - 1) * 6 * _GAP) // columns

    def areas(self) -> list[QRect]:
        columns, step = self._columns(self.width()), self._small.height + 2
        rows, width = -(-len(self._figures) // columns), self._column_width()
        return [
            QRect(_PAD + (k // rows) * (width + 6 * _GAP) - 2, (k % rows) * step, width + 4, step)
            for k in range(len(self._figures))
        ]

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        face, look, column_width = self._small, self._look, self._column_width()
        unit_width = max((face.width(figure.unit) for figure in self._figures), default=0)
        painter.setFont(face.font)
        places = [(area.left() + 2, area.top()) for area in self.areas()]
        painter.setPen(look.muted)
        for (left, top), figure in zip(places, self._figures, strict=True):
            face.draw(painter, left, top, figure.label)
            face.draw(painter, left + column_width - unit_width, top, figure.unit)
        painter.setPen(look.ink)
        for (left, top), text in zip(places, self._texts, strict=True):
            face.draw_right(painter, left + column_width - unit_width - _GAP, top, text)
        self._paint_choice(painter)


@guarded
class Headline(ChosenLines):
    """The first line: what is looked at and how much of it there is, in a size to find first."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._title = ""
        self._figures: tuple[tuple[str, str], ...] = ()
        super().__init__(parent)

    def show_headline(self, title: str, figures: tuple[tuple[str, str], ...]) -> None:
        """Show other figures, each with its unit."""
        if (title, figures) != (self._title, self._figures):
            self._title, self._figures = title, figures
            self._say([self.text()])
            self.update()

    def text(self) -> str:
        """The line as shown."""
        return " · ".join([self._title, *(f"{text} {unit}" for text, unit in self._figures)])

    def _make_faces(self) -> None:
        super()._make_faces()
        font = number_font(self.font())
        self._big, self._bold = Face(sized(font, 1.25, bold=True)), Face(sized(font, 1.0, bold=True))

    def lines_height(self, width: int) -> int:
        return self._big.height + _PAD

    def areas(self) -> list[QRect]:
        face, found = self._face(), []
        left = _PAD + face.width(self._title) + 4 * _GAP
        for text, unit in self._figures:
            width = face.width(text) + _GAP + self._plain.width(unit)
            found.append(QRect(left - _GAP, 0, width + 2 * _GAP, self.height()))
            left += width + 3 * _GAP
        return found

    def _face(self) -> Face:
        return self._big if self._width(self._big) <= self.width() else self._bold

    def _width(self, face: Face) -> int:
        texts = sum(face.width(text) + 4 * _GAP for text in (self._title, *(text for text, _unit in self._figures)))
        return texts + sum(self._plain.width(unit) for _text, unit in self._figures)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        face = self._face()
        small, look, left, base = self._plain, self._look, _PAD, _PAD + self._big.ascent
        painter.setFont(face.font)
        painter.setPen(look.ink)
        places: list[tuple[int, str]] = []
        for text, unit in ((self._title, ""), *self._figures):
            face.draw(painter, left, base - face.ascent, text)
            left += face.width(text) + _GAP
            places.append((left, unit))
            left += small.width(unit) + 3 * _GAP
        painter.setFont(small.font)
        painter.setPen(look.muted)
        for x, unit in places:
            small.draw(painter, x, base - small.ascent, unit)
        self._paint_choice(painter)


class Share(NamedTuple):
    """What one ingredient brings: as a fraction of the largest, and in words."""

    name: str
    fraction: float
    text: str
    percent: str


@guarded
class RankedLines(PaintedLines):
    """Ingredients in the order of what they bring, each over a thin bar."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._title = ""
        self._shares: tuple[Share, ...] = ()
        self._closing = ""
        super().__init__(parent)

    def show_shares(self, title: str, shares: tuple[Share, ...], closing: str, *, may_shrink: bool) -> None:
        """Show other ingredients under a title; ``closing`` is a sentence below them."""
        if (title, shares, closing) != (self._title, self._shares, self._closing):
            self._title, self._shares, self._closing = title, shares, closing
            self.setAccessibleName(title)
            self._say([*(f"{s.name} {s.text}, {s.percent}" for s in shares), closing])
            self._fit(may_shrink=may_shrink)

    def _row(self) -> int:
        return self._plain.height + 5

    def lines_height(self, width: int) -> int:
        most = max(width - 4 * _PAD, 1)
        closing = self._small.wrapped_height(self._closing, most) if self._closing else 0
        return self._small.height + len(self._shares) * self._row() + closing + 2 * _PAD

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        face, small, look = self._plain, self._small, self._look
        left, right, top = 2 * _PAD, self.width() - 2 * _PAD, _PAD
        painter.fillRect(self.rect(), look.paper)
        painter.fillRect(0, 0, 2, self.height(), look.accent)
        painter.setFont(small.font)
        painter.setPen(look.muted)
        small.draw(painter, left, top, small.elided(self._title, right - left))
        top += small.height
        painter.setFont(face.font)
        percent_width = face.width("100 %") + 2 * _GAP
        for share in self._shares:
            painter.setPen(look.muted)
            face.draw_right(painter, right, top, share.percent)
            painter.setPen(look.ink)
            figure_left = face.draw_right(painter, right - percent_width, top, share.text)
            face.draw(painter, left, top, face.elided(share.name, figure_left - left - 2 * _GAP))
            painter.fillRect(left, top + face.height, right - left, 2, look.track)
            painter.fillRect(left, top + face.height, round(share.fraction * (right - left)), 2, look.muted)
            top += self._row()
        if self._closing:
            painter.setFont(small.font)
            painter.setPen(look.near)
            small.draw(painter, left, top, self._closing, max(right - left, 1))
