"""One food as a row of the matrix: every linear quantity per gram, as an interval.

The formulas are those of ``workbench.science``; what is added here is what a blank does to each of them, worked food by
food.  A blank under a plus opens the interval upward, a blank under a minus opens it downward, and a published whole
limits its missing parts (fibre cannot exceed total carbohydrate).
"""

import math
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.composition.bundled import digestibility_groups
from workbench.composition.components import COMPONENTS
from workbench.composition.derive import RULES, fill_gaps
from workbench.composition.food import Food
from workbench.composition.nitrogen import LABEL_FACTOR, nitrogen_factor
from workbench.document.project import Assumptions
from workbench.recipe.cost import cost_per_gram
from workbench.recipe.quantities import LINEAR
from workbench.science import energy, fats
from workbench.science.carbohydrate import BY_MASS, Split, hydrolysed
from workbench.science.interval import UNKNOWN, ZERO, Interval, exact, total, up_to
from workbench.science.residue import Digestibility, undigested_organic, undigested_with_fibre

Floats = npt.NDArray[np.float64]
Known = Mapping[str, float]
Intervals = Mapping[str, Interval]

SUGARS = ("GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS")
ACIDS = ("F4D0", *fats.MEDIUM_CHAIN_AND_LAURIC, "F14D0", "F16D0", "F18D0")
FAT_FAMILY = ("FAT", "FASAT", "FAMS", "FAPU", "FATRN", *ACIDS)
"""What a loss of fat takes away."""


class _Parts(NamedTuple):
    """Parts of a whole, and how far published parts together exceed it. [g per 100 g]"""

    whole: str
    parts: tuple[str, ...]
    excess: float


# A whole limits its missing parts, and known parts are the least that a missing whole can be.  The excesses are the
# largest among the foods of USDA SR26; of fats and acids, one row in a hundred contradicts itself by more.
_CARBOHYDRATE = _Parts("CHOAVLDF", ("SUGAR", "STARCH", "DEXTN", "POLYL", "OA"), 3.5)
_POLYOLS = _Parts("POLYL", ("ERYTHL",), 0.0)
_SUGAR = _Parts("SUGAR", SUGARS, 0.8)
_FIBRE = _Parts("FIBTG", ("FIBSOL", "FIBINS"), 0.0)
_FAT = _Parts("FAT", ("FASAT", "FAMS", "FAPU"), 0.1)
_SATURATED = _Parts("FASAT", ACIDS, 0.1)
_WHOLES = (_CARBOHYDRATE, _POLYOLS, _SUGAR, _FIBRE, _FAT, _SATURATED)  # from the largest down
_CARBOHYDRATE_OVER_TOTAL = 2.0  # the same against total carbohydrate, which the fibre of the food leaves more room
_MOST_KCAL = 9.5  # no constituent gives more per gram than fat burned outright


class Row(NamedTuple):
    """One food, per gram of edible part, in the order of ``quantities.LINEAR``; ``high`` may be infinite."""

    value: Floats
    low: Floats
    high: Floats


def rules_in_use(assumptions: Assumptions) -> frozenset[str]:
    """Keys of the rules that may fill gaps; each has a switch of its own name."""
    return frozenset(rule for rule in RULES if getattr(assumptions, rule))


def food_row(food: Food, assumptions: Assumptions, retention: Mapping[str, float], currency: str = "") -> Row:
    """All linear quantities of a food.

    Parameters
    ----------
    food : Food
        Composition per 100 g edible part.
    assumptions : Assumptions
        Which rules may fill gaps, and what counts as medium-chain fat.
    retention : mapping of str to float
        Fraction of a component that stays; 1 where absent.
    currency : str
        The one that costs are counted in; other prices count as not known.

    Returns
    -------
    Row
        Arrays of shape (n_linear,), amounts per gram of edible part.
    """
    filled = fill_gaps(food, rules_in_use(assumptions)).values
    known = {tag: v.value * retention.get(tag, 1.0) for tag, v in filled.items()}
    limits = {tag: most * retention.get(tag, 1.0) for tag, most in food.limits.items()}
    found = _components(known, limits)
    found |= _carbohydrate_types(known, found)
    found |= _fats(known, found, assumptions.lauric_counts)
    found |= _energies(known, found, food.digestibility)
    found |= _residues(found, food.digestibility)
    cost = cost_per_gram(food, currency)
    found["cost"] = UNKNOWN if cost is None else exact(100.0 * cost)
    found["weight"] = exact(100.0)
    found["salt"] = energy.salt_g(found["NA"])
    found |= _for_a_label(found, nitrogen_factor(food))
    found["fibre_unsplit"] = found["FIBTG"].less(found["FIBSOL"] + found["FIBINS"])
    table = np.array([(x.value, x.low, x.high) for x in (found[q.key] for q in LINEAR)]) / 100.0
    table.setflags(write=False)
    return Row(table[:, 0], table[:, 1], table[:, 2])


