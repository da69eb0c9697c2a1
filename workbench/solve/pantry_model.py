"""A recipe from what is at hand as a mixed-integer programme: one finished piece, few ingredients.

Everything is about one piece, whose weight may move within what the form allows, so that shares, moisture, targets and
limits are straight lines in the grams.  Unknown figures count at their worst: the upper limit against a maximum, the
lower one against a minimum.
"""

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.base.progress import Progress
from workbench.composition.food import Food
from workbench.composition.piece_forms import PieceForm
from workbench.document.project import Assumptions
from workbench.recipe.food_row import FoodRows
from workbench.recipe.quantities import INDEX, QUANTITIES
from workbench.solve.solvers import StraightProgramme
from workbench.solve.wishes import Wishes

Floats = npt.NDArray[np.float64]

_LEAST_G: Mapping[str, float] = {"salt": 0.1, "flavour": 0.1, "leavening": 0.1, "binder": 0.3}
_SETS_WITH_LITTLE = "setting agents"  # other binders, such as a purée or an egg, are no pinch
_LEAST_OTHERWISE_G = 2.0  # in 100 g; less of an ingredient is not worth opening its pack
_FLAVOURS_AT_ONCE = 2

# What a gram off the usual share, an ingredient more, a preferred and a compulsory target missed by their scale cost.
_OFF_COSTS, _FOOD_COSTS, _PREFER_COSTS, _MUST_COSTS = 0.1, 1.0, 20.0, 1000.0
_SMALL_SHARE = 5.0  # g in 100 g: of what is usual in less, a gram off is plainer to taste
_NEAR_ENOUGH = 0.01  # of what a recipe costs by the figures above: less than anybody could taste
_MARGIN = 0.01  # of a limit, kept for rounding to kitchen grams


class Kitchen(NamedTuple):
    """What is at hand, ready for the programme."""

    foods: tuple[Food, ...]
    low: Floats  # (n_foods, n_linear) per gram
    high: Floats
    value: Floats
    form: PieceForm
    at_stage: tuple[int, ...]  # of each food, from 0


class Answer(NamedTuple):
    """Grams of each food in one finished piece, as they go in, and the weight of the piece. [g]"""

    grams: Floats
    piece_g: float


class Steps(NamedTuple):
    """One of several solves, told as progress of the whole."""

    progress: Progress
    done: int
    total: int

    def step(self) -> None:
        """Say how far it is; raises ``Cancelled`` if it is to stop."""
        self.progress.step(self.done, self.total)


def kitchen(foods: Sequence[Food], form: PieceForm, assumptions: Assumptions, rows: FoodRows) -> Kitchen:
    """The foods that a form bears, in an order that does not depend on that of the list."""
    usable = tuple(sorted((f for f in foods if bears(form, f)), key=lambda f: f.id))
    found = [rows.row(food, assumptions, {}) for food in usable]
    shape = (len(usable), len(INDEX))
    low, high, value = (np.array([row[k] for row in found]).reshape(shape) for k in (1, 2, 0))
    return Kitchen(usable, low, high, value, form, tuple(stage_of(form, food) for food in usable))


def bears(form: PieceForm, food: Food) -> bool:
    """Whether a form takes a food at all: grain raw or ready as it says, nothing whose limit is nought."""
    if any(limit.high == 0.0 and limit.counts(food) for limit in form.limits) or not food.roles or food.doping:
        return False
    if food.roles[0] != "bulk_starch":
        return True
    grain, flour = food.group == "dry grains", food.group == "flours and starches"
    if form.grain == "raw":  # boiled: no puffed grain, and no starch that would only make it stiff
        return (grain and "inclusion" not in food.roles) or (flour and "binder" not in food.roles)
    ready = "binder" in food.roles or "inclusion" in food.roles
    return ready and (grain if form.grain == "ready" else flour)


def _least_of(food: Food) -> float:
    """The least of a food that is worth having. [g in 100 g]"""
    if food.roles[0] == "binder" and food.group != _SETS_WITH_LITTLE:
        return _LEAST_OTHERWISE_G
    return _LEAST_G.get(food.roles[0], _LEAST_OTHERWISE_G)


def stage_of(form: PieceForm, food: Food) -> int:
    """The stage a food goes into, from 0."""
    return 0 if "*" in form.first or (food.roles and food.roles[0] in form.first) else 1


