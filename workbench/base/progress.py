"""How far long work has come, and the wish to stop it.

The work calls ``step`` at least ten times a second; whoever started it overrides ``shown`` to see the figures, and sets
``cancelled`` from any thread to have the next step raise ``Cancelled``.
"""

from workbench.base.errors import WorkbenchError
from workbench.base.text import _


class Cancelled(WorkbenchError):
    """Long work was stopped on request; what it had begun has been taken back."""

    def __init__(self) -> None:
        super().__init__(_("Stopped on request; nothing was changed."))


class Progress:
    """Progress that nobody watches; the base of those that somebody does."""

    def __init__(self) -> None:
        self.cancelled = False

    def step(self, done: int, total: int | None = None) -> None:
        """Say how much is done.

        Parameters
        ----------
        done : int
            Units of work behind us (rows, bytes: only the proportion matters).
        total : int, optional
            All there are; None where that is not known.

        Raises
        ------
        Cancelled
            If the work is to stop.
        """
        if self.cancelled:
            raise Cancelled
        self.shown(done, total)

    def shown(self, done: int, total: int | None) -> None:
        """Show the figures; does nothing here.  It runs on the thread that does the work."""
