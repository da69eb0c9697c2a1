"""Rows of cells from a text file of any size: bounded lines, any common encoding, any common sign between cells."""

import codecs
import csv
import io
import itertools
from collections.abc import Iterable, Iterator
from typing import BinaryIO, NamedTuple

from workbench.base.progress import Progress
from workbench.base.text import _
from workbench.composition.imports import findings
from workbench.composition.imports.bundle import Bundle, blocks
from workbench.composition.imports.layout import ImportFailure
from workbench.composition.imports.tally import Tally

LONGEST_LINE = 1_000_000  # characters; the widest published table has 20,000
_BETWEEN = (",", ";", "\t", "|", "^")
_SAMPLE = 1 << 16
_WIDE = ("utf-16", "utf-32")  # encodings in which a line end is more than one byte


class Shape(NamedTuple):
    """How a text file is written."""

    encoding: str
    between: str


class Meter:
    """How many bytes of all have been read, for progress."""

    def __init__(self, progress: Progress, total: int) -> None:
        self.progress, self.total, self.done = progress, max(total, 1), 0

    def add(self, n_bytes: int) -> None:
        """Count bytes; raises ``Cancelled`` if the work is to stop."""
        self.done = min(self.done + n_bytes, self.total)
        self.progress.step(self.done, self.total)


