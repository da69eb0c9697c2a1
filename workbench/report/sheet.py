"""The workbook that is handed over: every variant with live formulas, laid out for A4 or US Letter.

It lays out and works nothing out: the engine's figures stand in the cells, and the formulas in them give the same.
The same project gives the same bytes, because no clock is read here.
"""

from collections.abc import Sequence
from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path
from typing import Any, Literal

from workbench.base.errors import WorkbenchError
from workbench.base.files import write_atomically
from workbench.base.text import _
from workbench.document.project import Project
from workbench.recipe.allergens import Rules
from workbench.recipe.evaluation import Evaluation
from workbench.report.spreadsheet import look
from workbench.report.spreadsheet.comparison import fill_comparison
from workbench.report.spreadsheet.safe_text import one_line, sheet_groups, sheet_names
from workbench.report.spreadsheet.variant import ENDINGS, Group, Setting, can_be_live, fill_variant

Paper = Literal["a4", "letter"]

_CREATED = datetime(2000, 1, 1, tzinfo=UTC).replace(tzinfo=None)  # the format asks for a date and knows no zone


def write_sheet(
    project: Project,
    evaluations: Sequence[Evaluation],
    path: Path,
    *,
    written: date | None = None,
    paper: Paper | None = None,
    rules: Rules | None = None,
) -> None:
    """Write the workbook of some variants of a project.

    Parameters
    ----------
    project : Project
        Holds the foods, targets and assumptions.
    evaluations : sequence of Evaluation
        The variants to write, in their order; several get a comparison before them.  One without a valid result gets
        its problems and no figure.
    path : Path
        The .xlsx file to write; an old one is replaced, or kept as it was if writing fails.
    written : date, optional
        The date to print.
    paper : {"a4", "letter"}, optional
        What it is laid out for; where absent, US Letter for projects in US measures and A4 for others.
    rules : {"eu", "us"}, optional
        Whose law the declaration follows; where absent, as with paper.

    Raises
    ------
    WorkbenchError
        If there is no variant to write.
    FileError
        If the file cannot be written.
    """
    write_atomically(path, sheet_bytes(project, evaluations, written, paper=paper, rules=rules))


def sheet_bytes(
    project: Project,
    evaluations: Sequence[Evaluation],
    written: date | None = None,
    *,
    paper: Paper | None = None,
    rules: Rules | None = None,
) -> bytes:
    """The workbook as the content of a file; see ``write_sheet``."""
    if not evaluations:
        raise WorkbenchError(
            _("There is no variant to write."), hint=_("Give the project a variant first."), where=project.title
        )
    import xlsxwriter  # type: ignore[import-untyped]

    of_us = project.measures == "us"
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
        setting = Setting(
            workbook,
            look.Look(workbook),
            project,
            paper or ("letter" if of_us else "a4"),
            rules or ("us" if of_us else "eu"),
            written,
        )
        worksheet_class = _worksheet_class()
        first = sheet_names([_("comparison")]) if len(evaluations) > 1 else []
        comparison = [workbook.add_worksheet(name, worksheet_class) for name in first]
        endings = tuple(_(ending) if ending else "" for ending in ENDINGS)
        names = sheet_groups([each.variant.name for each in evaluations], endings, taken=first)
        columns = []
        for evaluation, (spec, calculation, composition) in zip(evaluations, names, strict=True):
            sheets = [workbook.add_worksheet(spec, worksheet_class)]
            if can_be_live(evaluation):
                sheets += [workbook.add_worksheet(name, worksheet_class) for name in (calculation, composition)]
            group = Group(*sheets, *(None,) * (3 - len(sheets)))
            columns.append((evaluation, fill_variant(setting, group, evaluation)))
        for worksheet in comparison:
            fill_comparison(setting, worksheet, columns)
    return target.getvalue()


def _worksheet_class() -> type[Any]:
    """Worksheets that take a formula as it is.

    XlsxWriter 3.3 looks for some thirty functions of recent years in every formula, which took two thirds of the time;
    none is used here.
    """
    from xlsxwriter.worksheet import Worksheet  # type: ignore[import-untyped]

    class PlainFormulas(Worksheet):  # type: ignore[misc]
        def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
            return formula

    return PlainFormulas
