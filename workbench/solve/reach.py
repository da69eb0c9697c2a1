"""Reach: how far a quantity can go while everything else is kept.

A quantity is a quotient of two straight lines, so the least and greatest one are found by Dinkelbach's method: a few
straight programmes, each with the quotient of the one before (W. Dinkelbach, Management Science 13(7), 1967).
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.solve.solvers import StraightProgramme

Floats = npt.NDArray[np.float64]

_ROUNDS = 30  # it converges faster than any line; four or five do


class Quotient(NamedTuple):
    """``scale * top / bottom`` on the unknowns of a straight programme; last in each line what is always there."""

    scale: float
    top: Floats
    bottom: Floats

    def at(self, z: Floats) -> float:
        """Its value; NaN where the bottom is nothing."""
        bottom = float(self.bottom[:-1] @ z + self.bottom[-1])
        return self.scale * float(self.top[:-1] @ z + self.top[-1]) / bottom if bottom > 0 else float("nan")


def farthest(programme: StraightProgramme, quotient: Quotient, *, most: bool) -> Floats | None:
    """Where a quotient is smallest or greatest; None where nothing is possible at all.

    Parameters
    ----------
    programme : StraightProgramme
        What has to be kept; its cost is overwritten.
    quotient : Quotient
        What is looked for.
    most : bool
        The greatest instead of the smallest.
    """
    sign = -1.0 if most else 1.0
    programme.set_cost(sign * quotient.scale * quotient.top[:-1])
    z = programme.solve()
    if z is None or not quotient.bottom[:-1].any():
        return z
    value = quotient.at(z)
    for _round in range(_ROUNDS):
        if not np.isfinite(value):
            return z
        programme.set_cost(sign * (quotient.scale * quotient.top - value * quotient.bottom)[:-1])
        found = programme.solve()
        if found is None:
            return z
        better = quotient.at(found)
        if not np.isfinite(better) or sign * (value - better) <= 1e-10 * (1.0 + abs(value)):
            return z
        z, value = found, better
    return z
