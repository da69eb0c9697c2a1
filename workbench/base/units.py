"""The kitchen's units as one small table of exact factors: masses in grams, volumes in millilitres.

"cup", "tablespoon" and "teaspoon" follow the project's measure system; "US cup" or "metric cup" always say which.  An
ounce is a mass and a fluid ounce a volume (the US one, in both systems).  Pints, quarts and the imperial cup are left
out, because one word means several sizes there.  ``tests/unit/base/test_units.py`` compares every factor with pint,
which takes 0.4 s to load and therefore stays out of the program.
"""

from collections.abc import Iterator
from typing import Literal, NamedTuple

System = Literal["metric", "us"]


class Unit(NamedTuple):
    """A unit of mass or volume."""

    name: str
    kind: Literal["mass", "volume"]
    factor: float  # g or ml
    word: str  # the name without the system, as the cook says it


def _mass(name: str, factor: float) -> Unit:
    return Unit(name, "mass", factor, name)


def _volume(name: str, factor: float, word: str = "") -> Unit:
    return Unit(name, "volume", factor, word or name)


UNITS: dict[str, Unit] = {
    unit.name: unit
    for unit in (
        # International avoirdupois pound = 0.45359237 kg exactly (NIST Special Publication 811, appendix B).
        _mass("g", 1.0),
        _mass("kg", 1000.0),
        _mass("mg", 0.001),
        _mass("µg", 1e-6),
        _mass("oz", 28.349523125),
        _mass("lb", 453.59237),
        _volume("ml", 1.0),
        _volume("cl", 10.0),
        _volume("dl", 100.0),
        _volume("l", 1000.0),
        # US gallon = 231 cubic inches = 3785.411784 ml exactly (same source): 16 cups, 128 fluid ounces.
        _volume("fl oz", 29.5735295625),
        _volume("US cup", 236.5882365, "cup"),
        _volume("US tbsp", 14.78676478125, "tbsp"),
        _volume("US tsp", 4.92892159375, "tsp"),
        # Metric kitchen measures: common practice, no source (an Australian tablespoon is 20 ml).
        _volume("metric cup", 250.0, "cup"),
        _volume("metric tbsp", 15.0, "tbsp"),
        _volume("metric tsp", 5.0, "tsp"),
    )
}

_SPELLINGS: dict[str, tuple[str, ...]] = {
    "g": ("gr", "gram", "grams", "gramme", "grammes"),
    "kg": ("kilo", "kilos", "kilogram", "kilograms", "kgs"),
    "mg": ("milligram", "milligrams"),
    "µg": ("μg", "ug", "mcg", "microgram", "micrograms"),
    "oz": ("ounce", "ounces", "ozs"),
    "lb": ("lbs", "pound", "pounds"),
    "ml": ("millilitre", "millilitres", "milliliter", "milliliters"),
    "cl": ("centilitre", "centilitres", "centiliter", "centiliters"),
    "dl": ("decilitre", "decilitres", "deciliter", "deciliters"),
    "l": ("litre", "litres", "liter", "liters"),
    "fl oz": ("floz", "fluid ounce", "fluid ounces", "us fl oz"),
    "cup": ("cups",),
    "tbsp": ("tbsps", "tbs", "tablespoon", "tablespoons"),
    "tsp": ("tsps", "teaspoon", "teaspoons"),
}

_KITCHEN = ("cup", "tbsp", "tsp")


def _all_spellings() -> Iterator[tuple[str, str]]:
    for word, others in _SPELLINGS.items():
        for spelling in (word, *others):
            yield spelling, word
            if word in _KITCHEN:
                yield f"us {spelling}", f"US {word}"
                yield f"metric {spelling}", f"metric {word}"


SPELLINGS: dict[str, str] = dict(_all_spellings())
"""Every accepted spelling, in lower case and without full stops, with the unit's name or the kitchen word."""


def find_unit(text: str, system: System) -> Unit | None:
    """The unit that ``text`` names, in the measure system of the project where it matters; None if there is none."""
    word = SPELLINGS.get(" ".join(text.lower().replace(".", " ").split()))
    if word in _KITCHEN:
        word = f"{'US' if system == 'us' else 'metric'} {word}"
    return UNITS[word] if word else None
