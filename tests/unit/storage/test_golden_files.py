"""A file of every version that was ever released opens for ever and means what it meant."""

from pathlib import Path

from workbench.document.avoid import Avoid
from workbench.document.project import ByCount, ByWeight, FinalWater, Loss, Typical, Unchanged, WaterLost, Weighed
from workbench.storage.project_file import decode_project, encode_project, load_project

GOLDEN = Path(__file__).parents[2] / "golden"


def test_a_file_of_version_1_opens_as_it_was() -> None:
    loaded = load_project(GOLDEN / "project-1.fare")
    assert loaded.problems == ()
    project = loaded.project
    assert (project.title, project.notes, project.measures) == (
        "Maize squares for the Sandspit loop",
        "First season.",
        "metric",
    )
    assert project.assumptions.lauric_counts
    assert not project.assumptions.starch_by_difference

    meal = project.foods["meal"]
    assert (meal.values["FAT"].value, meal.values["FAT"].sd, meal.values["FAT"].kind) == (1.8, 0.2, "label")
    assert (meal.contains, meal.may_contain, meal.typical_yield) == ((), ("gluten_wheat",), 5.2)
    assert (meal.measures[0].grams, meal.packs[0].price, meal.names["de"]) == (165.0, 2.4, "Maismehl")
    assert project.foods["butter"].may_contain == ()
    assert project.foods["butter"].density_g_per_ml is None

    first, filled = project.variants
    line, butter = first.lines
    assert (line.amount_g, line.entered, line.min_g, line.max_g, line.step_g) == (300, "300 g", 250, 350, 5)
    assert (butter.as_bought, butter.lock, butter.group, butter.retention) == (True, True, "fat", {"FAT": 0.98})
    assert first.stages[0].weight == Weighed(in_g=1500, out_g=1320, amounts={"l-meal": 300})
    assert first.stages[0].losses == (Loss(kind="fat_left", percent=1.5),)
    assert first.stages[1].weight == WaterLost(amount=2, unit="%")
    assert [stage.weight for stage in filled.stages] == [FinalWater(percent=35), Typical(), Unchanged()]
    assert (first.portioning, filled.portioning) == (ByWeight(piece_g=45, trimmings_percent=3), ByCount(count=12))
    assert (first.hold_batch_weight, first.pace_per_hour, first.target_set_id) == (True, 2.5, "race-day")
    assert (filled.hold_batch_weight, filled.pace_per_hour, filled.parent_id) == (False, 3.0, "first")
    assert filled.lines[0].food_ref.kind == "variant"

    carb, fibre = project.target_sets[0].targets
    assert (carb.low, carb.high, carb.aim, carb.strength) == (20, 25, 22, "must")
    assert (fibre.basis, fibre.low, fibre.strength, fibre.source) == ("portion", None, "prefer", "club rule")
    assert (project.plans[0].riders, project.plans[0].items[0].pieces) == (8, 2)
    assert project.trials[0].piece_weights_g == (44.0, 46.5)
    assert project.trials[0].stages[0].out_g == 1330

    assert project.avoid == Avoid(), "older than the field"
    assert [variant.avoid for variant in project.variants] == [None, None]

    assert decode_project(encode_project(project)).project == project


def test_a_file_of_version_1_with_what_is_avoided_opens_as_it_was() -> None:
    loaded = load_project(GOLDEN / "project-1-avoid.fare")
    assert loaded.problems == ()
    project = loaded.project
    assert project.avoid == Avoid(allergens=("gluten_wheat", "coconut"), traces=True, foods={"figs": "figs, dried"})
    own, free, plain = project.variants
    assert own.avoid == Avoid(origins=("dairy", "egg", "bee", "animal"), gut=("lactose",))
    assert free.avoid == Avoid(), "nothing to avoid here, whatever the project says"
    assert plain.avoid is None
    assert [bool(project.wish_of(variant)) for variant in project.variants] == [True, False, True]
    assert decode_project(encode_project(project)).project == project


def test_every_golden_file_is_tested() -> None:
    assert sorted(path.name for path in GOLDEN.glob("*.fare")) == ["project-1-avoid.fare", "project-1.fare"]
