"""The fatty acids of one row: what they are per, whether they leave room for glycerol, and the standards of oils."""

from collections.abc import Iterator

from workbench.base.errors import Problem
from workbench.base.text import _, number
from workbench.composition.bundled import fat_profiles
from workbench.composition.food import Food
from workbench.composition.quality import words
from workbench.composition.quality.sums import CLASSES, amount, known_sum

# Fatty acids / fat.  Greenfield and Southgate, Food Composition Data, FAO 2003, table A5.1: 0.956 of most fats,
# 0.942 of coconut oil, 0.945 of milk, 0.83 of eggs, 0.72 and less of grains.
MOST_SHARE = 0.975
OF_ACIDS_SHARE = 0.985  # from here on they add up to the fat itself
LEAST_SHARE_OIL, LEAST_SHARE_FATTY, LEAST_SHARE = 0.90, 0.82, 0.55
OIL_G, FATTY_G, SOME_FAT_G = 90.0, 20.0, 5.0

# Percent of all fatty acids.  Codex STAN 210-1999, Named Vegetable Oils, table 1.
CODEX_PERCENT: dict[str, dict[str, tuple[float, float]]] = {
    "coconut": {
        "F6D0": (0.0, 0.7),
        "F8D0": (4.6, 10.0),
        "F10D0": (5.0, 8.0),
        "F12D0": (45.1, 53.2),
        "F14D0": (16.8, 21.0),
        "F16D0": (7.5, 10.2),
        "F18D0": (2.0, 4.0),
    },
    "palm_kernel": {
        "F6D0": (0.0, 0.8),
        "F8D0": (2.4, 6.2),
        "F10D0": (2.6, 5.0),
        "F12D0": (45.0, 55.0),
        "F14D0": (14.0, 18.0),
        "F16D0": (6.5, 10.0),
        "F18D0": (1.0, 3.0),
    },
    "babassu": {
        "F8D0": (2.6, 7.3),
        "F10D0": (1.2, 7.6),
        "F12D0": (40.0, 55.0),
        "F14D0": (11.0, 27.0),
        "F16D0": (5.2, 11.0),
        "F18D0": (1.8, 7.4),
    },
}
_STANDARD = {"coconut_oil": "coconut", "palm_kernel": "palm_kernel", "babassu": "babassu"}
_ROUNDING_PERCENT = 0.1


def fats(food: Food) -> Iterator[Problem]:
    """Every finding about the fatty acids."""
    fat = amount(food, "FAT")
    if fat is None or fat <= 0.0:
        return
    acids = known_sum(food, CLASSES)
    complete = all(tag in food.values for tag in CLASSES)
    if complete and fat >= SOME_FAT_G:
        yield from _share(food, acids, fat)
    elif acids > fat + max(0.1, 0.02 * fat):
        yield _basis(food, acids, fat)
    yield from _standard(food, acids if complete else fat * 0.95)


def _share(food: Food, acids: float, fat: float) -> Iterator[Problem]:
    share = acids / fat
    least = LEAST_SHARE_OIL if fat >= OIL_G else LEAST_SHARE_FATTY if fat >= FATTY_G else LEAST_SHARE
    if share > OF_ACIDS_SHARE and (fat >= OIL_G or acids > 1.02 * fat):
        yield _basis(food, acids, fat)
    elif share > MOST_SHARE:
        yield words.NO_GLYCEROL.at(*words.at(food, "FAT"), share=number(share, 3))
    elif share < least:
        yield words.ACIDS_INCOMPLETE.at(*words.at(food, "FAT"), share=number(share, 2), least=number(least, 2))


def _basis(food: Food, acids: float, fat: float) -> Problem:
    share = "0.942" if "coconut" in food.fat_profile else "0.956"
    source = _("The share is that of FAO 2003, table A5.1.")
    parts = {"acids": number(acids, 1), "fat": number(fat, 1), "share": share, "source": source}
    return words.FATTY_ACID_BASIS.at(*words.at(food, "FAT"), **parts)


def _standard(food: Food, acids: float) -> Iterator[Problem]:
    """Acids of the oils whose medium chains matter here, against their standard."""
    ranges = CODEX_PERCENT.get(_STANDARD.get(food.fat_profile, ""), {})
    for tag, (low, high) in ranges.items():
        grams = amount(food, tag)
        if grams is None or food.values[tag].kind == "derived" or acids <= 0.0:
            continue
        percent = 100.0 * grams / acids
        if not low - _ROUNDING_PERCENT <= percent <= high + _ROUNDING_PERCENT:
            parts = {"percent": number(percent, 1), "low": number(low, 1), "high": number(high, 1)}
            name = _(fat_profiles()[food.fat_profile].name)
            yield words.ACID_OUT_OF_RANGE.at(*words.at(food, tag), fat=name, **parts)
