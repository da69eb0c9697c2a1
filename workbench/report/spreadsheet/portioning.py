"""Portions on the sheet that calculates: pieces, factors of the bases, and whether there is a result at all."""

from workbench.base.text import N_, _
from workbench.document.project import ByCount, FinalWater, Stage, Weighed
from workbench.report.spreadsheet import places as at
from workbench.report.spreadsheet.calculation import Sheet, figure, heads
from workbench.report.spreadsheet.figures import NOT_VALID
from workbench.report.spreadsheet.formula import Live, cell, down, literal, on, span
from workbench.report.spreadsheet.page import Cell, Page, Row, Section

_LEAST_G = "1E-6"  # as the engine: less is nothing left to portion, or more water gone than there is


def fill_portions(page: Page, sheet: Sheet) -> None:
    """The batch in pieces."""
    title = _("3. Portions, and what everything below is multiplied with")
    page.add(Section(title, _portions(sheet, page.last_column)))


def _portions(sheet: Sheet, last: int) -> list[Row]:
    titles = {
        "raw_g": N_("raw batch, edible parts, g"),
        "finished_g": N_("finished batch, g"),
        "finished_percent": N_("finished, % of raw"),
        "trimmings_percent": N_("trimmings, %"),
        "trimmings_g": N_("trimmings, g"),
        "usable_g": N_("left to portion, g"),
        "entered": N_("pieces, as entered")
        if isinstance(sheet.evaluation.variant.portioning, ByCount)
        else N_("weight of a piece as entered, g"),
        "pieces": N_("pieces, not rounded"),
        "whole_pieces": N_("whole pieces"),
        "piece_g": N_("weight of a piece, g"),
        "left_over_g": N_("left over beside whole pieces, g"),
        "pace": N_("pieces an hour"),
        "complete": N_("1: every input is a number that can be"),
        "valid": N_("1: there is a result"),
        "changed": N_("inputs that are no longer as written"),
        "per_100g": N_("100 g: times the batch"),
        "portion": N_("one piece: times the batch"),
        "per_hour": N_("an hour: times the batch"),
    }
    formulas = _portion_formulas(sheet)
    written = _portions_as_written(sheet)
    why = {
        "valid": _(
            "something is left to portion, no stage loses more water than it has, final water rests on known water"
        ),
        "usable_g": _("finished batch less trimmings"),
    }
    rows = [heads((_("portions"), "", _("now"), _("as written")))]
    for name in at.PORTIONS:
        cells = [Cell(0, _(titles[name]), "name", 1), figure(at.VALUE, formulas[name])]
        if name in written:
            cells.append(figure(at.WRITTEN, written[name]))
        if name in why:
            cells.append(Cell(4, why[name], "muted_words", last))
        rows.append(tuple(cells))
    return rows


def _portions_as_written(sheet: Sheet) -> dict[str, float]:
    variant = sheet.evaluation.variant
    return {
        "trimmings_percent": variant.portioning.trimmings_percent,
        "entered": at.entered(variant),
        "pace": variant.pace_per_hour,
    }


def _portion_formulas(sheet: Sheet) -> dict[str, Live]:
    evaluation, places, inputs = sheet.evaluation, sheet.places, sheet.inputs
    portions, variant = evaluation.portions, evaluation.variant
    ref = {name: places.portion(name) for name in at.PORTIONS}
    finished, usable, entered = ref["finished_g"], ref["usable_g"], ref["entered"]
    no = literal(_(NOT_VALID))
    last = cell(places.stages + len(evaluation.prepared.stages) - 1, at.OUT)
    if isinstance(variant.portioning, ByCount):
        pieces, whole, piece, left = entered, entered, f"{usable}/{entered}", "0"
    else:
        pieces, whole, piece = f"{usable}/{entered}", f"INT({ref['pieces']}+1E-9)", entered
        left = f"MAX({usable}-{ref['whole_pieces']}*{entered},0)"
    usable_g = max(evaluation.finished_g - portions.trimmings_g, 0.0)
    percent = evaluation.finished_percent
    return {
        "raw_g": Live(f"SUM({places.line_column(at.EDIBLE)})", evaluation.raw_g),
        "finished_g": Live(last, evaluation.finished_g),
        "finished_percent": Live(f"IF({ref['raw_g']}>0,100*{finished}/{ref['raw_g']},0)", percent),
        "trimmings_percent": Live(on(sheet.spec, inputs.trimmings), variant.portioning.trimmings_percent),
        "trimmings_g": Live(f"{finished}*{ref['trimmings_percent']}/100", portions.trimmings_g),
        "usable_g": Live(f"MAX({finished}-{ref['trimmings_g']},0)", usable_g),
        "entered": Live(on(sheet.spec, inputs.entered), at.entered(variant)),
        "pieces": Live(pieces, portions.pieces),
        "whole_pieces": Live(whole, portions.whole_pieces),
        "piece_g": Live(piece, portions.piece_g),
        "left_over_g": Live(left, portions.left_over_g),
        "pace": Live(on(sheet.spec, inputs.pace), variant.pace_per_hour),
        "complete": Live(_complete(sheet), 1),
        "valid": Live(_valid(sheet), 1),
        "changed": Live(_changed(sheet), 0),
        "per_100g": Live(f"IF({ref['valid']}=1,100/{finished},{no})", evaluation.factor("per_100g")),
        "portion": Live(f"IF({ref['valid']}=1,{ref['piece_g']}/{finished},{no})", evaluation.factor("portion")),
        "per_hour": Live(f"IF({ref['valid']}=1,{ref['portion']}*{ref['pace']},{no})", evaluation.factor("per_hour")),
    }


