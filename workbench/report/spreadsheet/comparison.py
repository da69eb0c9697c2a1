"""The first sheet where there are several variants: them beside each other, following their inputs."""

from collections.abc import Callable, Sequence
from typing import Any

from workbench.base.text import N_, _
from workbench.document.project import Basis
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import HEADLINE, QUANTITIES
from workbench.recipe.words import PURPOSES
from workbench.report.spreadsheet.charts import comparison_chart
from workbench.report.spreadsheet.declared import brought_by, groups_of, parts_of
from workbench.report.spreadsheet.figures import GRAMS, NOT_VALID, PERCENT, SIGNS, decimal_places
from workbench.report.spreadsheet.formula import Live, cell, down, literal, sentence
from workbench.report.spreadsheet.judging import state_words
from workbench.report.spreadsheet.nutrition import figure_cells
from workbench.report.spreadsheet.page import Cell, Content, Page, Row, Section
from workbench.report.spreadsheet.shown import quantity_title
from workbench.report.spreadsheet.variant import Setting, Written, title_rows

_DRAWN = ("CHOAVLDF", "glucose_type", "fructose_type", "FAT", "FIBTG", "PROCNT")
_UPRIGHT = 5  # so many variants fit on an upright page
_CHART_PT = 230.0

Column = tuple[Evaluation, Written | None]


def fill_comparison(setting: Setting, worksheet: Any, columns: Sequence[Column]) -> None:
    """Write the variants beside each other; one without a valid result has no figures."""
    n = len(columns)
    widths = (34.0, 5.0, *(2.4, max(12.0, 66.0 / n - 2.4)) * n)
    page = Page(worksheet, setting.look, widths, setting.paper, landscape=n > _UPRIGHT)
    last = page.last_column
    subtitle = _("variants of one recipe")
    if setting.written:
        subtitle += "  ·  " + _("written on {date}", date=setting.written.isoformat())
    names: Row = (
        Cell(0, None, "head", 1),
        *(Cell(2 + 2 * k, each.variant.name, "head_name", 3 + 2 * k) for k, (each, _w) in enumerate(columns)),
    )
    head = title_rows(setting.project.title, subtitle, last)
    page.head([*head, names], frozen_columns=1)
    page.add(Section("", _batch_rows(columns)))
    page.add(Section(_("One piece"), [_quantity_row(columns, key, "portion") for key in HEADLINE]))
    page.add(Section(_("Targets"), [_words_row(_("targets"), columns, _target_words)]))
    _add_chart(setting, page, columns, len(head))
    page.add(Section(_("Allergens and animal origin"), _group_rows(setting, columns)))
    page.add(Section(_("100 g"), [_quantity_row(columns, key, "per_100g") for key in HEADLINE]))
    page.add(Section("", [(Cell(0, _(SIGNS), "muted", last),)]))
    page.finish(setting.project.title, _("page {page} of {pages}", page="&P", pages="&N"))


def _add_chart(setting: Setting, page: Page, columns: Sequence[Column], head_row: int) -> None:
    shown = [3 + 2 * k for k, (each, written) in enumerate(columns) if written]
    if not shown:
        return
    keys = [key for key in _DRAWN if key in HEADLINE]
    title = _("What the chart draws: g in one piece, known part")
    rows: list[Row] = []
    for key in keys:
        cells = []
        for k, (_each, written) in enumerate(columns):
            cells.append(Cell(2 + 2 * k, None, "figure"))
            content: Content = None
            if written:
                value = written.sheet.places.figure_there(key, "portion").value
                content = Live(f"N({value})", written.sheet.evaluation.bound(key).value)
            cells.append(Cell(3 + 2 * k, content, "figure", -1, decimal_places(QUANTITIES[key].decimals)))
        rows.append((Cell(0, quantity_title(key), "name"), Cell(1, QUANTITIES[key].unit, "unit"), *cells))
    row, height_px = page.room(_("Beside each other"), _CHART_PT)
    first = page.add(Section(title, rows))
    chart = comparison_chart(setting.workbook, page.sheet.name, (first, first + len(keys) - 1), shown, head_row)
    chart.set_size({"width": page.width_px - 20, "height": height_px - 8})
    page.sheet.insert_chart(row, 0, chart, {"x_offset": 8, "y_offset": 2, "object_position": 2})


