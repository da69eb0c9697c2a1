"""About an ingredient: values with their source, rules, gaps, other sources, and who uses it."""

import csv

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.support import make_food, make_line, make_project, make_variant
from workbench.base.paths import ingredient_db
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Measure, Value
from workbench.document import edits, line_edits
from workbench.document.project import Assumptions, FoodRef, Project
from workbench.ui.main_window import MainWindow
from workbench.ui.panels.ingredient_page import IngredientPage
from workbench.ui.session import Session
from workbench.ui.tables.figure_tree import FigureRow
from workbench.ui.theme import colours

MEAL = replace(
    make_food("meal", {}, origin="plant", contains=("gluten_oats",), may_contain=("soya",)),
    values={
        "WATER": Value(11.18, "measured", "sr26", "20422", n=7, sd=0.373),
        "CHOCDF": Value(79.45, "calculated", "sr26", "20422"),
        "FIBTG": Value(3.9, "measured", "sr26", "20422"),
        "SUGAR": Value(1.61, "borrowed", "sr26", "20422", note="from whole meal"),
    },
    limits={"NA": 5.0},
    measures=(Measure("cup", 157.0, "sr26", "20422"),),
)
SYRUP = make_food("syrup", {"WATER": 20.0}, note="thick")
QUINOA = bundled_foods()["quinoa"]


def squares() -> Project:
    first = make_variant(make_line(MEAL, 200.0), make_line(MEAL, 50.0, "more"), id="first", name="Original")
    second = make_variant(make_line(first, 100.0), id="second", name="Layered")
    third = make_variant(make_line(SYRUP, 10.0), make_line(QUINOA, 5.0), id="third", name="Race")
    return make_project([MEAL, SYRUP, QUINOA], first, second, third)


@pytest.fixture
def page(qtbot: QtBot) -> IngredientPage:
    made = IngredientPage(Session(squares()))
    made._session.evaluated.connect(made.follow)
    qtbot.addWidget(made)
    made.resize(500, 700)
    return made


def section(page: IngredientPage, key: str) -> tuple[FigureRow, ...]:
    return next(row for row in page.tree.rows() if row.key == key).children


def component(page: IngredientPage, tag: str) -> FigureRow:
    return next(row for row in section(page, "composition") if row.key == tag)


def words(page: IngredientPage, key: str) -> list[str]:
    return [row.words() for row in section(page, key)]


def test_a_value_stands_with_unit_spread_kind_source_and_food_code(page: IngredientPage) -> None:
    page.begin(food_id="meal")
    water = component(page, "WATER")
    assert water.cells == ("water", "11.18 g", "± 0.373, n 7", "USDA SR26 20422")
    assert water.children[0].words() == "measured, USDA SR26 20422"
    assert (
        component(page, "SUGAR").children[0].words() == "borrowed from a similar food, USDA SR26 20422, from whole meal"
    )
    assert words(page, "measures") == ["1 cup (USDA SR26 20422), 157 g"]
    (citation,) = words(page, "citations")
    assert "Release 26" in citation and "Nutrient Data Laboratory" in citation


def test_a_derived_value_names_its_rule_and_is_a_gap_once_the_rule_is_off(page: IngredientPage) -> None:
    page.begin(food_id="meal")
    starch = component(page, "STARCH")
    assert starch.cells == ("starch", "73.94 g", "", "derived")  # 79.45 - 3.9 - 1.61
    assert "rule: Starch by difference" in starch.children[0].words()
    assert component(page, "LACS").cells[3] == "zero by nature"
    session = page._session
    session.apply(edits.set_assumptions(session.project, Assumptions(starch_by_difference=False)))
    assert "starch" in words(page, "composition")[-1]
    assert "STARCH" not in [row.key for row in section(page, "composition")]


def test_what_is_not_known_is_said_and_never_a_zero(page: IngredientPage) -> None:
    page.begin(food_id="meal")
    gaps = section(page, "composition")[-1].words()
    assert gaps.startswith("not known: ") and "protein" in gaps and "potassium" in gaps
    assert "carbohydrate" not in gaps  # the total stands for the other convention
    assert component(page, "NA").cells[1] == "less than 5 mg"
    assert "allergens: contains oats (gluten)" in words(page, "head")
    assert "allergens: may contain soya" in words(page, "head")
    page.begin(food_id="syrup")
    assert "allergens: not stated, so count on any" in words(page, "head")
    assert "density: not known" in words(page, "head")


