"""Programme: targets and rules as rows on what moves, and the smallest change that keeps them.

Targets that must be kept come before preferred ones, and these before a small change: where all rows can hold, one
least-squares programme finds the smallest change.  Where they cannot, a straight programme first finds the least
shortfall of what must be kept, then that of what is preferred; both are allowed, and the smallest change follows.
Shortfalls are measured against the limit itself, so that a tenth too much of anything counts the same.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.base.errors import Problem, ProblemKind
from workbench.base.text import N_
from workbench.document.project import Target, TargetSet, Variant
from workbench.recipe.prepared import Prepared
from workbench.recipe.quantities import QUANTITIES
from workbench.solve.fractions import Fraction, fraction, stage_rows
from workbench.solve.proposal import Options
from workbench.solve.solvers import LeastSquares, StraightProgramme
from workbench.solve.space import TRACE_G, Space, check_start, lines_in_order, make_space
from workbench.solve.wishes import Limit, Pair, Side, Wishes, place_of, read_wishes

Floats = npt.NDArray[np.float64]

MATCHED_ON_KNOWN = ProblemKind(
    "matched_on_known",
    "notice",
    N_("cannot tell: value missing in {foods}; matched on what is known."),
    N_("Enter the missing figure, or take the ingredient out."),
)
NO_ROOM = ProblemKind(
    "no_room",
    "error",
    N_("locks, limits and what is held leave no amounts that can be made, so nothing is proposed."),
    N_("Free an ingredient, or widen its limits."),
)
_AIM_WEIGHT = 0.1  # an aim is a wish among amounts that meet the limits: ten times a small change wins over it
_HALF, _DOUBLE = -0.5, 1.0  # changes relative to the amount
_WIDER = 1e-5  # of a limit: room that least squares need beside a least shortfall
_KEPT = 1e-12  # of a limit; sums of floats differ by as much
SHORT = 1e-8  # of a limit; less is arithmetic
_LEAST_FINISHED = 0.01  # of the finished weight as it is


class LimitRow(NamedTuple):
    """One limit as a row on all lines: kept where ``row[:-1] @ x + row[-1] <= 0``, in parts of ``scale``."""

    limit: Limit
    fraction: Fraction
    row: Floats
    doubtful: bool  # an ingredient with weight leaves room for doubt
    foods: tuple[str, ...]  # with weight, and without a figure that would be needed to tell
    mute: bool  # nothing that is known about it can move


class Programme:
    """What is asked for in one variant, ready to be solved again and again.

    Parameters
    ----------
    prepared : Prepared
        From ``prepare``.
    variant : Variant
        Amounts, locks, limits, links, portioning and pace.
    targets : TargetSet
        What is wished for.
    options : Options
        What is held.
    held_line : str
        Id of a line that a hand holds, if any.
    on_known : frozenset
        Target ids and sides that count on known parts alone.

    Raises
    ------
    CalculationError
        If there is nothing to start from.
    """

    def __init__(
        self,
        prepared: Prepared,
        variant: Variant,
        targets: TargetSet,
        options: Options,
        held_line: str = "",
        on_known: frozenset[tuple[str, Side]] = frozenset(),
    ) -> None:
        check_start(prepared, variant)
        self.prepared, self.variant = prepared, variant
        self._asked = targets, options, held_line
        self._on_known = on_known
        self._others: dict[frozenset[tuple[str, Side]], Programme] = {}
        self.wishes: Wishes = read_wishes(targets)
        order, start, _scale = lines_in_order(variant)
        self._order, self._start = order, start
        pairs: dict[Pair, Fraction] = {}
        for target in (*(limit.target for limit in self.wishes.limits), *self.wishes.aims):
            pair = target.quantity, target.basis
            if pair not in pairs:
                pairs[pair] = fraction(prepared, variant, order, *pair)
        self.limit_rows = [self._limit_row(limit, pairs) for limit in self.wishes.limits]
        self.not_taken_up = self._not_to_be_taken_up()
        self.space: Space = make_space(variant, held_line, self.not_taken_up)
        hold = variant.hold_batch_weight if options.hold_batch_weight is None else options.hold_batch_weight
        self.sum_row = np.append(np.ones(len(start)), -start.sum()) / start.sum() if hold else None
        self.rules = self._rules()
        self._aims = [self._aim_row(target, pairs) for target in self.wishes.aims]
        self._pairs = pairs
        self._make()

    # --- rows on all lines ----------------------------------------------------------------------------------------

    def fraction(self, pair: Pair) -> Fraction:
        """A quantity on a basis, on lines sorted by id."""
        if pair not in self._pairs:
            self._pairs[pair] = fraction(self.prepared, self.variant, self._order, *pair)
        return self._pairs[pair]

    def counts_known(self, limit: Limit) -> bool:
        """Whether a limit is matched on known parts alone."""
        return (limit.target.id, limit.side) in self._on_known

    def _limit_row(self, limit: Limit, pairs: dict[Pair, Fraction]) -> LimitRow:
        target, side = limit.target, limit.side
        known_only = self.counts_known(limit)
        known = pairs[target.quantity, target.basis]
        doubtful, unlimited = known.doubtful(side)
        present = self._start >= TRACE_G
        counted = doubtful if known_only else unlimited
        names = [self.prepared.names[self._order[j]] for j in np.flatnonzero(counted & present)]
        half = 0.5 * 10.0 ** -QUANTITIES[target.quantity].decimals
        scale = max(abs(limit.value), 2 * half) * self._bottom(known)
        with_one = np.append(self._start, 1.0)
        # What is kept as shown now is kept: a set of targets that is met asks for nothing.
        over = float(known.row(side, limit.value, known_only) @ with_one) / self._bottom(known)
        value = limit.value
        if 0.0 < over < half * (1 - 1e-9):
            value += over if side == "high" else -over
        row = known.row(side, value, known_only) / scale
        _scale, top, _bottom = known.quotient(side, known_only)
        mute = bool(doubtful.any()) and not top[:-1].any()
        return LimitRow(limit, known, row, bool((doubtful & present).any()), tuple(dict.fromkeys(names)), mute)

    def _bottom(self, known: Fraction) -> float:
        """The bottom of a fraction as it is; where that is nothing, what all lines together could make of it."""
        line = known.bottom.value
        at_start = float(line[:-1] @ self._start + line[-1])
        return at_start if at_start > TRACE_G else max(float(np.abs(line[:-1]).sum() + abs(line[-1])), TRACE_G)

    def _aim_row(self, target: Target, pairs: dict[Pair, Fraction]) -> Floats:
        known = pairs[target.quantity, target.basis]
        assert target.aim is not None
        size = max(abs(target.aim), 10.0 ** -QUANTITIES[target.quantity].decimals)
        return known.row("high", target.aim, known_only=True) / (size * self._bottom(known))

    def _not_to_be_taken_up(self) -> frozenset[str]:
        """Absent lines that would make a limit impossible to tell."""
        found: set[str] = set()
        for row in self.limit_rows:
            _doubtful, unlimited = row.fraction.doubtful(row.limit.side)
            if row.limit.must:
                found |= {self.variant.lines[self._order[j]].id for j in np.flatnonzero(unlimited)}
        absent = (line.id for line in self.variant.lines if line.amount_g < TRACE_G)
        return frozenset(found.intersection(absent))

    def _rules(self) -> Floats:
        """Rows that every batch keeps: no stage gives off more water than there is, and something is left."""
        stages = stage_rows(self.prepared, self._order)
        water, finished = stages[:-1], stages[-1:].copy()
        weight = float(finished[0, :-1] @ self._start + finished[0, -1])
        finished[0, -1] -= _LEAST_FINISHED * weight if weight > 1.0 else 1.0
        water = water[(water < 0).any(axis=1)]  # the others cannot run dry
        return np.vstack([-water, -finished]) / max(weight, 1.0)

    # --- rows on what moves ---------------------------------------------------------------------------------------

    def on_movers(self, rows: Floats) -> tuple[Floats, Floats, Floats]:
        """Coefficients of movers, of the grams in the hand, and the rest."""
        s = self.space
        return rows[:, :-1] @ s.spread, rows[:, :-1] @ s.pull, rows[:, :-1] @ s.base + rows[:, -1]

    def _make(self) -> None:
        n = len(self._start)
        empty = np.zeros((0, n + 1))
        self.active = [row for row in self.limit_rows if not row.mute]
        limits = np.array([row.row for row in self.active]).reshape(-1, n + 1)
        self._a, self._pull, self._rest = self.on_movers(np.vstack([limits, self.rules]))
        equal = empty if self.sum_row is None else self.sum_row[None]
        self._equal, self._equal_pull, self._equal_rest = self.on_movers(equal)
        aims = np.array(self._aims).reshape(-1, n + 1)
        self._aim, self._aim_pull, self._aim_rest = self.on_movers(aims)
        self.musts = np.array([row.limit.must for row in self.active], dtype=bool)
        self._squares: dict[bool, LeastSquares] = {}
        self._shortfalls: dict[bool, StraightProgramme] = {}

    def left_sides(self) -> tuple[Floats, Floats]:
        """Left sides of rows (limits, then rules), and of equal rows, on what moves."""
        return self._a, self._equal

    def right_sides(self, grams: float) -> tuple[Floats, Floats]:
        """Right sides of rows (limits, then rules), and of equal rows."""
        return -(self._rest + self._pull * grams), -(self._equal_rest + self._equal_pull * grams)

    def _limits(self, near: bool) -> tuple[Floats, Floats]:
        """How far movers may go; ``near`` keeps every amount between half and double, where its own limits allow."""
        lower, upper = self.space.lower, self.space.upper
        if not near:
            return lower, upper
        return np.minimum(np.maximum(lower, _HALF), upper), np.maximum(np.minimum(upper, _DOUBLE), lower)

    def least_squares(self, grams: float, rows: Floats, equal: Floats, *, near: bool = False) -> Floats | None:
        """The smallest change, for these right sides."""
        if near not in self._squares:
            p = 2.0 * np.diag(self.space.weight) + 2.0 * _AIM_WEIGHT * self._aim.T @ self._aim
            self._squares[near] = LeastSquares(p, self._equal, self._a, *self._limits(near))
        q = 2.0 * _AIM_WEIGHT * self._aim.T @ (self._aim_rest + self._aim_pull * grams)
        return self._squares[near].solve(q, equal, rows)

    def shortfalls(self, rows: Floats, equal: Floats, *, near: bool = False) -> tuple[Floats, Floats] | None:
        """Least shortfall of each limit, what must be kept first, and amounts with it; None if there are none."""
        m, k = self._a.shape[1], len(self.active)
        n_rules = len(self.rules)
        if near not in self._shortfalls:
            slack = np.vstack([-np.eye(k), np.zeros((n_rules + len(self._equal), k))])
            a = np.hstack([np.vstack([self._a, self._equal]), slack])
            lower, upper = self._limits(near)
            low, high = np.concatenate([lower, np.zeros(k)]), np.concatenate([upper, np.full(k, np.inf)])
            none = np.full(len(a), -np.inf)
            self._shortfalls[near] = StraightProgramme(np.zeros(m + k), low, high, a, none, np.zeros(len(a)))
        lp = self._shortfalls[near]
        lp.forget()
        for i, b in enumerate(rows):
            lp.set_row(i, -np.inf, float(b))
        for i, b in enumerate(equal):
            lp.set_row(len(rows) + i, float(b), float(b))
        for j in range(k):
            lp.set_limits(m + j, 0.0, np.inf)
        found = np.zeros(m + k)
        for level in (self.musts, ~self.musts):
            lp.set_cost(np.concatenate([np.zeros(m), level.astype(np.float64)]))
            solution = lp.solve()
            if solution is None:
                return None
            found = solution
            for short_at in m + np.flatnonzero(level):
                lp.set_limits(int(short_at), 0.0, max(float(found[short_at]), 0.0) + SHORT / 10)
        return np.maximum(found[m:], 0.0), found[:m]

    # --- solving --------------------------------------------------------------------------------------------------

    def solve(self, grams: float = 0.0) -> "tuple[Programme, Answer | None]":
        """The smallest change that comes as near as can be, and the programme that it answers.

        A limit that cannot be kept in the worst case of what is not known is matched on what is known: that is another
        programme.  There is no answer where locks and limits leave no amounts at all.
        """
        answer = None if self.space.contradiction else self._solve(grams)
        if answer is None:
            return self, None
        short = [row for row, s in zip(self.active, answer.short, strict=True) if s > SHORT and row.doubtful]
        on_known = self._on_known | {(row.limit.target.id, row.limit.side) for row in short}
        if on_known == self._on_known:
            return self, answer
        if on_known not in self._others:
            targets, options, held_line = self._asked
            self._others[on_known] = Programme(self.prepared, self.variant, targets, options, held_line, on_known)
        return self._others[on_known].solve(grams)

    def _solve(self, grams: float) -> "Answer | None":
        rows, equal = self.right_sides(grams)
        none_short = np.zeros(len(self.active))
        if not self._a.shape[1]:  # nothing moves
            short = np.maximum(-rows[: len(self.active)], 0.0)
            rules_kept = not (rows[len(self.active) :] < -SHORT).any() and not (np.abs(equal) > SHORT).any()
            return Answer(np.zeros(0), short, rows, equal) if rules_kept else None
        unmoved = np.zeros(self._a.shape[1])
        within = bool(((self.space.lower <= 0.0) & (self.space.upper >= 0.0)).all())
        if within and not self._aims and (rows >= -_KEPT).all() and (np.abs(equal) <= _KEPT).all():
            return Answer(unmoved, none_short, rows, equal)
        y = self.least_squares(grams, rows, equal)
        if y is not None:
            return Answer(y, none_short, rows, equal)
        nearest = self._nearest(grams, rows, equal, near=False)
        if nearest is None or not (nearest.short[self.musts] > SHORT).any():
            return nearest
        # What must be kept cannot be: then the answer shall be this recipe still, not half of it thrown out for little.
        return self._nearest(grams, rows, equal, near=True) or nearest

    def _nearest(self, grams: float, rows: Floats, equal: Floats, *, near: bool) -> "Answer | None":
        least = self.shortfalls(rows, equal, near=near)
        if least is None:
            return None
        short, somewhere = least
        for wider in (_WIDER * (short > SHORT), np.full(len(short), _WIDER)):
            widened = rows.copy()
            widened[: len(short)] += short + wider
            y = self.least_squares(grams, widened, equal, near=near)
            if y is not None:
                return Answer(y, short, widened, equal)
        return Answer(somewhere, short, widened, equal)

    def problems(self) -> tuple[Problem, ...]:
        """What is wrong with the targets, and which could only be matched on what is known."""
        doubts = [
            MATCHED_ON_KNOWN.at(place_of(row.limit.target), foods=", ".join(row.foods))
            for row in self.limit_rows
            if row.foods
        ]
        return (*self.wishes.problems, *(p for k, p in enumerate(doubts) if p not in doubts[:k]))


class Answer(NamedTuple):
    """What moves how far, the least shortfall of each active limit, and the right sides it was found under."""

    y: Floats
    short: Floats
    rows: Floats
    equal: Floats
