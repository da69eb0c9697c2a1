"""The part of a spec sheet that may be changed: ingredients, process, portions; every input is marked and explained."""

from typing import Any

from workbench.base.text import N_, _, number
from workbench.document.project import MOST_GRAMS, ByCount, FinalWater, Stage, Typical, WaterLost, Weighed
from workbench.recipe.words import ORIGINS, losses_text
from workbench.report.spreadsheet import places as at
from workbench.report.spreadsheet.calculation import Sheet
from workbench.report.spreadsheet.figures import FEW_GRAMS, GRAMS, NOT_VALID, PERCENT, SHARE
from workbench.report.spreadsheet.formula import Live, cell, literal
from workbench.report.spreadsheet.page import Cell, Page, Row, Section
from workbench.report.spreadsheet.sources import References, short_references
from workbench.report.spreadsheet.stage_account import stage_title

FIRST, SECOND, THIRD, FOURTH = 3, 5, 7, 9  # columns of figures; a narrow one for the sign stands before each
WORDS = 10
GENERAL = "General"

KEY = N_(
    "Cells like this one are inputs: change them and every figure follows. All others are locked, without a password."
)
_AMOUNT = N_("grams of this line, as the column says")


def allow(page: Page, row: int, column: int, last_row: int, criteria: dict[str, Any], title: str, message: str) -> None:
    """Let an input take only numbers that can be, and say so when it is chosen."""
    options = {
        "ignore_blank": False,
        "input_title": title[:32],
        "input_message": message[:255],
        "error_title": _("not possible"),
        "error_message": message[:255],
        **criteria,
    }
    page.sheet.data_validation(row, column, last_row, column, options)


def between(low: float, high: float, validate: str = "decimal") -> dict[str, Any]:
    """Numbers from ``low`` to ``high``."""
    return {"validate": validate, "criteria": "between", "minimum": low, "maximum": high}


def figures_head(
    titles: tuple[str, str, str, str], words: str, name: str | None = None, words_style: str = "head_words"
) -> Row:
    """A head over a name and its unit, four figures with room for a sign, and words."""
    columns = (Cell(2 + 2 * k, title or None, "head_figure", 3 + 2 * k) for k, title in enumerate(titles))
    return Cell(0, name, "head", 1), *columns, Cell(WORDS, words or None, words_style)


# --- ingredients ------------------------------------------------------------------------------------------------------


def add_ingredients(page: Page, sheet: Sheet, references: References) -> tuple[str, ...]:
    """The lines with their amounts; returns the addresses of the amounts."""
    evaluation, places = sheet.evaluation, sheet.places
    head = figures_head(
        (_("g as entered (input)"), _("g edible part"), _("% of raw batch"), _("of the stage")),
        _("composition from; origin"),
        _("ingredient"),
    )
    rows: list[Row] = [head]
    lines = evaluation.prepared.variant.lines
    for k, line in enumerate(lines):
        food = sheet.project.foods.get(line.food_ref.id) if line.food_ref.kind != "variant" else None
        name = evaluation.prepared.names[k]
        if line.as_bought and evaluation.prepared.edible_fraction[k] < 1:
            name = _("{name}, as bought", name=name)
        words = _("variant of this project, as it was when this was written")
        if food is not None:
            words = f"{short_references(food, references)}; {_(ORIGINS[food.origin])}"
        share = 100 * evaluation.edible_g[k] / evaluation.raw_g
        rows.append(
            (
                Cell(0, name, "name", 1),
                Cell(2, None, "figure"),
                Cell(FIRST, float(evaluation.amount_g[k]), "input", -1, GENERAL),
                Cell(4, None, "figure"),
                Cell(
                    SECOND,
                    Live(places.there(places.line(k, at.EDIBLE)), float(evaluation.edible_g[k])),
                    "figure",
                    -1,
                    FEW_GRAMS,
                ),
                Cell(6, None, "figure"),
                Cell(THIRD, Live(places.there(places.line(k, at.SHARE)), float(share)), "figure", -1, SHARE),
                Cell(8, None, "figure"),
                Cell(FOURTH, evaluation.prepared.line_stage[k] + 1, "figure", -1, "0"),
                Cell(WORDS, words, "muted_words"),
            )
        )
    first = page.add(Section(_("Ingredients"), rows)) + 1
    allow(page, first, FIRST, first + len(lines) - 1, between(0, MOST_GRAMS), _("input: grams"), _(_AMOUNT))
    return tuple(cell(first + k, FIRST) for k in range(len(lines)))


