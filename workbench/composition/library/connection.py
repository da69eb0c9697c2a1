"""Opening the library file, and saying in words what SQLite says in codes.

The file keeps a rollback journal beside it while it is written to, not a write-ahead log: a log needs memory shared by
all who read, which a network folder does not give.  With ``synchronous = FULL`` a power cut at any moment leaves the
library as before or as after.  While a large import writes, others wait or do without the library.
"""

import datetime
import sqlite3
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from workbench.base.errors import WorkbenchError
from workbench.base.files import FileLock, Holder, this_program
from workbench.base.text import N_, _
from workbench.composition.library import schema


class LibraryError(WorkbenchError):
    """The library could not be opened, read or written."""


class LibraryBusy(LibraryError):
    """Somebody else is writing to it; nothing is wrong with it."""


class LibraryDamaged(LibraryError):
    """The file is no sound database any more."""


_ELSEWHERE = N_("Check the folder, or the disk it is on.")
_FAILURES: dict[int, tuple[type[LibraryError], str, str]] = {
    sqlite3.SQLITE_BUSY: (
        LibraryBusy,
        N_("The library is being written to by another program."),
        N_("Try again in a moment; a large import can take minutes."),
    ),
    sqlite3.SQLITE_LOCKED: (LibraryBusy, N_("The library is being written to."), N_("Try again in a moment.")),
    sqlite3.SQLITE_FULL: (
        LibraryError,
        N_("The disk is full; the library is as it was before."),
        N_("Free some space and try again."),
    ),
    sqlite3.SQLITE_READONLY_ROLLBACK: (
        LibraryError,
        N_("A change of the library was broken off and cannot be taken back here."),
        N_("Open it once where its file and folder can be written to."),
    ),
    sqlite3.SQLITE_READONLY: (
        LibraryError,
        N_("The library is write-protected; it can be searched but not changed."),
        N_("Change the permissions of the file and its folder."),
    ),
    sqlite3.SQLITE_CANTOPEN: (LibraryError, N_("The library cannot be opened."), _ELSEWHERE),
    sqlite3.SQLITE_IOERR: (LibraryError, N_("The disk with the library does not answer as it should."), _ELSEWHERE),
    sqlite3.SQLITE_PERM: (LibraryError, N_("The library may not be opened."), N_("Change its permissions.")),
    sqlite3.SQLITE_CORRUPT: (
        LibraryDamaged,
        N_("The library is damaged."),
        N_("Open it again: the damaged file is then set aside and the last back-up taken."),
    ),
    sqlite3.SQLITE_NOTADB: (
        LibraryDamaged,
        N_("The file is not a library, or its beginning was overwritten."),
        N_("Open it again: the damaged file is then set aside and the last back-up taken."),
    ),
}

_LARGE_BYTES = 32_000_000  # a larger file is not read through whenever it is opened
_SMALL_TABLES = ("tag", "step", "published")
_doubtful: set[Path] = set()  # files in which damage was met since they were last read through
_WAIT_FOR_WRITER_S = 2.0


def in_words(error: sqlite3.Error, path: Path) -> LibraryError:
    """What the user is told."""
    code = getattr(error, "sqlite_errorcode", 0)
    if code & 0xFF in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        _doubtful.add(path.absolute())
    if found := _FAILURES.get(code) or _FAILURES.get(code & 0xFF):
        kind, summary, hint = found
        return kind(_(summary), hint=_(hint), where=str(path))
    return LibraryError(_("The library could not be used ({reason}).", reason=error), where=str(path))


@contextmanager
def worded(path: Path) -> Iterator[None]:
    """Turn what SQLite raises inside into a ``LibraryError``."""
    try:
        yield
    except sqlite3.Error as error:
        raise in_words(error, path) from error


def connect(path: Path, *, readonly: bool, patience_s: float, cache_kib: int = 8_000) -> sqlite3.Connection:
    """A connection to a file that exists.

    Raises
    ------
    sqlite3.Error
        If it cannot be opened.
    """
    mode = "ro" if readonly else "rw"
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=patience_s, isolation_level=None
    )
    connection.execute(f"PRAGMA cache_size = -{cache_kib}")
    connection.execute("PRAGMA trusted_schema = OFF")
    return connection


