"""What a cook follows: the whole and the half batch by stages, how to cut it, how to cool and keep it.

Half of a batch is half of every weight; what a stage loses is taken to halve with it.
"""

import math
from typing import NamedTuple

from workbench.base.errors import CalculationError
from workbench.base.text import N_, _, number, plural
from workbench.base.units import System
from workbench.document.project import Line, Project, Stage
from workbench.recipe.allergens import Rules
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.household import grams_text, household_measure, temperature_text
from workbench.recipe.pack_statement import PackStatement, pack_statement
from workbench.recipe.words import STAGE_KINDS, losses_text
from workbench.science import keeping
from workbench.science.cutting import CutPattern, cut_pattern, nearest_patterns, square_side_mm

HALF = 0.5


class CardLine(NamedTuple):
    """One ingredient of a stage; weights are edible. [g]"""

    name: str
    whole_g: float
    half_g: float
    remarks: tuple[str, ...]  # as bought, household measure, note


class CardStage(NamedTuple):
    """One stage with its lines; weights are of the whole batch and of half of it. [g]"""

    title: str
    facts: str  # time and temperature
    text: str
    lines: tuple[CardLine, ...]
    in_g: float
    out_g: float
    changes: bool  # whether the weight changes


class Cutting(NamedTuple):
    """How the batch is cut: in words, and the pattern to draw where there is one."""

    words: tuple[str, ...]
    pattern: CutPattern | None


class KitchenCard(NamedTuple):
    """Everything that stands on the card, in words and grams."""

    title: str
    variant: str
    purpose: str
    whole: str  # what it makes
    half: str
    stages: tuple[CardStage, ...]
    cutting: Cutting
    cooling: tuple[str, ...]
    probes: tuple[str, ...]  # what to measure and write down
    statement: PackStatement
    system: System


def kitchen_card(
    project: Project,
    evaluation: Evaluation,
    *,
    rules: Rules = "eu",
    title: str = "",
    depth_mm: float = keeping.COOLING_LAYER_MM,
) -> KitchenCard:
    """Put together the kitchen card of a variant.

    Parameters
    ----------
    project : Project
        Holds the foods and variants.
    evaluation : Evaluation
        A valid one.
    rules : {"eu", "us"}
        Whose law says which allergens are named.
    title : str
        Name of the food; the project's title where empty.
    depth_mm : float
        Depth of the layer that is cut. [mm]

    Raises
    ------
    CalculationError
        If the variant has no valid result, or its ingredients cannot be listed.
    """
    statement = pack_statement(project, evaluation, rules=rules, title=title)
    if not evaluation.valid:
        raise CalculationError(
            _("“{name}” has no valid result to cook from.", name=evaluation.variant.name),
            hint=_("Mend its problems first."),
            problems=evaluation.problems,
        )
    system: System = project.measures
    return KitchenCard(
        statement.title,
        evaluation.variant.name,
        evaluation.variant.purpose,
        _makes(evaluation, 1.0),
        _makes(evaluation, HALF),
        tuple(_stage(project, evaluation, k, stage) for k, stage in enumerate(evaluation.prepared.stages)),
        cutting(evaluation.portions.whole_pieces, evaluation.portions.piece_g, depth_mm),
        cooling_words(system),
        _probes(system),
        statement,
        system,
    )


def _makes(evaluation: Evaluation, part: float) -> str:
    portions = evaluation.portions
    weight = grams_text(portions.piece_g)
    pieces = portions.pieces * part
    whole = math.floor(pieces + 1e-9)
    text = plural("{n} piece of {grams} g", "{n} pieces of {grams} g", whole, grams=weight)
    over = (pieces - whole) * portions.piece_g
    return _("{pieces}, {grams} g over", pieces=text, grams=number(over, 0)) if over >= 0.5 else text


def _stage(project: Project, evaluation: Evaluation, k: int, stage: Stage) -> CardStage:
    kind = _(STAGE_KINDS[stage.kind])
    facts = []
    if stage.minutes is not None:
        facts.append(_("{minutes} min", minutes=number(stage.minutes, 0)))
    if stage.temperature_degC is not None:
        facts.append(temperature_text(stage.temperature_degC, project.measures))
    into, out = float(evaluation.stage_in_g[k]), float(evaluation.stage_out_g[k])
    lines = tuple(
        _line(project, evaluation, j, line)
        for j, line in enumerate(evaluation.prepared.variant.lines)
        if evaluation.prepared.line_stage[j] == k and evaluation.edible_g[j] > 0
    )
    text = " ".join(part for part in (stage.text.strip(), losses_text(stage)) if part)
    return CardStage(
        f"{k + 1}  {stage.name or kind}", " · ".join(facts), text, lines, into, out, abs(into - out) >= 0.5
    )


