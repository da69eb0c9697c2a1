"""Why not: the smallest set of targets, locks and limits that cannot all hold, and what giving way in each would buy.

A straight programme in which everything may give way says what is involved.  Then one after the other is left out, and
stays out where the rest still clash: what is left clashes, and without any one of it nothing does.
"""

from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.document.project import MOST_GRAMS, Project, TargetSet, Variant
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import evaluate
from workbench.recipe.preparation import prepare
from workbench.recipe.prepared import Prepared
from workbench.solve.limit_rows import LimitRow
from workbench.solve.programme import Programme
from workbench.solve.proposal import Options
from workbench.solve.reach import Quotient, farthest
from workbench.solve.smallest_change import SHORT
from workbench.solve.solvers import StraightProgramme
from workbench.solve.space import TRACE_G, limits_of
from workbench.solve.wishes import Limit

Floats = npt.NDArray[np.float64]

MemberKind = Literal["target", "lock", "least", "most", "linked", "held"]
_GIVE_UP_FIRST: tuple[MemberKind, ...] = ("held", "linked", "most", "least", "lock", "target")
_TOLERANCE = 1e-9


class Member(NamedTuple):
    """One thing that is asked for: a side of a target, a lock or limit of a line, a link, or the held batch weight.

    ``id`` is that of the target, the line or the group; ``grams`` that of a lock, limit or held weight.
    """

    kind: MemberKind
    id: str
    name: str = ""
    limit: Limit | None = None
    grams: float = 0.0


class Relief(NamedTuple):
    """What giving way in one member would buy.

    Attributes
    ----------
    member : Member
        What gives way.
    bound : Bound or None
        For a target: the nearest figure to its limit with which all the others hold, by the engine.
    grams : float or None
        For a lock, limit or held weight: the nearest grams with which all the others hold. [g]
    all_hold : bool
        Whether everything else would hold; False where another clash remains, and only this one is gone.
    """

    member: Member
    bound: Bound | None
    grams: float | None
    all_hold: bool


class Clash(NamedTuple):
    """What cannot all hold, and what each member could do about it."""

    members: tuple[Member, ...]
    reliefs: tuple[Relief, ...]


class _Row(NamedTuple):
    member: int
    row: Floats  # on all lines and 1
    low: float
    high: float


def why_not(
    project: Project,
    variant: Variant,
    targets: TargetSet,
    options: Options | None = None,
    prepared: Prepared | None = None,
) -> Clash | None:
    """The smallest set of targets, locks and limits that clash; None where all can hold.

    Where even what must be kept clashes, preferences are left out of it.  Parameters are those of ``match``.

    Raises
    ------
    CalculationError
        If the variant has nothing to start from, or cannot be computed whatever its amounts.
    """
    prepared = prepared or prepare(project, variant)
    programme, answer = Programme(prepared, variant, targets, options or Options()).solve()
    if answer is not None and not (answer.short > SHORT).any():
        return None
    preferences = answer is not None and not (answer.short[programme.musts] > SHORT).any()
    return _Model(programme, [row for row in programme.active if preferences or row.limit.must]).clash()