def _components(known: Known, limits: Known) -> dict[str, Interval]:
    found = {tag: exact(known[tag]) if tag in known else UNKNOWN for tag in COMPONENTS}
    for tag in (
        limits.keys() - known.keys()
    ):  # "less than": the middle stands for it, as is usual below a detection limit
        found[tag] = Interval(limits[tag] / 2.0, 0.0, limits[tag])
    for whole, parts, excess in reversed(_WHOLES):
        if whole not in known:
            least = total(found[part] for part in parts)
            value = least.value if found[whole] == UNKNOWN else max(found[whole].value, least.value)
            found[whole] = Interval(value, max(least.low - excess, 0.0), max(found[whole].high, value))
    if "CHOCDF" not in known:  # a pack label gives carbohydrate without fibre
        found["CHOCDF"] = found["CHOAVLDF"] + found["FIBTG"]
    else:
        if "FIBTG" not in known:
            rest = found["CHOCDF"].less(found["CHOAVLDF"])
            found["FIBTG"] = rest if "CHOAVLDF" in known else _at_most(found["FIBTG"], rest.high)
        if "CHOAVLDF" not in known:
            rest = found["CHOCDF"].less(found["FIBTG"])
            found["CHOAVLDF"] = _at_most(rest, limits.get("CHOAVLDF", math.inf))
    for group in _WHOLES:
        room = _room(found, group)
        for part in group.parts:
            if part not in known:
                found[part] = _at_most(found[part], found[part].low + room)
    if "FATRN" not in known:  # counted among the others as well
        found["FATRN"] = _at_most(found["FATRN"], found["FAT"].high)
    return found


def _at_most(amount: Interval, high: float) -> Interval:
    return Interval(amount.value, amount.low, max(min(amount.high, high), amount.value))


def _room(found: Intervals, group: _Parts) -> float:
    """What the missing parts of a whole can be together."""
    most = found[group.whole].high + group.excess
    if group is _CARBOHYDRATE:
        most = min(most, found["CHOCDF"].high + _CARBOHYDRATE_OVER_TOTAL)
    return max(most - sum(found[part].low for part in group.parts), 0.0)


