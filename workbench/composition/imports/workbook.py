"""Rows of cells from an XLSX workbook: stored figures only.  Nothing is run, opened or followed.

Before the workbook is read, its parts are looked at: sizes, document types (which XML needs for entity bombs), macros,
links to other files, merged cells, formulas.
"""

import re
import warnings
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, BinaryIO
from xml.parsers import expat

from workbench.base.errors import WorkbenchError
from workbench.base.text import _
from workbench.composition.imports import findings
from workbench.composition.imports.bundle import DAMAGED, Bundle, blocks, check_zip
from workbench.composition.imports.layout import ImportFailure
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Meter

ENDINGS = (".xlsx", ".xlsm")
_MOST_BYTES = 1_000_000_000  # unpacked; 400,000 foods x 40 components
_MOST_COLUMNS = 2_000
_MERGED = re.compile(rb'<mergeCell [^>]*?ref="([A-Z0-9:]{1,30})"')
_FORMULA = re.compile(rb"<f[\s>/]")
_OVERLAP = 100  # bytes in which a sign could be cut by the end of a block


class _PrologRead(Exception):
    """The root element has begun: no document type can follow."""


def _refuse_document_type(stream: BinaryIO, part: str, name: str) -> None:
    def doctype(*_what: object) -> None:
        raise ImportFailure(
            _("A part of the workbook, {part}, declares a document type, as only harmful files do.", part=part),
            where=name, hint=_("Nothing was read. Ask for the table as CSV."),
        )  # fmt: skip

    def root(*_what: object) -> None:
        raise _PrologRead

    parser = expat.ParserCreate()
    parser.StartDoctypeDeclHandler, parser.StartElementHandler = doctype, root
    try:
        for block in blocks(stream, 4096):
            parser.Parse(block)
    except (_PrologRead, expat.ExpatError):
        return  # what is no XML at all is found when it is read


def _look(packed: zipfile.ZipFile, name: str, tally: Tally) -> bool:
    """Say what is odd about the workbook; whether it holds formulas."""
    check_zip(packed, name, _MOST_BYTES)
    parts = packed.namelist()
    if any(part.casefold().endswith("vbaproject.bin") for part in parts):
        tally.note(findings.MACROS)
    if any("/externallinks/" in part.casefold() for part in parts):
        tally.note(findings.LINKS)
    formulas = False
    for part in parts:
        if not part.casefold().endswith((".xml", ".rels", ".vml")):
            continue
        with packed.open(part) as stream:
            _refuse_document_type(stream, part, name)  # type: ignore[arg-type]
        if "worksheets/" in part:
            with packed.open(part) as stream:
                formulas |= _scan(stream, tally)  # type: ignore[arg-type]
    if formulas:
        tally.note(findings.FORMULAS)
    return formulas


def _scan(stream: BinaryIO, tally: Tally) -> bool:
    formulas, rest = False, b""
    for block in blocks(stream):
        text = rest + block
        formulas = formulas or _FORMULA.search(text) is not None
        for found in _MERGED.finditer(text):
            if found.end() > len(rest):
                tally.note(findings.MERGED, found[1].decode())
        rest = text[-_OVERLAP:]
    return formulas


@contextmanager
def _opened(bundle: Bundle, name: str, *, formulas: bool = False) -> Iterator[Any]:
    from openpyxl import load_workbook

    book = None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about styles and extensions, which no figure depends on
            book = load_workbook(
                bundle.seekable(name), read_only=True, data_only=not formulas, keep_links=False, keep_vba=False
            )
        yield book
    except (WorkbenchError, GeneratorExit):
        raise
    except Exception as error:  # a damaged workbook fails anywhere in the library that reads it
        raise ImportFailure(
            _("The workbook cannot be read: {reason}", reason=str(error) or type(error).__name__), where=name,
            hint=_("Open it in a spreadsheet program and save it again as XLSX, or as CSV."),
        ) from error  # fmt: skip
    finally:
        if book is not None:
            book.close()


def look(bundle: Bundle, name: str, tally: Tally) -> bool:
    """Refuse a workbook that is harmful, note what is odd about it, and say whether it holds formulas.

    Raises
    ------
    ImportFailure
        If it is no workbook, too large, or declares a document type.
    """
    try:
        with zipfile.ZipFile(bundle.seekable(name)) as packed:
            return _look(packed, name, tally)
    except DAMAGED as error:
        raise ImportFailure(
            _("This is no XLSX workbook."), where=name,
            hint=_("Open it in a spreadsheet program and save it as XLSX, without a password."),
        ) from error  # fmt: skip


def sheets(bundle: Bundle, name: str) -> tuple[str, ...]:
    """Names of the worksheets."""
    with _opened(bundle, name) as book:
        return tuple(sheet.title for sheet in book.worksheets)


def rows(bundle: Bundle, name: str, sheet: str, tally: Tally, meter: Meter | None = None) -> Iterator[list[str]]:
    """Rows of a worksheet as text; a formula gives its stored result."""
    formulas = look(bundle, name, tally)
    with _opened(bundle, name) as book:
        read = _rows_of(book[sheet], meter, bundle.size(name))
        if not formulas:
            yield from (row for _number, row in read)
            return
        with _opened(bundle, name, formulas=True) as as_written:
            others = _rows_of(as_written[sheet], None, 0)
            for (number, row), (_same, written) in zip(read, others, strict=False):
                for at, text in enumerate(written):
                    if text.startswith("=") and not (row[at] if at < len(row) else ""):
                        tally.note(findings.NO_STORED_RESULT, _("row {n}: {text}", n=number, text=text[:30]))
                yield row


def _rows_of(sheet: Any, meter: Meter | None, size: int) -> Iterator[tuple[int, list[str]]]:
    sheet.reset_dimensions()  # what a workbook says of its size need not be true
    for number, row in enumerate(sheet.iter_rows(max_col=_MOST_COLUMNS), 1):
        if meter is not None and number % 20 == 0:
            meter.add(0 if number > size else 20)
        texts = [_text(cell) for cell in row]
        while texts and not texts[-1]:
            texts.pop()
        yield number, texts


def _text(cell: Any) -> str:
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, int | float):
        if "%" in (cell.number_format or ""):
            return f"{100.0 * value:.12g} %"
        return repr(value) if isinstance(value, float) and not value.is_integer() else f"{value:.0f}"
    return str(value)