class _Model:
    """Everything that is asked for as rows on lines that are free but for nature: from nothing to a tonne."""

    def __init__(self, programme: Programme, limit_rows: list[LimitRow]) -> None:
        self._programme = programme
        space = programme.space
        self._n = n = len(space.start)
        self._lines = [programme.variant.lines[k] for k in space.order]
        self.members: list[Member] = []
        self._rows: list[_Row] = []
        for row in limit_rows:
            self._add(Member("target", row.limit.target.id, "", row.limit), row.row, -np.inf, 0.0)
        self._add_lines()
        self._add_links()
        if programme.sum_row is not None:
            self._add(Member("held", "", "", None, float(space.start.sum())), programme.sum_row, 0.0, 0.0)
        # Unknowns are changes relative to the amount, as elsewhere.
        self._scale = space.scale
        self._lower = -space.start / space.scale
        self._upper = (MOST_GRAMS - space.start) / space.scale
        for j, line in enumerate(self._lines):
            if line.id in programme.not_taken_up:
                self._lower[j] = self._upper[j] = 0.0
        rules = programme.rules
        everything = np.vstack([np.array([r.row for r in self._rows]).reshape(-1, n + 1), rules])
        self._a = everything[:, :-1] * space.scale
        self._rest = everything[:, :-1] @ space.start + everything[:, -1]
        self._high = np.concatenate([[r.high for r in self._rows], np.zeros(len(rules))]) - self._rest
        self._low = np.concatenate([[r.low for r in self._rows], np.full(len(rules), -np.inf)]) - self._rest

    def _add(self, member: Member, row: Floats, low: float, high: float) -> None:
        if not self.members or self.members[-1] != member:
            self.members.append(member)
        self._rows.append(_Row(len(self.members) - 1, row, low, high))

    def _line_row(self, j: int, grams: float) -> Floats:
        row = np.zeros(self._n + 1)
        scale = self._programme.space.scale[j]
        row[j], row[-1] = 1.0 / scale, -grams / scale
        return row

    def _add_lines(self) -> None:
        prepared, space = self._programme.prepared, self._programme.space
        for j, line in enumerate(self._lines):
            name = prepared.names[space.order[j]]
            if line.lock:
                grams = line.amount_g
                self._add(Member("lock", line.id, name, None, grams), self._line_row(j, grams), 0.0, 0.0)
                continue
            least, most = limits_of(line)
            if least > 0.0:
                self._add(Member("least", line.id, name, None, least), self._line_row(j, least), 0.0, np.inf)
            if line.max_g is not None:
                self._add(Member("most", line.id, name, None, most), self._line_row(j, most), -np.inf, 0.0)

    def _add_links(self) -> None:
        prepared, space = self._programme.prepared, self._programme.space
        groups: dict[str, list[int]] = {}
        for j, line in enumerate(self._lines):
            if line.group and not line.lock:
                groups.setdefault(line.group, []).append(j)
        for group, members in groups.items():
            names = ", ".join(dict.fromkeys(prepared.names[space.order[j]] for j in members))
            with_weight = [j for j in members if space.start[j] >= TRACE_G]
            for j in members:
                if j not in with_weight:
                    self._add(Member("linked", group, names), self._line_row(j, 0.0), 0.0, 0.0)
                elif j != with_weight[0]:
                    row = self._line_row(j, 0.0) - self._line_row(with_weight[0], 0.0)
                    self._add(Member("linked", group, names), row, 0.0, 0.0)

    # --- solving --------------------------------------------------------------------------------------------------

    def clash(self) -> Clash:
        """The smallest set, and what each of it would buy."""
        kept = self._involved()
        lp = self._programme_of(kept)
        if lp.solve() is not None:  # arithmetic: begin with everything
            kept = set(range(len(self.members)))
            lp = self._programme_of(kept)
        rank = {kind: k for k, kind in enumerate(_GIVE_UP_FIRST)}
        for k in sorted(kept, key=lambda k: (rank[self.members[k].kind], self._must(k), k)):
            self._switch(lp, k, on=False)
            if lp.solve() is None:
                kept.discard(k)
            else:
                self._switch(lp, k, on=True)
        members = sorted(kept, key=lambda k: (-rank[self.members[k].kind], k))
        return Clash(tuple(self.members[k] for k in members), tuple(self._relief(k, kept) for k in members))

    def _must(self, k: int) -> bool:
        limit = self.members[k].limit
        return limit is None or limit.must

    def _involved(self) -> set[int]:
        """Members whose rows bear the least sum of giving way."""
        n_rows, n = len(self._rows), self._n
        slack = np.zeros((len(self._a), 2 * n_rows))
        for i in range(n_rows):
            slack[i, 2 * i], slack[i, 2 * i + 1] = -1.0, 1.0
        cost = np.concatenate([np.zeros(n), np.ones(2 * n_rows)])
        lower = np.concatenate([self._lower, np.zeros(2 * n_rows)])
        upper = np.concatenate([self._upper, np.full(2 * n_rows, np.inf)])
        lp = StraightProgramme(cost, lower, upper, np.hstack([self._a, slack]), self._low, self._high)
        if lp.solve() is None:
            return set(range(len(self.members)))
        return {r.member for r, dual in zip(self._rows, lp.row_duals, strict=False) if abs(dual) > _TOLERANCE}

    def _programme_of(self, kept: set[int]) -> StraightProgramme:
        lp = StraightProgramme(np.zeros(self._n), self._lower, self._upper, self._a, self._low, self._high)
        for k in range(len(self.members)):
            if k not in kept:
                self._switch(lp, k, on=False)
        return lp

    def _switch(self, lp: StraightProgramme, member: int, *, on: bool) -> None:
        for i, row in enumerate(self._rows):
            if row.member == member:
                low, high = (float(self._low[i]), float(self._high[i])) if on else (-np.inf, np.inf)
                lp.set_row(i, low, high)

    # --- what giving way buys -------------------------------------------------------------------------------------

    def _relief(self, member: int, clash: set[int]) -> Relief:
        for others, all_hold in ((set(range(len(self.members))), True), (clash, False)):
            lp = self._programme_of(others - {member})
            if lp.solve() is not None:
                return self._nearest(lp, self.members[member], all_hold)
        raise AssertionError("a smallest clash holds without any one of its members")

    def _nearest(self, lp: StraightProgramme, member: Member, all_hold: bool) -> Relief:
        space = self._programme.space
        if member.limit is not None:
            limit = member.limit
            row = next(r for r in self._programme.active if r.limit == limit)
            quotient = Quotient(row.scale, self._unknowns(row.top), self._unknowns(row.bottom))
            y = farthest(lp, quotient, most=limit.side == "low")
            if y is None:
                return Relief(member, None, None, all_hold)
            amount_g = np.empty(self._n)
            amount_g[space.order] = np.maximum(space.start + self._scale * y, 0.0)
            result = evaluate(self._programme.prepared, self._programme.variant, amount_g)
            return Relief(member, result.bound(limit.target.quantity, limit.target.basis), None, all_hold)
        if member.kind == "linked":
            return Relief(member, None, None, all_hold)
        line = self._programme.sum_row[:-1] * space.start.sum() if member.kind == "held" else self._of_line(member.id)  # type: ignore[index]
        found = []
        for sign in (1.0, -1.0):
            lp.set_cost(sign * line * self._scale)
            y = lp.solve()
            if y is not None:
                found.append(float(line @ (space.start + self._scale * y)))
        grams = min(found, key=lambda g: abs(g - member.grams), default=None)
        return Relief(member, None, grams, all_hold)

    def _of_line(self, line_id: str) -> Floats:
        return np.array([1.0 if line.id == line_id else 0.0 for line in self._lines])

    def _unknowns(self, line: Floats) -> Floats:
        """A straight line in the amounts as one in the unknowns."""
        return np.append(line[:-1] * self._scale, line[:-1] @ self._programme.space.start + line[-1])
