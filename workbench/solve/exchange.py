"""What an ingredient brings to a recipe, and how much of others brings the same: amounts, distance, role.

Distances are worked out on what fills a batch (water, sugars, starch, fat, protein, fibre), each against what the whole
batch holds of it, so that what matters in this recipe counts and what does not is forgiven.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.base.text import _
from workbench.composition.exchanges import Exchange
from workbench.composition.food import Food
from workbench.document.project import Assumptions, Line, Project, Variant
from workbench.recipe.evaluation import evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import INDEX, QUANTITIES

Floats = npt.NDArray[np.float64]

MATTERS = ("WATER", "SUGAR", "STARCH", "FAT", "PROCNT", "FIBTG")
"""Components that decide how far one ingredient is from another."""

_COLUMNS = [INDEX[key] for key in MATTERS]
_LEAST_SHARE = 0.02  # of the raw batch: a component of which there is less does not count by proportion
_MOST_TIMES = 8.0  # more of a substitute than this many times the old ingredient is no exchange any more
_UNKNOWN_COUNTS = 0.05  # of what the batch holds; less is not worth saying
_ROLE_FADES = 0.6  # each further role of an ingredient counts this much of the one before it


class Basket(NamedTuple):
    """One line within its recipe."""

    project: Project
    variant: Variant
    line: Line
    food: Food
    edible_g: float
    brought: Floats  # (n_linear,) by the line [g]
    scale: Floats  # (n_matters,) what the batch holds of each, at least the least share [g]
    raw_g: float
    heated: bool  # whether the line is cooked in its own stage or a later one
    rows: FoodRows

    @property
    def matters(self) -> Floats:
        """What the line brings of each component of ``MATTERS``. [g]"""
        return self.brought[_COLUMNS]

    @property
    def allergens(self) -> frozenset[str]:
        """What the recipe contains already."""
        foods = (self.project.foods.get(line.food_ref.id) for line in self.variant.lines if line.amount_g > 0)
        return frozenset(key for food in foods if food is not None for key in food.contains or ())

    @property
    def assumptions(self) -> Assumptions:
        """The project's rules for gaps."""
        return self.project.assumptions


def edible_g(line: Line, food: Food) -> float:
    """What a line made of this food weighs without what is trimmed off. [g]"""
    return line.amount_g * (food.edible_fraction if line.as_bought else 1.0)


def basket(project: Project, variant: Variant, line: Line, rows: FoodRows) -> Basket | None:
    """A line as it is looked at for exchanges; None where it is no ingredient of the project or weighs nothing."""
    food = project.foods.get(line.food_ref.id) if line.food_ref.kind != "variant" else None
    if food is None or line.amount_g <= 0.0:
        return None
    evaluation = evaluate(prepare(project, variant, rows))
    edible = edible_g(line, food)
    holds = evaluation.edible_g @ np.minimum(evaluation.prepared.row_value, 1e9)
    scale = np.maximum(holds[_COLUMNS], _LEAST_SHARE * evaluation.raw_g)
    stages = [stage.id for stage in variant.stages]
    at = stages.index(line.stage_id) if line.stage_id in stages else 0
    heated = any(stage.kind in ("cook", "bake") for stage in variant.stages[at:])
    row = rows.row(food, project.assumptions, {})
    return Basket(project, variant, line, food, edible, edible * row.value, scale, evaluation.raw_g, heated, rows)


def exchanged(inside: Basket, exchange: Exchange, foods: Sequence[Food]) -> tuple[float, ...] | None:
    """Grams of each food of an exchange; None where they cannot be worked out or would be absurd.

    Parameters
    ----------
    inside : Basket
        What is replaced.
    exchange : Exchange
        Its ratios.
    foods : sequence of Food
        The foods of ``exchange.by``, in their order.

    Returns
    -------
    tuple of float or None
        Grams of the edible part; 0 for a food that has nothing left to bring. [g]
    """
    grams: list[float] = []
    rows = [inside.rows.row(food, inside.assumptions, {}) for food in foods]
    for k, amount in enumerate(exchange.amounts):
        if isinstance(amount, float):
            grams.append(inside.edible_g * amount / 100.0)
            continue
        column = INDEX[amount]
        before = sum(g * rows[j].value[column] for j, g in enumerate(grams))
        missing = float(inside.brought[column] - before)
        per_gram = float(rows[k].value[column])
        if rows[k].high[column] - rows[k].low[column] > 1e-9 or per_gram <= 1e-6:
            return None
        if missing <= 1e-9 and k == 0:  # nothing to match: this exchange is for something else
            return None
        grams.append(max(missing, 0.0) / per_gram)
    if not 0.0 < sum(grams) <= _MOST_TIMES * inside.edible_g:
        return None
    return tuple(grams)


