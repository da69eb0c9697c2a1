"""What a variant delivers on the spec sheet: the nutrition table, and how it stands to its targets."""

from collections.abc import Sequence

from workbench.base.text import N_, _
from workbench.document.project import Basis
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.verdict import Verdict
from workbench.report.spreadsheet.amounts import doubt_text
from workbench.report.spreadsheet.calculation import Sheet
from workbench.report.spreadsheet.figures import (
    GRAMS,
    SIGNS,
    decimal_places,
    shown,
    shown_formula,
    sign,
)
from workbench.report.spreadsheet.formula import Live, cell, fixed, fixed_text, literal, sentence
from workbench.report.spreadsheet.inputs import (
    FIRST,
    FOURTH,
    GENERAL,
    SECOND,
    THIRD,
    WORDS,
    allow,
    between,
    figures_head,
)
from workbench.report.spreadsheet.judging import state_words, target_name
from workbench.report.spreadsheet.look import VERDICTS
from workbench.report.spreadsheet.page import Cell, Page, Row, Section
from workbench.report.spreadsheet.shown import COLUMNS, TABLE, WEIGHT, quantity_title

_NO_PACE = N_("no pace")
_FIBRE_PARTS = ("FIBSOL", "FIBINS")  # few tables split fibre
_TWO_SPLITS = N_(
    "Sugars and starch are one way to divide the carbohydrate, glucose-type to other is another: never add both."
)


def add_nutrition(page: Page, sheet: Sheet) -> dict[str, int]:
    """Every quantity per 100 g, per piece, per 25 g carbohydrate and per hour; returns the row of each."""
    evaluation = sheet.evaluation
    keys = [
        (key, style)
        for key, style in ((WEIGHT, "name"), *TABLE)
        if key not in _FIBRE_PARTS or evaluation.bound(key, "batch").certainty != "not_known"
    ]
    titles = (_("100 g"), _("one piece"), _("25 g carbohydrate"), _("an hour"))
    head = figures_head(titles, _("what is known of one piece"), _("quantity"))
    rows = [head, *(_quantity_row(sheet, key, style) for key, style in keys)]
    notes: list[Row] = [(Cell(0, _(text), "muted", WORDS),) for text in (SIGNS, _TWO_SPLITS)]
    first = page.add(Section(_("Nutrition"), [*rows, *notes])) + 1
    return {key: first + k for k, (key, _style) in enumerate(keys)}


def _quantity_row(sheet: Sheet, key: str, style: str) -> Row:
    quantity = QUANTITIES[key]
    strong = "strong_figure" if style == "strong" else "figure"
    form = GRAMS if key == WEIGHT else decimal_places(quantity.decimals)
    cells = [Cell(0, quantity_title(key), style), Cell(1, quantity.unit or None, "unit")]
    for k, basis in enumerate(COLUMNS):
        cells += figure_cells(sheet, key, "batch" if quantity.kind == "ratio" else basis, 2 + 2 * k, strong, form)
    address = sheet.places.there(sheet.places.words(key))
    return *cells, Cell(WORDS, Live(address, doubt_text(sheet, key)), "muted_words")


def figure_cells(
    sheet: Sheet, key: str, basis: Basis, column: int, style: str, number_format: str
) -> tuple[Cell, Cell]:
    """The sign and the figure, or the words in its place."""
    bound, found = sheet.evaluation.bound(key, basis), sheet.places.figure_there(key, basis)
    before = Live(found.sign, sign(bound, QUANTITIES[key].decimals))
    figure = Live(shown_formula(found), shown(bound))
    if basis == "per_hour":  # without a pace there is no hour
        pace, none = sheet.places.there(sheet.places.portion("pace")), _(_NO_PACE)
        paced = sheet.evaluation.variant.pace_per_hour > 0
        figure = Live(f"IF({pace}>0,{figure.formula},{literal(none)})", figure.value if paced else none)
    return Cell(column, before, "sign"), Cell(column + 1, figure, style, -1, number_format)


# --- targets ----------------------------------------------------------------------------------------------------------


def add_targets(page: Page, sheet: Sheet, name: str, found: Sequence[Verdict]) -> tuple[tuple[str, str], ...]:
    """The targets, each with its limits, the figure and the verdict; returns the addresses of the limits."""
    if not found:
        return ()
    head = figures_head((_("at least (input)"), _("at most (input)"), _("result"), ""), _("verdict"), _("target"))
    title = _("Targets: {name}", name=name) if name else _("Targets")
    first = page.add(Section(title, [head, *(_target_row(sheet, k, each) for k, each in enumerate(found))])) + 1
    last = first + len(found) - 1
    for column in (FIRST, SECOND):
        allow(
            page, first, column, last, {**between(-1e9, 1e9), "ignore_blank": True}, _("input: limit"),
            _("in the unit of the row; empty where there is no limit"),
        )  # fmt: skip
    for shape, colour in VERDICTS:
        rule = {"type": "text", "criteria": "begins with", "value": shape, "format": page.colour(colour)}
        page.sheet.conditional_format(first, WORDS, last, WORDS, rule)
    return tuple((cell(first + k, FIRST), cell(first + k, SECOND)) for k in range(len(found)))


def _target_row(sheet: Sheet, k: int, verdict: Verdict) -> Row:
    target, quantity, places = verdict.target, QUANTITIES[verdict.target.quantity], sheet.places
    row = places.targets + k
    linear_batch = target.basis == "batch" and quantity.kind == "linear"
    if linear_batch:
        bound = verdict.bound
        result = (
            Cell(6, sign(bound, quantity.decimals), "sign"),
            Cell(
                THIRD,
                Live(places.there(cell(row, 2)), bound.value),
                "strong_figure",
                -1,
                decimal_places(quantity.decimals),
            ),
        )
    else:
        basis = "batch" if quantity.kind == "ratio" else target.basis
        result = figure_cells(sheet, target.quantity, basis, 6, "strong_figure", decimal_places(quantity.decimals))
    state, by = places.there(cell(row, 9)), places.there(cell(row, 10))
    unit = literal(f" {quantity.unit}" if quantity.unit else "")
    words = f'{state}&IF(ISNUMBER({by}),{sentence(_BY, by=f"{fixed(by, quantity.decimals)}&{unit}")},"")'
    amount = f"{fixed_text(verdict.by, quantity.decimals)} {quantity.unit}".rstrip() if verdict.by > 0 else ""
    text = state_words(verdict.state) + (_(_BY, by=amount) if amount else "")
    return (
        Cell(0, _target_title(verdict), "name"),
        Cell(1, quantity.unit or None, "unit"),
        Cell(2, None, "figure"),
        Cell(FIRST, target.low, "input", -1, GENERAL),
        Cell(4, None, "figure"),
        Cell(SECOND, target.high, "input", -1, GENERAL),
        *result,
        Cell(8, None, "figure", FOURTH),
        Cell(WORDS, Live(words, text), "verdict"),
    )


_BY = N_(" by {by}")


def _target_title(verdict: Verdict) -> str:
    target, decimals = verdict.target, QUANTITIES[verdict.target.quantity].decimals
    aim = _("aim {figure}", figure=fixed_text(target.aim, decimals)) if target.aim is not None else ""
    strength = _("a must") if target.strength == "must" else _("a preference")
    return "; ".join(part for part in (target_name(target), strength, aim, target.source) if part)
