"""An ingredient from its pack label: what is printed becomes values, what is not printed stays unknown.

Contradictions are found and named with their likely cause (``label_findings``); nothing is corrected silently.
"""

from collections.abc import Mapping
from typing import NamedTuple

from workbench.base.errors import Problem
from workbench.base.text import N_, _, number
from workbench.composition.food import Food, Value
from workbench.composition.label_findings import CAUSES, MOST_KCAL_PER_G, findings
from workbench.composition.label_lines import LINES, Figure, LabelError, LabelLine, read_line
from workbench.science import energy

__all__ = ["LINES", "LabelError", "LabelLine", "LabelReading", "label_entries", "read_label", "read_line"]

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
    "sodium": "NA",
}
_FROM_KJ = N_("the label states kJ only: 1 kcal is 4.184 kJ")


class LabelReading(NamedTuple):
    """What a label says, per 100 g, and what is odd about it.

    ``values`` are ready for a ``Food``; ``limits`` are components of which only "less than" is printed.
    """

    values: dict[str, Value]
    limits: dict[str, float]
    findings: tuple[Problem, ...]


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
    LabelError
        If a figure cannot be read, or is more than there is food; ``key`` names its line.
    """
    if not 0.0 < per_g <= 100_000.0:
        raise LabelError(_("The serving needs a weight above zero."), key="")
    read = ((line.key, read_line(line.key, entries.get(line.key, ""))) for line in LINES)
    figures = {key: figure for key, figure in read if figure is not None}
    for line in LINES:
        if line.key in figures:
            _refuse_impossible(line, figures[line.key], per_g)
    values: dict[str, Value] = {}
    limits: dict[str, float] = {}
    for tag, figure, note in _by_tag(figures, fibre_in_carbohydrate):
        per_100_g = figure.amount * 100.0 / per_g
        if tag == "ENERC_KCAL":
            if per_100_g > MOST_KCAL_PER_G * 100.0:
                continue  # a finding says so; energy is computed from the lines anyway
        elif tag != "NA":
            per_100_g = min(per_100_g, 100.0)  # a serving that rounding made heavier than it is
        if figure.less_than:
            limits[tag] = per_100_g
        else:
            values[tag] = Value(per_100_g, "label", source, note=note)
    return LabelReading(values, limits, findings(figures, per_g, fibre_in_carbohydrate))


def _refuse_impossible(line: LabelLine, figure: Figure, per_g: float) -> None:
    """No project file could hold such a value."""
    unit = line.units[0]
    if unit in ("kJ", "kcal") or (0.0 if figure.less_than else figure.low) <= per_g * _IN_A_GRAM[unit]:
        return
    raise LabelError(
        _("{amount} {unit} cannot be in {per} g.", amount=f"{figure.amount:g}", unit=unit, per=f"{per_g:g}"),
        hint=_(CAUSES["all_per_100_g"], grams=f"{per_g:g}")
        if figure.low <= 100.0 * _IN_A_GRAM[unit]
        else _("Check the figure, its unit, and what the figures are per."),
        key=line.key,
    )


_IN_A_GRAM = {"g": 1.0, "mg": 1000.0}


def _by_tag(figures: Mapping[str, Figure], fibre_in_carbohydrate: bool) -> list[tuple[str, Figure, str]]:
    tags = dict(_TAGS)
    if fibre_in_carbohydrate:
        tags["carbohydrate"] = "CHOCDF"
    found = [(tags[key], figure, "") for key, figure in figures.items() if key in tags]
    if "sodium" not in figures and "salt" in figures:
        found.append(("NA", _times(figures["salt"], 1.0 / energy.salt_g(1.0)), ""))
    if "energy_kcal" not in figures and "energy_kj" in figures:
        found.append(("ENERC_KCAL", _times(figures["energy_kj"], 1.0 / energy.KJ_PER_KCAL), _FROM_KJ))
    return found


def _times(figure: Figure, factor: float) -> Figure:
    return figure._replace(amount=figure.amount * factor, low=figure.low * factor, high=figure.high * factor)


def label_entries(food: Food) -> tuple[dict[str, str], bool]:
    """The lines of the label that a food was made from, as they would be typed per 100 g.

    Returns
    -------
    tuple of dict and bool
        Text by key of ``LINES``, and whether carbohydrate includes fibre.
    """
    stated = {tag: (value.value, "") for tag, value in food.values.items()}
    stated |= {tag: (limit, "< ") for tag, limit in food.limits.items() if tag not in stated}
    fibre_in_carbohydrate = "CHOCDF" in stated and "CHOAVLDF" not in stated
    tags = {**_TAGS, "carbohydrate": "CHOCDF" if fibre_in_carbohydrate else "CHOAVLDF"}
    entries = {key: _typed(*stated[tag], decimals=2) for key, tag in tags.items() if tag in stated}
    if "NA" in stated and not fibre_in_carbohydrate:
        amount_mg, sign = stated["NA"]
        del entries["sodium"]
        entries["salt"] = _typed(energy.salt_g(amount_mg), sign, decimals=3)
    return entries, fibre_in_carbohydrate


def _typed(amount: float, sign: str, *, decimals: int) -> str:
    text = number(amount, decimals)
    return sign + (text.rstrip("0").rstrip(".,") if decimals else text)
