"""What is done about the library once after a window has come up, on a thread beside it."""

import string
from pathlib import Path

from workbench.base import paths
from workbench.base.progress import Progress
from workbench.composition.library.connection import LibraryBusy, worded
from workbench.composition.library.store import Library
from workbench.composition.search_ranking import typed_words


def wake(path: Path | None = None, progress: Progress | None = None, *, patience_s: float = 5.0) -> tuple[str, ...]:
    """Open the library once for writing, so that the searches, which only read, find it sound, up to date and awake.

    It is brought up to the version of this program, or set aside and its back-up taken where it is damaged; then what
    the first keystrokes will need is read from the disk.

    Parameters
    ----------
    path : Path, optional
        The user's own if None.  Where there is none, none is made.
    progress : Progress, optional
        May be stopped at any time.
    patience_s : float
        How long to wait for another program that is just writing. [s]

    Returns
    -------
    tuple of str
        What the user has to be told, see ``Library.notices``.

    Raises
    ------
    LibraryError
        If it cannot be opened; not where another program is just writing to it.
    Cancelled
        If ``progress`` is stopped.
    """
    path = paths.library() if path is None else path
    progress = progress or Progress()
    if not path.exists():
        return ()
    try:
        with Library.open(path, patience_s=patience_s) as library, worded(path):
            for text in ("", *string.ascii_lowercase):
                progress.step(0)
                library.index.found(typed_words(text), 200, None, similar=False)
            return library.notices
    except LibraryBusy:
        return ()
