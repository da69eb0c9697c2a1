"""The workbook that is handed over, read back: figures are the engine's, unknown is said, inputs alone can be changed.

What the formulas give is checked in ``tests/external/test_recalculation.py``.
"""

import re
import zipfile
from collections.abc import Iterator
from datetime import date
from functools import lru_cache
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


def book(of: Project, written: date | None = None, *, formulas: bool = False, **choices: object) -> openpyxl.Workbook:
    return _opened(sheet_bytes(of, evaluations(of), written, **choices), formulas)


@lru_cache(maxsize=40)  # reading takes far longer than writing, and most tests read the same workbook
def _opened(content: bytes, formulas: bool) -> openpyxl.Workbook:
    return openpyxl.load_workbook(BytesIO(content), data_only=not formulas)


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

AMOUNT, EDIBLE, SHARE, STAGE, WORDS = 3, 5, 7, 9, 10  # columns of the table of ingredients


def test_ingredients_stand_in_the_order_of_the_recipe_and_by_weight_with_shares_and_food_code() -> None:
    page = sheet(project(variant(GRAMS)))
    rows = list(rows_of(page, "Ingredients"))[1:]
    # Shares by hand: 1100 / 1583 and so on.  Food codes: USDA SR26.
    assert [(row[AMOUNT], round(float(str(row[SHARE])), 1), str(row[WORDS]).split()[1]) for row in rows] == [
        (300, 19.0, "20422;"),
        (1100, 69.5, "14411;"),
        (120, 7.6, "19350;"),
        (60, 3.8, "12115;"),
        (3, 0.2, "2047;"),
    ]
    by_weight = list(rows_of(page, "Ingredients by weight at mixing"))[1:6]
    assert [row[AMOUNT] for row in by_weight] == [1100, 300, 120, 60, 3]
    # Percent of the finished 1400 g: maize 300 / 14; water 1400 - 483 that the others weigh.
    assert [round(float(str(row[SHARE])), 1) for row in by_weight] == [65.5, 21.4, 8.6, 4.3, 0.2]


def test_an_amount_as_bought_stands_beside_its_edible_part() -> None:
    of = project(variant(GRAMS | {"egg_whole": 100.0}))
    lines = tuple(msgspec.structs.replace(line, as_bought=True) for line in of.variants[0].lines)
    of = msgspec.structs.replace(of, variants=(msgspec.structs.replace(of.variants[0], lines=lines),))
    egg = list(rows_of(sheet(of), "Ingredients"))[-1]
    # USDA SR26 01123: 12 % refuse (shell).
    assert (egg[AMOUNT], egg[EDIBLE]) == (100, pytest.approx(88.0))
    assert str(egg[0]).endswith("as bought")


def test_batch_and_process_say_what_the_scale_said() -> None:
    page = sheet(project(variant(GRAMS)))
    batch = list(rows_of(page, "Batch and pieces"))
    assert [row[3] for row in batch] == [20, pytest.approx(70.0), 0, 3]
    assert [row[9] for row in batch] == [pytest.approx(x, abs=0.01) for x in (1583.0, 1400.0, 88.44, 0.0)]
    process = list(rows_of(page, "Process"))
    assert process[1][0] == "1. cook the maize (cook)"
    assert [process[1][column] for column in (3, 5, 7, 9)] == [1583, pytest.approx(1400), 1583, 1400]
    assert "35 min" in str(process[1][WORDS])
    assert process[2][0] == "Press while hot."


def test_figures_are_those_of_the_evaluation_on_every_basis() -> None:
    of = project(variant(GRAMS))
    page, result = sheet(of), evaluations(of)[0]
    for label, unit, key in (("fat", "g", "FAT"), ("energy", "kJ", "energy_kj"), ("sodium", "mg", "NA")):
        row = line_of(page, label, unit)
        for column, basis in enumerate(("per_100g", "portion", "per_25g_carbohydrate", "per_hour")):
            assert page.cell(row, 4 + 2 * column).value == pytest.approx(result.bound(key, basis).value)
    assert page.cell(line_of(page, "carbohydrate (without fibre)"), 8).value == 25


def test_what_is_not_known_is_said_in_every_cell_and_limits_have_a_sign() -> None:
    # Canned coconut milk has no fibre and no galactose in USDA SR26 (12118).
    page = sheet(project(variant(UNKNOWN)))
    galactose = line_of(page, "galactose")
    assert {page.cell(galactose, column).value for column in (4, 6, 8, 10)} == {"not known"}
    assert page.cell(galactose, 11).value == "not known: coconut milk, canned"
    fibre = line_of(page, "fibre")
    assert page.cell(fibre, 6).value == pytest.approx(20 * 0.585 / 20, abs=1e-6)  # maize only: 300 g x 3.9 % / 20
    assert page.cell(fibre, 5).value == "≥"
    assert page.cell(fibre, 11).value == "between 0.6 and 0.7; not known: coconut milk, canned"
    assert page.cell(line_of(page, "energy", "kJ"), 5).value == "≤"  # fibre is missing under a minus
    composition = book(project(variant(UNKNOWN)))["Plant-based composition"]
    row = line_of(composition, "coconut milk, canned")
    assert "not known" in [cell.value for cell in composition[row]], "a blank is never written as zero"