# --- process ----------------------------------------------------------------------------------------------------------


def add_process(page: Page, sheet: Sheet) -> tuple[tuple[str, ...], ...]:
    """The stages with their weight choices; returns the addresses of what may be changed."""
    evaluation, places = sheet.evaluation, sheet.places
    head = figures_head(
        (_("g in, now"), _("g out, now"), _("first input"), _("second input")), _("weight after the stage"), _("stage")
    )
    rows: list[Row] = [head]
    at_row: list[int] = []
    for k, stage in enumerate(evaluation.prepared.stages):
        figures = at.stage_inputs(stage.weight)
        row = places.stages + k
        inputs = [Cell(column, x, "input", -1, GENERAL) for column, x in zip((THIRD, FOURTH), figures, strict=False)]
        blanks = [Cell(column, None, "figure") for column in (THIRD, FOURTH)[len(figures) :]]
        words = stage_words(stage)
        moved = cell(row, at.MOVED)
        again = _("weighed at other amounts: weigh again")
        said: Live | str = words
        if isinstance(stage.weight, Weighed) and stage.weight.amounts:
            was = any(p.code == "weighed_at_other_amounts" and p.where[-1].id == stage.id for p in evaluation.problems)
            said = Live(
                f'{literal(words)}&IF({places.there(moved)}=1,{literal("; " + again)},"")',
                f"{words}; {again}" if was else words,
            )
        at_row.append(len(rows))
        rows.append(
            (
                Cell(0, stage_title(k, stage), "strong", 1),
                Cell(2, None, "figure"),
                Cell(
                    FIRST, Live(places.there(cell(row, at.INTO)), float(evaluation.stage_in_g[k])), "figure", -1, GRAMS
                ),
                Cell(4, None, "figure"),
                Cell(
                    SECOND, Live(places.there(cell(row, at.OUT)), float(evaluation.stage_out_g[k])), "figure", -1, GRAMS
                ),
                Cell(6, None, "figure"),
                *inputs,
                *blanks,
                Cell(8, None, "figure"),
                Cell(WORDS, said, "muted_words", may_become=f"{words}; {again}" if said != words else ""),
            )
        )
        if stage.text.strip():
            rows += [(Cell(0, part, "part", WORDS),) for part in stage.text.strip().split("\n") if part.strip()]
    first = page.add(Section(_("Process"), rows))
    found: list[tuple[str, ...]] = []
    for stage, offset in zip(evaluation.prepared.stages, at_row, strict=True):
        row = first + offset
        columns = (THIRD, FOURTH)[: len(at.stage_inputs(stage.weight))]
        for column, text in zip(columns, _input_words(stage), strict=False):
            allow(page, row, column, row, _limits(stage), _("input: weight after cooking"), text)
        found.append(tuple(cell(row, column) for column in columns))
    return tuple(found)


def stage_words(stage: Stage) -> str:
    """How the weight after a stage is known, which inputs that takes, and time and temperature."""
    choice = stage.weight
    if isinstance(choice, Weighed):
        how = _("weighed once: g in (first) and g out (second) of that day; only out ÷ in counts")
    elif isinstance(choice, WaterLost):
        how = _("water lost, {unit} (first)", unit=_("% of the weight in") if choice.unit == "%" else "g")
    elif isinstance(choice, FinalWater):
        how = _("cooked to this % of water (first)")
    elif isinstance(choice, Typical):
        how = _("typical weight after cooking of each ingredient")
    else:
        how = _("weight unchanged")
    time = _("{minutes} min", minutes=number(stage.minutes, 0)) if stage.minutes else ""
    heat = _("{degrees} °C", degrees=number(stage.temperature_degC, 0)) if stage.temperature_degC is not None else ""
    return "; ".join(text for text in (how, losses_text(stage), time, heat) if text)


