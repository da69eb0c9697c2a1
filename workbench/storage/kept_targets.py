"""Sets of targets kept for other projects: one small readable file in the user's data folder.

It is read whole or not at all: a file that cannot be read is one message, and is never written over.
"""

from pathlib import Path
from typing import Literal

import msgspec
from msgspec.structs import replace

from workbench.base.errors import FileError
from workbench.base.files import write_atomically
from workbench.base.paths import user_data
from workbench.base.text import _
from workbench.document.project import TargetSet

_MAX_BYTES = 1024 * 1024


class _File(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    format: Literal["pocketfare-targets"] = "pocketfare-targets"
    version: Literal[1] = 1
    target_sets: tuple[TargetSet, ...] = ()


def kept_targets_file() -> Path:
    """Where kept sets are."""
    return user_data() / "targets.json"


def kept_target_sets() -> tuple[TargetSet, ...]:
    """The kept sets, by name; none where none was ever kept.

    Raises
    ------
    FileError
        If the file cannot be read, or is not what this program writes.
    """
    path = kept_targets_file()
    try:
        with path.open("rb") as stream:
            data = stream.read(_MAX_BYTES + 1)
        if len(data) > _MAX_BYTES:
            raise ValueError(_("it is larger than 1 MiB"))
        found = msgspec.json.decode(data, type=_File).target_sets
    except FileNotFoundError:
        return ()
    except (OSError, ValueError) as error:  # of its text and its structure as well
        raise FileError(
            _("The targets kept for other projects cannot be read: {reason}.", reason=str(error)),
            hint=_("Mend the file, or move it away to begin anew; nothing was changed."),
            where=str(path),
        ) from error
    return tuple(sorted(found, key=lambda targets: targets.name))


def keep_target_set(targets: TargetSet) -> None:
    """Keep a set for other projects, in place of one of the same name.

    Raises
    ------
    FileError
        If the file cannot be read or written.
    """
    others = tuple(kept for kept in kept_target_sets() if kept.name != targets.name)
    _write((*others, targets))


def forget_target_set(name: str) -> None:
    """Keep a set no longer.

    Raises
    ------
    FileError
        If the file cannot be read or written.
    """
    _write(tuple(kept for kept in kept_target_sets() if kept.name != name))


def _write(target_sets: tuple[TargetSet, ...]) -> None:
    path = kept_targets_file()
    ordered = tuple(sorted(target_sets, key=lambda targets: targets.name))
    data = msgspec.json.format(msgspec.json.encode(replace(_File(), target_sets=ordered)), indent=1)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileError(
            _("The folder of kept targets cannot be made."), hint=_("Check its permissions."), where=str(path.parent)
        ) from error
    write_atomically(path, data + b"\n")
