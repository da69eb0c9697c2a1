"""A quiet notice at the bottom of the window: ingredients of the open project read otherwise in their tables today."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Slot
from PySide6.QtWidgets import QToolButton, QWidget

from workbench.base import paths
from workbench.base.progress import Progress
from workbench.base.text import _
from workbench.document.edits import Change
from workbench.document.project import Project
from workbench.ui.background import Background, Outcome
from workbench.ui.session import Session

if TYPE_CHECKING:
    from workbench.recipe.newer_values import NewerValues

_LOOK_AFTER_MS = 250  # tables are read then, and nobody waits for this


class NewerNotice(QToolButton):
    """Shown only while something differs; pressing it leads to what."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setAutoRaise(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.hide()
        self._again = False  # another look was asked for while one runs
        self.background = Background(self)
        self.background.ended.connect(self._looked)
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
        """Look now; a library is read beside the window, for another program may be writing it."""
        from workbench.composition.bundled import bundled_foods
        from workbench.recipe.newer_values import find_newer_here

        if self.background.running:
            self._again = True
            return
        if not paths.library().exists():
            self._show(find_newer_here(self._session.project))
            return
        bundled_foods()  # read here, so that two threads never read it at once
        self.background.start(partial(_look, self._session.project))

    def _looked(self, outcome: Outcome) -> None:
        if self._again:  # what was found may be of another project
            self._again = False
            self.look()
        elif outcome.error is None:
            self._show(outcome.value)

    def _show(self, newer: "NewerValues") -> None:
        from workbench.recipe.newer_words import newer_summary

        self.setText(_("• {summary} …", summary=newer_summary(newer)) if newer else "")
        self.setVisible(bool(newer))


def _look(project: Project, _progress: Progress) -> "NewerValues":
    from workbench.recipe.newer_values import find_newer_here

    return find_newer_here(project)