def test_many_unknown_ingredients_are_counted_and_named_on_the_calculation() -> None:
    unknown = ("coconut_milk_canned", "coconut_milk_frozen", "coconut_creamed", "coconut_meat")
    foods = [key for key in unknown if key in bundled_foods()]
    of = project(variant(dict.fromkeys((*foods, "figs_dried"), 60.0) | {"maize_meal_fine": 300.0}))
    blank = {
        key: msgspec.structs.replace(
            food, values={t: v for t, v in food.values.items() if t not in ("FIBTG", "CHOAVLDF")}
        )
        for key, food in of.foods.items()
    }
    made = book(msgspec.structs.replace(of, foods=blank))
    page = made.worksheets[0]
    said = page.cell(line_of(page, "fibre"), 11).value
    assert said.endswith(f"{len(blank)} ingredients")
    calculation = made["Plant-based calculation"]
    assert any(cell.value and "dried" in str(cell.value) for cell in calculation[line_of(calculation, "fibre")])


def test_a_pace_of_nothing_gives_no_figures_per_hour() -> None:
    page = sheet(project(msgspec.structs.replace(variant(GRAMS), pace_per_hour=0.0)))
    assert page.cell(line_of(page, "fat"), 10).value == "no pace"


def test_verdicts_stand_beside_the_targets_in_words() -> None:
    rows = list(rows_of(sheet(project(variant(GRAMS))), "Targets: long day"))
    carbohydrate, fibre = rows[1], rows[2]
    assert (carbohydrate[3], carbohydrate[5]) == (20, 25)
    assert re.fullmatch(r"▼ short by \d\.\d g", str(carbohydrate[WORDS]))
    assert "a must; club rule" in str(carbohydrate[0])
    assert fibre[WORDS] == "● met"


def test_allergens_name_what_brings_them_and_what_nobody_stated() -> None:
    of = project(variant(GRAMS | {"butter": 20.0}))
    silent = msgspec.structs.replace(of.foods["corn_syrup_light"], contains=None)
    page = sheet(msgspec.structs.replace(of, foods=of.foods | {silent.id: silent}))
    rows = {row[0]: row[4] for row in rows_of(page, "Allergens and animal origin")}
    assert rows["contains milk"] == "butter, unsalted"
    assert rows["contains coconut (not on the EU list)"] == "coconut cream, raw (pressed)"
    assert rows["allergens not stated for"] == "corn syrup, light"
    assert rows["animal: dairy"] == "butter, unsalted"
    assert "no animal ingredient entered" not in texts(page)


def test_the_list_in_words_is_marked_as_soon_as_an_input_is_no_longer_the_one_it_was_written_for() -> None:
    page = sheet(project(variant(GRAMS)))
    words = next(row for row in range(1, page.max_row + 1) if str(page.cell(row, 1).value).startswith("Ingredients: "))
    assert page.cell(words - 1, 1).value is None  # the warning, silent until then
    marked = {rule.formula[0]: found.sqref for found in page.conditional_formatting for rule in found.rules}
    assert f"A{words}" in marked[f"LEN($A${words - 1})>0"]


def test_no_animal_ingredient_is_said_only_where_every_origin_is_stated() -> None:
    of = project(variant(GRAMS))
    assert "no animal ingredient entered" in texts(sheet(of))
    unstated = msgspec.structs.replace(of.foods["corn_syrup_light"], origin="unknown")
    page = sheet(msgspec.structs.replace(of, foods=of.foods | {unstated.id: unstated}))
    assert "no animal ingredient entered" not in texts(page)
    assert "origin not stated for: corn syrup, light" in texts(page)


def test_composition_names_publication_code_and_the_rule_behind_every_filled_gap() -> None:
    # Whole maize meal has no starch in USDA SR26 (20020); the rule that gives it one must be named.
    grams = {"maize_meal_whole" if key == "maize_meal_fine" else key: amount for key, amount in GRAMS.items()}
    of = project(variant(grams))
    page = book(of)["Plant-based composition"]
    said = next(text for text in texts(page) if "20020: " in text and "measured" in text)
    assert "Starch by difference: starch [1] 20020" in said
    assert any(text.startswith("[1] USDA National Nutrient Database") for text in texts(page))
    heads = [cell for row in page.iter_rows() for cell in row if cell.value == "starch, g"]
    starch = page.cell(line_of(page, "maize meal, wholegrain"), 1).row, heads[0].column
    marked = [cell for cell in page[heads[0].column_letter] if cell.number_format.endswith('" d"')]
    assert marked, "filled gaps carry their mark"
    assert starch
    off = msgspec.structs.replace(of, assumptions=Assumptions(starch_by_difference=False))
    page = book(off)["Plant-based composition"]
    assert not any("Starch by difference: starch" in text for text in texts(page))
    assert any(text.startswith("off: Where starch is not published") for text in texts(page))


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
    overview = made["comparison"]
    assert [overview.cell(line_of(overview, "fat"), column).value for column in (4, 6)] == [
        pytest.approx(evaluations(project(good))[0].bound("FAT").value),
        "no result",
    ]
    assert "Too dry calculation" not in made.sheetnames


