"""The named rules that fill gaps in a food's composition.

Each rule can be switched off and marks what it adds as ``derived`` or ``assumed_zero`` with its own key; a published
value is never touched.  Pure functions on one food.
"""

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

import msgspec

from workbench.base.text import N_
from workbench.composition.bundled import fat_profiles
from workbench.composition.food import Food, Value
from workbench.composition.value_columns import columns_of

Values = Mapping[str, Value]
Added = Iterator[tuple[str, Value]]


class Rule(NamedTuple):
    """A way to fill gaps: key, words for the screen, and the function that gives the missing values."""

    key: str
    title: str
    explanation: str
    apply: Callable[[Food, Values], Added]


_SUGARS = ("GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS")
_ANIMAL = ("dairy", "egg", "animal")

# Zero by origin.  Added sugar, starch or fibre in a mixed food would be published in its row; these rules fill blanks
# of single foods only.
_ZERO_BY_ORIGIN: Mapping[str, tuple[str, ...]] = {
    # Lactose is the sugar of milk, cholesterol the sterol of animals, butyric acid C4:0 an acid of ruminant milk fat.
    # Free galactose is left open: fruit and honey carry some.
    "plant": ("LACS", "CHOLE", "F4D0"),
    # Honey is made from nectar and honeydew.
    "bee": ("LACS", "CHOLE", "F4D0", "STARCH", "FIBSOL", "FIBINS"),
    # Fibre and starch are parts of plant cells.
    "dairy": ("FIBTG", "FIBSOL", "FIBINS", "STARCH", "DEXTN"),
    "egg": ("FIBTG", "FIBSOL", "FIBINS", "STARCH", "DEXTN", "LACS", "F4D0"),
    "animal": ("FIBTG", "FIBSOL", "FIBINS", "STARCH", "DEXTN"),
    "mineral": ("LACS", "CHOLE", "F4D0", "CAFFN", "FATRN"),
}

_NO_CARBOHYDRATE = (
    "CHOCDF",
    "FIBTG",
    "FIBSOL",
    "FIBINS",
    "SUGAR",
    *_SUGARS,
    "STARCH",
    "DEXTN",
    "POLYL",
    "ERYTHL",
    "OA",
)
_NOT_FERMENTED_OR_ADDED = ("ALC", "DEXTN", "POLYL")
# Caffeine is made by coffee, tea, cocoa, maté, guaraná and cola plants, which are in none of the groups below.

# Zero by group of the bundled table.
_ZERO_BY_GROUP: Mapping[str, tuple[str, ...]] = {
    "dry grains": (*_NOT_FERMENTED_OR_ADDED, "CAFFN"),
    "cooked grains": (*_NOT_FERMENTED_OR_ADDED, "CAFFN"),
    "flours and starches": (*_NOT_FERMENTED_OR_ADDED, "CAFFN"),
    # Syrups may hold dextrins and none is a polyol; sugar crystals and saps hold no caffeine.
    "sugars and syrups": ("ALC", "POLYL", "CAFFN"),
    "polyols and soluble fibres": ("ALC", "CAFFN"),
    # Fruit holds sorbitol and acids, so polyols stay open; sound fruit has not fermented.
    "dried fruit": ("ALC", "DEXTN", "CAFFN"),
    "fresh fruit": ("ALC", "DEXTN", "CAFFN"),
    "juices": ("DEXTN", "CAFFN"),
    "nuts": (*_NOT_FERMENTED_OR_ADDED, "CAFFN"),
    "seeds": (*_NOT_FERMENTED_OR_ADDED, "CAFFN"),
    "nut and seed butters": ("ALC", "POLYL", "CAFFN"),
    "coconut": ("ALC", "POLYL", "CAFFN"),
    "dairy": ("ALC", "POLYL", "CAFFN"),
    "egg": ("ALC", "POLYL", "CAFFN"),
    "oils and fats": ("ALC", "CAFFN"),  # whatever is nothing but fat holds more zeros, see below
    "protein and legumes": (*_NOT_FERMENTED_OR_ADDED, "CAFFN"),
    "potatoes and vegetables": (*_NOT_FERMENTED_OR_ADDED, "CAFFN"),
    "spices and flavourings": (),
    "seasonings": (*_NO_CARBOHYDRATE, "PROCNT", "FAT", "ALC"),  # salt
    "water": (*_NO_CARBOHYDRATE, "PROCNT", "FAT", "ALC"),
}

_FATTY_ACIDS = (
    "FASAT", "FAMS", "FAPU", "FATRN", "F4D0", "F6D0", "F8D0", "F10D0", "F12D0", "F14D0", "F16D0", "F18D0"
)  # fmt: skip


def _zero(tag: str, rule: str, note: str) -> tuple[str, Value]:
    return tag, Value(0.0, "assumed_zero", rule=rule, note=note)


def _true_zeros(food: Food, known: Values) -> Added:
    by_nature = {tag: N_("this food cannot contain it") for tag in food.cannot_contain}
    for tag in _ZERO_BY_ORIGIN.get(food.origin, ()) if _unmixed(food, known) else ():
        by_nature.setdefault(tag, N_("foods of this origin do not contain it"))
    for tag in _ZERO_BY_GROUP.get(food.group, ()):
        by_nature.setdefault(tag, N_("foods of this group do not contain it"))
    # A whole that is known to be zero has no parts.
    for whole, parts in (
        ("CHOCDF", _NO_CARBOHYDRATE),
        ("FIBTG", ("FIBSOL", "FIBINS")),
        ("SUGAR", _SUGARS),
        ("POLYL", ("ERYTHL",)),
        ("FAT", _FATTY_ACIDS),
    ):
        if (whole in known and known[whole].value == 0) or (whole in by_nature and whole not in known):
            for tag in parts:
                by_nature.setdefault(tag, N_("the whole that it is part of is zero"))
    # Pure fat: nothing else is left to be.
    if "FAT" in known and known["FAT"].value >= _PURE_FAT_G:
        for tag in (*_NO_CARBOHYDRATE, "PROCNT", "ALC"):
            by_nature.setdefault(tag, N_("a pure fat holds nothing else"))
    for tag, note in by_nature.items():
        yield _zero(tag, "true_zeros", note)


