"""Fractions: a quantity on a basis as a quotient of two straight lines in the amounts, read off the prepared matrix.

Every result of the engine is ``scale * top(x) / bottom(x)`` with ``bottom(x) > 0``; the bottom is 1 where the count of
pieces is held, the finished weight where a piece's weight is, and the carbohydrate of the batch for 25 g of it.  So a
limit is a straight row, ``scale * top(x) - limit * bottom(x) <= 0``, without any approximation.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.document.project import Basis, ByCount, Variant
from workbench.recipe.evaluation import REFERENCE_CARBOHYDRATE_G
from workbench.recipe.prepared import Prepared
from workbench.recipe.quantities import INDEX, LINEAR, QUANTITIES
from workbench.solve.wishes import Side

Floats = npt.NDArray[np.float64]
Order = npt.NDArray[np.intp]


class Straight(NamedTuple):
    """A straight line in the amounts: coefficients per gram as entered, and last what is there whatever they are.

    ``open`` marks ingredients that have no upper limit; for these ``high`` holds the known part.
    """

    value: Floats  # shape (n_lines + 1,), as are the next two
    low: Floats
    high: Floats
    open: npt.NDArray[np.bool_]  # shape (n_lines,)


class Fraction(NamedTuple):
    """``scale * top / bottom``."""

    scale: float
    top: Straight
    bottom: Straight

    def at(self, amount_g: Floats) -> float:
        """The known part at some amounts; NaN where the bottom is nothing."""
        with_one = np.append(amount_g, 1.0)
        bottom = float(self.bottom.value @ with_one)
        return self.scale * float(self.top.value @ with_one) / bottom if bottom > 0 else float("nan")

    def row(self, side: Side, limit: float, known_only: bool = False) -> Floats:
        """The row r of a limit, so that it is kept where ``r[:-1] @ x + r[-1] <= 0``.

        It is kept in the worst case of what is not known; ``known_only`` takes known parts alone.
        """
        scale, top, bottom = self.quotient(side, known_only)
        row: Floats = scale * top - limit * bottom
        return row if side == "high" else -row

    def quotient(self, side: Side, known_only: bool = False) -> tuple[float, Floats, Floats]:
        """Scale, top and bottom that a limit on this side has to do with."""
        if known_only:
            return self.scale, self.top.value, self.bottom.value
        if side == "high":
            return self.scale, self.top.high, self.bottom.low
        return self.scale, self.top.low, self.bottom.high

    def doubtful(self, side: Side) -> tuple[npt.NDArray[np.bool_], npt.NDArray[np.bool_]]:
        """Lines whose share in the worst case is not the known one, and lines that have no worst case."""
        worst = (self.top.high, self.bottom.low) if side == "high" else (self.top.low, self.bottom.high)
        known = (self.top.value, self.bottom.value)
        apart = np.zeros(len(self.top.open), dtype=bool)
        for a, b in zip(worst, known, strict=True):
            apart |= np.abs(a - b)[:-1] > 1e-12
        unlimited = self.top.open if side == "high" else self.bottom.open
        return apart | unlimited, unlimited


def _constant(value: float, n: int) -> Straight:
    line = np.zeros(n + 1)
    line[-1] = value
    return Straight(line, line, line, np.zeros(n, dtype=bool))


def _column(prepared: Prepared, order: Order, column: int) -> Floats:
    result: Floats = np.append(prepared.matrix[order, column], prepared.constant[column])
    return result


def _straight(prepared: Prepared, order: Order, key: str) -> Straight:
    n, k = len(LINEAR), INDEX[key]
    value, low, high = (_column(prepared, order, which * n + k) for which in range(3))
    unlimited = prepared.matrix[order, 3 * n + k] > 0
    high[:-1] = np.where(unlimited, value[:-1], high[:-1])
    return Straight(value, low, high, unlimited)


def stage_rows(prepared: Prepared, order: Order) -> Floats:
    """The water that can be there at most after each stage, and last the finished weight.

    Returns
    -------
    ndarray, shape (n_stages + 1, n_lines + 1)
        Straight lines in the amounts. [g/g]
    """
    first, s = 4 * len(LINEAR), len(prepared.stages)
    columns = [first + 2 * s + k for k in range(s)] + [first + 2 * s - 1]
    return np.array([_column(prepared, order, column) for column in columns])


def fraction(prepared: Prepared, variant: Variant, order: Order, key: str, basis: Basis) -> Fraction:
    """A quantity on a basis; ``order`` says which line stands where.

    Raises
    ------
    KeyError
        If the catalogue has no such quantity.
    """
    quantity = QUANTITIES[key]
    if quantity.kind == "ratio":
        top, bottom = (_straight(prepared, order, k) for k in (quantity.numerator, quantity.denominator))
        return Fraction(quantity.scale, top, bottom)
    n = len(order)
    one = _constant(1.0, n)
    if basis == "per_25g_carbohydrate":
        if key == "CHOAVLDF":
            return Fraction(1.0, _constant(REFERENCE_CARBOHYDRATE_G, n), one)
        return Fraction(
            REFERENCE_CARBOHYDRATE_G, _straight(prepared, order, key), _straight(prepared, order, "CHOAVLDF")
        )
    top = _straight(prepared, order, key)
    if basis == "batch":
        return Fraction(1.0, top, one)
    finished = stage_rows(prepared, order)[-1]
    by_weight = Straight(finished, finished, finished, one.open)
    if basis == "per_100g":
        return Fraction(100.0, top, by_weight)
    pace = variant.pace_per_hour if basis == "per_hour" else 1.0
    portioning = variant.portioning
    if isinstance(portioning, ByCount):
        usable = 1.0 - portioning.trimmings_percent / 100.0
        return Fraction(pace * usable / portioning.count, top, one)
    return Fraction(pace * portioning.piece_g, top, by_weight)
