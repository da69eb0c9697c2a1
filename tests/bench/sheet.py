"""Bench of the workbook: four variants of fifteen lines, against writing the same cells and nothing else."""

from io import BytesIO

import msgspec
import xlsxwriter

from tests.bench.engine import recipe
from tests.bench.measure import Result, interleaved_ms
from tests.external.workbooks import read
from workbench.document.project import Project
from workbench.recipe.evaluation import evaluate
from workbench.recipe.preparation import prepare
from workbench.report.sheet import sheet_bytes


def variants(n: int, n_lines: int) -> Project:
    """A project with so many variants of so many lines."""
    project = recipe(n_lines)
    copies = (msgspec.structs.replace(project.variants[0], id=f"v{k}", name=f"variant {k}") for k in range(n))
    return msgspec.structs.replace(project, variants=tuple(copies))


def workbook() -> Result:
    """The whole workbook from its evaluations, against its numbers, texts and formulas written bare by XlsxWriter."""
    project = variants(4, 15)
    evaluations = [evaluate(prepare(project, variant)) for variant in project.variants]
    assert all(evaluation.valid for evaluation in evaluations)
    content = sheet_bytes(project, evaluations)
    book = read(content)

    def bare() -> None:
        with xlsxwriter.Workbook(BytesIO(), {"in_memory": True}) as written:
            pages = {name: written.add_worksheet(name) for name in dict.fromkeys(sheet for sheet, _a in book.values)}
            for (sheet, address), value in book.values.items():
                formula = book.formulas.get((sheet, address))
                if formula is not None:
                    pages[sheet].write_formula(address, formula, None, value)
                elif isinstance(value, str):
                    pages[sheet].write_string(address, value)
                else:
                    pages[sheet].write_number(address, value)

    figure, baseline = interleaved_ms(lambda: sheet_bytes(project, evaluations), bare, 7)
    note = f"{len(book.values)} cells, {len(book.formulas)} formulas; goal 300 ms"
    return Result("workbook, 4 x 15 lines", figure, "the same cells, bare XlsxWriter", baseline, 2.0, note)
