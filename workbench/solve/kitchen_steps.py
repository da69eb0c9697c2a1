"""Kitchen steps: what a scale, a spoon or a pack can do with a line."""

from typing import NamedTuple

from workbench.base.text import _, number
from workbench.composition.food import Food
from workbench.document.project import Line

# Finer where less is weighed: half a gram of salt matters, five grams of water do not.  Common practice, no source.
_SCALE_STEPS = ((2.0, 0.1), (10.0, 0.5), (100.0, 1.0), (1000.0, 5.0))
_COARSEST_G = 10.0
_DIVIDED = ("cup", "tablespoon", "teaspoon")  # measures that a cook fills by quarters; the others come whole
_QUARTER = 4


class KitchenStep(NamedTuple):
    """A step of a line and what it is called; amounts are whole multiples of it. [g as entered]"""

    grams: float
    words: str


def scale_step(grams: float) -> KitchenStep:
    """The step of a kitchen scale for an amount."""
    step = next((step for below, step in _SCALE_STEPS if grams < below), _COARSEST_G)
    return KitchenStep(step, _("{step} g on the scale", step=number(step, 0 if step >= 1 else 1)))


def possible_steps(line: Line, food: Food | None) -> tuple[KitchenStep, ...]:
    """Steps for a line: its own first, then the scale's, spoons and pieces, packs.

    The first is the one that kitchen-rounding takes: the line's own where it has one, the measure that its amount was
    typed in, else the scale's.
    """
    own = [KitchenStep(line.step_g, _("its own step of {step} g", step=f"{line.step_g:g}"))] if line.step_g else []
    scale = [scale_step(line.amount_g)]
    scale += [step for step in (scale_step(g) for g in (1.0, 5.0, 50.0, 500.0, 5000.0)) if step not in scale]
    typed: list[KitchenStep] = []
    spoons: list[KitchenStep] = []
    packs: list[KitchenStep] = []
    if food is not None:
        for measure in food.measures:
            parts = _QUARTER if measure.name in _DIVIDED else 1
            words = _("¼ {measure}", measure=measure.name) if parts > 1 else _("1 {measure}", measure=measure.name)
            step = KitchenStep(measure.grams / parts, words)
            (typed if measure.name in line.entered.lower().split() else spoons).append(step)
        sizes = dict.fromkeys(pack.size_g for pack in food.packs if pack.size_g > 0)
        packs = [KitchenStep(size, _("a pack of {size} g", size=f"{size:g}")) for size in sizes]
    return (*own, *typed, *scale, *spoons, *packs)
