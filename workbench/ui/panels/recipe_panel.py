"""The recipe: its table, a hint where it is empty, and what can be done with the current line."""

from collections.abc import Callable

from PySide6.QtCore import QPoint, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from workbench.base.text import _
from workbench.document import edits
from workbench.document.edits import Edit
from workbench.document.project import Line, Project
from workbench.ui.actions import UserAction
from workbench.ui.messages import Messages
from workbench.ui.models.recipe_model import AMOUNT, RecipeModel
from workbench.ui.session import Session
from workbench.ui.tables.recipe_table import RecipeTable


class RecipePanel(QWidget):
    """The table, and a hint where it is empty."""

    stageActivated = Signal(str)
    menuRequested = Signal(QPoint)  # on screen

    def __init__(self, session: Session, messages: Messages, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.model = RecipeModel(session, self)
        self.table = RecipeTable(session, self.model, messages, self)
        self.table.stageActivated.connect(self.stageActivated)
        self.table.customContextMenuRequested.connect(
            lambda at: self.menuRequested.emit(self.table.viewport().mapToGlobal(at))
        )
        self.hint = QLabel(_("Nothing here yet: type an ingredient into the line below and press Enter."), self)
        self.hint.setWordWrap(True)
        self.hint.setMargin(12)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.hint)
        layout.addWidget(self.table, 1)
        self.setMinimumWidth(self.table.minimum_width())
        session.evaluated.connect(self._show_hint)
        self._show_hint()

    def _show_hint(self) -> None:
        self.hint.setVisible(not self._session.variant.lines)

    # --- actions ------------------------------------------------------------------------------------------------

    def user_actions(self) -> tuple[UserAction, ...]:
        """What can be done with the current line."""
        table = self.table
        has_line = self._has_line
        return (
            UserAction("line.amount", _("type the amount"), self._type_amount, enabled=has_line),
            UserAction("line.lock", _("lock the amount"), table.toggle_lock, "L", has_line, self._is("lock"), table),
            UserAction(
                "line.as_bought",
                _("weighed as bought, before trimming"),
                lambda: self._switch(edits.set_as_bought, "as_bought"),
                enabled=lambda: (line := table.current_line()) is not None and line.food_ref.kind != "variant",
                checked=self._is("as_bought"),
            ),
            UserAction(
                "line.cooking_water",
                _("cooking water, inside the typical weight"),
                lambda: self._switch(edits.set_cooking_water, "cooking_water"),
                enabled=has_line,
                checked=self._is("cooking_water"),
            ),
            UserAction("line.up", _("move up"), lambda: self._move(-1), "Alt+Up", lambda: self._can_move(-1)),
            UserAction("line.down", _("move down"), lambda: self._move(1), "Alt+Down", lambda: self._can_move(1)),
            UserAction(
                "line.remove",
                _("remove"),
                lambda: table.remove(table.chosen_line_ids()),
                "Del",
                lambda: bool(table.chosen_line_ids()),
                only_in=table,
            ),
        )

    def _has_line(self) -> bool:
        return self.table.current_line() is not None

    def _is(self, field: str) -> Callable[[], bool]:
        return lambda: (line := self.table.current_line()) is not None and bool(getattr(line, field))

    def _type_amount(self) -> None:
        self.table.setFocus()
        self.table.setCurrentIndex(self.model.index(self.table.currentIndex().row(), AMOUNT))
        self.table.edit(self.table.currentIndex())

    def _switch(self, edit: Callable[[Project, str, str, bool], Edit], field: str) -> None:
        line = self.table.current_line()
        if line is not None:
            session = self._session
            session.apply(edit(session.project, session.variant_id, line.id, not getattr(line, field)))

    def move_to_stage(self, stage_id: str) -> None:
        """Put the current line at the end of another stage."""
        line = self.table.current_line()
        if line is not None and line.stage_id != stage_id:
            self._place(line, stage_id, len(self._stage_lines(stage_id)))

    def _stage_lines(self, stage_id: str) -> list[Line]:
        return [line for line in self._session.variant.lines if line.stage_id == stage_id]

    def _target(self, by: int) -> tuple[str, int] | None:
        """Stage and position one place up or down; over the edge of a stage into the next one."""
        line = self.table.current_line()
        if line is None:
            return None
        stages = [stage.id for stage in self._session.variant.stages]
        at = self._stage_lines(line.stage_id).index(line) + by
        if 0 <= at < len(self._stage_lines(line.stage_id)):
            return line.stage_id, at
        k = stages.index(line.stage_id) + by
        if not 0 <= k < len(stages):
            return None
        return stages[k], 0 if by > 0 else len(self._stage_lines(stages[k]))

    def _can_move(self, by: int) -> bool:
        return self._target(by) is not None

    def _move(self, by: int) -> None:
        line, target = self.table.current_line(), self._target(by)
        if line is not None and target is not None:
            self._place(line, *target)

    def _place(self, line: Line, stage_id: str, position: int) -> None:
        session = self._session
        session.apply(edits.move_line(session.project, session.variant_id, line.id, stage_id, position))
        self.table.choose(line.id)
