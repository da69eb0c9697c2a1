"""Wishes: a set of targets read as single limits and aims, with everything that is wrong with it said."""

import math
from typing import Literal, NamedTuple

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.nearest import nearest
from workbench.base.text import N_, _
from workbench.document.project import Basis, Target, TargetSet
from workbench.recipe.quantities import BASES, QUANTITIES

Side = Literal["low", "high"]

TARGET_UNKNOWN = ProblemKind(
    "target_unknown_quantity",
    "warning",
    N_("there is no quantity “{key}” on this basis, so the target is left out. {like}"),
    N_("Choose another quantity."),
)
TARGET_NOT_A_FIGURE = ProblemKind(
    "target_not_a_figure", "error", N_("a limit is not a figure."), N_("Type figures such as 20 or 1.5.")
)
TARGET_CROSSED = ProblemKind(
    "target_crossed",
    "error",
    N_("at least {low} and at most {high} cannot both hold."),
    N_("Make the first the smaller one."),
)
AIM_OUTSIDE = ProblemKind(
    "aim_outside",
    "warning",
    N_("the aim of {aim} lies outside the limits and does not count."),
    N_("Aim between the limits."),
)


class Limit(NamedTuple):
    """One side of a target, in the unit of its quantity."""

    target: Target
    side: Side
    value: float

    @property
    def must(self) -> bool:
        """Whether it has to be kept before any preference."""
        return self.target.strength == "must"


class Wishes(NamedTuple):
    """What can be looked for, in an order that does not depend on that of the list."""

    limits: tuple[Limit, ...]
    aims: tuple[Limit, ...]  # both sides of each
    problems: tuple[Problem, ...]


def read_wishes(targets: TargetSet) -> Wishes:
    """Read targets; an aim without limits is both limits at once, as verdicts judge it."""
    limits: list[Limit] = []
    aims: list[Limit] = []
    problems: list[Problem] = []
    for target in sorted(targets.targets, key=lambda t: (t.id, t.quantity, t.basis)):
        fault = _fault(target)
        if fault is not None:
            problems.append(fault)
            continue
        low, high, aim = target.low, target.high, target.aim
        if low is None and high is None:
            low = high = aim
        elif aim is not None:
            if (low is not None and aim < low) or (high is not None and aim > high):
                problems.append(AIM_OUTSIDE.at(place_of(target), aim=f"{aim:g}"))
            else:
                aims += [Limit(target, "low", aim), Limit(target, "high", aim)]
        limits += [Limit(target, "low", low)] if low is not None else []
        limits += [Limit(target, "high", high)] if high is not None else []
    return Wishes(tuple(limits), tuple(aims), tuple(problems))


def wish_problems(targets: TargetSet) -> tuple[Problem, ...]:
    """What is wrong with a set of targets."""
    return read_wishes(targets).problems


def place_of(target: Target) -> Place:
    known = QUANTITIES.get(target.quantity)
    return Place("target", target.id, _(known.title) if known else target.quantity)


def _fault(target: Target) -> Problem | None:
    figures = [x for x in (target.low, target.high, target.aim) if x is not None]
    if target.quantity not in QUANTITIES or target.basis not in BASES:
        like = nearest(target.quantity, QUANTITIES)
        return TARGET_UNKNOWN.at(place_of(target), key=target.quantity, like=f"({like}?)" if like else "")
    if not all(math.isfinite(x) for x in figures):
        return TARGET_NOT_A_FIGURE.at(place_of(target))
    if target.low is not None and target.high is not None and target.low > target.high:
        return TARGET_CROSSED.at(place_of(target), low=f"{target.low:g}", high=f"{target.high:g}")
    return None


Pair = tuple[str, Basis]
"""Key of a quantity, and a basis."""