@contextmanager
def at_one_moment(connection: sqlite3.Connection) -> Iterator[None]:
    """See the library inside as it was at one moment, whoever writes meanwhile.

    Raises
    ------
    sqlite3.Error
        If the library cannot be read.
    """
    outermost = not connection.in_transaction
    if outermost:
        connection.execute("BEGIN")
    try:
        yield
    finally:
        if outermost and connection.in_transaction:  # what breaks off a statement may have ended it
            connection.execute("ROLLBACK")


def check(connection: sqlite3.Connection, path: Path, *, thoroughly: bool = False) -> int:
    """See whether the file is a sound library.

    Unless ``thoroughly``, only the small tables of a large file are read, so that it opens at once; but all of it where
    damage was met before.

    Returns
    -------
    int
        Its version; 0 if it is empty.

    Raises
    ------
    LibraryError
        If it is another program's file or of a newer version.
    LibraryDamaged
        If it is no sound database.
    """
    version, application = schema.version_of(connection), schema.application_of(connection)
    if application != schema.APPLICATION_ID and (application or not _is_empty(connection)):
        raise LibraryError(
            _("The file is a database of another program."), hint=_("Choose another file."), where=str(path)
        )
    if version > schema.VERSION:
        raise LibraryError(
            _("The library has version {version}; this program reads up to {current}.",
              version=version, current=schema.VERSION),
            hint=_("Open it with a newer version of the program."),
            where=str(path),
        )  # fmt: skip
    if version:
        doubtful = path.absolute() in _doubtful
        _quick_check(connection, path, whole=thoroughly or doubtful or path.stat().st_size < _LARGE_BYTES)
        _doubtful.discard(path.absolute())
    return version


def _is_empty(connection: sqlite3.Connection) -> bool:
    return connection.execute("SELECT 1 FROM sqlite_schema LIMIT 1").fetchone() is None


def _quick_check(connection: sqlite3.Connection, path: Path, *, whole: bool) -> None:
    for what in ("1",) if whole else _SMALL_TABLES:
        if connection.execute(f"PRAGMA quick_check({what})").fetchone()[0] != "ok":
            summary, hint = _FAILURES[sqlite3.SQLITE_CORRUPT][1:]
            raise LibraryDamaged(_(summary), hint=_(hint), where=str(path))


def give_memory_back() -> None:
    """Give to the system what a large import has freed: the C library of Linux keeps it, 55 MB after 400,000 foods."""
    if sys.platform == "linux":
        import ctypes

        trim = getattr(ctypes.CDLL(None), "malloc_trim", None)  # other C libraries have none, and keep nothing
        if trim is not None:
            trim(0)


@contextmanager
def only_writer(path: Path) -> Iterator[None]:
    """Be the only program that writes to the library, on this computer and any other.

    SQLite's own locks say nothing about who, and nothing at all on some network disks; the note beside the file does.

    Raises
    ------
    LibraryBusy
        If another program writes for longer than a moment; it says where and since when.
    """
    lock = FileLock(path)
    ends = time.monotonic() + _WAIT_FOR_WRITER_S
    while (holder := lock.acquire()) is not None:
        if holder == this_program() or time.monotonic() > ends:
            raise _busy(lock, holder, path)
        time.sleep(0.02)
    try:
        yield
    finally:
        lock.release()


def _busy(lock: FileLock, holder: Holder, path: Path) -> LibraryBusy:
    try:
        written = lock.path.stat().st_mtime
    except OSError:  # it has just been released
        written = time.time()
    since = datetime.datetime.fromtimestamp(written, datetime.UTC).astimezone()
    if holder == this_program():
        summary = _("The library is being written to in this window since {time}.", time=f"{since:%H:%M}")
        return LibraryBusy(summary, hint=_("Wait until that has ended, or stop it."), where=str(path))
    return LibraryBusy(
        _(
            "The library is being written to by another program on the computer “{host}” since {time}.",
            host=holder.host,
            time=f"{since:%Y-%m-%d %H:%M}",
        ),
        hint=_("Wait until that has ended. If that program no longer runs, delete the file {note}.", note=lock.path),
        where=str(path),
    )
