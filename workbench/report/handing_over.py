"""Results, comparison and declaration as a workbook, CSV, JSON or Markdown: the ending of the file says which."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

import msgspec

from workbench.base.errors import WorkbenchError
from workbench.base.files import write_atomically
from workbench.base.text import _
from workbench.document.project import Basis, Project
from workbench.recipe.allergens import Rules
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.pack_statement import PackStatement
from workbench.report import csv_files, markdown
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
    project: Project, evaluations: Sequence[Evaluation], path: Path, *, basis: Basis, written: date | None = None
) -> None:
    """Write two or more variants beside each other to a file that ends in .csv or .md.

    Raises
    ------
    WorkbenchError
        If there is only one variant.
    FileError
        If the file cannot be written.
    """
    if len(evaluations) < 2:
        raise WorkbenchError(_("A comparison needs two variants."), hint=_("Name two or more."), where=project.title)
    if path.suffix.casefold() == ".csv":
        write_atomically(path, csv_files.comparison_csv(evaluations, basis))
    else:
        write_atomically(path, markdown.comparison_markdown(project, evaluations, basis, written).encode())


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
