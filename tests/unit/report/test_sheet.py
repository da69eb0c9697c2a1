"""The sheet that is handed over, read back: figures stay figures, unknown stays empty, text stays text."""

import re
import zipfile
from collections.abc import Iterator
from datetime import date
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import msgspec
import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.worksheet.worksheet import Worksheet

from workbench.base.errors import FileError, WorkbenchError
from workbench.composition.bundled import bundled_foods
from workbench.document.project import (
    Assumptions,
    ByCount,
    FoodRef,
    Line,
    Project,
    Stage,
    Target,
    TargetSet,
    Variant,
    WaterLost,
    Weighed,
)
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.preparation import prepare
from workbench.recipe.words import CAUTIONS
from workbench.report.sheet import sheet_bytes, write_sheet
from workbench.report.spreadsheet.safe_text import sheet_names

GRAMS = {"maize_meal_fine": 300.0, "water": 1100.0, "corn_syrup_light": 120.0, "coconut_cream": 60.0, "salt": 3.0}
TARGETS = TargetSet(
    id="long",
    name="long day",
    targets=(
        Target(id="t1", quantity="CHOAVLDF", low=20.0, high=25.0, source="club rule"),
        Target(id="t2", quantity="FIBTG", high=1.0),
    ),
)


def variant(grams: dict[str, float], name: str = "Plant-based", text: str = "Press while hot.") -> Variant:
    lines = tuple(
        Line(id=f"line-{key}", stage_id="cook", food_ref=FoodRef(kind="bundled", id=key), amount_g=amount)
        for key, amount in grams.items()
    )
    weighed = Weighed(in_g=1583.0, out_g=1400.0, amounts={line.id: line.amount_g for line in lines})
    stage = Stage(id="cook", name="cook the maize", kind="cook", weight=weighed, minutes=35, text=text)
    return Variant(
        id=name,
        name=name,
        purpose="plant_based",
        lines=lines,
        stages=(stage,),
        portioning=ByCount(count=20),
        target_set_id="long",
    )


def project(*variants: Variant, **changes: object) -> Project:
    """Maize squares of an invented gravel club."""
    used = {line.food_ref.id for v in variants for line in v.lines}
    foods = {key: bundled_foods()[key] for key in bundled_foods() if key in used}
    made = Project(id="p", title="Saltmarsh maize squares", foods=foods, variants=variants, target_sets=(TARGETS,))
    return msgspec.structs.replace(made, **changes)


def evaluations(of: Project) -> list[Evaluation]:
    return [evaluate(prepare(of, v)) for v in of.variants]


def book(of: Project, written: date | None = None) -> openpyxl.Workbook:
    return openpyxl.load_workbook(BytesIO(sheet_bytes(of, evaluations(of), written)))


def sheet(of: Project) -> Worksheet:
    return book(of).worksheets[0]


def texts(page: Worksheet) -> list[str]:
    return [cell.value for row in page.iter_rows() for cell in row if isinstance(cell.value, str)]


def rows_of(page: Worksheet, title: str) -> Iterator[tuple[object, ...]]:
    """Values of the rows between a heading and the next empty row."""
    start = next(row for row in range(1, page.max_row + 1) if page.cell(row, 1).value == title)
    for row in page.iter_rows(min_row=start + 1, values_only=True):
        if all(value is None for value in row):
            return
        yield row


def line_of(page: Worksheet, label: str, unit: str | None = None) -> int:
    return next(
        row
        for row in range(1, page.max_row + 1)
        if page.cell(row, 1).value == label and unit in (None, page.cell(row, 2).value)
    )


UNKNOWN = {"coconut_milk_canned" if key == "coconut_cream" else key: amount for key, amount in GRAMS.items()}


# --- what stands in it ------------------------------------------------------------------------------------------------


