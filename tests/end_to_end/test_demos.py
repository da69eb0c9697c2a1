"""The ready projects: each opens without a finding, computes, and says what a practitioner would expect.

The bands are common practice, no source: a wrapped piece carries 20-30 g carbohydrate, a race piece at most about 1 g
of fibre, and a sweet baked piece 0.3-0.7 % salt.
"""

from functools import cache

import pytest
from msgspec.structs import replace

from workbench.base.paths import demo_projects
from workbench.composition.bundled import bundled_foods
from workbench.document.project import Project, Variant
from workbench.recipe.declaration import declare
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.preparation import prepare
from workbench.storage.project_file import encode_project, load_project

NAMES = sorted(path.stem for path in demo_projects().glob("*.fare"))


@cache
def demo(name: str) -> tuple[Project, dict[str, Evaluation]]:
    loaded = load_project(demo_projects() / f"{name}.fare")
    assert list(loaded.problems) == []
    project = loaded.project
    return project, {v.purpose: evaluate(prepare(project, v)) for v in project.variants}


def test_there_are_two_demos() -> None:
    assert NAMES == ["buckwheat_fig_bars", "maize_squares"]


@pytest.mark.parametrize("name", NAMES)
def test_a_demo_is_written_as_this_version_writes_it(name: str) -> None:
    """Only then it is read the quick way; after a change of the document it has to be saved anew."""
    file = demo_projects() / f"{name}.fare"
    assert encode_project(load_project(file).project) == file.read_bytes()


@pytest.mark.parametrize("name", NAMES)
def test_every_variant_is_clean_and_carries_a_sensible_piece(name: str) -> None:
    _project, evaluations = demo(name)
    assert set(evaluations) == {"original", "plant_based", "race", "long_ride"}
    for evaluation in evaluations.values():
        assert evaluation.problems == ()
        carbohydrate = evaluation.bound("CHOAVLDF")
        assert carbohydrate.low >= 20.0
        assert carbohydrate.high <= 30.0
        salt_percent = evaluation.bound("salt", "per_100g")
        assert 0.3 <= salt_percent.low <= salt_percent.value <= 0.7


@pytest.mark.parametrize("name", NAMES)
def test_the_race_version_is_low_in_residue_and_the_long_ride_version_is_not(name: str) -> None:
    _project, evaluations = demo(name)
    race, long_ride = evaluations["race"], evaluations["long_ride"]
    assert race.bound("FIBTG").high <= 1.0
    assert race.bound("FAT").high <= 2.5
    for key in ("FIBTG", "FAT", "mct_c6_c10", "residue_organic", "residue_fibre_based"):
        assert long_ride.bound(key).low > race.bound(key).high


@pytest.mark.parametrize("name", NAMES)
def test_only_the_original_holds_anything_from_animals(name: str) -> None:
    project, evaluations = demo(name)
    original = declare(project, evaluations["original"])
    assert {"milk", "egg"} <= set(original.contains)
    assert not original.plant_based
    for purpose in ("plant_based", "race", "long_ride"):
        declared = declare(project, evaluations[purpose])
        assert declared.plant_based
        assert not {"milk", "egg"} & set(declared.contains)


@pytest.mark.parametrize("name", NAMES)
def test_variants_keep_their_descent_and_weighed_amounts(name: str) -> None:
    project, _evaluations = demo(name)
    by_purpose: dict[str, Variant] = {v.purpose: v for v in project.variants}
    assert by_purpose["original"].parent_id is None
    assert by_purpose["plant_based"].parent_id == by_purpose["original"].id
    assert by_purpose["race"].parent_id == by_purpose["long_ride"].parent_id == by_purpose["plant_based"].id


@pytest.mark.parametrize("name", NAMES)
def test_the_snapshot_is_the_bundled_table_of_today(name: str) -> None:
    project, _evaluations = demo(name)
    for key, food in project.foods.items():
        today = bundled_foods()[key]
        assert food.taken_from is not None and today.taken_from is not None
        # A later version that only adds rows changes no row: the hash says so.
        same_version = replace(food.taken_from, table_version=today.taken_from.table_version)
        assert replace(food, taken_from=same_version) == today