def _carbohydrate_types(known: Known, found: Intervals) -> dict[str, Interval]:
    """Glucose-type, fructose-type, galactose and the rest, with what is unsplit kept in the rest."""
    available = found["CHOAVLDF"]
    split = [tag for tag in BY_MASS if tag in known]
    listed = sum(known[tag] for tag in split)
    missing_sugars = [tag for tag in SUGARS if tag not in known]
    # Sugar that is known to be there, but not which.
    single = sum(known[tag] for tag in SUGARS if tag in known)
    sugars = max(known.get("SUGAR", single), single)
    unsplit = sugars - single if missing_sugars else 0.0
    # Carbohydrate that may be anything not yet named: starch, dextrins, or sugars where not even their sum is known.
    open_tags = [tag for tag in ("STARCH", *(missing_sugars if "SUGAR" not in known else ())) if tag not in known]
    open_g = 0.0
    if open_tags:
        open_g = _room(found, _CARBOHYDRATE)
    elif "DEXTN" not in known:  # what is left of the carbohydrate; dextrins do not exceed it as starch does
        others = sum(known.get(tag, 0.0) for tag in ("STARCH", "POLYL", "OA"))
        open_g = max(available.high - sugars - others, 0.0)
    if "DEXTN" not in known:
        open_tags.append("DEXTN")

    open_sugar_g = min(open_g, max(found["SUGAR"].high - single, 0.0))

    def part(shares: Mapping[str, Split], which: int) -> Interval:
        base = sum(known[tag] * shares[tag][which] for tag in split)
        of_unsplit = [shares[tag][which] for tag in missing_sugars] or [0.0]
        of_sugar = max((shares[tag][which] for tag in open_tags if tag in SUGARS), default=0.0)
        of_other = max((shares[tag][which] for tag in open_tags if tag not in SUGARS), default=0.0)
        low = base + unsplit * min(of_unsplit)
        # As much as can be of whichever gives more.
        opened = open_g * of_other if of_other else 0.0
        if of_sugar > of_other:
            opened = open_sugar_g * of_sugar + ((open_g - open_sugar_g) * of_other if of_other else 0.0)
        return Interval(low, low, base + unsplit * max(of_unsplit) + opened)

    glucose, fructose, galactose = (part(BY_MASS, which) for which in range(3))
    # The rest may shrink by all that turns out to be one of the three.
    named = Interval(*(glucose.low + fructose.low + galactose.low,) * 2, listed + unsplit + open_g)
    by_digestion = {tag: hydrolysed(tag) for tag in BY_MASS}
    return {
        "glucose_type": glucose,
        "fructose_type": fructose,
        "galactose": galactose,
        "other_carbohydrate": available.less(named),
        "glucose_hydrolysed": part(by_digestion, 0),
        "fructose_hydrolysed": part(by_digestion, 1),
    }


def _fats(known: Known, found: Intervals, lauric_counts: bool) -> dict[str, Interval]:
    """Medium-chain and lauric acid, and what is left up to total fat."""
    room = _room(found, _SATURATED)

    def acids(tags: tuple[str, ...], weight: Mapping[str, float]) -> Interval:
        base = sum(known[tag] * weight[tag] for tag in tags if tag in known)
        missing = max((weight[tag] for tag in tags if tag not in known), default=0.0)
        return Interval(base, base, base + room * missing if missing else base)

    by_weight = dict.fromkeys(fats.MEDIUM_CHAIN_AND_LAURIC, 1.0)
    to_c10 = acids(fats.MEDIUM_CHAIN, by_weight)
    to_c12 = acids(fats.MEDIUM_CHAIN_AND_LAURIC, by_weight)
    saturated = found["FASAT"]
    unsaturated = found["FAMS"] + found["FAPU"]
    unsaturated = _at_most(unsaturated, found["FAT"].high - saturated.low + _FAT.excess)
    return {
        "mct_c6_c10": to_c10,
        "mct_c6_c12": to_c12,
        "medium_chain": to_c12 if lauric_counts else to_c10,
        "mct_oil": acids(fats.MEDIUM_CHAIN, {tag: fats.oil_per_acid(tag) for tag in fats.MEDIUM_CHAIN}),
        "other_saturated": saturated.less(to_c12),
        "unsaturated": unsaturated,
        "fat_rest": found["FAT"].less(saturated + unsaturated),
    }


def _for_a_label(found: Intervals, factor: float | None) -> dict[str, Interval]:
    """Protein as nitrogen × 6.25; carbohydrate by difference gives way by as much, so that energy stays the same."""
    more = 0.0 if factor is None else LABEL_FACTOR / factor - 1.0
    protein, carbohydrate = found["PROCNT"], found["CHOAVLDF"]
    return {
        "protein_label": protein * (1.0 + more),
        "carbohydrate_label": carbohydrate.less(protein * more) if more > 0.0 else carbohydrate + protein * -more,
    }


