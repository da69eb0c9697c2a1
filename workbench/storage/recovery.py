"""Recovery copies: what was on screen and not yet saved, for the day the program or the computer stops.

A copy is a project file with one key more, ``recovery_of``, that names the file it belongs to, the content which that
file had when it was opened, and the program that wrote the copy.  It lies beside the project as ``.NAME.recovery``, or
in the user's state folder where there is no project file yet or its folder cannot be written to.
"""

from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from workbench.base.errors import FileError
from workbench.base.files import Holder, this_program, write_atomically
from workbench.base.paths import user_state
from workbench.document.project import Project, new_id
from workbench.storage.findings import ProjectFileError
from workbench.storage.project_file import Loaded, encode_project, load_project
from workbench.storage.structure import Extras

_KEY = "recovery_of"
_TOP = ()  # the ids that lead to the project itself


class Recovered(NamedTuple):
    """A recovery copy that was found."""

    file: Path
    loaded: Loaded
    original: Path | None  # None: the project was never saved
    original_hash: str  # ``Loaded.source_hash`` of the original when it was opened
    writer: Holder | None
    written: float  # when, in seconds since 1970


class RecoveryCopy:
    """The recovery copy of one open project; a window keeps one and removes it when all is saved."""

    def __init__(self, original: Path | None, original_hash: str = "") -> None:
        self._original = original.absolute() if original else None
        self._hash = original_hash
        self._elsewhere = _state_folder() / f"{new_id()}.recovery"
        self.file: Path | None = None

    def write(self, project: Project, extras: Extras) -> Path:
        """Write or renew the copy.

        Raises
        ------
        FileError
            If it can be written nowhere.
        """
        about = {"path": str(self._original or ""), "hash": self._hash, "writer": this_program()._asdict()}
        data = encode_project(project, {**extras, _TOP: {**extras.get(_TOP, {}), _KEY: about}})
        if self._original is not None and self.file != self._elsewhere:
            try:
                return self._put(_beside(self._original), data)
            except FileError:
                pass  # read-only or full: the state folder may be on another disk
        with suppress(OSError):
            self._elsewhere.parent.mkdir(parents=True, exist_ok=True)
        return self._put(self._elsewhere, data)

    def _put(self, file: Path, data: bytes) -> Path:
        write_atomically(file, data)
        if self.file not in (None, file):
            discard(self.file)  # older, from when the folder of the project could be written to
        self.file = file
        return file

    def remove(self) -> None:
        """Delete the copy, after a clean save or when the project is closed for good."""
        if self.file is not None:
            discard(self.file)
            self.file = None


def find_recovery(path: Path) -> Recovered | None:
    """The newest recovery copy of the project file at ``path`` that a program left behind when it stopped, if any."""
    original = path.absolute()
    read = (_read(file) for file in (_beside(original), *_in_state_folder()))
    found = [one for one in read if one is not None and one.original == original]
    return max(found, key=lambda one: one.written, default=None)


def list_orphans() -> list[Recovered]:
    """Recovery copies of projects that were never saved, or whose file is gone."""
    found = (_read(file) for file in _in_state_folder())
    return [one for one in found if one is not None and (one.original is None or not one.original.exists())]


def discard(file: Path) -> None:
    """Delete a recovery copy; if that fails it is offered again."""
    with suppress(OSError):
        file.unlink()


def _beside(original: Path) -> Path:
    return original.with_name(f".{original.name}.recovery")


def _state_folder() -> Path:
    return user_state() / "recovery"


def _in_state_folder() -> list[Path]:
    return sorted(_state_folder().glob("*.recovery"))


def _read(file: Path) -> Recovered | None:
    """The copy, unless it is none, is damaged, or belongs to a program that still runs."""
    try:
        written = file.stat().st_mtime
        loaded = load_project(file)
    except (OSError, ProjectFileError):
        return None
    extras = {ids: dict(unknown) for ids, unknown in loaded.extras.items()}
    match extras.get(_TOP, {}).pop(_KEY, None):
        case {"path": str(path), "hash": str(original_hash), "writer": writer}:
            holder = Holder.from_data(writer)
        case _:
            return None
    if holder is not None and holder.is_running():
        return None
    problems = tuple(problem for problem in loaded.problems if problem.parts.get("key") != _KEY)
    loaded = loaded._replace(problems=problems, extras={ids: unknown for ids, unknown in extras.items() if unknown})
    return Recovered(file, loaded, Path(path) if path else None, original_hash, holder, written)
