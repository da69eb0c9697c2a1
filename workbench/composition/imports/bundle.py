"""The files of a foreign table, wherever they lie: one file, a folder, a zip.  Nothing is ever unpacked to disk.

A zip is looked at before anything in it is read: paths that lead outside, sizes and packing ratios that no table has.
"""

import gzip
import io
import lzma
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import BinaryIO, cast

from workbench.base.text import _
from workbench.composition.imports.layout import ImportFailure

MOST_ENTRIES = 20_000
MOST_BYTES = 16 * 1024**3  # the largest release of FoodData Central is a quarter of that
MOST_RATIO = 250  # text of tables packs 5 to 40 times; a bomb a thousand times
_SMALL = 1_000_000  # bytes that may pack as well as they like

DAMAGED = (OSError, EOFError, zipfile.BadZipFile, zlib.error, lzma.LZMAError, RuntimeError, NotImplementedError)
"""What reading a packed file raises that is damaged, protected by a password, or packed in a way nobody knows."""


class Bundle:
    """The files of one table by their plain names, in lower case."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._zip: zipfile.ZipFile | None = None
        self._members: dict[str, str] = {}
        try:
            if path.is_dir():
                self._members = _in_folder(path)
            elif not path.exists():
                raise ImportFailure(
                    _("There is no such file or folder."), where=str(path), hint=_("Check the name and try again.")
                )
            elif zipfile.is_zipfile(path) and path.suffix.casefold() not in (".xlsx", ".xlsm", ".ods"):
                self._zip = zipfile.ZipFile(path)
                self._members = _in_zip(self._zip, path.name)
            else:
                self._members = {path.name.casefold().removesuffix(".gz"): path.name}
        except (OSError, zipfile.BadZipFile, ValueError) as error:
            self.close()
            if isinstance(error, ImportFailure):
                raise
            raise _cannot_read(path.name, error) from error

    def close(self) -> None:
        """Let go of the zip."""
        if self._zip is not None:
            self._zip.close()

    @property
    def names(self) -> tuple[str, ...]:
        """Plain names in lower case, without the ending of a compressed file."""
        return tuple(self._members)

    @property
    def title(self) -> str:
        """The name of the file or folder, without its endings."""
        return self.path.name if self.path.is_dir() else PurePosixPath(self.path.name.removesuffix(".gz")).stem

    def size(self, name: str) -> int:
        """Bytes of a file; of a compressed one as it lies on the disk."""
        member = self._members[name]
        if self._zip is not None:
            return self._zip.getinfo(member).file_size
        return (self.path / member if self.path.is_dir() else self.path).stat().st_size

    @contextmanager
    def open(self, name: str) -> Iterator[BinaryIO]:
        """A file of the table for reading; what goes wrong on the way is an ``ImportFailure``."""
        if name not in self._members:
            raise ImportFailure(
                _("The file {name} is missing.", name=name),
                where=self.path.name,
                hint=_("Take the whole folder or zip as it was published."),
            )
        member = self._members[name]
        try:
            if self._zip is not None:
                with self._zip.open(member) as stream:
                    yield cast(BinaryIO, stream)
                return
            path = self.path / member if self.path.is_dir() else self.path
            with gzip.open(path) if path.suffix.casefold() == ".gz" else path.open("rb") as plain:
                yield cast(BinaryIO, plain)
        except DAMAGED as error:
            raise _cannot_read(name, error) from error

    def seekable(self, name: str, most: int = 200_000_000) -> Path | BinaryIO:
        """A file that can be read in any order: where it lies on the disk, or in memory if it is packed."""
        if self._zip is None and not self._members[name].casefold().endswith(".gz"):
            return self.path / self._members[name] if self.path.is_dir() else self.path
        with self.open(name) as stream:
            data = stream.read(most + 1)
        if len(data) > most:
            raise ImportFailure(_("The file is too large."), where=name, hint=_("Split it into several tables."))
        return io.BytesIO(data)


def _cannot_read(name: str, error: Exception) -> ImportFailure:
    if isinstance(error, PermissionError):
        hint = _("Change its permissions, or copy it elsewhere.")
        return ImportFailure(_("The file may not be read."), where=name, hint=hint)
    return ImportFailure(
        _("The file cannot be read: {reason}", reason=error),
        where=name,
        hint=_("It may be damaged or protected by a password; fetch it again."),
    )


def _in_folder(path: Path) -> dict[str, str]:
    entries = sorted(entry for entry in path.iterdir() if not entry.name.startswith("."))
    files = [entry for entry in entries if entry.is_file()]
    if not files and len(entries) == 1 and entries[0].is_dir():  # a zip that was unpacked into a folder of its own
        inside = sorted(entry for entry in entries[0].iterdir() if entry.is_file())
        return {entry.name.casefold(): f"{entries[0].name}/{entry.name}" for entry in inside[:MOST_ENTRIES]}
    return {entry.name.casefold(): entry.name for entry in files[:MOST_ENTRIES]}


def check_zip(packed: zipfile.ZipFile, name: str, most_bytes: int = MOST_BYTES) -> None:
    """Refuse a zip that no table comes in.

    Raises
    ------
    ImportFailure
        If it has too many files, unpacks to too much, or names a path outside itself.
    """
    infos = packed.infolist()
    total = sum(info.file_size for info in infos)
    if len(infos) > MOST_ENTRIES or total > most_bytes:
        raise ImportFailure(
            _("The file unpacks to {n} files of {size} MB together; no table is that large.",
              n=len(infos), size=total // 1_000_000),
            where=name, hint=_("Nothing was unpacked. Fetch the table from its publisher again."),
        )  # fmt: skip
    for info in infos:
        parts = PurePosixPath(info.filename.replace("\\", "/")).parts
        if ".." in parts or info.filename.startswith(("/", "\\")) or (parts and parts[0].endswith(":")):
            raise ImportFailure(
                _("The zip names a file outside itself, “{path}”.", path=info.filename[:80]), where=name,
                hint=_("Nothing was unpacked. Fetch the table from its publisher again."),
            )  # fmt: skip
        if info.file_size > _SMALL and info.file_size > MOST_RATIO * max(info.compress_size, 1):
            raise ImportFailure(
                _("“{path}” in the zip would unpack to {n} times its size; no table does.",
                  path=info.filename[:80], n=info.file_size // max(info.compress_size, 1)),
                where=name, hint=_("Nothing was unpacked. Fetch the table from its publisher again."),
            )  # fmt: skip


def _in_zip(packed: zipfile.ZipFile, name: str) -> dict[str, str]:
    check_zip(packed, name)
    found: dict[str, str] = {}
    for info in packed.infolist():
        plain = PurePosixPath(info.filename.replace("\\", "/")).name.casefold()
        if not info.is_dir() and plain and not plain.startswith(".") and "__MACOSX" not in info.filename:
            found.setdefault(plain, info.filename)
    return found


def blocks(stream: BinaryIO, size: int = 1 << 19) -> Iterator[bytes]:
    """The bytes of ``stream``, a little at a time."""
    return iter(lambda: stream.read(size), b"")
