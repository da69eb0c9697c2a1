"""Opening the user's library for work beside the window, so that what was found on opening is told however it ends."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from workbench.base.errors import WorkbenchError
from workbench.base.text import _

if TYPE_CHECKING:
    from workbench.composition.library.store import Library

Notices = list[str]
"""What was found on opening, in words: damage, a back-up taken, write protection.  Filled on the work's thread, read
when it has ended."""


@contextmanager
def opened(notices: Notices) -> "Iterator[Library]":
    """The library, made where there is none; what is found on opening goes into ``notices``.

    Raises
    ------
    LibraryError
        If it cannot be opened.
    """
    from workbench.composition.library.store import Library

    with Library.open() as library:
        notices.extend(library.notices)
        yield library


def told(notices: Notices) -> list[str]:
    """The notices as they are shown, each once."""
    return [f"▲ {notice}" for notice in dict.fromkeys(notices)]


def without_library_words(error: WorkbenchError) -> str:
    """Why a search had to do without the library."""
    return _("▲ without the library: {why}", why=" ".join(error.lines()))