_PURE_FAT_G = 99.9


def _unmixed(food: Food, known: Values) -> bool:
    """Whether origin alone decides: not for plants that may hold milk, nor for milk with cocoa or fibre in it."""
    if food.origin in _ANIMAL:
        return all(known[tag].value == 0 for tag in ("FIBTG", "STARCH") if tag in known)
    return "milk" not in (*(food.contains or ()), *food.may_contain)


# In these groups what is left of the carbohydrate is largely not starch: acids and sorbitol of fruit, polyphenols of
# cocoa and coffee, essential oils and resins of spices, minerals of baking powder, pectin and gelatine.  Measured
# in SR26: prunes 18.7 g left but 5.1 g starch, lemon juice 4.1 and none, raisins 16.3 and 2.7.
_NOT_STARCH = frozenset(
    (
        "dried fruit",
        "fresh fruit",
        "juices",
        "cocoa and chocolate",
        "spices and flavourings",
        "leavening",
        "setting agents",
        "sugars and syrups",
        "polyols and soluble fibres",
    )
)


def _starch_by_difference(food: Food, known: Values) -> Added:
    if "STARCH" in known or food.group in _NOT_STARCH:
        return
    available = _available(known)
    sugars = known["SUGAR"].value if "SUGAR" in known else None
    if sugars is None and all(tag in known for tag in _SUGARS):
        sugars = sum(known[tag].value for tag in _SUGARS)
    if sugars is None and "SUGAR" in food.limits:
        sugars = food.limits["SUGAR"]  # the most there can be: what is left is starch for certain
    if available is None or sugars is None:
        return
    other = sum(known[tag].value for tag in ("DEXTN", "POLYL", "OA") if tag in known)
    left = available - sugars - other
    note = N_("carbohydrate without fibre less sugars; holds whatever else is neither")
    if left < 0:
        note = N_("the published sugars exceed the carbohydrate, so nothing is left for starch")
    base = known["CHOAVLDF" if "CHOAVLDF" in known else "CHOCDF"]
    yield ("STARCH", Value(max(0.0, left), "derived", base.source, base.code, "starch_by_difference", note=note))


def _available(known: Values) -> float | None:
    """Carbohydrate without fibre, if it is exactly known. [g]"""
    if "CHOAVLDF" in known:
        return known["CHOAVLDF"].value
    if "CHOCDF" in known and "FIBTG" in known:
        return known["CHOCDF"].value - known["FIBTG"].value
    return None


def _medium_chain(food: Food, known: Values) -> Added:
    profile = fat_profiles().get(food.fat_profile)
    if profile is None or "FAT" not in known:
        return
    for acid, g_per_100_g_fat in profile.acids.items():
        if acid not in known:
            grams = known["FAT"].value * g_per_100_g_fat / 100.0
            note = N_("fat of this food x the acids of its kind of fat")
            yield acid, Value(grams, "derived", profile.source, profile.code, "medium_chain_from_profile", note=note)


RULES: Mapping[str, Rule] = {
    rule.key: rule
    for rule in (  # in this order: the zeros first, the others build on them
        Rule(
            "true_zeros",
            N_("Zero by nature"),
            N_(
                "A component that a food cannot contain counts as zero instead of unknown: no fibre in milk, no "
                "lactose in plants, no carbohydrate in oil."
            ),
            _true_zeros,
        ),
        Rule(
            "starch_by_difference",
            N_("Starch by difference"),
            N_(
                "Where starch is not published, it is carbohydrate without fibre less sugars, never below zero; not "
                "for fruit, cocoa, spices and syrups, whose remainder is acids, polyols and dextrins."
            ),
            _starch_by_difference,
        ),
        Rule(
            "medium_chain_from_profile",
            N_("Medium-chain acids from the kind of fat"),
            N_("Where the acids C4 to C12 are not published, they are fat times the published acids of that fat."),
            _medium_chain,
        ),
    )
}
ALL_RULES = frozenset(RULES)


def looked_at(food: Food) -> tuple[object, ...]:
    """All that the rules look at to say which gaps they can fill; foods alike in it lack the same afterwards."""
    columns = columns_of(food.values)
    tags, amounts = columns.tags, columns.amounts()
    return (
        tags,
        tuple([tag for tag, amount in zip(tags, amounts, strict=True) if amount == 0]) if 0.0 in amounts else (),
        "FAT" in tags and amounts[tags.index("FAT")] >= _PURE_FAT_G,
        "SUGAR" in food.limits,
        "milk" in (*(food.contains or ()), *food.may_contain),
        food.origin,
        food.group,
        food.cannot_contain,
        food.fat_profile,
    )


def fill_gaps(food: Food, rules: frozenset[str] = ALL_RULES) -> Food:
    """``food`` with the gaps filled that the chosen rules can fill.

    Parameters
    ----------
    food : Food
        Composition per 100 g edible part.
    rules : frozenset of str
        Keys of ``RULES`` that are switched on.

    Returns
    -------
    Food
        The same food with additional values; known values are the same objects as before.
    """
    values = dict(food.values)
    for rule in RULES.values():
        if rule.key in rules:
            added = dict(rule.apply(food, values))
            values |= {tag: value for tag, value in added.items() if tag not in values}
    return food if len(values) == len(food.values) else msgspec.structs.replace(food, values=values)
