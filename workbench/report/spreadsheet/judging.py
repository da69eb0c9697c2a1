"""Targets on the sheet that calculates: limits, verdict and distance, as ``recipe.verdict`` judges them."""

import math
from collections.abc import Sequence

from workbench.base.text import N_, _
from workbench.document.project import Target
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.recipe.verdict import Verdict
from workbench.report.spreadsheet.amounts import limit, no_result, unit_of
from workbench.report.spreadsheet.calculation import Sheet, figure, heads
from workbench.report.spreadsheet.figures import HOW
from workbench.report.spreadsheet.formula import Live, cell, literal, on
from workbench.report.spreadsheet.page import Cell, Page, Row, Section
from workbench.report.spreadsheet.shown import quantity_title

_STATES = {
    "met": N_("● met"),
    "short": N_("▼ short"),
    "over": N_("▲ over"),
    "cannot_tell": N_("○ cannot tell"),
}


def state_words(state: str) -> str:
    """A verdict with the shape that goes with it."""
    return _(_STATES[state])


def fill_targets(page: Page, sheet: Sheet, verdicts: Sequence[Verdict]) -> None:
    """Targets against the limits of what is known; see ``recipe.verdict``."""
    titles = (
        _("target"), _("unit"), _("known part"), _("at least"), _("at most"), _("not below"), _("not above"),
        _("aim"), _("rounding counts up to"), _("verdict"), _("by"),
    )  # fmt: skip
    rows = [heads(titles)]
    for k, verdict in enumerate(verdicts):
        rows.append(_target(sheet, k, verdict))
    if verdicts:
        page.add(Section(_("8. Targets"), rows))


def _target(sheet: Sheet, k: int, verdict: Verdict) -> Row:
    places, target, bound = sheet.places, verdict.target, verdict.bound
    row = places.targets + k
    quantity = QUANTITIES[target.quantity]
    value, least, most, _how, _sign = places.figure(target.quantity, target.basis)
    if target.basis == "batch" and quantity.kind == "linear":
        value = f"IF({places.portion('valid')}=1,{value},{no_result()})"
    v, low, high, at_least, at_most, aim, slack, state = (cell(row, column) for column in range(2, 10))
    asked = [on(sheet.spec, address) for address in sheet.inputs.targets[k]]
    limits = _limits(target)
    only_aim = f"AND(COUNT({asked[0]})=0,COUNT({asked[1]})=0,COUNT({aim})=1)"
    return (
        Cell(0, target_name(target), "name"),
        Cell(1, unit_of(sheet, target.quantity) or None, "unit"),
        figure(2, Live(value, bound.value if not math.isnan(bound.value) else _(HOW["not_known"]))),
        figure(3, Live(least, bound.low if not math.isnan(bound.low) else "")),
        figure(4, Live(most, limit(bound.high))),
        figure(5, Live(f'IF({only_aim},{aim},IF(COUNT({asked[0]})=1,{asked[0]},""))', _or_empty(limits[0]))),
        figure(6, Live(f'IF({only_aim},{aim},IF(COUNT({asked[1]})=1,{asked[1]},""))', _or_empty(limits[1]))),
        figure(7, target.aim),
        figure(8, 0.5 * 10.0**-quantity.decimals, "0.0####"),
        figure(9, Live(_state_formula(v, low, high, at_least, at_most, slack), state_words(verdict.state))),
        figure(10, Live(_by_formula(state, low, high, at_least, at_most), verdict.by if verdict.by > 0 else "")),
    )


def target_name(target: Target) -> str:
    """What a target is about."""
    title = quantity_title(target.quantity)
    if QUANTITIES[target.quantity].kind == "ratio":
        return title
    return _("{quantity}, {basis}", quantity=title, basis=_(BASIS_TITLES[target.basis]))


def _limits(target: Target) -> tuple[float | None, float | None]:
    """What is judged: the limits, or the aim where there are none."""
    return (target.aim, target.aim) if (target.low, target.high) == (None, None) else (target.low, target.high)


def _or_empty(limit: float | None) -> float | str:
    return "" if limit is None else limit


def _state_formula(value: str, low: str, high: str, least: str, most: str, slack: str) -> str:
    words = {state: literal(state_words(state)) for state in _STATES}
    short = f"AND(ISNUMBER({least}),ISNUMBER({high}),N({high})<N({least})-{slack})"
    over = f"AND(ISNUMBER({most}),ISNUMBER({low}),N({low})>N({most})+{slack})"
    kept_least = f"OR(ISTEXT({least}),N({low})>=N({least})-{slack})"
    kept_most = f"OR(ISTEXT({most}),AND(ISNUMBER({high}),N({high})<=N({most})+{slack}))"
    judged = f"IF(AND({kept_least},{kept_most}),{words['met']},{words['cannot_tell']})"
    judged = f"IF({short},{words['short']},IF({over},{words['over']},{judged}))"
    return f"IF(ISTEXT({value}),{words['cannot_tell']},{judged})"


def _by_formula(state: str, low: str, high: str, least: str, most: str) -> str:
    short, over = literal(state_words("short")), literal(state_words("over"))
    return f'IF({state}={short},{least}-{high},IF({state}={over},{low}-{most},""))'
