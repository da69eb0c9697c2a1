"""Writing a file so that it is either wholly new or wholly old, and saying who else has it open.

Nothing here knows what is in a file.  Reading is never blocked by a lock.
"""

import errno
import json
import os
import stat
import time
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from workbench.base.errors import FileError
from workbench.base.text import N_, _

# --- atomic writing ---------------------------------------------------------------------------------------------------

_NO_SPACE = (N_("The disk is full."), N_("Free some space and save again, or save to another disk."))
_READ_ONLY = (N_("The folder “{folder}” cannot be written to."), N_("Save elsewhere, or change its permissions."))
_NO_FOLDER = (N_("The folder “{folder}” does not exist."), N_("Save to another folder, or create this one."))
_A_FOLDER = (N_("“{name}” is a folder."), N_("Choose another file name."))
_TOO_LONG = (N_("The file name is too long for this disk."), N_("Choose a shorter name."))
_PROTECTED = (N_("“{name}” is write-protected."), N_("Save under another name, or remove the protection."))
_OTHER = (N_("The file could not be written ({reason})."), N_("Save to another folder or disk."))

_WRITE_FAILURES: dict[int, tuple[str, str]] = {
    errno.ENOSPC: _NO_SPACE,
    errno.EDQUOT: _NO_SPACE,
    errno.EACCES: _READ_ONLY,
    errno.EPERM: _READ_ONLY,
    errno.EROFS: _READ_ONLY,
    errno.ENOENT: _NO_FOLDER,
    errno.ENOTDIR: _NO_FOLDER,
    errno.EISDIR: _A_FOLDER,
    errno.ENAMETOOLONG: _TOO_LONG,
}


def _write_failure(error: OSError, target: Path) -> FileError:
    summary, hint = _WRITE_FAILURES.get(error.errno or 0, _OTHER)
    parts = {"folder": target.parent, "name": target.name or target, "reason": error.strerror or type(error).__name__}
    kept = " " + _("The file on disk is unchanged.") if os.path.isfile(target) else ""
    return FileError(_(summary, **parts) + kept, hint=_(hint), where=str(target))


def _sync_folder(folder: Path) -> None:
    """Make a rename last through a power cut, where the system can do so for folders."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def write_atomically(path: Path | str, data: bytes) -> None:
    """Replace the file at ``path`` by ``data``, or leave everything as it was.

    A symbolic link stays a link and its target is replaced; permissions of an existing file are kept.

    Raises
    ------
    FileError
        If the file cannot be written.  The old file is untouched and no temporary file stays behind.
    """
    path = Path(path)
    target = Path(os.path.realpath(path)) if os.path.islink(path) else path
    temporary = target.parent / f".writing-{os.urandom(6).hex()}.tmp"
    try:
        mode = stat.S_IMODE(target.stat().st_mode) if os.path.exists(target) else None
        if os.path.isdir(target):
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if mode is not None and not os.access(target, os.W_OK):
            raise FileError(_(_PROTECTED[0], name=target.name), hint=_(_PROTECTED[1]), where=str(target))
        # Opened by number and not through tempfile, so that a new file gets the permissions the user's umask asks for.
        handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if mode is not None:
            os.chmod(temporary, mode)
        os.replace(temporary, target)
    except FileError:
        raise
    except OSError as error:
        raise _write_failure(error, target) from error
    finally:
        with suppress(OSError):
            temporary.unlink()  # gone already if all went well
    _sync_folder(target.parent)


# --- who has a file open ----------------------------------------------------------------------------------------------

_RUN = os.urandom(8).hex()  # tells this run of the program from an earlier one that had the same process number


def _host() -> str:
    import socket  # 5 ms that a start without a window does not need

    return socket.gethostname()


class Holder(NamedTuple):
    """The running program that has a file open.  It names no person."""

    pid: int
    host: str
    run: str

    def is_running(self) -> bool:
        """Whether it may still be running; on another computer, or where the system cannot tell, it may."""
        if self.host != _host() or os.name != "posix":
            return True
        if self.pid == os.getpid():
            return self.run == _RUN
        try:
            os.kill(self.pid, 0)  # signal 0 only asks
        except ProcessLookupError:
            return False
        except OSError:  # it exists and belongs to someone else
            return True
        return True

    @classmethod
    def from_data(cls, data: object) -> "Holder | None":
        """Read what ``_asdict`` gave; None if it is something else."""
        match data:
            case {"pid": int(pid), "host": str(host), "run": str(run)} if 0 < pid < 2**31:
                return cls(pid, host, run)
        return None


def this_program() -> Holder:
    """The holder that stands for this run of the program."""
    return Holder(os.getpid(), _host(), _RUN)


_SOMEBODY = Holder(0, "", "")  # a note stands, and does not say whose it is
_BEING_WRITTEN_S = 1.0  # an empty note that is older was left by a program that came to an end


class FileLock:
    """A note beside a file (``.NAME.lock``) that it is open here.

    It stops nobody from reading.  Where the note cannot be written (a read-only folder), ``notice`` says so.
    """

    def __init__(self, path: Path | str) -> None:
        path = Path(path)
        self.path = path.parent / f".{path.name}.lock"  # also of “.”, which has no name
        self.held = False
        self.notice = ""

    def _read(self) -> Holder | None:
        try:
            return Holder.from_data(json.loads(self.path.read_bytes()))
        except (OSError, ValueError):
            return None

    def acquire(self, *, take_over: bool = False) -> Holder | None:
        """Leave the note; or return who left one before.

        A note of a program that no longer runs on this computer is replaced, and any note if ``take_over``.
        """
        self.notice = ""
        about = self._about()  # before it is read: an empty note may be filled between the two
        if about is not None:
            being_written = about.st_size == 0 and time.time() - about.st_mtime < _BEING_WRITTEN_S
            other = self._read() or (_SOMEBODY if being_written else None)
            if other is not None and other.is_running() and not take_over:
                return other
        try:
            if about is not None and self._is_still(about):
                self.path.unlink(missing_ok=True)
            self._write()
        except FileExistsError:  # another program was faster by a moment
            return self._read() or _SOMEBODY
        except OSError:
            self.notice = _("The folder cannot be written to: another window cannot see that this file is open here.")
        return None

    def _about(self) -> os.stat_result | None:
        try:
            return self.path.stat()
        except OSError:
            return None

    def _is_still(self, about: os.stat_result) -> bool:
        """Whether the note is the one that was looked at, and not one that another program has left since."""
        now = self._about()
        return now is not None and (now.st_ino, now.st_mtime_ns) == (about.st_ino, about.st_mtime_ns)

    def _write(self) -> None:
        """Make the note appear whole, where the disk can give a file a second name."""
        whole = self.path.with_name(f".writing-{os.urandom(6).hex()}.tmp")
        try:
            _write_new(whole)
            try:
                os.link(whole, self.path)
            except FileExistsError:
                raise
            except OSError:  # a disk without second names
                _write_new(self.path)
        finally:
            with suppress(OSError):
                whole.unlink()
        self.held = True

    def release(self) -> None:
        """Take the note away, if it is still ours."""
        if self.held and self._read() == this_program():
            with suppress(OSError):
                self.path.unlink()
        self.held = False


def _write_new(note: Path) -> None:
    """Write a note of this program where there is no file yet; what a full disk left of it is taken away."""
    handle = os.open(note, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(json.dumps(this_program()._asdict()).encode())
    except OSError:
        with suppress(OSError):
            note.unlink()
        raise
