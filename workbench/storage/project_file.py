"""Opening and saving project files: decode, migrate, convert, check; nothing is half-read and nothing half-written."""

import json
import stat
from pathlib import Path
from typing import Any, NamedTuple

import msgspec

from workbench.base.errors import Problem
from workbench.base.files import write_atomically
from workbench.base.text import _, plural
from workbench.document.project import FORMAT, Project
from workbench.storage import migrations as migration
from workbench.storage.checks import check
from workbench.storage.findings import MIGRATED, UNREADABLE, Finding, Plain, ProjectFileError, to_problems
from workbench.storage.plain import MAX_BYTES, raw_findings, read_plain
from workbench.storage.structure import (
    MAX_FOODS,
    MAX_LINES,
    MAX_VARIANTS,
    Extras,
    misfits,
    oversized,
    put_back,
    unknown_keys,
)


class Loaded(NamedTuple):
    """A project as it was read."""

    project: Project
    problems: tuple[Problem, ...]  # warnings and notices; errors are raised
    extras: Extras  # keys this version does not know, to be written back
    data: bytes  # as read

    @property
    def source_hash(self) -> str:
        """SHA-256 of the bytes."""
        return content_hash(self.data)


def content_hash(data: bytes) -> str:
    """What tells one content of a file from another."""
    import hashlib  # 4 ms of a start that opens a demo

    return hashlib.sha256(data).hexdigest()


# --- reading ----------------------------------------------------------------------------------------------------------


def load_project(path: Path | str) -> Loaded:
    """Read a project file.

    Raises
    ------
    ProjectFileError
        If it cannot be read, with every reason in ``problems``.
    """
    path = Path(path)
    return decode_project(_read(path), name=str(path))


def _read(path: Path) -> bytes:
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise ProjectFileError(_("This is not a file."), hint=_("Choose a project file."), where=str(path))
        with path.open("rb") as stream:
            return stream.read(MAX_BYTES + 1)
    except FileNotFoundError as error:
        raise ProjectFileError(
            _("There is no such file."), hint=_("Check the name and the folder."), where=str(path)
        ) from error
    except PermissionError as error:
        raise ProjectFileError(
            _("The file may not be read."), hint=_("Change its permissions, or copy it elsewhere."), where=str(path)
        ) from error
    except (OSError, ValueError) as error:
        if isinstance(error, ProjectFileError):
            raise
        reason = getattr(error, "strerror", None) or str(error)
        raise ProjectFileError(
            _("The file cannot be read ({reason}).", reason=reason), hint=_("Check the disk."), where=str(path)
        ) from error


def decode_project(data: bytes, *, name: str = "", migrations: migration.Migrations = migration.MIGRATIONS) -> Loaded:
    """Read a project from the bytes of a file; ``name`` is for the messages.

    Raises
    ------
    ProjectFileError
        If it is no project or must be mended first, with every reason in ``problems``.
    """
    as_written = _as_written(data)
    if as_written is not None:
        checked, found = check(as_written)
        if not found:
            return Loaded(checked, (), {}, data)
    try:
        plain = _project_data(read_plain(data))
        raw = list(raw_findings(plain))
        problems = to_problems(plain, raw)  # before a migration moves things about
        written_in = plain.get("schema_version")
        plain = migration.migrate(plain, migrations)
    except ProjectFileError as error:
        error.where = error.where or name
        raise
    findings = [Finding((), MIGRATED)] if plain["schema_version"] != written_in else []
    extras: Extras = {}
    project = None
    found = list(oversized(plain))
    if not found:
        extras, unknown = unknown_keys(plain)
        project, found = _convert(plain, broken=bool(raw))
        findings += unknown
    problems += to_problems(plain, [*found, *findings])
    errors = sum(finding.kind.severity == "error" for finding in (*raw, *found))
    if project is None or errors:
        summary = plural("{n} thing must be mended before this project opens.",
                         "{n} things must be mended before this project opens.", errors)  # fmt: skip
        raise ProjectFileError(summary, where=name, problems=problems)
    return Loaded(project, tuple(problems), extras, data)


def _as_written(data: bytes) -> Project | None:
    """The project, if the file is byte for byte as this version writes it.

    Then nothing in it can be unknown, doubled or out of place, and the walks that would find that are left out.
    """
    try:
        project = msgspec.json.decode(data, type=Project)
    except (msgspec.DecodeError, RecursionError, UnicodeDecodeError):
        return None
    small = len(project.variants) <= MAX_VARIANTS and len(project.foods) <= MAX_FOODS
    small = small and all(len(variant.lines) <= MAX_LINES for variant in project.variants)
    return project if small and encode_project(project) == data else None


def _project_data(plain: Any) -> Plain:
    if isinstance(plain, dict) and plain.get("format") == FORMAT:
        return plain
    raise ProjectFileError(
        _("This is JSON, but not a project of this program."),
        hint=_('Choose another file; a project begins with {{"format": "{format}"}}.', format=FORMAT),
    )


def _convert(plain: Plain, *, broken: bool) -> tuple[Project | None, list[Finding]]:
    """The project and what the checks found, or no project and everything that does not fit."""
    if not broken:
        try:
            return check(msgspec.convert(plain, Project, strict=True))
        except msgspec.ValidationError as error:
            return None, list(misfits(plain)) or [Finding((), UNREADABLE, {"reason": str(error)})]
    return None, list(misfits(plain))


# --- writing ----------------------------------------------------------------------------------------------------------


def encode_project(project: Project, extras: Extras | None = None) -> bytes:
    """The bytes of a project file: JSON, one value a line, keys in the order of the schema."""
    try:
        data = msgspec.json.encode(project)
    except UnicodeEncodeError:  # half a character, which a keyboard can produce: better a “?” than no file
        data = json.dumps(msgspec.to_builtins(project), ensure_ascii=False).encode("utf-8", "replace")
    if extras:
        plain = msgspec.json.decode(data)
        put_back(plain, extras)
        data = msgspec.json.encode(plain)
    data = msgspec.json.format(data, indent=1)
    return data + b"\n"


def save_project(path: Path | str, project: Project, extras: Extras | None = None) -> str:
    """Write a project file, or leave the old one as it is.

    The bytes are read back before they replace anything, so that a good file never gives way to one that cannot be
    opened.

    Returns
    -------
    str
        The hash of what was written, as ``Loaded.source_hash``.

    Raises
    ------
    ProjectFileError
        If the project could not be opened again; ``problems`` says why.
    FileError
        If the file cannot be written.
    """
    data = encode_project(project, extras)
    try:
        decode_project(data)
    except ProjectFileError as error:
        raise ProjectFileError(
            _("The project was not saved, because it could not be opened again. {reason}", reason=error.summary),
            hint=_("Undo the last changes, or correct what is named here."),
            where=str(path),
            problems=error.problems,
        ) from error
    write_atomically(path, data)
    return content_hash(data)
