"""Why this number: the derivation of one figure, from the lines and their sources to what is shown.

It reads the matrix that the figure came from; nothing is derived a second time.  The terms and steps add up to the
figure before rounding.  ``explanation_words`` puts it into sentences.
"""

import math
from collections.abc import Mapping
from typing import NamedTuple

from workbench.base.text import _, number
from workbench.composition.bundled import digestibility_groups
from workbench.composition.derive import fill_gaps
from workbench.composition.food import Food, Value
from workbench.document.project import Basis, ByCount, Project
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import REFERENCE_CARBOHYDRATE_G, Evaluation
from workbench.recipe.flow import fat_kept
from workbench.recipe.food_row import ACIDS, FAT_FAMILY, SUGARS, rules_in_use
from workbench.recipe.food_words import source_words
from workbench.recipe.quantities import INDEX, QUANTITIES, Quantity
from workbench.recipe.words import weight_text


class Input(NamedTuple):
    """One published, derived or missing value that a term rests on; per 100 g edible part."""

    tag: str
    value: Value | None  # None: no source gives it
    less_than: float | None = None  # what a label prints instead of a value


class Term(NamedTuple):
    """What one line brings to the batch."""

    line_id: str
    name: str
    amount_g: float  # as entered
    edible_fraction: float
    edible_g: float
    per_100g: float  # known part, after losses
    low_per_100g: float
    high_per_100g: float
    brings: float  # edible_g x per_100g / 100
    inputs: tuple[Input, ...]
    note: str

    @property
    def brings_nothing(self) -> bool:
        """Whether the line is known to hold none of the quantity."""
        return self.high_per_100g == 0.0

    def per_100g_bound(self) -> Bound:
        """What 100 g bring, with limits."""
        inexact = self.high_per_100g - self.low_per_100g > _INEXACT
        return Bound(self.per_100g, self.low_per_100g, self.high_per_100g, (self.name,) if inexact else ())

    def brings_bound(self) -> Bound:
        """What the line brings, with limits."""
        return self.per_100g_bound().times(self.edible_g / 100.0)


_INEXACT = 1e-10


class Step(NamedTuple):
    """One step from the sum to the figure: what is done, and what comes of it."""

    words: str
    result: float


class Explanation(NamedTuple):
    """The whole derivation of a linear quantity; for a ratio, that of its two parts.

    ``terms`` sum to ``total``; ``steps`` lead from there to ``bound.value``.
    """

    quantity: Quantity
    basis: Basis
    bound: Bound
    variant_name: str
    terms: tuple[Term, ...]
    total: float
    steps: tuple[Step, ...]
    weights: tuple[str, ...]  # stages with weight in and out, in words
    parts: tuple["Explanation", ...] = ()


def explain(project: Project, evaluation: Evaluation, key: str, basis: Basis = "portion") -> Explanation:
    """Derive one figure.

    Parameters
    ----------
    project : Project
        The project that was evaluated.
    evaluation : Evaluation
        A valid evaluation of one of its variants.
    key : str
        Key of a quantity in the catalogue.
    basis : Basis
        What the figure is per; without meaning for a ratio.

    Returns
    -------
    Explanation
        Terms, steps and limits.

    Raises
    ------
    KeyError
        If the catalogue has no such quantity.
    """
    quantity = QUANTITIES[key]
    bound = evaluation.bound(key, basis)
    name = evaluation.variant.name
    weights = _weights(evaluation)
    if quantity.kind == "ratio":
        parts = tuple(explain(project, evaluation, k, "batch") for k in (quantity.numerator, quantity.denominator))
        above, below = (part.bound.value for part in parts)
        words = _("{above} ÷ {below}", above=_(parts[0].quantity.title), below=_(parts[1].quantity.title))
        quotient = math.nan if math.isnan(bound.value) else above / below  # no figure without one
        steps = [Step(words, quotient)]
        if quantity.scale != 1.0:
            steps.append(Step(_("× {factor}", factor=f"{quantity.scale:g}"), quotient * quantity.scale))
        return Explanation(quantity, "batch", bound, name, (), above, tuple(steps), weights, parts)
    column = INDEX[key]
    prepared = evaluation.prepared
    terms = tuple(
        _term(project, evaluation, quantity, column, k)
        for k in range(len(prepared.names))
        if evaluation.amount_g[k] > 0
    )
    total = sum(term.brings for term in terms)
    return Explanation(quantity, basis, bound, name, terms, total, _steps(evaluation, key, basis, total), weights)


