"""An ingredient from its pack label: what is printed becomes values, what is not printed stays unknown.

The lines are those of Regulation (EU) No 1169/2011, Annex XV, in its order; a label that counts fibre as carbohydrate
is read when it is said to.  Contradictions are found and named with their likely cause; nothing is corrected silently.
"""

import re
from collections.abc import Mapping
from typing import NamedTuple

from workbench.base.errors import AmountError, Place, Problem, ProblemKind
from workbench.base.text import N_, _, number
from workbench.composition.food import Value
from workbench.science import energy


class LabelLine(NamedTuple):
    """One line of a label: its key, its words, and the units it may be given in, the first one by default."""

    key: str
    title: str
    units: tuple[str, ...]
    part_of: str = ""  # key of the line it is "of which"


LINES: tuple[LabelLine, ...] = (
    LabelLine("energy_kj", N_("energy"), ("kJ",)),
    LabelLine("energy_kcal", N_("energy"), ("kcal",)),
    LabelLine("fat", N_("fat"), ("g", "mg")),
    LabelLine("saturates", N_("of which saturates"), ("g", "mg"), "fat"),
    LabelLine("monounsaturates", N_("of which mono-unsaturates"), ("g", "mg"), "fat"),
    LabelLine("polyunsaturates", N_("of which polyunsaturates"), ("g", "mg"), "fat"),
    LabelLine("carbohydrate", N_("carbohydrate"), ("g", "mg")),
    LabelLine("sugars", N_("of which sugars"), ("g", "mg"), "carbohydrate"),
    LabelLine("polyols", N_("of which polyols"), ("g", "mg"), "carbohydrate"),
    LabelLine("starch", N_("of which starch"), ("g", "mg"), "carbohydrate"),
    LabelLine("fibre", N_("fibre"), ("g", "mg")),
    LabelLine("protein", N_("protein"), ("g", "mg")),
    LabelLine("salt", N_("salt"), ("g", "mg")),
    LabelLine("sodium", N_("sodium"), ("mg", "g")),
)

_TAGS = {
    "energy_kcal": "ENERC_KCAL",
    "fat": "FAT",
    "saturates": "FASAT",
    "monounsaturates": "FAMS",
    "polyunsaturates": "FAPU",
    "carbohydrate": "CHOAVLDF",
    "sugars": "SUGAR",
    "polyols": "POLYL",
    "starch": "STARCH",
    "fibre": "FIBTG",
    "protein": "PROCNT",
}

_NUMBER = re.compile(r"(?P<less><|≤|less than)?\s*(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>[a-z]*)", re.IGNORECASE)
_BETWEEN_DIGITS = re.compile(r"(?<=\d)\s(?=\d)")  # 1 523 kJ

# Labels round: whole kJ, grams to a tenth and to a whole from 10 g on, and they may state mean values.  Energy that is
# farther off than this is more than rounding (Commission guidance of December 2012 rounds no coarser).
_ENERGY_SHARE, _ENERGY_KJ = 0.05, 25.0
_ROUNDING_G = 0.55

PART_OVER_WHOLE = ProblemKind(
    "label_part_over_whole",
    "error",
    N_("{part_g} g is more than {whole}, {whole_g} g, of which it is a part."),
    N_("Check the two lines: they may be swapped, or one may be per serving."),
)
OVER_100 = ProblemKind(
    "label_over_100",
    "error",
    N_("fat, carbohydrate, fibre, protein and salt add up to {total} g in 100 g."),
    N_("Check whether the figures are per serving, or whether fibre is counted as carbohydrate too."),
)
ENERGY_OFF = ProblemKind(
    "label_energy_off",
    "warning",
    N_("the lines give {computed} kJ, the label says {stated} kJ."),
    "{cause}",
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
    N_("Check which of the two the label prints; sodium is in mg here."),
)
CAUSES = {
    "fibre_in_carbohydrate": N_("It fits if the carbohydrate line includes the fibre: say so above."),
    "per_serving": N_("It fits if the energy is per serving of {grams} g and the rest per 100 g, or the reverse."),
    "swapped": N_("It fits if the figures for kJ and kcal are swapped."),
    "other": N_("Check the figures; polyols, alcohol or organic acids that are not listed could explain it as well."),
}


class LabelReading(NamedTuple):
    """What a label says, per 100 g, and what is odd about it.

    ``values`` are ready for a ``Food``; ``limits`` are components of which only "less than" is printed.
    """

    values: dict[str, Value]
    limits: dict[str, float]
    findings: tuple[Problem, ...]


class _Figure(NamedTuple):
    amount: float
    less_than: bool


def read_label(
    entries: Mapping[str, str], *, per_g: float = 100.0, fibre_in_carbohydrate: bool = False, source: str = ""
) -> LabelReading:
    """Read the lines of a pack label.

    Parameters
    ----------
    entries : mapping of str to str
        Text as typed by key of ``LINES``: ``"12,5"``, ``"< 0.5 g"``, ``"1250 kJ"``; blank where the label has no such
        line.
    per_g : float
        Grams that the figures are printed for: 100, or a serving. [g]
    fibre_in_carbohydrate : bool
        Whether the label's carbohydrate includes fibre, as labels of the United States do.
    source : str
        What the pack is, for the record.

    Returns
    -------
    LabelReading
        Values and limits per 100 g, and findings.

    Raises
    ------
    AmountError
        If a figure cannot be read; ``where`` names its line.
    """
    if not per_g > 0:
        raise AmountError(_("The serving needs a weight above zero."), where=_("serving"))
    figures = {line.key: _read(line, entries[line.key], per_g) for line in LINES if entries.get(line.key, "").strip()}
    values: dict[str, Value] = {}
    limits: dict[str, float] = {}
    for tag, figure in _by_tag(figures, fibre_in_carbohydrate).items():
        if figure.less_than:
            limits[tag] = figure.amount
        else:
            values[tag] = Value(figure.amount, "label", source)
    exact = {key: figure.amount for key, figure in figures.items() if not figure.less_than}
    findings = (*_wholes(exact), *_energies(exact, per_g, fibre_in_carbohydrate), *_salts(exact))
    return LabelReading(values, limits, findings)


