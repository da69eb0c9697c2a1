"""What a variant delivers: the nutrition table, and how it stands to its targets."""

from workbench.base.text import N_, _, number
from workbench.document.project import Basis, TargetSet
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.recipe.verdict import Verdict, verdicts
from workbench.recipe.words import STATES
from workbench.report.spreadsheet.figures import SIGNS, LongLists, decimal_places, figure, known_words
from workbench.report.spreadsheet.page import Cell, Row, Section

TABLE: tuple[tuple[str, str], ...] = (
    ("energy_kj", "strong"),
    ("energy_kcal", "strong"),
    ("FAT", "strong"),
    ("FASAT", "part"),
    ("mct_c6_c10", "part_of_part"),
    ("F12D0", "part_of_part"),
    ("other_saturated", "part_of_part"),
    ("unsaturated", "part"),
    ("CHOAVLDF", "strong"),
    ("SUGAR", "part"),
    ("STARCH", "part"),
    ("glucose_type", "part"),
    ("fructose_type", "part"),
    ("galactose", "part"),
    ("other_carbohydrate", "part"),
    ("fructose_to_glucose", "part"),
    ("CHOCDF", "name"),
    ("FIBTG", "strong"),
    ("FIBSOL", "part"),
    ("FIBINS", "part"),
    ("PROCNT", "strong"),
    ("salt", "strong"),
    ("NA", "part"),
    ("WATER", "name"),
    ("residue_organic", "name"),
    ("residue_fibre_based", "name"),
)
"""Quantities of the table, with the style that says what is part of what."""

COLUMNS: tuple[Basis, ...] = ("per_100g", "portion", "per_25g_carbohydrate", "per_hour")

_FIBRE_PARTS = ("FIBSOL", "FIBINS")  # few tables split fibre
_OWN_INDEX = ("residue_organic", "residue_fibre_based")
_TWO_SPLITS = N_(
    "Sugars and starch are one way to divide the carbohydrate, glucose-type to other is another: never add both."
)
_EMPTY = N_("An empty cell is not known, which is not zero.")
_COMPLETE = N_("All these figures rest on known values only.")
_SHAPES = {"met": "●", "short": "▼", "over": "▲", "cannot_tell": "○"}


def quantity_title(key: str) -> str:
    """Title of a quantity; an estimate of the program's own is marked."""
    title = _(QUANTITIES[key].title)
    return _("{title} (own index)", title=title) if key in _OWN_INDEX else title


def nutrition_section(evaluation: Evaluation) -> Section:
    """Every quantity per 100 g, per piece, per 25 g carbohydrate and per hour, with what is known of it."""
    lists = LongLists()
    body = [
        _quantity_row(evaluation, key, style, lists)
        for key, style in TABLE
        if key not in _FIBRE_PARTS or evaluation.bound(key, "batch").certainty != "not_known"
    ]
    complete = not any(cell.content for row in body for cell in row if cell.column == 6)
    legend = _(_COMPLETE) if complete else f"{_(SIGNS)} {_(_EMPTY)}"
    texts = (*lists.notes(), legend, _(_TWO_SPLITS))
    notes: list[Row] = [(Cell(0, text, "muted", 6),) for text in texts]
    return Section(_("Nutrition"), [_head(evaluation), _weight_row(evaluation), *body, *notes])


def _applies(evaluation: Evaluation, basis: Basis) -> bool:
    """Without a pace there is no hour."""
    return basis != "per_hour" or evaluation.variant.pace_per_hour > 0


def _head(evaluation: Evaluation) -> Row:
    piece_g, pace = evaluation.portions.piece_g, evaluation.variant.pace_per_hour
    titles = (
        _("per 100 g"),
        _("per piece\nof {grams} g", grams=number(piece_g, 0 if piece_g >= 20 else 1)),
        _("per 25 g carbohydrate"),
        _("per hour at\n{n} pieces", n=number(pace, 0 if pace == round(pace) else 1))
        if pace > 0
        else _("per hour\n(no pace set)"),
    )
    columns = (Cell(2 + k, title, "head_figure") for k, title in enumerate(titles))
    return Cell(0, None, "head", 1), *columns, Cell(6, _("what is known"), "head_words")


def _weight_row(evaluation: Evaluation) -> Row:
    def cell(column: int, basis: Basis) -> Cell:
        mass = evaluation.mass_g(basis)
        return figure(column, mass, 0 if mass.value >= 20 else 1)

    weights = (cell(2 + k, basis) for k, basis in enumerate(COLUMNS) if _applies(evaluation, basis))
    return Cell(0, _("weight"), "name"), Cell(1, "g", "unit"), *weights, Cell(6, None, "words")


def _quantity_row(evaluation: Evaluation, key: str, style: str, lists: LongLists) -> Row:
    quantity = QUANTITIES[key]
    strong = "strong_figure" if style == "strong" else "figure"
    cells = [Cell(0, quantity_title(key), style), Cell(1, quantity.unit, "unit")]
    for k, basis in enumerate(COLUMNS):
        if quantity.kind == "ratio":  # the same on every basis
            cells.append(figure(2 + k, evaluation.bound(key, "batch"), quantity.decimals, strong))
        elif _applies(evaluation, basis):
            cells.append(figure(2 + k, evaluation.bound(key, basis), quantity.decimals, strong))
        else:
            cells.append(Cell(2 + k, None, strong))
    return *cells, Cell(6, known_words(evaluation, key, lists), "muted_words")


def targets_section(evaluation: Evaluation, targets: TargetSet | None) -> Section:
    """The targets of a variant, each with its limits, the figure and the verdict."""
    found = verdicts(evaluation, targets) if targets else ()
    head: Row = (
        Cell(0, None, "head", 1),
        Cell(2, _("at least"), "head_figure"),
        Cell(3, _("at most"), "head_figure"),
        Cell(4, _("result"), "head_figure"),
        Cell(5, None, "head"),
        Cell(6, None, "head"),
    )
    title = _("Targets: {name}", name=targets.name) if targets and targets.name else _("Targets")
    return Section(title, [head, *map(_target_row, found)] if found else [])


def _target_row(verdict: Verdict) -> Row:
    target, quantity = verdict.target, QUANTITIES[verdict.target.quantity]
    limit = decimal_places(quantity.decimals)
    title = quantity_title(quantity.key)
    if quantity.kind == "linear":
        title = _("{quantity}, {basis}", quantity=title, basis=_(BASIS_TITLES[target.basis]))
    return (
        Cell(0, title, "name"),
        Cell(1, quantity.unit, "unit"),
        Cell(2, target.low, "figure", number_format=limit),
        Cell(3, target.high, "figure", number_format=limit),
        figure(4, verdict.bound, quantity.decimals, "strong_figure"),
        Cell(5, f"{_SHAPES[verdict.state]} {_(STATES[verdict.state])}", verdict.state),
        Cell(6, _target_words(verdict), "muted_words"),
    )


def _target_words(verdict: Verdict) -> str:
    target, quantity = verdict.target, QUANTITIES[verdict.target.quantity]
    by = f"{number(verdict.by, quantity.decimals)} {quantity.unit}".rstrip()
    parts = {
        "met": "",
        "short": _("short by {by}", by=by),
        "over": _("over by {by}", by=by),
        "cannot_tell": _("not known: {names}", names="; ".join(verdict.bound.unknown) or _("no result")),
    }
    aim = _("aim {figure}", figure=number(target.aim, quantity.decimals)) if target.aim is not None else ""
    strength = _("a must") if target.strength == "must" else _("a preference")
    return "; ".join(part for part in (parts[verdict.state], aim, strength, target.source) if part)