def _term(project: Project, evaluation: Evaluation, quantity: Quantity, column: int, k: int) -> Term:
    prepared = evaluation.prepared
    line = evaluation.variant.lines[k]
    food = project.foods.get(line.food_ref.id) if line.food_ref.kind != "variant" else None
    value = float(prepared.row_value[k, column])
    low, high = float(prepared.row_low[k, column]), float(prepared.row_high[k, column])
    edible_g = float(evaluation.edible_g[k])
    return Term(
        line.id,
        prepared.names[k],
        float(evaluation.amount_g[k]),
        float(prepared.edible_fraction[k]),
        edible_g,
        100.0 * value,
        100.0 * low,
        100.0 * high,
        edible_g * value,
        _inputs(project, food, quantity) if food else (),
        _note(evaluation, k, quantity, food),
    )


# --- what a term rests on ----------------------------------------------------------------------------------------

_COUNTED_ELSEWHERE = ("ALC", "POLYL", "ERYTHL", "OA", "DEXTN", "CHOAVLDF")
"""Where a table does not state these, its other values hold them: that is no gap."""

_PARTS: Mapping[str, tuple[str, ...]] = {
    "SUGAR": SUGARS,
    "FIBTG": ("FIBSOL", "FIBINS"),
    "FAT": ("FASAT", "FAMS", "FAPU"),
    "FASAT": ACIDS,
}
"""Known parts are the least that a missing whole can be."""

_WITH_GROUP = ("residue_organic", "residue_fibre_based", "energy_specific_kcal")


def _inputs(project: Project, food: Food, quantity: Quantity) -> tuple[Input, ...]:
    """Values behind a term: those that are not zero, and those that are missing where they would count."""
    values = fill_gaps(food, rules_in_use(project.assumptions)).values
    if quantity.inputs == (quantity.key,):
        parts = () if quantity.key in values else _PARTS.get(quantity.key, ())
        known = tuple(Input(tag, values[tag]) for tag in parts if tag in values and values[tag].value != 0.0)
        return (_input(food, values, quantity.key), *known)
    found = []
    for tag in quantity.inputs:
        if _is_settled(tag, quantity, values):
            continue
        value = values.get(tag)
        if value is None:
            if tag not in _COUNTED_ELSEWHERE:
                found.append(_input(food, values, tag))
        elif value.value != 0.0:
            found.append(Input(tag, value))
    return tuple(found)


def _input(food: Food, values: Mapping[str, Value], tag: str) -> Input:
    value = values.get(tag)
    return Input(tag, value, food.limits.get(tag) if value is None else None)


def _is_settled(tag: str, quantity: Quantity, values: Mapping[str, Value]) -> bool:
    """Whether other values leave nothing for this one to say."""
    if tag == "SUGAR":  # the sum matters only while single sugars are missing
        return all(sugar in values for sugar in SUGARS)
    if quantity.key == "CHOCDF":
        return tag != "CHOCDF" and "CHOCDF" in values
    if tag == "CHOCDF":  # a label's carbohydrate stands for the total one
        return "CHOAVLDF" in values
    if tag == "FIBTG" and quantity.key in ("CHOAVLDF", "other_carbohydrate"):
        return "CHOAVLDF" in values
    return False


