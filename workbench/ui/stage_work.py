"""Work on the stages of a variant, and on what the whole project assumes, as actions of the window."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QMenu, QWidget

from workbench.base.text import _
from workbench.document import edits
from workbench.document.project import Stage, new_id
from workbench.recipe.words import STAGE_KINDS
from workbench.ui.actions import UserAction
from workbench.ui.panels.recipe_panel import RecipePanel
from workbench.ui.session import Session

if TYPE_CHECKING:
    from workbench.ui.dialogs.stage_dialog import StageFigures


class StageWork(QObject):
    """Opens, adds and removes stages; the dialogs are loaded when they are first needed."""

    def __init__(self, session: Session, recipe: RecipePanel, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._recipe, self._window = session, recipe, window
        recipe.stageActivated.connect(self.open)

    def user_actions(self) -> tuple[UserAction, ...]:
        """Actions for the table of the window."""
        return (
            UserAction("stage.open", _("open the stage …"), self._open_current),
            UserAction("stage.add", _("add a stage …"), self.add),
            UserAction("stage.remove", _("remove the stage"), self.remove, enabled=self._several),
            UserAction("assumptions", _("assumptions …"), self.change_assumptions),
        )

    def _several(self) -> bool:
        return len(self._session.variant.stages) > 1

    def _open_current(self) -> None:
        self.open(self._recipe.table.current_stage_id())

    def open(self, stage_id: str) -> None:
        """Ask how a stage is done."""
        from workbench.ui.dialogs.stage_dialog import ask_stage

        session = self._session
        stage = next(stage for stage in session.variant.stages if stage.id == stage_id)
        answer = ask_stage(stage, self.figures(stage_id), self.judge, self._window)
        if answer is not None and answer != stage:
            session.apply(edits.set_stage(session.project, session.variant_id, answer))

    def add(self) -> None:
        """Ask for a new stage, behind the others."""
        from workbench.ui.dialogs.stage_dialog import StageFigures, ask_stage

        session = self._session
        weight = session.evaluation.finished_g
        answer = ask_stage(Stage(id=new_id()), StageFigures(weight, weight, {}), lambda _stage: "", self._window)
        if answer is not None:
            session.apply(edits.add_stage(session.project, session.variant_id, answer))
            self._recipe.table.choose(answer.id, 0)

    def remove(self) -> None:
        """Remove the current stage; its lines go to a neighbour."""
        session, stage_id = self._session, self._recipe.table.current_stage_id()
        session.apply(edits.remove_stage(session.project, session.variant_id, stage_id))

    def figures(self, stage_id: str) -> "StageFigures":
        """What the recipe says of a stage today."""
        from workbench.ui.dialogs.stage_dialog import StageFigures

        result, variant = self._session.evaluation, self._session.variant
        k = [stage.id for stage in variant.stages].index(stage_id)
        inside = [j for j, at in enumerate(result.prepared.line_stage) if at <= k]
        amounts = {variant.lines[j].id: float(result.edible_g[j]) for j in inside}
        return StageFigures(float(result.stage_in_g[k]), float(result.stage_out_g[k]), amounts)

    def judge(self, stage: Stage) -> str:
        """What is wrong with the recipe if the stage were so."""
        session = self._session
        tried = session.trial(edits.set_stage(session.project, session.variant_id, stage))
        findings = (p for p in tried.problems if p.severity == "error" or any(at.id == stage.id for at in p.where))
        return next((f"{problem.message} {problem.hint}" for problem in findings), "")

    def fill_menu(self, menu: QMenu) -> None:
        """The stages that the chosen lines can go to."""
        line = self._recipe.table.current_line()
        for k, stage in enumerate(self._session.variant.stages, 1):
            words = _("stage {n}  {name}", n=k, name=stage.name or _(STAGE_KINDS[stage.kind]))
            action = menu.addAction(words, partial(self._recipe.work.move_to_stage, stage.id))
            action.setEnabled(line is not None and line.stage_id != stage.id)

    def change_assumptions(self) -> None:
        """Ask which rules fill gaps."""
        from workbench.ui.dialogs.assumptions_dialog import ask_assumptions

        session = self._session
        answer = ask_assumptions(session.project.assumptions, self._window)
        if answer is not None and answer != session.project.assumptions:
            session.apply(edits.set_assumptions(session.project, answer))
