"""Makes a bare checkout ready to run, and says plainly what a machine lacks.

``prepare_environment`` finds out whether the locked packages are there; if not, it makes ``.venv`` beside the package
from ``.ci/lock.txt`` and starts the same command again inside it.  ``check_window`` looks for a display and for the
system libraries that Qt needs, before Qt would end the process with words of its own.

This module stands outside the layers: it runs before any dependency exists, so it imports the standard library only,
and what costs time only where it is needed (a ready start should not notice it).  It never asks for more rights.
"""

from __future__ import annotations

import os
import sys

TYPE_CHECKING = False  # importing typing would take longer than all that a ready start does here
if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence
    from typing import BinaryIO, NoReturn

CHECKOUT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
RUN_LOCKS = ("lock.txt",)
TEST_LOCKS = ("lock.txt", "lock-dev.txt")
_JUST_MADE = "POCKETFARE_JUST_MADE"  # set for the start that follows a set-up, so that a failed one cannot loop

# What Qt's parts load, and the Debian package of each: found by adding one at a time to a bare Debian 12.
_ANY_WINDOW = {
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libfontconfig.so.1": "libfontconfig1",
    "libdbus-1.so.3": "libdbus-1-3",
}
_X11 = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
_WAYLAND = {"libwayland-cursor.so.0": "libwayland-cursor0", "libwayland-client.so.0": "libwayland-client0"}
_PLATFORM = {"xcb": _X11, "wayland": _WAYLAND}


class CannotStart(Exception):
    """The program cannot run here; the text is one line for the user: what is missing and how to mend it."""


# --- the environment ------------------------------------------------------------------------------------------------


def prepare_environment(locks: Sequence[str] = RUN_LOCKS, checkout: str = CHECKOUT) -> None:
    """Return if the locked packages are at hand; otherwise start this command again where they are.

    Outside a checkout there is nothing to do: an installed copy brought its dependencies with it.
    """
    paths = [os.path.join(checkout, ".ci", name) for name in locks]
    if not all(map(os.path.isfile, paths)):
        return
    just_made = os.environ.pop(_JUST_MADE, "")
    venv = os.path.join(checkout, ".venv")
    inside = os.path.realpath(sys.prefix) == os.path.realpath(venv)
    if (not inside or _stamped(venv, paths)) and not _absent(paths):
        return
    if just_made:
        raise CannotStart(
            f"The set-up in {venv} ended, but these are still missing: {', '.join(_absent(paths))}. "
            "Delete that folder and start again."
        )
    if inside or not _stamped(venv, paths):
        _make(venv, paths)
        os.environ[_JUST_MADE] = "1"
    _restart(_python_of(venv))


def _python_of(venv: str) -> str:
    return os.path.join(venv, *(("Scripts", "python.exe") if sys.platform == "win32" else ("bin", "python")))


def _stamp(venv: str, lock: str) -> str:
    """Path of the copy of ``lock`` that is left in ``venv`` when everything in it has been installed.

    It is empty while that is going on, so an interrupted set-up is known by its empty stamp.
    """
    return os.path.join(venv, os.path.basename(lock))


def _content(path: str) -> bytes | None:
    try:
        with open(path, "rb") as file:
            return file.read()
    except OSError:
        return None


def _stamped(venv: str, locks: Iterable[str]) -> bool:
    return os.path.exists(_python_of(venv)) and all(_content(_stamp(venv, lock)) == _content(lock) for lock in locks)


def _absent(locks: Iterable[str]) -> list[str]:
    """The locked packages that the running Python does not have in exactly that version."""
    found: set[str] = set()
    for folder in sys.path:
        try:
            entries = os.listdir(folder or ".")
        except OSError:
            continue
        found.update(entry.lower() for entry in entries if entry.endswith(".dist-info"))
    absent = []
    for lock in locks:
        for line in (_content(lock) or b"").decode().splitlines():
            if "==" in line and not line.startswith(("#", " ")):
                name, version = line.split()[0].lower().split("==")
                if f"{name.replace('-', '_')}-{version}.dist-info" not in found:
                    absent.append(f"{name} {version}")
    return absent


