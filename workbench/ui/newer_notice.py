"""A quiet notice at the bottom of the window: ingredients of the open project read otherwise in their tables today."""

from PySide6.QtCore import Qt, QTimer, Slot
from PySide6.QtWidgets import QToolButton, QWidget

from workbench.base.text import _
from workbench.document.edits import Change
from workbench.document.project import Project
from workbench.ui.session import Session

_LOOK_AFTER_MS = 250  # tables are read then, and nobody waits for this


class NewerNotice(QToolButton):
    """Shown only while something differs; pressing it leads to what."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setAutoRaise(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.hide()
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_LOOK_AFTER_MS)
        self._later.timeout.connect(self.look)
        session.documentChanged.connect(self._changed)
        self._later.start()

    def _changed(self, _project: Project, change: Change) -> None:
        if change & Change.FOODS and not self._session.previewing:
            self._later.start()

    @Slot()
    def look(self) -> None:
        """Look now."""
        from workbench.recipe.newer_values import find_newer_here
        from workbench.recipe.newer_words import newer_summary

        newer = find_newer_here(self._session.project)
        self.setText(_("• {summary} …", summary=newer_summary(newer)) if newer else "")
        self.setVisible(bool(newer))
