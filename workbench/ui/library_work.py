"""Work on the user's own library: what of it can be done from the window.  It is opened at its first use."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from workbench.base.errors import WorkbenchError
from workbench.base.progress import Progress
from workbench.base.settings import SettingsFile
from workbench.base.text import _
from workbench.composition.food import Food
from workbench.document.project import Line
from workbench.ui.actions import UserAction
from workbench.ui.background import Background, Outcome
from workbench.ui.library_opening import Notices, opened, told
from workbench.ui.messages import Messages
from workbench.ui.session import Session

if TYPE_CHECKING:
    from workbench.composition.imports.running import Report
    from workbench.composition.library.records import MadeFrom

_KEPT_KINDS = ("own", "bundled")  # what comes from the library is there already


class LibraryWork(QObject):
    """Imports, the dialog of the library, and what the project gives to it.

    Parameters
    ----------
    session : Session
    messages : Messages
    settings : SettingsFile
        Remembers what columns of foreign tables were taken for.
    current_line : callable
        The line of the recipe that is chosen.
    parent : QWidget
        The window.
    """

    changed = Signal()  # of the library

    def __init__(
        self,
        session: Session,
        messages: Messages,
        settings: SettingsFile,
        current_line: Callable[[], Line | None],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._session, self._messages, self._settings, self._window = session, messages, settings, parent
        self._current_line = current_line
        self._notices: Notices = []
        self._kept = ""  # name of the food that is being kept
        self.background = Background(self)
        self.background.ended.connect(self._was_kept)

    def user_actions(self) -> tuple[UserAction, ...]:
        """Actions for the table of the window."""
        return (
            UserAction("library.open", _("the library …"), self.open, "Ctrl+B"),
            UserAction("library.import", _("import a table into the library …"), self.import_table, "Ctrl+Shift+M"),
            UserAction(
                "library.keep",
                _("keep this ingredient in the library"),
                self.keep_ingredient,
                enabled=lambda: self._food() is not None,
            ),
            UserAction("library.keep_variant", _("keep this variant as an ingredient …"), self.keep_variant),
        )

    def open(self) -> None:
        """Show what is in the library."""
        from workbench.ui.dialogs.library_dialog import LibraryDialog

        dialog = LibraryDialog(self._window)
        dialog.exec()
        if dialog.has_changed:
            self.changed.emit()
        dialog.deleteLater()

    # --- tables -------------------------------------------------------------------------------------------------

    def import_table(self) -> None:
        """Ask for a table and take it in."""
        from workbench.ui.dialogs.import_dialog import ImportDialog

        dialog = ImportDialog(self._settings, self._window)
        dialog.imported.connect(self.was_imported)
        dialog.exec()
        dialog.deleteLater()

    def was_imported(self, report: "Report") -> None:
        """Say so below the window."""
        self.changed.emit()
        if report.summary is not None:
            self._messages.notice(_("the library has {n} foods of this table now", n=report.summary.total))

    # --- from the project -----------------------------------------------------------------------------------------

    def _food(self) -> Food | None:
        """The food of the chosen line that the library may keep."""
        line = self._current_line()
        if line is None or line.food_ref.kind not in _KEPT_KINDS:
            return None
        return self._session.project.foods.get(line.food_ref.id)

    def keep_ingredient(self) -> None:
        """Keep the ingredient of the chosen line; the project goes on with its own copy."""
        food = self._food()
        if food is not None:
            self._keep(food, None)

    def keep_variant(self) -> None:
        """Keep the finished food of the variant on screen, with its recipe; the same again replaces its figures."""
        from workbench.recipe.following import composite_of
        from workbench.ui.library_recipes import RECIPE_FILES, today

        session = self._session
        session.commit()
        project, variant = session.project, session.variant
        name = self._messages.ask_text(_("keep as an ingredient"), _("its name in the library"), variant.name)
        if name is None:
            return
        try:
            food, made_from = composite_of(project, variant, name, today(), RECIPE_FILES)
        except WorkbenchError as error:
            self._messages.error(error)
            return
        self._keep(food, made_from)

    def _keep(self, food: Food, made_from: "MadeFrom | None") -> None:
        if self.background.running:
            self._messages.notice(_("the library is being written to; try again in a moment"))
            return
        self._kept = food.name
        self._notices.clear()
        self.background.start(partial(_put, food, made_from, self._notices))

    def _was_kept(self, outcome: Outcome) -> None:
        said = told(self._notices)
        if outcome.error is not None:
            self._messages.error(outcome.error)
        else:
            said.append(_("“{name}” is in the library", name=self._kept))
            self.changed.emit()
        if said:
            self._messages.notice("   ".join(said))


def _put(food: Food, made_from: "MadeFrom | None", notices: Notices, _progress: Progress) -> None:
    with opened(notices) as library:
        before = library.entry(food.id)
        if before is not None and not food.packs:  # prices are kept in the library, and the project may have none
            food = replace(food, packs=before.food.packs)
        library.put(food, made_from=made_from)
