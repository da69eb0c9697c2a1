"""DescentLines: the variants that are compared, each under the one it was made from, with the note of that step."""

from typing import NamedTuple

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from workbench.ui.guard import guarded
from workbench.ui.plots.badges import Badge, badge_side, draw_badge
from workbench.ui.plots.faces import Face, sized
from workbench.ui.plots.painted_lines import ChosenLines
from workbench.ui.theme import mixed, number_font

_PAD, _GAP = 4, 6
_DEEPEST = 5


class VariantLine(NamedTuple):
    """One variant; ``facts`` are words behind its name, ``note`` a sentence below it."""

    badge: Badge
    depth: int
    facts: str
    note: str

    def words(self) -> str:
        """The line as it is read aloud."""
        return ". ".join(
            filter(None, (f"{self.badge.letter}, {self.badge.name}, {self.facts}".rstrip(", "), self.note))
        )


@guarded
class DescentLines(ChosenLines):
    """The lines; see ``ChosenLines`` for keys and signals.

    ``referenceAsked(k)`` (R) wants a variant to be the one the others are compared with, ``removalAsked(k)`` (Delete)
    wants it out of the comparison.
    """

    referenceAsked = Signal(int)
    removalAsked = Signal(int)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        self._lines: tuple[VariantLine, ...] = ()
        self._with_notes = True
        super().__init__(parent)
        self.setAccessibleName(name)
        self.make_choosable()

    @property
    def lines(self) -> tuple[VariantLine, ...]:
        """What is shown."""
        return self._lines

    def show_lines(self, lines: tuple[VariantLine, ...]) -> None:
        """Show other variants."""
        if lines != self._lines:
            self._lines = lines
            self._say([line.words() for line in lines])
            self._fit(may_shrink=True)

    def show_notes(self, shown: bool) -> None:
        """Show the notes, or only names."""
        self._with_notes = shown
        self._fit(may_shrink=True)

    def _note(self, line: VariantLine) -> str:
        return line.note if self._with_notes else ""

    def _make_faces(self) -> None:
        super()._make_faces()
        font = number_font(self.font())
        self._bold, self._badge_face = Face(sized(font, 1.0, bold=True)), Face(sized(font, 0.92, bold=True))

    # --- place ------------------------------------------------------------------------------------------------------

    def _step(self) -> int:
        return badge_side(self._badge_face) + _GAP

    def _left(self, line: VariantLine) -> int:
        return _PAD + min(line.depth, _DEEPEST) * self._step()

    def _text_left(self, line: VariantLine) -> int:
        return self._left(line) + self._step()

    def _facts_beside(self, line: VariantLine, width: int) -> bool:
        name, facts = self._bold.width(line.badge.name), self._small.width(line.facts)
        return self._text_left(line) + name + 2 * _GAP + facts <= width - _PAD

    def _height(self, line: VariantLine, width: int) -> int:
        room = max(width - self._text_left(line) - _PAD, 1)
        height = max(self._bold.height, badge_side(self._badge_face))
        if line.facts and not self._facts_beside(line, width):
            height += self._small.wrapped_height(line.facts, room)
        if note := self._note(line):
            height += self._small.wrapped_height(note, room)
        return height + _PAD

    def lines_height(self, width: int) -> int:
        return sum(self._height(line, width) for line in self._lines) + _PAD

    def areas(self) -> list[QRect]:
        found, top = [], 0
        for line in self._lines:
            height = self._height(line, self.width())
            found.append(QRect(0, top, self.width(), height))
            top += height
        return found

    # --- looks ------------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, look, areas = QPainter(self), self._look, self.areas()
        for area, line in zip(areas, self._lines, strict=True):
            if line.badge.edited:
                painter.fillRect(area, mixed(look.accent, look.panel, 0.12))
        self._paint_branches(painter, areas)
        for area, line in zip(areas, self._lines, strict=True):
            self._paint_line(painter, line, area)
        self._paint_choice(painter)

    def _paint_branches(self, painter: QPainter, areas: list[QRect]) -> None:
        """A line from each variant down to those that were made from it."""
        painter.setPen(QPen(self._look.muted, self._look.line_px))
        half = badge_side(self._badge_face) // 2
        for k, line in enumerate(self._lines):
            if not line.depth:
                continue
            parent = next((j for j in range(k - 1, -1, -1) if self._lines[j].depth < line.depth), None)
            if parent is None:
                continue
            x = self._left(self._lines[parent]) + half
            middle = areas[k].top() + _PAD // 2 + half
            painter.drawLine(x, areas[parent].top() + _PAD // 2 + 2 * half + 2, x, middle)
            painter.drawLine(x, middle, self._left(line) - 2, middle)

    def _paint_line(self, painter: QPainter, line: VariantLine, area: QRect) -> None:
        look, left, top = self._look, self._text_left(line), area.top() + _PAD // 2
        room = max(area.right() - left - _PAD, 1)
        draw_badge(painter, self._badge_face, look, line.badge, self._left(line), top)
        painter.setFont(self._bold.font)
        painter.setPen(look.ink)
        name = self._bold.elided(line.badge.name, room)
        self._bold.draw(painter, left, top, name)
        painter.setFont(self._small.font)
        painter.setPen(look.accent if line.badge.edited else look.muted)
        below = top + max(self._bold.height, badge_side(self._badge_face))
        if line.facts:
            if self._facts_beside(line, self.width()):
                x = left + self._bold.width(name) + 2 * _GAP
                self._small.draw(painter, x, top + self._bold.ascent - self._small.ascent, line.facts)
            else:
                self._small.draw(painter, left, below, line.facts, room)
                below += self._small.wrapped_height(line.facts, room)
        if note := self._note(line):
            painter.setPen(look.muted)
            self._small.draw(painter, left, below, note, room)

    # --- hands ------------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier and bool(self._lines)
        if plain and event.key() == Qt.Key.Key_R:
            self.referenceAsked.emit(self._chosen)
        elif plain and event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removalAsked.emit(self._chosen)
        else:
            super().keyPressEvent(event)