def distance(inside: Basket, foods: Sequence[Food], grams: Sequence[float]) -> tuple[float, tuple[str, ...]]:
    """How far the batch moves with these foods instead, and what is not known about them, in words."""
    brought, open_g = np.zeros(len(MATTERS)), np.zeros(len(MATTERS))
    unknown: list[str] = []
    for food, amount in zip(foods, grams, strict=True):
        row = inside.rows.row(food, inside.assumptions, {})
        brought += amount * row.value[_COLUMNS]
        room = amount * (np.minimum(row.high[_COLUMNS], 1.0) - row.low[_COLUMNS])
        open_g += room
        for k in np.flatnonzero(room / inside.scale > _UNKNOWN_COUNTS):
            title = _(QUANTITIES[MATTERS[k]].title)
            unknown.append(_("{title} of {food} is not known exactly", title=title, food=food.name))
    moved = np.abs(brought - inside.matters) / inside.scale
    return float(moved.sum() + 0.5 * np.minimum(open_g / inside.scale, 1.0).sum()), tuple(unknown)


def role_match(food: Food, others: Sequence[Food]) -> float:
    """How much of what a food does in a recipe the others do together, from 0 to 1; its first role counts most."""
    weights = [_ROLE_FADES**k for k in range(len(food.roles))]
    if not weights:
        return 0.5  # nobody said what it is for
    done = {role for other in others for role in other.roles}
    return sum(w for w, role in zip(weights, food.roles, strict=True) if role in done) / sum(weights)


class Field:
    """All foods that may come in, as one table, so that hundreds are compared at once.

    Attributes
    ----------
    foods : list of Food
    value : ndarray, shape (n_foods, n_matters)
        Per gram of the edible part.
    """

    def __init__(self, foods: Sequence[Food], assumptions: Assumptions, rows: FoodRows) -> None:
        self.foods = list(foods)
        found = [rows.row(food, assumptions, {}) for food in self.foods]
        shape = (len(found), len(MATTERS))
        self.value = np.array([row.value[_COLUMNS] for row in found]).reshape(shape)

    def nearest_amounts(self, inside: Basket) -> tuple[Floats, Floats]:
        """For each food alone: the grams that move the batch least, and how far it then moves.

        Returns
        -------
        tuple of ndarray, each of shape (n_foods,)
            Grams, and the sum of squares of what moves.
        """
        a = self.value / inside.scale
        old = inside.matters / inside.scale
        squares = (a * a).sum(axis=1)
        grams = np.divide(a @ old, squares, out=np.zeros(len(a)), where=squares > 1e-18)
        grams = np.clip(grams, 0.0, _MOST_TIMES * inside.edible_g)
        return grams, ((grams[:, None] * a - old) ** 2).sum(axis=1)

    def pair_amounts(self, inside: Basket, first: int, second: int) -> tuple[float, float]:
        """Grams of two foods together that move the batch least; 0 where one alone does better. [g]"""
        a, b = self.value[first] / inside.scale, self.value[second] / inside.scale
        old = inside.matters / inside.scale
        aa, bb, ab, ao, bo = a @ a, b @ b, a @ b, a @ old, b @ old
        determinant = aa * bb - ab * ab
        if determinant <= 1e-12 * aa * bb:
            return float(ao / aa) if aa > 0 else 0.0, 0.0
        return float((ao * bb - bo * ab) / determinant), float((bo * aa - ao * ab) / determinant)
