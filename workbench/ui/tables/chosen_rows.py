"""Which rows of the recipe are current and chosen, kept while the table is made anew."""

from PySide6.QtCore import QItemSelectionModel, QModelIndex
from PySide6.QtWidgets import QTableView

from workbench.document.project import Line
from workbench.ui.models.recipe_model import RecipeModel
from workbench.ui.models.recipe_rows import NAME, SLIDER, StageRow
from workbench.ui.session import Session

_SELECT = QItemSelectionModel.SelectionFlag.Select | QItemSelectionModel.SelectionFlag.Rows
_CHOOSE = _SELECT | QItemSelectionModel.SelectionFlag.Clear


class ChosenRows:
    """The current row and the chosen ones of a table, by the ids of lines and stages."""

    def __init__(self, view: QTableView, model: RecipeModel, session: Session) -> None:
        self._view, self._model, self._session = view, model, session
        self._project_id = session.project.id
        self._kept: tuple[str, int, int] = ("", 0, SLIDER)  # current item, row and column over a reset
        self._kept_choice: list[str] = []

    def line(self) -> Line | None:
        """The line with the keyboard's attention."""
        row = self._model.line_row(self._view.currentIndex())
        return row.line if row else None

    def stage_id(self) -> str:
        """The stage the current row belongs to; the first one if none is current."""
        row = self._model.row(self._view.currentIndex())
        if isinstance(row, StageRow):
            return row.id
        return row.line.stage_id if row else self._session.variant.stages[0].id

    def line_ids(self) -> list[str]:
        """Ids of the selected lines, from the top."""
        indexes = sorted(self._view.selectionModel().selectedRows(NAME), key=QModelIndex.row)
        return [row.id for index in indexes if (row := self._model.line_row(index)) is not None]

    def choose(self, item_id: str, column: int = SLIDER) -> None:
        """Make a line or stage the current one."""
        at = self._model.row_of(item_id)
        if at >= 0:
            self.go_to(at, column)

    def go_to(self, row: int, column: int) -> None:
        """Make a cell current and its row the only one chosen, whatever keys are down: a shortcut may be under way."""
        self._view.selectionModel().setCurrentIndex(self._model.index(row, column), _CHOOSE)

    def choose_all(self, line_ids: list[str]) -> None:
        """Select these lines; the first of them is current."""
        rows = sorted(at for at in map(self._model.row_of, line_ids) if at >= 0)
        if rows:
            self.go_to(rows[0], SLIDER)
        for at in rows:
            self._view.selectionModel().select(self._model.index(at, NAME), _SELECT)

    def remember(self) -> None:
        """Before the table is made anew."""
        index = self._view.currentIndex()
        row = self._model.row(index)
        same = self._project_id == self._session.project.id
        self._project_id = self._session.project.id
        self._kept = (row.id, index.row(), index.column()) if row and same else ("", 0, SLIDER)
        self._kept_choice = self.line_ids() if same else []

    def restore(self) -> None:
        """After it; in place of what was removed the one that stands there now, at the start the first ingredient."""
        rows = self._model.rows
        item_id, was_at, column = self._kept
        at = self._model.row_of(item_id)
        if at < 0:
            at = min(was_at, len(rows) - 1) if item_id else min(1, len(rows) - 1)
        self.go_to(at, min(column, self._model.remove_column))
        for line_id in self._kept_choice if len(self._kept_choice) > 1 else ():
            self._view.selectionModel().select(self._model.index(self._model.row_of(line_id), NAME), _SELECT)