def test_several_variants_get_a_comparison_and_one_gets_none() -> None:
    first, second = variant(GRAMS), variant(UNKNOWN, "Long ride")
    made = book(project(first, second))
    groups = [
        f"{name}{ending}" for name in ("Plant-based", "Long ride") for ending in ("", " calculation", " composition")
    ]
    assert made.sheetnames == ["comparison", *groups]
    page = made["comparison"]
    assert [page.cell(3, column).value for column in (3, 5)] == ["Plant-based", "Long ride"]
    assert page.cell(line_of(page, "fibre"), 5).value == "≥"
    assert book(project(first)).sheetnames == groups[:3]


# --- inputs -----------------------------------------------------------------------------------------------------------


def test_inputs_alone_are_unlocked_and_nothing_is_locked_by_a_password() -> None:
    made = book(project(variant(GRAMS)), formulas=True)
    open_cells = {
        (page.title, cell.coordinate)
        for page in made
        for row in page.iter_rows()
        for cell in row
        if not cell.protection.locked
    }
    assert {title for title, _address in open_cells} == {"Plant-based"}
    page = made.worksheets[0]
    numbers = [page[address].value for _title, address in open_cells if page[address].value is not None]
    amounts, weights, portions, limits = list(GRAMS.values()), [1583, 1400], [20, 0, 3], [20, 25, 1]
    assert sorted(numbers) == sorted([*amounts, *weights, *portions, *limits]), "inputs and nothing else"
    for page in made:
        assert page.protection.sheet
        assert page.protection.password is None
    checked = {cell for rule in page_rules(made.worksheets[0]) for cell in rule}
    assert {address for _title, address in open_cells} <= checked, "every input says what it takes"


def page_rules(page: Worksheet) -> list[set[str]]:
    return [
        {cell.coordinate for span in rule.sqref.ranges for row in page[span.coord] for cell in _cells(row)}
        if ":" in str(rule.sqref)
        else set(str(rule.sqref).split())
        for rule in page.data_validations.dataValidation
    ]


def _cells(row: object) -> tuple[object, ...]:
    return row if isinstance(row, tuple) else (row,)


def test_inputs_and_main_results_have_names() -> None:
    made = book(project(variant(GRAMS)), formulas=True)
    page = made.worksheets[0]
    names = page.defined_names
    for name in (
        "amounts_g",
        "piece_count",
        "stage_1_weighed_in_g",
        "stage_1_weighed_out_g",
        "pieces_per_hour",
        "finished_g",
    ):
        assert names[name].attr_text
    address = names["carbohydrate_g_per_piece"].attr_text.rsplit("!", 1)[1].replace("$", "")
    assert page.cell(page[address].row, 1).value == "carbohydrate (without fibre)"


def test_formulas_use_old_functions_only_and_stay_within_the_limits() -> None:
    # Sixty lines of which nothing is known: the longest formulas there can be.
    foods = [f"f{k}" for k in range(60)]
    of = project(variant(GRAMS))
    water = of.foods["water"]
    bare = {
        name: msgspec.structs.replace(water, id=name, name="x" * 5000 + name, values={}, group="", origin="unknown")
        for name in foods
    }
    one = msgspec.structs.replace(variant(dict.fromkeys(foods, 10.0)), stages=(Stage(id="cook"),))
    of = msgspec.structs.replace(of, foods=bare, variants=(one,))
    made = book(of, formulas=True)
    written = [str(cell.value) for page in made for row in page.iter_rows() for cell in row if cell.data_type == "f"]
    used = {name for formula in written for name in re.findall(r"([A-Z][A-Z.0-9]*)\(", re.sub(r'"[^"]*"', "", formula))}
    old = {
        "ABS", "AND", "COUNT", "COUNTIF", "FIXED", "IF", "INDEX", "INT", "ISNUMBER", "ISTEXT", "MATCH", "MAX", "MID",
        "MIN", "N", "OR", "ROUND", "SEARCH", "SUM", "SUMIF", "SUMPRODUCT",
    }  # fmt: skip
    assert used <= old
    # Microsoft's "Excel specifications and limits": 8192 characters in a formula, 64 levels of functions.
    assert max(map(len, written)) <= 8192
    assert max(_depth(formula) for formula in written) <= 64
    shown = book(of).worksheets[0]
    assert {shown.cell(line_of(shown, "fat"), column).value for column in (4, 6)} == {"not known"}


