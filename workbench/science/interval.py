"""Interval: an amount of which only limits may be known, and the arithmetic that formulas need.

The formulas of this package accept plain numbers and intervals alike.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol, Self, TypeVar


class Amount(Protocol):
    """What a formula asks of its amounts: they can be added, and multiplied with a plain factor."""

    def __add__(self, other: Self, /) -> Self: ...

    def __mul__(self, factor: float, /) -> Self: ...


A = TypeVar("A", bound=Amount)


@dataclass(frozen=True, slots=True)
class Interval:
    """Limits of an amount, and the figure that its known parts give.

    Attributes
    ----------
    value, low, high : float
        ``low <= value <= high``; ``high`` is infinite where nothing limits what is missing.
    """

    value: float
    low: float
    high: float

    def __add__(self, other: "Interval") -> "Interval":
        return Interval(self.value + other.value, self.low + other.low, self.high + other.high)

    def __mul__(self, factor: float) -> "Interval":
        if factor == 0.0:  # nothing of an unlimited amount is nothing
            return ZERO
        ends = (self.low * factor, self.high * factor)
        return Interval(self.value * factor, min(ends), max(ends))

    def less(self, part: "Interval") -> "Interval":
        """What is left of a whole without ``part``: never below zero; a blank in the part makes an upper limit."""
        return Interval(
            max(self.value - part.value, 0.0), max(self.low - part.high, 0.0), max(self.high - part.low, 0.0)
        )


ZERO = Interval(0.0, 0.0, 0.0)


def exact(x: float) -> Interval:
    """An amount that is known."""
    return Interval(x, x, x)


def up_to(high: float) -> Interval:
    """An amount of which nothing is known but its upper limit."""
    return Interval(0.0, 0.0, max(high, 0.0))


UNKNOWN = up_to(math.inf)


def total(intervals: Iterable[Interval]) -> Interval:
    """Sum of intervals; zero for none."""
    result = ZERO
    for interval in intervals:
        result = result + interval
    return result
