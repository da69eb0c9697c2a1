"""Handing over: one form for all that leaves the workbench."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QWidget

from workbench.base.settings import SettingsFile
from workbench.base.text import _
from workbench.document.project import Basis
from workbench.ui.actions import UserAction
from workbench.ui.comparing import Whole
from workbench.ui.documents import Documents
from workbench.ui.messages import Messages
from workbench.ui.session import Session

if TYPE_CHECKING:
    from workbench.ui.dialogs.hand_over_dialog import HandOverDialog
    from workbench.ui.dialogs.hand_over_job import HandOver


class HandingOver(QObject):
    """Opens the form.  The settings keep its choices; words and dates last as long as the window and the project.

    ``compared`` says what the comparison page compares, and per what.
    """

    def __init__(
        self,
        session: Session,
        messages: Messages,
        documents: Documents,
        settings: SettingsFile,
        compared: Callable[[], tuple[Whole, Basis | None]],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._messages = messages
        self._documents = documents
        self._settings = settings
        self._compared = compared
        self._window = parent
        self._choice: HandOver | None = None
        self._project_id = ""
        self._folder: Path | None = None

    def user_actions(self) -> tuple[UserAction, ...]:
        """What can be done."""
        return (UserAction("file.hand_over", _("hand over …"), self.open, "Ctrl+H"),)

    def open(self) -> "HandOverDialog":
        """The form over the window."""
        from workbench.ui.dialogs.hand_over_dialog import HandOverDialog  # it, the fonts and pages load when used
        from workbench.ui.dialogs.hand_over_job import Material
        from workbench.ui.dialogs.hand_over_memory import known_sheets, plain, plain_sheets, remembered

        session, settings = self._session, self._settings
        session.commit()
        project = session.project
        choice = self._choice or remembered(settings.settings.hand_over, project.measures)
        if project.id != self._project_id:  # the words and dates belong to a batch, the paper to the printer
            choice = choice._replace(left_out=frozenset(), title="", made=None, use_by=None, lot="")
            self._folder = None
        whole, basis = self._compared()
        choice = choice._replace(basis=basis or choice.basis)
        dialog = HandOverDialog(
            Material(project, tuple(session.evaluation_of(variant.id) for variant in project.variants), whole),
            choice,
            self._folder or self._documents.folder,
            self._documents.stem,
            self._messages.ask_save_as,
            self._window,
            sheets=known_sheets(settings.settings.label_sheets),
        )
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)

        def keep() -> None:
            self._choice, self._project_id, self._folder = dialog.choice(), project.id, dialog.folder
            settings.change(hand_over=plain(self._choice), label_sheets=plain_sheets(dialog.options.labels.sheets))

        dialog.finished.connect(keep)
        dialog.open()
        return dialog
