"""Limit rows: every limit of a set of targets as a row on all lines, made together and not one by one.

A limit is kept where its row times the amounts is nought or less, in parts of the limit itself; what is not known
counts at its worst.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.document.project import Variant
from workbench.recipe.quantities import QUANTITIES
from workbench.solve.fractions import HIGH, LOW, VALUE, Flags, Places, Straights
from workbench.solve.space import TRACE_G
from workbench.solve.wishes import Limit

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.intp]

_DOUBT = 1e-12  # per gram; less between a known part and its limits is arithmetic


class LimitRow(NamedTuple):
    """One limit as a row on all lines: kept where ``row[:-1] @ x + row[-1] <= 0``, in parts of ``size``.

    The figure that it limits is ``scale * top / bottom`` of the amounts followed by 1.
    """

    limit: Limit
    row: Floats
    scale: float
    top: Floats
    bottom: Floats
    size: float  # of the limit itself, or of its last digit shown where that is more
    half: float  # of the last digit shown: less is not missed
    doubtful: bool  # an ingredient with weight leaves room for doubt
    foods: tuple[str, ...]  # with weight, and without a figure that would be needed to tell
    mute: bool  # nothing that is known about it can move
    unlimited: Flags  # (n_lines,) has no worst case at all

    @property
    def sign(self) -> float:
        """1 for a maximum, -1 for a minimum."""
        return 1.0 if self.limit.side == "high" else -1.0

    def figure(self, with_one: Floats) -> float:
        """The figure that is limited; NaN where there is none."""
        bottom = float(self.bottom @ with_one)
        return self.scale * float(self.top @ with_one) / bottom if bottom > 0 else math.nan

    def missed(self, with_one: Floats) -> float:
        """By how much the limit is missed as shown, in parts of it; infinite where there is no figure."""
        over = self.sign * (self.figure(with_one) - self.limit.value)
        return math.inf if math.isnan(over) else over / self.size if over >= self.half else 0.0

    def at(self, value: float, with_one: Floats) -> Floats:
        """The row of another limit, in parts of what it comes to at some amounts."""
        size = self.size * max(float(self.bottom @ with_one), TRACE_G)
        row: Floats = self.sign / size * (self.scale * self.top - value * self.bottom)
        return row


def limit_rows(
    limits: Sequence[Limit],
    known_only: Sequence[bool],
    straights: Straights,
    variant: Variant,
    start: Floats,
    names: Sequence[str],
) -> list[LimitRow]:
    """Rows of limits.

    Parameters
    ----------
    limits : sequence of Limit
        What is to be kept.
    known_only : sequence of bool
        Whether a limit counts on known parts alone.
    straights, start, names
        Of the lines, in one order; ``start`` are their amounts as they are, shape (n_lines,). [g]
    variant : Variant
        Portioning and pace.
    """
    if not limits:
        return []
    places = [straights.places(variant, limit.target.quantity, limit.target.basis) for limit in limits]
    scale, top, bottom = _columns(places)
    above = np.array([limit.side == "high" for limit in limits])
    on_known = np.array(known_only, dtype=bool)
    parts, with_one = straights.parts, np.append(start, 1.0)
    worst = parts[np.where(above, HIGH, LOW), top], parts[np.where(above, LOW, HIGH), bottom]
    known = parts[VALUE, top], parts[VALUE, bottom]
    unlimited = np.where(above[:, None], straights.open[top], straights.open[bottom])
    doubtful = (
        unlimited | (np.abs(worst[0] - known[0]) > _DOUBT)[:, :-1] | (np.abs(worst[1] - known[1]) > _DOUBT)[:, :-1]
    )
    on_top, below = (np.where(on_known[:, None], k, w) for k, w in zip(known, worst, strict=True))

    sign = np.where(above, 1.0, -1.0)
    value = np.array([limit.value for limit in limits])
    half = np.array([0.5 * 10.0 ** -QUANTITIES[limit.target.quantity].decimals for limit in limits])
    now = _bottoms(known[1], with_one)
    # What is kept as shown now is kept: a set of targets that is met asks for nothing.
    over = sign * (scale * (on_top @ with_one) - value * (below @ with_one)) / now
    kept = value + np.where((over > 0.0) & (over < half * (1 - 1e-9)), sign * over, 0.0)
    size = np.maximum(np.abs(value), 2 * half)
    rows = (sign / (size * now))[:, None] * (scale[:, None] * on_top - kept[:, None] * below)

    present = start >= TRACE_G
    counted = np.where(on_known[:, None], doubtful, unlimited) & present
    foods: list[tuple[str, ...]] = [()] * len(limits)
    for k in np.flatnonzero(counted.any(axis=1)).tolist():
        foods[k] = tuple(dict.fromkeys(names[j] for j in np.flatnonzero(counted[k]).tolist()))
    in_doubt = (doubtful & present).any(axis=1).tolist()
    mute = (doubtful.any(axis=1) & ~on_top[:, :-1].any(axis=1)).tolist()
    columns = scale.tolist(), on_top, below, size.tolist(), half.tolist(), in_doubt, foods, mute, unlimited
    return [LimitRow(*row) for row in zip(limits, rows, *columns, strict=True)]


def _columns(places: Sequence[Places]) -> tuple[Floats, Whole, Whole]:
    scale, top, bottom = zip(*places, strict=True)
    return np.array(scale), np.array(top, dtype=np.intp), np.array(bottom, dtype=np.intp)


def _bottoms(below: Floats, with_one: Floats) -> Floats:
    """Bottoms as they are; where one is nothing, what all lines together could make of it."""
    now = below @ with_one
    result: Floats = np.where(now > TRACE_G, now, np.maximum(np.abs(below).sum(axis=1), TRACE_G))
    return result
