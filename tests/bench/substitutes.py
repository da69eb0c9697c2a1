"""Benches of proposals with other ingredients and of recipes from a pantry."""

import tempfile
import time
from pathlib import Path

from msgspec.structs import replace

from tests.bench.measure import Result, call_ms, interleaved_ms
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.composition.kitchen_foods import kitchen_foods
from workbench.composition.library.store import Library
from workbench.composition.piece_forms import piece_forms
from workbench.document.avoid import PLANT_BASED
from workbench.document.project import ByCount, FoodRef, Line, Project, Stage, Target, TargetSet, Variant
from workbench.recipe.food_row import FoodRows
from workbench.solve.pantry import suggest
from workbench.solve.substitutes import without

_TWELVE = (
    "maize_meal_fine", "oats_rolled", "milk_whole", "water", "butter", "egg_whole", "honey", "sugar_white",
    "figs_dried", "almonds", "salt", "vanilla_extract",
)  # fmt: skip
_TARGETS = TargetSet(
    id="t",
    name="race",
    targets=(
        Target(id="c", quantity="CHOAVLDF", low=20.0, high=25.0),
        Target(id="f", quantity="FAT", high=6.0),
        Target(id="b", quantity="FIBTG", high=2.5),
    ),
)


def proposals() -> Result:
    """Three plant-based variants of a recipe of 12 lines over 300 foods, cold, against the rows of those foods."""
    table = dict(list(bundled_foods().items())[:300])
    used = {food_id: bundled_foods()[food_id] for food_id in _TWELVE}
    lines = tuple(
        Line(id=k, stage_id="s", food_ref=FoodRef(kind="bundled", id=k), amount_g=40.0 + 10 * n)
        for n, k in enumerate(used)
    )
    variant = Variant(
        id="v",
        name="bench",
        lines=lines,
        stages=(Stage(id="s", kind="bake"),),
        portioning=ByCount(count=20),
        target_set_id="t",
    )
    project = Project(id="p", title="bench", foods=used, variants=(variant,), target_sets=(_TARGETS,))
    choice = table | used

    def rows() -> None:
        made = FoodRows()
        for food in choice.values():
            made.row(food, project.assumptions, {})

    figure, baseline = interleaved_ms(lambda: without(project, variant, PLANT_BASED, choice), rows, 7)
    warm = FoodRows()
    again = call_ms(lambda: without(project, variant, PLANT_BASED, choice, warm), 7)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "library.sqlite"
        with Library.open(path) as library:
            library.put_all((_own(food) for food in table.values()), words="bench")
        theirs = call_ms(lambda: without(project, variant, PLANT_BASED, kitchen_foods(path).foods), 3)
    return Result(
        "proposals, 12 lines",
        figure,
        "rows of 300 foods",
        baseline,
        3.0,
        f"goal 500 ms; again {again:.0f} ms; with a library of 300 foods read anew {theirs:.0f} ms",
    )


def _own(food: Food) -> Food:
    """A food as the user's own, of another name."""
    return replace(food, id=f"own_{food.id}", name=f"{food.name} of the club", taken_from=None)


def pantry() -> Result:
    """Three recipes from 60 ingredients for a form and targets; the slowest of the forms."""
    shelf = [food for k, food in enumerate(bundled_foods().values()) if k % 6 == 0 and not food.doping][:60]
    rows = FoodRows()
    slowest, name = 0.0, ""
    for key, form in piece_forms().items():
        start = time.perf_counter()
        suggest(Project(id="p", title="bench"), shelf, form, _TARGETS, rows=rows)
        taken = (time.perf_counter() - start) * 1000
        slowest, name = max((slowest, name), (taken, key))
    return Result("pantry of 60", slowest, "", None, None, f"goal 5000 ms; {name}")
