"""Contradictions on a pack label, each with its likely cause.

Lines are compared as they are printed, with what their rounding leaves open, so that a sane label is not doubted.
"""

from collections.abc import Mapping
from typing import NamedTuple

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.text import N_, _, number
from workbench.composition.label_lines import BY_KEY, LINES, Figure
from workbench.science import energy

# Labels may state mean values, and no line is analysed without error: energy this much off is no contradiction.
_ENERGY_SHARE = 0.05
_ENERGY_KJ = 8.0
# Sugars and starch are analysed one by one, carbohydrate is a difference: the largest excess among foods of USDA SR26.
ANALYSIS_SHARE = 0.035
_SALT_SHARE, _SALT_G = 0.06, 0.05
# The law's factors put kJ between 4.0 (fibre) and 4.33 (organic acids) times kcal.
_LEAST_KJ_PER_KCAL, _MOST_KJ_PER_KCAL = 4.0, 4.34
MOST_KCAL_PER_G = 10.0  # fat burned outright gives 9.5
# Labels of the United States round fat and its parts below 5 g to half a gram (21 CFR 101.9(c)); their other lines are
# printed with the digits that they have.
_US_HALF_G = 0.25
COMMON_FIBRE_SHARE = 0.15  # of the food: so much fibre may be there without a line of its own

PART_OVER_WHOLE = ProblemKind(
    "label_part_over_whole",
    "error",
    N_("{part_g} g is more than {whole}, {whole_g} g, of which it is a part."),
    N_("Check the two lines: they may be swapped, or one may be per serving."),
)
PARTS_OVER_WHOLE = ProblemKind(
    "label_parts_over_whole",
    "error",
    N_("the parts of {whole} add up to {part_g} g, more than {whole_g} g."),
    N_("Check these lines: one may be per serving, or be a part of another."),
)
OVER_100 = ProblemKind(
    "label_over_100",
    "error",
    N_("fat, carbohydrate, fibre, protein and salt add up to {total} g in {per_g} g."),
    "{cause}",
)
ENERGY_OFF = ProblemKind(
    "label_energy_off",
    "warning",
    N_("the lines give {computed} {unit}, the label says {stated} {unit}."),
    "{cause}",
)
ENERGY_IMPOSSIBLE = ProblemKind(
    "label_energy_impossible", "error", N_("no food gives {stated} {unit} in {per_g} g."), "{cause}"
)
KJ_AND_KCAL = ProblemKind(
    "label_kj_and_kcal",
    "warning",
    N_("{kj} kJ and {kcal} kcal do not belong together: 1 kcal is 4.184 kJ."),
    "{cause}",
)
SALT_AND_SODIUM = ProblemKind(
    "label_salt_and_sodium",
    "warning",
    N_("salt {salt} g and sodium {sodium} mg do not belong together: salt is 2.5 times sodium."),
    "{cause}",
)
CAUSES = {
    "fibre_in_carbohydrate": N_("It fits if the carbohydrate line includes the fibre: say so above."),
    "fibre_apart": N_("It fits if the carbohydrate line does not include the fibre: say so above."),
    "fibre_not_listed": N_("It fits if there are about {grams} g fibre that the label does not list."),
    "all_per_100_g": N_("It fits if these figures are per 100 g, not per serving of {grams} g."),
    "per_serving": N_("It fits if the energy is per serving of {grams} g and the rest per 100 g."),
    "rest_per_serving": N_("It fits if the energy is per 100 g and the rest per serving of {grams} g."),
    "maybe_per_serving": N_(
        "Check the figures. They fit if the energy is for a serving of about {grams} g and the rest for 100 g."
    ),
    "swapped": N_("It fits if the figures for kJ and kcal are swapped."),
    "other_unit": N_("It fits if the figure is in {unit}."),
    "check_kj": N_("The other lines fit the figure in kcal: check the one in kJ."),
    "check_kcal": N_("The other lines fit the figure in kJ: check the one in kcal."),
    "sodium_in_g": N_("It fits if the sodium is in g: type the unit."),
    "which_salt": N_("Check which of the two the label prints; sodium is in mg here."),
    "units": N_("Check the figures, and what they are per."),
    "other": N_("Check the figures; polyols, alcohol or organic acids that are not listed could explain it as well."),
}

_FACTORS = {"kJ": energy.EU_KJ, "kcal": energy.EU_KCAL}
_PARTS_OF_FOOD = ("fat", "carbohydrate", "fibre", "protein", "salt")


class _Range(NamedTuple):
    low: float
    high: float

    def meets(self, other: "_Range") -> bool:
        return self.low <= other.high and other.low <= self.high

    def times(self, factor: float) -> "_Range":
        return _Range(self.low * factor, self.high * factor)


_NOTHING = _Range(0.0, 0.0)