def test_what_another_source_says_is_open_below_the_component(page: IngredientPage) -> None:
    """The figures are read from the table's own file, column by column."""
    with (ingredient_db() / "alternatives.csv").open(encoding="utf-8", newline="") as file:
        others = [row for row in csv.DictReader(file) if row["food"] == "quinoa"]
    assert {row["tag"] for row in others} == {"WATER", "FIBTG"}
    page.begin(food_id="quinoa")
    for row in others:
        said = component(page, row["tag"]).children[-1].words()
        assert row["code"] in said and row["value"] in said and row["note"] in said
        assert page.tree.item_of("composition", row["tag"]).isExpanded()
    assert not page.tree.item_of("composition", "PROCNT").isExpanded()
    assert any("Indian Food Composition Tables 2017" in citation for citation in words(page, "citations"))


def test_variants_that_use_it_are_named_also_through_another_variant(page: IngredientPage) -> None:
    page.begin(food_id="meal")
    assert words(page, "used") == ["Original, 250.0 g", "Layered, in Original"]
    session = page._session
    session.preview(edits.set_amount(session.base, "first", "more", 70.0))
    session.flush()
    assert words(page, "used")[0] == "Original, 270.0 g"


def test_the_page_is_copied_as_text(page: IngredientPage) -> None:
    page.begin(food_id="meal")
    page.copy_button.click()
    lines = QApplication.clipboard().text().splitlines()
    assert lines[0] == "meal"
    assert "  water, 11.18 g, ± 0.373, n 7, USDA SR26 20422" in lines
    assert "  Layered, in Original" in lines


def test_a_food_that_is_gone_leaves_a_word_of_what_to_do(page: IngredientPage) -> None:
    page.begin(food_id="meal")
    page._session.open(make_project([SYRUP], make_variant(make_line(SYRUP, 1.0))))
    assert page.tree.isHidden() and page.copy_button.isHidden() and page.text() == ""
    assert not page.message.isHidden() and "Choose a line" in page.message.text()


KIN = [
    make_food(f"fruit {k}", {"WATER": 30.0 + k, "FAT": 1.0, "PROCNT": 3.0, "CHOCDF": 60.0} | fibre, group="plums")
    for k, fibre in enumerate([{"FIBTG": x} for x in (2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 1.0, 3.0, 15.0)] + [{}])
]


@pytest.fixture
def beside(qtbot: QtBot, page: IngredientPage) -> IngredientPage:
    """Ten fruits of one group: that of 9 g fibre is looked at, and the fibre of one is not known."""
    itself = make_food("plum", {"WATER": 30.0, "FAT": 1.0, "PROCNT": 3.0, "CHOCDF": 60.0, "FIBTG": 9.0}, group="plums")
    page._session.open(make_project([itself, *KIN], make_variant(make_line(itself, 50.0))))
    page.begin(food_id="plum")
    page.show()
    qtbot.waitExposed(page)
    return page


def test_the_chart_says_where_it_stands_among_its_kind_and_what_is_not_known(beside: IngredientPage) -> None:
    assert beside.chart_button.text() == "beside 10 similar: plums"
    assert "fibre: 9.0 g, more than 6 of 9  1 ?" in beside.chart.accessibleDescription()
    fibre = next(row for row in section(beside, "similar") if row.key == "FIBTG")
    assert fibre.cells == ("fibre", "9.0 g", "", "more than 6 of 9, 1 not known")
    assert [row.words() for row in fibre.children][:3] == ["fruit 0, 2.0 g", "fruit 1, 4.0 g", "fruit 2, 6.0 g"]
    assert len(fibre.children) == 8  # the other two are strokes without a name
    assert "  fibre, 9.0 g, more than 6 of 9, 1 not known" in beside.text()


