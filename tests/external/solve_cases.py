"""Random recipes with targets that some amounts near by meet, for checks by outside means."""

from typing import NamedTuple

import numpy as np
from msgspec.structs import replace

from tests.support import make_food, make_line, make_project
from workbench.document.project import (
    ByCount,
    ByWeight,
    FinalWater,
    Loss,
    Project,
    Stage,
    Target,
    TargetSet,
    Typical,
    Unchanged,
    Variant,
    WaterLost,
    Weighed,
)
from workbench.recipe.evaluation import evaluate
from workbench.recipe.preparation import prepare

_WEIGHTS = (
    Unchanged(),
    Typical(),
    Weighed(in_g=1000.0, out_g=870.0),
    WaterLost(amount=12.0, unit="%"),
    WaterLost(amount=40.0),
    FinalWater(percent=45.0),
)
_PAIRS = (
    ("CHOAVLDF", "portion"),
    ("CHOAVLDF", "per_hour"),
    ("FAT", "portion"),
    ("FAT", "per_100g"),
    ("FIBTG", "portion"),
    ("FIBTG", "per_25g_carbohydrate"),
    ("PROCNT", "per_100g"),
    ("WATER", "per_100g"),
    ("NA", "batch"),
    ("energy_from_fat", "batch"),
    ("energy_from_carbohydrate", "batch"),
    ("weight", "portion"),
)


class Case(NamedTuple):
    """A project whose one variant is to meet a set of targets, and amounts that do. [g]"""

    project: Project
    targets: TargetSet
    inside: np.ndarray

    @property
    def variant(self) -> Variant:
        return self.project.variants[0]


def random_case(seed: int, n_lines: int | None = None, n_targets: int | None = None) -> Case:
    """A case that can be met, with locks, limits and every way to know the weight after a stage."""
    rng = np.random.default_rng(seed)
    n = n_lines or int(rng.integers(5, 13))
    foods, lines = [], []
    for k in range(n):
        parts = rng.dirichlet(np.array([2.0, 0.4, 0.5, 1.5, 0.3, 0.2])) * 100.0
        water, protein, fat, starch, fibre, ash = parts.tolist()
        amounts = {"WATER": water, "PROCNT": protein, "FAT": fat, "CHOCDF": starch + fibre, "FIBTG": fibre, "ASH": ash}
        amounts |= {"STARCH": starch, "SUGAR": 0.0, "NA": float(rng.integers(0, 400))}
        foods.append(make_food(f"f{k:02}", amounts, typical_yield=float(rng.choice([1.0, 2.5]))))
        grams = float(rng.integers(20, 400))
        facts: dict[str, object] = {"lock": bool(rng.random() < 0.15), "stage_id": f"s{rng.integers(1, 3)}"}
        if rng.random() < 0.3:
            facts["max_g"] = grams * 1.4
        if rng.random() < 0.2:
            facts["min_g"] = grams * 0.8
        lines.append(make_line(foods[-1], grams, **facts))
    water = make_food(
        "w", dict.fromkeys(("PROCNT", "FAT", "CHOCDF", "FIBTG", "ASH", "STARCH", "SUGAR", "NA"), 0.0) | {"WATER": 100.0}
    )
    foods.append(water)
    lines.append(make_line(water, 500.0, stage_id="s1", cooking_water=True))
    picked = [_WEIGHTS[int(rng.integers(len(_WEIGHTS)))] for _ in range(2)]
    losses = (Loss(kind="fat_left", percent=5.0),) if rng.random() < 0.3 else ()
    stages = (Stage(id="s1", weight=picked[0], losses=losses), Stage(id="s2", weight=picked[1]))
    portioning = ByCount(count=12) if rng.random() < 0.5 else ByWeight(piece_g=60.0, trimmings_percent=3.0)
    variant = Variant(id="v", name="v", lines=tuple(lines), stages=stages, portioning=portioning)
    project = make_project(foods, variant)
    inside = np.array(
        [
            line.amount_g
            if line.lock
            else line.amount_g
            * float(np.clip(np.exp(rng.normal(0, 0.35)), 0.8 if line.min_g else 0.0, 1.4 if line.max_g else 9.0))
            for line in lines
        ]
    )
    result = evaluate(prepare(project, variant), amount_g=inside)
    if not result.valid or not evaluate(prepare(project, variant)).valid:
        return random_case(seed + 10_000, n_lines, n_targets)
    pairs = [_PAIRS[int(k)] for k in rng.permutation(len(_PAIRS))[: n_targets or int(rng.integers(2, 7))]]
    targets = []
    for k, (key, basis) in enumerate(pairs):
        value = result.bound(key, basis).value
        low = value * 0.98 if rng.random() < 0.6 else None
        high = value * 1.02 if low is None or rng.random() < 0.5 else None
        targets.append(Target(id=f"t{k}", quantity=key, basis=basis, low=low, high=high))
    return Case(project, TargetSet(id="t", name="t", targets=tuple(targets)), inside)


def shuffled(case: Case, seed: int) -> Case:
    """The same case with lines and targets in another order."""
    rng = np.random.default_rng(seed)
    lines, targets = case.variant.lines, case.targets.targets
    order, target_order = rng.permutation(len(lines)), rng.permutation(len(targets))
    variant = replace(case.variant, lines=tuple(lines[k] for k in order))
    moved = replace(case.targets, targets=tuple(targets[k] for k in target_order))
    return Case(replace(case.project, variants=(variant,)), moved, case.inside[order])
