"""Bound: a result that says how much of it is known.

Limits follow by plain arithmetic on (value, low, high); ``high`` is infinite where nothing limits what is missing.
"""

import math
from typing import Literal, NamedTuple

Certainty = Literal["exact", "at_least", "at_most", "between", "not_known"]

_TOLERANCE = 1e-9  # relative; below it two sums of floats are the same number


class Bound(NamedTuple):
    """A figure with its limits.

    ``value`` is what the known values give: missing values under a plus count as nothing (the truth may be above it),
    missing values under a minus take nothing away (the truth may be below it).  ``unknown`` names the ingredients at
    fault.
    """

    value: float
    low: float
    high: float
    unknown: tuple[str, ...] = ()

    @property
    def at_least(self) -> bool:
        """Whether the truth may be above ``value``."""
        return self.high > self.value + _TOLERANCE * (1.0 + abs(self.value))

    @property
    def at_most(self) -> bool:
        """Whether the truth may be below ``value``."""
        return self.low < self.value - _TOLERANCE * (1.0 + abs(self.value))

    @property
    def known(self) -> bool:
        """Whether ``value`` says anything: it does not where all that could count is missing."""
        return not (math.isnan(self.value) or (self.unknown and self.value == 0.0 and self.at_least))

    @property
    def certainty(self) -> Certainty:
        """The bound in one word, for wording and drawing."""
        if not self.known:
            return "not_known"
        if self.at_least:  # whether or not the truth may also be below
            return "between" if math.isfinite(self.high) else "at_least"
        if self.at_most:
            return "between" if self.low > 0.0 else "at_most"
        return "exact"

    def times(self, factor: float) -> "Bound":
        """The bound on another basis; ``factor`` is not negative."""
        high = self.high if factor > 0 or math.isfinite(self.high) else 0.0
        return Bound(self.value * factor, self.low * factor, high * factor, self.unknown)

    def over(self, other: "Bound", scale: float = 1.0) -> "Bound":
        """The quotient of two bounds of quantities that are not negative, times ``scale``.

        There is no value where the denominator is zero or not known.
        """
        unknown = tuple(dict.fromkeys((*self.unknown, *other.unknown)))
        low = scale * self.low / other.high if other.high > 0 else math.nan
        high = scale * self.high / other.low if other.low > 0 else math.inf
        # A numerator of which nothing is known stays nought, and not known by its limits.
        value = scale * self.value / other.value if other.known and other.value > 0 else math.nan
        return Bound(value, low, high, unknown)


NOT_KNOWN = Bound(math.nan, 0.0, math.inf)
