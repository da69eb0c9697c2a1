"""A file is wholly new or wholly old, whatever goes wrong; a lock tells who has it open and never gets in the way."""

import errno
import json
import os
import socket
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from workbench.base import files
from workbench.base.errors import FileError
from workbench.base.files import FileLock, Holder, this_program, write_atomically


def test_new_file_gets_the_permissions_the_user_asks_for(tmp_path: Path) -> None:
    umask = os.umask(0o027)
    try:
        write_atomically(tmp_path / "race.fare", b"new")
    finally:
        os.umask(umask)
    assert (tmp_path / "race.fare").read_bytes() == b"new"
    assert stat.S_IMODE((tmp_path / "race.fare").stat().st_mode) == 0o640


def test_permissions_and_links_are_kept(tmp_path: Path) -> None:
    real = tmp_path / "elsewhere" / "race.fare"
    real.parent.mkdir()
    real.write_bytes(b"old")
    real.chmod(0o604)
    link = tmp_path / "race.fare"
    link.symlink_to(real)
    write_atomically(link, b"new")
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o604
    assert os.listdir(real.parent) == ["race.fare"]


def _fail(code: int):
    def fail(*_args: object, **_more: object) -> None:
        raise OSError(code, os.strerror(code))

    return fail


# The super-user may write anywhere, so that a read-only folder and a full disk are played by the calls that meet them.
@pytest.mark.parametrize(
    ("call", "code", "words"),
    [
        ("fsync", errno.ENOSPC, "The disk is full."),
        ("fsync", errno.EDQUOT, "The disk is full."),
        ("open", errno.EACCES, "cannot be written to"),
        ("open", errno.EROFS, "cannot be written to"),
        ("replace", errno.EPERM, "cannot be written to"),
        ("replace", errno.EIO, os.strerror(errno.EIO)),
        ("open", errno.ENAMETOOLONG, "too long"),
    ],
)
def test_a_failed_save_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str, code: int, words: str
) -> None:
    path = tmp_path / "race.fare"
    path.write_bytes(b"old")
    with monkeypatch.context() as patch:
        patch.setattr(os, call, _fail(code))
        with pytest.raises(FileError) as caught:
            write_atomically(path, b"new")
    assert words in caught.value.summary
    assert "unchanged" in caught.value.summary
    assert caught.value.hint
    assert path.read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["race.fare"]


def test_a_write_that_fills_the_disk_half_way(tmp_path: Path) -> None:
    """A real full disk: the size limit of a process stops the write in the middle."""
    pytest.importorskip("resource")
    script = (
        "import resource, signal, sys; from workbench.base.files import write_atomically\n"
        "from workbench.base.errors import FileError\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN); resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))\n"
        "try: write_atomically(sys.argv[1], b'x' * 5000)\n"
        "except FileError: sys.exit(3)\n"
    )
    path = tmp_path / "race.fare"
    path.write_bytes(b"old")
    assert subprocess.run([sys.executable, "-c", script, str(path)], check=False, timeout=60).returncode == 3
    assert path.read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["race.fare"]


def test_missing_folder_folder_as_target_and_protected_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(FileError, match="does not exist"):
        write_atomically(tmp_path / "gone" / "race.fare", b"new")
    with pytest.raises(FileError, match="is a folder"):
        write_atomically(tmp_path, b"new")
    path = tmp_path / "race.fare"
    path.write_bytes(b"old")
    path.chmod(0o444)
    monkeypatch.setattr(os, "access", lambda *_args: False)  # as for anyone but the super-user
    with pytest.raises(FileError, match="write-protected"):
        write_atomically(path, b"new")
    assert path.read_bytes() == b"old"


# --- locks ------------------------------------------------------------------------------------------------------------


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "race.fare"


def _leave_note(path: Path, note: object) -> None:
    path.with_name(".race.fare.lock").write_text(json.dumps(note))


def test_the_second_window_learns_of_the_first(path: Path) -> None:
    first, second = FileLock(path), FileLock(path)
    assert first.acquire() is None
    assert second.acquire() == this_program()
    second.release()  # it holds nothing, so the first keeps its note
    assert second.acquire() is not None
    first.release()
    assert second.acquire() is None
    second.release()
    assert os.listdir(path.parent) == []


def test_the_note_names_no_person(path: Path) -> None:
    lock = FileLock(path)
    lock.acquire()
    assert set(json.loads(lock.path.read_text())) == {"pid", "host", "run"}


def test_a_note_of_a_dead_program_is_replaced(path: Path) -> None:
    dead = subprocess.run([sys.executable, "-c", "import os; print(os.getpid())"], capture_output=True, check=True)
    _leave_note(path, {"pid": int(dead.stdout), "host": socket.gethostname(), "run": "a"})
    assert FileLock(path).acquire() is None


def test_a_note_from_before_a_restart_with_the_same_number_is_replaced(path: Path) -> None:
    _leave_note(path, {"pid": os.getpid(), "host": socket.gethostname(), "run": "an earlier run"})
    assert FileLock(path).acquire() is None


@pytest.mark.parametrize("note", ["", "{", 7, {"pid": -1, "host": "h", "run": "r"}, {"pid": "1"}, None])
def test_a_damaged_note_is_replaced(path: Path, note: object) -> None:
    lock = FileLock(path)
    lock.path.write_text(note if isinstance(note, str) else json.dumps(note))
    if not note:
        os.utime(lock.path, (0, 0))  # one that was made just now may be about to be filled
    assert lock.acquire() is None
    assert lock.held


def test_a_program_that_may_run_is_respected_until_taken_over(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    other = Holder(1, "another-computer", "r")
    _leave_note(path, other._asdict())
    lock = FileLock(path)
    assert lock.acquire() == other
    _leave_note(path, Holder(1, socket.gethostname(), "r")._asdict())
    monkeypatch.setattr(os, "kill", _fail(errno.EPERM))  # someone else's program
    assert lock.acquire() is not None
    monkeypatch.setattr(os, "kill", lambda *_args: None)  # our own
    assert lock.acquire() is not None
    assert lock.acquire(take_over=True) is None
    assert lock.held


def test_a_read_only_folder_is_said_and_not_raised(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "open", _fail(errno.EROFS))
    lock = FileLock(path)
    assert lock.acquire() is None
    assert not lock.held
    assert "another window" in lock.notice
    lock.release()


def test_two_programs_at_the_same_moment(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    other = Holder(1, "another-computer", "r")
    real = os.open

    def first_the_other(*args: object, **more: object) -> int:
        _leave_note(path, other._asdict())
        return real(*args, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(files.os, "open", first_the_other)
    assert FileLock(path).acquire() == other


@pytest.mark.parametrize("links", [True, False])
def test_a_note_that_is_being_written_is_not_taken_over(
    path: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    """The other program comes between making the note and filling it, on disks with hard links and without."""
    first, second = FileLock(path), FileLock(path)
    last_open = path.parent if links else first.path
    real = os.open
    looked: list[Holder | None] = []

    def then_the_other(at: Path, *args: int) -> int:
        handle = real(at, *args)
        if not looked and last_open in (at, at.parent):
            looked.append(None)
            looked[:] = [second.acquire()]
        return handle

    monkeypatch.setattr(files.os, "open", then_the_other)
    if not links:
        monkeypatch.setattr(files.os, "link", _fail(errno.EPERM))
    holder = first.acquire()
    assert (first.held, second.held) == ((False, True) if links else (True, False))
    assert (holder is None, looked[0] is None) == (first.held, second.held)
    first.release()
    second.release()
    assert os.listdir(path.parent) == []