class _Label(NamedTuple):
    """A label as printed: a range for each line, grams that it is for, and what carbohydrate means on it."""

    g: Mapping[str, Figure]
    per_g: float
    fibre_inside: bool

    def range(self, key: str) -> _Range:
        figure = self.g.get(key)
        return _Range(figure.low, figure.high) if figure else _NOTHING

    def amount(self, key: str) -> float:
        return self.g[key].amount

    def text(self, key: str, decimals: int = 1) -> str:
        """The figure as it would be typed, with no more decimals than it has."""
        amount = self.amount(key)
        return number(amount, next((k for k in range(decimals) if round(amount, k) == round(amount, 9)), decimals))


def findings(figures: Mapping[str, Figure], per_g: float, fibre_in_carbohydrate: bool) -> tuple[Problem, ...]:
    """What is odd about a label.

    Parameters
    ----------
    figures : mapping of str to Figure
        Lines that the label states, by key.
    per_g : float
        Grams that the figures are printed for. [g]
    fibre_in_carbohydrate : bool
        Whether carbohydrate includes fibre; then rounding is that of the United States too.

    Returns
    -------
    tuple of Problem
        Each with the line it is about as its place, or without one.
    """
    if fibre_in_carbohydrate:
        figures = {
            key: figure.widened(_US_HALF_G) if "fat" in (key, BY_KEY[key].part_of) else figure
            for key, figure in figures.items()
        }
    label = _Label(figures, per_g, fibre_in_carbohydrate)
    return (*_energies(label), *_parts(label), *_over_100(label), *_salts(label))


def _at(key: str) -> Place:
    return Place("field", key, _(BY_KEY[key].title))


# --- parts and wholes -------------------------------------------------------------------------------------------------


def _parts(label: _Label) -> list[Problem]:
    found: list[Problem] = []
    for whole in ("fat", "carbohydrate"):
        if whole not in label.g:
            continue
        most = label.range(whole).high
        keys = [line.key for line in LINES if line.part_of == whole and line.key in label.g]
        if whole == "carbohydrate" and label.fibre_inside and "fibre" in label.g:
            keys.append("fibre")
        parts = {"whole": _(BY_KEY[whole].title), "whole_g": label.text(whole)}
        over = [key for key in keys if label.range(key).low > most + 1e-9]
        found += [PART_OVER_WHOLE.at(_at(key), part_g=label.text(key), **parts) for key in over]
        allowed = most + (ANALYSIS_SHARE * label.per_g if whole == "carbohydrate" else 0.0)
        if not over and sum(label.range(key).low for key in keys) > allowed + 1e-9:
            total = number(sum(label.amount(key) for key in keys), 1)
            found.append(PARTS_OVER_WHOLE.at(_at(whole), part_g=total, **parts))
    return found


def _over_100(label: _Label) -> list[Problem]:
    keys = [key for key in _PARTS_OF_FOOD if key in label.g and not (key == "fibre" and label.fibre_inside)]
    least, most = sum(label.range(key).low for key in keys), label.per_g * (1.0 + ANALYSIS_SHARE)
    if least <= most:
        return []
    if label.per_g < 100.0 and least <= 100.0 * (1.0 + ANALYSIS_SHARE):
        cause = _(CAUSES["all_per_100_g"], grams=f"{label.per_g:g}")
    elif "fibre" in keys and "carbohydrate" in keys and least - label.range("fibre").high <= most:
        cause = _(CAUSES["fibre_in_carbohydrate"])
    else:
        cause = _(CAUSES["units"])
    total = number(sum(label.amount(key) for key in keys), 1)
    return [OVER_100.at(total=total, per_g=f"{label.per_g:g}", cause=cause)]


# --- energy -----------------------------------------------------------------------------------------------------------


def _law_energy(label: _Label, unit: str, fibre_inside: bool) -> _Range:
    """Energy of the lines by the law's factors; fibre inside carbohydrate counts with anything from 0 to its factor."""
    factors = _FACTORS[unit]
    fibre = label.range("fibre")
    totals = []
    for end in (0, 1):
        carbohydrate = label.range("carbohydrate")[end]
        if fibre_inside:
            carbohydrate -= fibre.high if end == 0 else 0.0  # labels there may count it as 4 kcal, or not at all
        polyols = min(label.range("polyols")[1 - end], max(carbohydrate, 0.0))
        totals.append(
            energy.energy(
                factors,
                protein_g=label.range("protein")[end],
                fat_g=label.range("fat")[end],
                carbohydrate_g=max(carbohydrate, 0.0),
                fibre_g=0.0 if fibre_inside else fibre[end],
                alcohol_g=0.0,
                polyols_g=polyols,
                organic_acids_g=0.0,
                erythritol_g=polyols if end == 0 else 0.0,  # a label need not say which polyol it is
            )
        )
    return _Range(*totals)


def _with_tolerance(stated: _Range, unit: str) -> _Range:
    least = _ENERGY_KJ / (1.0 if unit == "kJ" else energy.KJ_PER_KCAL)
    return _Range(
        stated.low - max(_ENERGY_SHARE * stated.low, least), stated.high + max(_ENERGY_SHARE * stated.high, least)
    )


