"""The sheet that works a variant out: lines, stages, portions, then every quantity on every basis.

The formulas are those of ``recipe.flow``, ``recipe.evaluation`` and ``recipe.bound``, cell by cell; the test that
recalculates workbooks holds them to the engine.  Each carries the engine's value.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from workbench.base.text import _
from workbench.document.project import Project, Stage, Weighed
from workbench.recipe.evaluation import WEIGHED_ELSEWHERE, Evaluation
from workbench.recipe.flow import fat_kept
from workbench.recipe.quantities import INDEX
from workbench.report.spreadsheet import places as at
from workbench.report.spreadsheet.composition import Used
from workbench.report.spreadsheet.figures import ANY
from workbench.report.spreadsheet.formula import Live, cell, down, on
from workbench.report.spreadsheet.page import Cell, Page, Row, Section
from workbench.report.spreadsheet.places import Inputs, Places
from workbench.report.spreadsheet.safe_text import short_name
from workbench.report.spreadsheet.stage_account import account, stage_title, weight_formula


class Sheet(NamedTuple):
    """What the tables of one calculation are written from."""

    project: Project
    evaluation: Evaluation
    places: Places
    inputs: Inputs
    spec: str  # name of the sheet that has the inputs
    used: Mapping[str, Used]


def figure(column: int, content: float | str | Live | None, number_format: str = ANY) -> Cell:
    return Cell(column, content, "figure", -1, number_format)


def heads(titles: Sequence[str]) -> Row:
    """A head: a name, then figures."""
    return tuple(Cell(k, title or None, "head_figure" if k else "head") for k, title in enumerate(titles))


def fill_work(page: Page, sheet: Sheet) -> None:
    """Lines and stages."""
    page.add(Section(_("1. Lines: from the grams entered to the edible part"), _lines(sheet, page.last_column)))
    page.add(Section(_("2. Stages: weight and water"), _stages(sheet)))


# --- lines ------------------------------------------------------------------------------------------------------------


def _lines(sheet: Sheet, last: int) -> list[Row]:
    evaluation, places = sheet.evaluation, sheet.places
    prepared = evaluation.prepared
    lines = prepared.variant.lines
    water, fat = INDEX["WATER"], INDEX["FAT"]
    weighed = weighed_stages(prepared.stages)
    titles = [
        _("line"), _("stage"), _("g as entered"), _("edible part of it"), _("g edible"), _("% of raw batch"),
        _("g as written"), _("g cooked per g, typical"), _("1: cooking water"), _("g water per 100 g"),
        _("g water at most per 100 g"), _("1: water not known"), _("g fat kept per 100 g"),
    ]  # fmt: skip
    titles += [_("% when weighed, stage {n}", n=k + 1) for k in weighed]
    rows = [heads(titles)]
    raw = places.portion("raw_g")
    for k, line in enumerate(lines):
        food = sheet.project.foods.get(line.food_ref.id) if line.food_ref.kind != "variant" else None
        amount, edible = places.line(k, at.AMOUNT), places.line(k, at.EDIBLE)
        entered = Live(on(sheet.spec, sheet.inputs.amounts[k]), float(evaluation.amount_g[k]))
        share = 100 * evaluation.edible_g[k] / evaluation.raw_g
        own = float(prepared.row_value[k, water])
        cells = [
            Cell(at.NAME, short_name(prepared.names[k]), "name"),
            figure(at.STAGE, prepared.line_stage[k] + 1, "0"),
            figure(at.AMOUNT, entered),
            figure(at.FRACTION, float(prepared.edible_fraction[k])),
            figure(at.EDIBLE, Live(f"{amount}*{places.line(k, at.FRACTION)}", float(evaluation.edible_g[k]))),
            figure(at.SHARE, Live(f"IF({raw}>0,100*{edible}/{raw},0)", float(share)), "0.0"),
            figure(at.AS_WRITTEN, float(evaluation.amount_g[k])),
            figure(at.YIELD, (food.typical_yield if food else None) or 1.0),
            figure(at.COOKING_WATER, int(line.cooking_water), "0"),
            figure(at.OWN_WATER, 100 * own),
            figure(at.MOST_WATER, 100 * min(float(prepared.row_high[k, water]), 1.0)),
            figure(at.OPEN_WATER, int(prepared.unknown[k, water]), "0"),
            figure(at.FAT, 100 * float(prepared.row_value[k, fat]) if food else 0.0),
        ]
        for c, stage in enumerate(weighed):
            cells.append(figure(at.SHARE_THEN + c, _share_then(prepared.stages[stage], line.id)))
        rows.append(tuple(cells))
    return rows


def weighed_stages(stages: Sequence[Stage]) -> list[int]:
    """Stages whose weighing remembers what was in the pot."""
    return [k for k, s in enumerate(stages) if isinstance(s.weight, Weighed) and sum(s.weight.amounts.values()) > 0]


def _share_then(stage: Stage, line_id: str) -> float:
    assert isinstance(stage.weight, Weighed)
    return 100 * stage.weight.amounts.get(line_id, 0.0) / sum(stage.weight.amounts.values())


# --- stages -----------------------------------------------------------------------------------------------------------


def _stages(sheet: Sheet) -> list[Row]:
    evaluation, places = sheet.evaluation, sheet.places
    prepared = evaluation.prepared
    titles = [
        _("stage"), _("no."), _("g entering here"), _("g from the stage before"), _("weight in, g"),
        _("water in it, g"), _("fat left in the pan, g"), _("poured off, g"), _("entered, first"),
        _("entered, second"), _("weight out, g"), _("water taken up (+) or lost (−), g"),
        _("water at most after it, g"), _("first, as written"), _("second, as written"),
        _("1: shares moved since weighed"),
    ]  # fmt: skip
    rows = [heads(titles)]
    stage, edible = places.line_column(at.STAGE), places.line_column(at.EDIBLE)
    moved = {p.where[-1].id for p in evaluation.problems if p.kind is WEIGHED_ELSEWHERE}
    weighed = weighed_stages(prepared.stages)
    for k, (each, found) in enumerate(zip(prepared.stages, account(evaluation, sheet.project), strict=True)):
        row = places.stages + k

        def here(column: int, row: int = row) -> str:
            return cell(row, column)

        before = cell(row - 1, at.OUT) if k else "0"
        change = f"SUM({down(at.CHANGE, places.stages, row - 1)})+" if k else ""
        inside = f"({stage}<={k + 1})"
        kept, after = fat_kept(prepared.stages, k), fat_kept(prepared.stages, k + 1)
        left = f"SUMPRODUCT({inside}*{edible},{places.line_column(at.FAT)})/100*{1 / kept - 1 / after:.15g}"
        drained = sum(loss.percent for loss in each.losses if loss.kind == "drained")
        water, most = (
            f"SUMPRODUCT({inside}*{edible},{places.line_column(c)})/100" for c in (at.OWN_WATER, at.MOST_WATER)
        )
        dry = f"({stage}={k + 1})*({places.line_column(at.COOKING_WATER)}=0)"
        grains = f"SUMPRODUCT({dry}*{edible},{places.line_column(at.YIELD)})"
        cells = [
            Cell(0, stage_title(k, each), "name"),
            figure(1, k + 1, "0"),
            figure(at.ENTERS, Live(f"SUMIF({stage},{k + 1},{edible})", found.enters_g)),
            figure(at.BEFORE, Live(before, found.before_g) if k else 0.0),
            figure(at.INTO, Live(f"{here(at.BEFORE)}+{here(at.ENTERS)}", found.into_g)),
            figure(at.WATER_IN, Live(f"{change}{water}", found.water_g)),
            figure(at.FAT_LEFT, Live(left, found.fat_left_g) if kept < after else 0.0),
            figure(at.DRAINED, Live(f"{here(at.INTO)}*{drained:.15g}/100", found.drained_g) if drained else 0.0),
            *_entered(sheet, k, each),
            figure(at.OUT, Live(weight_formula(each.weight, here, grains), found.out_g)),
            figure(at.CHANGE, Live(f"{here(at.OUT)}-{here(at.INTO)}+{here(at.FAT_LEFT)}", found.change_g)),
            figure(at.WATER_MOST, Live(f"{change}{here(at.CHANGE)}+{most}", found.water_most_g)),
        ]
        if k in weighed:
            then = places.line_column(at.SHARE_THEN + weighed.index(k))
            cells.append(figure(at.MOVED, _moved(places, each, sheet, k, then, each.id in moved), "0"))
        else:
            cells.append(figure(at.MOVED, 0, "0"))
        rows.append(tuple(cells))
    return rows


def _entered(sheet: Sheet, k: int, stage: Stage) -> list[Cell]:
    """What was entered about the weight after a stage, as it is and as it was written."""
    figures = at.stage_inputs(stage.weight)
    live = [Live(on(sheet.spec, ref), x) for ref, x in zip(sheet.inputs.stages[k], figures, strict=True)]
    now = [figure(column, content) for column, content in zip((at.FIRST, at.SECOND), live, strict=False)]
    then = [figure(column, x) for column, x in zip((at.FIRST_WRITTEN, at.SECOND_WRITTEN), figures, strict=False)]
    return now + then


def _moved(places: Places, stage: Stage, sheet: Sheet, k: int, then: str, moved: bool) -> Live:
    """1 where the shares of a weighed stage are no longer those of the weighing, as ``recipe.evaluation`` judges it."""
    assert isinstance(stage.weight, Weighed)
    prepared = sheet.evaluation.prepared
    inside = {line.id for j, line in enumerate(prepared.variant.lines) if prepared.line_stage[j] <= k}
    total = sum(stage.weight.amounts.values())
    gone = sum(1 for line_id, x in stage.weight.amounts.items() if line_id not in inside and x / total > 0.01)
    here = f"({places.line_column(at.STAGE)}<={k + 1})"
    edible = places.line_column(at.EDIBLE)
    away = f"ABS(100*{edible}/SUMPRODUCT({here}*{edible})-{then})"
    count = f"SUMPRODUCT({here}*({away}>1)*({away}>0.1*{then}))+{gone}"
    return Live(f"IF(SUMPRODUCT({here}*{edible})>0,IF({count}>0,1,0),0)", int(moved))
