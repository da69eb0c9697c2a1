"""Smallest change: the smallest change that keeps every limit and reaches every aim, or comes as near as can be.

Limits that must be kept come before preferred ones, these before aims, and these before a small change.  Where all can
hold, one least-squares programme finds the smallest change.  Where they cannot, a straight programme finds which fall
short; each of these is let go to the figure that it can reach, and the smallest change with that follows.

An answer that is taken asks for nothing more: where a change does not bring all, it is only handed out if it brings
something that shows.  What must be kept and cannot be is looked for between half and double of every amount, so there a
second look, from the new amounts, may find more.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.solve.limit_rows import LimitRow
from workbench.solve.solvers import LeastSquares, StraightProgramme

if TYPE_CHECKING:
    from workbench.solve.programme import Programme

Floats = npt.NDArray[np.float64]

SHORT = 1e-8  # of a limit; less is arithmetic
_KEPT = 1e-12  # of a limit; sums of floats differ by as much
_WIDER = 1e-5  # of a limit: room that least squares need beside a figure that can just be reached
_PRICE = 0.1  # what a change has to bring: a hundredth of a limit for a tenth of the batch exchanged
_HALF, _DOUBLE = -0.5, 1.0  # changes relative to the amount
_WORTH = 0.01  # of a limit, over all of them: less does not show


_Sides = tuple[Floats, Floats]  # left ones, and right ones


class Answer(NamedTuple):
    """What moves how far, the least shortfall of each active limit, and the rows that the answer keeps.

    These are ``left @ y <= right`` and ``programme.equal.left @ y == equal``.  ``aims_short`` says that limits are kept
    and aims exclude each other: from there more of them may be reached.
    """

    y: Floats
    short: Floats
    left: Floats
    right: Floats
    equal: Floats
    aims_short: bool = False


class _Box(NamedTuple):
    """How far movers may go."""

    lower: Floats
    upper: Floats

    def near(self) -> "_Box":
        """Between half and double of every amount, where its own limits allow."""
        lower = np.minimum(np.maximum(self.lower, _HALF), self.upper)
        return _Box(lower, np.maximum(np.minimum(self.upper, _DOUBLE), self.lower))


def smallest_change(programme: "Programme", grams: float) -> Answer | None:
    """The answer with so many grams in the hand; None where locks and limits leave no amounts at all."""
    return _Search(programme, grams).answer()


class _Search:
    def __init__(self, programme: "Programme", grams: float) -> None:
        self._programme, self._grams = programme, grams
        space = programme.space
        self._box = _Box(space.lower, space.upper)
        self._left, self._right = programme.limits.left, programme.limits.right(grams)
        self._equal = programme.equal.right(grams)
        self._aim_left, self._aim_right = programme.aim_sides.left, programme.aim_sides.right(grams)
        self._k = len(programme.active)
        self._none_short = np.zeros(self._k)
        self._hard = self._left, self._right  # rows that nothing may break
        self._somewhere = self._unmoved()  # keeps what is hard

    def answer(self) -> Answer | None:
        """See ``smallest_change``."""
        programme, has_aims = self._programme, bool(len(self._aim_right))
        if not self._left.shape[1]:
            return self._nothing_moves()
        if self._can_stay() and (self._right >= -_KEPT).all() and (self._aim_right >= -_KEPT).all():
            return Answer(self._unmoved(), self._none_short, self._left, self._right, self._equal)
        y = programme.least_change(self._grams, aims=has_aims)
        if y is not None:
            return self._with_aims(y)
        y = programme.least_change(self._grams, aims=False) if has_aims else None
        if y is not None:
            self._somewhere = y
            return self._towards_aims(self._none_short)
        short = self._coming_near()
        if short is None:
            return None
        return self._towards_aims(short) if has_aims else self._worth(self._least_change(short))

    def _unmoved(self) -> Floats:
        return np.zeros(self._left.shape[1])

    def _nothing_moves(self) -> Answer | None:
        short = np.maximum(-self._right[: self._k], 0.0)
        rules_kept = not (self._right[self._k :] < -SHORT).any() and not (np.abs(self._equal) > SHORT).any()
        return Answer(self._unmoved(), short, self._left, self._right, self._equal) if rules_kept else None

    def _can_stay(self) -> bool:
        """Whether limits of lines, rules and what is held allow what is there."""
        within = bool(((self._box.lower <= 0.0) & (self._box.upper >= 0.0)).all())
        return within and bool((self._right[self._k :] >= -_KEPT).all() and (np.abs(self._equal) <= _KEPT).all())

    # --- where not everything can hold ----------------------------------------------------------------------------

    def _coming_near(self) -> Floats | None:
        """Shortfalls of what comes nearest to the limits; they become hard as far as they can be kept."""
        k, musts = self._k, np.flatnonzero(self._programme.musts)
        self._hard = self._left[k:], self._right[k:]
        least = self._least_missed(self._left[musts], self._right[musts])
        if least is not None and (least[0] > SHORT).any():
            # What must be kept cannot be: then the answer shall be this recipe still, not half of it thrown out.
            self._box = self._box.near()
            least = self._least_missed(self._left[musts], self._right[musts]) or least
        short = np.zeros(k)
        for at in (musts, np.flatnonzero(~self._programme.musts)):
            if at is not musts:
                least = self._least_missed(self._left[at], self._right[at])
            if least is None:
                return None
            short[at] = least[0]
            self._make_hard([self._programme.active[j] for j in at], self._left[at], self._right[at], *least)
        return short

    def _towards_aims(self, short: Floats) -> Answer:
        """What comes nearest to the aims, as far as what is hard lets it."""
        least = self._least_missed(self._aim_left, self._aim_right, _PRICE)
        if least is not None:
            self._make_hard(self._programme.aims, self._aim_left, self._aim_right, *least)
        return self._worth(self._least_change(short)._replace(aims_short=not (short > SHORT).any()))

    def _with_aims(self, y: Floats) -> Answer:
        sides = self._with((self._left, self._right), (self._aim_left, self._aim_right))
        return Answer(y, self._none_short, *sides, self._equal)

    def _least_missed(self, left: Floats, right: Floats, price: float = 0.0) -> tuple[Floats, Floats] | None:
        """Least shortfall of these rows with the hard ones kept, and what moves how far with it.

        Unknowns are ways up, ways down, and shortfalls; ``price`` is what a change costs beside them.
        """
        space, box, (hard_left, hard_right) = self._programme.space, self._box, self._hard
        rows = np.vstack([left, hard_left, self._programme.equal.left])
        m, k = left.shape[1], len(left)
        ways = np.tile(price * space.spread.sum(axis=0) / float(space.start.sum()), 2)
        above = np.concatenate([right, hard_right, self._equal])
        below = np.concatenate([np.full(k + len(hard_right), -np.inf), self._equal])
        solution = StraightProgramme(
            np.concatenate([ways, np.ones(k)]),
            np.concatenate([np.maximum(box.lower, 0.0), np.maximum(-box.upper, 0.0), np.zeros(k)]),
            np.concatenate([np.maximum(box.upper, 0.0), np.maximum(-box.lower, 0.0), np.full(k, np.inf)]),
            np.hstack([rows, -rows, -np.eye(len(rows), k)]),
            below,
            above,
        ).solve()
        return None if solution is None else (solution[2 * m :], solution[:m] - solution[m : 2 * m])

    def _make_hard(self, rows: Sequence[LimitRow], left: Floats, right: Floats, short: Floats, y: Floats) -> None:
        """Make rows hard, those that fall short with the figure that the smallest change has, near that at ``y``."""
        before, self._somewhere = self._hard, y
        self._hard = self._with(before, self._let_go(rows, left, right, short))
        if (short > SHORT).any():
            self._somewhere = self._least_change(short).y
            self._hard = self._with(before, self._let_go(rows, left, right, short))

    @staticmethod
    def _with(some: _Sides, others: _Sides) -> _Sides:
        return np.vstack([some[0], others[0]]), np.concatenate([some[1], others[1]])

    def _let_go(self, rows: Sequence[LimitRow], left: Floats, right: Floats, short: Floats) -> _Sides:
        left, right = left.copy(), right.copy()
        space, with_one = self._programme.space, self._with_one(self._somewhere)
        for k in np.flatnonzero(short > SHORT).tolist():
            row, figure = rows[k], rows[k].figure(with_one)
            if np.isfinite(figure):
                reached = space.on_movers(row.at(figure + row.sign * _WIDER * row.size, with_one)[None])
                left[k], right[k] = reached.left[0], reached.right(self._grams)[0]
            else:
                right[k] += short[k] + _WIDER
        return left, right

    def _least_change(self, short: Floats) -> Answer:
        """The smallest change under what is hard, which has just enough room."""
        (left, right), box = self._hard, self._box
        space, equal_left = self._programme.space, self._programme.equal.left
        squares = LeastSquares(space.weight, equal_left, left, box.lower, box.upper)
        for wider in (right, right + _WIDER):
            y = squares.solve(self._equal, wider)
            if y is not None:
                return Answer(y, short, left, wider, self._equal)
        return Answer(self._somewhere, short, left, right + _WIDER, self._equal)

    # --- whether it is worth it -----------------------------------------------------------------------------------

    def _worth(self, found: Answer) -> Answer:
        """The answer, or none of it where it buys nothing that shows."""
        programme = self._programme
        if self._grams or not self._can_stay():
            return found
        now, then = self._with_one(self._unmoved()), self._with_one(found.y)
        musts = [row for row in programme.active if row.limit.must]
        preferred = [row for row in programme.active if not row.limit.must]
        for rows in (musts, preferred, programme.aims):
            missed_now, missed_then = ([row.missed(at) for row in rows] for at in (now, then))
            if sum(map(bool, missed_then)) < sum(map(bool, missed_now)) or sum(missed_now) - sum(missed_then) > _WORTH:
                return found
        return found._replace(y=self._unmoved(), right=np.maximum(found.right, 0.0), aims_short=False)

    def _with_one(self, y: Floats) -> Floats:
        """Amounts of the lines sorted by id, and 1."""
        space = self._programme.space
        return np.append(space.base + space.spread @ y + space.pull * self._grams, 1.0)
