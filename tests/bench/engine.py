"""Benches of evaluation, preparation and the terminal."""

import numpy as np

from tests.bench.measure import Result, call_ms, interleaved_ms, process_ms
from workbench.base.paths import demo_projects
from workbench.composition.bundled import bundled_foods
from workbench.document.project import ByCount, FoodRef, Line, Project, Stage, Variant, Weighed
from workbench.recipe.evaluation import evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import LINEAR


def recipe(n_lines: int) -> Project:
    """A project with one variant of ``n_lines`` different bundled foods over three stages."""
    foods = dict(list(bundled_foods().items())[:n_lines])
    stages = (Stage(id="0"), Stage(id="1"), Stage(id="2", weight=Weighed(in_g=1000, out_g=960)))
    lines = tuple(
        Line(id=f"l{k}", stage_id=str(k % 3), food_ref=FoodRef(kind="bundled", id=food_id), amount_g=50.0 + k)
        for k, food_id in enumerate(foods)
    )
    variant = Variant(id="v", name="bench", lines=lines, stages=stages, portioning=ByCount(count=20))
    return Project(id="p", title="bench", foods=foods, variants=(variant,))


def evaluation(n_lines: int = 15) -> Result:
    """One evaluation read on two bases, with unknowns and contributions, against the same in plain NumPy."""
    project = recipe(n_lines)
    prepared = prepare(project, project.variants[0])
    assert evaluate(prepared).valid
    amount_g = np.array([line.amount_g for line in project.variants[0].lines])
    n = len(LINEAR)
    mask = prepared.unknown.astype(np.float64)

    def ours() -> None:
        result = evaluate(prepared, amount_g=amount_g)
        result.values("portion")
        result.values("per_100g")
        result.unknown("FIBTG")
        result.contributions("CHOAVLDF")

    def plain() -> None:
        sums = amount_g @ prepared.matrix
        (amount_g > 0).astype(np.float64) @ mask
        sums[:n] / 20.0
        sums[:n] * (100.0 / sums[-1])
        amount_g[:, None] * prepared.row_value

    figure, baseline = interleaved_ms(ours, plain, 3000)
    return Result(f"evaluate {n_lines} lines", figure, "plain NumPy", baseline, 5.0)


def preparation() -> Result:
    """Preparing 15 lines whose foods have been seen before."""
    project = recipe(15)
    rows = FoodRows()
    figure = call_ms(lambda: prepare(project, project.variants[0], rows), 300)
    return Result("prepare 15 lines", figure, "", None, None, "goal 1 ms")


def terminal() -> Result:
    """``pocketfare compute`` on a demo against importing NumPy."""
    demo = str(demo_projects() / "maize_squares.fare")
    figure, baseline = interleaved_ms(
        process_ms("-m", "workbench", "compute", demo, "--json"), process_ms("-c", "import numpy"), 9
    )
    return Result("compute a demo", figure, "import numpy", baseline, 2.0)
