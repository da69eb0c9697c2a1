"""The files that were open last, newest first, in the user's settings folder."""

import json
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from workbench.base.files import write_atomically
from workbench.base.paths import user_config

MAX_RECENT = 12


class RecentFile(NamedTuple):
    """A file that was open; one that is missing now stays in the list, as its disk may come back."""

    path: Path
    exists: bool


def recent_files() -> list[RecentFile]:
    """The list; empty if it was never written or is damaged, as it is only a convenience."""
    try:
        stored = json.loads(_file().read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return []
    paths = [Path(path) for path in stored if isinstance(path, str)] if isinstance(stored, list) else []
    return [RecentFile(path, path.is_file()) for path in paths[:MAX_RECENT]]


def add_recent(path: Path) -> None:
    """Put a file on top of the list.

    Raises
    ------
    FileError
        If the list cannot be written.
    """
    path = path.absolute()
    _store([path, *(recent.path for recent in recent_files() if recent.path != path)])


def forget_recent(path: Path) -> None:
    """Take a file off the list."""
    _store([recent.path for recent in recent_files() if recent.path != path.absolute()])


def _file() -> Path:
    return user_config() / "recent.json"


def _store(paths: list[Path]) -> None:
    with suppress(OSError):  # writing says what is wrong, in better words
        _file().parent.mkdir(parents=True, exist_ok=True)
    text = json.dumps([str(path) for path in paths[:MAX_RECENT]], ensure_ascii=False, indent=1)
    write_atomically(_file(), (text + "\n").encode("utf-8", "replace"))
