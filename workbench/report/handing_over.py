"""Results, comparison and declaration as a workbook, CSV, JSON or Markdown: the ending of the file says which."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

import msgspec

from workbench.base.errors import Problem, WorkbenchError
from workbench.base.files import write_atomically
from workbench.base.text import _
from workbench.document.project import Project
from workbench.recipe.allergens import Rules
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.pack_statement import PackStatement
from workbench.recipe.side_by_side import SideBySide
from workbench.report import csv_files, markdown
from workbench.report.comparison.data import comparison_csv, comparison_data
from workbench.report.comparison.texts import comparison_markdown
from workbench.report.declaration_json import declaration_data
from workbench.report.results_json import variant_data
from workbench.report.sheet import Paper


def _json(data: dict[str, Any]) -> bytes:
    return msgspec.json.format(msgspec.json.encode(data), indent=2) + b"\n"


def write_results(
    project: Project,
    evaluations: Sequence[Evaluation],
    path: Path,
    *,
    written: date | None = None,
    paper: Paper | None = None,
    rules: Rules | None = None,
) -> None:
    """Write what variants deliver to a file that ends in .xlsx, .csv, .json or .md.

    ``paper`` and ``rules`` are those of the workbook; without them they follow the measures of the project.

    Raises
    ------
    WorkbenchError
        If there is no variant.
    FileError
        If the file cannot be written.
    """
    ending = path.suffix.casefold()
    if ending == ".csv":
        write_atomically(path, csv_files.results_csv(evaluations))
    elif ending == ".json":
        write_atomically(path, _json({"variants": [variant_data(each) for each in evaluations]}))
    elif ending == ".md":
        write_atomically(path, markdown.results_markdown(project, evaluations, written).encode())
    else:
        from workbench.report.sheet import write_sheet

        write_sheet(project, evaluations, path, written=written, paper=paper, rules=rules)


def write_comparison(
    project: Project,
    side: SideBySide,
    path: Path,
    *,
    title: str = "",
    written: date | None = None,
    paper: Paper | None = None,
) -> tuple[Problem, ...]:
    """Write variants side by side to a file that ends in .pdf, .md, .csv, .json or .xlsx.

    Parameters
    ----------
    project : Project
        The open one; its measures choose the paper where none is given.
    side : SideBySide
        The comparison.
    path : Path
        The file to write.
    title : str
        What stands over it; the title of the project where empty.
    written : date, optional
        The date to print.
    paper : {"a4", "letter"}, optional
        Of the page and of the workbook.

    Returns
    -------
    tuple of Problem
        What could not be set as it was given.

    Raises
    ------
    WorkbenchError
        If a workbook is asked for and a variant is of another project.
    FileError
        If the file cannot be written.
    """
    title = title or project.title
    ending = path.suffix.casefold()
    if ending == ".pdf":
        from workbench.report.comparison.page import comparison_page
        from workbench.report.pdf.writer import pdf_bytes

        found = comparison_page(side, title, paper or ("letter" if project.measures == "us" else "a4"), written)
        write_atomically(path, pdf_bytes(found.pages, title=title, written=written))
        return found.problems
    if ending == ".csv":
        write_atomically(path, comparison_csv(side))
    elif ending == ".json":
        write_atomically(path, _json(comparison_data(side, title)))
    elif ending == ".md":
        write_atomically(path, comparison_markdown(side, title, written).encode())
    else:
        _write_sheet_of(project, side, path, written, paper)
    return ()


def _write_sheet_of(project: Project, side: SideBySide, path: Path, written: date | None, paper: Paper | None) -> None:
    """The workbook of the variants compared; it has them beside each other on its first sheet."""
    from workbench.report.sheet import write_sheet

    foreign = [column.full_title for column in side.columns if column.project]
    if foreign:
        raise WorkbenchError(
            _("A workbook holds variants of one project, and {names} is of another.", names=", ".join(foreign)),
            hint=_("Write the comparison as .pdf, .md, .csv or .json."),
            where=str(path),
        )
    reference = side.columns[side.reference]
    columns = (reference, *(column for column in side.columns if column is not reference))
    write_sheet(project, [column.evaluation for column in columns], path, written=written, paper=paper)


def write_declaration(
    project: Project, statements: Sequence[tuple[str, PackStatement]], path: Path, *, written: date | None = None
) -> None:
    """Write what packs have to say, by name of the variant, to a file that ends in .csv, .json or .md.

    Raises
    ------
    FileError
        If the file cannot be written.
    """
    ending = path.suffix.casefold()
    if ending == ".csv":
        write_atomically(path, csv_files.declaration_csv(statements))
    elif ending == ".json":
        write_atomically(path, _json({"declarations": [declaration_data(*each) for each in statements]}))
    else:
        write_atomically(path, markdown.declaration_markdown(project, statements, written).encode())
