"""The comparison as one page to print: as large as everything fits, and what does not fit is said on it."""

from collections.abc import Callable, Sequence
from datetime import date
from typing import NamedTuple

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.text import N_, _, plural
from workbench.recipe.quantities import HEADLINE
from workbench.recipe.side_by_side import Row, SideBySide
from workbench.recipe.words import CAUTIONS
from workbench.report.comparison import blocks
from workbench.report.comparison.charts import PER_ROW, chart_row
from workbench.report.comparison.grid import SIGNS_EXPLAINED
from workbench.report.pdf.desk import Desk, Laid
from workbench.report.pdf.page import PAGE_SIZES, Mark, Page, moved
from workbench.report.pdf.setting import Setting

_MARGIN_MM = 12.0
_SCALES = (1.1, 1.05, 1.0, 0.95, 0.9, 0.85)
"""Largest first; at the last one figures stand in 7.2 point and notes in 6."""
_CHART_ROWS = 2
_NOT_DRAWN = ("energy_kj", "fructose_to_glucose", "energy_kcal")  # said by others, or no amount

CHARTS_EXPLAINED = N_(
    "Charts: a bar is the known part, black for the reference; a line goes from the lower to the upper limit, an arrow "
    "means that nothing limits it; shaded is what a target asks for."
)
LEFT_OUT = ProblemKind(
    "comparison_left_out",
    "notice",
    N_("the page has no room for {what}."),
    N_("The table file has all of it."),
)


class SetPage(NamedTuple):
    """The page, ready to be previewed or written, and what could not be set as it was given."""

    pages: tuple[Page, ...]
    problems: tuple[Problem, ...]


class _List(NamedTuple):
    """A part of the page that may be shortened: its rows in the order of their weight, and what is said of the rest."""

    title: Laid
    rows: list[Laid]
    rest: Callable[[int], str]  # words for so many rows that are left out
    never: int = 0  # rows that are not meant for the page in any case
    tail: str = ""  # what is said behind the rows in any case

    def height(self, desk: Desk, shown: int) -> float:
        return sum(each.height_mm for each in self.laid(desk, shown))

    def laid(self, desk: Desk, shown: int) -> list[Laid]:
        more = len(self.rows) - shown + self.never
        if not self.rows:
            return []
        rest = self.rest(more) if more else ""
        elsewhere = _("{what} more in the table file", what=rest) if rest else ""
        said = " · ".join(filter(None, (elsewhere, self.tail)))
        return [self.title, *self.rows[:shown], *([blocks.remark(desk, said)] if said else [])]


_FEWEST = ((10, 12, 1, 3), (6, 8, 1, 2), (2, 3, 0, 0))
"""Ingredients, quantities, rows of charts and steps of descent that stay, in turn, before others are taken off."""


def comparison_page(side: SideBySide, title: str, paper: str = "a4", written: date | None = None) -> SetPage:
    """Set a comparison on one page.

    Parameters
    ----------
    side : SideBySide
        The comparison.
    title : str
        What stands over it.
    paper : {"a4", "letter"}
        The paper.
    written : date, optional
        The date to print.

    Returns
    -------
    SetPage
        At the largest scale that everything meant for it fits; else with the least of it left out.
    """
    size = PAGE_SIZES[paper]
    room = size.height_mm - 2 * _MARGIN_MM
    width = size.width_mm - 2 * _MARGIN_MM
    place = Place("project", "", title)
    for scale in _SCALES:
        desk = Desk(Setting(place), width, scale)
        top, lists, foot = _parts(desk, side, title, written)
        shown = [len(each.rows) for each in lists]
        needed = sum(each.height_mm for each in (*top, foot))
        if needed + _height(desk, lists, shown) <= room:
            break
    else:
        shown = _shortened(desk, lists, room - needed)
    laid = [*top]
    for each, n in zip(lists, shown, strict=True):
        laid += each.laid(desk, n)
    marks: list[Mark] = []
    y = _MARGIN_MM
    for block in laid:
        marks += moved(block.marks, _MARGIN_MM, y)
        y += block.height_mm
    marks += moved(foot.marks, _MARGIN_MM, size.height_mm - _MARGIN_MM - foot.height_mm)
    problems = list(desk.setting.problems)
    gone = [each.rest(len(each.rows) - n) for each, n in zip(lists, shown, strict=True) if n < len(each.rows)]
    if any(gone):
        problems.insert(0, LEFT_OUT.at(place, what=", ".join(filter(None, gone))))
    return SetPage((Page(size, tuple(marks)),), tuple(problems))


