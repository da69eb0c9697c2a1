"""Importing and exporting from the terminal, as a user types it."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.bench.fdc_folder import write_folder
from workbench.cli import main

TABLE = "Food;Protein (g);Fat (g);Na;Secret\nOats;13,5;7,0;0,006;1\nFigs;<0,5;0,9;tr;2\n"


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "kitchen.csv"
    path.write_text(TABLE, encoding="utf-8")
    return path


def test_a_dry_run_says_what_would_come_in_and_writes_nothing(table: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", str(table), "--dry-run"]) == 0
    said = capsys.readouterr().out
    assert "one row a food, one column a component" in said
    assert "left out: Secret" in said
    assert "foods: 2 of 2; values: 4; “less than”: 2; blank: 0" in said
    assert "traces, taken as “less than”" in said
    assert "Nothing was written" in said
    assert not list(Path(os.environ["POCKETFARE_HOME"]).rglob("*.sqlite"))


def test_a_mapping_is_remembered_for_the_same_titles(table: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", str(table), "--map", "Na=NA:g", "--map", "Secret=ASH", "--json"]) == 0
    first = json.loads(capsys.readouterr().out)
    assert first["summary"]["added"] == 2
    assert {taken["tag"] for taken in first["taken"]} == {"PROCNT", "FAT", "NA", "ASH"}
    assert main(["import", str(table), "--json"]) == 0
    again, said = capsys.readouterr()
    assert json.loads(again)["summary"]["same"] == 2
    assert "as you chose last time" in said
    assert main(["import", str(table), "--map", "Secret=", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["summary"]["replaced"] == 2


def test_a_sheet_is_remembered_for_the_same_workbook(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from openpyxl import Workbook

    book = Workbook()
    for sheet, fat in ((book.active, 3.8), (book.create_sheet("2026"), 4.1)):
        for row in (("Food", "Protein (g)", "Fat (g)"), ("Oats", 13.5, fat)):
            sheet.append(row)
    path = tmp_path / "kitchen.xlsx"
    book.save(path)
    assert main(["import", str(path), "--sheet", "2026"]) == 0
    assert "2026" in capsys.readouterr().out
    assert main(["import", str(path), "--json"]) == 0
    again, said = capsys.readouterr()
    assert json.loads(again)["summary"]["same"] == 1 and "--sheet and --layout change that" in said
    assert main(["import", str(path), "--sheet", "Sheet", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["summary"]["added"] == 1


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--map", "Nope=NA"], "no column “Nope”"),
        (["--map", "Na"], "does not say what a column is"),
        (["--layout", "tall"], "no layout “tall”"),
        (["--layout", "fdc_csv"], "not laid out so"),
    ],
)
def test_what_cannot_be_done_is_said_with_a_way_on(
    table: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], words: str
) -> None:
    assert main(["import", str(table), *arguments]) == 2
    assert words in capsys.readouterr().err


@pytest.mark.parametrize("ending", ["xlsx", "zip"])
def test_what_is_exported_imports_as_the_same_table(
    table: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], ending: str
) -> None:
    out, other = tmp_path / f"out.{ending}", tmp_path / "other.sqlite"
    assert main(["import", str(table), "--key", "kitchen"]) == 0
    assert main(["export-table", str(out), "--table", "kitchen"]) == 0
    capsys.readouterr()
    assert main(["import", str(out), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["summary"]["same"] == 2
    assert main(["import", str(out), "--library", str(other)]) == 0
    assert main(["export-table", str(tmp_path / f"again.{ending}"), "--library", str(other)]) == 0
    assert main(["export-table", str(out), "--table", "nowhere"]) == 2
    assert "It has: kitchen, own" in capsys.readouterr().err


def test_the_bundled_table_exports_and_imports(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "bundled.zip"
    assert main(["export-table", str(out), "--bundled"]) == 0
    capsys.readouterr()
    assert main(["import", str(out), "--dry-run", "--json"]) == 0
    from workbench.composition.bundled import bundled_foods

    report = json.loads(capsys.readouterr().out)
    assert report["values"] == sum(len(food.values) for food in bundled_foods().values())
    assert report["problems"] == []


def test_the_process_exits_with_its_code(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "fdc", 40, 45)
    done = subprocess.run(
        [sys.executable, "-m", "workbench", "import", str(folder), "--json"], capture_output=True, text=True, check=True
    )
    assert json.loads(done.stdout)["summary"]["added"] == 40
    assert done.stderr == ""