def test_ingredients_stand_in_descending_weight_with_grams_share_and_food_code() -> None:
    rows = list(rows_of(sheet(project(variant(GRAMS))), "Ingredients"))[1:-1]
    # Shares by hand: 1100 / 1583 and so on.  Food codes: USDA SR26.
    assert [(row[2], round(float(str(row[3])), 1), str(row[6]).split()[-1]) for row in rows] == [
        (1100, 69.5, "14411"),
        (300, 19.0, "20422"),
        (120, 7.6, "19350"),
        (60, 3.8, "12115"),
        (3, 0.2, "2047"),
    ]
    assert {row[4] for row in rows} == {None}  # nothing is trimmed off any of these


def test_grams_as_bought_stand_where_something_is_trimmed_off() -> None:
    rows = {str(row[0]): row for row in rows_of(sheet(project(variant(GRAMS | {"egg_whole": 100.0}))), "Ingredients")}
    egg = next(row for name, row in rows.items() if name.startswith("egg"))
    # USDA SR26 01123: 12 % refuse (shell), so 100 g egg are 100 / 0.88 g in the shell.
    assert egg[4] == pytest.approx(113.6, abs=0.05)
    assert "in shell" in str(egg[0])


def test_batch_and_process_say_what_the_scale_said() -> None:
    page = sheet(project(variant(GRAMS)))
    batch = list(rows_of(page, "Batch and pieces"))
    assert batch[0][2] == 20
    assert batch[1][2] == pytest.approx(70.0)
    assert batch[0][5] == pytest.approx(1583.0)
    assert batch[2][5] == pytest.approx(88.44, abs=0.01)  # 1400 / 1583
    process = list(rows_of(page, "Process"))
    assert process[1][:6] == ("1. cook the maize (cook)", None, 1583, 1400, 35, None)
    assert process[1][6] == "weighed 1583 g in, 1400 g out: 88 %"
    assert "1100 g water, tap" in str(process[2][0])
    assert process[3][0] == "Press while hot."


def test_figures_are_those_of_the_evaluation_on_every_basis() -> None:
    of = project(variant(GRAMS))
    page, result = sheet(of), evaluations(of)[0]
    for label, unit, key in (("fat", "g", "FAT"), ("energy", "kJ", "energy_kj"), ("sodium", "mg", "NA")):
        row = line_of(page, label, unit)
        for column, basis in enumerate(("per_100g", "portion", "per_25g_carbohydrate", "per_hour"), start=3):
            assert page.cell(row, column).value == pytest.approx(result.bound(key, basis).value)
    assert page.cell(line_of(page, "carbohydrate (without fibre)"), 5).value == 25


def test_what_is_not_known_is_an_empty_cell_with_words_beside_it_and_never_zero() -> None:
    # Canned coconut milk has no fibre and no galactose in USDA SR26 (12118).
    page = sheet(project(variant(UNKNOWN)))
    galactose = line_of(page, "galactose")
    assert [page.cell(galactose, column).value for column in range(3, 7)] == [None] * 4
    assert page.cell(galactose, 7).value == "not known: coconut milk, canned"
    fibre = line_of(page, "fibre")
    assert page.cell(fibre, 4).value == pytest.approx(20 * 0.585 / 20, abs=1e-6)  # maize only: 300 g x 3.9 % / 20
    assert page.cell(fibre, 4).number_format == '"≥ "0.0'
    assert "one piece: 0.6–0.7; not known: coconut milk, canned" in page.cell(fibre, 7).value
    energy = line_of(page, "energy", "kJ")
    assert page.cell(energy, 4).number_format == '"≤ "0'  # fibre is missing under a minus


def test_a_long_list_of_unknown_ingredients_is_written_once_below_the_table() -> None:
    grams = {
        "coconut_milk_canned": 60.0,
        "coconut_milk_frozen": 60.0,
        "coconut_creamed": 60.0,
        "maize_meal_fine": 300.0,
    }
    page = sheet(project(variant(grams)))
    assert page.cell(line_of(page, "galactose"), 7).value == "not known: note 1"
    assert "note 1: coconut milk, canned; coconut milk, frozen; coconut, creamed (block)" in texts(page)


