"""Weight and content through the stages, with numbers that can be done in the head."""

import math

import numpy as np
import pytest

from tests.support import evaluated, evaluation_of, make_food, make_line, make_project, make_variant
from workbench.document.project import (
    ByCount,
    ByWeight,
    FinalWater,
    Loss,
    Stage,
    Typical,
    Unchanged,
    WaterLost,
    Weighed,
    WeightChoice,
)
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.preparation import prepare

GRAIN = make_food("grain", {"WATER": 10.0, "CHOCDF": 80.0, "FIBTG": 5.0, "FAT": 10.0}, typical_yield=3.0)
WATER = make_food("water", {"WATER": 100.0, "CHOCDF": 0.0, "FIBTG": 0.0, "FAT": 0.0})
FAT = make_food("fat", {"WATER": 0.0, "FAT": 100.0, "CHOCDF": 0.0, "FIBTG": 0.0})


def cooked(*stages: Stage, lines: tuple = ((GRAIN, 100.0, "s1"), (WATER, 300.0, "s1"))) -> Evaluation:  # type: ignore[type-arg]
    made = [make_line(food, grams, stage_id=stage) for food, grams, stage in lines]
    return evaluated(make_project([GRAIN, WATER, FAT], make_variant(*made, stages=stages)))


def test_each_stage_takes_what_came_before() -> None:
    result = cooked(
        Stage(id="s1", weight=Weighed(in_g=800.0, out_g=600.0)),
        Stage(id="s2", weight=WaterLost(amount=10.0, unit="%")),
        lines=((GRAIN, 100.0, "s1"), (WATER, 300.0, "s1"), (FAT, 20.0, "s2")),
    )
    assert result.stage_in_g == pytest.approx([400.0, 320.0])
    assert result.stage_out_g == pytest.approx([300.0, 288.0])
    assert result.finished_percent == pytest.approx(100 * 288 / 420)
    assert result.bound("WATER", "batch").value == pytest.approx(310.0 - 100.0 - 32.0)


def test_water_lost_in_grams_does_not_grow_with_the_batch() -> None:
    project = make_project([GRAIN, WATER], make_variant(make_line(GRAIN, 100.0), weight=WaterLost(amount=5.0)))
    prepared = prepare(project, project.variants[0])
    finished = [evaluate(prepared, amount_g=np.array([grams])).finished_g for grams in (100.0, 200.0)]
    assert finished == pytest.approx([95.0, 195.0])


def test_typical_weight_has_the_cooking_water_inside() -> None:
    lines = make_line(GRAIN, 100.0), make_line(WATER, 250.0, cooking_water=True), make_line(FAT, 20.0)
    result = evaluated(make_project([GRAIN, WATER, FAT], make_variant(*lines, weight=Typical())))
    assert result.finished_g == pytest.approx(320.0), "3 x 100 g grain and the fat; the water is never counted twice"
    assert result.bound("WATER", "batch").value == pytest.approx(210.0)


def test_without_a_typical_yield_the_weight_stays() -> None:
    assert evaluation_of([(100.0, FAT)], Typical()).finished_g == pytest.approx(100.0)


def test_a_typical_stage_passes_on_what_was_cooked_before() -> None:
    result = cooked(Stage(id="s1"), Stage(id="s2", weight=Typical()), lines=((GRAIN, 50.0, "s1"), (GRAIN, 100.0, "s2")))
    assert result.finished_g == pytest.approx(50.0 + 300.0)


def test_negative_water_loss_is_water_taken_up() -> None:
    assert evaluation_of([(100.0, GRAIN)], WaterLost(amount=-50.0, unit="%")).finished_g == pytest.approx(150.0)


def test_drained_liquid_is_water() -> None:
    result = cooked(Stage(id="s1", losses=(Loss(kind="drained", percent=25.0),)))
    assert result.finished_g == pytest.approx(300.0)
    assert result.bound("WATER", "batch").value == pytest.approx(310.0 - 100.0)
    assert result.bound("CHOCDF", "batch").value == pytest.approx(80.0)


