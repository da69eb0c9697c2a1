"""The window: menus, layout and view state.  The work is done by the session, the documents and the panels."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QActionGroup, QCloseEvent, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QMenu, QSplitter, QToolBar, QVBoxLayout, QWidget

from workbench.base.paths import demo_projects
from workbench.base.settings import SettingsFile, Theme
from workbench.base.text import N_, _
from workbench.document import edits
from workbench.document.project import Project, Stage, new_id
from workbench.recipe.words import STAGE_KINDS
from workbench.storage.recent import recent_files
from workbench.ui.actions import ActionTable, UserAction
from workbench.ui.details import Details
from workbench.ui.dialogs.assumptions_dialog import ask_assumptions
from workbench.ui.dialogs.stage_dialog import StageFigures, ask_stage
from workbench.ui.documents import SUFFIX, Documents
from workbench.ui.guard import guarded
from workbench.ui.handing_over import HandingOver
from workbench.ui.library_work import LibraryWork
from workbench.ui.matching import Matching
from workbench.ui.messages import Messages
from workbench.ui.newer_notice import NewerNotice
from workbench.ui.panels.add_box import AddBox
from workbench.ui.panels.match_strip import MatchStrip
from workbench.ui.panels.portions_row import PortionsRow
from workbench.ui.panels.recipe_panel import RecipePanel
from workbench.ui.panels.results_panel import ResultsPanel
from workbench.ui.panels.variant_bar import VariantBar
from workbench.ui.session import Session

_THEMES: dict[Theme, str] = {
    "system": N_("as the system"),
    "light": N_("light"),
    "dark": N_("dark"),
    "contrast": N_("high contrast"),
}
_LINE_MENU = (
    "line.amount line.lock line.as_bought line.cooking_water line.replace - line.scale line.group line.ungroup - "
    "line.up line.down @stages - details.ingredient - line.copy line.paste line.remove - "
    "stage.open stage.add stage.remove"
)
_VARIANT_MENU = (
    "variant.new variant.empty - variant.rename variant.describe variant.left variant.right - variant.delete"
)
_MENUS: tuple[tuple[str, str], ...] = (
    (
        N_("file"),
        "file.new file.open @recent @demos window.start_page - file.save file.save_as - file.hand_over - file.title - "
        "window.close",
    ),
    (
        N_("edit"),
        "edit.undo edit.redo - line.choose_all line.copy_all - targets.edit targets.match targets.accept "
        "targets.hold targets.help - assumptions",
    ),
    (N_("recipe"), f"line.add food.from_label food.edit details.newer - {_LINE_MENU}"),
    (N_("library"), "library.open library.import - library.keep library.keep_variant"),
    (N_("variants"), f"{_VARIANT_MENU} - details.substitutes variant.pantry - variant.next variant.previous"),
    (N_("view"), "details.why details.differences details.close - view.columns actions.list @themes"),
    (N_("help"), "window.guide"),
)


if TYPE_CHECKING:
    from workbench.ui.panels.start_page import StartPage


@guarded
class MainWindow(QMainWindow):
    """One window with one open project.

    Parameters
    ----------
    settings : SettingsFile
        Remembers geometry and theme.
    set_theme : callable
        Dresses the application.
    project : Project, optional
        What to begin with; an empty project where absent.
    messages : Messages, optional
        Another object to talk to the user, for tests.
    """

    def __init__(
        self,
        settings: SettingsFile,
        set_theme: Callable[[Theme], None],
        project: Project | None = None,
        messages: Messages | None = None,
    ) -> None:
        super().__init__()
        self._settings = settings
        self._set_theme = set_theme
        self.messages = messages or Messages(self, self.statusBar())
        self.session = Session(project, self)
        self.documents = Documents(self.session, self.messages, self)
        self.handing_over = HandingOver(self.session, self.messages, self.documents, self)
        self.action_table = ActionTable(self)
        self._start_page: StartPage | None = None
        self._lay_out()
        self._add_actions()
        self._make_menus()
        self._connect()
        self._restore()
        self._follow()
        self.recipe.table.setFocus()

    def _lay_out(self) -> None:
        session = self.session
        self.variants = VariantBar(session, self.messages, self)
        self.recipe = RecipePanel(session, self.messages, self, self._settings)
        self.add_box = AddBox(session, self.recipe.table.current_stage_id, self)
        self.portions = PortionsRow(session, self)
        self.results = ResultsPanel(session, self)
        self.matching = Matching(session, self.results.targets, self)
        self.match_strip = MatchStrip(self.matching, self)
        self.recipe.table.hand.edit_for = self.matching.edit_for
        self.details = Details(session, self.recipe, self.results, self)
        self.library = LibraryWork(session, self.messages, self._settings, self.recipe.table.current_line, self)
        self.newer = NewerNotice(session, self)
        self.newer.clicked.connect(self.details.show_newer)
        self.statusBar().addPermanentWidget(self.newer)
        self.splitter = QSplitter(Qt.Orientation.Horizontal, self)
        self.splitter.setChildrenCollapsible(False)
        self.splitter.addWidget(_column(self.recipe, self.match_strip, self.add_box))
        self.splitter.addWidget(_column(self.portions, self.results))
        self.splitter.setStretchFactor(0, 3)
        self.splitter.setStretchFactor(1, 2)
        self._top = QHBoxLayout()
        self._top.addWidget(self.variants, 1)
        area = _column(self.splitter)
        column = area.layout()
        if isinstance(column, QVBoxLayout):
            column.insertLayout(0, self._top)
        self.setCentralWidget(area)

    def _add_actions(self) -> None:
        self.action_table.add(
            (
                *self.documents.user_actions(),
                *self.handing_over.user_actions(),
                *self.recipe.user_actions(),
                *self.add_box.user_actions(),
                *self.variants.user_actions(),
                *self.results.user_actions(),
                *self.match_strip.user_actions(),
                *self.details.user_actions(),
                *self.library.user_actions(),
                UserAction(
                    "targets.help", _("what would help"), partial(self.details.show_help, self.matching), "Ctrl+Shift+W"
                ),
                UserAction("actions.list", _("find an action …"), self.list_actions, "Ctrl+K"),
                UserAction("stage.open", _("open the stage …"), self._open_current_stage),
                UserAction("stage.add", _("add a stage …"), self.add_stage),
                UserAction("stage.remove", _("remove the stage"), self.remove_stage, enabled=self._has_stages),
                UserAction("assumptions", _("assumptions …"), self.change_assumptions),
                UserAction("window.start_page", _("start page"), self.show_start_page),
                UserAction("window.guide", _("guide"), self.show_guide, "F1"),
                UserAction("window.close", _("close"), self.close, "Ctrl+Q"),
            )
        )

    def _make_menus(self) -> None:
        stack = self.session.undo_stack
        self._undo = stack.createUndoAction(self, _("undo"))
        self._undo.setShortcuts(QKeySequence.StandardKey.Undo)
        self._redo = stack.createRedoAction(self, _("redo"))
        self._redo.setShortcuts([QKeySequence("Ctrl+Shift+Z"), QKeySequence("Ctrl+Y")])
        for title, entries in _MENUS:
            self._fill(self.menuBar().addMenu(_(title)), entries)
        tools = QToolBar(_("undo and redo"), self)
        tools.setObjectName("undo_and_redo")
        tools.setMovable(False)
        tools.addAction(self._undo)
        tools.addAction(self._redo)
        tools.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        self._top.addWidget(tools)

    def _fill(self, menu: QMenu, entries: str) -> QMenu:
        """Entries by action id; "-" is a line, "@name" a menu made when it is opened."""
        special = {"edit.undo": self._undo, "edit.redo": self._redo}
        for entry in entries.split():
            if entry == "-":
                menu.addSeparator()
            elif entry.startswith("@"):
                self._add_submenu(menu, entry[1:])
            else:
                menu.addAction(special.get(entry) or self.action_table[entry])
        return menu

    def _add_submenu(self, menu: QMenu, name: str) -> None:
        makers: dict[str, tuple[str, Callable[[QMenu], None]]] = {
            "recent": (_("open recent"), self._fill_recent),
            "demos": (_("ready projects"), self._fill_demos),
            "stages": (_("to another stage"), self._fill_stages),
            "themes": (_("colours"), self._fill_themes),
        }
        title, fill = makers[name]
        submenu = menu.addMenu(title)
        submenu.aboutToShow.connect(partial(_refill, submenu, fill))

    def _fill_recent(self, menu: QMenu) -> None:
        for recent in recent_files():
            action = menu.addAction(str(recent.path), partial(self.documents.open, recent.path))
            action.setEnabled(recent.exists)
        if menu.isEmpty():
            menu.addAction(_("nothing was open yet")).setEnabled(False)

    def _fill_demos(self, menu: QMenu) -> None:
        for name in demo_names():
            menu.addAction(name.replace("_", " "), partial(self.documents.open_demo, name))

    def _fill_stages(self, menu: QMenu) -> None:
        line = self.recipe.table.current_line()
        for k, stage in enumerate(self.session.variant.stages, 1):
            words = _("stage {n}  {name}", n=k, name=stage.name or _(STAGE_KINDS[stage.kind]))
            action = menu.addAction(words, partial(self.recipe.work.move_to_stage, stage.id))
            action.setEnabled(line is not None and line.stage_id != stage.id)

    def _fill_themes(self, menu: QMenu) -> None:
        group = QActionGroup(menu)
        for theme, words in _THEMES.items():
            action = menu.addAction(_(words), partial(self.choose_theme, theme))
            action.setCheckable(True)
            action.setChecked(self._settings.settings.theme == theme)
            group.addAction(action)

    def _connect(self) -> None:
        session = self.session
        session.evaluated.connect(self._follow)
        session.undo_stack.cleanChanged.connect(self._follow)
        self.documents.titleChanged.connect(self._follow)
        self.recipe.stageActivated.connect(self.open_stage)
        self.recipe.menuRequested.connect(partial(self._pop_up, _LINE_MENU))
        self.recipe.table.selectionModel().selectionChanged.connect(self.action_table.refresh)
        self.variants.menuRequested.connect(partial(self._pop_up, _VARIANT_MENU))
        self.add_box.added.connect(self._go_to_line)
        self.match_strip.targetsAsked.connect(self.results.targets.edit)
        self.match_strip.helpAsked.connect(partial(self.details.show_help, self.matching))
        self.match_strip.closed.connect(self.recipe.table.setFocus)

    def list_actions(self) -> None:
        """Search all actions by their words, and run one."""
        from workbench.ui.dialogs.action_list import choose_action

        choose_action(self.action_table, self.menuBar(), self)

    def _pop_up(self, entries: str, at: QPoint) -> None:
        menu = self._fill(QMenu(self), entries)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(at)

    def _go_to_line(self, line_id: str) -> None:
        self.recipe.table.setFocus()
        self.recipe.table.choose(line_id)

    def _follow(self) -> None:
        """Title and possible actions; nothing of it changes during a drag."""
        if self.session.previewing:
            return
        documents = self.documents
        state = _(" (read only)") if documents.read_only else ""
        self.setWindowTitle(f"{documents.name}{state}[*] – Pocketfare")
        self.setWindowModified(documents.dirty)
        self.action_table.refresh()

    # --- stages and assumptions -------------------------------------------------------------------------------------

    def _has_stages(self) -> bool:
        return len(self.session.variant.stages) > 1

    def _open_current_stage(self) -> None:
        self.open_stage(self.recipe.table.current_stage_id())

    def open_stage(self, stage_id: str) -> None:
        """Ask how a stage is done."""
        session = self.session
        stage = next(stage for stage in session.variant.stages if stage.id == stage_id)
        answer = ask_stage(stage, self.stage_figures(stage_id), self.judge_stage, self)
        if answer is not None and answer != stage:
            session.apply(edits.set_stage(session.project, session.variant_id, answer))

    def add_stage(self) -> None:
        """Ask for a new stage, behind the others."""
        session = self.session
        stage = Stage(id=new_id())
        weight = session.evaluation.finished_g
        answer = ask_stage(stage, StageFigures(weight, weight, {}), lambda _stage: "", self)
        if answer is not None:
            session.apply(edits.add_stage(session.project, session.variant_id, answer))
            self.recipe.table.choose(answer.id, 0)

    def remove_stage(self) -> None:
        """Remove the current stage; its lines go to a neighbour."""
        session, stage_id = self.session, self.recipe.table.current_stage_id()
        session.apply(edits.remove_stage(session.project, session.variant_id, stage_id))

    def stage_figures(self, stage_id: str) -> StageFigures:
        """What the recipe says of a stage today."""
        result, variant = self.session.evaluation, self.session.variant
        k = [stage.id for stage in variant.stages].index(stage_id)
        inside = [j for j, at in enumerate(result.prepared.line_stage) if at <= k]
        amounts = {variant.lines[j].id: float(result.edible_g[j]) for j in inside}
        return StageFigures(float(result.stage_in_g[k]), float(result.stage_out_g[k]), amounts)

    def judge_stage(self, stage: Stage) -> str:
        """What is wrong with the recipe if the stage were so."""
        session = self.session
        tried = session.trial(edits.set_stage(session.project, session.variant_id, stage))
        findings = (p for p in tried.problems if p.severity == "error" or any(at.id == stage.id for at in p.where))
        return next((f"{problem.message} {problem.hint}" for problem in findings), "")

    def change_assumptions(self) -> None:
        """Ask which rules fill gaps."""
        session = self.session
        answer = ask_assumptions(session.project.assumptions, self)
        if answer is not None and answer != session.project.assumptions:
            session.apply(edits.set_assumptions(session.project, answer))

    # --- view state ---------------------------------------------------------------------------------------------

    def show_start_page(self) -> None:
        """Ways to begin, over the work area."""
        if self._start_page is None:
            from workbench.ui.panels.start_page import StartPage

            area, home = self.centralWidget(), self.recipe.table
            assert area is not None
            self._start_page = StartPage(self.session, self.documents, demo_names(), area, home)
        self._start_page.begin()

    def show_guide(self) -> None:
        """The guide, in a window of its own."""
        from workbench.ui.dialogs.guide_dialog import show_guide

        show_guide(self)

    def choose_theme(self, theme: Theme) -> None:
        """Dress the application, and remember it."""
        self._settings.change(theme=theme)
        self._set_theme(theme)

    def _restore(self) -> None:
        settings = self._settings.settings
        self.resize(1280, 720)
        if settings.window:
            from PySide6.QtCore import QByteArray  # 7 ms that a first start does not need

            self.restoreGeometry(QByteArray.fromBase64(settings.window.encode("ascii", "ignore")))
        self.splitter.setSizes(list(settings.splitter) or [768, 512])

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.documents.may_leave():
            event.ignore()
            return
        geometry = self.saveGeometry().toBase64().toStdString()
        self._settings.change(window=geometry, splitter=tuple(self.splitter.sizes()))
        self.documents.close()
        event.accept()


def demo_names() -> list[str]:
    """Names of the ready projects."""
    return sorted(path.stem for path in demo_projects().glob(f"*{SUFFIX}"))


def _column(*widgets: QWidget) -> QWidget:
    box = QWidget()
    layout = QVBoxLayout(box)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(0)
    for widget in widgets:
        layout.addWidget(widget)
    layout.setStretchFactor(widgets[0] if isinstance(widgets[0], RecipePanel) else widgets[-1], 1)
    return box


def _refill(menu: QMenu, fill: Callable[[QMenu], None]) -> None:
    menu.clear()
    fill(menu)
