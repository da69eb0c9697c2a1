"""Native charts: what one piece gives, known part and what it may be more; and the variants beside each other."""

from collections.abc import Sequence
from typing import Any

from workbench.base.text import N_, _
from workbench.recipe.bound import Bound
from workbench.recipe.quantities import QUANTITIES
from workbench.report.spreadsheet.calculation import Sheet, figure, heads
from workbench.report.spreadsheet.figures import HOW, range_formula, range_words
from workbench.report.spreadsheet.formula import Live, literal
from workbench.report.spreadsheet.look import ACCENT, FONT, HAIRLINE, INK, MUTED
from workbench.report.spreadsheet.page import Cell, Page, Row, Section
from workbench.report.spreadsheet.places import Places
from workbench.report.spreadsheet.shown import BARS, quantity_title

_KNOWN, _MORE = 2, 3
_COLOURS = ("#0B5C7A", "#B35C00", "#00695C", "#5B4A8A", "#7A5C4A", "#5A6068")
_TEXT = {"name": FONT, "size": 9, "color": INK}
KNOWN_PART, MAY_BE_MORE = N_("known part"), N_("may be up to this much more")


def fill_bars(page: Page, sheet: Sheet) -> None:
    """What the chart of one piece draws."""
    rows: list[Row] = [heads((_("for the chart: one piece"), "", _(KNOWN_PART), _(MAY_BE_MORE)))]
    for key in BARS:
        found, quantity = sheet.places.figure(key, "portion"), QUANTITIES[key]
        bound, title = sheet.evaluation.bound(key, "portion"), quantity_title(key)
        unit = f" {quantity.unit}"
        after = f'IF({found.how}={literal(_(HOW["not_known"]))},"",{literal(unit)})'
        words = f"{literal(title + ': ')}&{range_formula(found, quantity.decimals)}&{after}"
        text = f"{title}: {range_words(bound, quantity.decimals)}{unit if bound.certainty != 'not_known' else ''}"
        known, more = _drawn(bound)
        rows.append(
            (
                Cell(0, Live(words, text), "name", 1),
                figure(_KNOWN, Live(f"N({found.least})", known)),
                figure(_MORE, Live(f"IF(ISNUMBER({found.most}),N({found.most})-N({found.least}),0)", more)),
            )
        )
    page.add(Section(_("12. The chart"), rows))


def _drawn(bound: Bound) -> tuple[float, float]:
    return bound.low, bound.high - bound.low if bound.high < float("inf") else 0.0


def piece_chart(workbook: Any, places: Places) -> Any:
    """Bars of one piece; what is not exactly known is hatched."""
    chart = workbook.add_chart({"type": "bar", "subtype": "stacked"})
    first, last = places.bars, places.bars + len(BARS) - 1
    fills: Sequence[dict[str, Any]] = (
        {"fill": {"color": ACCENT}},
        {
            "pattern": {"pattern": "wide_upward_diagonal", "fg_color": ACCENT, "bg_color": "#FFFFFF"},
            "border": {"color": ACCENT},
        },
    )
    for column, title, fill in zip((_KNOWN, _MORE), (KNOWN_PART, MAY_BE_MORE), fills, strict=True):
        chart.add_series(
            {
                "name": _(title),
                "categories": [places.sheet, first, 0, last, 0],
                "values": [places.sheet, first, column, last, column],
                "gap": 45,
                **fill,
            }
        )
    every = {"interval_unit": 1, "num_font": {**_TEXT, "size": 8}}
    chart.set_y_axis({"reverse": True, "line": {"color": MUTED}, "major_tick_mark": "none", **every})
    _plain(chart, _("g in one piece"))
    return chart


def comparison_chart(workbook: Any, sheet: str, rows: tuple[int, int], columns: Sequence[int], head_row: int) -> Any:
    """Known parts of one piece, the variants beside each other.

    Parameters
    ----------
    workbook : object
        The workbook.
    sheet : str
        The sheet that has the figures.
    rows : tuple of int
        First and last row of the figures.
    columns : sequence of int
        Columns of the figures, one for each variant.
    head_row : int
        Row that has the names, each from the column before.
    """
    chart = workbook.add_chart({"type": "bar"})
    for k, column in enumerate(columns):
        chart.add_series(
            {
                "name": [sheet, head_row, column - 1],
                "categories": [sheet, rows[0], 0, rows[1], 0],
                "values": [sheet, rows[0], column, rows[1], column],
                "fill": {"color": _COLOURS[k % len(_COLOURS)]},
                "gap": 60,
            }
        )
    chart.set_y_axis({"reverse": True, "num_font": _TEXT, "line": {"color": MUTED}, "major_tick_mark": "none"})
    _plain(chart, _("g in one piece, known part"))
    return chart


def _plain(chart: Any, title: str) -> None:
    chart.set_x_axis(
        {
            "name": title,
            "name_font": {**_TEXT, "bold": False},
            "num_font": _TEXT,
            "min": 0,
            "major_gridlines": {"visible": True, "line": {"color": HAIRLINE}},
            "line": {"none": True},
            "label_position": "high",
        }
    )
    chart.set_legend({"position": "top", "font": _TEXT})
    chart.set_chartarea({"border": {"none": True}})