def _make(venv: str, locks: Sequence[str]) -> None:
    """Make or complete ``venv``; a second start that comes meanwhile waits here and finds it done.

    It is made anew when it was never finished, or when it is finished by its stamps and yet does not work: a package
    was removed, or another Python now stands behind it.
    """
    try:
        turn = open(locks[0], "rb")  # noqa: SIM115 - closing it ends our turn
    except OSError as error:
        raise CannotStart(f"Cannot read {locks[0]}: {error.strerror}.") from error
    with turn:
        _wait_for_turn(turn)
        inside = os.path.realpath(sys.prefix) == os.path.realpath(venv)
        stamps = [_content(_stamp(venv, lock)) for lock in locks]
        done = _stamped(venv, locks)
        if done and not inside:
            return
        damaged = done or stamps[0] is None or b"" in stamps or not os.path.exists(_python_of(venv))
        if damaged:
            _say(f"Setting up Pocketfare in {venv} (once; downloads about 110 MB) ...")
            _create(venv)
        else:
            _say(f"Bringing {venv} up to date with {' and '.join(map(os.path.basename, locks))} ...")
        _install(venv, locks)


def _wait_for_turn(file: BinaryIO) -> None:
    if sys.platform == "win32":
        import msvcrt

        file.seek(1 << 30)  # far behind the end: locked bytes cannot be read by others
        while True:
            try:
                return msvcrt.locking(file.fileno(), msvcrt.LK_LOCK, 1)
            except OSError:  # it gives up after ten seconds
                continue
    import fcntl

    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        _say("Another start is setting up Pocketfare; waiting for it ...")
        fcntl.flock(file, fcntl.LOCK_EX)


def _create(venv: str) -> None:
    import importlib.util

    if importlib.util.find_spec("ensurepip") is None:
        raise CannotStart(
            "Python's venv module is incomplete here. Install it as root (Debian, Ubuntu: apt install python3-venv), "
            "then start again."
        )
    # The base interpreter makes it, for we may be running inside the very environment that is replaced.
    maker = getattr(sys, "_base_executable", None) or sys.executable
    failure = _run([maker, "-m", "venv", "--clear", venv])
    if failure is not None:
        raise CannotStart(f"Cannot make {venv}: {failure}")


def _install(venv: str, locks: Sequence[str]) -> None:
    before = {lock: _content(_stamp(venv, lock)) for lock in locks}
    for lock in locks:
        _write(_stamp(venv, lock), b"")
    command = [_python_of(venv), "-m", "pip", "install", "--quiet", "--no-input", "--disable-pip-version-check"]
    command += ["--require-hashes", "--only-binary=:all:"]
    for lock in locks:
        command += ["--requirement", lock]
    failure = _run(command)
    if failure is not None:
        for lock, content in before.items():  # pip ended by itself and left nothing half done: what was there stays
            if content is None:
                os.remove(_stamp(venv, lock))
            else:
                _write(_stamp(venv, lock), content)
        hint = ". Check the network connection and start again." if "No matching distribution" in failure else ""
        raise CannotStart(f"Cannot install what Pocketfare needs: {failure}{hint}{_old_system()}")
    for lock in locks:
        _write(_stamp(venv, lock), _content(lock) or b"")


def _write(path: str, content: bytes) -> None:
    try:
        with open(path, "wb") as file:
            file.write(content)
    except OSError as error:
        raise CannotStart(f"Cannot write {path}: {error.strerror}.") from error


def _run(command: Sequence[str]) -> str | None:
    """Run quietly; the last error line of the command if it failed, else None."""
    import subprocess

    try:
        ended = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace")
    except OSError as error:
        return f"{command[0]}: {error.strerror}."
    if ended.returncode == 0:
        return None
    lines = [line.strip() for line in ended.stdout.splitlines() if line.strip()]
    errors = [line for line in lines if line.lower().startswith("error")]
    return (errors or lines or [f"{command[0]} ended with code {ended.returncode}."])[-1]


def _old_system() -> str:
    """A hint where the C library is older than Qt's packages allow."""
    try:
        version = (os.confstr("CS_GNU_LIBC_VERSION") or "").split()[-1]
        old = tuple(map(int, version.split("."))) < (2, 34)
    except (AttributeError, ValueError, IndexError, OSError):
        return ""
    return f" (This system's glibc is {version}; Qt needs 2.34: Debian 12, Ubuntu 22.04 or newer.)" if old else ""


