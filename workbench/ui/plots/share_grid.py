"""ShareGrid: ingredients down, variants across, and in each cell the share of the batch with what changed about it."""

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtCore import QEvent, QRect, Signal
from PySide6.QtGui import QHelpEvent, QKeyEvent, QPainter, QPaintEvent, QRegion
from PySide6.QtWidgets import QToolTip, QWidget

from workbench.ui.guard import guarded
from workbench.ui.plots.badges import Badge, badge_side, draw_badge
from workbench.ui.plots.faces import Face, sized
from workbench.ui.plots.painted_lines import ChosenLines
from workbench.ui.theme import mixed, number_font

_PAD, _GAP, _BAR_PX = 4, 6, 3
_MOST_CELL_EMS = 9
_LEAST_NAME_EMS = 6


class ShareCell(NamedTuple):
    """One ingredient in one variant: its share in figures and as a fraction of the largest of its row, and its mark."""

    text: str
    fraction: float
    sign: str = ""
    word: str = ""  # what the sign means


class ShareRow(NamedTuple):
    """One ingredient."""

    key: str
    name: str
    cells: tuple[ShareCell, ...]
    below: str = ""  # what stands in its place elsewhere


@guarded
class ShareGrid(ChosenLines):
    """The grid; see ``ChosenLines`` for keys and signals, of which lines are the ingredients.

    ``strode(top, height)`` is sent where a key leads to another row, so that it can be scrolled into sight.
    """

    strode = Signal(int, int)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        self.hint_for: Callable[[int], str] | None = None  # a row in a sentence
        self._badges: tuple[Badge, ...] = ()
        self._rows: tuple[ShareRow, ...] = ()
        self._closing = ""
        self._cell_width = 0
        super().__init__(parent)
        self.setAccessibleName(name)
        self.make_choosable()

    @property
    def rows(self) -> tuple[ShareRow, ...]:
        """What is shown."""
        return self._rows

    def show_rows(self, badges: tuple[Badge, ...], rows: tuple[ShareRow, ...], closing: str, *, resting: bool) -> None:
        """Show other shares; ``closing`` is a sentence below them."""
        before = self._badges, self._rows, self._closing
        self._badges, self._rows, self._closing = badges, rows, closing
        width = self._wanted_cell_width()
        moved = width != self._cell_width if resting else width > self._cell_width
        if moved:
            self._cell_width = width
        if resting:
            self._describe()
        if before == (badges, rows, closing) and not moved:
            return
        if (
            moved
            or before[0] != badges
            or before[2] != closing
            or [(row.key, row.below) for row in before[1]] != [(row.key, row.below) for row in rows]
        ):
            self._fit(may_shrink=resting)
            return
        changed = QRegion()
        for area, old, new in zip(self.areas(), before[1], rows, strict=True):
            if old != new:
                changed += area
        self.update(changed)

    def _describe(self) -> None:
        if self.hint_for is not None and self._rows:
            self._say([self.hint_for(min(self._chosen, len(self._rows) - 1))])

    # --- place ------------------------------------------------------------------------------------------------------

    def _make_faces(self) -> None:
        super()._make_faces()
        font = number_font(self.font())
        self._badge_face = Face(sized(font, 0.92, bold=True))

    def _wanted_cell_width(self) -> int:
        cells = [cell for row in self._rows for cell in row.cells]
        figures = max((self._plain.width(cell.text) for cell in cells), default=0)
        signs = max((self._small.width(cell.sign) for cell in cells), default=0)
        return figures + signs + 2 * _GAP + _PAD

    def _words_fit(self) -> bool:
        """Whether cells have room for the word beside the sign."""
        words = max((self._small.width(f"{c.sign} {c.word}") for row in self._rows for c in row.cells), default=0)
        figures = max((self._plain.width(c.text) for row in self._rows for c in row.cells), default=0)
        return self._across() >= words + figures + 3 * _GAP

    def _names_fit(self, across: int) -> bool:
        """Whether all names fit beside their letters; part of a name says no more than the letter."""
        widest = max((self._small.width(badge.name) for badge in self._badges), default=0)
        return widest + badge_side(self._badge_face) + _PAD + _GAP <= across

    def _across(self) -> int:
        """Width of a cell. [px]"""
        count = max(len(self._badges), 1)
        em = self._plain.height
        name = max(min(self._widest_name(), self.width() * 2 // 5), _LEAST_NAME_EMS * em)
        room = (self.width() - name - 2 * _PAD) // count
        return max(min(room, max(_MOST_CELL_EMS * em, self._cell_width)), self._cell_width)

    def _widest_name(self) -> int:
        return max((self._plain.width(row.name) for row in self._rows), default=0) + _GAP

    def _name_room(self) -> int:
        return max(self.width() - 2 * _PAD - len(self._badges) * self._across() - _GAP, 1)

    def _head_height(self) -> int:
        return badge_side(self._badge_face) + _PAD

    def _row_height(self, row: ShareRow, width: int) -> int:
        below = self._small.wrapped_height(row.below, max(width - 3 * _PAD, 1)) if row.below else 0
        return self._plain.height + _BAR_PX + 3 + below

    def _rows_height(self, width: int) -> int:
        return sum(self._row_height(row, width) for row in self._rows)

    def lines_height(self, width: int) -> int:
        closing = self._small.wrapped_height(self._closing, max(width - 2 * _PAD, 1)) if self._closing else 0
        return self._head_height() + self._rows_height(width) + closing + 2 * _PAD

    def areas(self) -> list[QRect]:
        found, top = [], self._head_height()
        for row in self._rows:
            height = self._row_height(row, self.width())
            found.append(QRect(0, top, self.width(), height))
            top += height
        return found

    # --- looks ------------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, region, look = QPainter(self), event.region(), self._look
        across, words = self._across(), self._words_fit()
        first = self.width() - _PAD - len(self._badges) * across
        rows_height = self._rows_height(self.width())
        for k, badge in enumerate(self._badges):
            left = first + k * across
            if badge.edited:
                tint = mixed(look.accent, look.panel, 0.12)
                painter.fillRect(left, 0, across, self._head_height() + rows_height, tint)
            self._paint_head(painter, badge, left, across)
        for area, row in zip(self.areas(), self._rows, strict=True):
            if not region.intersects(area):
                continue
            top = area.top() + 1
            painter.setFont(self._plain.font)
            painter.setPen(look.ink)
            self._plain.draw(painter, _PAD, top, self._plain.elided(row.name, self._name_room()))
            for k, cell in enumerate(row.cells):
                self._paint_cell(painter, cell, first + k * across, top, across, words)
            if row.below:
                painter.setFont(self._small.font)
                painter.setPen(look.muted)
                below = top + self._plain.height + _BAR_PX
                self._small.draw(painter, 2 * _PAD, below, row.below, max(self.width() - 3 * _PAD, 1))
            painter.fillRect(0, area.bottom(), self.width(), 1, look.grid)
        if self._closing:
            painter.setFont(self._small.font)
            painter.setPen(look.muted)
            top = self._head_height() + rows_height + _PAD
            self._small.draw(painter, _PAD, top, self._closing, max(self.width() - 2 * _PAD, 1))
        self._paint_choice(painter)

    def _paint_head(self, painter: QPainter, badge: Badge, left: int, across: int) -> None:
        face, look = self._badge_face, self._look
        side = badge_side(face)
        name = badge.name if self._names_fit(across) else ""
        width = side + _PAD + self._small.width(name)
        x = left + max(across - width - _PAD, 0)
        draw_badge(painter, face, look, badge, x, 0)
        painter.setFont(self._small.font)
        painter.setPen(look.ink if badge.edited else look.muted)
        self._small.draw(painter, x + side + _PAD, (side - self._small.height) // 2, name)

    def _paint_cell(self, painter: QPainter, cell: ShareCell, left: int, top: int, across: int, words: bool) -> None:
        look, right = self._look, left + across - _PAD
        painter.setFont(self._plain.font)
        painter.setPen(look.ink if cell.fraction > 0 else look.muted)
        begin = self._plain.draw_right(painter, right, top, cell.text)
        if cell.sign:
            painter.setFont(self._small.font)
            painter.setPen(look.muted)
            sign = f"{cell.sign} {cell.word}" if words and cell.word else cell.sign
            baseline = top + self._plain.ascent - self._small.ascent
            self._small.draw_right(painter, begin - _GAP if cell.text else right, baseline, sign)
        room = across - 2 * _PAD - _GAP
        painter.fillRect(
            right - room, top + self._plain.height, round(room * min(cell.fraction, 1.0)), _BAR_PX, look.muted
        )

    # --- hands ------------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        before = self._chosen
        super().keyPressEvent(event)
        if self._chosen != before:
            self._describe()
            area = self.areas()[self._chosen]
            self.strode.emit(area.top(), area.height())

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip and self.hint_for is not None:
            k = self.line_at(event.pos())
            QToolTip.showText(event.globalPos(), self.hint_for(k) if k >= 0 else "", self)
            return True
        return super().event(event)
