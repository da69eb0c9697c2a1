"""Evaluate: from grams to everything a batch, a piece, 100 g, 25 g carbohydrate or an hour holds.

``prepare`` (see ``preparation``) does once what does not depend on the amounts; ``evaluate`` is one product and is
cheap enough for every tick of a slider.  Screen, terminal, spreadsheet and PDF all read the same ``Evaluation``.
"""

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.text import N_, _
from workbench.document.project import Basis, ByCount, FinalWater, Variant, Weighed
from workbench.recipe.bound import NOT_KNOWN, Bound
from workbench.recipe.prepared import Prepared
from workbench.recipe.quantities import INDEX, LINEAR, QUANTITIES

Floats = npt.NDArray[np.float64]

_CARBOHYDRATE = INDEX["CHOAVLDF"]
_WATER = INDEX["WATER"]
REFERENCE_CARBOHYDRATE_G = 25.0
_EPSILON_G = 1e-6

NEGATIVE_WATER = ProblemKind(
    "negative_water",
    "error",
    N_("{short} g more water leaves than is there."),
    N_("Check the weight after cooking, or add the cooking water as a line."),
)
WATER_UNKNOWN = ProblemKind(
    "water_unknown",
    "error",
    N_("final water needs the water of every ingredient, and that of {foods} is not known."),
    N_("Weigh the batch instead, or enter the missing water."),
)
NO_WEIGHT = ProblemKind(
    "no_weight", "error", N_("nothing is left to portion."), N_("Give at least one ingredient an amount.")
)
WEIGHED_ELSEWHERE = ProblemKind(
    "weighed_at_other_amounts",
    "warning",
    N_("weighed at other amounts: {food} was {then} % of the batch then and is {now} % now."),
    N_("Weigh a batch at today's amounts."),
)
COOKING_WATER_SHORT = ProblemKind(
    "cooking_water_short",
    "notice",
    N_("the typical weights take up {needed} g water, {given} g cooking water are entered."),
    N_("Add the rest as cooking water, or cook it in."),
)
COOKING_WATER_OVER = ProblemKind(
    "cooking_water_over",
    "notice",
    N_("{given} g cooking water are entered, the typical weights take up {needed} g; the rest counts as boiled off."),
    N_("If it stays in the food, weigh the batch or choose another weight after cooking."),
)
PIECE_HEAVIER_THAN_BATCH = ProblemKind(
    "piece_heavier_than_batch",
    "warning",
    N_("one piece of {piece} g weighs more than the whole batch of {batch} g."),
    N_("Make the piece lighter or the batch bigger."),
)


class Portions(NamedTuple):
    """How a batch becomes pieces."""

    pieces: float  # not rounded
    whole_pieces: int
    piece_g: float
    left_over_g: float  # beside whole pieces and trimmings
    trimmings_g: float


