"""Reading one CSV file of the composition table, so that an error names file, line and column."""

import csv
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import TypeVar

import msgspec

from workbench.base.errors import WorkbenchError
from workbench.base.text import _

_T = TypeVar("_T")


class CompositionError(WorkbenchError, ValueError):
    """A composition table holds something that cannot be read."""


class Row(msgspec.Struct, frozen=True):
    """One line of a CSV file, which knows where it stands so that an error can say so."""

    file: str
    line: int
    cells: dict[str, str]

    def error(self, column: str, summary: str, hint: str = "") -> CompositionError:
        where = _("{file}, line {line}, column {column}", file=self.file, line=self.line, column=column)
        return CompositionError(summary, where=where, hint=hint)

    def text(self, column: str) -> str:
        return self.cells[column]

    def required(self, column: str) -> str:
        text = self.cells[column]
        if not text:
            raise self.error(column, _("The cell is blank."), _("Every row needs a value here."))
        return text

    def number(self, column: str, low: float = 0.0, high: float = 100_000.0) -> float | None:
        text = self.cells[column]
        if not text:
            return None
        try:
            value = float(text)
        except ValueError:
            raise self.error(
                column, _("“{text}” is not a number.", text=text), _("Write 12.5, or leave it blank if unknown.")
            ) from None
        if not low <= value <= high:  # also refuses NaN
            raise self.error(column, _("{text} is outside {low} to {high}.", text=text, low=low, high=high))
        return value

    def numbers(self, columns: Iterable[str]) -> dict[str, float]:
        """Numbers of the cells that are not blank; all at once, because a table has ten thousand of them."""
        cells = self.cells
        try:
            found = {column: float(text) for column in columns if (text := cells[column])}
            usable = all(0.0 <= value <= 100_000.0 for value in found.values())  # False for NaN as well
        except ValueError:
            usable = False
        if not usable:
            for column in columns:
                self.number(column)  # says which one
        return found

    def words(self, column: str, allowed: frozenset[str] | None = None) -> tuple[str, ...]:
        text = self.cells[column]
        if not text:  # most cells are blank, and the table is read before the first window opens
            return ()
        words = tuple(word for word in text.split(";") if word)
        for word in words if allowed is not None else ():
            self.check(column, word, allowed)
        return words

    def check(self, column: str, word: str, allowed: frozenset[str] | Mapping[str, object] | None) -> str:
        if allowed is not None and word not in allowed:
            raise self.error(
                column,
                _("“{word}” is not known here.", word=word),
                _("Known: {words}.", words=", ".join(sorted(allowed))),
            )
        return word

    def choice(self, column: str, allowed: frozenset[str] | Mapping[str, object]) -> str:
        word = self.cells[column]
        return word if word in allowed else self.check(column, word, allowed)


def rows(folder: Path, name: str, columns: tuple[str, ...]) -> Iterator[Row]:
    """Lines of a file whose first line must name at least ``columns``."""
    path = folder / name
    try:
        with path.open(encoding="utf-8", newline="") as handle:
            reader = csv.reader(handle, strict=True)
            header = next(reader, [])
            for column in columns:
                if header.count(column) != 1:
                    raise CompositionError(
                        _("The column “{column}” must be there once.", column=column), where=f"{name}, line 1"
                    )
            for cells in reader:
                if len(cells) != len(header):
                    raise CompositionError(
                        _("{n} cells where {wanted} are named.", n=len(cells), wanted=len(header)),
                        where=_("{file}, line {line}", file=name, line=reader.line_num),
                        hint=_("Put text that holds a comma in quotation marks."),
                    )
                yield Row(name, reader.line_num, dict(zip(header, cells, strict=True)))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise CompositionError(
            _("The file cannot be read: {reason}", reason=error),
            where=name,
            hint=_("Take the folder ingredient_db from a fresh copy of the program."),
        ) from error


def keyed(found_rows: Iterator[Row], make: Callable[[Row], _T]) -> dict[str, _T]:
    found: dict[str, _T] = {}
    for row in found_rows:
        key = row.required("key")
        if key in found:
            raise row.error("key", _("“{word}” stands here twice.", word=key))
        found[key] = make(row)
    return found
