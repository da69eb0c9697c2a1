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

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Order = npt.NDArray[np.intp]

VALUE, LOW, HIGH = range(3)


class Straight(NamedTuple):
    """A straight line in the amounts: coefficients per gram as entered, and last what is there whatever they are.

    ``open`` marks ingredients that have no upper limit; for these ``high`` holds the known part.
    """

    value: Floats  # shape (n_lines + 1,), as are the next two
    low: Floats
    high: Floats
    open: Flags  # shape (n_lines,)


class Fraction(NamedTuple):
    """``scale * top / bottom``."""

    scale: float
    top: Straight
    bottom: Straight


class Places(NamedTuple):
    """Where a quantity on a basis stands in ``Straights``: ``scale * parts[:, top] / parts[:, bottom]``."""

    scale: float
    top: int
    bottom: int


class Straights:
    """Every straight line of a prepared variant, with its lines in the order asked for: read off the matrix once.

    Attributes
    ----------
    parts : ndarray, shape (3, n, n_lines + 1)
        Known parts, lower and upper limits of every linear quantity, then the finished weight, then 1.
    open : ndarray of bool, shape (n, n_lines)
        Lines that have no upper limit of it.
    stages : ndarray, shape (n_stages + 1, n_lines + 1)
        The water that can be there at most after each stage, and last the finished weight. [g/g]
    """

    def __init__(self, prepared: Prepared, order: Order) -> None:
        n, s, n_lines = len(LINEAR), len(prepared.stages), len(order)
        everything = np.empty((prepared.matrix.shape[1], n_lines + 1))
        everything[:, :-1] = prepared.matrix[order].T
        everything[:, -1] = prepared.constant
        self.stages: Floats = everything[[*range(4 * n + 2 * s, 4 * n + 3 * s), 4 * n + 2 * s - 1]]
        self.open: Flags = np.zeros((n + 2, n_lines), dtype=bool)
        np.greater(everything[3 * n : 4 * n, :-1], 0.0, out=self.open[:n])
        self.parts: Floats = np.zeros((3, n + 2, n_lines + 1))
        self.parts[:, :n] = everything[: 3 * n].reshape(3, n, n_lines + 1)
        np.copyto(self.parts[HIGH, :, :-1], self.parts[VALUE, :, :-1], where=self.open)
        self.parts[:, n] = self.stages[-1]
        self.parts[:, n + 1, -1] = 1.0

    def places(self, variant: Variant, key: str, basis: Basis) -> Places:
        """A quantity on a basis.

        Raises
        ------
        KeyError
            If the catalogue has no such quantity.
        """
        quantity, weight, one = QUANTITIES[key], len(LINEAR), len(LINEAR) + 1
        if quantity.kind == "ratio":
            return Places(quantity.scale, INDEX[quantity.numerator], INDEX[quantity.denominator])
        if basis == "per_25g_carbohydrate":
            if key == "CHOAVLDF":
                return Places(REFERENCE_CARBOHYDRATE_G, one, one)
            return Places(REFERENCE_CARBOHYDRATE_G, INDEX[key], INDEX["CHOAVLDF"])
        if basis == "batch":
            return Places(1.0, INDEX[key], one)
        if basis == "per_100g":
            return Places(100.0, INDEX[key], weight)
        pace = variant.pace_per_hour if basis == "per_hour" else 1.0
        portioning = variant.portioning
        if isinstance(portioning, ByCount):
            usable = 1.0 - portioning.trimmings_percent / 100.0
            return Places(pace * usable / portioning.count, INDEX[key], one)
        return Places(pace * portioning.piece_g, INDEX[key], weight)

    def fraction(self, places: Places) -> Fraction:
        """The same as straight lines of its own."""
        return Fraction(places.scale, self._straight(places.top), self._straight(places.bottom))

    def _straight(self, k: int) -> Straight:
        return Straight(self.parts[VALUE, k], self.parts[LOW, k], self.parts[HIGH, k], self.open[k])
