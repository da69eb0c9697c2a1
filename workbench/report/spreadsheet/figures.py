"""A result in cells: a number that stays a number, a sign before it where it is only a limit, and the rest in words."""

from workbench.base.text import N_, _, number
from workbench.document.project import Basis
from workbench.recipe.bound import Bound, Certainty
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.recipe.words import bound_text
from workbench.report.spreadsheet.page import Cell

GRAMS = "[>=20]0;0.0"  # weights of pieces and batches
FEW_GRAMS = "[>=20]0;[>=1]0.0;0.00"  # weights of ingredients
PERCENT = "0.0"
SHARE = '0.0" %"'

SIGNS = N_("≥ at least, ≤ at most, ~ may be more or less.")

_ALONE = {"at_least": N_("at least"), "at_most": N_("at most")}  # the figure itself stands beside the words


def decimal_places(decimals: int, sign: str = "") -> str:
    """Number format with a fixed number of decimals and a sign before the number."""
    digits = f"0.{'0' * decimals}" if decimals else "0"
    return f'"{sign} "{digits}' if sign else digits


def certainty_shown(bound: Bound, decimals: int) -> Certainty:
    """Certainty of a figure as it is shown: limits that are written alike are one figure."""
    certainty = bound.certainty
    if certainty == "between" and number(bound.low, decimals) == number(bound.high, decimals):
        return "exact"
    return certainty


def figure(column: int, bound: Bound, decimals: int, style: str = "figure") -> Cell:
    """The number of a bound; an empty cell where it is not known."""
    certainty = certainty_shown(bound, decimals)
    if certainty == "not_known":
        return Cell(column, None, style)
    sign = ""
    if certainty != "exact":
        sign = "~" if bound.at_least and bound.at_most else "≥" if bound.at_least else "≤"
    return Cell(column, bound.value, style, number_format=decimal_places(decimals, sign))


class LongLists:
    """Names that would fill a cell: they are written once below the table, and the cell points there."""

    _FEW = 2

    def __init__(self) -> None:
        self._notes: dict[tuple[str, ...], str] = {}

    def words(self, names: tuple[str, ...]) -> str:
        """The names, or the note that has them."""
        if len(names) <= self._FEW:
            return "; ".join(names)
        return self._notes.setdefault(names, _("note {n}", n=len(self._notes) + 1))

    def notes(self) -> list[str]:
        """What stands below the table."""
        return [f"{note}: {'; '.join(names)}" for names, note in self._notes.items()]


def known_words(evaluation: Evaluation, key: str, lists: LongLists) -> str:
    """What is known of a quantity and whose values are missing; empty where every figure is exact."""
    quantity = QUANTITIES[key]
    # An hour is so many pieces, and 25 g carbohydrate adds only what is not known of the carbohydrate.
    bases: tuple[Basis, ...] = ("batch",) if quantity.kind == "ratio" else ("per_100g", "portion")
    doubtful = _doubtful(evaluation, key, bases)
    if not doubtful and quantity.kind == "linear":
        doubtful = _doubtful(evaluation, key, ("per_25g_carbohydrate", "per_hour"))
        return "; ".join(_figure_words(key, basis, bound) for basis, bound in doubtful.items() if bound.unknown)
    unknown = tuple(dict.fromkeys(name for bound in doubtful.values() for name in bound.unknown))
    if not unknown:  # exact, or a share of nothing: there is nothing to know
        return ""
    names = lists.words(unknown)
    certainties = {bound.certainty for bound in doubtful.values()}
    if certainties == {"not_known"}:
        return _("not known: {names}", names=names)
    if len(certainties) == 1 and (alone := _ALONE.get(*certainties)):
        known = _(alone)
    else:
        known = "; ".join(_figure_words(key, basis, bound) for basis, bound in doubtful.items())
    return _("{known}; not known: {names}", known=known, names=names)


def _doubtful(evaluation: Evaluation, key: str, bases: tuple[Basis, ...]) -> dict[Basis, Bound]:
    bounds = {basis: evaluation.bound(key, basis) for basis in bases}
    decimals = QUANTITIES[key].decimals
    return {basis: bound for basis, bound in bounds.items() if certainty_shown(bound, decimals) != "exact"}


def _figure_words(key: str, basis: Basis, bound: Bound) -> str:
    quantity = QUANTITIES[key]
    words = bound_text(bound, quantity.decimals)
    return words if quantity.kind == "ratio" else _("{basis}: {words}", basis=_(BASIS_TITLES[basis]), words=words)