def _note(evaluation: Evaluation, k: int, quantity: Quantity, food: Food | None) -> str:
    if food is None:
        return _("a variant of this project: see its own figures")
    line, prepared = evaluation.variant.lines[k], evaluation.prepared
    said = []
    kept = [
        f"{_(QUANTITIES[tag].title)} {100 * line.retention[tag]:g} %"
        for tag in quantity.inputs
        if tag in line.retention and tag in QUANTITIES
    ]
    if kept:
        said.append(_("kept in cooking: {kept}", kept=", ".join(kept)))
    fat = fat_kept(prepared.stages, prepared.line_stage[k])
    if fat < 1.0 and any(tag in FAT_FAMILY for tag in quantity.inputs):
        said.append(_("{percent} % of the fat is kept, the rest stays in the pan", percent=f"{100 * fat:.4g}"))
    if quantity.key in _WITH_GROUP:
        said.append(_group_words(food.digestibility, quantity.key == "energy_specific_kcal"))
    return "; ".join(said)


def _group_words(key: str, specific_energy: bool) -> str:
    """The coefficients of a food's group, with their source."""
    group = digestibility_groups().get(key)
    if group is None:
        return _("group not known, so its coefficients are not known either")
    if specific_energy:
        figures, words = (group.kcal_protein, group.kcal_fat, group.kcal_carbohydrate), _("kcal/g")
    else:
        figures, words = (group.d_protein, group.d_fat, group.d_carbohydrate), _("digested share")
    protein, fat, carbohydrate = (number(figure, 2) for figure in figures)
    return _(
        "{group}: {words} of protein {protein}, fat {fat}, carbohydrate {carbohydrate} ({source})",
        group=_(group.name),
        words=words,
        protein=protein,
        fat=fat,
        carbohydrate=carbohydrate,
        source=source_words(group.source, group.code),
    )


# --- from the sum to the figure ----------------------------------------------------------------------------------


def _weights(evaluation: Evaluation) -> tuple[str, ...]:
    return tuple(
        _(
            "{stage}: {into} g in, {out} g out ({how})",
            stage=stage.name or str(k + 1),
            into=number(float(evaluation.stage_in_g[k]), 1),
            out=number(float(evaluation.stage_out_g[k]), 1),
            how=weight_text(stage),
        )
        for k, stage in enumerate(evaluation.prepared.stages)
    )


def _steps(evaluation: Evaluation, key: str, basis: Basis, total: float) -> tuple[Step, ...]:
    batch = evaluation.bound(key, "batch").value
    steps = []
    if key == "WATER":
        change = batch - total
        words = _("water taken up") if change >= 0 else _("water given off")
        steps.append(Step(_("{what} in all stages: {grams} g", what=words, grams=number(abs(change), 1)), batch))
    if key == "weight":
        grams = number(abs(batch - total), 1)
        words = _("{grams} g gained", grams=grams) if batch >= total else _("{grams} g lost", grams=grams)
        steps.append(Step(_("{what} in all stages", what=words), batch))
    if basis == "batch":
        return tuple(steps)
    finished = number(evaluation.finished_g, 1)
    if basis == "per_100g":
        steps.append(Step(_("× 100 g ÷ {grams} g finished weight", grams=finished), evaluation.bound(key, basis).value))
        return tuple(steps)
    if basis == "per_25g_carbohydrate":
        carbohydrate = number(evaluation.bound("CHOAVLDF", "batch").value, 2)
        words = _(
            "× {reference} g ÷ {carbohydrate} g carbohydrate in the batch",
            reference=f"{REFERENCE_CARBOHYDRATE_G:g}",
            carbohydrate=carbohydrate,
        )
        steps.append(Step(words, evaluation.bound(key, basis).value))
        return tuple(steps)
    portions = evaluation.portions
    if isinstance(evaluation.variant.portioning, ByCount) and not portions.trimmings_g:
        words = _("÷ {count} pieces", count=portions.whole_pieces)
    else:
        words = _(
            "× {piece} g piece ÷ {finished} g finished weight", piece=number(portions.piece_g, 1), finished=finished
        )
    steps.append(Step(words, evaluation.bound(key, "portion").value))
    if basis == "per_hour":
        words = _("× {pace} pieces an hour", pace=f"{evaluation.variant.pace_per_hour:g}")
        steps.append(Step(words, evaluation.bound(key, basis).value))
    return tuple(steps)
