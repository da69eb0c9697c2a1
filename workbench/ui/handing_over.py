"""Handing over: one form for all that leaves the workbench."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QWidget

from workbench.base.text import _
from workbench.ui.actions import UserAction
from workbench.ui.documents import Documents
from workbench.ui.messages import Messages
from workbench.ui.session import Session

if TYPE_CHECKING:
    from workbench.ui.dialogs.hand_over_dialog import HandOverDialog
    from workbench.ui.dialogs.hand_over_job import HandOver


class HandingOver(QObject):
    """Opens the form, and keeps its choices as long as the window lives."""

    def __init__(
        self, session: Session, messages: Messages, documents: Documents, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._messages = messages
        self._documents = documents
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
        from workbench.ui.dialogs.hand_over_job import HandOver

        session = self._session
        session.commit()
        project = session.project
        choice = self._choice or HandOver()
        if project.id != self._project_id:  # the words and dates belong to a batch, the paper to the printer
            choice = choice._replace(left_out=frozenset(), title="", made=None, use_by=None, lot="")
            self._folder = None
        folder = self._folder or self._documents.folder
        evaluations = [session.evaluation_of(variant.id) for variant in project.variants]
        dialog = HandOverDialog(
            project, evaluations, choice, folder, self._documents.stem, self._messages.ask_save_as, self._window
        )
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)

        def keep() -> None:
            self._choice, self._project_id, self._folder = dialog.choice(), project.id, dialog.folder

        dialog.finished.connect(keep)
        dialog.open()
        return dialog
