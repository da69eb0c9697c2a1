"""An exported table as a file: what spreadsheet programs and other people make of it."""

import csv
import io
import zipfile
from pathlib import Path

import openpyxl
import pytest

from tests.support import make_food, make_line, make_project, make_variant
from workbench.base.errors import FileError
from workbench.composition.bundled import bundled_foods
from workbench.composition.exports.files import export_foods
from workbench.composition.food import Measure, Pack
from workbench.composition.imports.detection import detect, make_plan
from workbench.composition.imports.running import preview
from workbench.storage.project_file import save_project

HARMFUL = ("=1+1", "+49 30", "-x", "@SUM(A1)", "\t=1", '=HYPERLINK("http://x")', "'=1", "\uff1d1")


def test_no_text_becomes_a_formula(tmp_path: Path) -> None:
    foods = [make_food(f"f{k}", {"FAT": 1.0}, name=text, note=text) for k, text in enumerate(HARMFUL)]
    export_foods(foods, tmp_path / "t.xlsx")
    book = openpyxl.load_workbook(tmp_path / "t.xlsx")
    cells = [cell for sheet in book.worksheets for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} <= {"s", "n"}
    assert not any(cell.hyperlink for cell in cells)
    assert [cell.value for cell in book["foods"]["B"][1:]] == list(HARMFUL)
    export_foods(foods, tmp_path / "t.zip")
    with zipfile.ZipFile(tmp_path / "t.zip") as archive:
        text = archive.read("foods.csv").decode()
    cells_of_csv = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\uff1d")) for cell in cells_of_csv)


def test_the_same_foods_give_the_same_bytes(tmp_path: Path) -> None:
    foods = list(bundled_foods().values())[:40]
    for name in ("a.zip", "b.zip"):
        assert export_foods(foods, tmp_path / name) == 40
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def test_another_ending_is_refused_with_those_there_are(tmp_path: Path) -> None:
    with pytest.raises(FileError) as refused:
        export_foods([], tmp_path / "t.csv")
    assert ".zip" in refused.value.hint
    assert not list(tmp_path.iterdir())


def test_more_rows_than_a_worksheet_holds_are_refused_and_not_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("workbench.composition.exports.files._MOST_ROWS", 3)
    foods = [make_food(f"food {k}", {"FAT": 1.0}) for k in range(3)]
    assert export_foods(foods[:2], tmp_path / "table.xlsx") == 2
    with pytest.raises(FileError, match="3 rows"):
        export_foods(foods, tmp_path / "more.xlsx")
    assert [path.name for path in tmp_path.iterdir()] == ["table.xlsx"]
    assert export_foods(foods, tmp_path / "more.zip") == 3


def _unpacked(tmp_path: Path, old: str, new: str) -> Path:
    """The files of an exported table of one food, 77.5 g fat, as somebody changed them by hand."""
    figs = make_food(
        "figs",
        {"FAT": 77.5, "WATER": 5.0},
        edible_fraction=0.875,
        contains=("almond",),
        may_contain=("soya",),
        measures=(Measure("piece", 33.25),),
        packs=(Pack(512.5, 4.75, "EUR"),),
    )
    export_foods([figs], tmp_path / "t.zip")
    (tmp_path / "t").mkdir()
    with zipfile.ZipFile(tmp_path / "t.zip") as archive:
        for name in archive.namelist():
            (tmp_path / "t" / name).write_text(archive.read(name).decode().replace(old, new), encoding="utf-8")
    return tmp_path / "t"


def test_a_column_that_somebody_deleted_counts_as_empty(tmp_path: Path) -> None:
    folder = _unpacked(tmp_path, ",also,", ",gone,")
    (food,), _tally = preview(make_plan(folder, detect(folder)))
    assert food.values["FAT"].value == 77.5


@pytest.mark.parametrize("figure", ["150", "1e999", "inf", "nan"])
def test_a_figure_that_somebody_made_impossible_is_left_blank_and_said(tmp_path: Path, figure: str) -> None:
    folder = _unpacked(tmp_path, "77.5", figure)
    (food,), tally = preview(make_plan(folder, detect(folder)))
    assert set(food.values) == {"WATER"}
    assert figure in tally.problems()[0].sentence()


@pytest.mark.parametrize("wrong", ["mlik", "almond;mlik"])
def test_a_list_of_allergens_with_an_unknown_word_states_nothing(tmp_path: Path, wrong: str) -> None:
    folder = _unpacked(tmp_path, "almond", wrong)
    (food,), tally = preview(make_plan(folder, detect(folder)))
    assert food.contains is None, "it is not known whether that is all"
    assert food.may_contain == (*wrong.split(";")[:-1], "soya")
    assert "mlik" in tally.problems()[0].sentence()
    save_project(tmp_path / "p.fare", make_project([food], make_variant(make_line(food, 10.0))))


@pytest.mark.parametrize(("old", "new"), [("0.875", "87.5"), ("33.25", "0"), ("512.5", "-1"), ("4.75", "1e9")])
def test_what_comes_back_can_be_taken_into_a_project_and_saved(tmp_path: Path, old: str, new: str) -> None:
    folder = _unpacked(tmp_path, old, new)
    (food,), tally = preview(make_plan(folder, detect(folder)))
    assert new in tally.problems()[0].sentence()
    save_project(tmp_path / "p.fare", make_project([food], make_variant(make_line(food, 10.0))))
