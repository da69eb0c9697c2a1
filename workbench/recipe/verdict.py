"""Verdict: whether a result meets a target, honouring what is not known."""

import math
from typing import Literal, NamedTuple

from workbench.document.project import Target, TargetSet
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import QUANTITIES

State = Literal["met", "short", "over", "cannot_tell"]


class Verdict(NamedTuple):
    """One target and how a result stands to it."""

    target: Target
    state: State
    by: float  # how far outside, in the quantity's unit; 0 where met, NaN where it cannot be told
    bound: Bound


def judge(bound: Bound, low: float | None, high: float | None, decimals: int) -> tuple[State, float]:
    """State of a bound against limits.

    A limit counts as kept when the figure as shown keeps it: 19.96 shown as 20.0 is not short of 20.

    Parameters
    ----------
    bound : Bound
        The result.
    low, high : float or None
        At least, at most; in the unit of the result.
    decimals : int
        With how many decimals the result is shown.

    Returns
    -------
    tuple
        State, and how far outside.
    """
    slack = 0.5 * 10.0**-decimals
    least = -math.inf if low is None else low - slack
    most = math.inf if high is None else high + slack
    if math.isnan(bound.value):
        return "cannot_tell", math.nan
    if low is not None and bound.high < least:
        return "short", low - bound.high
    if high is not None and bound.low > most:
        return "over", bound.low - high
    if bound.low >= least and bound.high <= most:
        return "met", 0.0
    return "cannot_tell", math.nan


def verdicts(evaluation: Evaluation, targets: TargetSet) -> tuple[Verdict, ...]:
    """Verdicts on every target whose quantity the catalogue knows, in the order of the set.

    Where there is an aim and no limit, the figure is judged by the aim itself; else the aim is no limit.
    """
    found = []
    for target in targets.targets:
        quantity = QUANTITIES.get(target.quantity)
        if quantity is None:
            continue
        bound = evaluation.bound(target.quantity, target.basis)
        limits = target.low, target.high
        if limits == (None, None):
            limits = target.aim, target.aim
        state, by = judge(bound, *limits, quantity.decimals)
        found.append(Verdict(target, state, by, bound))
    return tuple(found)
