"""What several property tests start from."""

import pytest

from workbench.composition.food import Food, Measure, Value
from workbench.document.project import (
    ByWeight,
    FoodRef,
    Line,
    Loss,
    Project,
    Stage,
    Trial,
    Typical,
    Variant,
    Weighed,
)
from workbench.storage.project_file import encode_project


@pytest.fixture(scope="session")
def small_file() -> bytes:
    """A project file with one of nearly everything."""
    meal = Food(
        id="meal",
        name="maize meal, “fine”",
        values={"WATER": Value(11.0), "FAT": Value(2.5, sd=0.2)},
        contains=("milk",),
        measures=(Measure("cup", 157.0),),
    )
    own, made = FoodRef(kind="own", id="meal"), FoodRef(kind="variant", id="base")
    lines = (
        Line(id="a", stage_id="boil", food_ref=own, amount_g=300.0),
        Line(id="b", stage_id="press", food_ref=made, amount_g=50.0, retention={"K": 0.9}),
    )
    stages = (
        Stage(id="boil", kind="cook", weight=Weighed(in_g=350, out_g=500, amounts={"a": 300}), minutes=20),
        Stage(id="press", weight=Typical(), losses=(Loss(kind="drained", percent=3),)),
    )
    base = Variant(id="base", name="base", stages=(Stage(id="mix"),))
    pieces = ByWeight(piece_g=45)
    race = Variant(id="race", name="race", parent_id="base", lines=lines, stages=stages, portioning=pieces)
    trial = Trial(id="first", variant_id="race", amounts={"a": 300.0}, piece_weights_g=(44.0, 46.0))
    return encode_project(
        Project(id="p", title="squares", foods={"meal": meal}, variants=(base, race), trials=(trial,))
    )
