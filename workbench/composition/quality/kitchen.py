"""What the kitchen relies on in one row: density, measures, waste, spread, and water that fits the name."""

import math
import re
from collections.abc import Iterator
from typing import NamedTuple

from workbench.base.errors import Problem
from workbench.base.text import _, number
from workbench.base.units import find_unit
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food
from workbench.composition.quality import words
from workbench.composition.quality.sums import amount

# g/ml: sugar syrups by their solids at 20 °C, oils by Codex STAN 210, the rest by cups of USDA SR26, with room.
DENSITY_BANDS = {
    "syrup": (1.28, 1.47),
    "fat": (0.85, 0.96),
    "liquid": (0.95, 1.15),
    "dry": (0.02, 1.3),  # popcorn to salt
    "any": (0.02, 1.5),
}
MEASURES_RATIO = 1.18  # powders vary by 15 % with packing

DRY_WORDS = frozenset(("dry", "dried", "flour", "starch", "powder", "flakes", "desiccated", "flaked", "pearls"))
COOKED_WORDS = frozenset(("cooked", "boiled", "simmered", "steamed", "porridge"))
WET_WORDS = frozenset(("gel", "soaked", "prepared"))
CLEANED_WORDS = frozenset(("shelled", "hulled", "kernels", "peeled", "pitted", "stoned", "blanched", "boneless"))
MOST_WATER_DRY, LEAST_WATER_COOKED = 50.0, 30.0


def name_words(food: Food) -> tuple[str, ...]:
    """The words of the English name, in lower case."""
    return tuple(re.findall(r"[^\W\d_]+", food.name.casefold()))


def kitchen(food: Food) -> Iterator[Problem]:
    """Every finding about kitchen facts."""
    yield from _densities(food)
    yield from _waste(food)
    yield from _water(food)
    yield from _spread(food)


def _density_kind(food: Food) -> str:
    water, fat, sugars, fibre = (amount(food, tag) for tag in ("WATER", "FAT", "SUGAR", "FIBTG"))
    if fat is not None and fat >= 98.0:
        return "fat"
    if water is None:
        return "any"
    carbohydrate = amount(food, "CHOCDF") or amount(food, "CHOAVLDF") or sugars or 0.0
    no_tissue = food.group == "sugars and syrups" or (fibre is not None and fibre <= 2.0 and (fat or 0.0) <= 2.0)
    if 15.0 <= water <= 40.0 and carbohydrate >= 55.0 and no_tissue and (amount(food, "PROCNT") or 0.0) <= 3.0:
        return "syrup"
    if "liquid" in food.roles and water >= 60.0:
        return "liquid"
    return "dry" if water < 15.0 else "any"


def _densities(food: Food) -> Iterator[Problem]:
    found = _weighed(food)
    if not found:
        return
    kind = _density_kind(food)
    low, high = DENSITY_BANDS[kind]
    for one in found:
        if one.most < low or one.least > high:
            said = {"density": number(one.middle, 2), "low": number(low, 2), "high": number(high, 2)}
            yield words.DENSITY.at(*words.at(food), where=one.where, kind=_(words.DENSITY_KINDS[kind]), **said)
            return  # the others are often copies of it
    heavy, light = max(found, key=lambda one: one.least), min(found, key=lambda one: one.most)
    if heavy.least > MEASURES_RATIO * light.most:
        said = {"high": number(heavy.middle, 2), "low": number(light.middle, 2)}
        yield words.MEASURES_APART.at(*words.at(food), heavy=heavy.where, light=light.where, **said)


class _Weighed(NamedTuple):
    """A density and where it comes from; tables round a spoon to whole grams, which leaves a range. [g/ml]"""

    where: str
    least: float
    most: float

    @property
    def middle(self) -> float:
        return (self.least + self.most) / 2.0


def _weighed(food: Food) -> list[_Weighed]:
    found = []
    if food.density_g_per_ml is not None:
        found.append(_Weighed(_("the density"), food.density_g_per_ml, food.density_g_per_ml))
    for measure in food.measures:
        unit = find_unit(measure.name, "us" if measure.source else "metric")
        if unit is not None and unit.kind == "volume":
            rounding = 0.5 if measure.grams == round(measure.grams) else 0.05
            least, most = ((measure.grams + side) / unit.factor for side in (-rounding, rounding))
            found.append(_Weighed(_("the {measure}", measure=measure.name), least, most))
    return found


def _waste(food: Food) -> Iterator[Problem]:
    if food.edible_fraction >= 1.0 or food.bought_as:
        return
    percent = number(100.0 * (1.0 - food.edible_fraction), 0)
    cleaned = next((word for word in name_words(food) if word in CLEANED_WORDS), "")
    reason = _(words.WASTE_REASONS["cleaned" if cleaned else "unsaid"], word=cleaned)
    yield words.WASTE.at(*words.at(food), percent=percent, reason=reason)


def _water(food: Food) -> Iterator[Problem]:
    water = amount(food, "WATER")
    if water is None:
        return
    named = name_words(food)
    cooked = next((word for word in named if word in COOKED_WORDS), "")
    dry = next((word for word in named if word in DRY_WORDS), "")
    # "flour, cooked" may be either: only names that say one thing are held to it.
    if dry and not cooked and WET_WORDS.isdisjoint(named) and water > MOST_WATER_DRY:
        yield words.WATER_DRY.at(*words.at(food, "WATER"), water=number(water, 0), word=dry)
    if cooked and not dry and water < LEAST_WATER_COOKED:
        yield words.WATER_COOKED.at(*words.at(food, "WATER"), water=number(water, 0), word=cooked)


def _spread(food: Food) -> Iterator[Problem]:
    """Amounts are between 0 and 100 g, which bounds their spread.

    The population variance of numbers from 0 to 100 with mean m is at most m (100 - m) (Bhatia and Davis, 2000), and
    that of n numbers from 0 up at most m² (n - 1); a sample's is n / (n - 1) times as much.
    """
    for tag, value in food.values.items():
        if value.sd is None or value.n is None or value.n < 2:
            continue
        decimals = 2 if COMPONENTS[tag].unit == "g" else COMPONENTS[tag].decimals
        mean = value.value + 0.5 * 10.0**-decimals  # before it was rounded
        most = mean * math.sqrt(value.n)
        if COMPONENTS[tag].unit == "g":
            room = max(mean * (100.0 - value.value), 0.0)
            most = min(most, math.sqrt(room * value.n / (value.n - 1)))
        if value.sd > most + 0.5 * 10.0**-decimals:
            said = {"sd": number(value.sd, decimals), "mean": number(value.value, decimals)}
            yield words.SPREAD.at(*words.at(food, tag), n=value.n, most=number(most, decimals), **said)