def _batch_rows(columns: Sequence[Column]) -> list[Row]:
    def row(label: str, unit: str, form: str, name: str, value: Callable[[Evaluation], float]) -> Row:
        cells = []
        for k, (each, written) in enumerate(columns):
            content: Content = _(NOT_VALID)
            if written:
                to = written.sheet.places
                valid, there = to.there(to.portion("valid")), to.there(to.portion(name))
                content = Live(f"IF({valid}=1,{there},{literal(_(NOT_VALID))})", value(each))
            cells += [Cell(2 + 2 * k, None, "figure"), Cell(3 + 2 * k, content, "figure", -1, form)]
        return Cell(0, label, "name"), Cell(1, unit or None, "unit"), *cells

    return [
        _words_row(_("purpose"), columns, lambda each, _written: _(PURPOSES[each.variant.purpose]), always=True),
        row(_("whole pieces"), "", "0", "whole_pieces", lambda each: each.portions.whole_pieces),
        row(_("weight of a piece"), "g", GRAMS, "piece_g", lambda each: each.portions.piece_g),
        row(_("raw batch, edible parts"), "g", GRAMS, "raw_g", lambda each: each.raw_g),
        row(_("finished batch"), "g", GRAMS, "finished_g", lambda each: each.finished_g),
        row(_("finished, of raw"), "%", PERCENT, "finished_percent", lambda each: each.finished_percent),
    ]


def _quantity_row(columns: Sequence[Column], key: str, basis: Basis) -> Row:
    quantity = QUANTITIES[key]
    cells: list[Cell] = []
    for k, (_each, written) in enumerate(columns):
        if written:
            on_basis = "batch" if quantity.kind == "ratio" else basis
            form = decimal_places(quantity.decimals)
            cells += figure_cells(written.sheet, key, on_basis, 2 + 2 * k, "figure", form)
        else:
            cells += [Cell(2 + 2 * k, None, "figure"), Cell(3 + 2 * k, _(NOT_VALID), "figure")]
    return Cell(0, quantity_title(key), "name"), Cell(1, quantity.unit or None, "unit"), *cells


def _words_row(
    label: str, columns: Sequence[Column], words: Callable[[Evaluation, Written], Content], *, always: bool = False
) -> Row:
    cells = []
    for k, (each, written) in enumerate(columns):
        content = words(each, written) if always or written else _(NOT_VALID)  # type: ignore[arg-type]
        cells.append(Cell(2 + 2 * k, content, "words", 3 + 2 * k))
    return Cell(0, label, "name", 1), *cells


_MET_OF = N_("{met} of {all} met")


def _target_words(_each: Evaluation, written: Written) -> Content:
    """How many of the targets are met."""
    n = len(written.verdicts)
    if not n:
        return _("none set")
    to = written.sheet.places
    states = to.there(down(9, to.targets, to.targets + n - 1))
    met = sum(verdict.state == "met" for verdict in written.verdicts)
    count = f"COUNTIF({states},{literal(state_words('met'))})"
    return Live(sentence(_MET_OF, met=count, all=str(n)), _(_MET_OF, met=met, all=n))


def _group_rows(setting: Setting, columns: Sequence[Column]) -> list[Row]:
    """Allergens and origins of all variants, and who brings them in each."""
    found: list[dict[str, Content]] = []
    labels: dict[str, None] = {}
    for each, written in columns:
        cells: dict[str, Content] = {}
        if written:
            parts = parts_of(setting.project, each)
            to = written.sheet.places
            for k, group in enumerate(groups_of(parts)):
                labels[group.label] = None
                address = to.there(cell(to.groups + k, 2))
                cells[group.label] = Live(f'IF({address}="","–",{address})', brought_by(parts, group) or "–")
        found.append(cells)
    rows: list[Row] = []
    for label in labels:
        shown = (
            Cell(2 + 2 * k, found[k].get(label, "–") if written else _(NOT_VALID), "words", 3 + 2 * k)
            for k, (_each, written) in enumerate(columns)
        )
        rows.append((Cell(0, label, "name", 1), *shown))
    return rows or [(Cell(0, _("none of the watched allergens was entered"), "name", 1),)]
