"""Copies of the whole library, and what to do when the library itself is damaged.

One copy is kept beside the library: made before every import and every migration, and by the first change after a day.
The states before the last few restorings stay there too, and every damaged file: something may still be got out of it.
"""

import contextlib
import datetime
import glob
import os
import shutil
import sqlite3
import time
from pathlib import Path
from typing import NamedTuple

from workbench.base.progress import Progress
from workbench.base.text import _, plural
from workbench.composition.library import schema
from workbench.composition.library.connection import LibraryDamaged, LibraryError, check, connect, worded
from workbench.composition.library.packing import unpack
from workbench.composition.library.steps import last_step

_MOST_BEFORE_RESTORING = 5
_PAGES_AT_ONCE = 500
_DAY_S = 86_400
_LARGE_BYTES = 64_000_000  # beyond it a copy takes long enough to be felt, and only imports make one


class Restoring(NamedTuple):
    """What taking a back-up would change."""

    when: str  # last change that the back-up holds, ISO 8601
    n_foods: int
    coming_back: int  # foods that only the back-up has
    going: int  # foods that only the library has now
    changing: int

    def words(self) -> str:
        return _(
            "the back-up holds {foods}, last changed {when}; restoring brings back {back}, removes {going}, "
            "and changes {changing}",
            foods=plural("{n} food", "{n} foods", self.n_foods),
            when=self.when[:16].replace("T", " ") or "–",
            back=self.coming_back,
            going=self.going,
            changing=self.changing,
        )


def rolling(path: Path) -> Path:
    """Where the library at ``path`` keeps its last copy."""
    return path.with_name(f"{path.stem}.backup{path.suffix}")


def is_due(path: Path) -> bool:
    """Whether a change should first make a copy, as the last is older than a day; not of a large library."""
    try:
        return path.stat().st_size < _LARGE_BYTES and time.time() - rolling(path).stat().st_mtime > _DAY_S
    except FileNotFoundError:
        return path.exists()


def is_worth_it(path: Path) -> bool:
    """Whether anything was ever kept in the library."""
    with worded(path), contextlib.closing(connect(path, readonly=True, patience_s=5.0)) as connection:
        return last_step(connection) is not None


def back_up(path: Path, target: Path, progress: Progress) -> None:
    """Copy the library at ``path`` to ``target``, wholly or not at all.

    Raises
    ------
    LibraryError
        If it cannot be written.
    Cancelled
        If ``progress`` is stopped.
    """
    if target.resolve() == path.resolve():
        raise LibraryError(_("A back-up needs another file than the library."), where=str(target))
    if target.is_dir():
        raise LibraryError(_("This is a folder."), hint=_("Name a file in it."), where=str(target))
    temporary = target.with_name(f".{target.name}.writing")
    try:
        temporary.unlink(missing_ok=True)
        temporary.touch()
        with worded(path), contextlib.closing(connect(path, readonly=True, patience_s=5.0)) as source:
            _copy(source, temporary, progress)
        with temporary.open("rb+") as handle:
            os.fsync(handle.fileno())
        os.replace(temporary, target)
    except OSError as error:
        raise LibraryError(
            _("The back-up could not be written ({reason}).", reason=error.strerror or error),
            hint=_("Choose another folder or disk."),
            where=str(target),
        ) from error
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink()  # gone already if all went well


def _copy(source: sqlite3.Connection, target: Path, progress: Progress) -> None:
    with contextlib.closing(connect(target, readonly=False, patience_s=5.0)) as copy:
        source.backup(
            copy, pages=_PAGES_AT_ONCE, progress=lambda _status, left, total: progress.step(total - left, total)
        )


def look_at(path: Path) -> None:
    """See whether ``path`` is a whole and sound library, however long that takes.

    Raises
    ------
    LibraryError
        If it is not.
    """
    if not path.is_file():
        raise LibraryError(_("There is no such file."), hint=_("Choose another file."), where=str(path))
    try:
        with worded(path), contextlib.closing(connect(path, readonly=True, patience_s=1.0)) as connection:
            version = check(connection, path, thoroughly=True)
    except LibraryDamaged as error:  # only the library in use is mended by opening it again
        raise LibraryDamaged(error.summary, hint=_("Choose another file."), where=error.where) from error
    if not version:
        raise LibraryError(_("The file is not a library."), hint=_("Choose another file."), where=str(path))


