"""The terminal commands as a process, the way a user and a script meet them."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from workbench.base.paths import demo_projects

DEMO = demo_projects() / "maize_squares.fare"

PROMISED = (
    "CHOCDF", "CHOAVLDF", "FIBTG", "FAT", "FASAT", "F8D0", "PROCNT", "WATER", "GLUS", "STARCH", "NA",
    "mct_c6_c10", "mct_c6_c12", "glucose_type", "fructose_type", "galactose", "other_carbohydrate",
    "fructose_to_glucose", "residue_organic", "residue_fibre_based", "energy_kj", "energy_kcal",
)  # fmt: skip


def pocketfare(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    environment = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")}
    return subprocess.run(
        [sys.executable, "-m", "workbench", *map(str, arguments)],
        capture_output=True,
        text=True,
        env=environment,
        timeout=60,
        check=False,
    )


def test_compute_json_has_the_promised_layout() -> None:
    done = pocketfare("compute", DEMO, "--json")
    assert (done.returncode, done.stderr) == (0, "")
    variants = json.loads(done.stdout)["variants"]
    assert [v["name"] for v in variants] == ["Original", "Plant-based", "Race", "Long ride"]
    for variant in variants:
        for basis in ("batch", "portion", "per_100g"):
            assert variant[basis]["mass_g"] > 0
            for key in PROMISED:
                figure = variant[basis]["components"][key]
                assert set(figure) == {"value", "low", "high", "at_least", "at_most", "unknown"}
        assert variant["per_100g"]["mass_g"] == pytest.approx(100.0)
        portion = variant["portion"]
        assert portion["mass_g"] * portion["count"] == pytest.approx(variant["batch"]["mass_g"])
        assert (portion["whole_pieces"], portion["left_over_g"]) == (20, 0.0)


def test_bases_agree_with_each_other() -> None:
    race = json.loads(pocketfare("compute", DEMO, "--json", "--variant", "Race").stdout)["variants"][0]
    batch, portion, per_100g = (race[basis] for basis in ("batch", "portion", "per_100g"))
    for key in ("CHOAVLDF", "FIBTG", "energy_kj", "WATER"):
        whole = batch["components"][key]["value"]
        assert portion["components"][key]["value"] * portion["count"] == pytest.approx(whole)
        assert per_100g["components"][key]["value"] * batch["mass_g"] / 100 == pytest.approx(whole)


def test_compute_prints_a_table_for_people() -> None:
    done = pocketfare("compute", DEMO, "--variant", "Race")
    assert done.returncode == 0
    assert "20 pieces of 82 g" in done.stdout
    assert "carbohydrate (without fibre)" in done.stdout
    assert "Original" not in done.stdout


def test_compare_says_what_changed_and_what_it_did() -> None:
    done = pocketfare("compare", DEMO, "Original", "Plant-based")
    assert done.returncode == 0
    assert "replaced: butter, unsalted" in done.stdout
    assert "by coconut oil" in done.stdout
    assert "medium-chain fat" in done.stdout


def test_compare_takes_several_variants_and_those_of_other_files() -> None:
    other = str(demo_projects() / "buckwheat_fig_bars.fare")
    done = pocketfare("compare", DEMO, "Original", "Race", "--with", f"{other}:Long ride", "--basis", "per_hour")
    assert done.returncode == 0
    assert "Original → Long ride (buckwheat_fig_bars)" in done.stdout
    head = next(line for line in done.stdout.splitlines() if "per hour, at each one's pace" in line)
    assert head.count("change") == 2
    (carbohydrate,) = (line for line in done.stdout.splitlines() if line.startswith("  carbohydrate (without fibre)"))
    assert carbohydrate.split()[3:7] == ["68.6", "g", "69.6", "g"], "three squares of 22.86 and 23.21 g"


def test_an_unknown_variant_is_answered_with_the_names_there_are() -> None:
    done = pocketfare("compare", DEMO, "Original", "Rase")
    assert done.returncode == 2
    assert "no variant “Rase”" in done.stderr
    assert "“Race”" in done.stderr
    assert "Traceback" not in done.stderr


def test_check_of_a_clean_project() -> None:
    done = pocketfare("check", DEMO)
    assert (done.returncode, done.stdout.strip()) == (0, "no problems found")


def test_export_writes_a_workbook(tmp_path: Path) -> None:
    out = tmp_path / "squares.xlsx"
    done = pocketfare("export", DEMO, "-o", out)
    assert done.returncode == 0
    assert out.read_bytes()[:2] == b"PK"


def test_export_into_a_missing_folder_is_refused_in_one_line(tmp_path: Path) -> None:
    done = pocketfare("export", DEMO, "-o", tmp_path / "nowhere" / "squares.xlsx")
    assert done.returncode == 2
    assert "nowhere" in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_a_folder_in_place_of_a_file_is_refused_in_one_line() -> None:
    done = pocketfare("solve", DEMO, "Race", "-o", ".")
    assert done.returncode == 2
    assert done.stderr == ".: “.” is a folder. Choose another file name.\n"


def edited(tmp_path: Path, change: str) -> Path:
    """The demo with a change written into it by hand."""
    data = json.loads(DEMO.read_text("utf-8"))
    race = next(v for v in data["variants"] if v["name"] == "Race")
    if change == "too much water leaves":
        stage = race["stages"][0]
        stage["weight"] = {"how": "water_lost", "amount": 5000.0, "unit": "g"}
    elif change == "an unknown ingredient":
        race["lines"][0]["food_ref"] = {"kind": "own", "id": "maize_meel_fine"}
    elif change == "a ring of variants":
        race["lines"][0]["food_ref"] = {"kind": "variant", "id": race["id"]}
    elif change == "a negative amount":
        race["lines"][0]["amount_g"] = -3
    path = tmp_path / "edited.fare"
    path.write_text(json.dumps(data), encoding="utf-8")
    return path


def test_more_water_lost_than_there_is_gives_no_figures(tmp_path: Path) -> None:
    path = edited(tmp_path, "too much water leaves")
    done = pocketfare("compute", path, "--json")
    assert done.returncode == 1
    race = next(v for v in json.loads(done.stdout)["variants"] if v["name"] == "Race")
    assert race["portion"] is None
    assert any(p["code"] == "negative_water" and "cook the maize" in p["where"] for p in race["problems"])
    assert pocketfare("check", path).returncode == 1


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("an unknown ingredient", "maize_meel_fine"),
        ("a ring of variants", "Race"),
        ("a negative amount", "amount_g"),
    ],
)
def test_broken_projects_are_named_and_refused(tmp_path: Path, change: str, said: str) -> None:
    done = pocketfare("check", edited(tmp_path, change))
    words = done.stdout + done.stderr
    assert done.returncode in (1, 2)
    assert said in words
    assert "Race" in words
    assert "Traceback" not in words


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"\xff\xfe", b'{"format": "something else"}'])
def test_files_that_are_no_projects_get_one_clear_message(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "odd.fare"
    path.write_bytes(content)
    done = pocketfare("compute", path)
    assert done.returncode == 2
    assert "odd.fare" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_file_that_is_not_there_is_named() -> None:
    done = pocketfare("compute", "no_such.fare")
    assert done.returncode == 2
    assert "no_such.fare" in done.stderr


def test_ten_thousand_lines_are_refused_with_the_limit_or_open_quickly(tmp_path: Path) -> None:
    data = json.loads(DEMO.read_text("utf-8"))
    race = next(v for v in data["variants"] if v["name"] == "Race")
    race["lines"] = [{**race["lines"][0], "id": f"l{k}"} for k in range(10_000)]
    path = tmp_path / "long.fare"
    path.write_text(json.dumps(data), encoding="utf-8")
    done = pocketfare("compute", path)
    assert done.returncode == 2
    assert "400" in done.stderr


def test_a_bug_gives_a_sentence_and_a_report_but_no_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from workbench import cli
    from workbench.base.paths import user_state
    from workbench.cli import figures

    def broken(*_arguments: object) -> None:
        raise ZeroDivisionError("a bug")

    monkeypatch.setattr(figures, "evaluations", broken)
    assert cli.main(["compute", str(DEMO)]) == 2
    words = capsys.readouterr().err
    assert "a bug" in words
    assert "Traceback" not in words
    (report,) = (user_state() / "reports").iterdir()
    assert "ZeroDivisionError" in report.read_text("utf-8")
