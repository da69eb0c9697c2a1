"""Bounds: what is known of a figure, on other bases and as a quotient."""

import math

import pytest

from workbench.recipe.bound import NOT_KNOWN, Bound, Certainty

OATS = ("oats",)


@pytest.mark.parametrize(
    ("bound", "certainty"),
    [
        (Bound(2.0, 2.0, 2.0), "exact"),
        (Bound(0.0, 0.0, 0.0), "exact"),
        (Bound(2.0, 2.0, math.inf, OATS), "at_least"),
        (Bound(2.0, 2.0, 3.0, OATS), "between"),
        (Bound(2.0, 1.0, 3.0, OATS), "between"),
        (Bound(2.0, 0.5, 2.0, OATS), "between"),
        (Bound(2.0, 0.0, 2.0, OATS), "at_most"),
        (Bound(0.0, 0.0, math.inf, OATS), "not_known"),
        (Bound(0.0, 0.0, 79.0, OATS), "not_known"),  # unknown is never zero
        (NOT_KNOWN, "not_known"),
        (Bound(1e6, 1e6 - 1e-7, 1e6 + 1e-7), "exact"),  # sums of floats in another order
    ],
)
def test_limits_say_how_certain_a_figure_is(bound: Bound, certainty: Certainty) -> None:
    assert bound.certainty == certainty


def test_limits_follow_to_another_basis() -> None:
    assert Bound(2.0, 1.0, math.inf, OATS).times(0.5) == Bound(1.0, 0.5, math.inf, OATS)
    assert Bound(2.0, 1.0, math.inf, OATS).times(0.0).high == 0.0, "no pieces an hour hold nothing, not NaN"


def test_quotient_of_limits() -> None:
    ratio = Bound(4.0, 4.0, 6.0, OATS).over(Bound(10.0, 8.0, 10.0, ("figs", "oats")), 100.0)
    assert (ratio.value, ratio.low, ratio.high) == pytest.approx((40.0, 40.0, 75.0))
    assert ratio.unknown == ("oats", "figs")


@pytest.mark.parametrize(
    "denominator", [Bound(0.0, 0.0, 0.0), Bound(0.0, 0.0, 5.0, OATS), Bound(0.0, 0.0, math.inf, OATS)]
)
def test_nothing_is_known_over_an_unknown_or_over_nothing(denominator: Bound) -> None:
    ratio = Bound(4.0, 4.0, 4.0).over(denominator)
    assert math.isnan(ratio.value)
    assert ratio.certainty == "not_known"
    assert ratio.high == math.inf


def test_an_unknown_over_something_is_limited_but_not_known() -> None:
    ratio = Bound(0.0, 0.0, 5.0, OATS).over(Bound(10.0, 10.0, 10.0))
    assert ratio.certainty == "not_known"
    assert (ratio.low, ratio.high) == (0.0, 0.5)
