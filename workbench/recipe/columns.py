"""Columns of a recipe table: what stands beside an ingredient line, as figures with their limits and as short text.

A column shows the line's share of the batch, a quantity in 100 g of the ingredient, or what the line brings of a
quantity to a basis.  Figures are of the matrix that everything else is computed with.
"""

import math
from collections.abc import Iterable
from typing import Literal, NamedTuple, get_args

import numpy as np
import numpy.typing as npt

from workbench.base.text import N_, UNKNOWN, _, number
from workbench.composition.derive import fill_gaps
from workbench.composition.food import Food
from workbench.document.project import Assumptions, Basis
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import REFERENCE_CARBOHYDRATE_G, Evaluation
from workbench.recipe.food_row import rules_in_use
from workbench.recipe.quantities import BASES, BASIS_TITLES, INDEX, QUANTITIES, Quantity
from workbench.recipe.words import bound_text

Floats = npt.NDArray[np.float64]
ColumnKind = Literal["share", "per_100g", "brings"]

MOST_COLUMNS = 24
_ESTIMATED = ("derived", "borrowed", "typical")  # kinds of values that nobody published for this food
_SHORT = {
    "CHOAVLDF": N_("carbohydrate"),
    "CHOCDF": N_("total carb."),
    "glucose_type": N_("glucose-type"),
    "fructose_type": N_("fructose-type"),
    "medium_chain": N_("MCT"),
    "mct_c6_c10": N_("MCT C6–C10"),
    "mct_c6_c12": N_("MCT C6–C12"),
    "residue_organic": N_("undig. (organic)"),
    "residue_fibre_based": N_("undig. (fibre)"),
    "fructose_to_glucose": N_("F : G"),
    "FASAT": N_("saturated"),
    "FAMS": N_("monouns."),
    "FAPU": N_("polyuns."),
}


class Column(NamedTuple):
    """One column; ``key`` is that of a quantity, empty for the share of the batch."""

    kind: ColumnKind
    key: str = ""

    @property
    def name(self) -> str:
        """How settings remember the column."""
        return f"{self.kind} {self.key}".rstrip()

    @property
    def quantity(self) -> Quantity | None:
        """The catalogue's entry."""
        return QUANTITIES[self.key] if self.key else None

    @property
    def decimals(self) -> int:
        """Of a figure in the column."""
        return QUANTITIES[self.key].decimals if self.key else 1


SHARE = Column("share")
USUAL_COLUMNS: tuple[Column, ...] = (SHARE, Column("brings", "CHOAVLDF"), Column("brings", "FAT"))


def possible(column: Column) -> bool:
    """Whether there is such a column: nobody brings a part of a ratio."""
    if column.kind == "share":
        return not column.key
    return column.key in (INDEX if column.kind == "brings" else QUANTITIES)


def read_columns(names: Iterable[str]) -> tuple[Column, ...]:
    """Columns as settings remember them; what this version does not know is left out, and so are repetitions."""
    parts = (name.partition(" ") for name in names)
    columns = (Column(kind, key) for kind, _blank, key in parts if kind in get_args(ColumnKind))  # type: ignore[arg-type]
    return tuple(dict.fromkeys(column for column in columns if possible(column)))[:MOST_COLUMNS]


def read_basis(name: str) -> Basis:
    """What contributions are to, as settings remember it; a piece where that is not known."""
    return next((basis for basis in BASES if basis == name), "portion")


# --- figures ------------------------------------------------------------------------------------------------------


def line_figures(evaluation: Evaluation, column: Column, basis: Basis) -> Floats:
    """Known part, lower and upper limit of a column in every line.

    Parameters
    ----------
    evaluation : Evaluation
        The variant.
    column : Column
        What is asked for; composition is per 100 g of the edible part.
    basis : Basis
        What contributions are to.

    Returns
    -------
    ndarray, shape (3, n_lines)
        In the unit of the quantity, shares in percent; NaN where no figure may be shown.
    """
    if column.kind == "share":
        share = evaluation.edible_g * (100.0 / evaluation.raw_g if evaluation.raw_g > 0 else np.nan)
        return np.array([share, share, share])
    if column.kind == "brings":
        return _brought(evaluation, INDEX[column.key], basis)
    if column.key in INDEX:
        return 100.0 * _per_gram(evaluation, INDEX[column.key])
    return _ratios(evaluation, QUANTITIES[column.key])


def _per_gram(evaluation: Evaluation, k: int) -> Floats:
    prepared = evaluation.prepared
    return np.array([prepared.row_value[:, k], prepared.row_low[:, k], prepared.row_high[:, k]])