def test_a_pace_of_nothing_gives_no_figures_per_hour() -> None:
    page = sheet(project(msgspec.structs.replace(variant(GRAMS), pace_per_hour=0.0)))
    assert page.cell(line_of(page, "fat"), 6).value is None
    assert "no pace set" in " ".join(texts(page))


def test_verdicts_stand_beside_the_targets_in_words() -> None:
    rows = list(rows_of(sheet(project(variant(GRAMS))), "Targets: long day"))
    carbohydrate, fibre = rows[1], rows[2]
    assert carbohydrate[2:4] == (20, 25)
    assert str(carbohydrate[5]).endswith("short")
    assert re.fullmatch(r"short by \d\.\d g; a must; club rule", str(carbohydrate[6]))
    assert str(fibre[5]).endswith("met")


def test_allergens_name_what_brings_them_and_what_nobody_stated() -> None:
    grams = GRAMS | {"butter": 20.0}
    of = project(variant(grams))
    silent = msgspec.structs.replace(of.foods["corn_syrup_light"], contains=None)
    page = sheet(msgspec.structs.replace(of, foods=of.foods | {silent.id: silent}))
    rows = list(rows_of(page, "Allergens and animal origin"))
    assert ("contains milk", "from butter, unsalted") in [(row[0], row[3]) for row in rows]
    assert ("contains coconut (not on the EU list)", "from coconut cream, raw (pressed)") in [
        (row[0], row[3]) for row in rows
    ]
    assert "allergens not stated for: corn syrup, light" in texts(page)
    assert "animal ingredients: dairy: butter, unsalted" in texts(page)
    assert "no animal ingredient entered" not in texts(page)


def test_no_animal_ingredient_is_said_only_where_every_origin_is_stated() -> None:
    of = project(variant(GRAMS))
    assert "no animal ingredient entered" in texts(sheet(of))
    unstated = msgspec.structs.replace(of.foods["corn_syrup_light"], origin="unknown")
    page = sheet(msgspec.structs.replace(of, foods=of.foods | {unstated.id: unstated}))
    assert "no animal ingredient entered" not in texts(page)
    assert "origin not stated for: corn syrup, light" in texts(page)


def test_sources_name_publication_code_and_the_rule_behind_every_filled_gap() -> None:
    # Whole maize meal has no starch in USDA SR26 (20020); the rule that gives it one must be named.
    grams = {"maize_meal_whole" if key == "maize_meal_fine" else key: amount for key, amount in GRAMS.items()}
    of = project(variant(grams))
    said = next(text for text in texts(sheet(of)) if "20020: " in text and "measured" in text)
    assert "Starch by difference: starch [1] 20020" in said
    assert any(text.startswith("[1] USDA National Nutrient Database") for text in texts(sheet(of)))
    off = msgspec.structs.replace(of, assumptions=Assumptions(starch_by_difference=False))
    assert not any("Starch by difference: starch" in text for text in texts(sheet(off)))
    assert any(text.startswith("off: Where starch is not published") for text in texts(sheet(off)))


def test_findings_and_cautions_stand_on_the_sheet() -> None:
    changed = variant(GRAMS)
    more_water = tuple(
        msgspec.structs.replace(line, amount_g=1500.0) if line.id == "line-water" else line for line in changed.lines
    )
    said = texts(sheet(project(msgspec.structs.replace(changed, lines=more_water))))
    assert any("weighed at other amounts" in text for text in said)
    assert [sum(text.endswith(caution) for text in said) for caution in CAUTIONS] == [1] * len(CAUTIONS)