def _complete(sheet: Sheet) -> str:
    """Whether no input is missing, not a number, or out of its range."""
    places = sheet.places
    amounts = on(sheet.spec, span(sheet.inputs.amounts))
    tests = [f"COUNT({amounts})={places.n_lines}", f"MIN({amounts})>=0"]

    def one(address: str, *conditions: str) -> None:
        there = on(sheet.spec, address)
        tests.append(f"COUNT({there})=1")
        tests.extend(f"{there}{condition}" for condition in conditions)

    for stage, addresses in zip(sheet.evaluation.prepared.stages, sheet.inputs.stages, strict=True):
        for address in addresses:
            one(address, *weight_limits(stage))
    whole = isinstance(sheet.evaluation.variant.portioning, ByCount)
    one(sheet.inputs.entered, ">=1" if whole else ">0")
    if whole:
        there = on(sheet.spec, sheet.inputs.entered)
        tests.append(f"IF(COUNT({there})=1,INT({there})={there},FALSE)")
    one(sheet.inputs.trimmings, ">=0", "<100")
    one(sheet.inputs.pace, ">=0")
    return f"IF(AND({','.join(tests)}),1,0)"


def weight_limits(stage: Stage) -> tuple[str, ...]:
    """Conditions on the figures of a weight choice."""
    if isinstance(stage.weight, Weighed):
        return (">0",)
    return (">=0", "<100") if isinstance(stage.weight, FinalWater) else ()


def _valid(sheet: Sheet) -> str:
    places, prepared = sheet.places, sheet.evaluation.prepared
    n = len(prepared.stages)
    most = down(at.WATER_MOST, places.stages, places.stages + n - 1)
    tests = [f"{places.portion('finished_g')}>{_LEAST_G}", f"MIN({most})>=-{_LEAST_G}"]
    stage, edible, opened = (places.line_column(c) for c in (at.STAGE, at.EDIBLE, at.OPEN_WATER))
    for k, each in enumerate(prepared.stages):
        if isinstance(each.weight, FinalWater):
            tests.append(f"SUMPRODUCT(({stage}<={k + 1})*({edible}>0)*{opened})=0")
    return f"IF({places.portion('complete')}=1,IF(AND({','.join(tests)}),1,0),0)"


def _changed(sheet: Sheet) -> str:
    places = sheet.places
    amounts = on(sheet.spec, span(sheet.inputs.amounts))
    parts = [f"SUMPRODUCT(--({amounts}<>{places.line_column(at.AS_WRITTEN)}))"]
    for k, addresses in enumerate(sheet.inputs.stages):
        written = (cell(places.stages + k, column) for column in (at.FIRST_WRITTEN, at.SECOND_WRITTEN))
        parts += [f"({on(sheet.spec, a)}<>{w})" for a, w in zip(addresses, written, strict=False)]
    for name in ("trimmings_percent", "entered", "pace"):
        address = {
            "trimmings_percent": sheet.inputs.trimmings,
            "entered": sheet.inputs.entered,
            "pace": sheet.inputs.pace,
        }
        parts.append(
            f"({on(sheet.spec, address[name])}<>{cell(places.portions + at.PORTIONS.index(name), at.WRITTEN)})"
        )
    return "+".join(parts)