def _height(desk: Desk, lists: Sequence[_List], shown: Sequence[int]) -> float:
    return sum(each.height(desk, n) for each, n in zip(lists, shown, strict=True))


def _shortened(desk: Desk, lists: Sequence[_List], room: float) -> list[int]:
    """How many rows of each list stay, so that they fit: rows go one by one from what stands highest."""
    shown = [len(each.rows) for each in lists]
    for fewest in _FEWEST:
        while _height(desk, lists, shown) > room:
            spare = [k for k, least in enumerate(fewest) if shown[k] > least]
            if not spare:
                break
            highest = max(spare, key=lambda k: lists[k].height(desk, shown[k]))
            shown[highest] -= 1
    for k in (1, 0, 3, 2):  # a row of charts is high: what it leaves is filled again
        while shown[k] < len(lists[k].rows):
            more = [n + (j == k) for j, n in enumerate(shown)]
            if _height(desk, lists, more) > room:
                break
            shown = more
    return shown


# --- what stands on it ------------------------------------------------------------------------------------------------


def _parts(desk: Desk, side: SideBySide, title: str, written: date | None) -> tuple[list[Laid], list[_List], Laid]:
    """What always stands at the top, the lists below it, and the foot."""
    top = [blocks.head(desk, side, title, written), blocks.names(desk, side)]
    rows = [row for row in side.rows if _meant(row)]
    changed = [row for row in side.ingredients if row.changed]
    drawn = [row for row in rows if row.weight > 0 and row.quantity.key not in _NOT_DRAWN][: PER_ROW * _CHART_ROWS]
    charts = [drawn[k : k + PER_ROW] for k in range(0, len(drawn), PER_ROW)]
    lists = [
        _List(
            blocks.section(desk, _("what changed in the recipe"), _("% of the raw batch")),
            [blocks.ingredient(desk, side, row) for row in changed],
            lambda n: plural("{n} ingredient", "{n} ingredients", n),
            tail=_alike(side),
        ),
        _List(
            blocks.section(desk, _("what it did")),
            [blocks.quantity(desk, side, row) for row in rows],
            lambda n: plural("{n} quantity", "{n} quantities", n),
            len(side.rows) - len(rows),
        ),
        _List(
            blocks.section(desk, _("beside each other"), _("each chart on its own scale")),
            [chart_row(desk, row, side.reference) for row in charts],
            lambda _n: "",
        ),
        _List(
            blocks.section(desk, _("how they descend")),
            [blocks.step_of(desk, step) for step in side.descent if step.parent or not step.compared],
            lambda n: plural("{n} step", "{n} steps", n),
        ),
    ]
    return top, lists, _foot(desk)


def _meant(row: Row) -> bool:
    return row.quantity.key in HEADLINE or any(verdict is not None for verdict in row.verdicts)


def _alike(side: SideBySide) -> str:
    names = [row.name for row in side.ingredients if not row.changed]
    return _("the same share in all: {names}", names="; ".join(names)) if names else ""


def _foot(desk: Desk) -> Laid:
    return blocks.remark(desk, " ".join((_(SIGNS_EXPLAINED), _(CHARTS_EXPLAINED), _(CAUTIONS[0]))))
