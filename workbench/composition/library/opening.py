"""Opening a library: made where there is none, brought up to date, set aside where it is damaged."""

import contextlib
import os
import sqlite3
from pathlib import Path
from typing import NamedTuple

from workbench.base.progress import Progress
from workbench.base.text import _
from workbench.composition.library import backup, schema
from workbench.composition.library.connection import (
    LibraryDamaged,
    LibraryError,
    check,
    connect,
    in_words,
    only_writer,
    worded,
)


class Opened(NamedTuple):
    """A library that can be read."""

    connection: sqlite3.Connection
    readonly: bool
    notices: tuple[str, ...]


def open_file(
    path: Path,
    *,
    readonly: bool,
    patience_s: float,
    mend: bool = True,
    migrations: schema.Migrations = schema.MIGRATIONS,
) -> Opened:
    """Open the library at ``path``; see ``Library.open``."""
    if schema.lacks_full_text_search():
        raise LibraryError(
            _(
                "SQLite {version} of this Python cannot search texts (FTS5).",
                version=sqlite3.sqlite_version,
            ),
            hint=_("Use a Python with SQLite 3.34 or newer, built with FTS5."),
        )
    if not os.path.exists(path):  # also where its folder may not be looked into
        if readonly:
            raise LibraryError(_("There is no library yet."), where=str(path))
        _touch(path)
    notices: list[str] = []
    # A change needs a journal beside the file.
    protected = not readonly and not (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK))
    if protected:
        readonly = True
        notices.append(_("The library is write-protected; it can be searched but not changed."))
    try:
        connection, version = _checked(path, readonly, patience_s)
    except LibraryDamaged as error:
        if protected:
            hint = _("Open it once where its file and folder can be written to; then the last back-up is taken.")
            raise LibraryDamaged(error.summary, hint=hint, where=error.where) from error
        if readonly:
            raise
        if not mend:
            raise LibraryDamaged(error.summary, hint=_("Choose another file."), where=error.where) from error
        with only_writer(path):
            notices.append(backup.set_aside(path))
        _touch(path)
        connection, version = _checked(path, readonly, patience_s)
    try:
        if version < schema.VERSION:
            _bring_up(connection, path, version, readonly, migrations)
    except BaseException:
        connection.close()
        raise
    return Opened(connection, readonly, tuple(notices))


def _touch(path: Path) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()
    except OSError as error:
        raise LibraryError(
            _("The library cannot be made ({reason}).", reason=error.strerror or error),
            hint=_("Check the folder, or the disk it is on."),
            where=str(path),
        ) from error


def _checked(path: Path, readonly: bool, patience_s: float) -> tuple[sqlite3.Connection, int]:
    try:
        connection = connect(path, readonly=readonly, patience_s=patience_s)
    except sqlite3.Error as error:
        raise in_words(error, path) from error
    with contextlib.ExitStack() as closing:
        closing.callback(connection.close)
        with worded(path):
            version = check(connection, path)
        closing.pop_all()
    return connection, version


def _bring_up(
    connection: sqlite3.Connection, path: Path, version: int, readonly: bool, migrations: schema.Migrations
) -> None:
    """Lay out an empty file, or migrate an older library after a back-up."""
    if readonly:
        raise LibraryError(
            _("The library is empty or of an older version and cannot be brought up to date here."),
            hint=_("Open it once where its file and folder can be written to."),
            where=str(path),
        )
    with worded(path), only_writer(path):
        if schema.version_of(connection) == 0:  # another program may have been faster
            schema.make(connection)
            return
        if version:
            backup.back_up(path, backup.rolling(path), Progress())
            schema.migrate(connection, migrations, schema.VERSION)