def test_a_variant_without_a_valid_result_shows_its_problem_and_no_figure() -> None:
    good = variant(GRAMS)
    stage = msgspec.structs.replace(good.stages[0], weight=WaterLost(amount=5000.0))
    bad = msgspec.structs.replace(good, id="bad", name="Too dry", stages=(stage,))
    made = book(project(good, bad))
    page = made["Too dry"]
    assert not [cell for row in page.iter_rows() for cell in row if isinstance(cell.value, int | float)]
    assert any("more water leaves than is there" in text for text in texts(page))
    overview = made["overview"]
    assert [overview.cell(line_of(overview, "fat"), column).value for column in (3, 4)] == [
        pytest.approx(evaluations(project(good))[0].bound("FAT").value),
        "no valid result",
    ]


def test_several_variants_get_an_overview_and_one_gets_none() -> None:
    first, second = variant(GRAMS), variant(UNKNOWN, "Long ride")
    made = book(project(first, second))
    assert made.sheetnames == ["overview", "Plant-based", "Long ride"]
    overview = made["overview"]
    assert [overview.cell(3, column).value for column in (3, 4)] == ["Plant-based", "Long ride"]
    assert overview.cell(line_of(overview, "fibre"), 4).number_format == '"≥ "0.0'
    assert book(project(first)).sheetnames == ["Plant-based"]


# --- text of users ----------------------------------------------------------------------------------------------------

HOSTILE = (
    "=1+1",
    "@cmd",
    "+1",
    "-2+3",
    "{=SUM(A1:A9)}",
    "http://nowhere.invalid/x",
    "mailto:a@b",
    "internal:A1",
    "\t=1+1",
    "0042",
    "nan",
)


def test_text_of_users_never_becomes_a_formula_a_link_or_a_number() -> None:
    for text in HOSTILE:
        of = project(msgspec.structs.replace(variant(GRAMS, text, text), notes=text), title=text)
        foods = {key: msgspec.structs.replace(food, name=text, bought_as=text) for key, food in of.foods.items()}
        content = sheet_bytes(changed := msgspec.structs.replace(of, foods=foods, notes=text), evaluations(changed))
        page = openpyxl.load_workbook(BytesIO(content)).worksheets[0]
        kinds = {cell.data_type for row in page.iter_rows() for cell in row}
        assert "f" not in kinds
        assert not [cell for row in page.iter_rows() for cell in row if cell.hyperlink]
        assert page.cell(1, 1).value.strip() == text.strip()
        assert page.cell(1, 1).data_type == "s"
        with zipfile.ZipFile(BytesIO(content)) as packed:
            assert b"<f>" not in packed.read("xl/worksheets/sheet1.xml")
            assert "xl/worksheets/_rels/sheet1.xml.rels" not in packed.namelist()


def test_text_that_a_workbook_cannot_hold_is_replaced_and_the_rest_kept() -> None:
    name = "Squares \x00\x0b\ud800\ufffe 🥥 “náïve” _x0041_ <&> " + "long " * 2000
    of = project(variant(GRAMS, name, name), title="Salt & marsh\r\n" + name)
    content = sheet_bytes(of, evaluations(of))
    with zipfile.ZipFile(BytesIO(content)) as packed:
        for part in packed.namelist():
            ElementTree.fromstring(packed.read(part))
    page = openpyxl.load_workbook(BytesIO(content)).worksheets[0]
    assert page.cell(1, 1).value.startswith("Squares \ufffd\ufffd\ufffd\ufffd 🥥 “náïve” _x0041_ <&> long")
    assert page.oddFooter.left.text.strip().startswith("Salt && marsh")
    # A row higher than 409 pt cannot be opened; the limit is in Microsoft's "Excel specifications and limits".
    assert max(dimension.height or 0 for dimension in page.row_dimensions.values()) <= 409


