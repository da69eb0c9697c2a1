"""From what a table says to a food in the house's conventions: carbohydrate, protein, fatty acids, volume, zeros.

Every change is marked ``calculated`` with a note that says how; what cannot be converted is left out and counted,
never guessed.
"""

import math
from collections.abc import Mapping

import msgspec

from workbench.base.text import N_
from workbench.composition.components import COMPONENTS, HIGHEST
from workbench.composition.food import POSSIBLE, Food, Value
from workbench.composition.imports import findings
from workbench.composition.imports.layout import Conventions, Draft, food_of
from workbench.composition.imports.tally import Tally

# Fatty acids / fat.  Greenfield and Southgate, Food Composition Data, FAO 2003, table A5.1.
OIL_FACTOR, COCONUT_FACTOR = 0.956, 0.942
_OIL_G = 90.0  # from here on a food is an oil, whose factor is known without asking
_ADD_UP_TO_FAT = 0.985  # acids that make this share of the fat leave no room for glycerol
FATTY_ACIDS = tuple(tag for tag in COMPONENTS if tag.startswith("FA") and tag != "FAT") + tuple(
    tag for tag in COMPONENTS if tag.startswith("F") and tag.endswith("D0")
)
LONGEST_NAME = 300  # characters

_OF_ACIDS = N_("{percent} % of fatty acids x fat x {factor}")
_OF_FAT = N_("{percent} % of the fat")
_RESTATED = N_("nitrogen x {new} instead of x {old}")
_MOVED = N_("by difference, moved with protein as nitrogen x {new} instead of x {old}")
_PER_ML = N_("per 100 ml in the source; {density} g/ml")


def settle(draft: Draft, chosen: Conventions, tally: Tally) -> Food | None:
    """The food that a draft stands for; None where it has to be left out, which is counted.

    Parameters
    ----------
    draft : Draft
        Figures per 100 g or 100 ml in the units of the column dictionary.
    chosen : Conventions
        All choices made.
    """
    if draft.whole is not None:
        whole = _possible_whole(draft.whole, tally)
        tally.foods += 1
        tally.values += len(whole.values)
        tally.limits += len(whole.limits)
        return whole
    if not draft.name:
        tally.note(findings.NO_NAME, draft.where)
        return None
    values, limits = draft.values, draft.limits
    if not values and not limits:
        tally.note(findings.NO_FIGURES, draft.name[:60])
        return None
    if chosen.zeros == "blank":
        values = _without_zeros(values, tally)
    if chosen.fatty_acids not in ("", "per_100g"):
        values, limits = _acids_per_100_g(draft, values, limits, chosen, tally)
    if chosen.protein_factor:
        values = _protein(draft, values, chosen, tally)
    density = _possible_density(draft.name, draft.density_g_per_ml, tally)
    if draft.per_100_ml:
        density = density or _possible_density(draft.name, chosen.density_g_per_ml, tally)
        if not density:
            tally.note(findings.PER_MILLILITRE, draft.name[:60])
            return None
        note = _PER_ML.format(density=f"{density:g}")
        values = {tag: _as(value, value.value / density, note) for tag, value in values.items()}
        limits = {tag: limit / density for tag, limit in limits.items()}
    if values is not draft.values or not draft.looked_at:
        values = _possible(draft, values, tally)
    limits = _possible_limits(draft.name, limits, tally)
    tally.foods += 1
    tally.values += len(values)
    tally.limits += len(limits)
    return _food(draft, values, limits, density, _nitrogen_factor(draft, chosen, tally), tally)


def _food(
    draft: Draft,
    values: Mapping[str, Value],
    limits: dict[str, float],
    density: float | None,
    factor: float | None,
    tally: Tally,
) -> Food:
    name = draft.name
    if len(name) > LONGEST_NAME:
        tally.note(findings.LONG_TEXT, name[:40])
        name = name[: LONGEST_NAME - 1] + "…"
    edible = draft.edible_fraction
    return food_of(
        id=draft.code,
        name=name,
        group=draft.group,
        also=draft.also,
        values=values,
        limits={tag: limits[tag] for tag in COMPONENTS if tag in limits and tag not in values} if limits else limits,
        density_g_per_ml=density,
        density_source=next(iter(values.values())).source if density and values else "",
        measures=draft.measures,
        edible_fraction=edible if edible is not None and 0.01 <= edible <= 1.0 else 1.0,
        bought_as=draft.bought_as if edible is not None and edible < 1.0 else "",
        nitrogen_factor=factor,
    )


def _as(value: Value, amount: float, note: str) -> Value:
    """``value`` restated; what was measured is calculated now, a label stays one."""
    spread = None if value.sd is None or not value.value else value.sd * amount / value.value
    kind = "calculated" if value.kind == "measured" else value.kind
    return msgspec.structs.replace(
        value, value=amount, sd=spread, kind=kind, note=f"{value.note}; {note}" if value.note else note
    )


def _without_zeros(values: Mapping[str, Value], tally: Tally) -> Mapping[str, Value]:
    stated = {tag: value for tag, value in values.items() if value.value != 0.0}
    if len(stated) != len(values):
        tally.note(findings.ZEROS, count=len(values) - len(stated))
    return stated


def _possible(draft: Draft, values: Mapping[str, Value], tally: Tally) -> Mapping[str, Value]:
    """Values that can be, in the order of the column dictionary, so that the same food is the same from any table."""
    possible: dict[str, Value] = {}
    for tag, highest in HIGHEST.items():
        value = values.get(tag)
        if value is None:
            continue
        if 0.0 <= value.value <= highest:  # False for NaN as well
            possible[tag] = value
        else:
            unit = COMPONENTS[tag].unit
            tally.note(findings.OUT_OF_RANGE, f"{draft.name[:40]}, {tag}: {value.value:g} {unit}")
    return possible


