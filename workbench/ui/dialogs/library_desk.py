"""What the parts of the library's dialog need of it."""

from collections.abc import Callable
from typing import Any, Protocol

from workbench.base.progress import Progress
from workbench.composition.library.store import Library

Work = Callable[[Library, Progress], Any]
Then = Callable[[Any], None]


class Desk(Protocol):
    """Where work on the library is done, one piece after the other."""

    def do(self, key: str, work: Work, then: Then, words: str = "") -> None:
        """Read something; ``then`` gets it.  Of several of one ``key`` that wait, the last is done."""

    def change(self, work: Work, then: Then | None = None) -> None:
        """Change something and show the library anew; ``then`` gets what the change gave."""

    def tell(self, words: str) -> None:
        """Say what has been done."""
