"""The tables of quantities on the sheet that calculates: the whole batch, every basis, ratios."""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from workbench.base.text import N_, _
from workbench.document.project import Basis
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import REFERENCE_CARBOHYDRATE_G
from workbench.recipe.quantities import INDEX, QUANTITIES
from workbench.report.spreadsheet import places as at
from workbench.report.spreadsheet.calculation import Sheet, figure, heads
from workbench.report.spreadsheet.figures import (
    HOW,
    NO_LIMIT,
    NOT_VALID,
    certainty,
    doubt_formula,
    doubt_words,
    how_formula,
    sign,
    sign_formula,
)
from workbench.report.spreadsheet.formula import Live, cell, down, literal, names_where
from workbench.report.spreadsheet.page import Cell, Page, Row, Section
from workbench.report.spreadsheet.places import Figure
from workbench.report.spreadsheet.safe_text import short_name
from workbench.report.spreadsheet.shown import WEIGHT, quantity_title

_CARBOHYDRATE = "CHOAVLDF"


def fill_amounts(page: Page, sheet: Sheet) -> None:
    """Everything from the batch to the ratios."""
    last = page.last_column
    page.add(Section(_("4. The whole batch: edible grams × composition ÷ 100, line by line"), _batch(sheet, last)))
    eaten = _bases(sheet, "per_100g", "portion", last)
    page.add(Section(_("5. 100 g and one piece: the batch × the factors of table 3"), eaten))
    hour = _bases(sheet, "per_25g_carbohydrate", "per_hour", last)
    page.add(Section(_("6. 25 g carbohydrate and an hour"), hour))
    if sheet.places.ratio_keys:
        page.add(Section(_("7. Ratios of the whole batch"), _ratios(sheet, last)))


def no_result() -> str:
    return literal(_(NOT_VALID))


def limit(most: float) -> float | str:
    return most if math.isfinite(most) else _(NO_LIMIT)


def unit_of(sheet: Sheet, key: str) -> str:
    return sheet.evaluation.prepared.currency if key == "cost" else QUANTITIES[key].unit


def _title_cells(sheet: Sheet, key: str) -> tuple[Cell, Cell]:
    return Cell(0, quantity_title(key), "name"), Cell(1, unit_of(sheet, key) or None, "unit")


# --- the whole batch --------------------------------------------------------------------------------------------------


def _batch(sheet: Sheet, last: int) -> list[Row]:
    titles = (_("quantity"), _("unit"), _("known part"), _("at least"), _("at most"), _("lines without limit"))
    tail = Cell(7, _("ingredients whose value is not known"), "head_words", last)
    rows: list[Row] = [(*heads(titles), Cell(6, _("not known of"), "head_figure"), tail)]
    return rows + [_weight(sheet) if key == WEIGHT else _batch_row(sheet, key, last) for key in sheet.places.keys]


def _weight(sheet: Sheet) -> Row:
    grams, row = sheet.evaluation.finished_g, sheet.places.batch_row(WEIGHT)
    value = Live(f"IF({sheet.places.portion('valid')}=1,{sheet.places.portion('finished_g')},{no_result()})", grams)
    same = Live(cell(row, 2), grams)
    return (
        *_title_cells(sheet, WEIGHT), figure(2, value), figure(3, same), figure(4, same),
        figure(5, 0, "0"), figure(6, 0, "0"),
    )  # fmt: skip


def _batch_row(sheet: Sheet, key: str, last: int) -> Row:
    evaluation, places, used = sheet.evaluation, sheet.places, sheet.used[key]
    bound = evaluation.bound(key, "batch")
    row, edible = places.batch_row(key), places.line_column(at.EDIBLE)
    water = ""
    if key == "WATER":
        n = len(evaluation.prepared.stages)
        water = f"+SUM({down(at.CHANGE, places.stages, places.stages + n - 1)})"

    def total(column: str, never_below_zero: bool = True) -> str:
        sums = f"SUMPRODUCT({edible},{column})/100{water}"
        if not water:
            return sums
        sums = f"MAX(0,{sums})" if never_below_zero else sums
        return f"IF({places.portion('valid')}=1,{sums},{no_result()})"

    value = figure(2, Live(total(used.known), bound.value))
    if used.exact:
        least, most = (figure(column, Live(cell(row, 2), bound.value)) for column in (3, 4))
        return (
            *_title_cells(sheet, key), value, least, most, figure(5, 0, "0"), figure(6, 0, "0"),
        )  # fmt: skip
    open_lines = np.isinf(evaluation.prepared.row_high[:, INDEX[key]]) & (evaluation.edible_g > 0)
    no_limit = literal(_(NO_LIMIT))
    missing = _missing(sheet, (key,))
    conditions, names = _conditions(sheet, missing), _now(sheet, missing)
    return (
        *_title_cells(sheet, key),
        value,
        figure(3, Live(total(used.least), bound.low)),
        figure(4, Live(f"IF({cell(row, 5)}>0,{no_limit},{total(used.most, False)})", limit(bound.high))),
        figure(5, Live(f"SUMPRODUCT(({edible}>0)*({used.most}={no_limit}))", int(open_lines.sum())), "0"),
        figure(6, Live(_count(conditions), len(names)), "0"),
        Cell(7, Live(names_where(conditions), "; ".join(names)), "muted_words", last),
    )


