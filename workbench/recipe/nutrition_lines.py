"""Nutrition lines as a pack prints them: order, rounding, what cannot be declared, and what an analysis may find.

European Union: Regulation (EU) No 1169/2011, Annex XV; United States: the same figures rounded by 21 CFR 101.9(c), with
carbohydrate that includes fibre.  That is no panel: added sugars and vitamins are not known here.
"""

from collections.abc import Callable
from functools import partial
from math import isfinite
from typing import NamedTuple

from workbench.base.text import N_, _, number
from workbench.composition.label_lines import BY_KEY
from workbench.document.project import Basis
from workbench.recipe.allergens import Rules
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import Evaluation
from workbench.science.label_rounding import (
    EuKind,
    Printed,
    UsKind,
    eu_printed,
    eu_tolerance,
    us_printed,
    us_tolerance,
)

Tolerance = tuple[float, float]


class NutritionLine(NamedTuple):
    """One line on one basis.

    ``printed`` is None where the figure cannot be declared; then ``missing`` names the ingredients without a value.
    ``tolerance`` is least and most that an analysis may find, in ``unit``; None where the rules give none.
    """

    key: str  # of the catalogue of quantities
    title: str  # marked for translation
    part: bool  # "of which"
    unit: str
    bound: Bound
    printed: Printed | None
    tolerance: Tolerance | None
    rules: Rules

    @property
    def missing(self) -> tuple[str, ...]:
        """Ingredients whose value would be needed."""
        return self.bound.unknown if self.printed is None else ()

    def text(self) -> str:
        """``16 g``, ``< 0.5 g``, or ``not declarable: value missing in coconut milk``."""
        if self.printed is None:
            return _("not declarable: value missing in {names}", names="; ".join(self.missing) or _("the recipe"))
        return f"{printed_text(self.printed, self.rules)} {self.unit}"

    def tolerance_text(self) -> str:
        """``14.0–18.0 g``, ``at least 13 g``; empty where there is none."""
        if self.tolerance is None:
            return ""
        low, high = self.tolerance
        decimals = 2 if self.key == "salt" else 1 if self.unit == "g" else 0
        if not isfinite(high):
            return _("at least {low} {unit}", low=number(low, decimals), unit=self.unit)
        if low == 0.0:
            return _("at most {high} {unit}", high=number(high, decimals), unit=self.unit)
        return _("{low}–{high} {unit}", low=number(low, decimals), high=number(high, decimals), unit=self.unit)


class _Line(NamedTuple):
    key: str
    title: str
    part: bool
    unit: str
    rounded: Callable[[float], Printed]
    found: Callable[[float], Tolerance | None]  # what an analysis may find, by the printed amount


def _eu(line: str, key: str, unit: str, kind: EuKind) -> _Line:
    title, part = BY_KEY[line].title, bool(BY_KEY[line].part_of)
    return _Line(key, title, part, unit, partial(eu_printed, kind), partial(eu_tolerance, kind))


def _us(key: str, title: str, unit: str, kind: UsKind, *, part: bool = False, wanted: bool = False) -> _Line:
    return _Line(key, title, part, unit, partial(us_printed, kind), partial(us_tolerance, wanted=wanted))


_EU_LINES = (  # Annex XV: the seven that are mandatory, and fibre
    _eu("energy_kj", "energy_kj", "kJ", "energy"),
    _eu("energy_kcal", "energy_kcal", "kcal", "energy"),
    _eu("fat", "FAT", "g", "fat"),
    _eu("saturates", "FASAT", "g", "saturates"),
    _eu("carbohydrate", "carbohydrate_label", "g", "grams"),
    _eu("sugars", "SUGAR", "g", "grams"),
    _eu("fibre", "FIBTG", "g", "grams"),
    _eu("protein", "protein_label", "g", "grams"),
    _eu("salt", "salt", "g", "salt"),
)

_US_LINES = (
    _us("energy_kcal", N_("calories"), "kcal", "calories"),
    _us("FAT", N_("total fat"), "g", "fat"),
    _us("FASAT", N_("saturated fat"), "g", "fat", part=True),
    _us("FATRN", N_("trans fat"), "g", "fat", part=True),
    _us("CHOLE", N_("cholesterol"), "mg", "cholesterol"),
    _us("NA", N_("sodium"), "mg", "sodium"),
    _us("CHOCDF", N_("total carbohydrate"), "g", "grams", wanted=True),
    _us("FIBTG", N_("dietary fibre"), "g", "grams", part=True, wanted=True),
    _us("SUGAR", N_("total sugars"), "g", "grams", part=True),
    _us("PROCNT", N_("protein"), "g", "grams", wanted=True),
)

NOTES: dict[Rules, tuple[str, ...]] = {
    "eu": (
        N_("Rounded by the European Commission's guidance of December 2012; what an analysis may find by the same."),
        N_("Protein is nitrogen × 6.25; what the tables' protein gains by it, carbohydrate by difference loses."),
    ),
    "us": (
        N_("Rounded by 21 CFR 101.9(c); what an analysis may find by 21 CFR 101.9(g)."),
        N_("These are the lines that are known here, not a whole panel: added sugars and vitamins are missing."),
        N_("Calories: 4 for protein, 9 for fat, 4 for carbohydrate without fibre, 2 for fibre."),
    ),
}


def nutrition_lines(evaluation: Evaluation, rules: Rules, basis: Basis) -> tuple[NutritionLine, ...]:
    """The lines of an evaluated variant on a basis, rounded.

    A figure is printed where its limits round to the same one; the others cannot be declared.

    Parameters
    ----------
    evaluation : Evaluation
        What was computed.
    rules : {"eu", "us"}
        Whose order and rounding.
    basis : str
        ``per_100g`` or ``portion``; tolerances of the European Union are per 100 g only.
    """
    lines = _EU_LINES if rules == "eu" else _US_LINES
    return tuple(_made(evaluation.bound(line.key, basis), line, rules, basis) for line in lines)


def _made(bound: Bound, line: _Line, rules: Rules, basis: Basis) -> NutritionLine:
    printed = None
    if bound.known and isfinite(bound.high):
        low, high = line.rounded(bound.low), line.rounded(bound.high)
        printed = low if low == high else None
    tolerance = None
    if printed is not None and (basis == "per_100g" if rules == "eu" else printed.value > 0):
        tolerance = line.found(printed.value)
        if tolerance is not None and printed.less_than:
            tolerance = (0.0, tolerance[1])
    return NutritionLine(line.key, line.title, line.part, line.unit, bound, printed, tolerance, rules)


def printed_text(printed: Printed, rules: Rules = "eu") -> str:
    """A printed figure without its unit."""
    text = number(printed.value, printed.decimals)
    if not printed.less_than:
        return text
    return _("< {limit}", limit=text) if rules == "eu" else _("less than {limit}", limit=text)
