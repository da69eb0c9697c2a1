"""Taking rows of the recipe by the mouse: where they would land, and the line that shows it."""

from typing import NamedTuple

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QApplication, QTableView

from workbench.document.project import Variant
from workbench.ui.models.recipe_model import RecipeModel
from workbench.ui.models.recipe_rows import NAME, LineRow
from workbench.ui.theme import colours

_EDGE = 24  # px at the rim of the view where a drag scrolls it


class Landing(NamedTuple):
    """Where rows would be put: behind so many of the stage's lines that do not move, and the y of the line there."""

    stage_id: str
    position: int
    y: int


class RowDrag:
    """Rows in the hand, from the press on a name to the release."""

    def __init__(self, view: QTableView, model: RecipeModel, line_ids: list[str], start: QPoint) -> None:
        self._view = view
        self._model = model
        self._start = start
        self.line_ids = line_ids
        self.under_way = False
        self.landing: Landing | None = None

    def move(self, at: QPoint) -> None:
        """The mouse is here now."""
        if not self.under_way:
            if (at - self._start).manhattanLength() < QApplication.startDragDistance():
                return
            self.under_way = True
            self._view.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        bar, height = self._view.verticalScrollBar(), self._view.viewport().height()
        if at.y() < _EDGE or at.y() > height - _EDGE:
            bar.setValue(bar.value() + (-1 if at.y() < _EDGE else 1))
        self.landing = self._landing(at.y())
        self._view.viewport().update()

    def end(self) -> None:
        """The hand is empty again."""
        self._view.viewport().unsetCursor()
        self._view.viewport().update()

    def _landing(self, y: int) -> Landing:
        """The gap between two rows that is nearest; above the first stage's row there is none."""
        rows = self._model.rows
        gap = len(rows)
        for k in range(len(rows)):
            rect = self._view.visualRect(self._model.index(k, NAME))
            if y < rect.center().y():
                gap = k
                break
        gap = max(gap, 1)
        above = self._view.visualRect(self._model.index(gap - 1, NAME))
        position = 0
        for row in reversed(rows[:gap]):
            if not isinstance(row, LineRow):
                return Landing(row.id, position, above.bottom() + 1)
            position += row.id not in self.line_ids
        raise AssertionError("the first row is a stage")

    def paint(self) -> None:
        """The line where the rows would land; called after the view painted itself."""
        if self.landing is None:
            return
        painter = QPainter(self._view.viewport())
        accent, y, right = colours(self._view).accent, self.landing.y, self._view.viewport().width()
        painter.setPen(QPen(accent, 2))
        painter.drawLine(4, y, right - 4, y)
        painter.setBrush(accent)
        painter.drawEllipse(QPoint(5, y), 3, 3)
        painter.end()


def neighbour(variant: Variant, line_ids: list[str], by: int) -> tuple[str, int] | None:
    """Stage and position one place up or down for these lines together; over the edge of a stage into the next one.

    They come together at the place of the one that leads.  None where there is no further place.
    """
    chosen = [line for line in variant.lines if line.id in line_ids]
    if not chosen:
        return None
    leader = chosen[0] if by < 0 else chosen[-1]
    stages = [stage.id for stage in variant.stages]
    in_stage = [line for line in variant.lines if line.stage_id == leader.stage_id]
    resting = [line for line in in_stage if line.id not in line_ids]
    at = sum(line.id not in line_ids for line in in_stage[: in_stage.index(leader)]) + by
    if 0 <= at <= len(resting):
        return leader.stage_id, at
    k = stages.index(leader.stage_id) + by
    if not 0 <= k < len(stages):
        return None
    return stages[k], 0 if by > 0 else sum(line.stage_id == stages[k] for line in variant.lines)