def what_restoring_changes(path: Path, backup: Path) -> Restoring:
    """Compare the library at ``path`` with a back-up.

    Raises
    ------
    LibraryError
        If the back-up is not a sound library.
    """
    look_at(backup)
    with worded(path), contextlib.closing(connect(path, readonly=True, patience_s=5.0)) as connection:
        run = connection.execute
        run("ATTACH ? AS other", (f"{backup.absolute().as_uri()}?mode=ro",))
        for name in ("main", "other"):
            run(
                f"CREATE TEMP VIEW {name}_food AS SELECT food.id, revision.packed FROM {name}.food"
                f" JOIN {name}.revision ON revision.row = food.current WHERE revision.packed IS NOT NULL"
            )

        def count(query: str) -> int:
            return int(run(f"SELECT count(*) FROM {query}").fetchone()[0])

        when = run("SELECT max(at) FROM other.step WHERE NOT undone").fetchone()[0] or ""
        return Restoring(
            when,
            count("other_food"),
            count("other_food WHERE id NOT IN (SELECT id FROM main_food)"),
            count("main_food WHERE id NOT IN (SELECT id FROM other_food)"),
            _n_changing(connection),
        )


def _n_changing(connection: sqlite3.Connection) -> int:
    """Foods in both that are not the same; bytes say so only where both libraries number tags alike."""
    mine = dict(connection.execute("SELECT number, word FROM main.tag"))
    theirs = dict(connection.execute("SELECT number, word FROM other.tag"))
    both = "SELECT main_food.packed, other_food.packed FROM main_food JOIN other_food USING (id)"
    if all(mine[number] == theirs[number] for number in mine.keys() & theirs.keys()):
        return sum(1 for _differing in connection.execute(f"{both} WHERE main_food.packed <> other_food.packed"))
    return sum(unpack(here, mine) != unpack(there, theirs) for here, there in connection.execute(both))


def restore(path: Path, backup: Path, progress: Progress) -> Path:
    """Make the library at ``path`` what the back-up is, in one transaction; the state before is kept beside it.

    Returns
    -------
    Path
        The copy of the state before.

    Raises
    ------
    LibraryError
        If the back-up is not a sound library, or the library cannot be written.
    """
    look_at(backup)
    before = _dated(path, "before-restoring")
    back_up(path, before, progress)
    with worded(path), contextlib.closing(connect(backup, readonly=True, patience_s=5.0)) as source:
        _copy(source, path, progress)
    bring_up_to_date(path)
    _thin(path, {backup, before})
    return before


def _dated(path: Path, why: str) -> Path:
    moment = datetime.datetime.now(datetime.UTC)
    return path.with_name(f"{path.stem}.{why}-{moment:%Y%m%dT%H%M%S%f}{path.suffix}")


def _thin(path: Path, needed: set[Path]) -> None:
    """Delete all but the last few states before restorings; one that cannot be deleted is in nobody's way."""
    copies = sorted(path.parent.glob(f"{glob.escape(path.stem)}.before-restoring-*{glob.escape(path.suffix)}"))
    for copy in copies[:-_MOST_BEFORE_RESTORING]:
        if copy not in needed:
            with contextlib.suppress(OSError):
                copy.unlink()


def bring_up_to_date(path: Path) -> None:
    """Migrate the library at ``path`` if an earlier version of the program wrote it."""
    with worded(path), contextlib.closing(connect(path, readonly=False, patience_s=5.0)) as connection:
        if schema.version_of(connection) < schema.VERSION:
            schema.migrate(connection, schema.MIGRATIONS, schema.VERSION)


def set_aside(path: Path) -> str:
    """Put a damaged library aside and the last back-up in its place, or an empty library if there is none.

    Returns
    -------
    str
        What was done, for the user.

    Raises
    ------
    LibraryError
        If the files cannot be renamed.
    """
    aside = _dated(path, "damaged")
    copy, taken = rolling(path), ""
    try:
        with contextlib.suppress(LibraryError):  # a back-up that is damaged too is no help
            look_at(copy)
            taken = f"{datetime.datetime.fromtimestamp(copy.stat().st_mtime, datetime.UTC).astimezone():%Y-%m-%d %H:%M}"
            temporary = path.with_name(f".{path.name}.writing")
            shutil.copyfile(copy, temporary)
        os.replace(path, aside)
        journal = path.with_name(f"{path.name}-journal")
        if journal.exists():
            os.replace(journal, aside.with_name(f"{aside.name}-journal"))  # it belongs to the damaged file alone
        if taken:
            os.replace(temporary, path)
    except OSError as error:
        raise LibraryDamaged(
            _("The library is damaged and cannot be set aside ({reason}).", reason=error.strerror or error),
            hint=_("Rename it by hand; then the program starts with the last back-up."),
            where=str(path),
        ) from error
    if taken:
        return _("The library was damaged. The back-up of {when} was taken; the damaged file is kept as {file}.",
                 when=taken, file=aside.name)  # fmt: skip
    return _(
        "The library was damaged and there is no back-up. An empty one was made; the damaged file is kept as {file}.",
        file=aside.name,
    )
