"""Long work on a thread of its own, while the window goes on; one piece at a time for each user of this class.

The thread touches nothing of Qt.  How far it has come, and that it has ended, is looked at by a timer.
"""

import threading
from collections.abc import Callable
from typing import Any, NamedTuple

from PySide6.QtCore import QObject, QTimer, Signal

from workbench.base.errors import WorkbenchError
from workbench.base.progress import Progress
from workbench.base.text import _

_LOOKED_AT_EVERY_MS = 40


class Outcome(NamedTuple):
    """What work came to; ``error`` is None if it went well."""

    value: Any = None
    error: WorkbenchError | None = None


class _Watched(Progress):
    """Keeps what the work says, and what it came to, to be read by another thread."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: tuple[int, int | None] = (0, None)
        self.outcome: Outcome | None = None

    def shown(self, done: int, total: int | None) -> None:
        self.seen = (done, total)


class Background(QObject):
    """Runs work and tells of it on the window's thread.

    ``progressed(percent)`` says how far it has come, -1 where that is not known; ``ended(outcome)`` comes once.
    """

    progressed = Signal(int)
    ended = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._thread: threading.Thread | None = None
        self._progress = _Watched()
        self._timer = QTimer(self)
        self._timer.setInterval(_LOOKED_AT_EVERY_MS)
        self._timer.timeout.connect(self._look)

    @property
    def running(self) -> bool:
        """Whether work is under way."""
        return self._thread is not None

    def start(self, work: Callable[[Progress], object]) -> None:
        """Begin; the work gets the progress it reports to.  An earlier piece must have ended."""
        assert self._thread is None
        progress = self._progress = _Watched()

        def run() -> None:
            try:
                progress.outcome = Outcome(work(progress))
            except WorkbenchError as error:
                progress.outcome = Outcome(error=error)

        self._thread = threading.Thread(target=run, daemon=True)  # what it writes is whole or not at all
        self._thread.start()
        self._timer.start()

    def cancel(self) -> None:
        """Ask the work to stop; ``ended`` still comes."""
        self._progress.cancelled = True

    def wait(self, seconds: float) -> None:
        """Ask it to stop, and wait a while for that; ``ended`` does not come any more."""
        self._timer.stop()
        thread, self._thread = self._thread, None
        if thread is not None:
            self.cancel()
            thread.join(seconds)

    def _look(self) -> None:
        thread = self._thread
        if thread is None:
            return
        if thread.is_alive():
            done, total = self._progress.seen
            self.progressed.emit(min(100, 100 * done // total) if total else -1)
            return
        self._timer.stop()
        self._thread = None
        # A mistake of the program has gone to the last resort already (``threading.excepthook``).
        failed = Outcome(error=WorkbenchError(_("It broke off by a mistake of the program; nothing was changed.")))
        self.ended.emit(self._progress.outcome or failed)
