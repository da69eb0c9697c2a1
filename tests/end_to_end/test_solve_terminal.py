"""``pocketfare solve`` as a user and a script meet it."""

import json
from pathlib import Path

import pytest

from tests.end_to_end.test_terminal import DEMO, pocketfare
from workbench.document.project import Target, TargetSet
from workbench.storage.kept_targets import keep_target_set, kept_targets_file


def test_amounts_for_targets_in_words() -> None:
    done = pocketfare("solve", DEMO, "Original", "--targets", "race piece")
    assert done.returncode == 0
    assert "all targets met" in done.stdout.splitlines()[0]
    assert "butter, unsalted: 80 g → 22.2 g (−72 %)" in done.stdout
    assert "fat per piece: 5.2 g, at most 2.5: over by 2.7 g" in done.stdout
    assert "fat per piece: 2.5 g, at most 2.5: met" in done.stdout


def test_rounded_few_and_written_so_that_another_program_agrees(tmp_path: Path) -> None:
    out = tmp_path / "race.fare"
    done = pocketfare("solve", DEMO, "Original", "--targets", "race piece", "--round", "--few", "--json", "-o", out)
    assert done.returncode == 0
    data = json.loads(done.stdout)
    assert data["met"] and data["clash"] is None
    assert [c["name"] for c in data["changes"]] == ["butter, unsalted"]
    grams = data["changes"][0]["after_g"]
    assert grams == round(grams), "a whole gram"
    computed = json.loads(pocketfare("compute", out, "--json", "--variant", "Original").stdout)["variants"][0]
    for verdict in data["after"]:
        if verdict["basis"] in ("portion", "batch"):
            figure = computed[verdict["basis"]]["components"][verdict["quantity"]]["value"]
            assert verdict["figure"]["value"] == pytest.approx(figure), verdict["quantity"]


def test_what_cannot_be_is_explained(tmp_path: Path) -> None:
    data = json.loads(DEMO.read_text(encoding="utf-8"))
    data["target_sets"][0]["targets"] += [
        {"id": "aa0000000001", "quantity": "mct_c6_c10", "basis": "portion", "low": 3.0, "strength": "must"}
    ]
    file = tmp_path / "clash.fare"
    file.write_text(json.dumps(data), encoding="utf-8")
    done = pocketfare("solve", file, "Race")
    assert done.returncode == 1
    assert "These cannot all hold, and without any one of them the others can:" in done.stdout
    assert "• fat per piece at most 2.5 g" in done.stdout
    assert "• medium-chain fat C6–C10 per piece at least 3.00 g" in done.stdout


def test_a_slip_in_the_name_of_a_set_is_answered() -> None:
    done = pocketfare("solve", DEMO, "Race", "--targets", "race peice")
    assert done.returncode == 2
    assert "Did you mean “race piece”?" in done.stderr


def test_a_set_kept_for_other_projects_is_found_and_a_bad_file_of_them_is_one_message(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("POCKETFARE_HOME", str(tmp_path))
    lean = Target(id="f", quantity="FAT", high=2.0)
    keep_target_set(TargetSet(id="k", name="lean gravel", targets=(lean,)))
    done = pocketfare("solve", DEMO, "Original", "--targets", "lean gravel")
    assert done.returncode == 0 and "targets “lean gravel”" in done.stdout
    assert "fat per piece: 2.0 g, at most 2.0: met" in done.stdout
    kept_targets_file().write_text("spilled coffee", encoding="utf-8")
    done = pocketfare("solve", DEMO, "Original", "--targets", "lean gravel")
    assert done.returncode == 2 and "Traceback" not in done.stderr
    assert str(kept_targets_file()) in done.stderr and "cannot be read" in done.stderr