def _energies(known: Known, found: Intervals, group: str) -> dict[str, Interval]:
    kcal = _law_energy(energy.EU_KCAL, known, found)
    constituents = found["PROCNT"], found["FAT"], found["CHOCDF"]
    factors = digestibility_groups().get(group)
    if factors is None:
        specific = up_to(total(constituents).high * _MOST_KCAL)
    else:
        by_food = factors.kcal_protein, factors.kcal_fat, factors.kcal_carbohydrate
        known_part, rest = _split_by_coefficient(constituents, by_food)
        protein, fat, carbohydrate = (factor or 0.0 for factor in by_food)
        alcohol = exact(known.get("ALC", 0.0))
        specific = energy.specific_energy_kcal(*known_part, alcohol, (protein, fat, carbohydrate)) + rest * _MOST_KCAL
    return {
        "energy_kj": _law_energy(energy.EU_KJ, known, found),
        "energy_kcal": kcal,
        "energy_medium_chain_kcal": kcal.less(energy.medium_chain_allowance_kcal(found["mct_oil"])),
        "energy_specific_kcal": specific,
    }


def _law_energy(factors: energy.Factors, known: Known, found: Intervals) -> Interval:
    """Label energy.

    Alcohol, polyols and organic acids count on their own where a row states them.  A row that does not state them has
    them inside its carbohydrate by difference, so they are counted there.
    """
    carbohydrate, fibre, swing = found["CHOAVLDF"], found["FIBTG"], ZERO
    if "CHOCDF" in known and "FIBTG" not in known and "CHOAVLDF" not in known:
        # Fibre is an unknown part of a known total: all of that counts as carbohydrate, less what fibre gives less.
        carbohydrate, fibre = found["CHOCDF"], ZERO
        swing = found["FIBTG"] * (factors.fibre - factors.carbohydrate)
    stated = {tag: exact(known.get(tag, 0.0)) for tag in ("ALC", "OA", "ERYTHL")}
    sum_of_parts = energy.energy(
        factors,
        protein_g=found["PROCNT"],
        fat_g=found["FAT"],
        carbohydrate_g=carbohydrate,
        fibre_g=fibre,
        alcohol_g=stated["ALC"],
        polyols_g=exact(known["POLYL"]) if "POLYL" in known else stated["ERYTHL"],
        organic_acids_g=stated["OA"],
        erythritol_g=stated["ERYTHL"],
    )
    return (sum_of_parts + swing).less(ZERO)  # not below zero, as polyols beside an unknown carbohydrate could take it


Three = tuple[Interval, Interval, Interval]


def _split_by_coefficient(amounts: Three, coefficients: tuple[float | None, ...]) -> tuple[Three, Interval]:
    """Amounts whose coefficient is known, and an amount of anything from none to all of the others."""
    pairs = list(zip(amounts, coefficients, strict=True))
    first, second, third = (amount if c is not None else ZERO for amount, c in pairs)
    return (first, second, third), up_to(total(amount for amount, c in pairs if c is None).high)


def _residues(found: Intervals, group: str) -> dict[str, Interval]:
    d = digestibility_groups().get(group)
    coefficients = (d.d_protein, d.d_fat, d.d_carbohydrate) if d else (None, None, None)
    amounts = found["PROCNT"], found["FAT"], found["CHOCDF"]
    (protein, fat, carbohydrate), rest = _split_by_coefficient(amounts, coefficients)
    digested = Digestibility(*(1.0 if c is None else c for c in coefficients))
    _, rest_without_carbohydrate = _split_by_coefficient((*amounts[:2], ZERO), coefficients)
    return {
        "residue_organic": undigested_organic(protein, fat, carbohydrate, digested) + rest,
        "residue_fibre_based": undigested_with_fibre(protein, fat, found["FIBTG"], digested)
        + rest_without_carbohydrate,
    }


class FoodRows:
    """Rows of foods, computed once per food and assumption.

    A session keeps one of these, so that preparing a variant again after a change of its lines costs next to nothing.
    Foods are frozen: the same object always has the same row.
    """

    def __init__(self) -> None:
        self._rows: dict[tuple[object, ...], tuple[Food, Row]] = {}

    def row(self, food: Food, assumptions: Assumptions, retention: Mapping[str, float], currency: str = "") -> Row:
        """The row of a food; see ``food_row``."""
        key = (id(food), assumptions, currency, *retention.items())
        held = self._rows.get(key)
        if held is None:  # the food is held beside its row, so that its id stays its own
            held = self._rows[key] = (food, food_row(food, assumptions, retention, currency))
        return held[1]