class Model:
    """The programme; ``solve`` gives the best recipe that is not ruled out yet."""

    def __init__(self, at_hand: Kitchen, wishes: Wishes, pace: float) -> None:
        self._kitchen = at_hand
        self.n = len(at_hand.foods)
        self._columns = 2 * self.n  # grams, then whether it is used
        self._cost: list[float] = [0.0] * self.n + [_FOOD_COSTS] * self.n
        self._limits: list[tuple[float, float]] = [(0.0, math.inf)] * self.n + [(0.0, 1.0)] * self.n
        for k, food in enumerate(at_hand.foods):
            if food.id in at_hand.form.always:
                self._cost[self.n + k] = 0.0
        self._rows: list[tuple[dict[int, float], float, float]] = []
        self._weights()
        self._shares()
        self._moisture()
        self._targets(wishes, pace)

    def kept(self, k: int) -> float:
        """What is left of the weight of a food: water lost in a stage is lost of everything in it."""
        form = self._kitchen.form
        return 1.0 - form.lost_percent / 100.0 if self._kitchen.at_stage[k] < form.lost_at else 1.0

    def _row(self, coefficients: Mapping[int, float], low: float, high: float) -> None:
        self._rows.append((dict(coefficients), low, high))

    def _column(self, cost: float) -> int:
        self._cost.append(cost)
        self._limits.append((0.0, math.inf))
        self._columns += 1
        return self._columns - 1

    def _share(self, coefficients: Mapping[int, float], low: float, high: float) -> None:
        """A row on what 100 g of the finished piece hold."""
        if math.isfinite(low):
            self._row({k: coefficients.get(k, 0.0) - low / 100.0 * self.kept(k) for k in range(self.n)}, 0.0, math.inf)
        if math.isfinite(high):
            self._row(
                {k: coefficients.get(k, 0.0) - high / 100.0 * self.kept(k) for k in range(self.n)}, -math.inf, 0.0
            )

    def _weights(self) -> None:
        form, foods = self._kitchen.form, self._kitchen.foods
        weight = {k: self.kept(k) for k in range(self.n)}
        self._row(weight, form.piece_low, form.piece_high)
        over, under = self._column(_OFF_COSTS), self._column(_OFF_COSTS)
        self._row({**weight, over: -1.0, under: 1.0}, form.piece_g, form.piece_g)
        used = {self.n + k: 1.0 for k, food in enumerate(foods) if food.id not in form.always}
        self._row(used, -math.inf, float(form.most_ingredients))
        for k, food in enumerate(foods):
            least = _least_of(food) * form.piece_g / 100.0
            self._row({k: 1.0, self.n + k: -self._most_of(food)}, -math.inf, 0.0)
            self._row({k: 1.0, self.n + k: -least}, 0.0, math.inf)
        flavours = {self.n + k: 1.0 for k, food in enumerate(foods) if food.roles[0] == "flavour"}
        if flavours:
            self._row(flavours, 0.0, float(_FLAVOURS_AT_ONCE))

    def _most_of(self, food: Food) -> float:
        """The most of one food that any limit allows in the heaviest piece. [g]"""
        form = self._kitchen.form
        highs = [limit.high for limit in form.limits if limit.high is not None and limit.counts(food)]
        everything = 100.0 / (1.0 - form.lost_percent / 100.0)
        return min([*highs, everything]) * form.piece_high / 100.0

    def _shares(self) -> None:
        for limit in self._kitchen.form.limits:
            members = {k: 1.0 for k, food in enumerate(self._kitchen.foods) if limit.counts(food)}
            if not members:
                continue
            self._share(members, limit.low or -math.inf, math.inf if limit.high is None else limit.high)
            if limit.typical is not None and limit.kind == "role":
                cost = _OFF_COSTS * (max(1.0, _SMALL_SHARE / limit.typical) if limit.typical else 1.0)
                over, under = self._column(cost), self._column(cost)
                usual = limit.typical / 100.0
                off = {k: members.get(k, 0.0) - usual * self.kept(k) for k in range(self.n)}
                self._row({**off, over: -1.0, under: 1.0}, 0.0, 0.0)

    def _moisture(self) -> None:
        form = self._kitchen.form
        self._share(self._coefficients("WATER", "low"), form.water_low, math.inf)
        self._share(self._coefficients("WATER", "high"), -math.inf, form.water_high)
        salted = any("salt" in food.roles for food in self._kitchen.foods)  # else it is said, and no reason to give up
        salt_low = form.salt_low if salted else 0.0
        for key, low, high in (("salt", salt_low, form.salt_high), ("SUGAR", 0.0, form.sugar_high)):
            self._share(self._coefficients(key, "high"), -math.inf, high)
            self._share(self._coefficients(key, "low"), low or -math.inf, math.inf)

    def _coefficients(self, key: str, which: str) -> dict[int, float]:
        table = self._kitchen.high if which == "high" else self._kitchen.low
        values = np.minimum(table[:, INDEX[key]], _worst(key))
        found = {k: float(values[k]) for k in range(self.n)}
        if key == "WATER":
            found = {k: value - (1.0 - self.kept(k)) for k, value in found.items()}
        return found

    def _targets(self, wishes: Wishes, pace: float) -> None:
        for limit in wishes.limits:
            target, quantity = limit.target, QUANTITIES[limit.target.quantity]
            low = limit.side == "low"
            if quantity.kind == "linear" and target.basis == "batch":
                continue  # a whole batch may be as big as one likes
            value = limit.value * (1.0 + _MARGIN if low else 1.0 - _MARGIN)
            size = max(abs(limit.value), 10.0**-quantity.decimals)
            slack = self._column(_MUST_COSTS if limit.must else _PREFER_COSTS)
            if quantity.kind == "ratio":
                above, below, scale = quantity.numerator, quantity.denominator, quantity.scale
            else:
                above, below, scale = quantity.key, "CHOAVLDF", 25.0
            top = self._coefficients(above, "low" if low else "high")
            side = 0.0
            if quantity.kind == "ratio" or target.basis == "per_25g_carbohydrate":
                bottom = self._coefficients(below, "high" if low else "low")
                row = {k: (scale * top[k] - value * bottom[k]) / size for k in range(self.n)}
            elif target.basis == "per_100g":
                row = {k: (100.0 * top[k] - value * self.kept(k)) / size for k in range(self.n)}
            else:
                factor = pace if target.basis == "per_hour" else 1.0
                row = {k: factor * top[k] / size for k in range(self.n)}
                side = value / size
            self._row({**row, slack: 1.0 if low else -1.0}, *((side, math.inf) if low else (-math.inf, side)))

    def hold(self, most_g: Mapping[str, float]) -> None:
        """Give these foods no more than so many grams in a piece, and free all others again."""
        for k, food in enumerate(self._kitchen.foods):
            most = most_g.get(food.id, math.inf)
            self._limits[k] = (0.0, most)
            self._limits[self.n + k] = (0.0, 1.0 if most > 0.0 else 0.0)

    def solve(self, steps: "Steps", seconds: float) -> tuple[Answer | None, bool]:
        """The best recipe, None where there is none; and whether the time ran out.

        Raises
        ------
        Cancelled
            If ``progress`` was told to stop.
        """
        a = np.zeros((len(self._rows), self._columns))
        for j, (row, _low, _high) in enumerate(self._rows):
            a[j, list(row)] = list(row.values())
        whole = np.zeros(self._columns, dtype=bool)
        whole[self.n : 2 * self.n] = True
        lower, upper = (np.array(side) for side in zip(*self._limits, strict=True))
        low, high = np.array([r[1] for r in self._rows]), np.array([r[2] for r in self._rows])
        programme = StraightProgramme(
            np.array(self._cost), lower, upper, a, low, high, whole, seconds, gap=_NEAR_ENOUGH
        )
        z = programme.solve(steps.step)
        if z is None:
            return None, programme.timed_out
        grams = np.maximum(z[: self.n], 0.0)
        return Answer(grams, float(sum(self.kept(k) * grams[k] for k in range(self.n)))), programme.timed_out


def _worst(key: str) -> float:
    """A figure that nothing can exceed, per gram, where a table leaves it open."""
    return {"g": 1.0, "mg": 1000.0, "kcal": 9.5, "kJ": 39.8}.get(QUANTITIES[key].unit, 1000.0)