def _brought(evaluation: Evaluation, k: int, basis: Basis) -> Floats:
    grams = evaluation.edible_g
    brought = np.where(grams > 0, _per_gram(evaluation, k), 0.0) * grams
    if basis != "per_25g_carbohydrate":
        return brought * evaluation.factor(basis)
    carbohydrate = evaluation.bound("CHOAVLDF", "batch")
    parts = np.array([carbohydrate.value, carbohydrate.high, carbohydrate.low])
    with np.errstate(divide="ignore", invalid="ignore"):
        factors = np.where(brought > 0, REFERENCE_CARBOHYDRATE_G / parts[:, None], 0.0)
        return brought * factors if carbohydrate.value > 0 else np.full_like(brought, np.nan)


def _ratios(evaluation: Evaluation, quantity: Quantity) -> Floats:
    above = _per_gram(evaluation, INDEX[quantity.numerator]).T
    below = _per_gram(evaluation, INDEX[quantity.denominator]).T
    bounds = [_bound(*a).over(_bound(*b), quantity.scale) for a, b in zip(above, below, strict=True)]
    return np.array([bound[:3] for bound in bounds]).reshape(-1, 3).T


def _bound(value: float, low: float, high: float) -> Bound:
    return Bound(value, low, high, ("",) if high > low else ())


def as_bound(figures: Floats, line: int) -> Bound:
    """One line of ``line_figures``."""
    return _bound(*figures[:, line].tolist())


# --- words --------------------------------------------------------------------------------------------------------


def cell_text(bound: Bound, decimals: int, *, estimated: bool = False) -> str:
    """A figure where there is no room for words: ``1.2``, ``≥ 1.2``, ``≤ 0.3``, ``0.6–0.9``, ``?``; ``≈`` if estimated.

    A dash stands where there is no result at all.
    """
    certainty = bound.certainty
    if certainty == "not_known":
        return UNKNOWN if math.isnan(bound.low) else "?"
    low, high = number(bound.low, decimals), number(bound.high, decimals)
    if certainty == "exact" or low == high:
        return f"≈ {low}" if estimated else low
    if certainty == "at_least":
        return f"≥ {low}"
    return f"≤ {high}" if certainty == "at_most" else f"{low}–{high}"


def column_titles(column: Column, basis: Basis) -> tuple[str, str]:
    """Two short lines over a column: what it is, and its unit."""
    quantity = column.quantity
    if quantity is None:
        return _("share"), "%"
    title = _(_SHORT.get(column.key, quantity.title))
    if quantity.kind == "ratio":
        return title, quantity.unit
    per = _("100 g") if column.kind == "per_100g" else _short_basis(basis)
    return title, _("{unit} / {per}", unit=quantity.unit, per=per)


def _short_basis(basis: Basis) -> str:
    shorter = {"batch": N_("batch"), "portion": N_("piece"), "per_100g": N_("100 g out"), "per_hour": N_("hour")}
    return _(shorter.get(basis, N_("25 g carb.")))


def column_words(column: Column, basis: Basis) -> str:
    """What a column shows, in full."""
    quantity = column.quantity
    if quantity is None:
        return _("share of the weight of all ingredients, edible parts")
    title = _(quantity.title)
    if quantity.kind == "ratio":
        return _("{title}, in the ingredient", title=title)
    if column.kind == "per_100g":
        return _("{title} in 100 g of the ingredient, edible part", title=title)
    return _("{title} that the ingredient brings to: {basis}", title=title, basis=_(BASIS_TITLES[basis]))


def cell_words(bound: Bound, column: Column, basis: Basis, *, estimated: bool, percent: float | None) -> str:
    """A cell in full sentences; ``percent`` of the whole column is what the line brings."""
    unit = column.quantity.unit if column.quantity else "%"
    figure = f"{bound_text(bound, column.decimals)} {unit}".rstrip() if bound.certainty != "not_known" else ""
    lines = [f"{column_words(column, basis)}: {figure or _('not known')}"]
    if bound.certainty not in ("exact", "not_known"):
        lines.append(_("a value of this ingredient is not known exactly"))
    if estimated:
        lines.append(_("≈ derived by a rule, or borrowed from a similar food"))
    if percent is not None:
        lines.append(_("{percent} % of all that is brought", percent=number(percent, 0)))
    return "\n".join(lines)


def estimated_keys(food: Food, assumptions: Assumptions) -> frozenset[str]:
    """Quantities of a food that rest on values which were derived by a rule or borrowed from another food."""
    values = fill_gaps(food, rules_in_use(assumptions)).values
    doubtful = {tag for tag, value in values.items() if value.kind in _ESTIMATED}
    if not doubtful:
        return frozenset()
    firm = values.keys() - doubtful
    return frozenset(q.key for q in QUANTITIES.values() if q.key not in firm and not doubtful.isdisjoint(_inputs(q)))


def _inputs(quantity: Quantity) -> Iterable[str]:
    if quantity.kind == "linear":
        return quantity.inputs
    return QUANTITIES[quantity.numerator].inputs + QUANTITIES[quantity.denominator].inputs
