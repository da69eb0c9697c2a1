"""Published energy against energy from the parts, and the factors themselves against their published range."""

from collections.abc import Iterable, Iterator, Mapping

from workbench.base.errors import Place, Problem
from workbench.base.text import N_, _, number
from workbench.composition.bundled import digestibility_groups
from workbench.composition.food import Food
from workbench.composition.label_findings import COMMON_FIBRE_SHARE
from workbench.composition.quality import words
from workbench.composition.quality.sums import (
    CLOSING,
    CLOSURE_NOTICE_G,
    amount,
    available_carbohydrate,
    known_sum,
    total_carbohydrate,
)
from workbench.composition.sources import Digestibility
from workbench.science import energy

# 98.9 % of the foods of USDA SR26 are within 5 kcal of their specific factors.
LEAST_KCAL, SHARE = 5.0, 0.03
# Without a group, specific factors may still be behind the figure: wheat bran is 21 % below the factors of the law.
SHARE_NO_GROUP = 0.22
ENERGY_PARTS_G = 0.5  # below that, a published zero may be rounded

# kcal/g.  Merrill and Watt, USDA Agriculture Handbook 74, rev. 1973: sorghum protein 0.91 to egg 4.36, carbohydrate of
# cocoa 1.33 to rice 4.16, plant fat 8.37 to animal fat 9.02; medium-chain fat 8.3 to 8.4.
FACTOR_RANGES = {
    "kcal_protein": (N_("protein"), 0.9, 4.4),
    "kcal_fat": (N_("fat"), 8.3, 9.1),
    "kcal_carbohydrate": (N_("carbohydrate"), 1.3, 4.2),
}


def energies(food: Food) -> Iterator[Problem]:
    """Every finding about the published energy."""
    stated = amount(food, "ENERC_KCAL")
    if stated is None:
        return
    parts = [amount(food, "PROCNT"), amount(food, "FAT"), total_carbohydrate(food)]
    if parts[2] is None:
        parts[2] = available_carbohydrate(food)
    grams = sum(part or 0.0 for part in parts) + (amount(food, "ALC") or 0.0)
    if stated == 0.0:
        if grams > ENERGY_PARTS_G and food.values["ENERC_KCAL"].kind != "assumed_zero":
            reason = _(words.ZERO_REASONS["energy"], grams=number(grams, 1))
            yield words.ZERO_FOR_MISSING.at(*words.at(food, "ENERC_KCAL"), reason=reason)
        return
    computed = list(_by_every_system(food))
    low, high = min(computed), max(computed) + energy.FAT_KCAL * _unaccounted_g(food)
    share = SHARE if food.digestibility or food.values["ENERC_KCAL"].kind == "label" else SHARE_NO_GROUP
    room = max(LEAST_KCAL, share * stated)
    unknown_part = None in parts
    if stated < low - room or (stated > high + room and not unknown_part):
        in_kj = low - room <= stated / energy.KJ_PER_KCAL <= high + room
        cause = _(words.ENERGY_CAUSES["kj" if in_kj else "other"])
        said = {"stated": number(stated, 0), "low": number(low, 0), "high": number(high, 0)}
        yield words.ENERGY_OFF.at(*words.at(food, "ENERC_KCAL"), cause=cause, **said)


def _unaccounted_g(food: Food) -> float:
    """What no column counts, such as acetic acid; the closure is a finding of its own. [g]"""
    total = total_carbohydrate(food)
    if total is None or not all(tag in food.values for tag in CLOSING):
        return 0.0
    missing = 100.0 - total - known_sum(food, (*CLOSING, "ALC"))
    return missing if missing > CLOSURE_NOTICE_G else 0.0


def _by_every_system(food: Food) -> Iterator[float]:
    """Energy as publishers count it: law, general factors with and without fibre, specific factors. [kcal]

    Unknown parts count as nothing, so that the least is a lower bound.
    """
    protein, fat, alcohol = (amount(food, tag) or 0.0 for tag in ("PROCNT", "FAT", "ALC"))
    total, available = total_carbohydrate(food), available_carbohydrate(food)
    fibre = amount(food, "FIBTG") or 0.0
    base = available if available is not None else total or 0.0
    others = {"alcohol_g": alcohol, "protein_g": protein, "fat_g": fat}
    acids = {
        "polyols_g": min(amount(food, "POLYL") or 0.0, base),
        "organic_acids_g": min(amount(food, "OA") or 0.0, base),
        "erythritol_g": amount(food, "ERYTHL") or 0.0,
    }
    yield energy.energy(energy.EU_KCAL, carbohydrate_g=base, fibre_g=fibre, **acids, **others)
    for carbohydrate in (base, total or base):
        none = {"fibre_g": 0.0, "polyols_g": 0.0, "organic_acids_g": 0.0, "erythritol_g": 0.0}
        yield energy.energy(energy.EU_KCAL, carbohydrate_g=carbohydrate, **none, **others)
    if available is None and food.digestibility == "":  # with unknown fibre, all of it may be fibre
        none = {"carbohydrate_g": 0.0, "polyols_g": 0.0, "organic_acids_g": 0.0, "erythritol_g": 0.0}
        yield energy.energy(energy.EU_KCAL, fibre_g=base, **none, **others)
    if total is None:  # a label need not list its fibre
        room_g = max(0.0, min(100.0 * COMMON_FIBRE_SHARE, 100.0 - protein - fat - base))
        yield energy.energy(energy.EU_KCAL, carbohydrate_g=base, fibre_g=room_g, **acids, **others)
    group = digestibility_groups().get(food.digestibility)
    if group is not None and total is not None:
        factors = (group.kcal_protein or 0.0, group.kcal_fat or 0.0, group.kcal_carbohydrate or 0.0)
        if all(factor or grams <= 0.2 for factor, grams in zip(factors, (protein, fat, total), strict=True)):
            yield energy.specific_energy_kcal(protein, fat, total, alcohol, factors)


def check_factors(groups: Mapping[str, Digestibility] | None = None) -> tuple[Problem, ...]:
    """Energy factors that are outside everything published.

    Parameters
    ----------
    groups : mapping of str to Digestibility, optional
        Digestibility groups by key; by default the bundled ones.
    """
    chosen: Iterable[Digestibility] = (digestibility_groups() if groups is None else groups).values()
    return tuple(_out_of_range(chosen))


def _out_of_range(groups: Iterable[Digestibility]) -> Iterator[Problem]:
    for group in groups:
        for name, (part, low, high) in FACTOR_RANGES.items():
            factor: float | None = getattr(group, name)
            if factor and not low <= factor <= high:  # zero: water and minerals
                said = {"factor": number(factor, 2), "low": number(low, 1), "high": number(high, 1), "part": _(part)}
                yield words.FACTOR_RANGE.at(Place("field", group.key, group.name), **said)