def test_every_dot_is_named_by_arrows_and_by_the_mouse(qtbot: QtBot, beside: IngredientPage) -> None:
    chart = beside.chart
    chart.setFocus()
    assert chart.reading().startswith("◆ this one")
    for _step in range(2):
        qtbot.keyClick(chart, Qt.Key.Key_Down)
    assert chart.reading() == "fibre: plum 9.0 g, more than 6 of 9  1 ?"
    qtbot.keyClick(chart, Qt.Key.Key_Right)
    assert chart.reading() == "fibre: fruit 4 10.0 g"
    for _step in range(3):
        qtbot.keyClick(chart, Qt.Key.Key_Left)
    assert chart.reading() == "fibre: fruit 2 6.0 g"
    strip, track = chart._strips[2], chart._track(2)
    place = QPoint(round(chart._x(track, strip, 12.0)), track.center().y())
    qtbot.mouseMove(chart, place)
    qtbot.waitUntil(lambda: chart.reading() == "fibre: fruit 5 12.0 g")
    assert chart.toolTip() == chart.reading()


def test_what_is_not_known_has_no_dot_and_is_never_at_nothing(qtbot: QtBot, beside: IngredientPage) -> None:
    session = beside._session
    blank = make_food("blank", {"WATER": 39.0, "FAT": 1.0, "PROCNT": 3.0, "CHOCDF": 60.0}, group="plums")
    session.apply(edits.add_line(session.project, session.variant_id, "s1", blank, 10.0))
    beside.begin(food_id="blank")
    chart = beside.chart
    fibre = chart._strips[2]
    assert fibre.own.value is None and fibre.own.text == "not known" and fibre.words == "1 ?"
    assert None in [dot.value for dot in fibre.near] and 0.0 not in fibre.rest
    chart.setFocus()
    qtbot.keyClick(chart, Qt.Key.Key_Down)
    qtbot.keyClick(chart, Qt.Key.Key_Down)
    assert chart.reading() == "fibre: blank not known, 1 ?"


def test_its_own_mark_differs_in_colour_and_shape(beside: IngredientPage) -> None:
    chart = beside.chart
    picture, look = chart.grab().toImage(), colours(chart)
    strip, track = chart._strips[2], chart._track(2)
    own = QPoint(round(chart._x(track, strip, 9.0)), track.center().y())
    other = QPoint(round(chart._x(track, strip, 4.0)), track.center().y())
    assert picture.pixelColor(own) == look.accent
    assert picture.pixelColor(other) == look.panel  # an open ring


def test_the_chart_can_be_put_away_and_stays_away(beside: IngredientPage) -> None:
    beside.chart_button.click()
    assert not beside.chart.isVisible()
    beside.begin(food_id="fruit 0")
    assert not beside.chart.isVisible()
    beside.chart_button.click()
    assert beside.chart.isVisible() and "fibre: 2.0 g" in beside.chart.accessibleDescription()


def test_without_similar_ingredients_there_is_a_word_and_no_chart(page: IngredientPage) -> None:
    page.begin(food_id="syrup")
    assert page.chart_button.text() == "no similar ingredients to compare with"
    assert not page.chart_button.isEnabled() and page._chart_room.isHidden()


def test_it_opens_for_the_current_line_and_follows_another(window: MainWindow) -> None:
    table, action = window.recipe.table, window.action_table["details.ingredient"]
    table.choose("line-maize_meal_fine")
    assert action.isEnabled()
    action.trigger()
    side = window.details.side
    page = side.page("ingredient")
    assert isinstance(page, IngredientPage)
    assert side.page_key == "ingredient" and page.tree.rows()[0].words() == bundled_foods()["maize_meal_fine"].name
    table.choose("line-coconut_cream")
    assert page.food_id == "coconut_cream"
    assert page.tree.rows()[0].words() == bundled_foods()["coconut_cream"].name
    table.choose("cook")  # a stage: the last food stays
    assert page.food_id == "coconut_cream" and not action.isEnabled()
    table.choose("line-salt")
    session, line = window.session, window.session.variant.lines[2]
    assert line.food_ref == FoodRef(kind="bundled", id="salt")
    session.apply(line_edits.replace_food(session.project, session.variant_id, line.id, QUINOA, 3.0))
    assert page.food_id == "quinoa"


def test_its_tab_shows_the_current_line(window: MainWindow) -> None:
    window.recipe.table.choose("line-salt")
    window.details.show_comparison()
    window.details.side.open_page("ingredient")
    page = window.details.side.page("ingredient")
    assert isinstance(page, IngredientPage) and page.food_id == "salt"
