"""Sums and parts of one row: closure to 100 g, what carbohydrate means, parts above wholes, zeros that mean missing.

Tolerances are those that published tables need.  Of 8,125 foods of USDA SR26, 94 % close within 1 g and 99 % within
2 g; published sugars exceed carbohydrate by up to 0.89 g, because the one is analysed and the other a difference.
"""

from collections.abc import Iterator

from workbench.base.errors import Problem
from workbench.base.text import _, number
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food
from workbench.composition.label_findings import ANALYSIS_SHARE
from workbench.composition.quality import words

CLOSURE_WARNING_G, CLOSURE_NOTICE_G = 2.0, 1.0
ROUNDING_G = 0.1
SUGARS_OVER_CARBOHYDRATE_G = 0.9
CLOSING = ("WATER", "PROCNT", "FAT", "ASH")
SUGARS = ("GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS")
CLASSES = ("FASAT", "FAMS", "FAPU")
ACIDS = ("F4D0", "F6D0", "F8D0", "F10D0", "F12D0", "F14D0", "F16D0", "F18D0")

# Grams of protein per gram of nitrogen other than 6.25: almonds, nuts and seeds, peanuts, wheat, other grains, rice.
# D. B. Jones, USDA Circular 183, 1941; from memory.
JONES_FACTORS = (5.18, 5.30, 5.46, 5.70, 5.83, 5.95)

# Plant tissue, all of which has fibre; sugars, syrups, juices and starches may be free of it.
FIBRE_GROUPS = frozenset(
    ("dry grains", "cooked grains", "dried fruit", "fresh fruit", "nuts", "seeds", "nut and seed butters")
)


def amount(food: Food, tag: str) -> float | None:
    """Grams (or mg, kcal) per 100 g; None where unknown."""
    value = food.values.get(tag)
    return None if value is None else value.value


def known_sum(food: Food, tags: tuple[str, ...]) -> float:
    """What is known of these components together. [g]"""
    return sum(food.values[tag].value for tag in tags if tag in food.values)


def total_carbohydrate(food: Food) -> float | None:
    """Carbohydrate with fibre, if it is exactly known. [g]"""
    if "CHOCDF" in food.values:
        return amount(food, "CHOCDF")
    available, fibre = amount(food, "CHOAVLDF"), amount(food, "FIBTG")
    return None if available is None or fibre is None else available + fibre


def available_carbohydrate(food: Food) -> float | None:
    """Carbohydrate without fibre, if it is exactly known. [g]"""
    if "CHOAVLDF" in food.values:
        return amount(food, "CHOAVLDF")
    total, fibre = amount(food, "CHOCDF"), amount(food, "FIBTG")
    return None if total is None or fibre is None else max(total - fibre, 0.0)


def sums(food: Food) -> Iterator[Problem]:
    """Every finding about sums and parts."""
    yield from _closure(food)
    yield from _carbohydrates(food)
    yield from _single_parts(food)
    yield from _added_parts(food)
    yield from _zeros(food)


def _closure(food: Food) -> Iterator[Problem]:
    if food.origin == "mineral":
        return  # ashing drives off carbon dioxide and the water of crystals: ash is less than the salt
    carbohydrate = total_carbohydrate(food)
    parts = known_sum(food, (*CLOSING, "ALC"))
    complete = carbohydrate is not None and all(tag in food.values for tag in CLOSING)
    total = parts + (carbohydrate if carbohydrate is not None else known_sum(food, ("CHOAVLDF",)))
    gap = total - 100.0
    if not complete:
        if gap > CLOSURE_WARNING_G:
            yield words.OVER_100.at(*words.at(food), total=number(total, 1))
        return
    fibre = amount(food, "FIBTG") or 0.0
    if abs(gap) > CLOSURE_NOTICE_G and fibre > CLOSURE_NOTICE_G:
        said = {"total": number(total, 1), "fibre": number(fibre, 1)}
        if "CHOCDF" in food.values and abs(gap + fibre) <= min(CLOSURE_NOTICE_G, fibre / 2):
            yield words.FIBRE_LEFT_OUT.at(*words.at(food, "CHOCDF"), **said)
            return
        if "CHOCDF" not in food.values and abs(gap - fibre) <= min(CLOSURE_NOTICE_G, fibre / 2):
            yield words.FIBRE_COUNTED_TWICE.at(*words.at(food, "CHOAVLDF"), **said)
            return
    if abs(gap) > CLOSURE_NOTICE_G:
        severe = abs(gap) > CLOSURE_WARNING_G
        kind = words.CLOSURE if severe else words.CLOSURE._replace(severity="notice")
        yield kind.at(*words.at(food), total=number(total, 1))
    else:
        yield from _restated_protein(food, gap)


