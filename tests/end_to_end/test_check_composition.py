"""``pocketfare check`` on the bundled table and on a project's own ingredients."""

import json
import subprocess
import sys
from pathlib import Path

from workbench.base.paths import demo_projects

DEMO = demo_projects() / "maize_squares.fare"


def check(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "workbench", "check", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)


def with_own_food(folder: Path, fat_g: float) -> Path:
    data = json.loads(DEMO.read_text("utf-8"))
    figures = {"FAT": fat_g, "FASAT": 40.0, "PROCNT": 8.0, "CHOAVLDF": 20.0}
    values = {tag: {"value": grams, "kind": "label"} for tag, grams in figures.items()}
    data["foods"]["own1"] = {
        "id": "own1",
        "name": "Kelmouth nut spread",
        "values": values,
        "taken_from": {"kind": "own"},
    }
    path = folder / "own.fare"
    path.write_text(json.dumps(data), encoding="utf-8")
    return path


def test_what_was_looked_into_in_the_bundled_table_is_printed_with_its_reason() -> None:
    done = check("--composition")
    assert "notice: ingredient “black pepper”: " in done.stdout
    assert "Looked into and kept: published so in SR26 2030" in done.stdout
    assert (done.returncode, done.stderr) == (0, "")


def test_own_ingredients_of_a_project_are_checked(tmp_path: Path) -> None:
    done = check(with_own_food(tmp_path, 6.0))
    assert done.returncode == 1
    assert "“Kelmouth nut spread”" in done.stdout and "saturated" in done.stdout
    assert "black pepper" not in done.stdout
    both = check(with_own_food(tmp_path, 6.0), "--composition").stdout
    assert "“Kelmouth nut spread”" in both and "black pepper" in both


def test_a_sound_own_ingredient_gives_no_finding(tmp_path: Path) -> None:
    done = check(with_own_food(tmp_path, 60.0))
    assert (done.returncode, done.stdout.strip()) == (0, "no problems found")


def test_check_needs_something_to_check() -> None:
    done = check()
    assert done.returncode == 2
    assert "--composition" in done.stderr and "Traceback" not in done.stderr
