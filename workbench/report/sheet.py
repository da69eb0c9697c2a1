"""The sheet that is handed over: a spreadsheet of values, one worksheet a variant, laid out for A4.

Layout only.  The same project gives the same bytes, because no clock is read here.
"""

from collections.abc import Sequence
from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path

from workbench.base.errors import WorkbenchError
from workbench.base.files import write_atomically
from workbench.base.text import _
from workbench.document.project import Project
from workbench.recipe.evaluation import Evaluation
from workbench.report.spreadsheet import look
from workbench.report.spreadsheet.overview import fill_overview_sheet
from workbench.report.spreadsheet.safe_text import one_line, sheet_names
from workbench.report.spreadsheet.variant import fill_variant_sheet

_CREATED = datetime(2000, 1, 1, tzinfo=UTC).replace(tzinfo=None)  # the format asks for a date and knows no zone


def write_sheet(
    project: Project, evaluations: Sequence[Evaluation], path: Path, *, written: date | None = None
) -> None:
    """Write the spreadsheet of some variants of a project.

    Parameters
    ----------
    project : Project
        Holds the foods, targets and assumptions.
    evaluations : sequence of Evaluation
        The variants to write, in their order; several get an overview before them.  One without a valid result gets
        its problems and no figure.
    path : Path
        The .xlsx file to write; an old one is replaced, or kept as it was if writing fails.
    written : date, optional
        The date to print.

    Raises
    ------
    WorkbenchError
        If there is no variant to write.
    FileError
        If the file cannot be written.
    """
    write_atomically(path, sheet_bytes(project, evaluations, written))


def sheet_bytes(project: Project, evaluations: Sequence[Evaluation], written: date | None = None) -> bytes:
    """The spreadsheet as the content of a file; see ``write_sheet``."""
    if not evaluations:
        raise WorkbenchError(
            _("There is no variant to write."), hint=_("Give the project a variant first."), where=project.title
        )
    import xlsxwriter  # type: ignore[import-untyped]

    target = BytesIO()
    plain = {"font_name": look.FONT, "font_size": look.SIZE_PT, "font_scheme": False}
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
        "default_format_properties": plain,
    }
    with xlsxwriter.Workbook(target, options) as workbook:
        workbook.set_properties({"title": one_line(project.title), "created": _CREATED})
        formats = look.Look(workbook)
        several = len(evaluations) > 1
        names = sheet_names([_("overview")] * several + [each.variant.name for each in evaluations])
        sheets = [workbook.add_worksheet(name) for name in names]
        if several:
            fill_overview_sheet(sheets[0], formats, project, evaluations, written)
        for sheet, evaluation in zip(sheets[several:], evaluations, strict=True):
            fill_variant_sheet(sheet, formats, project, evaluation, written)
    return target.getvalue()
