"""Why this number: the derivation of one figure, from the lines and their sources to what is shown.

It reads the matrix that the figure came from; nothing is derived a second time.  The terms and steps add up to the
figure before rounding.
"""

from typing import NamedTuple

from workbench.base.text import _, number
from workbench.composition.bundled import sources
from workbench.composition.derive import RULES, fill_gaps
from workbench.composition.food import Food, Value
from workbench.document.project import Basis, ByCount, Line, Project
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import REFERENCE_CARBOHYDRATE_G, Evaluation
from workbench.recipe.food_row import rules_in_use
from workbench.recipe.quantities import BASIS_TITLES, INDEX, QUANTITIES, Quantity
from workbench.recipe.words import VALUE_KINDS, bound_text, quantity_text, weight_text


class Input(NamedTuple):
    """One published, derived or missing value that a term rests on; per 100 g edible part."""

    tag: str
    value: Value | None  # None: no source gives it


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

    def text(self) -> str:
        """The derivation as plain text, to copy."""
        return "\n".join(_lines(self))


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
        quotient = above / below if below else bound.value
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
        _note(line, quantity, food),
    )


def _inputs(project: Project, food: Food, quantity: Quantity) -> tuple[Input, ...]:
    """Values behind a term: those that are not zero, and those that are missing where they would count."""
    values = fill_gaps(food, rules_in_use(project.assumptions)).values
    if quantity.inputs == (quantity.key,):
        return (Input(quantity.key, values.get(quantity.key)),)
    found = []
    for tag in quantity.inputs:
        value = values.get(tag)
        if value is None:
            missing = tag not in _COUNTED_ELSEWHERE and not (tag in _TWINS and _TWINS[tag] in values)
            if missing:
                found.append(Input(tag, None))
        elif value.value != 0.0:
            found.append(Input(tag, value))
    return tuple(found)


_COUNTED_ELSEWHERE = ("ALC", "POLYL", "OA", "DEXTN", "CHOAVLDF")
"""Where a table does not state these, its other values hold them: that is no gap."""

_TWINS = {"CHOCDF": "CHOAVLDF"}
"""A label's carbohydrate stands for the total one."""


def _note(line: Line, quantity: Quantity, food: Food | None) -> str:
    if food is None:
        return _("a variant of this project: see its own figures")
    kept = [f"{tag} {100 * line.retention[tag]:g} %" for tag in quantity.inputs if tag in line.retention]
    return _("kept in cooking: {kept}", kept=", ".join(kept)) if kept else ""


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


def input_text(given: Input) -> str:
    """One value with where it comes from: ``CHOCDF 79.45 g, published, USDA SR26 20422``."""
    unit = QUANTITIES[given.tag].unit
    if given.value is None:
        return _("{tag} not known", tag=given.tag)
    value = given.value
    parts = [f"{given.tag} {value.value:.6g} {unit}", _(VALUE_KINDS[value.kind])]
    if value.rule:
        parts.append(_(RULES[value.rule].title))
    if value.source:
        known = sources().get(value.source)
        parts.append(f"{known.short if known else value.source} {value.code}".strip())
    if value.note:
        parts.append(_(value.note))
    return ", ".join(parts)


def _lines(e: Explanation) -> list[str]:
    unit = e.quantity.unit
    per = "" if e.quantity.kind == "ratio" else f", {_(BASIS_TITLES[e.basis])}"
    lines = [f"{e.variant_name}: {_(e.quantity.title)}{per}: {quantity_text(e.bound, e.quantity.key)}"]
    lines.append(_("How: {formula}", formula=_(e.quantity.formula)))
    for part in e.parts:
        lines += ["", *_lines(part._replace(weights=()))]
    for term in e.terms:
        if term.brings_nothing:
            continue
        as_bought = f" × {term.edible_fraction:g}" if term.edible_fraction != 1.0 else ""
        per_100g = bound_text(Bound(term.per_100g, term.low_per_100g, term.high_per_100g), 3)
        brings = f"{term.brings:.3f} {unit}"
        lines.append(f"  {term.name}: {term.amount_g:.1f} g{as_bought} × {per_100g} {unit}/100 g = {brings}")
        lines += [f"      {input_text(given)}" for given in term.inputs]
        if term.note:
            lines.append(f"      {term.note}")
    nothing = [term.name for term in e.terms if term.brings_nothing]
    if nothing:
        lines.append("  " + _("nothing from: {names}", names=", ".join(nothing)))
    if e.terms:
        lines.append("  " + _("sum: {total} {unit}", total=f"{e.total:.3f}", unit=unit))
    lines += [f"  {step.words} = {step.result:.4f} {unit}".rstrip() for step in e.steps]
    if e.bound.certainty != "exact":
        lines.append("  " + _("limits: {figure}", figure=bound_text(e.bound, e.quantity.decimals + 1)))
        if e.bound.unknown:
            lines.append("  " + _("because of: {names}", names="; ".join(e.bound.unknown)))
    if e.weights:
        lines += [_("Weights:"), *(f"  {words}" for words in e.weights)]
    return lines