class _Missing(NamedTuple):
    """An ingredient that leaves something open: its name, the address of it, and the lines that make it count."""

    name: str
    address: str
    lines: list[int]


def _missing(sheet: Sheet, keys: Sequence[str]) -> list[_Missing]:
    """Ingredients whose value is not known, each once, whether or not they have a weight now."""
    prepared, places = sheet.evaluation.prepared, sheet.places
    found: dict[str, _Missing] = {}
    for key in keys:
        for k in np.flatnonzero(prepared.unknown[:, INDEX[key]]).tolist():
            name = prepared.names[k]
            each = found.setdefault(name, _Missing(short_name(name), places.line(k, at.NAME), []))
            if k not in each.lines:
                each.lines.append(k)
    return list(found.values())


def _now(sheet: Sheet, missing: list[_Missing]) -> list[str]:
    """Names of those that have a weight."""
    edible_g = sheet.evaluation.edible_g
    return [each.name for each in missing if any(edible_g[k] > 0 for k in each.lines)]


def _conditions(sheet: Sheet, missing: list[_Missing]) -> list[tuple[str, list[str]]]:
    return [(each.address, [sheet.places.line(k, at.EDIBLE) for k in each.lines]) for each in missing]


def _count(conditions: list[tuple[str, list[str]]]) -> str:
    """How many of these names have grams above zero."""
    parts = [f"({grams[0]}>0)" if len(grams) == 1 else f"(MAX({','.join(grams)})>0)" for _name, grams in conditions]
    return "+".join(parts) if len(parts) > 1 else f"{parts[0]}*1"


# --- bases ------------------------------------------------------------------------------------------------------------


def _bases(sheet: Sheet, first: Basis, second: Basis, last: int) -> list[Row]:
    words = {
        "per_100g": N_("100 g"),
        "portion": N_("one piece"),
        "per_25g_carbohydrate": N_("25 g carb."),
        "per_hour": N_("an hour"),
    }
    titles = [_("quantity"), _("unit")]
    for basis in (first, second):
        titles += [
            _("{basis}, known part", basis=_(words[basis])),
            _("at least"),
            _("at most"),
            _("how sure"),
            _("sign"),
        ]
    in_words = second == "portion"
    tail = Cell(at.WORDS, _("one piece in words, where not exact") if in_words else None, "head_words", last)
    rows = [(*heads(titles), tail)]
    for key in sheet.places.keys:
        cells = [*_title_cells(sheet, key), *_figure(sheet, key, first), *_figure(sheet, key, second)]
        if in_words:
            cells.append(_words(sheet, key, last))
        rows.append(tuple(cells))
    return rows


def _figure(sheet: Sheet, key: str, basis: Basis) -> list[Cell]:
    """Known part, limits, how sure and sign of a linear quantity on a basis."""
    places = sheet.places
    batch, uncertain = places.figure(key, "batch"), places.doubt(key)[0]
    bound = sheet.evaluation.bound(key, basis)
    if basis == "per_25g_carbohydrate":
        formulas = _per_carbohydrate(sheet, key)
        uncertain = f"({uncertain}+{places.doubt(_CARBOHYDRATE)[0]})"
    else:
        factor = places.portion(basis)
        most = f"IF(ISTEXT({batch.most}),IF({factor}>0,{batch.most},0),{batch.most}*{factor})"
        formulas = (
            f"IF(ISNUMBER({factor}),{batch.value}*{factor},{factor})",
            f"IF(ISNUMBER({factor}),{batch.least}*{factor},{factor})",
            f"IF(ISNUMBER({factor}),{most},{factor})",
        )
    return _cells(places.figure(key, basis), formulas, bound, uncertain, QUANTITIES[key].decimals)


def _per_carbohydrate(sheet: Sheet, key: str) -> tuple[str, str, str]:
    """``Bound.over`` the carbohydrate; carbohydrate itself is the measure."""
    places = sheet.places
    batch, carbohydrate = places.figure(key, "batch"), places.figure(_CARBOHYDRATE, "batch")
    grams = f"{REFERENCE_CARBOHYDRATE_G:g}"
    valid, unknown = places.portion("valid"), literal(_(HOW["not_known"]))
    value, least, most = _over(batch, carbohydrate, grams)
    if key == _CARBOHYDRATE:
        value, least, most = (f"IF({carbohydrate.value}>0,{grams},{each})" for each in (grams, least, most))
    return (
        f"IF({valid}=1,IF({carbohydrate.value}>0,{value},{unknown}),{no_result()})",
        f"IF({valid}=1,{least},{no_result()})",
        f"IF({valid}=1,{most},{no_result()})",
    )