def test_names_of_sheets_stay_close_to_the_names_of_variants() -> None:
    wanted = ["Race", "race", "a/b:c", "", "'quoted'", "History", "x" * 40, "x" * 41, "🥥" * 20]
    assert sheet_names(wanted) == [
        "Race",
        "race (2)",
        "a b c",
        "variant",
        "quoted",
        "History (2)",
        "x" * 30 + "…",
        "x" * 26 + "… (2)",
        "🥥" * 15 + "…",
    ]


@given(st.lists(st.text(max_size=50), max_size=20))
def test_names_of_sheets_are_always_allowed(wanted: list[str]) -> None:
    # The rules are those of Microsoft's page "Rename a worksheet".
    names = sheet_names(wanted)
    assert len({name.casefold() for name in names}) == len(wanted)
    for name in names:
        assert 0 < len(name.encode("utf-16-le")) // 2 <= 31
        assert not re.search(r"[\[\]:*?/\\\x00-\x1f]", name)
        assert name[0] != "'" != name[-1]
        assert name.casefold() != "history"


# --- the file ---------------------------------------------------------------------------------------------------------


def test_the_same_project_gives_the_same_bytes_and_the_date_is_the_callers() -> None:
    of = project(variant(GRAMS))
    assert sheet_bytes(of, evaluations(of)) == sheet_bytes(of, evaluations(of))
    assert book(of).properties.created.year == 2000  # no clock is read
    assert "written on 2031-05-04" in " ".join(texts(book(of, date(2031, 5, 4)).worksheets[0]))
    assert "written on" not in " ".join(texts(sheet(of)))


def test_it_prints_on_a4_one_page_wide_with_titles_and_page_numbers() -> None:
    for page in book(project(variant(GRAMS), variant(UNKNOWN, "Long ride"))).worksheets:
        assert page.page_setup.paperSize == 9  # A4: ECMA-376 Part 1, 18.3.1.63
        assert page.page_setup.orientation == "portrait"
        assert page.sheet_properties.pageSetUpPr.fitToPage
        assert (page.page_setup.fitToWidth or 1, page.page_setup.fitToHeight) == (1, 0)
        assert page.print_title_rows
        assert page.print_area
        assert page.freeze_panes
        assert "&P" in page.oddFooter.right.text
        assert "Saltmarsh maize squares" in page.oddFooter.left.text


def test_no_page_ends_inside_the_nutrition_table() -> None:
    for grams in (GRAMS, UNKNOWN, GRAMS | dict.fromkeys(list(bundled_foods())[:12], 5.0)):
        page = sheet(project(variant(grams)))
        first, last = line_of(page, "Nutrition"), line_of(page, "undigested estimate, fibre-based (own index)")
        ends = [mark.id for mark in page.row_breaks.brk]
        assert not [end for end in ends if first <= end < last]
        begin = max([0, *(end for end in ends if end < first)]) + 1
        heights_pt = [page.row_dimensions[row].height for row in (*range(1, 3), *range(max(begin, 3), last + 1))]
        # A4 is 210 x 297 mm (ISO 216); a column of n digits is 7 n + 5 pixels wide at 96 to the inch (ECMA-376 Part 1,
        # 18.3.1.13, with a digit of 7 pixels).
        margins = page.page_margins
        width_pt = sum(page.column_dimensions[c].width * 7 for c in "ABCDEFG") * 72 / 96
        scale = (210 / 25.4 - margins.left - margins.right) * 72 / width_pt
        assert sum(heights_pt) * scale <= (297 / 25.4 - margins.top - margins.bottom) * 72


def test_a_project_without_variants_and_a_missing_folder_are_said_plainly(tmp_path: Path) -> None:
    with pytest.raises(WorkbenchError, match="no variant"):
        write_sheet(project(), [], tmp_path / "x.xlsx")
    of = project(variant(GRAMS))
    with pytest.raises(FileError, match="nowhere"):
        write_sheet(of, evaluations(of), tmp_path / "nowhere" / "x.xlsx")
    assert list(tmp_path.iterdir()) == []
