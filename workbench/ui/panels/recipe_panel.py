"""The recipe: its table, the columns that stand beside the amounts, and a hint where it is empty."""

from functools import partial

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtWidgets import QLabel, QMenu, QScrollBar, QVBoxLayout, QWidget

from workbench.base.settings import SettingsFile
from workbench.base.text import _
from workbench.document.project import Basis
from workbench.recipe.columns import USUAL_COLUMNS, Column, column_titles, read_basis, read_columns
from workbench.recipe.quantities import BASES, BASIS_TITLES
from workbench.ui.actions import UserAction
from workbench.ui.messages import Messages
from workbench.ui.models.recipe_model import RecipeModel
from workbench.ui.models.recipe_rows import FIGURES
from workbench.ui.session import Session
from workbench.ui.tables.column_widths import FigureWindow
from workbench.ui.tables.line_work import LineWork
from workbench.ui.tables.recipe_table import RecipeTable


class RecipePanel(QWidget):
    """The table, and a hint where it is empty."""

    stageActivated = Signal(str)
    figureActivated = Signal(str, str)  # key of a quantity, and the basis
    menuRequested = Signal(QPoint)  # on screen

    def __init__(
        self, session: Session, messages: Messages, parent: QWidget | None = None, settings: SettingsFile | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._messages = messages
        self._settings = settings
        self.model = RecipeModel(session, self)
        if settings is not None:
            remembered = settings.settings.columns
            columns = USUAL_COLUMNS if remembered is None else read_columns(remembered)
            self.model.choose_columns(columns, read_basis(settings.settings.brought_to))
        self.table = RecipeTable(session, self.model, messages, self)
        self.work = LineWork(session, self.table, messages)
        self.table.stageActivated.connect(self.stageActivated)
        self.table.figureActivated.connect(self.figureActivated)
        self.table.columnsRequested.connect(self.choose_columns)
        self.table.headerMenuRequested.connect(self._header_menu)
        self.table.customContextMenuRequested.connect(
            lambda at: self.menuRequested.emit(self.table.viewport().mapToGlobal(at))
        )
        self.hint = QLabel(_("Nothing here yet: type an ingredient into the line below and press Enter."), self)
        self.hint.setWordWrap(True)
        self.hint.setMargin(12)
        self.across = QScrollBar(Qt.Orientation.Horizontal, self)
        self.across.setAccessibleName(_("columns out of sight"))
        self.across.setPageStep(1)
        self.across.valueChanged.connect(self.table.show_figures_from)
        self.table.figuresMoved.connect(self._show_across)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.hint)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.across)
        self.setMinimumWidth(self.table.minimum_width())
        session.evaluated.connect(self._show_hint)
        self._show_hint()
        self._show_across(self.table.figures)

    def _show_hint(self) -> None:
        self.hint.setVisible(not self._session.variant.lines)

    def _show_across(self, window: FigureWindow) -> None:
        self.across.blockSignals(True)
        self.across.setRange(0, window.hidden)
        self.across.setPageStep(max(window.shown, 1))
        self.across.setValue(window.first)
        self.across.blockSignals(False)
        self.across.setVisible(0 < window.shown < window.of)

    def user_actions(self) -> tuple[UserAction, ...]:
        """What can be done with lines and columns."""
        return (
            *self.work.user_actions(),
            UserAction("view.columns", _("columns of the recipe …"), self.choose_columns, "Ctrl+Shift+K"),
            UserAction("view.column_left", _("move this column left"), lambda: self._move_column(-1), "Ctrl+Alt+Left"),
            UserAction(
                "view.column_right", _("move this column right"), lambda: self._move_column(1), "Ctrl+Alt+Right"
            ),
        )

    # --- columns ------------------------------------------------------------------------------------------------

    def choose_columns(self) -> None:
        """Ask which figures stand beside the amounts."""
        from workbench.ui.dialogs.columns_dialog import ask_columns  # loaded when it is first used

        answer = ask_columns(self.model.columns, self.model.basis, self.window())
        if answer is not None:
            self.show_columns(answer.columns, answer.basis)

    def show_columns(self, columns: tuple[Column, ...], basis: Basis) -> None:
        """Show these columns from now on."""
        self._session.commit()
        self.model.choose_columns(columns, basis)
        if self._settings is not None:
            self._settings.change(columns=tuple(column.name for column in columns), brought_to=basis)

    def _move_column(self, by: int) -> None:
        """Let the column of the current cell change places with its neighbour."""
        index = self.table.currentIndex()
        section = index.column()
        if self.model.column_at(section) is None:
            self._messages.notice(_("go to a figure first; its column is then moved"))
        elif self.model.column_at(section + by) is not None:
            self._swap(section - FIGURES, section - FIGURES + by)
            self.table.setCurrentIndex(self.model.index(index.row(), section + by))

    def _header_menu(self, section: int, at: QPoint) -> None:
        menu = self.header_menu(section)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(at)

    def header_menu(self, section: int) -> QMenu:
        """What can be done with a column, and with all."""
        menu, columns, basis = QMenu(self), list(self.model.columns), self.model.basis
        menu.addAction(_("columns of the recipe …"), self.choose_columns)
        chosen = self.model.column_at(section)
        if chosen is not None:
            at = columns.index(chosen)
            title = " ".join(column_titles(chosen, basis))
            menu.addSeparator()
            for words, by in ((_("move “{title}” left", title=title), -1), (_("move “{title}” right", title=title), 1)):
                action = menu.addAction(words, partial(self._swap, at, at + by))
                action.setEnabled(0 <= at + by < len(columns))
            rest = tuple(column for column in columns if column != chosen)
            menu.addAction(_("take “{title}” out", title=title), partial(self.show_columns, rest, basis))
        menu.addSeparator()
        bases = menu.addMenu(_("what is brought, to"))
        for one in BASES:
            action = bases.addAction(_(BASIS_TITLES[one]), partial(self.show_columns, tuple(columns), one))
            action.setCheckable(True)
            action.setChecked(one == basis)
        menu.addAction(_("the usual columns"), partial(self.show_columns, USUAL_COLUMNS, "portion"))
        return menu

    def _swap(self, one: int, other: int) -> None:
        columns = list(self.model.columns)
        columns[one], columns[other] = columns[other], columns[one]
        self.show_columns(tuple(columns), self.model.basis)
