"""Weights as the kitchen says them: grams with as many decimals as a scale shows, cups, spoons, and counted pieces."""

import math

from workbench.base.errors import AmountError
from workbench.base.text import _, number
from workbench.base.units import System, find_unit
from workbench.composition.amounts import parse_amount
from workbench.composition.food import Food
from workbench.recipe.counted import counted_text

_QUARTERS = {0.0: "", 0.25: "¼", 0.5: "½", 0.75: "¾"}
_STEPS = {"cup": 0.25, "tbsp": 0.5, "tsp": 0.25}
_LEAST = {"cup": 0.25, "tbsp": 1.0, "tsp": 0.25}
_OFF = 0.1  # a measure that is further from the weight is none
_MOST = {"cup": 40.0, "tbsp": 12.0, "tsp": 12.0}
_MOST_COUNTED = 12.0  # nobody counts out more pinches


def grams_text(grams: float) -> str:
    """Grams as a kitchen scale shows them: whole from 100 g on, tenths below, hundredths below 1 g; no idle zeros."""
    most = 0 if grams >= 100 else 1 if grams >= 1 else 2
    decimals = next((n for n in range(most) if abs(grams - round(grams, n)) < 1e-6), most)
    return number(grams, decimals)


def temperature_text(at_degC: float, system: System) -> str:
    """A temperature, in degrees Fahrenheit too where the kitchen measures in US units."""
    celsius = _("{degrees} °C", degrees=number(at_degC, 0))
    if system == "metric":
        return celsius
    fahrenheit = math.floor(at_degC * 1.8 + 32.0 + 0.5)
    return _("{celsius} ({degrees} °F)", celsius=celsius, degrees=number(fahrenheit, 0))


def household_measure(food: Food, grams: float, system: System) -> str:
    """A household measure that weighs about so much: ``1 ¾ cups``, ``2 tbsp``, ``3 eggs``; empty where none comes near.

    Parameters
    ----------
    food : Food
        With its measures and density.
    grams : float
        Weight of the edible part. [g]
    system : {"metric", "us"}
        Which cup and spoons.
    """
    counted = [m.name for m in food.measures if find_unit(m.name, system) is None and "," not in m.name]
    found: list[tuple[float, str]] = []
    for unit in (*counted, "cup", "tbsp", "tsp"):
        try:
            each = parse_amount(f"1 {unit}", food, system).grams
        except AmountError:  # nothing says what it weighs
            continue
        step, least = _STEPS.get(unit, 0.5), _LEAST.get(unit, 0.5)
        count = step * math.floor(grams / each / step + 0.5)
        if least <= count <= _MOST.get(unit, _MOST_COUNTED) and abs(count * each - grams) <= _OFF * grams:
            found.append((abs(count * each - grams) / grams, counted_text(count, _count_text(count), unit)))
            if unit in _STEPS:  # a cup before spoons
                break
    return min(found)[1] if found else ""


def _count_text(count: float) -> str:
    whole = math.floor(count)
    fraction = _QUARTERS[count - whole]
    return f"{whole or ''} {fraction}".strip()
