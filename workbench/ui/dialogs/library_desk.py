"""Where work on the library is done, one piece after the other, on a thread beside the window's.

Each piece has a connection of its own.  What goes wrong, how far long work has come and a way to stop it stand in one
line below the library.
"""

from collections.abc import Callable
from functools import partial
from typing import Any, NamedTuple

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QVBoxLayout, QWidget

from workbench.base.progress import Progress
from workbench.base.text import _
from workbench.composition.library.store import Library
from workbench.ui.background import Background, Outcome
from workbench.ui.library_opening import Notices, opened, told

Work = Callable[[Library, Progress], Any]
Then = Callable[[Any], None]

_LONG_MS = 400  # work that takes longer shows how far it has come


class _Job(NamedTuple):
    work: Work
    then: Then
    words: str


def _do(work: Work, notices: Notices, progress: Progress) -> object:
    with opened(notices) as library:
        return work(library, progress)


class Desk(QWidget):
    """The line.  ``changed()`` comes after every change of the library, ``rested()`` when nothing is left to do."""

    changed = Signal()
    rested = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._waiting: dict[str, _Job] = {}
        self._running: _Job | None = None
        self._n_changes = 0
        self._notices: Notices = []
        self._n_told = 0
        self._said = ""
        self.failed = False  # any piece of work since this was set
        self.background = Background(self)
        self.background.progressed.connect(self._progressed)
        self.background.ended.connect(self._ended)
        self._long = QTimer(self)
        self._long.setSingleShot(True)
        self._long.setInterval(_LONG_MS)
        self._long.timeout.connect(self._show_bar)
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)  # a file's words are never markup
        self.message.setWordWrap(True)
        self.bar = QProgressBar(self)
        self.bar.setAccessibleName(_("progress"))
        self.stop_button = QPushButton(_("stop"), self)
        self.stop_button.setAutoDefault(False)
        self.stop_button.clicked.connect(self.stop)
        row = QHBoxLayout()
        row.addWidget(self.bar, 1)
        row.addWidget(self.stop_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.message)
        column.addLayout(row)
        self._hide_bar()

    # --- work -----------------------------------------------------------------------------------------------------

    def do(self, key: str, work: Work, then: Then, words: str = "") -> None:
        """Queue work on the library; ``then`` gets what it gave.  ``words`` say so, where the user has asked for it.

        Of several of one ``key`` that wait, the last is done.
        """
        self._waiting[key] = _Job(work, then, words)
        self._next()

    def change(self, work: Work, then: Then | None = None) -> None:
        """Change the library; it is then shown anew."""
        self._n_changes += 1  # each is done, none stands for another
        self.do(f"change {self._n_changes}", work, partial(self._was_changed, then), _("writing …"))

    def _was_changed(self, then: Then | None, value: object) -> None:
        self.changed.emit()
        if then is not None:
            then(value)

    @property
    def resting(self) -> bool:
        """Whether nothing is under way or waits."""
        return not (self.background.running or self._waiting)

    @property
    def asked(self) -> bool:
        """Whether something that the user asked for is under way or waits."""
        under_way = [self._running] if self._running is not None else []
        return any(job.words for job in (*under_way, *self._waiting.values()))

    def _next(self) -> None:
        if self.background.running:
            return
        if not self._waiting:
            self.rested.emit()
            return
        job = self._running = self._waiting.pop(next(iter(self._waiting)))
        if job.words:
            self.message.setText(job.words)
        self._long.start()
        self.background.start(partial(_do, job.work, self._notices))

    def _ended(self, outcome: Outcome) -> None:
        job, self._running = self._running, None
        assert job is not None
        self._hide_bar()
        n_notices = len(told(self._notices))
        if outcome.error is not None:
            self.failed = True
            self.tell("▲ " + "\n".join(outcome.error.lines()))
        else:
            if job.words or n_notices > self._n_told:
                self.tell("" if job.words else self._said)
            job.then(outcome.value)
        self._n_told = n_notices
        self._next()

    # --- words ----------------------------------------------------------------------------------------------------

    def tell(self, words: str) -> None:
        """Say what has been done, below what was found on opening."""
        self._said = words
        self.message.setText("\n".join(filter(None, (*told(self._notices), words))))

    def _show_bar(self) -> None:
        self.bar.setRange(0, 0)
        self.bar.show()
        self.stop_button.setEnabled(True)
        self.stop_button.show()

    def _hide_bar(self) -> None:
        self._long.stop()
        self.bar.hide()
        self.stop_button.hide()

    def _progressed(self, percent: int) -> None:
        self.bar.setRange(0, 100 if percent >= 0 else 0)
        self.bar.setValue(max(percent, 0))

    # --- ending ---------------------------------------------------------------------------------------------------

    def stop(self) -> None:
        """Ask what is under way to stop; nothing of it is kept."""
        if self.background.running:
            self.background.cancel()
            self.message.setText(_("stopping …"))
            self.stop_button.setEnabled(False)

    def close_down(self) -> None:
        """Let go of whatever is still being read: it changes nothing, and nobody has to wait for it."""
        self._waiting.clear()
        self._hide_bar()
        self.background.wait(0.0)
        self._running = None