def _line(project: Project, evaluation: Evaluation, j: int, line: Line) -> CardLine:
    grams = float(evaluation.edible_g[j])
    name = evaluation.prepared.names[j]
    remarks = []
    food = project.foods.get(line.food_ref.id) if line.food_ref.kind != "variant" else None
    if food is None:
        remarks.append(_("made first: see its own card"))
    else:
        if food.edible_fraction < 1.0:
            bought = grams / food.edible_fraction
            weights = {"whole": grams_text(bought), "half": grams_text(bought * HALF), "bought": food.bought_as}
            remarks.append(
                _("{whole} g as bought, half {half} g ({bought})", **weights)
                if food.bought_as
                else _("{whole} g as bought, half {half} g", **weights)
            )
        if measure := household_measure(food, grams, project.measures):
            remarks.append(_("about {measure}", measure=measure))
    if line.cooking_water:
        remarks.append(_("cooking water"))
    if line.note.strip():
        remarks.append(line.note.strip())
    return CardLine(name, grams, grams * HALF, tuple(remarks))


def cutting(pieces: int, piece_g: float, depth_mm: float) -> Cutting:
    """A tin and a pattern for so many pieces, as a suggestion.

    Parameters
    ----------
    pieces : int
        Whole pieces.
    piece_g : float
        Weight of one. [g]
    depth_mm : float
        Depth of the layer. [mm]
    """
    if pieces < 1:
        return Cutting((_("less than one piece: nothing to cut."),), None)
    weighed = _("shape pieces of {grams} g on the scale.", grams=grams_text(piece_g))
    pattern = cut_pattern(pieces)
    if pattern is None:
        others = _(" or ").join(
            _("{pieces} ({rows} × {columns})", pieces=p.pieces, rows=p.rows, columns=p.columns)
            for p in nearest_patterns(pieces)
            if p.trays == 1
        )
        words = [_("{pieces} pieces cannot be cut in even rows: {weighed}", pieces=pieces, weighed=weighed)]
        if others:
            words.append(_("Even cuts near it: {others}.", others=others))
        return Cutting(tuple(words), None)
    side = square_side_mm(piece_g, depth_mm)
    words = [
        _("{rows} × {columns} squares of {side} mm", rows=pattern.rows, columns=pattern.columns, side=number(side, 0)),
        _(
            "tin about {width} × {length} mm, {depth} mm deep",
            width=number(5 * round(pattern.rows * side / 5), 0),
            length=number(5 * round(pattern.columns * side / 5), 0),
            depth=number(depth_mm, 0),
        ),
        _("for pressed moist grain (1.1 g/ml); a suggestion: the stages and the scale go before it"),
    ]
    if pattern.trays > 1:
        words.insert(0, plural("{n} tin, each:", "{n} tins, each:", pattern.trays))
    return Cutting(tuple(words), pattern)


COOLING = (
    N_("Spread no deeper than {depth} mm, uncovered, cold air on both sides."),
    N_("From {hot} to {first} within {first_hours} h, to {cold} within {all_hours} h in all."),
    N_("Keep at {keep} or below, eat within {keep_hours} h of cooking."),
    N_("Out of the cold at most {out_hours} h, {heat_hours} h above {heat}."),
    N_("Only a professional's own validated plan may say otherwise."),
)


def cooling_words(system: System) -> tuple[str, ...]:
    """How to cool and keep moist cooked food by the cautious default; sources in ``science.keeping``."""
    parts = {
        "depth": number(keeping.COOLING_LAYER_MM, 0),
        "hot": temperature_text(keeping.COOL_FROM_degC, system),
        "first": temperature_text(keeping.COOL_FIRST_TO_degC, system),
        "first_hours": number(keeping.COOL_FIRST_HOURS, 0),
        "cold": temperature_text(keeping.COOL_THEN_TO_degC, system),
        "all_hours": number(keeping.COOL_ALTOGETHER_HOURS, 0),
        "keep": temperature_text(keeping.KEEP_AT_MOST_degC, system),
        "keep_hours": number(keeping.KEEP_HOURS, 0),
        "out_hours": number(keeping.OUT_OF_COLD_HOURS, 0),
        "heat_hours": number(keeping.OUT_OF_COLD_HEAT_HOURS, 0),
        "heat": temperature_text(keeping.HEAT_degC, system),
    }
    return tuple(_(sentence, **parts) for sentence in COOLING)


def _probes(system: System) -> tuple[str, ...]:
    first = {"hours": number(keeping.COOL_FIRST_HOURS, 0), "at": temperature_text(keeping.COOL_FIRST_TO_degC, system)}
    cold = {
        "hours": number(keeping.COOL_ALTOGETHER_HOURS, 0),
        "at": temperature_text(keeping.COOL_THEN_TO_degC, system),
    }
    return (
        _("end of cooking"),
        _("after {hours} h, at most {at}", **first),
        _("after {hours} h, at most {at}", **cold),
    )