def _restated_protein(food: Food, gap: float) -> Iterator[Problem]:
    """A small gap that is exactly what restating protein with 6.25 makes."""
    if gap < 0.2:
        return
    protein = food.values["PROCNT"].value
    for factor in JONES_FACTORS:
        if abs(protein * (1.0 - factor / 6.25) - gap) <= 0.01:
            parts = {"total": number(100.0 + gap, 2), "factor": number(factor, 2)}
            yield words.PROTEIN_RESTATED.at(*words.at(food, "PROCNT"), **parts)
            return


def _carbohydrates(food: Food) -> Iterator[Problem]:
    total, fibre, available = (amount(food, tag) for tag in ("CHOCDF", "FIBTG", "CHOAVLDF"))
    if total is None or fibre is None or available is None or abs(total - fibre - available) <= CLOSURE_NOTICE_G:
        return
    parts = {"available": number(available, 1), "total": number(total, 1), "fibre": number(fibre, 1)}
    yield words.CARBOHYDRATES_APART.at(*words.at(food, "CHOAVLDF"), **parts)


def _single_parts(food: Food) -> Iterator[Problem]:
    carbohydrate = "CHOCDF" if "CHOCDF" in food.values else "CHOAVLDF"
    pairs = [
        ("FIBTG", "CHOCDF", ROUNDING_G),
        ("SUGAR", carbohydrate, SUGARS_OVER_CARBOHYDRATE_G),
        ("STARCH", carbohydrate, ANALYSIS_SHARE * 100.0),
        ("DEXTN", carbohydrate, ROUNDING_G),
        ("POLYL", carbohydrate, ROUNDING_G),
        ("ERYTHL", "POLYL", ROUNDING_G),
        *((sugar, "SUGAR", 0.3) for sugar in SUGARS),
        *((kind, "FIBTG", ROUNDING_G) for kind in ("FIBSOL", "FIBINS")),
        *((acids, "FAT", ROUNDING_G) for acids in (*CLASSES, "FATRN")),
        *((acid, "FASAT", ROUNDING_G) for acid in ACIDS),
    ]
    for part, whole, spare in pairs:
        a, b = amount(food, part), amount(food, whole)
        if a is not None and b is not None and a > b + spare:
            title = _(COMPONENTS[whole].title)
            parts = {"part_g": number(a, 2), "whole": title, "whole_g": number(b, 2)}
            yield words.PART_OVER_WHOLE.at(*words.at(food, part), **parts)


def _added_parts(food: Food) -> Iterator[Problem]:
    """Parts that are possible one by one but not together."""
    analysis_g = ANALYSIS_SHARE * 100.0
    available = available_carbohydrate(food)
    carbohydrate = "CHOAVLDF" if "CHOAVLDF" in food.values else "CHOCDF"
    yield from _together(food, ("SUGAR", "STARCH", "DEXTN"), carbohydrate, available, over=analysis_g, under=None)
    sugars = amount(food, "SUGAR")
    yield from _together(food, SUGARS, "SUGAR", sugars, over=1.0, under=0.05 * (sugars or 0.0) + 1.0)
    fibre = amount(food, "FIBTG")
    yield from _together(food, ("FIBSOL", "FIBINS"), "FIBTG", fibre, over=0.3, under=0.3)
    saturated = amount(food, "FASAT")
    yield from _together(food, ACIDS, "FASAT", saturated, over=0.15 + 0.05 * (saturated or 0.0), under=None)


def _together(
    food: Food, tags: tuple[str, ...], whole: str, whole_g: float | None, *, over: float, under: float | None
) -> Iterator[Problem]:
    known = [tag for tag in tags if tag in food.values]
    if whole_g is None or len(known) < 2:
        return
    total = known_sum(food, tags)
    excess = total - whole_g
    if excess > over and max(food.values[tag].value for tag in known) <= whole_g + over:
        kind = words.PARTS_OVER_WHOLE
    elif under is not None and len(known) == len(tags) and -excess > under:
        kind = words.PARTS_UNDER_WHOLE
    else:
        return
    named = ", ".join(_(COMPONENTS[tag].title) for tag in known if food.values[tag].value > 0.0)
    parts = {"parts": named or _("the parts"), "part_g": number(total, 1), "whole_g": number(whole_g, 1)}
    yield kind.at(*words.at(food, whole), **parts)


def _zeros(food: Food) -> Iterator[Problem]:
    fat = amount(food, "FAT") or 0.0
    published = {tag: v.value for tag, v in food.values.items() if v.kind in ("measured", "calculated")}
    if fat >= 1.0 and published.get("FASAT") == 0.0:
        yield words.ZERO_FOR_MISSING.at(
            *words.at(food, "FASAT"), reason=_(words.ZERO_REASONS["fat"], grams=number(fat, 1))
        )
    if food.group in FIBRE_GROUPS and published.get("FIBTG") == 0.0:
        reason = _(words.ZERO_REASONS["fibre"], group=food.group)
        yield words.ZERO_FOR_MISSING.at(*words.at(food, "FIBTG"), reason=reason)