@pytest.mark.parametrize(
    ("weight", "finished_g", "water_g"),
    [
        (Unchanged(), 196.0, 10.0),
        (WaterLost(amount=5.0), 191.0, 5.0),
        (Weighed(in_g=200.0, out_g=190.0), 190.0, 4.0),  # the scale has seen the loss
        (FinalWater(percent=2.0), 186.0 / 0.98, 186.0 / 49.0),
    ],
)
def test_fat_left_in_the_pan(weight: WeightChoice, finished_g: float, water_g: float) -> None:
    """100 g fat and 10 g in the grain; 4 of these 110 g stay behind."""
    pan = Stage(id="s2", losses=(Loss(kind="fat_left", percent=100 * 4 / 110),), weight=weight)
    result = cooked(Stage(id="s1"), pan, lines=((GRAIN, 100.0, "s1"), (FAT, 100.0, "s2")))
    assert result.bound("FAT", "batch").value == pytest.approx(106.0)
    assert result.finished_g == pytest.approx(finished_g)
    assert result.bound("WATER", "batch").value == pytest.approx(water_g)


def test_fat_is_left_in_every_pan_it_passes() -> None:
    fry = (Loss(kind="fat_left", percent=50.0),)
    stages = (Stage(id="s1", losses=fry), Stage(id="s2", losses=fry))
    result = cooked(*stages, lines=((FAT, 100.0, "s1"), (FAT, 40.0, "s2")))
    assert result.stage_out_g == pytest.approx([50.0, 45.0])
    assert result.bound("FAT", "batch").value == pytest.approx(45.0)


def test_a_variant_without_stages_is_mixed() -> None:
    variant = make_variant(make_line(GRAIN, 100.0, stage_id=""), stages=())
    assert evaluated(make_project([GRAIN], variant)).finished_g == pytest.approx(100.0)


def test_every_basis_of_one_batch() -> None:
    portioning = ByWeight(piece_g=60.0, trimmings_percent=5.0)
    result = evaluation_of([(100.0, GRAIN), (300.0, WATER)], portioning=portioning)
    assert (result.portions.pieces, result.portions.whole_pieces) == (pytest.approx(380 / 60), 6)
    assert result.portions.left_over_g == pytest.approx(20.0)
    figures = {
        "batch": 75.0,
        "per_100g": 18.75,
        "portion": 11.25,
        "per_hour": 33.75,  # three pieces an hour
        "per_25g_carbohydrate": 25.0,
    }
    for basis, carbohydrate in figures.items():
        assert result.bound("CHOAVLDF", basis).value == pytest.approx(carbohydrate)  # type: ignore[arg-type]
    assert result.mass_g("per_25g_carbohydrate").value == pytest.approx(400 / 3)
    assert result.mass_g("portion").value == pytest.approx(60.0)
    assert result.values("portion") == pytest.approx(result.values("batch") * 60 / 400)


def test_food_without_carbohydrate_has_no_25_g_of_it() -> None:
    result = evaluation_of([(100.0, FAT)])
    assert math.isnan(result.bound("FAT", "per_25g_carbohydrate").value)
    assert math.isnan(result.mass_g("per_25g_carbohydrate").value)
    assert np.isnan(result.contributions("FAT", "per_25g_carbohydrate")).all()


def test_nothing_an_hour_is_nothing() -> None:
    project = make_project([GRAIN], make_variant(make_line(GRAIN, 100.0), pace_per_hour=0.0))
    assert evaluated(project).bound("CHOAVLDF", "per_hour").value == 0.0
    assert evaluated(project).bound("STARCH", "per_hour").high == 0.0


def test_portioning_of_another_variant_with_the_same_lines() -> None:
    """A change of portions or pace needs no new matrix."""
    project = make_project([GRAIN], make_variant(make_line(GRAIN, 100.0)))
    prepared = prepare(project, project.variants[0])
    in_four = make_variant(make_line(GRAIN, 100.0), portioning=ByCount(count=4))
    assert evaluate(prepared, in_four).bound("CHOCDF").value == pytest.approx(20.0)


def test_an_empty_batch_has_no_weight_after_cooking() -> None:
    assert math.isnan(evaluation_of([(0.0, GRAIN)]).finished_percent)


def test_there_is_no_bound_of_an_unknown_quantity() -> None:
    with pytest.raises(KeyError):
        evaluation_of([(100.0, GRAIN)]).bound("vitamin of another program")


def test_losses_come_off_the_typical_weight() -> None:
    """3 x 100 g, less a tenth of the 100 g going in, less half of the 10 g fat."""
    losses = (Loss(kind="drained", percent=10.0), Loss(kind="fat_left", percent=50.0))
    result = cooked(Stage(id="s1", weight=Typical(), losses=losses), lines=((GRAIN, 100.0, "s1"),))
    assert result.finished_g == pytest.approx(300.0 - 10.0 - 5.0)
