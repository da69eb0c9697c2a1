"""The range of a slider: rounded to kitchen figures, wide enough to move in, and fine enough to hit a gram."""

import math
from typing import NamedTuple

from workbench.composition.food import Food
from workbench.document.project import Line

_CEILINGS = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
_STEPS = (1.0, 2.0, 5.0, 10.0)
_FINE_ROLES = frozenset({"salt", "leavening", "flavour"})  # used by the pinch
_LIMIT_G = 1_000_000.0  # of a line, as in the project's schema


class SliderScale(NamedTuple):
    """Where a slider begins and ends, and what one step of it is. [g]"""

    minimum: float
    maximum: float
    step: float

    def snapped(self, amount_g: float) -> float:
        """The nearest step inside the range."""
        steps = round((amount_g - self.minimum) / self.step)
        return round(min(max(self.minimum + steps * self.step, self.minimum), self.maximum), 6)

    def moved(self, amount_g: float, steps: int) -> float:
        """So many steps on, onto the grid of steps; the end of the range is no wall for keys, only zero is."""
        target = round(amount_g / self.step) * self.step + steps * self.step
        if abs(target - amount_g) > abs(steps) * self.step + 1e-9:  # from between two steps: the next one first
            target -= math.copysign(self.step, steps)
        return round(min(max(target, self.minimum), _LIMIT_G), 6)

    def fraction(self, amount_g: float) -> float:
        """Where an amount lies, from 0 to 1."""
        return min(max((amount_g - self.minimum) / (self.maximum - self.minimum), 0.0), 1.0)


def scale_for(line: Line, food: Food | None) -> SliderScale:
    """The scale for a line as it is: about two and a half times its amount; its own limits and step come first."""
    fine = food is not None and not _FINE_ROLES.isdisjoint(food.roles) and line.amount_g <= 20
    maximum = _nice_above(max(2.5 * line.amount_g, 10.0 if fine else 100.0))
    if line.max_g is not None:
        maximum = max(line.max_g, line.amount_g)
    minimum = min(line.min_g or 0.0, line.amount_g)
    if maximum <= minimum:
        maximum = minimum + 1.0
    return SliderScale(minimum, min(maximum, _LIMIT_G), line.step_g or _nice_below((maximum - minimum) / 100.0))


def fits(scale: SliderScale, line: Line) -> bool:
    """Whether a line can stay on its scale; the last twentieth asks for more room, unless the line has a limit."""
    full = scale.maximum if line.max_g is not None else 0.95 * scale.maximum
    return scale.minimum <= line.amount_g <= full


def _nice_above(amount: float) -> float:
    power = 10.0 ** math.floor(math.log10(amount))
    return next(c * power for c in _CEILINGS if c * power >= amount * (1 - 1e-9))


def _nice_below(amount: float) -> float:
    power = 10.0 ** math.floor(math.log10(amount))
    return next(s * power for s in reversed(_STEPS) if s * power <= amount * (1 + 1e-9))
