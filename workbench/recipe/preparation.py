"""Prepare: the matrix of a variant, built once per change of lines, foods or process.

Everything that depends on the amounts in a straight line is a column of one matrix: what each line brings of every
quantity (known part, lower and upper limit, and whether there is no upper limit), the weight in and out of each stage,
and the water that can be there at most.  ``evaluate`` multiplies it with the amounts.
"""

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.text import N_
from workbench.document.project import Line, Project, Stage, Variant
from workbench.recipe.cost import currency_problems, project_currency
from workbench.recipe.evaluation import evaluate
from workbench.recipe.flow import Flow, fat_kept
from workbench.recipe.food_row import FAT_FAMILY, FoodRows, Row
from workbench.recipe.prepared import Prepared
from workbench.recipe.quantities import INDEX, LINEAR

Floats = npt.NDArray[np.float64]

_WATER, _WEIGHT = INDEX["WATER"], INDEX["weight"]
_NOTHING = np.zeros(len(LINEAR))
_ANYTHING = np.full(len(LINEAR), np.inf)

FOOD_MISSING = ProblemKind(
    "food_missing",
    "error",
    N_("the project holds no such ingredient."),
    N_("Replace the line, or add the ingredient to the project."),
)
VARIANT_CYCLE = ProblemKind(
    "variant_cycle",
    "error",
    N_("variants are made of each other in a ring: {ring}."),
    N_("Take one of these lines out."),
)
VARIANT_INVALID = ProblemKind(
    "variant_invalid", "error", N_("the variant used here has no valid result."), N_("Mend that variant first.")
)
STAGE_MISSING = ProblemKind(
    "stage_missing", "error", N_("the line belongs to a stage that does not exist."), N_("Move it to another stage.")
)
FAT_OF_VARIANT_STAYS = ProblemKind(
    "fat_of_variant_stays", "warning", N_("fat left in the pan is not taken from a variant used as an ingredient.")
)


def prepare(project: Project, variant: Variant, rows: FoodRows | None = None) -> Prepared:
    """Build the matrix of a variant.

    Parameters
    ----------
    project : Project
        Holds the foods, the assumptions, and the variants that may be ingredients.
    variant : Variant
        The variant to prepare.
    rows : FoodRows, optional
        Rows computed earlier; a session passes the same object again and again.

    Returns
    -------
    Prepared
        Matrix, names and problems.
    """
    return _prepare(project, variant, rows or FoodRows(), ())


def _prepare(project: Project, variant: Variant, rows: FoodRows, path: tuple[str, ...]) -> Prepared:
    place = Place("variant", variant.id, variant.name)
    problems: list[Problem] = []
    stages = variant.stages or (Stage(id=""),)
    position = {stage.id: k for k, stage in enumerate(stages)}
    path = (*path, variant.id)
    currency = project_currency(project)
    problems += currency_problems(project, variant, currency)
    names: list[str] = []
    line_rows: list[Row] = []
    line_stage: list[int] = []
    n = len(variant.lines)
    edible = np.ones(n)
    yields = np.ones(n)
    for k, line in enumerate(variant.lines):
        at = position.get(line.stage_id)
        name, row, line_problems = _line(project, line, place, rows, path, fat_kept(stages, at or 0), currency)
        if at is None:
            line_problems.append(STAGE_MISSING.at(place, Place("line", line.id, name)))
        names.append(name)
        line_rows.append(row)
        line_stage.append(at or 0)
        problems += line_problems
        food = project.foods.get(line.food_ref.id) if line.food_ref.kind != "variant" else None
        if food is not None:
            edible[k] = food.edible_fraction if line.as_bought else 1.0
            yields[k] = food.typical_yield or 1.0
    value, low, high = (np.array([row[which] for row in line_rows]).reshape(n, len(LINEAR)) for which in range(3))
    unknown = high - low > 1e-12
    flow = Flow(variant, stages, tuple(line_stage), edible, yields, value, high)
    matrix, constant = _matrix(value, low, high, edible, flow)
    return Prepared(
        variant,
        tuple(names),
        matrix,
        constant,
        value,
        low,
        high,
        unknown,
        edible,
        stages,
        tuple(line_stage),
        flow.water_taken_up,
        flow.water_given,
        tuple(problems),
        currency,
    )


def _matrix(value: Floats, low: Floats, high: Floats, edible: Floats, flow: Flow) -> tuple[Floats, Floats]:
    """Columns of ``Prepared.matrix``, and what is added to their sums whatever the amounts."""
    unlimited = np.isinf(high)
    blocks = [value, low, np.where(unlimited, 0.0, high), unlimited.astype(np.float64)]
    blocks = [block * edible[:, None] for block in blocks]
    n_linear = len(LINEAR)
    constants = np.zeros(4 * n_linear)
    for which, block in enumerate(blocks[:3]):
        block[:, _WATER] += flow.water_change[:-1]
        constants[which * n_linear + _WATER] = flow.water_change[-1]
        block[:, _WEIGHT] = flow.out[-1, :-1]
        constants[which * n_linear + _WEIGHT] = flow.out[-1, -1]
    weights = np.vstack([flow.into, flow.out, flow.water_most])
    return np.hstack([*blocks, weights[:, :-1].T]), np.concatenate([constants, weights[:, -1]])


def _line(
    project: Project, line: Line, place: Place, rows: FoodRows, path: tuple[str, ...], kept: float, currency: str
) -> tuple[str, Row, list[Problem]]:
    """Name, row and problems of one line."""
    missing = Row(_NOTHING, _NOTHING, _ANYTHING)
    ref = line.food_ref
    if ref.kind != "variant":
        food = project.foods.get(ref.id)
        if food is None:
            return ref.id, missing, [FOOD_MISSING.at(place, Place("line", line.id, ref.id))]
        retention: Mapping[str, float] = line.retention
        if kept < 1.0:
            retention = {**retention, **{tag: retention.get(tag, 1.0) * kept for tag in FAT_FAMILY}}
        return food.name, rows.row(food, project.assumptions, retention, currency), []
    used = next((v for v in project.variants if v.id == ref.id), None)
    if used is None:
        return ref.id, missing, [FOOD_MISSING.at(place, Place("line", line.id, ref.id))]
    at = Place("line", line.id, used.name)
    if used.id in path:
        titles = {v.id: v.name for v in project.variants}
        ring = " → ".join(titles[x] for x in (*path[path.index(used.id) :], used.id))
        return used.name, missing, [VARIANT_CYCLE.at(place, at, ring=ring)]
    inside = _prepare(project, used, rows, path)
    row = _variant_row(inside)
    if row is None:
        rings = [VARIANT_CYCLE.at(place, at, **p.parts) for p in inside.problems if p.kind is VARIANT_CYCLE]
        return used.name, missing, rings or [VARIANT_INVALID.at(place, at)]
    return used.name, row, [FAT_OF_VARIANT_STAYS.at(place, at)] if kept < 1.0 else []


def _variant_row(prepared: Prepared) -> Row | None:
    """A variant as an ingredient, per gram of its finished food; None where it has no valid result."""
    result = evaluate(prepared)
    if not result.valid:
        return None
    bounds = [result.bound(q.key, "batch").times(1.0 / result.finished_g) for q in LINEAR]
    table = np.array([(b.value, b.low, b.high) for b in bounds])
    return Row(table[:, 0], table[:, 1], table[:, 2])