def _input_words(stage: Stage) -> tuple[str, ...]:
    choice = stage.weight
    if isinstance(choice, Weighed):
        return _("grams that went in when this was weighed"), _("grams that came out; out divided by in is what counts")
    if isinstance(choice, WaterLost) and choice.unit == "%":
        return (_("water that leaves, in percent of the weight in; below zero where water is taken up"),)
    if isinstance(choice, WaterLost):
        return (_("grams of water that leave; below zero where water is taken up"),)
    return (_("percent of water in the finished stage, below 100"),)


def _limits(stage: Stage) -> dict[str, Any]:
    if isinstance(stage.weight, Weighed):
        return between(1e-6, MOST_GRAMS)
    if isinstance(stage.weight, FinalWater):
        return between(0, 99.999999)
    return between(-MOST_GRAMS, MOST_GRAMS)


# --- portions ---------------------------------------------------------------------------------------------------------


def add_portions(page: Page, sheet: Sheet) -> tuple[str, str, str]:
    """Batch and pieces; returns the addresses of piece count or weight, trimmings and pace."""
    evaluation, places = sheet.evaluation, sheet.places
    portions, variant = evaluation.portions, evaluation.variant
    by_count = isinstance(variant.portioning, ByCount)
    no, valid = literal(_(NOT_VALID)), places.there(places.portion("valid"))

    def live(name: str, value: float) -> Live:
        return Live(f"IF({valid}=1,{places.there(places.portion(name))},{no})", value)

    whole: tuple[str, float | Live, str, str] = (
        _("whole pieces"),
        live("whole_pieces", portions.whole_pieces),
        "figure",
        "0",
    )
    piece: tuple[str, float | Live, str, str] = (
        _("weight of a piece, g"),
        live("piece_g", portions.piece_g),
        "figure",
        GRAMS,
    )
    if by_count:
        whole = (_("whole pieces (input)"), at.entered(variant), "input", GENERAL)
    else:
        piece = (_("weight of a piece, g (input)"), at.entered(variant), "input", GENERAL)
    trimmings = (_("trimmings, % of the batch (input)"), variant.portioning.trimmings_percent, "input", GENERAL)
    pace = (_("pace, pieces an hour (input)"), variant.pace_per_hour, "input", GENERAL)
    facts: list[tuple[str, float | Live, str, str]] = [  # read down the left column, then down the right one
        whole,
        piece,
        trimmings,
        pace,
        (_("raw batch, edible parts, g"), live("raw_g", evaluation.raw_g), "figure", GRAMS),
        (_("finished batch, g"), live("finished_g", evaluation.finished_g), "figure", GRAMS),
        (_("finished, % of raw"), live("finished_percent", evaluation.finished_percent), "figure", PERCENT),
        (_("left over beside whole pieces, g"), live("left_over_g", portions.left_over_g), "figure", GRAMS),
    ]
    half = len(facts) // 2
    rows: list[Row] = []
    for left, right in zip(facts[:half], facts[half:], strict=True):
        rows.append(
            (
                Cell(0, left[0], "name", 2),
                Cell(FIRST, left[1], left[2], -1, left[3]),
                Cell(4, right[0], "words", 8),
                Cell(FOURTH, right[1], right[2], -1, right[3]),
            )
        )
    first = page.add(Section(_("Batch and pieces"), rows))
    count = between(1, 100_000, "integer") if by_count else between(1e-6, MOST_GRAMS)
    said = _("how many pieces the batch is cut into") if by_count else _("grams of one piece")
    entered = first if by_count else first + 1
    allow(page, entered, FIRST, entered, count, _("input: pieces"), said)
    allow(
        page,
        first + 2,
        FIRST,
        first + 2,
        between(0, 99.999999),
        _("input: trimmings"),
        _("percent of the finished batch"),
    )
    allow(page, first + 3, FIRST, first + 3, between(0, 100), _("input: pace"), _("pieces eaten in an hour"))
    return cell(entered, FIRST), cell(first + 2, FIRST), cell(first + 3, FIRST)