def _over(top: Figure, bottom: Figure, scale: str) -> tuple[str, str, str]:
    """Value, least and most of a quotient; the first where the bottom is above zero."""
    no_limit = literal(_(NO_LIMIT))
    least = f'IF(ISTEXT({bottom.most}),0,IF({bottom.most}>0,{scale}*{top.least}/{bottom.most},""))'
    most = f"IF(ISTEXT({top.most}),{no_limit},IF({bottom.least}>0,{scale}*{top.most}/{bottom.least},{no_limit}))"
    return f"{scale}*{top.value}/{bottom.value}", least, most


def _cells(to: Figure, formulas: tuple[str, str, str], bound: Bound, uncertain: str, decimals: int) -> list[Cell]:
    column = _column(to.value)
    value: float | str = bound.value if not math.isnan(bound.value) else _(HOW["not_known"])
    least: float | str = bound.low if not math.isnan(bound.low) else ""
    how = how_formula(to.value, to.least, to.most, uncertain, decimals)
    return [
        figure(column, Live(formulas[0], value)),
        figure(column + 1, Live(formulas[1], least)),
        figure(column + 2, Live(formulas[2], limit(bound.high))),
        figure(column + 3, Live(how, _(HOW[certainty(bound, decimals)]))),
        figure(column + 4, Live(sign_formula(to), sign(bound, decimals))),
    ]


def _column(address: str) -> int:
    return ord(address[1]) - ord("A")


def _words(sheet: Sheet, key: str, last: int) -> Cell:
    """What is known of one piece, in words."""
    decimals = QUANTITIES[key].decimals
    text = doubt_text(sheet, key)
    formula = doubt_formula(sheet.places.figure(key, "portion"), decimals, *sheet.places.doubt(key))
    return Cell(at.WORDS, Live(formula, text), "muted_words", last)


def doubt_text(sheet: Sheet, key: str) -> str:
    """What is known of a quantity in one piece where it is not exact, and of which ingredients it is not."""
    quantity = QUANTITIES[key]
    linear = (key,) if quantity.kind == "linear" else (quantity.numerator, quantity.denominator)
    names = [] if key == WEIGHT else _now(sheet, _missing(sheet, linear))
    return doubt_words(sheet.evaluation.bound(key, "portion"), quantity.decimals, names)


# --- ratios -----------------------------------------------------------------------------------------------------------


def _ratios(sheet: Sheet, last: int) -> list[Row]:
    titles = (
        _("ratio"), _("unit"), _("known part"), _("at least"), _("at most"), _("how sure"), _("sign"),
        _("not known of"),
    )  # fmt: skip
    tails = (
        Cell(8, _("ingredients whose value is not known"), "head_words", 11),
        Cell(at.WORDS, _("in words, where not exact"), "head_words", last),
    )
    rows = [(*heads(titles), *tails)]
    places = sheet.places
    for key in places.ratio_keys:
        quantity, bound = QUANTITIES[key], sheet.evaluation.bound(key, "batch")
        top, bottom = (places.figure(part, "batch") for part in (quantity.numerator, quantity.denominator))
        value, least, most = _over(top, bottom, f"{quantity.scale:g}")
        valid, unknown = places.portion("valid"), literal(_(HOW["not_known"]))
        # The engine has no value where nothing is known of what is divided by; where it is above zero, something is.
        formulas = (
            f"IF({valid}=1,IF({bottom.value}>0,{value},{unknown}),{no_result()})",
            f"IF({valid}=1,{least},{no_result()})",
            f"IF({valid}=1,{most},{no_result()})",
        )
        count, names = places.doubt(key)
        missing = _missing(sheet, (quantity.numerator, quantity.denominator))
        conditions, listed = _conditions(sheet, missing), _now(sheet, missing)
        to = places.figure(key, "batch")
        text = doubt_text(sheet, key)
        rows.append(
            (
                *_title_cells(sheet, key),
                *_cells(to, formulas, bound, count, quantity.decimals),
                figure(7, Live(_count(conditions), len(listed)) if conditions else 0, "0"),
                Cell(8, Live(names_where(conditions), "; ".join(listed)) if conditions else None, "muted_words", 11),
                Cell(at.WORDS, Live(doubt_formula(to, quantity.decimals, count, names), text), "muted_words", last),
            )
        )
    return rows
