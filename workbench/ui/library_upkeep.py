"""What a window does about the library by itself, beside the work.

Once after it has come up, the library is looked over: mended where it is damaged, and read so far that the first search
finds it awake.  Composite ingredients follow the project on screen, whenever what is shown is what its file holds.
"""

import datetime
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from workbench.base import paths
from workbench.base.progress import Progress
from workbench.base.text import _, plural
from workbench.document.project import Project
from workbench.ui.background import Background, Outcome
from workbench.ui.documents import Documents
from workbench.ui.library_opening import Notices, opened, told, without_library_words
from workbench.ui.messages import Messages
from workbench.ui.session import Session

if TYPE_CHECKING:
    from workbench.recipe.following import Followed

_WAKE_AFTER_MS = 200
_LOOK_AFTER_MS = 300  # beside the work; nobody waits for it


class LibraryUpkeep(QObject):
    """Says below the window what was found and done, and by ``followed()`` that a composite has followed its recipe."""

    followed = Signal()

    def __init__(self, session: Session, messages: Messages, documents: Documents, parent: QObject) -> None:
        super().__init__(parent)
        self._session, self._messages, self._documents = session, messages, documents
        self._seen: Project | None = None
        self._path: Path | None = None
        self._notices: Notices = []
        self._n_told = 0
        self._recipes: dict[str, bytes] = {}  # that were followed, by composite
        self._then: Callable[[Outcome], None] = self._awake
        self.background = Background(self)
        self.background.ended.connect(self._ended)
        self.first = QTimer(self)
        self.first.setSingleShot(True)
        self.first.timeout.connect(self.wake)
        self.first.start(_WAKE_AFTER_MS)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_LOOK_AFTER_MS)
        self._later.timeout.connect(self.look)
        documents.titleChanged.connect(self._later.start)

    def _ended(self, outcome: Outcome) -> None:
        self._then(outcome)

    @Slot()
    def wake(self) -> None:
        """Look the library over, if there is one."""
        if not paths.library().exists() or self.background.running:
            return
        self._then = self._awake
        self.background.start(_wake)

    def _awake(self, outcome: Outcome) -> None:
        if outcome.error is not None:
            self._messages.notice(without_library_words(outcome.error))
        elif outcome.value:
            self._messages.notice("   ".join(told(list(outcome.value))))

    @Slot()
    def look(self) -> None:
        """Look now, on a thread beside the window's."""
        project, path = self._session.base, self._documents.path
        if self._documents.dirty or path is None or project is self._seen:
            return
        if self.background.running:
            self._later.start()
            return
        opened_now = path != self._path
        self._seen, self._path = project, path
        if not paths.library().exists():
            return
        saved = _written(path) if opened_now else ""
        self._then = self._looked
        self.background.start(partial(_follow, project, saved, dict(self._recipes), self._notices))

    def _looked(self, outcome: Outcome) -> None:
        said = told(self._notices)[self._n_told :]  # each is told once in a window
        self._n_told += len(said)
        if outcome.error is not None:
            said.append(_("the library was not looked at: {reason}", reason=outcome.error.summary))
            self._messages.notice("   ".join(said))
            return
        followed: Followed = outcome.value
        self._recipes.update(followed.recipes)
        if followed.names:
            self.followed.emit()
            names = ", ".join(f"“{name}”" for name in followed.names)
            said.append(
                plural(
                    "{names} in the library follows its recipe; the library can undo that",
                    "{names} in the library follow their recipes; the library can undo that",
                    len(followed.names),
                    names=names,
                )
            )
        said += [
            _("▲ “{name}” in the library could not follow its recipe: {reason}", name=name, reason=error.summary)
            for name, error in followed.failed
        ]
        if said:
            self._messages.notice("   ".join(said))


def _written(path: Path) -> str:
    """When a file was written; the distant past where that cannot be told, so that nothing follows it."""
    try:
        at = path.stat().st_mtime
    except OSError:
        return "0000"
    return datetime.datetime.fromtimestamp(at, datetime.UTC).isoformat(timespec="seconds")


def _wake(progress: Progress) -> tuple[str, ...]:
    from workbench.composition.library.waking import wake

    return wake(progress=progress)


def _follow(
    project: Project, saved: str, recipes: dict[str, bytes], notices: Notices, _progress: Progress
) -> "Followed":
    from workbench.recipe.following import Moment, follow
    from workbench.ui.library_recipes import RECIPE_FILES, today

    with opened(notices) as library:
        return follow(project, library, Moment(today(), saved, recipes), RECIPE_FILES)