def _energies(label: _Label) -> list[Problem]:
    comparable = {"fat", "carbohydrate", "protein"} <= label.g.keys()
    stated = {unit: label.range(key) for unit, key in (("kJ", "energy_kj"), ("kcal", "energy_kcal")) if key in label.g}
    if len(stated) == 2 and not _belong_together(stated["kJ"], stated["kcal"]):
        return [_kj_and_kcal(label, stated, comparable)]
    if not stated:
        return []
    unit = "kJ" if "kJ" in stated else "kcal"
    key = "energy_kj" if unit == "kJ" else "energy_kcal"
    most = MOST_KCAL_PER_G * label.per_g * (energy.KJ_PER_KCAL if unit == "kJ" else 1.0)
    impossible = stated[unit].low > most
    says = _with_tolerance(stated[unit], unit)
    computed = _law_energy(label, unit, label.fibre_inside)
    if not impossible and (not comparable or computed.meets(says)):
        return []
    if comparable:
        cause = _energy_cause(label, unit, says, computed, only_one=len(stated) == 1)
    elif label.per_g < 100.0 and stated[unit].low <= most * 100.0 / label.per_g:
        cause = _(CAUSES["rest_per_serving"], grams=f"{label.per_g:g}")
    else:
        cause = _(CAUSES["other_unit"], unit="kJ") if unit == "kcal" else _(CAUSES["units"])
    if impossible:
        parts = {"stated": label.text(key), "unit": unit, "per_g": f"{label.per_g:g}", "cause": cause}
        return [ENERGY_IMPOSSIBLE.at(_at(key), **parts)]
    if not cause:
        return []
    middle = number(sum(computed) / 2.0, 0)
    return [ENERGY_OFF.at(_at(key), computed=middle, stated=label.text(key), unit=unit, cause=cause)]


def _belong_together(kj: _Range, kcal: _Range) -> bool:
    return kj.meets(_Range(_LEAST_KJ_PER_KCAL * kcal.low, _MOST_KJ_PER_KCAL * kcal.high))


def _kj_and_kcal(label: _Label, stated: Mapping[str, _Range], comparable: bool) -> Problem:
    fits = {
        unit: comparable and _law_energy(label, unit, label.fibre_inside).meets(_with_tolerance(stated[unit], unit))
        for unit in stated
    }
    if _belong_together(stated["kcal"], stated["kJ"]):
        key, cause = "energy_kj", "swapped"
    elif fits["kcal"]:
        key, cause = "energy_kj", "check_kj"
    elif fits["kJ"]:
        key, cause = "energy_kcal", "check_kcal"
    else:
        key, cause = "energy_kj", "units"
    parts = {"kj": label.text("energy_kj"), "kcal": label.text("energy_kcal"), "cause": _(CAUSES[cause])}
    return KJ_AND_KCAL.at(_at(key), **parts)


def _energy_cause(label: _Label, unit: str, says: _Range, computed: _Range, *, only_one: bool) -> str:
    """Why energy and lines do not fit; "" where nothing is wrong after all."""
    other = "kcal" if unit == "kJ" else "kJ"
    serving = label.per_g / 100.0
    fibre_stated = "fibre" in label.g
    if only_one and _law_energy(label, other, label.fibre_inside).meets(says):
        return _(CAUSES["other_unit"], unit=other)
    if fibre_stated and _law_energy(label, unit, not label.fibre_inside).meets(says):
        return _(CAUSES["fibre_apart" if label.fibre_inside else "fibre_in_carbohydrate"])
    if label.per_g != 100.0 and computed.times(serving).meets(says):
        return _(CAUSES["per_serving"], grams=f"{label.per_g:g}")
    if label.per_g != 100.0 and computed.times(1.0 / serving).meets(says):
        return _(CAUSES["rest_per_serving"], grams=f"{label.per_g:g}")
    if not fibre_stated and not label.fibre_inside and computed.high < says.low:
        missing_g = (says.low - computed.high) / _FACTORS[unit].fibre
        room_g = label.per_g - sum(label.range(key).low for key in _PARTS_OF_FOOD)
        if missing_g <= min(COMMON_FIBRE_SHARE * label.per_g, room_g):
            return ""
        if missing_g <= room_g:
            return _(CAUSES["fibre_not_listed"], grams=number(missing_g, 0))
    share = sum(says) / sum(computed) if sum(computed) > 0 else 0.0
    if label.per_g == 100.0 and 0.1 <= share <= 0.75:
        return _(CAUSES["maybe_per_serving"], grams=number(100.0 * share, 0))
    return _(CAUSES["other"])


# --- salt -------------------------------------------------------------------------------------------------------------


def _salts(label: _Label) -> list[Problem]:
    if "salt" not in label.g or "sodium" not in label.g:
        return []
    salt_g = label.amount("salt")
    room = max(_SALT_G, _SALT_SHARE * salt_g)
    says = _Range(salt_g - room, salt_g + room)
    sodium = label.range("sodium")
    if says.meets(sodium.times(energy.salt_g(1.0))):
        return []
    in_g = says.meets(sodium.times(1000.0 * energy.salt_g(1.0)))
    cause = _(CAUSES["sodium_in_g" if in_g else "which_salt"])
    return [SALT_AND_SODIUM.at(_at("salt"), salt=label.text("salt", 2), sodium=label.text("sodium"), cause=cause)]
