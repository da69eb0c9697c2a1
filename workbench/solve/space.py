"""Space: what may move and how far.

Amounts are ``x = base + spread @ y + pull * t``.  Each ``y`` is one mover: a line, or lines that are linked and keep
their proportion; 0 is the amount as it is and 1 as much again.  ``t`` are the grams of a line that a hand holds.

A change counts relative to the amount.  A line of 0 g has none: it counts against one hundredth of the batch, so that
taking up an absent ingredient is possible and never for nothing.  Less than a thousandth of the batch counts as that,
or a pinch of spice could hardly move.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.base.errors import CalculationError
from workbench.base.text import _
from workbench.document.project import MOST_GRAMS, Line, Variant
from workbench.recipe.evaluation import NO_WEIGHT
from workbench.recipe.prepared import Prepared
from workbench.solve.fractions import Order

Floats = npt.NDArray[np.float64]
InOrder = tuple[Order, Floats, Floats]

TRACE_G = 1e-6  # less than any scale shows; has no proportion to keep
_UNMOVED_G = 0.001  # less than a scale for spices shows
_ABSENT_SHARE, _LEAST_SHARE = 0.01, 0.001


class Rows(NamedTuple):
    """Rows on what moves, kept where ``left @ y <= right(grams)``."""

    left: Floats  # (n_rows, n_movers)
    pull: Floats  # (n_rows,) per gram in the hand
    rest: Floats

    def right(self, grams: float) -> Floats:
        """Right sides with so many grams in the hand, shape (n_rows,)."""
        return -(self.rest + self.pull * grams)

    def part(self, first: int, end: int) -> "Rows":
        """Some of the rows."""
        return Rows(self.left[first:end], self.pull[first:end], self.rest[first:end])


class Space(NamedTuple):
    """What may move, with lines sorted by their id so that the order of the recipe does not matter.

    ``lower > upper`` somewhere says that limits contradict each other.
    """

    order: Order  # place in the variant of each line
    start: Floats  # (n_lines,) amounts as they are [g]
    scale: Floats  # (n_lines,) what a change of 1 is in grams [g]
    least: Floats  # (n_lines,) limits; both the amount itself where the line is locked [g]
    most: Floats
    base: Floats
    spread: Floats  # (n_lines, n_movers)
    pull: Floats  # (n_lines,)
    lower: Floats  # (n_movers,)
    upper: Floats
    weight: Floats  # (n_movers,) how many lines move
    contradiction: bool

    def on_movers(self, rows: Floats) -> Rows:
        """Rows on all lines and 1, shape (n_rows, n_lines + 1), as rows on what moves."""
        on_lines = rows[:, :-1]
        return Rows(on_lines @ self.spread, on_lines @ self.pull, on_lines @ self.base + rows[:, -1])

    def amounts(self, y: Floats, grams: float = 0.0) -> Floats:
        """Amounts in the order of the variant: inside their limits, and unmoved where nothing moved. [g]"""
        x = self.base + self.spread @ y + self.pull * grams
        free = self.spread.any(axis=1)
        x = np.where(free, np.minimum(np.maximum(x, self.least), self.most), x)
        unmoved = np.minimum(np.maximum(self.start, self.least), self.most)
        for near, amount in ((self.start, unmoved), (self.least, self.least), (self.most, self.most)):
            at = free & (np.abs(x - near) <= _UNMOVED_G)
            x[at] = amount[at]
        result = np.empty_like(x)
        result[self.order] = x
        return result


def check_start(prepared: Prepared, variant: Variant) -> None:
    """Refuse a variant that has nothing to start from.

    Raises
    ------
    CalculationError
        If the variant cannot be computed whatever its amounts, has no weight, or amounts that are not figures.
    """
    if prepared.broken:
        errors = [p for p in prepared.problems if p.severity == "error"]
        raise CalculationError(_("The variant cannot be computed."), problems=errors)
    amounts = np.array([line.amount_g for line in variant.lines])
    if not np.isfinite(amounts).all():
        raise CalculationError(_("An amount is not a figure."), hint=_("Type it again."))
    if amounts.sum() <= TRACE_G:
        raise CalculationError(NO_WEIGHT.at().message.capitalize(), hint=NO_WEIGHT.at().hint)


def limits_of(line: Line) -> tuple[float, float]:
    """The least and most grams of a line that is not locked."""
    return (
        line.min_g if line.min_g is not None else 0.0,
        min(line.max_g, MOST_GRAMS) if line.max_g is not None else MOST_GRAMS,
    )


def lines_in_order(variant: Variant) -> InOrder:
    """Places of the lines sorted by id, their amounts, and what a change of 1 is in each. [g]"""
    order = np.array(sorted(range(len(variant.lines)), key=lambda k: variant.lines[k].id), dtype=np.intp)
    start = np.array([variant.lines[k].amount_g for k in order])
    batch = float(start.sum())
    scale = np.where(start < TRACE_G, _ABSENT_SHARE * batch, np.maximum(start, _LEAST_SHARE * batch))
    return order, start, scale


def make_space(variant: Variant, in_order: InOrder, held_line: str = "", fixed: frozenset[str] = frozenset()) -> Space:
    """What may move in a variant.

    Parameters
    ----------
    variant : Variant
        Amounts, locks, limits and links.
    in_order : tuple
        From ``lines_in_order``.
    held_line : str
        Id of a line that a hand holds; its links follow.
    fixed : frozenset of str
        Ids of further lines that stay as they are.
    """
    order, start, scale = in_order
    lines = [variant.lines[k] for k in order]
    n = len(lines)
    bounds = np.array([limits_of(line) for line in lines]).reshape(n, 2)
    least, most = bounds[:, 0].copy(), bounds[:, 1].copy()
    base, pull = start.copy(), np.zeros(n)
    still = np.array([line.lock or line.id in fixed for line in lines], dtype=bool)
    for j in (k for k, line in enumerate(lines) if line.id == held_line):
        followers = _followers(lines, start, still, j) if start[j] >= TRACE_G else []
        for i in {j, *followers}:
            base[i], pull[i], still[i] = 0.0, (start[i] / start[j] if i != j else 1.0), True
    # Nothing times any factor is nothing: a linked line without weight stays.
    still |= np.array([bool(line.group) for line in lines], dtype=bool) & (start < TRACE_G)
    moving = np.flatnonzero(~still)
    movers: dict[str | int, int] = {}  # of a group, or of a line on its own
    mover = np.array([movers.setdefault(lines[j].group or j, len(movers)) for j in moving.tolist()], dtype=np.intp)
    members = np.bincount(mover, minlength=len(movers))
    least[still], most[still] = start[still], start[still]
    contradiction = bool((least > most).any())
    size = np.where(members[mover] > 1, start[moving], scale[moving])
    spread = np.zeros((n, len(members)))
    spread[moving, mover] = size
    lower, upper = np.full(len(members), -np.inf), np.full(len(members), np.inf)
    np.maximum.at(lower, mover, (least - start)[moving] / size)
    np.minimum.at(upper, mover, (most - start)[moving] / size)
    # Limits that meet in one point leave room for rounding only.
    contradiction |= bool((lower > upper + 1e-12).any())
    upper, weight = np.maximum(upper, lower), members.astype(np.float64)
    return Space(order, start, scale, least, most, base, spread, pull, lower, upper, weight, contradiction)


def _followers(lines: list[Line], start: Floats, still: npt.NDArray[np.bool_], held: int) -> list[int]:
    group = lines[held].group
    return [i for i, line in enumerate(lines) if group and line.group == group and i != held and not still[i]]
