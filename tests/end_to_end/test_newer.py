"""``pocketfare newer``: what it says, what it writes, and its exit codes."""

import json
from pathlib import Path

import pytest
from msgspec.structs import replace

from workbench.base.files import FileLock
from workbench.base.paths import demo_projects
from workbench.cli import main
from workbench.composition.bundled import bundled_foods, row_hash
from workbench.composition.food import Food
from workbench.document.project import Project
from workbench.storage.project_file import load_project, save_project

DEMO = demo_projects() / "buckwheat_fig_bars.fare"


def older(food: Food, fat: float) -> Food:
    before = replace(food, values=food.values | {"FAT": replace(food.values["FAT"], value=fat)})
    assert food.taken_from is not None
    return replace(before, taken_from=replace(food.taken_from, row_hash=row_hash(before)))


def fat(project: Project, food_id: str) -> float:
    return project.foods[food_id].values["FAT"].value


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """The demo with older figs, and older honey that somebody changed by hand."""
    project = load_project(DEMO).project
    honey = older(project.foods["honey"], 1.0)
    honey = replace(honey, values=honey.values | {"FAT": replace(honey.values["FAT"], value=2.0)})
    foods = project.foods | {"figs_dried": older(project.foods["figs_dried"], 9.0), "honey": honey}
    save_project(tmp_path / "older.fare", replace(project, foods=foods))
    return tmp_path / "older.fare"


def test_it_says_what_is_newer_and_changes_nothing(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["newer", str(DEMO)]) == 0
    assert capsys.readouterr().out == "nothing newer\n"
    before = file.read_bytes()
    assert main(["newer", str(file)]) == 1
    said = capsys.readouterr().out.splitlines()
    assert "figs, dried: 1 figure" in said and "  fat: 9 → 0.93 g (USDA SR26 9094)" in said
    assert "in one piece of Original" in said
    assert file.read_bytes() == before


def test_other_programs_read_what_is_newer_before_and_after(
    file: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main(["newer", str(file), "--json"]) == 1
    data = json.loads(capfdbinary.readouterr().out)
    foods = {food["id"]: food for food in data["foods"]}
    assert (foods["figs_dried"]["edited"], foods["honey"]["edited"]) == (False, True)
    assert [foods["figs_dried"]["values"]["FAT"][when]["value"] for when in ("before", "after")] == [9.0, 0.93]
    portion = data["variants"][0]["portion"]["FAT"]
    assert portion["after"]["value"] < portion["before"]["value"]


def test_taking_leaves_what_was_changed_by_hand_unless_it_is_asked_for(file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.fare"
    assert main(["newer", str(file), "--take", "-o", str(out)]) == 1  # honey is left
    taken = load_project(out).project
    assert (fat(taken, "figs_dried"), fat(taken, "honey")) == (0.93, 2.0)
    assert fat(load_project(file).project, "figs_dried") == 9.0
    assert main(["newer", str(file), "--take", "--edited"]) == 0
    assert fat(load_project(file).project, "honey") == bundled_foods()["honey"].values["FAT"].value
    written = file.read_bytes()
    assert main(["newer", str(file), "--take"]) == 0
    assert file.read_bytes() == written


def test_it_writes_to_no_file_that_is_open_elsewhere_nor_without_being_told(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before, lock = file.read_bytes(), FileLock(file)
    assert lock.acquire() is None
    try:
        assert main(["newer", str(file), "--take"]) == 2
        assert "open elsewhere" in capsys.readouterr().err
    finally:
        lock.release()
    assert main(["newer", str(file), "--edited"]) == 2
    assert "Add --take" in capsys.readouterr().err
    assert file.read_bytes() == before