def _read(line: LabelLine, text: str, per_g: float) -> _Figure:
    found = _NUMBER.fullmatch(_BETWEEN_DIGITS.sub("", text.strip()))
    where = _(line.title)
    if found is None:
        raise AmountError(
            _("“{text}” is no figure.", text=text.strip()),
            hint=_("Type it as printed, such as 12,5 or < 0.5; leave the line blank where the label has none."),
            where=where,
        )
    units = {unit.casefold(): unit for unit in line.units}
    unit = units.get(found["unit"].casefold() or line.units[0].casefold())
    if unit is None:
        raise AmountError(
            _("“{unit}” does not fit here.", unit=found["unit"]),
            hint=_("Use {units}.", units=_(" or ").join(line.units)),
            where=where,
        )
    amount = float(found["number"].replace(",", "."))
    if unit != line.units[0]:  # the other unit of mass
        amount *= 1000.0 if unit == "g" else 0.001
    return _Figure(amount * 100.0 / per_g, found["less"] is not None)


def _by_tag(figures: Mapping[str, _Figure], fibre_in_carbohydrate: bool) -> dict[str, _Figure]:
    tags = dict(_TAGS)
    if fibre_in_carbohydrate:
        tags["carbohydrate"] = "CHOCDF"
    found = {tags[key]: figure for key, figure in figures.items() if key in tags}
    if "sodium" in figures:
        found["NA"] = figures["sodium"]
    elif "salt" in figures:
        salt = figures["salt"]
        found["NA"] = _Figure(salt.amount / energy.salt_g(1.0), salt.less_than)
    return found


def _at(key: str) -> Place:
    return Place("field", key, _(next(line.title for line in LINES if line.key == key)))


def _wholes(g: Mapping[str, float]) -> list[Problem]:
    found = []
    for line in LINES:
        if line.part_of and line.key in g and line.part_of in g and g[line.key] > g[line.part_of] + _ROUNDING_G:
            whole = next(x for x in LINES if x.key == line.part_of)
            parts = {
                "part_g": number(g[line.key], 1),
                "whole": _(whole.title),
                "whole_g": number(g[line.part_of], 1),
            }
            found.append(PART_OVER_WHOLE.at(_at(line.key), **parts))
    total = sum(g.get(key, 0.0) for key in ("fat", "carbohydrate", "fibre", "protein", "salt"))
    if total > 100.0 + 5 * _ROUNDING_G:
        found.append(OVER_100.at(total=number(total, 1)))
    return found


def _law_kj(g: Mapping[str, float], carbohydrate_g: float) -> float:
    return energy.energy(
        energy.EU_KJ,
        protein_g=g["protein"],
        fat_g=g["fat"],
        carbohydrate_g=carbohydrate_g,
        fibre_g=g.get("fibre", 0.0),
        alcohol_g=0.0,
        polyols_g=g.get("polyols", 0.0),
        organic_acids_g=0.0,
    )


def _near(kj: float, stated_kj: float) -> bool:
    return abs(kj - stated_kj) <= max(_ENERGY_KJ, _ENERGY_SHARE * stated_kj)


def _energies(g: Mapping[str, float], per_g: float, fibre_in_carbohydrate: bool) -> list[Problem]:
    found: list[Problem] = []
    kj, kcal = g.get("energy_kj"), g.get("energy_kcal")
    stated = kj if kj is not None else None if kcal is None else kcal * energy.KJ_PER_KCAL
    if kj is not None and kcal is not None and not _near(kcal * energy.KJ_PER_KCAL, kj):
        swapped = _near(kj * energy.KJ_PER_KCAL, kcal)
        cause = _(CAUSES["swapped" if swapped else "other"])
        found.append(KJ_AND_KCAL.at(_at("energy_kj"), kj=number(kj, 0), kcal=number(kcal, 0), cause=cause))
    if stated is None or not {"fat", "carbohydrate", "protein"} <= g.keys():
        return found
    fibre = g.get("fibre", 0.0)
    computed = _law_kj(g, g["carbohydrate"] - (fibre if fibre_in_carbohydrate else 0.0))
    if not _near(computed, stated):
        if not fibre_in_carbohydrate and fibre and _near(_law_kj(g, g["carbohydrate"] - fibre), stated):
            cause = _(CAUSES["fibre_in_carbohydrate"])
        elif per_g != 100.0 and (_near(computed * per_g / 100, stated) or _near(computed, stated * per_g / 100)):
            cause = _(CAUSES["per_serving"], grams=number(per_g, 0))
        else:
            cause = _(CAUSES["other"])
        found.append(
            ENERGY_OFF.at(_at("energy_kj"), computed=number(computed, 0), stated=number(stated, 0), cause=cause)
        )
    return found


def _salts(g: Mapping[str, float]) -> list[Problem]:
    if "salt" not in g or "sodium" not in g:
        return []
    salt, sodium_mg = g["salt"], g["sodium"]
    if abs(energy.salt_g(sodium_mg) - salt) <= max(0.06, 0.06 * salt):
        return []
    return [SALT_AND_SODIUM.at(_at("salt"), salt=number(salt, 2), sodium=number(sodium_mg, 0))]
