"""A sheet of cells, whether it lies in a text file or a workbook: its rows, and which of several is meant."""

from collections.abc import Iterator
from itertools import islice
from typing import NamedTuple

from workbench.base.text import _
from workbench.composition.imports import text_rows, workbook
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.layout import ImportFailure
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Meter

_TEXT = (".csv", ".tsv", ".txt", ".tab")
_OTHERS = (".xls", ".ods", ".xlsb", ".numbers", ".pdf", ".doc", ".docx", ".accdb", ".mdb")
_LOOKED_AT = 80  # rows
_MOST_TABLES = 20  # in a folder that holds one table and its companions


class Grid(NamedTuple):
    """One sheet with its first rows."""

    name: str  # of the file, in lower case
    sheet: str
    first: tuple[list[str], ...]


def grids(bundle: Bundle, tally: Tally) -> list[Grid]:
    """Every sheet of the table with its beginning.

    Raises
    ------
    ImportFailure
        If there is none, or one is harmful.
    """
    found: list[Grid] = []
    n_tables = sum(name.endswith((*_TEXT, *workbook.ENDINGS)) for name in bundle.names)
    if n_tables > _MOST_TABLES:
        raise ImportFailure(
            _("There are {n} tables here.", n=n_tables), where=bundle.path.name, hint=_("Name the one that is meant.")
        )
    for name in bundle.names:
        if name.endswith(workbook.ENDINGS):
            workbook.look(bundle, name, tally)
            found += (Grid(name, sheet, _first(bundle, name, sheet)) for sheet in workbook.sheets(bundle, name))
        elif name.endswith(_TEXT) or (len(bundle.names) == 1 and not name.endswith(_OTHERS)):
            found.append(Grid(name, "", _first(bundle, name, "")))
    if not found:
        raise ImportFailure(
            _("There is no table here that can be read."), where=bundle.path.name,
            hint=_("Save it as CSV or XLSX and import that."),
        )  # fmt: skip
    return found


def _first(bundle: Bundle, name: str, sheet: str) -> tuple[list[str], ...]:
    return tuple(islice(rows(bundle, name, sheet, Tally()), _LOOKED_AT))


def rows(bundle: Bundle, name: str, sheet: str, tally: Tally, meter: Meter | None = None) -> Iterator[list[str]]:
    """Rows of a sheet, cells without the blanks around them."""
    if sheet:
        read = workbook.rows(bundle, name, sheet, tally, meter)
    else:
        read = text_rows.rows(bundle, name, text_rows.shape_of(bundle, name), tally, meter)
    for row in read:
        yield [cell.strip() for cell in row]
