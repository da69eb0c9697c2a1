"""Verdicts: targets beside results of which not everything is known."""

import math

import pytest

from tests.support import evaluation_of, make_food
from workbench.document.project import Target, TargetSet
from workbench.recipe.bound import NOT_KNOWN, Bound
from workbench.recipe.verdict import judge, verdicts


@pytest.mark.parametrize(
    ("bound", "low", "high", "state", "by"),
    [
        (Bound(22.0, 22.0, 22.0), 20.0, 25.0, "met", 0.0),
        (Bound(18.5, 18.5, 18.5), 20.0, 25.0, "short", 1.5),
        (Bound(27.0, 27.0, 27.0), 20.0, 25.0, "over", 2.0),
        (Bound(19.96, 19.96, 19.96), 20.0, None, "met", 0.0),  # shown as 20.0
        (Bound(25.06, 25.06, 25.06), None, 25.0, "over", 0.06),  # shown as 25.1
        (Bound(0.6, 0.6, 0.9), None, 1.0, "met", 0.0),  # whatever is missing
        (Bound(0.6, 0.6, 4.0), None, 1.0, "cannot_tell", math.nan),
        (Bound(1.6, 1.6, math.inf), None, 1.0, "over", 0.6),  # at least so much too much
        (Bound(15.0, 10.0, 15.0), 20.0, None, "short", 5.0),  # at most so much
        (Bound(0.0, 0.0, 0.4, ("rice",)), None, 1.0, "met", 0.0),  # the figure is not known, the limit is
        (NOT_KNOWN, None, 1.0, "cannot_tell", math.nan),
        (Bound(5.0, 5.0, 5.0), None, None, "met", 0.0),
    ],
)
def test_a_limit_is_kept_broken_or_cannot_be_told(
    bound: Bound, low: float | None, high: float | None, state: str, by: float
) -> None:
    found, outside = judge(bound, low, high, 1)
    assert found == state
    assert outside == pytest.approx(by, nan_ok=True)


def test_targets_on_unknown_quantities_are_passed_over() -> None:
    result = evaluation_of([(100.0, make_food("syrup", {"CHOAVLDF": 80.0}))])
    targets = TargetSet(
        id="t",
        name="race",
        targets=(
            Target(id="a", quantity="of another program", low=1.0),
            Target(id="b", quantity="CHOAVLDF", basis="portion", low=20.0, high=25.0),
        ),
    )
    (verdict,) = verdicts(result, targets)
    assert (verdict.target.id, verdict.state, verdict.by) == ("b", "over", pytest.approx(55.0))


def test_an_aim_judges_only_where_there_is_no_limit() -> None:
    result = evaluation_of([(100.0, make_food("syrup", {"CHOAVLDF": 80.0}))])
    aims = (
        Target(id="alone", quantity="CHOAVLDF", aim=85.0),
        Target(id="reached", quantity="CHOAVLDF", aim=80.04),  # shown as 80.0
        Target(id="inside", quantity="CHOAVLDF", high=90.0, aim=85.0),
    )
    found = verdicts(result, TargetSet(id="t", name="race", targets=aims))
    assert [(v.state, v.by) for v in found] == [("short", pytest.approx(5.0)), ("met", 0.0), ("met", 0.0)]
