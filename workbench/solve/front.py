"""Front: the best trade-off between two quantities, as amounts that can be taken.

Points on which neither quantity can be better without the other being worse, while what must be kept is kept: one
quantity is held at a row of figures between its two ends, the other made as good as can be, and of all amounts that do
so the smallest change is taken.
"""

from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt
from msgspec.structs import replace

from workbench.document.project import Basis, Project, Target, TargetSet, Variant
from workbench.recipe.bound import Bound
from workbench.recipe.preparation import prepare
from workbench.recipe.prepared import Prepared
from workbench.recipe.quantities import QUANTITIES
from workbench.solve.fractions import Fraction
from workbench.solve.programme import Programme
from workbench.solve.proposal import Options, Proposal, propose
from workbench.solve.reach import Quotient, farthest
from workbench.solve.smallest_change import Answer
from workbench.solve.solvers import LeastSquares, StraightProgramme

Floats = npt.NDArray[np.float64]

_TIMES = 2.0  # a line is looked for up to three times its amount: the ends of a front shall still be this recipe
_ROOM = 1e-6  # of a figure: what least squares need beside the best one


class Axis(NamedTuple):
    """A quantity on a basis, and which way is better."""

    key: str
    basis: Basis
    better: Literal["less", "more"]


class FrontPoint(NamedTuple):
    """One best trade-off: the two figures by the engine, and the amounts that give them."""

    first: Bound
    second: Bound
    proposal: Proposal


class Front(NamedTuple):
    """Best trade-offs from the best of the first quantity to the best of the second; one point where they agree.

    ``now`` holds the two figures as they are.
    """

    first: Axis
    second: Axis
    points: tuple[FrontPoint, ...]
    now: tuple[Bound, Bound]


def trade_off(
    project: Project,
    variant: Variant,
    targets: TargetSet,
    first: Axis,
    second: Axis,
    n_points: int = 15,
    options: Options | None = None,
    prepared: Prepared | None = None,
) -> Front:
    """The best trade-off between two quantities, with every target that must be kept kept as far as can be.

    Targets on the two quantities themselves do not count: the front shows what they are chosen from.  Other parameters
    are those of ``matching.match``.

    Raises
    ------
    KeyError
        If the catalogue has no such quantity.
    CalculationError
        If the variant has nothing to start from, or cannot be computed whatever its amounts.
    """
    prepared = prepared or prepare(project, variant)
    own = {(first.key, first.basis), (second.key, second.basis)}
    kept = tuple(_limits_of(t) for t in targets.targets if t.strength == "must" and (t.quantity, t.basis) not in own)
    programme, answer = Programme(prepared, variant, replace(targets, targets=kept), options or Options()).solve()
    before = propose(prepared, variant, targets, np.array([line.amount_g for line in variant.lines])).before
    now = before.bound(first.key, first.basis), before.bound(second.key, second.basis)
    if answer is None or not len(answer.y):
        return Front(first, second, (), now)
    search = _Search(programme, answer, first, second)
    found: list[FrontPoint] = []
    for y in search.points(max(n_points, 2)):
        proposal = propose(prepared, variant, targets, programme.space.amounts(y), programme.problems(), before)
        after = proposal.after
        found.append(FrontPoint(after.bound(first.key, first.basis), after.bound(second.key, second.basis), proposal))
    return Front(first, second, tuple(found), now)


def _limits_of(target: Target) -> Target:
    """A target without its aim, where it has limits: an aim is no limit."""
    return target if (target.low, target.high) == (None, None) else replace(target, aim=None)


class _Search:
    def __init__(self, programme: Programme, answer: Answer, first: Axis, second: Axis) -> None:
        self._programme = programme
        self._left, self._right = answer.left, answer.right
        self._equal_left, self._equal = programme.equal.left, answer.equal
        self._first, self._second = first, second
        space = programme.space
        self._lower, self._upper = space.lower, np.minimum(space.upper, np.maximum(_TIMES, space.lower))
        self._quotients = tuple(self._quotient(programme.fraction((a.key, a.basis))) for a in (first, second))

    def _quotient(self, known: Fraction) -> Quotient:
        rows = self._programme.space.on_movers(np.array([known.top.value, known.bottom.value]))
        top, bottom = np.column_stack([rows.left, rows.rest])
        return Quotient(known.scale, top, bottom)

    def points(self, n: int) -> list[Floats]:
        """What moves how far, from the best of the first quantity to the best of the second."""
        one, two = self._quotients
        first_best = self._best(0, None)
        second_best = self._best(1, None)
        if first_best is None or second_best is None:
            return []
        start, end = one.at(first_best), one.at(second_best)
        end_z = self._best(0, self._at_most(1, two.at(second_best)))
        if end_z is not None:
            end = one.at(end_z)
        shown = 0.5 * 10.0 ** -QUANTITIES[self._first.key].decimals
        n = n if abs(end - start) > shown else 1  # no trade-off that shows: the best of the second has both
        start = start if n > 1 else end
        result: list[Floats] = []
        seen: list[tuple[float, float]] = []
        for limit in np.linspace(start, end, n):
            z = self._best(1, self._at_most(0, float(limit)))
            if z is None:
                continue
            y = self._smallest_change(float(limit), two.at(z), z)
            figures = one.at(y), two.at(y)
            if not any(np.allclose(figures, other, rtol=1e-4, atol=1e-6) for other in seen):
                seen.append(figures)
                result.append(y)
        return result

    def _at_most(self, which: int, value: float) -> tuple[Floats, float]:
        """The row that keeps a quantity as good as this."""
        quotient, axis = self._quotients[which], (self._first, self._second)[which]
        sign = 1.0 if axis.better == "less" else -1.0
        value += sign * _ROOM * max(abs(value), 1e-3)
        row = sign * (quotient.scale * quotient.top - value * quotient.bottom)
        size = max(float(np.abs(row[:-1]).max()), 1e-12)
        return row[:-1] / size, -float(row[-1]) / size

    def _best(self, which: int, extra: tuple[Floats, float] | None) -> Floats | None:
        a, equal = self._left, self._equal_left
        more = [] if extra is None else [extra]
        left = np.vstack([a, equal, *(row[None] for row, _b in more)])
        right = np.concatenate([self._right, self._equal, [b for _row, b in more]])
        low = np.concatenate([np.full(len(a), -np.inf), self._equal, np.full(len(more), -np.inf)])
        lp = StraightProgramme(np.zeros(a.shape[1]), self._lower, self._upper, left, low, right)
        axis = (self._first, self._second)[which]
        return farthest(lp, self._quotients[which], most=axis.better == "more")

    def _smallest_change(self, first: float, second: float, otherwise: Floats) -> Floats:
        a, equal = self._left, self._equal_left
        more = [self._at_most(0, first), self._at_most(1, second)]
        rows = np.vstack([a, *(row[None] for row, _b in more)])
        squares = LeastSquares(self._programme.space.weight, equal, rows, self._lower, self._upper)
        y = squares.solve(self._equal, np.concatenate([self._right, [b for _row, b in more]]))
        return otherwise if y is None else y
