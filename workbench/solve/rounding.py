"""Rounding: amounts in steps that a kitchen can do, chosen together so that targets still hold.

Whole numbers of steps, with the least total change relative to the amounts that are rounded.  Linked lines keep their
proportion as far as their own steps allow, a held batch weight is kept to half a step, locks and limits are kept.
"""

import math
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from msgspec.structs import replace

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.text import N_
from workbench.document.project import Line, Project, TargetSet, Variant
from workbench.recipe.preparation import prepare
from workbench.recipe.prepared import Prepared
from workbench.solve.kitchen_steps import KitchenStep, possible_steps
from workbench.solve.limit_rows import LimitRow
from workbench.solve.programme import Programme
from workbench.solve.proposal import Options, Proposal, propose
from workbench.solve.solvers import StraightProgramme
from workbench.solve.space import TRACE_G, limits_of

Floats = npt.NDArray[np.float64]

STEP_DOES_NOT_FIT = ProblemKind(
    "step_does_not_fit",
    "notice",
    N_("no multiple of {step} g lies between its limits, so it is not rounded."),
    N_("Choose a smaller step, or wider limits."),
)
OUT_OF_TIME = ProblemKind(
    "out_of_time",
    "notice",
    N_("the time ran out: these are the best kitchen amounts found so far, better ones may exist."),
)
NO_KITCHEN_AMOUNTS = ProblemKind(
    "no_kitchen_amounts",
    "warning",
    N_("locks, limits and what is held leave no amounts in whole steps; nothing is rounded."),
    N_("Choose smaller steps, or let go of the batch weight."),
)
_SHOWN = 0.999  # of half the last digit shown: a limit kept so is kept as shown
_REACH_STEPS, _REACH_SHARE = 10, 0.25  # how far from its amount a line is looked for
_SHORT_COST = {"must": 1000.0, "prefer": 100.0}  # against a change by the whole amount


class Rounding(NamedTuple):
    """Kitchen amounts, and what rounding did.

    Attributes
    ----------
    proposal : Proposal
        The rounded amounts; its changes are those against the variant as it is.
    unrounded : Proposal
        The amounts that were rounded, evaluated.
    steps : mapping of str to KitchenStep
        Line id -> step, of every line that was rounded.
    change : float
        Mean change of the rounded lines, relative to their amount.
    lost : tuple of str
        Ids of targets that held before and do not hold in any kitchen amounts near by.
    out_of_time : bool
        Whether better ones may exist.
    """

    proposal: Proposal
    unrounded: Proposal
    steps: Mapping[str, KitchenStep]
    change: float
    lost: tuple[str, ...]
    out_of_time: bool


def round_amounts(
    project: Project,
    variant: Variant,
    targets: TargetSet,
    amounts: Mapping[str, float] | None = None,
    options: Options | None = None,
    prepared: Prepared | None = None,
) -> Rounding:
    """Kitchen amounts nearest to some amounts, with which the targets that hold still hold where that is possible.

    Parameters
    ----------
    project, variant, targets, options, prepared
        As for ``matching.match``.
    amounts : mapping of str to float, optional
        Line id -> grams to be rounded, such as those of a proposal; the variant's own where absent. [g]

    Raises
    ------
    CalculationError
        If the variant has nothing to start from, or cannot be computed whatever its amounts.
    """
    options = options or Options()
    prepared = prepared or prepare(project, variant)
    wanted = amounts or {}
    lines = tuple(replace(line, amount_g=wanted.get(line.id, line.amount_g)) for line in variant.lines)
    at = replace(variant, lines=lines)
    programme, _answer = Programme(prepared, at, targets, options).solve()
    exact = np.array([line.amount_g for line in lines])
    unrounded = propose(prepared, variant, targets, exact, programme.problems())
    grid = _Grid(project, programme)
    rounded, out_of_time = grid.nearest(options.seconds)
    problems = [*programme.problems(), *grid.problems]
    if out_of_time:
        problems.append(OUT_OF_TIME.at())
    if rounded is None:
        rounded = exact
        problems.append(NO_KITCHEN_AMOUNTS.at(Place("variant", variant.id, variant.name)))
    proposal = propose(prepared, variant, targets, rounded, tuple(problems))
    steps = {grid.lines[j].id: step for j, step in grid.steps.items()}
    moved = [
        abs(proposal.amounts[key] - unrounded.amounts[key]) / max(unrounded.amounts[key], TRACE_G) for key in steps
    ]
    lost = tuple(
        before.target.id
        for before, after in zip(unrounded.verdicts, proposal.verdicts, strict=True)
        if before.state == "met" and after.state != "met"
    )
    return Rounding(proposal, unrounded, steps, float(np.mean(moved)) if moved else 0.0, lost, out_of_time)