class Evaluation:
    """Everything one variant gives at one set of amounts.

    Attributes
    ----------
    prepared : Prepared
        What was evaluated.
    amount_g, edible_g : ndarray, shape (n_lines,)
        Grams as entered, and of the edible part. [g]
    raw_g, finished_g : float
        Batch weight of the edible parts, and after all stages. [g]
    stage_in_g, stage_out_g : ndarray, shape (n_stages,)
        Weight in and out of each stage. [g]
    problems : tuple of Problem
        Findings of preparation and evaluation.
    valid : bool
        False where a problem is an error: then no figure may be shown as a result.
    """

    __slots__ = (
        "_bounds",
        "_high",
        "_low",
        "_open",
        "_portions",
        "_problems",
        "_unknown",
        "_valid",
        "_value",
        "amount_g",
        "edible_g",
        "finished_g",
        "prepared",
        "raw_g",
        "stage_in_g",
        "stage_out_g",
        "stage_water_high_g",
        "variant",
    )

    def __init__(self, prepared: Prepared, variant: Variant, amount_g: Floats) -> None:
        self.prepared = prepared
        self.variant = variant
        self.amount_g = amount_g
        sums = amount_g @ prepared.matrix + prepared.constant
        n, s = len(LINEAR), len(prepared.stages)
        self._value = sums[:n]
        self._low = sums[n : 2 * n]
        self._high = sums[2 * n : 3 * n]
        self._open = sums[3 * n : 4 * n]  # > 0 where a line with weight has no upper limit
        self.stage_in_g = sums[4 * n : 4 * n + s]
        self.stage_out_g = sums[4 * n + s : 4 * n + 2 * s]
        self.stage_water_high_g = sums[4 * n + 2 * s : 4 * n + 3 * s]
        self.finished_g = float(self.stage_out_g[-1])
        self.edible_g = amount_g * prepared.edible_fraction
        self.raw_g = float(self.edible_g.sum())
        self._bounds: dict[tuple[str, Basis], Bound] = {}
        self._unknown: npt.NDArray[np.bool_] | None = None
        self._problems: tuple[Problem, ...] | None = None
        self._portions: Portions | None = None
        self._valid: bool | None = None

    # --- portions -----------------------------------------------------------------------------------------------

    @property
    def portions(self) -> Portions:
        """Pieces of this batch."""
        if self._portions is None:
            self._portions = _portions(self.variant, self.finished_g)
        return self._portions

    @property
    def finished_percent(self) -> float:
        """Weight after all stages, in percent of the raw batch; NaN where there is no batch. [%]"""
        return 100.0 * self.finished_g / self.raw_g if self.raw_g > 0 else math.nan

    def factor(self, basis: Basis) -> float:
        """What batch content is multiplied with on a basis other than 25 g carbohydrate; NaN without a valid result."""
        if not self.valid:
            return math.nan
        if basis == "batch":
            return 1.0
        if basis == "per_100g":
            return 100.0 / self.finished_g
        piece = self.portions.piece_g / self.finished_g
        return piece if basis == "portion" else piece * self.variant.pace_per_hour

    def mass_g(self, basis: Basis) -> Bound:
        """Weight of the finished food on a basis. [g]"""
        whole = Bound(self.finished_g, self.finished_g, self.finished_g)
        if basis == "per_25g_carbohydrate":
            return whole.over(self.bound("CHOAVLDF", "batch"), REFERENCE_CARBOHYDRATE_G)
        return whole.times(self.factor(basis))

    # --- results ------------------------------------------------------------------------------------------------

    def bound(self, key: str, basis: Basis = "portion") -> Bound:
        """A quantity on a basis, with its limits and the ingredients that make it uncertain.

        Raises
        ------
        KeyError
            If the catalogue has no such quantity.
        """
        held = self._bounds.get((key, basis))
        if held is None:
            held = self._bounds[key, basis] = self._bound(key, basis)
        return held

    def _bound(self, key: str, basis: Basis) -> Bound:
        quantity = QUANTITIES[key]
        if not self.valid:
            return NOT_KNOWN
        if quantity.kind == "ratio":
            return self._batch(quantity.numerator).over(self._batch(quantity.denominator), quantity.scale)
        amount = self._batch(key)
        if basis == "per_25g_carbohydrate":
            if key == "CHOAVLDF" and amount.value > 0:
                return Bound(*(REFERENCE_CARBOHYDRATE_G,) * 3)
            return amount.over(self._batch("CHOAVLDF"), REFERENCE_CARBOHYDRATE_G)
        return amount.times(self.factor(basis))

    def _batch(self, key: str) -> Bound:
        column = INDEX[key]
        high = math.inf if self._open[column] > 0 else float(self._high[column])
        # Only water can come out below zero here: where an ingredient's own water is not known and some is cooked out.
        value, low = max(float(self._value[column]), 0.0), max(float(self._low[column]), 0.0)
        return Bound(value, low, high, self.unknown(key) if high > low else ())

    def values(self, basis: Basis) -> Floats:
        """Known part of every linear quantity on a basis, in the order of ``LINEAR``; for charts."""
        result: Floats = self._value * self._known_factor(basis)
        return result

    def _known_factor(self, basis: Basis) -> float:
        """What known parts of the batch are multiplied with on a basis."""
        if basis != "per_25g_carbohydrate":
            return self.factor(basis)
        carbohydrate = float(self._value[_CARBOHYDRATE])
        return REFERENCE_CARBOHYDRATE_G / carbohydrate if carbohydrate > 0 and self.valid else math.nan

    def unknown(self, key: str) -> tuple[str, ...]:
        """Names of the ingredients with weight whose share of a quantity is not exactly known."""
        if self._unknown is None:
            self._unknown = self.prepared.unknown & (self.amount_g > 0)[:, None]
        names = self.prepared.names
        return tuple(dict.fromkeys(names[k] for k in np.flatnonzero(self._unknown[:, INDEX[key]])))

    def contributions(self, key: str, basis: Basis = "portion") -> Floats:
        """What each line brings of a linear quantity, of its known part.

        For water, the lines bring their own; what cooking adds or takes is the difference to the batch.

        Returns
        -------
        ndarray, shape (n_lines,)
            Amounts in the unit of the quantity.
        """
        brought: Floats = self.edible_g * self.prepared.row_value[:, INDEX[key]]
        return brought * self._known_factor(basis)

    # --- findings -------------------------------------------------------------------------------------------------

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything worth saying about these figures, errors first."""
        if self._problems is None:
            found = [*self.prepared.problems, *_findings(self)]
            self._problems = tuple(sorted(found, key=lambda p: ("error", "warning", "notice").index(p.severity)))
        return self._problems

    @property
    def valid(self) -> bool:
        """Whether the figures may be shown as results."""
        if self._valid is None:
            self._valid = (
                not self.prepared.broken
                and self.finished_g > _EPSILON_G
                and not bool((self.stage_water_high_g < -_EPSILON_G).any())
                and not any(self._without_water(k) for k in range(len(self.prepared.stages)))
            )
        return self._valid

    def _without_water(self, k: int) -> tuple[str, ...]:
        """Ingredients with weight whose water a stage with final water needs and does not know."""
        if not isinstance(self.prepared.stages[k].weight, FinalWater):
            return ()
        blank = self.prepared.unknown[:, _WATER] & (self.amount_g > 0) & (np.array(self.prepared.line_stage) <= k)
        return tuple(dict.fromkeys(self.prepared.names[j] for j in np.flatnonzero(blank)))


def evaluate(prepared: Prepared, variant: Variant | None = None, amount_g: Floats | None = None) -> Evaluation:
    """Evaluate prepared lines at the variant's amounts, or at others.

    Parameters
    ----------
    prepared : Prepared
        From ``prepare``.
    variant : Variant, optional
        The variant whose amounts, portioning and pace count; the prepared one where absent.  Its lines must be the
        prepared ones, in their order.
    amount_g : ndarray, shape (n_lines,), optional
        Amounts as entered, >= 0. [g]

    Returns
    -------
    Evaluation
        The results.
    """
    chosen = variant or prepared.variant
    if amount_g is None:
        amount_g = np.fromiter((line.amount_g for line in chosen.lines), np.float64, len(chosen.lines))
    return Evaluation(prepared, chosen, amount_g)


def _portions(variant: Variant, finished_g: float) -> Portions:
    portioning = variant.portioning
    trimmings = finished_g * portioning.trimmings_percent / 100.0
    usable = max(finished_g - trimmings, 0.0)
    if isinstance(portioning, ByCount):
        return Portions(portioning.count, portioning.count, usable / portioning.count, 0.0, trimmings)
    count = usable / portioning.piece_g
    whole = math.floor(count + 1e-9)
    return Portions(count, whole, portioning.piece_g, max(usable - whole * portioning.piece_g, 0.0), trimmings)


def _findings(evaluation: Evaluation) -> list[Problem]:
    prepared, variant = evaluation.prepared, evaluation.variant
    place = Place("variant", variant.id, variant.name)
    found: list[Problem] = []
    dry = np.flatnonzero(evaluation.stage_water_high_g < -_EPSILON_G)  # stages that lose more water than there is
    if evaluation.finished_g <= _EPSILON_G and not dry.size:
        found.append(NO_WEIGHT.at(place))
    for k, stage in enumerate(prepared.stages):
        at = (place, Place("stage", stage.id, stage.name or str(k + 1)))
        if dry.size and k == dry[0]:  # those after it only carry it on
            short = -float(evaluation.stage_water_high_g[k])
            found.append(NEGATIVE_WATER.at(*at, short=f"{short:.1f}"))
        if blank := evaluation._without_water(k):
            found.append(WATER_UNKNOWN.at(*at, foods=", ".join(blank)))
        if isinstance(stage.weight, Weighed):
            found.extend(_weighed_elsewhere(evaluation, stage.weight, k, at))
        needed, given = prepared.typical_water(k, evaluation.amount_g)
        if needed - given > max(1.0, 0.1 * needed):  # tabulated yields are good to a tenth
            found.append(COOKING_WATER_SHORT.at(*at, needed=f"{needed:.0f}", given=f"{given:.0f}"))
        elif given > 1.3 * needed + 1.0:  # some boils off in every pot
            found.append(COOKING_WATER_OVER.at(*at, needed=f"{needed:.0f}", given=f"{given:.0f}"))
    piece = evaluation.portions.piece_g
    if not isinstance(variant.portioning, ByCount) and 0 < evaluation.finished_g < piece:
        batch = evaluation.finished_g
        found.append(PIECE_HEAVIER_THAN_BATCH.at(place, piece=f"{piece:g}", batch=f"{batch:.0f}"))
    return found


def _weighed_elsewhere(evaluation: Evaluation, weighed: Weighed, k: int, at: tuple[Place, ...]) -> list[Problem]:
    """The ingredient whose share of the stage moved most since it was weighed, if that is more than a tenth.

    Shares that moved by less than one percent of the batch do not count: a pinch more salt dries nothing.
    """
    prepared = evaluation.prepared
    inside = [j for j, stage in enumerate(prepared.line_stage) if stage <= k]
    total_then = sum(weighed.amounts.values())
    total_now = float(evaluation.edible_g[inside].sum())
    if not weighed.amounts or total_now <= 0:
        return []
    now = {prepared.variant.lines[j].id: (prepared.names[j], evaluation.edible_g[j] / total_now) for j in inside}
    worst: tuple[float, str, float, float] | None = None
    for line_id in now.keys() | weighed.amounts.keys():
        then = weighed.amounts.get(line_id, 0.0) / total_then if total_then else 0.0
        name, today = now.get(line_id, (_("an ingredient that is gone"), 0.0))
        moved = abs(today - then)
        if moved > 0.01 and moved > 0.10 * then and (worst is None or moved > worst[0]):
            worst = (moved, name, then, float(today))
    if worst is None:
        return []
    return [WEIGHED_ELSEWHERE.at(*at, food=worst[1], then=f"{100 * worst[2]:.0f}", now=f"{100 * worst[3]:.0f}")]