def _restart(python: str) -> NoReturn:
    command = [python, *sys.orig_argv[1:]]
    sys.stdout.flush()
    sys.stderr.flush()
    if sys.platform == "win32":  # there, execv would return to the shell at once
        import subprocess

        sys.exit(subprocess.run(command).returncode)
    try:
        os.execv(python, command)
    except OSError as error:
        raise CannotStart(f"Cannot start {python}: {error.strerror}.") from error


def _say(line: str) -> None:
    print(line, file=sys.stderr, flush=True)


def lighten_imports() -> None:
    """Leave out what makes importing slow and serves nobody; to be called before anything large is imported.

    NumPy would start a thread for every core, which takes half of its import, and a recipe's few lines gain nothing
    from them.  And nothing that an import makes is garbage: the collector rests until somebody calls ``gc.enable``.
    """
    import gc

    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    gc.disable()


# --- the window -----------------------------------------------------------------------------------------------------


def check_window(
    program: str,
    environ: Mapping[str, str] = os.environ,
    load: Callable[[str], object] | None = None,
) -> None:
    """Raise CannotStart if Qt could not open a window here: no display, or system libraries missing.

    Parameters
    ----------
    program
        How the user calls this program, for naming the commands that work without a window.
    environ, load
        The machine as it is; a test puts its own in their place.
    """
    if sys.platform != "linux":
        return
    without = _without(program)
    platforms = _platforms(environ)
    if not platforms:
        raise CannotStart(f"There is no display here, so the window cannot open. {without}")
    needs = [_ANY_WINDOW | _PLATFORM.get(platform, {}) for platform in platforms]
    missing = min((_unloadable(need, load) for need in needs), key=len)
    if missing:
        raise CannotStart(
            "The window needs system libraries that are not installed. "
            f"As root (Debian, Ubuntu): apt install {' '.join(missing)}. {without}"
        )


def check_display(program: str, environ: Mapping[str, str] = os.environ) -> None:
    """Raise CannotStart if no display answers, for Qt would end the process."""
    if sys.platform != "linux" or any(_answers(platform, environ) for platform in _platforms(environ)):
        return
    named = environ.get("DISPLAY") or environ.get("WAYLAND_DISPLAY", "")
    raise CannotStart(f"The display {named} does not answer, so the window cannot open. {_without(program)}")


def _answers(platform: str, environ: Mapping[str, str]) -> bool:
    """Whether a way to the screen is open; what cannot be judged from here is left to Qt."""
    if platform == "wayland" and environ.get("WAYLAND_DISPLAY"):
        return os.path.exists(os.path.join(environ.get("XDG_RUNTIME_DIR", ""), environ["WAYLAND_DISPLAY"]))
    if platform != "xcb":
        return True
    import ctypes

    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return True
    xcb.xcb_connect.restype = ctypes.c_void_p
    connection = ctypes.c_void_p(xcb.xcb_connect(environ.get("DISPLAY", "").encode() or None, None))
    failed = bool(xcb.xcb_connection_has_error(connection))
    xcb.xcb_disconnect(connection)
    return not failed


def _without(program: str) -> str:
    return f"Without a window: {program} compute FILE, compare, export, check ({program} --help)."


def _platforms(environ: Mapping[str, str]) -> list[str]:
    """The ways to the screen that Qt may take, by its names."""
    chosen = environ.get("QT_QPA_PLATFORM", "")
    if chosen:
        return [part.partition(":")[0] for part in chosen.split(";")]
    return [name for name, variable in (("wayland", "WAYLAND_DISPLAY"), ("xcb", "DISPLAY")) if environ.get(variable)]


def _unloadable(libraries: Mapping[str, str], load: Callable[[str], object] | None) -> list[str]:
    """The packages of the libraries that cannot be loaded."""
    if load is None:
        from ctypes import CDLL

        load = CDLL
    packages = []
    for library, package in libraries.items():
        try:
            load(library)
        except OSError:
            packages.append(package)
    return packages
