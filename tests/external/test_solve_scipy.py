"""The smallest change checked from outside: SciPy on the engine's own figures, optimality conditions, brute force.

Nothing here knows the rows that the solver saw: limits are read off ``evaluate`` as a black box.  Forty random cases
run in the suite; ``python -m tests.external.test_solve_scipy 200`` runs more by hand.
"""

import sys
from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import minimize, nnls

from tests.external.solve_cases import Case, random_case
from tests.support import make_food, make_line, make_project, make_variant
from workbench.document.project import ByCount, Target, TargetSet
from workbench.recipe.evaluation import evaluate
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import QUANTITIES
from workbench.solve.matching import match

Vector = np.ndarray


class Outside:
    """A case as an optimiser without knowledge of the program sees it: changes in, figures out."""

    def __init__(self, case: Case) -> None:
        self.case = case
        lines = case.variant.lines
        self.start = np.array([line.amount_g for line in lines])
        self.free = np.array([not line.lock for line in lines])
        batch = self.start.sum()
        self.scale = np.maximum(self.start, batch / 1000)[self.free]
        low = np.array([line.min_g or 0.0 for line in lines])[self.free]
        high = np.array([line.max_g or 1e6 for line in lines])[self.free]
        self.bounds = list(
            zip((low - self.start[self.free]) / self.scale, (high - self.start[self.free]) / self.scale, strict=True)
        )
        self.prepared = prepare(case.project, case.variant)

        now = evaluate(self.prepared)
        self.limits = []
        for target in case.targets.targets:
            value = now.bound(target.quantity, target.basis).value
            half = 0.5 * 10.0 ** -QUANTITIES[target.quantity].decimals
            # What is kept as shown now is kept: then the figure as it is is the limit.
            low, high = target.low, target.high
            low = value if low is not None and low - half < value < low else low
            high = value if high is not None and high < value < high + half else high
            self.limits.append((target.quantity, target.basis, low, high))

    def amounts(self, y: Vector) -> Vector:
        x = self.start.copy()
        x[self.free] += self.scale * y
        return x

    def room(self, y: Vector) -> Vector:
        """How much room each limit has, relative to it; water of every stage too."""
        result = evaluate(self.prepared, amount_g=self.amounts(y))
        found = []
        for key, basis, low, high in self.limits:
            value = result.bound(key, basis).value if result.valid else float("nan")
            found += [(value - low) / abs(low)] if low is not None else []
            found += [(high - value) / abs(high)] if high is not None else []
        return np.array([*found, *(result.stage_water_high_g / 100.0)])

    def change(self, y: Vector) -> float:
        return float(y @ y)

    def of(self, amounts: Vector) -> Vector:
        return (amounts - self.start)[self.free] / self.scale


def gradients(function: Callable[[Vector], Vector], y: Vector, step: float = 1e-6) -> Vector:
    """Central differences, one row an unknown."""
    rows = []
    for k in range(len(y)):
        e = np.zeros(len(y))
        e[k] = step
        rows.append((function(y + e) - function(y - e)) / (2 * step))
    return np.array(rows)


def check(seed: int) -> tuple[float, float]:
    """How much smaller a change SciPy finds, and the residual of the optimality conditions."""
    case = random_case(seed)
    outside = Outside(case)
    proposal = match(case.project, case.variant, case.targets)
    y = outside.of(np.array(list(proposal.amounts.values())))
    assert proposal.met, seed
    assert outside.room(y).min() > -1e-7, seed
    limits = np.array(outside.bounds)
    assert (y >= limits[:, 0] - 1e-9).all() and (y <= limits[:, 1] + 1e-9).all(), seed

    gain = 0.0
    for begin in (np.zeros(len(y)), outside.of(case.inside)):
        found = minimize(
            outside.change,
            begin,
            jac=lambda z: 2 * z,
            bounds=outside.bounds,
            constraints={"type": "ineq", "fun": outside.room},
            method="SLSQP",
            options={"maxiter": 300, "ftol": 1e-12},
        )
        if np.isfinite(found.x).all() and outside.room(found.x).min() > -1e-9:
            gain = max(gain, outside.change(y) - outside.change(found.x))

    # Karush, Kuhn, Tucker: the gradient of the change is a sum of those of limits that have no room left.
    room, room_gradients = outside.room(y), gradients(outside.room, y)
    active = [room_gradients[:, k] for k in np.flatnonzero(room < 2e-6)]
    for k, (low, high) in enumerate(outside.bounds):
        unit = np.zeros(len(y))
        if y[k] < low + 1e-6:
            unit[k] = 1.0
        elif y[k] > high - 1e-6:
            unit[k] = -1.0
        active += [unit] if unit.any() else []
    gradient = 2 * y
    _weights, residual = nnls(np.array(active).T, gradient) if active else ([], float(np.linalg.norm(gradient)))
    return gain / (1 + outside.change(y)), residual / (1 + float(np.linalg.norm(2 * y)))


@pytest.mark.parametrize("first", range(0, 40, 8))
def test_no_outside_optimiser_finds_a_smaller_change(first: int) -> None:
    for seed in range(first, first + 8):
        gain, residual = check(seed)
        assert gain < 1e-6, seed
        assert residual < 1e-3, seed  # central differences, and lines that are put back to where they were within 1 mg


def test_brute_force_on_three_ingredients() -> None:
    """Every amount on a grid of fifths of a gram: none meets the targets with a smaller change."""
    foods = [
        make_food("starch", {"CHOAVLDF": 90.0, "FAT": 1.0, "FIBTG": 2.0}),
        make_food("fig", {"CHOAVLDF": 55.0, "FAT": 1.0, "FIBTG": 10.0}),
        make_food("fat", {"CHOAVLDF": 0.0, "FAT": 100.0, "FIBTG": 0.0}),
    ]
    grams = (30.0, 40.0, 10.0)
    variant = make_variant(*map(make_line, foods, grams), portioning=ByCount(count=2))
    targets = TargetSet(
        id="t",
        name="t",
        targets=(
            Target(id="a", quantity="CHOAVLDF", basis="portion", low=27.0),
            Target(id="b", quantity="FIBTG", basis="portion", high=1.5),
            Target(id="c", quantity="FAT", basis="per_100g", high=9.0),
        ),
    )
    project = make_project(foods, variant)
    proposal = match(project, variant, targets)
    change = sum((x / g - 1) ** 2 for x, g in zip(proposal.amounts.values(), grams, strict=True))
    a, b, c = np.meshgrid(np.arange(25, 75, 0.2), np.arange(0, 50, 0.2), np.arange(0, 15, 0.2), indexing="ij")
    kept = (0.9 * a + 0.55 * b >= 54) & (0.02 * a + 0.1 * b <= 3) & (0.01 * (a + b) + c <= 0.09 * (a + b + c))
    best = ((a / 30 - 1) ** 2 + (b / 40 - 1) ** 2 + (c / 10 - 1) ** 2)[kept].min()
    assert proposal.met
    assert change <= best + 1e-9
    assert best - change < 0.03  # the grid is fine enough to come near


if __name__ == "__main__":
    worst = np.array([check(seed) for seed in range(int(sys.argv[1]))]).max(axis=0)
    sys.stdout.write(f"largest gain {worst[0]:.2e}, largest residual {worst[1]:.2e}\n")