class _Grid:
    """Lines in whole steps: unknowns are numbers of steps, changes, factors of linked lines, and shortfalls."""

    def __init__(self, project: Project, programme: Programme) -> None:
        self._programme = programme
        space = programme.space
        self._exact = space.start
        self.lines: list[Line] = [programme.variant.lines[k] for k in space.order]
        self.steps: dict[int, KitchenStep] = {}
        self.problems: list[Problem] = []
        self._range: dict[int, tuple[int, int]] = {}
        for j, line in enumerate(self.lines):
            if line.lock or self._exact[j] < TRACE_G:
                continue
            food = project.foods.get(line.food_ref.id) if line.food_ref.kind != "variant" else None
            step = possible_steps(line, food)[0]
            least, most = limits_of(line)
            first, last = math.ceil(least / step.grams - 1e-9), math.floor(most / step.grams + 1e-9)
            if first > last:
                name = programme.prepared.names[space.order[j]]
                self.problems.append(STEP_DOES_NOT_FIT.at(Place("line", line.id, name), step=f"{step.grams:g}"))
                continue
            now = self._exact[j] / step.grams
            reach = max(_REACH_STEPS, _REACH_SHARE * now)
            near = max(first, math.floor(now - reach)), min(last, math.ceil(now + reach))
            self._range[j] = near if near[0] <= near[1] else (first, first) if now < first else (last, last)
            self.steps[j] = step

    def nearest(self, seconds: float) -> tuple[Floats | None, bool]:
        """Amounts in the order of the variant, None where there are none; and whether the time ran out."""
        out_of_time = False
        for giving_way in (False, True):
            found, timed_out = self._solve(giving_way, seconds)
            out_of_time |= timed_out
            if found is not None:
                return found, out_of_time
        return None, out_of_time

    def _solve(self, giving_way: bool, seconds: float) -> tuple[Floats | None, bool]:
        free, groups, programme = sorted(self.steps), self._groups(), self._programme
        n_lines, f = len(self._exact), len(free)
        limits = programme.active
        k = len(limits) if giving_way else 0
        first_short = 2 * f + len(groups)
        width = first_short + k
        base = self._exact.copy()
        base[free] = 0.0
        to_lines = np.zeros((n_lines, width))
        to_lines[free, np.arange(f)] = [self.steps[j].grams for j in free]
        rows = _Rows(width)
        sizes = np.maximum(self._exact[free], programme.space.scale[free] * 1e-3)
        for i, j in enumerate(free):  # a change is at least the way up and the way down
            for sign in (1.0, -1.0):
                row = sign * to_lines[j] / sizes[i]
                row[f + i] = -1.0
                rows.add(row, -np.inf, sign * self._exact[j] / sizes[i])
        for g, members in enumerate(groups):
            for j in members:
                row = to_lines[j].copy()
                row[2 * f + g] = -self._exact[j]
                rows.add(row, -self.steps[j].grams / 2, self.steps[j].grams / 2)
        for i, on_lines in enumerate([*map(self._as_shown, limits), *programme.rules]):
            row = on_lines[:-1] @ to_lines
            if i < k:
                row[first_short + i] = -1.0
            rows.add(row, -np.inf, -float(on_lines[:-1] @ base + on_lines[-1]))
        if programme.sum_row is not None and free:
            half = min(self.steps[j].grams for j in free) / 2 + 1e-9
            rest = float(self._exact.sum() - base.sum())
            rows.add(to_lines.sum(axis=0), rest - half, rest + half)
        short_costs = [_SHORT_COST[row.limit.target.strength] for row in limits[:k]]
        ranges = np.array([self._range[j] for j in free], dtype=np.float64).reshape(f, 2)
        lp = StraightProgramme(
            np.concatenate([np.zeros(f), np.ones(f), np.zeros(len(groups)), short_costs]),
            np.concatenate([ranges[:, 0], np.zeros(width - f)]),
            np.concatenate([ranges[:, 1], np.full(width - f, np.inf)]),
            *rows.arrays(),
            whole=np.arange(width) < f,
            seconds=seconds,
        )
        z = lp.solve()
        return None if z is None else self._amounts(base, free, np.round(z[:f])), lp.timed_out

    def _amounts(self, base: Floats, free: list[int], steps: Floats) -> Floats:
        x = base.copy()
        for j, count in zip(free, steps, strict=True):
            x[j] = float(f"{count * self.steps[j].grams:.9g}")  # 3 x 0.1 g is 0.3 g
        result = np.empty_like(x)
        result[self._programme.space.order] = x
        return result

    def _groups(self) -> list[list[int]]:
        found: dict[str, list[int]] = {}
        for j in sorted(self.steps):
            if self.lines[j].group:
                found.setdefault(self.lines[j].group, []).append(j)
        return [members for members in found.values() if len(members) > 1]

    def _as_shown(self, row: LimitRow) -> Floats:
        """The row of a limit that is kept as shown, or is not kept now and shall not get worse by more than shows."""
        limit, with_one = row.limit.value, np.append(self._exact, 1.0)
        now, room = row.figure(with_one), _SHOWN * row.half
        kept = math.isnan(now) or row.sign * (now - limit) <= room
        return row.at((limit if kept else now) + row.sign * room, with_one)


class _Rows:
    """Rows of a programme, one by one."""

    def __init__(self, width: int) -> None:
        self._width = width
        self._rows: list[tuple[Floats, float, float]] = []

    def add(self, row: Floats, low: float, high: float) -> None:
        self._rows.append((row, low, high))

    def arrays(self) -> tuple[Floats, Floats, Floats]:
        """Left sides, and both right sides."""
        a = np.array([row for row, _low, _high in self._rows]).reshape(-1, self._width)
        return a, np.array([low for _row, low, _high in self._rows]), np.array([high for *_row, high in self._rows])