def _possible_density(name: str, density: float | None, tally: Tally) -> float | None:
    low, high = POSSIBLE["density_g_per_ml"]
    if density is None or low <= density <= high:  # 950 is in kg/m³
        return density
    tally.note(findings.OUT_OF_RANGE, f"{name[:40]}, {density:g} g/ml")
    return None


def _nitrogen_factor(draft: Draft, chosen: Conventions, tally: Tally) -> float | None:
    """What protein is counted with now, where that can be; None where nothing says it."""
    stated = draft.nitrogen_factor or chosen.nitrogen_factor
    if not stated:
        return None
    factor = chosen.protein_factor or stated
    low, high = POSSIBLE["nitrogen_factor"]
    if low <= factor <= high:
        return factor
    tally.note(findings.ODD_NITROGEN_FACTOR, f"{draft.name[:40]}, N × {factor:g}")
    return None


def _possible_limits(name: str, limits: dict[str, float], tally: Tally) -> dict[str, float]:
    wrong = {tag: limit for tag, limit in limits.items() if not 0.0 <= limit <= HIGHEST.get(tag, math.inf)}
    for tag, limit in wrong.items():
        tally.note(findings.OUT_OF_RANGE, f"{name[:40]}, {tag}: < {limit:g}")
    return {tag: limit for tag, limit in limits.items() if tag not in wrong} if wrong else limits


def _possible_whole(food: Food, tally: Tally) -> Food:
    """A food this program wrote, without the figures that somebody made impossible since."""
    wrong = {tag: v.value for tag, v in food.values.items() if not 0.0 <= v.value <= HIGHEST.get(tag, math.inf)}
    for tag, amount in wrong.items():
        tally.note(findings.OUT_OF_RANGE, f"{food.name[:40]}, {tag}: {amount:g}")
    limits = _possible_limits(food.name, food.limits, tally)
    if not wrong and limits is food.limits:
        return food
    values = {tag: value for tag, value in food.values.items() if tag not in wrong}
    return msgspec.structs.replace(food, values=values, limits=limits)


def _acids_per_100_g(
    draft: Draft, values: Mapping[str, Value], limits: dict[str, float], chosen: Conventions, tally: Tally
) -> tuple[Mapping[str, Value], dict[str, float]]:
    acids = [tag for tag in FATTY_ACIDS if tag in values or tag in limits]
    fat = values.get("FAT")
    if not acids or (chosen.fatty_acids == "of_fatty_acids_in_oils" and not _are_percent(values)):
        return values, limits
    factor = 1.0 if chosen.fatty_acids == "of_fat" else _factor(draft, fat, chosen)
    if fat is None or factor is None:
        tally.note(findings.NO_FATTY_ACID_FACTOR, draft.name[:60])
        return (
            {tag: value for tag, value in values.items() if tag not in acids},
            {tag: limit for tag, limit in limits.items() if tag not in acids},
        )
    share, words = fat.value * factor / 100.0, _OF_FAT if chosen.fatty_acids == "of_fat" else _OF_ACIDS
    restated = {
        tag: _as(values[tag], values[tag].value * share, words.format(percent=f"{values[tag].value:g}", factor=factor))
        for tag in acids
        if tag in values
    }
    tally.note(findings.CONVERTED_ACIDS, draft.name[:60])
    return {**values, **restated}, limits | {tag: limits[tag] * share for tag in acids if tag in limits}


def _are_percent(values: Mapping[str, Value]) -> bool:
    """Whether this is an oil whose acids leave nothing for glycerol, so that they must be percent of all acids."""
    fat = values.get("FAT")
    classes = [values[tag].value for tag in ("FASAT", "FAMS", "FAPU") if tag in values]
    return fat is not None and fat.value >= _OIL_G and sum(classes) >= _ADD_UP_TO_FAT * fat.value


def _factor(draft: Draft, fat: Value | None, chosen: Conventions) -> float | None:
    """Grams of fatty acids in a gram of this fat."""
    factor = draft.fatty_acid_factor or chosen.fatty_acid_factor
    if factor or fat is None or fat.value < _OIL_G:
        return factor or None
    return COCONUT_FACTOR if "coconut" in draft.name.casefold() else OIL_FACTOR


def _protein(draft: Draft, values: Mapping[str, Value], chosen: Conventions, tally: Tally) -> Mapping[str, Value]:
    """Protein with another nitrogen factor; carbohydrate by difference moves by as much."""
    protein, old, new = values.get("PROCNT"), draft.nitrogen_factor or chosen.nitrogen_factor, chosen.protein_factor
    if protein is None or not new:
        return values
    if not old:
        tally.note(findings.NO_NITROGEN_FACTOR, draft.name[:60])
        return values
    if abs(old - new) < 1e-9:
        return values
    restated = protein.value * new / old
    said = {"new": f"{new:g}", "old": f"{old:g}"}
    restated_values = {**values, "PROCNT": _as(protein, restated, _RESTATED.format(**said))}
    for tag in ("CHOCDF", "CHOAVLDF"):
        if tag in values:
            moved = max(values[tag].value - (restated - protein.value), 0.0)
            restated_values[tag] = _as(values[tag], moved, _MOVED.format(**said))
    tally.note(findings.RESTATED_PROTEIN)
    return restated_values