def encoding_of(head: bytes, name: str) -> str:
    """The encoding that a byte order mark names, else UTF-8, of which single lines may deviate."""
    for mark, encoding in (
        (codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF32_LE, "utf-32"), (codecs.BOM_UTF32_BE, "utf-32"),
        (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"),
    ):  # fmt: skip
        if head.startswith(mark):
            return encoding
    if b"\0" in head:
        raise ImportFailure(
            _("This is no text file."), where=name, hint=_("Save the table as CSV or XLSX and import that.")
        )
    return "utf-8"


def byte_blocks(stream: BinaryIO, encoding: str, name: str, meter: Meter | None = None) -> Iterator[bytes]:
    """Whole lines with their ends in UTF-8 or any other encoding that keeps ASCII as it is, many at a time.

    Raises
    ------
    ImportFailure
        If a line is longer than any table has, or the encoding is another one.
    """
    if encoding in _WIDE:
        raise ImportFailure(
            _("This file is written in {encoding}.", encoding=encoding.upper()), where=name,
            hint=_("Save it as UTF-8."),
        )  # fmt: skip
    rest = b""
    first = True
    for block in blocks(stream):
        if meter is not None:
            meter.add(len(block))
        rest += block.removeprefix(codecs.BOM_UTF8) if first else block
        first = False
        cut = rest.rfind(b"\n") + 1 or rest.rfind(b"\r", 0, len(rest) - 1) + 1
        if cut:
            head, rest = rest[:cut], rest[cut:]
            yield head
        if len(rest) > LONGEST_LINE:
            raise _too_long(name)
    if rest:
        yield rest


def texts(stream: BinaryIO, encoding: str, name: str, tally: Tally, meter: Meter | None = None) -> Iterator[str]:
    """Whole lines with their ends, many at a time.

    Raises
    ------
    ImportFailure
        If a line is longer than any table has.
    """
    if encoding in ("utf-8", "utf-8-sig"):
        return (_decoded(data, name, tally) for data in byte_blocks(stream, encoding, name, meter))
    return _texts_of_other_encoding(stream, encoding, name, meter)


def _decoded(data: bytes, name: str, tally: Tally) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return "".join(_line_by_line(data, name, tally))


def _line_by_line(data: bytes, name: str, tally: Tally) -> Iterator[str]:
    for line in data.splitlines(keepends=True):
        try:
            yield line.decode("utf-8")
        except UnicodeDecodeError:
            text = line.decode("cp1252", errors="replace")
            tally.note(findings.NOT_TEXT, text.strip()[:30], name)
            yield text


def _texts_of_other_encoding(stream: BinaryIO, encoding: str, name: str, meter: Meter | None) -> Iterator[str]:
    decoder = codecs.getincrementaldecoder(encoding)(errors="replace")
    rest = ""
    for block in blocks(stream):
        if meter is not None:
            meter.add(len(block))
        rest += decoder.decode(block)
        cut = rest.rfind("\n") + 1
        if cut:
            yield rest[:cut]
            rest = rest[cut:]
        if len(rest) > LONGEST_LINE:
            raise _too_long(name)
    if rest := rest + decoder.decode(b"", final=True):
        yield rest


def _too_long(name: str) -> ImportFailure:
    return ImportFailure(
        _("A line is longer than {n} characters; no table has such lines.", n=LONGEST_LINE),
        where=name, hint=_("Nothing was imported. Look whether this is the right file."),
    )  # fmt: skip


def shape_of(bundle: Bundle, name: str, between: str = "") -> Shape:
    """How a file is written, told from its beginning."""
    with bundle.open(name) as stream:
        head = stream.read(_SAMPLE)
    encoding = encoding_of(head, name)
    if between:
        return Shape(encoding, between)
    text = head.decode(encoding, errors="replace")
    sample = text.splitlines()[:40]
    if len(head) == _SAMPLE and len(sample) > 1:
        sample = sample[:-1]
    return Shape(encoding, max(_BETWEEN, key=lambda sign: _fit(sample, sign)))


def _fit(sample: list[str], between: str) -> tuple[int, int]:
    """Cells in rows that have as many as most rows have."""
    try:
        counts = [len(row) for row in csv.reader(sample, delimiter=between)]
    except csv.Error:
        return 0, 0
    wide = [count for count in counts if count > 1]
    if not wide:
        return 0, 0
    usual = max(set(wide), key=wide.count)
    return wide.count(usual) * usual, -_BETWEEN.index(between)


def rows(
    bundle: Bundle, name: str, shape: Shape, tally: Tally, meter: Meter | None = None, quote: str = '"'
) -> Iterator[list[str]]:
    """Rows of cells as they stand in the file."""
    with bundle.open(name) as stream:
        yield from _rows(texts(stream, shape.encoding, name, tally, meter), name, shape.between, quote)


def rows_of(data: Iterator[bytes], name: str, tally: Tally) -> Iterator[list[str]]:
    """Rows of cells of whole lines in UTF-8, with commas between them."""
    return _rows((_decoded(block, name, tally) for block in data), name, ",", '"')


def _rows(read: Iterator[str], name: str, between: str, quote: str) -> Iterator[list[str]]:
    n_cells = 0
    for text in read:
        quick = _split(text, between, quote, n_cells)
        if quick is None:  # from here on a cell may reach over lines
            yield from _csv_rows(_lines(itertools.chain((text,), read)), name, between, quote)
            return
        n_cells = len(quick[0]) if quick else n_cells
        yield from quick


def _split(text: str, between: str, quote: str, n_cells: int) -> list[list[str]] | None:
    """Rows of a text in which nothing but the signs between cells has to be looked at; None of any other.

    That is so where no cell is quoted, or where every cell is and none holds a quotation mark or a line break: then
    there are two marks a cell.  It takes half the time of the csv module, and tables have millions of rows.
    """
    if "\r" in text:
        text = text.replace("\r\n", "\n")
        if "\r" in text:
            return None
    rows_of_text = text.removesuffix("\n").split("\n")
    marks = text.count(quote)
    if not marks:
        return [row.split(between) for row in rows_of_text]
    if not n_cells:
        n_cells = rows_of_text[0].count(f"{quote}{between}{quote}") + 1
    if marks != 2 * n_cells * len(rows_of_text):
        return None
    apart = f"{quote}{between}{quote}"
    found = [row[1:-1].split(apart) for row in rows_of_text]
    edges = all(row.startswith(quote) and row.endswith(quote) for row in rows_of_text)
    return found if edges and set(map(len, found)) == {n_cells} else None


def _lines(read: Iterable[str]) -> Iterator[str]:
    for text in read:
        yield from io.StringIO(text, newline="")


def _csv_rows(read: Iterable[str], name: str, between: str, quote: str) -> Iterator[list[str]]:
    reader = csv.reader(read, delimiter=between, quotechar=quote)
    try:
        yield from reader
    except csv.Error as error:
        raise ImportFailure(
            _("The cells cannot be told apart: {reason}", reason=error),
            where=_("{file}, line {line}", file=name, line=reader.line_num),
            hint=_("A quotation mark may be missing there."),
        ) from error


class Header:
    """Where the columns of a file with one header row stand, found by name whatever their order."""

    def __init__(self, cells: Iterable[str], name: str) -> None:
        self.file = name
        self._at: dict[str, int] = {}
        for at, cell in enumerate(cells):
            self._at.setdefault(cell.strip().casefold(), at)

    def __contains__(self, column: object) -> bool:
        return column in self._at

    def need(self, *columns: str) -> tuple[int, ...]:
        """Places of columns that must be there."""
        missing = [column for column in columns if column not in self._at]
        if missing:
            raise ImportFailure(
                _("The column “{column}” is missing.", column=missing[0]), where=self.file,
                hint=_("Take the file as it was published."),
            )  # fmt: skip
        return tuple(self._at[column] for column in columns)

    def get(self, *columns: str) -> int:
        """Place of the first of these columns that is there; -1 where none is."""
        return next((self._at[column] for column in columns if column in self._at), -1)
