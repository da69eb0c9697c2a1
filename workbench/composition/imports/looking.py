"""Looking at the figures of a table where its words leave something open: fibre in carbohydrate, unit of energy, comma.

What figures cannot decide is a question to the user; nothing is guessed.
"""

from collections.abc import Mapping, Sequence
from itertools import islice
from typing import NamedTuple

import msgspec

from workbench.base.progress import Progress
from workbench.base.text import N_, _
from workbench.composition.food import Value
from workbench.composition.imports import grid, readers
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.cells import decimal_comma
from workbench.composition.imports.figures import settled
from workbench.composition.imports.header_words import CARBOHYDRATE, ENERGY
from workbench.composition.imports.layout import Conventions, Layout
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Meter

_LOOKED_AT = 400  # foods
_FEWEST, _MOST_AGAINST = 3, 0.2  # votes, and the share of them that may say otherwise
_CLOSES_G = 1.5  # water, protein, fat, carbohydrate and ash make 100 g within this
_KCAL = {"PROCNT": 4.0, "FAT": 9.0, "CHOCDF": 4.0, "CHOAVLDF": 4.0}


class Question(NamedTuple):
    """A choice that has to be made before the table can be read."""

    field: str  # of Conventions
    words: str
    answers: tuple[str, ...]


_OF_CARBOHYDRATE = N_("Does carbohydrate include fibre?")
_OF_ENERGY = N_("Is energy in kJ or kcal?")


def look(bundle: Bundle, layout: Layout, chosen: Conventions) -> tuple[Conventions, list[str], list[Question]]:
    """All choices with what the figures settle, in words what that was, and what remains to be asked."""
    said: list[str] = []
    questions: list[Question] = []
    if not chosen.decimal and layout.name in ("wide", "long", "product"):
        chosen = msgspec.structs.replace(chosen, decimal=_decimal(bundle, layout))
    if layout.name == "product" and not chosen.per:
        said.append(_("nothing says what the figures are per; 100 g is taken"))
    targets = {column.target for column in layout.columns if not column.why_not}
    if CARBOHYDRATE in targets and not chosen.carbohydrate:
        if layout.name == "product":
            chosen = msgspec.structs.replace(chosen, carbohydrate="without_fibre")
            said.append(_("carbohydrate is taken without fibre, as on labels in the European Union"))
        elif found := _fibre(_sample(bundle, layout, chosen, "with_fibre", chosen.energy)):
            words, chosen = found[1], msgspec.structs.replace(chosen, carbohydrate=found[0])
            said.append(words)
        else:
            questions.append(Question("carbohydrate", _OF_CARBOHYDRATE, ("with_fibre", "without_fibre")))
    if ENERGY in targets and not chosen.energy:
        unit = _unit_of_energy(_sample(bundle, layout, chosen, chosen.carbohydrate or "with_fibre", "kcal"))
        if unit:
            chosen = msgspec.structs.replace(chosen, energy=unit)
            said.append(_("energy is in {unit}, by protein, fat and carbohydrate", unit=unit))
        else:
            questions.append(Question("energy", _OF_ENERGY, ("kJ", "kcal")))
    return chosen, said, questions


def _decimal(bundle: Bundle, layout: Layout) -> str:
    read = grid.rows(bundle, layout.read[0], layout.sheet, Tally())
    cells = [cell for row in islice(read, 600) for cell in row if len(cell) < 20]
    comma = decimal_comma(cells)
    if comma and layout.sheet and decimal_comma([cell for cell in cells if "," not in cell]) is not None:
        return ""  # texts with commas beside numbers of the workbook, which have points: 1.234 is no thousand
    return "" if comma is None else "comma" if comma else "point"


def _sample(
    bundle: Bundle, layout: Layout, chosen: Conventions, carbohydrate: str, energy: str
) -> list[Mapping[str, Value]]:
    """Values of the first foods with these meanings tried."""
    tried = layout._replace(columns=settled(layout.columns, carbohydrate, energy))
    read = readers.drafts(bundle, tried, "", Tally(), Meter(Progress(), 1), comma_of(chosen))
    return [draft.values for draft in islice(read, _LOOKED_AT)]


def comma_of(chosen: Conventions) -> bool | None:
    """Whether a comma is the decimal sign; None where that is open."""
    return None if not chosen.decimal else chosen.decimal == "comma"


def _fibre(foods: Sequence[Mapping[str, Value]]) -> tuple[str, str] | None:
    closing = ("WATER", "PROCNT", "FAT", "ASH", "CHOCDF", "FIBTG")
    inside = outside = 0
    for values in foods:
        if not all(tag in values for tag in closing) or values["FIBTG"].value <= 2.0 * _CLOSES_G:
            continue
        fibre = values["FIBTG"].value
        alcohol = values["ALC"].value if "ALC" in values else 0.0
        gap = sum(values[tag].value for tag in closing) - fibre + alcohol - 100.0
        inside += abs(gap) <= _CLOSES_G
        outside += abs(gap + fibre) <= _CLOSES_G
    votes = inside + outside
    if votes < _FEWEST or min(inside, outside) > _MOST_AGAINST * votes:
        return None
    said = {"n": max(inside, outside), "all": votes}
    if inside > outside:
        return "with_fibre", _("carbohydrate includes fibre: the parts make 100 g so in {n} of {all} foods", **said)
    return "without_fibre", _("carbohydrate is without fibre: the parts make 100 g so in {n} of {all} foods", **said)


def _unit_of_energy(foods: Sequence[Mapping[str, Value]]) -> str:
    kcal = kj = 0
    for values in foods:
        carbohydrate = "CHOCDF" if "CHOCDF" in values else "CHOAVLDF"
        if not all(tag in values for tag in ("ENERC_KCAL", "PROCNT", "FAT", carbohydrate)):
            continue
        expected = sum(values[tag].value * _KCAL[tag] for tag in ("PROCNT", "FAT", carbohydrate))
        if expected > 0.0:
            ratio = values["ENERC_KCAL"].value / expected
            kcal += 0.6 <= ratio <= 1.5
            kj += 2.8 <= ratio <= 6.0
    votes = kcal + kj
    if votes < _FEWEST or min(kcal, kj) > _MOST_AGAINST * votes:
        return ""
    return "kcal" if kcal > kj else "kJ"
