"""Programme: targets and rules as rows on what moves, ready to be solved again and again.

How it is solved, and what happens where not everything can hold, is said in ``smallest_change``.
"""

import numpy as np
import numpy.typing as npt

from workbench.base.errors import Problem, ProblemKind
from workbench.base.text import N_
from workbench.document.project import Target, TargetSet, Variant
from workbench.recipe.prepared import Prepared
from workbench.solve.fractions import Fraction, Straights
from workbench.solve.limit_rows import limit_rows
from workbench.solve.proposal import Options
from workbench.solve.smallest_change import SHORT, Answer, smallest_change
from workbench.solve.solvers import LeastSquares
from workbench.solve.space import TRACE_G, Space, check_start, lines_in_order, make_space
from workbench.solve.wishes import Pair, Side, Wishes, place_of, read_wishes

Floats = npt.NDArray[np.float64]

MATCHED_ON_KNOWN = ProblemKind(
    "matched_on_known",
    "notice",
    N_("cannot tell: value missing in {foods}; matched on what is known."),
    N_("Enter the missing figure, or take the ingredient out."),
)
NO_PRICES = ProblemKind(
    "no_prices",
    "notice",
    N_("no ingredient has a pack with a price, so it cannot be matched."),
    N_("Enter what a pack costs, under the details of an ingredient."),
)
MATCHED_ON_PRICES = ProblemKind(
    "matched_on_known_prices",
    "notice",
    N_("no price in {currency} for {foods}; matched on the prices that are known."),
    N_("Enter what a pack costs, under the details of an ingredient."),
)
NO_ROOM = ProblemKind(
    "no_room",
    "error",
    N_("locks, limits and what is held leave no amounts that can be made, so nothing is proposed."),
    N_("Free an ingredient, or widen its limits."),
)
_LEAST_FINISHED = 0.01  # of the finished weight as it is


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
        in_order = lines_in_order(variant)
        order, start, _scale = in_order
        self._order, self._start = order, start
        self._straights = Straights(prepared, order)
        limits, names = self.wishes.limits, [prepared.names[j] for j in order]
        known_only = [(limit.target.id, limit.side) in on_known for limit in limits]
        self.limit_rows = limit_rows(limits, known_only, self._straights, variant, start, names)
        self.active = [row for row in self.limit_rows if not row.mute]
        self.musts = np.array([row.limit.must for row in self.active], dtype=bool)
        sides = self.wishes.aims
        aims = limit_rows(sides, [True] * len(sides), self._straights, variant, start, names)
        self.aims = [row for row in aims if not row.mute]
        self.not_taken_up = self._not_to_be_taken_up()
        self.space: Space = make_space(variant, in_order, held_line, self.not_taken_up)
        hold = variant.hold_batch_weight if options.hold_batch_weight is None else options.hold_batch_weight
        self.sum_row = np.append(np.ones(len(start)), -start.sum()) / start.sum() if hold else None
        self.rules = self._rules()
        self._make()

    # --- rows on all lines ----------------------------------------------------------------------------------------

    def fraction(self, pair: Pair) -> Fraction:
        """A quantity on a basis, on lines sorted by id."""
        return self._straights.fraction(self._straights.places(self.variant, *pair))

    def _not_to_be_taken_up(self) -> frozenset[str]:
        """Absent lines that would make a limit impossible to tell."""
        absent = self._start < TRACE_G
        if not absent.any():
            return frozenset()
        found = [j for row in self.limit_rows if row.limit.must for j in np.flatnonzero(row.unlimited & absent)]
        return frozenset(self.variant.lines[self._order[j]].id for j in found)

    def _rules(self) -> Floats:
        """Rows that every batch keeps: no stage gives off more water than there is, and something is left."""
        stages = self._straights.stages
        water, finished = stages[:-1], stages[-1:].copy()
        weight = float(finished[0, :-1] @ self._start + finished[0, -1])
        finished[0, -1] -= _LEAST_FINISHED * weight if weight > 1.0 else 1.0
        water = water[(water < 0).any(axis=1)]  # the others cannot run dry
        return np.vstack([-water, -finished]) / max(weight, 1.0)

    def _make(self) -> None:
        aims = [row.row for row in self.aims]
        equal = [] if self.sum_row is None else [self.sum_row]
        rows = self.space.on_movers(np.array([*(row.row for row in self.active), *self.rules, *equal, *aims]))
        first_equal = len(self.active) + len(self.rules)
        first_aim = first_equal + len(equal)
        self.limits = rows.part(0, first_equal)  # and then rules
        self.equal = rows.part(first_equal, first_aim)
        self.aim_sides = rows.part(first_aim, first_aim + len(aims))
        self._squares: dict[bool, LeastSquares] = {}

    # --- solving --------------------------------------------------------------------------------------------------

    def least_change(self, grams: float, *, aims: bool) -> Floats | None:
        """The smallest change that keeps all limits, and reaches all aims too; None where they cannot all hold."""
        sides = (self.limits, self.aim_sides) if aims else (self.limits,)
        if aims not in self._squares:
            space, left = self.space, np.vstack([side.left for side in sides])
            self._squares[aims] = LeastSquares(space.weight, self.equal.left, left, space.lower, space.upper)
        right = np.concatenate([side.right(grams) for side in sides])
        return self._squares[aims].solve(self.equal.right(grams), right)

    def solve(self, grams: float = 0.0) -> "tuple[Programme, Answer | None]":
        """The smallest change that comes as near as can be, and the programme that it answers.

        A limit that cannot be kept in the worst case of what is not known is matched on what is known: that is another
        programme.  There is no answer where locks and limits leave no amounts at all.
        """
        answer = None if self.space.contradiction else smallest_change(self, grams)
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

    def problems(self) -> tuple[Problem, ...]:
        """What is wrong with the targets, and which could only be matched on what is known."""
        doubts = [self._doubt(row.limit.target, ", ".join(row.foods)) for row in self.limit_rows if row.foods]
        return (*self.wishes.problems, *(p for k, p in enumerate(doubts) if p not in doubts[:k]))

    def _doubt(self, target: Target, foods: str) -> Problem:
        currency = self.prepared.currency
        if target.quantity != "cost":
            return MATCHED_ON_KNOWN.at(place_of(target), foods=foods)
        if not currency:
            return NO_PRICES.at(place_of(target))
        return MATCHED_ON_PRICES.at(place_of(target), foods=foods, currency=currency)
