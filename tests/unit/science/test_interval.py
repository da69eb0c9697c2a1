"""Intervals: arithmetic on amounts of which only limits are known."""

import math

import pytest

from workbench.science.interval import UNKNOWN, ZERO, Interval, exact, total, up_to


def test_sums_add_limits() -> None:
    assert exact(2.0) + up_to(3.0) == Interval(2.0, 2.0, 5.0)
    assert (exact(2.0) + UNKNOWN).high == math.inf


def test_a_negative_factor_swaps_the_limits() -> None:
    assert Interval(1.0, 0.0, 4.0) * -2.0 == Interval(-2.0, -8.0, 0.0)


def test_nothing_of_an_unlimited_amount_is_nothing() -> None:
    assert UNKNOWN * 0.0 == ZERO, "not NaN"


@pytest.mark.parametrize(
    ("whole", "part", "left"),
    [
        (exact(10.0), exact(4.0), exact(6.0)),
        (exact(10.0), UNKNOWN, Interval(10.0, 0.0, 10.0)),  # a blank under a minus: at most
        (exact(10.0), up_to(4.0), Interval(10.0, 6.0, 10.0)),
        (exact(10.0), exact(12.0), ZERO),  # never below zero
        (UNKNOWN, exact(4.0), Interval(0.0, 0.0, math.inf)),
        (UNKNOWN, UNKNOWN, Interval(0.0, 0.0, math.inf)),
    ],
)
def test_what_is_left_of_a_whole_keeps_its_limits(whole: Interval, part: Interval, left: Interval) -> None:
    assert whole.less(part) == left


def test_a_negative_limit_is_no_amount() -> None:
    assert up_to(-1.0) == ZERO


def test_total_of_none_is_zero() -> None:
    assert total([]) == ZERO
    assert total([exact(1.0), up_to(2.0)]) == Interval(1.0, 1.0, 3.0)