def _depth(formula: str) -> int:
    depth = most = 0
    for character in re.sub(r'"[^"]*"', "", formula):
        depth += (character == "(") - (character == ")")
        most = max(most, depth)
    return most


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
    plain = project(variant(GRAMS))
    n_formulas = len(_formulas(sheet_bytes(plain, evaluations(plain))))
    for text in HOSTILE:
        of = project(msgspec.structs.replace(variant(GRAMS, text, text), notes=text), title=text)
        foods = {key: msgspec.structs.replace(food, name=text, bought_as=text) for key, food in of.foods.items()}
        changed = msgspec.structs.replace(of, foods=foods, notes=text)
        content = sheet_bytes(changed, evaluations(changed))
        found = _formulas(content)
        assert len(found) == n_formulas
        inside = text.strip().strip("=+-@")
        assert not [f for f in found if len(inside) > 4 and inside in re.sub(r"'(?:[^']|'')+'!", "", f)]
        with zipfile.ZipFile(BytesIO(content)) as packed:
            assert not [part for part in packed.namelist() if b"hyperlink" in packed.read(part)]
            shared = ElementTree.fromstring(packed.read("xl/sharedStrings.xml"))
            first = ElementTree.fromstring(packed.read("xl/worksheets/sheet1.xml")).find(".//{*}c[@r='A1']")
        assert first is not None
        assert first.get("t") == "s", "a text, whatever it looks like"
        assert (shared[int(str(first.findtext("{*}v")))].findtext("{*}t") or "").strip() == text.strip()


def _formulas(content: bytes) -> list[str]:
    with zipfile.ZipFile(BytesIO(content)) as packed:
        sheets = [packed.read(part) for part in packed.namelist() if part.startswith("xl/worksheets/sheet")]
    return [
        formula.text or ""
        for page in sheets
        for formula in ElementTree.fromstring(page).iter()
        if formula.tag.endswith("}f")
    ]


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


@pytest.mark.parametrize(("paper", "number"), [("a4", 9), ("letter", 1)])  # ECMA-376 Part 1, 18.3.1.63
def test_it_prints_one_page_wide_with_titles_and_page_numbers(paper: str, number: int) -> None:
    for page in book(project(variant(GRAMS), variant(UNKNOWN, "Long ride")), paper=paper).worksheets:
        assert page.page_setup.paperSize == number
        tables = page.title.endswith((" calculation", " composition"))
        assert page.page_setup.orientation == ("landscape" if tables else "portrait")
        assert page.sheet_properties.pageSetUpPr.fitToPage
        assert (page.page_setup.fitToWidth or 1, page.page_setup.fitToHeight) == (1, 0)
        area = page.print_area.rpartition("!")[2]
        printed = {cell.value for row in page[area if ":" in area else f"{area}:{area}"] for cell in row}
        if tables:  # they are for the screen: a recipient who prints the workbook gets what is handed over
            assert printed == {None} and page.print_title_rows is None
        else:
            assert page.print_title_rows
            assert page["A1"].value in printed and len(printed) > 50
        assert page.freeze_panes
        assert "&P" in page.oddFooter.right.text
        assert "Saltmarsh maize squares" in page.oddFooter.left.text


def test_us_measures_mean_letter_paper_and_us_lines_unless_said_otherwise() -> None:
    of = project(variant(GRAMS), measures="us")
    page = sheet(of)
    assert page.page_setup.paperSize == 1
    assert any(row[0] == "calories" for row in rows_of(page, "Nutrition lines"))
    page = book(of, paper="a4", rules="eu").worksheets[0]
    assert page.page_setup.paperSize == 9
    assert not any(row[0] == "calories" for row in rows_of(page, "Nutrition lines"))


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
        width_pt = sum(page.column_dimensions[c].width * 7 for c in "ABCDEFGHIJK") * 72 / 96
        scale = (210 / 25.4 - margins.left - margins.right) * 72 / width_pt
        assert sum(heights_pt) * scale <= (297 / 25.4 - margins.top - margins.bottom) * 72


def test_a_project_without_variants_and_a_missing_folder_are_said_plainly(tmp_path: Path) -> None:
    with pytest.raises(WorkbenchError, match="no variant"):
        write_sheet(project(), [], tmp_path / "x.xlsx")
    of = project(variant(GRAMS))
    with pytest.raises(FileError, match="nowhere"):
        write_sheet(of, evaluations(of), tmp_path / "nowhere" / "x.xlsx")
    assert list(tmp_path.iterdir()) == []
