"""What a page of the side panel is; pages and panel know this, and not each other."""

from typing import Any

from PySide6.QtWidgets import QWidget


class SidePage(QWidget):
    """A page.  It listens to nothing by itself: the panel calls ``follow`` while the page is in sight."""

    def begin(self, **what: Any) -> None:
        """Show something; called each time the page is opened."""
        raise NotImplementedError

    def follow(self) -> None:
        """Take up the session's present figures."""
        raise NotImplementedError
