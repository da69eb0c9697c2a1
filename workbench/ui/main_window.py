"""The window: menus, layout and view state.  The work is done by the session, the documents and the panels."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QCloseEvent, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QSplitter, QToolBar, QVBoxLayout, QWidget

from workbench.base.settings import SettingsFile, Theme
from workbench.base.text import _
from workbench.document.project import Project
from workbench.ui.actions import ActionTable, UserAction
from workbench.ui.comparison_work import ComparisonWork
from workbench.ui.details import Details
from workbench.ui.documents import Documents, demo_names
from workbench.ui.guard import guarded
from workbench.ui.handing_over import HandingOver
from workbench.ui.library_upkeep import LibraryUpkeep
from workbench.ui.library_work import LibraryWork
from workbench.ui.matching import Matching
from workbench.ui.menus import LINE_MENU, VARIANT_MENU, Fill, Menus, fill_demos, fill_recent, fill_themes
from workbench.ui.messages import Messages
from workbench.ui.newer_notice import NewerNotice
from workbench.ui.panels.add_box import AddBox
from workbench.ui.panels.match_strip import MatchStrip
from workbench.ui.panels.portions_row import PortionsRow
from workbench.ui.panels.recipe_panel import RecipePanel
from workbench.ui.panels.results_panel import ResultsPanel
from workbench.ui.panels.variant_bar import VariantBar
from workbench.ui.session import Session
from workbench.ui.stage_work import StageWork

_USUAL, _ROOMY = QSize(1280, 720), QSize(1440, 900)  # at the first start; the roomy one shows all figures at once

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
        self.comparison = ComparisonWork(session, self._settings, self.messages, self.documents, self)
        self.handing_over = HandingOver(
            session, self.messages, self.documents, self._settings, self.comparison.at_hand, self
        )
        self.details = Details(session, self.recipe, self.results, self.comparison.page, self)
        self.comparison.shown.connect(self.details.show_comparison)
        self.comparison.figureActivated.connect(self.details.explain)
        self.library = LibraryWork(session, self.messages, self._settings, self.recipe.table.current_line, self)
        self.upkeep = LibraryUpkeep(session, self.messages, self.documents, self)
        self.stages = StageWork(session, self.recipe, self)
        self.newer = NewerNotice(session, self)
        self.newer.clicked.connect(self.details.show_newer)
        self.library.changed.connect(self.newer.look)
        self.upkeep.followed.connect(self.newer.look)
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
                *self.comparison.user_actions(),
                *self.library.user_actions(),
                *self.stages.user_actions(),
                UserAction(
                    "targets.help", _("what would help"), partial(self.details.show_help, self.matching), "Ctrl+Shift+W"
                ),
                UserAction("actions.list", _("find an action …"), self.list_actions, "Ctrl+K"),
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
        special = {"edit.undo": self._undo, "edit.redo": self._redo}
        fills: dict[str, Fill] = {
            "recent": partial(fill_recent, self.documents),
            "demos": partial(fill_demos, self.documents),
            "stages": self.stages.fill_menu,
            "themes": partial(fill_themes, self._settings, self.choose_theme),
        }
        table = self.action_table
        self.menus = Menus(self, lambda key: special.get(key) or table[key], fills, table.refresh)
        tools = QToolBar(_("undo and redo"), self)
        tools.setObjectName("undo_and_redo")
        tools.setMovable(False)
        tools.addAction(self._undo)
        tools.addAction(self._redo)
        tools.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        self._top.addWidget(tools)

    def _connect(self) -> None:
        session = self.session
        session.evaluated.connect(self._follow)
        session.undo_stack.cleanChanged.connect(self._follow)
        self.documents.titleChanged.connect(self._follow)
        self.recipe.menuRequested.connect(partial(self.menus.pop_up, LINE_MENU))
        self.recipe.table.selectionModel().selectionChanged.connect(self.action_table.refresh)
        self.variants.menuRequested.connect(partial(self.menus.pop_up, VARIANT_MENU))
        self.add_box.added.connect(self._go_to_line)
        self.match_strip.targetsAsked.connect(self.results.targets.edit)
        self.match_strip.helpAsked.connect(partial(self.details.show_help, self.matching))
        self.match_strip.closed.connect(self.recipe.table.setFocus)

    def list_actions(self) -> None:
        """Search all actions by their words, and run one."""
        from workbench.ui.dialogs.action_list import choose_action

        choose_action(self.action_table, self.menuBar(), self)

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
        room = self.screen().availableSize()
        roomy = room.width() > _ROOMY.width() and room.height() > _ROOMY.height()
        self.resize(_ROOMY if roomy else _USUAL)
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


def _column(*widgets: QWidget) -> QWidget:
    box = QWidget()
    layout = QVBoxLayout(box)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(0)
    for widget in widgets:
        layout.addWidget(widget)
    layout.setStretchFactor(widgets[0] if isinstance(widgets[0], RecipePanel) else widgets[-1], 1)
    return box
