"""Scale: the length of an axis in coarse, round steps, which stays put while figures change under a drag."""

import math

_LIMITS = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
_HEADROOM = 1.1
_SMALLEST = 1e-3


def round_limit(needed: float) -> float:
    """The smallest round axis end that leaves some room above ``needed``."""
    wanted = max(needed, _SMALLEST) * _HEADROOM
    decade = 10.0 ** math.floor(math.log10(wanted))
    return next((step * decade for step in _LIMITS if step * decade >= wanted * (1 - 1e-9)), 10.0 * decade)


def round_step(limit: float) -> float:
    """The distance of grid lines that divides an axis into three to five parts."""
    decade = 10.0 ** math.floor(math.log10(limit) + 1e-9)
    lead = limit / decade
    return decade * (0.2 if lead < 1.2 else 0.5 if lead < 2.5 else 1.0 if lead < 5.5 else 2.0)


class Scale:
    """The end of one axis, shared by every bar of a unit.

    It grows as soon as a figure needs it, and shrinks only when it is told that the hand is off the slider.
    """

    def __init__(self, least: float) -> None:
        self._least = least  # what an axis shows at the least, so that traces do not look like a lot
        self.limit = round_limit(least)

    def fit(self, needed: float, *, may_shrink: bool) -> None:
        """Make room for ``needed``."""
        wanted = round_limit(max(needed, self._least))
        if may_shrink or wanted > self.limit:
            self.limit = wanted
