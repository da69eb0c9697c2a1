"""Writing an exported table: a workbook of four sheets, or four CSV files in a zip.

No text of a user becomes a formula: a workbook holds it as text, and in CSV an apostrophe stands before what could be
taken for one (``base.cell_text``), which reading takes away again.
"""

import csv
import io
import tempfile
import zipfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from workbench.base.cell_text import clean, guarded
from workbench.base.errors import FileError
from workbench.base.files import write_atomically
from workbench.base.progress import Progress
from workbench.base.text import _
from workbench.composition.exports.sheets import Cell, sheets
from workbench.composition.food import Food

_MOST_TEXT = 32_000  # characters in a cell; spreadsheet programs hold 32,767
_MOST_ROWS = 1_048_576  # of a worksheet in XLSX; the writer drops what is beyond them without a word
_WHEN = (1980, 1, 1, 0, 0, 0)  # the same foods give the same bytes


def export_foods(foods: Iterable[Food], path: Path, progress: Progress | None = None) -> int:
    """Write ``foods`` to ``path``: a workbook (.xlsx), or CSV files in a zip (.zip).

    Returns
    -------
    int
        Number of foods.

    Raises
    ------
    FileError
        If the file cannot be written, or its ending says neither.
    """
    progress = progress or Progress()
    ending = path.suffix.casefold()
    if ending not in (".xlsx", ".zip"):
        raise FileError(
            _("A table is written as .xlsx or .zip."), where=str(path),
            hint=_("The .zip holds four CSV files: foods, values, measures and packs."),
        )  # fmt: skip
    rows = tuple(foods)
    write_atomically(path, _workbook(rows, progress) if ending == ".xlsx" else _csv_zip(rows, progress))
    return len(rows)


def _csv_zip(foods: tuple[Food, ...], progress: Progress) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, rows in sheets(foods).items():
            text = io.StringIO(newline="")
            writer = csv.writer(text, lineterminator="\n")
            for done, row in enumerate(rows):
                if done % 50 == 0:
                    progress.step(done, None)
                writer.writerow([_csv_text(cell) for cell in row])
            archive.writestr(_member(name), text.getvalue().encode("utf-8"))
    return packed.getvalue()


def _member(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(f"{name}.csv", _WHEN)
    info.compress_type, info.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
    return info


def _csv_text(cell: Cell) -> str:
    if cell is None:
        return ""
    return guarded(clean(cell, _MOST_TEXT)) if isinstance(cell, str) else _digits(cell)


def _digits(figure: float) -> str:
    return repr(figure).removesuffix(".0")


def _workbook(foods: tuple[Food, ...], progress: Progress) -> bytes:
    import xlsxwriter  # type: ignore[import-untyped]

    packed = io.BytesIO()
    with tempfile.TemporaryDirectory() as folder:
        # Row by row: a table of 100,000 foods would take a gigabyte of memory otherwise.
        book = xlsxwriter.Workbook(packed, {"constant_memory": True, "tmpdir": folder})
        try:
            _fill(book, foods, progress)
            book.close()
        finally:
            for sheet in book.worksheets():
                sheet.row_data_fh.close()  # left open where writing is broken off
    return packed.getvalue()


def _fill(book: Any, foods: tuple[Food, ...], progress: Progress) -> None:
    bold = book.add_format({"bold": True})
    for name, rows in sheets(foods).items():
        sheet = book.add_worksheet(name)
        sheet.freeze_panes(1, 2)
        sheet.set_column(0, 1, 28)
        for line, row in enumerate(rows):
            if line % 50 == 0:
                progress.step(line, None)
            if line == _MOST_ROWS:
                raise FileError(
                    _("A worksheet holds {n} rows, and there are more.", n=_MOST_ROWS),
                    hint=_("Write the table as a .zip of CSV files, or fewer foods."),
                )
            for at, cell in enumerate(row):
                if cell is None or cell == "":
                    continue
                if isinstance(cell, str):
                    sheet.write_string(line, at, clean(cell, _MOST_TEXT), bold if line == 0 else None)
                elif float(f"{cell:.16G}") == cell:  # what the file keeps of a number
                    sheet.write_number(line, at, cell)
                else:
                    sheet.write_string(line, at, _digits(cell))
