"""``substitute`` and ``suggest`` as a process, the way a user and a script meet them."""

import json
import shutil
from pathlib import Path

import pytest

from tests.end_to_end.test_terminal import DEMO, pocketfare
from workbench import cli
from workbench.base.files import FileLock
from workbench.base.paths import demo_projects
from workbench.storage.project_file import load_project

BARS = demo_projects() / "buckwheat_fig_bars.fare"


def test_plant_based_variant_is_written_beside_the_original(tmp_path: Path) -> None:
    out = tmp_path / "out.fare"
    done = pocketfare("substitute", DEMO, "Original", "--avoid", "animal", "--json", "-o", out)
    assert done.returncode == 0, done.stderr
    data = json.loads(done.stdout)
    assert [o["name"] for o in data["offending"]] == ["milk, whole", "butter, unsalted", "egg, whole, raw"]
    assert 2 <= len(data["proposals"]) <= 3
    old, new = load_project(DEMO).project, load_project(out).project
    assert [v for v in new.variants if v.id in {x.id for x in old.variants}] == list(old.variants)
    (made,) = [v for v in new.variants if v.id not in {x.id for x in old.variants}]
    assert made.parent_id == old.variants[0].id


def test_it_says_for_people_what_changed_what_is_lost_and_what_to_test() -> None:
    done = pocketfare("substitute", DEMO, "Original", "--avoid", "animal")
    assert done.returncode == 0, done.stderr
    for words in ("made from milk", "common practice, no source", "lost:", "to test:", "differs:"):
        assert words in done.stdout


def test_targets_that_would_not_be_used_are_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["substitute", str(DEMO), "Original", "--avoid", "animal", "--targets", "any"]) == 2
    assert "--targets goes with --for" in capsys.readouterr().err


def test_race_from_long_ride() -> None:
    done = pocketfare("substitute", BARS, "Long ride", "--for", "race", "--json")
    assert done.returncode == 0, done.stderr
    fibre = json.loads(done.stdout)["proposals"][0]["per_piece"]["FIBTG"]
    assert fibre["after"]["value"] < 0.5 * fibre["before"]["value"]


@pytest.mark.parametrize(
    "command",
    [
        ("avoid", "FILE", "--set", "animal"),
        ("substitute", "FILE", "Original", "--avoid", "animal", "-o", "FILE"),
        ("solve", "FILE", "Race", "-o", "FILE"),
    ],
)
def test_nothing_is_written_to_a_file_that_is_open_elsewhere(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: tuple[str, ...]
) -> None:
    file = tmp_path / "open.fare"
    shutil.copyfile(DEMO, file)
    lock = FileLock(file)
    assert lock.acquire() is None
    assert cli.main([str(file) if word == "FILE" else word for word in command]) == 2
    assert "open elsewhere" in capsys.readouterr().err
    assert file.read_bytes() == DEMO.read_bytes()
    lock.release()


def test_what_the_project_avoids_is_kept_marked_and_taken_where_nothing_else_is_said(tmp_path: Path) -> None:
    out = tmp_path / "out.fare"
    assert "--for race" in pocketfare("substitute", DEMO, "Original").stderr
    kept = pocketfare("avoid", DEMO, "--set", "animal, gluten", "-o", out)
    assert kept.returncode == 1, "the original offends"
    assert "butter, unsalted: ⊘ avoid: made from milk" in kept.stdout
    assert load_project(DEMO).project.avoid != load_project(out).project.avoid
    told = json.loads(pocketfare("compute", out, "--json").stdout)["variants"]
    assert [len(variant["offending"]) for variant in told] == [3, 0, 0, 0]
    assert told[0]["offending"][0]["reasons"][0]["certain"] is True
    assert "⊘ avoid: made from egg" in pocketfare("compute", out, "--variant", "Original").stdout
    done = pocketfare("substitute", out, "Original", "--json")
    assert done.returncode == 0, done.stderr
    assert [o["name"] for o in json.loads(done.stdout)["offending"]] == [
        "milk, whole",
        "butter, unsalted",
        "egg, whole, raw",
    ]
    free = pocketfare("avoid", out, "Original", "--set", "nothing", "--json")
    assert free.returncode == 0
    assert json.loads(free.stdout)["variants"][0]["avoid"] == {}
    assert load_project(out).project.avoid, "the project still avoids it"


def test_what_cannot_be_avoided_is_answered_in_one_line() -> None:
    done = pocketfare("substitute", DEMO, "Original", "--avoid", "anmal")
    assert (done.returncode, done.stdout) == (2, "")
    assert "Did you mean “animal”?" in done.stderr
    assert "Traceback" not in done.stderr


def test_recipes_from_the_pantry(tmp_path: Path) -> None:
    out = tmp_path / "out.fare"
    have = "oats_rolled; dates; maple_syrup; rice_puffed; almond_butter; salt; cinnamon; raisins"
    done = pocketfare(
        "suggest", BARS, "--form", "pressed_bar", "--have", have, "--targets", "long-ride piece", "-o", out
    )
    assert done.returncode == 0, done.stderr
    assert "starting point for a trial" in done.stdout
    assert len(load_project(out).project.variants) == len(load_project(BARS).project.variants) + 1


def test_a_form_and_an_ingredient_that_are_not_there() -> None:
    assert "pressed_bar" in pocketfare("suggest", BARS, "--form", "cake").stderr
    assert "Did you mean" in pocketfare("suggest", BARS, "--form", "gel", "--have", "mapel_syrup").stderr
