"""What would help: clashes with figures, ingredients that move a target, and a trade-off whose points can be taken."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.gui.conftest import maize_square
from tests.gui.recipe_hand import CREAM, MEAL
from workbench.composition.food import Pack
from workbench.document import edits
from workbench.document.project import Project, Target, TargetSet
from workbench.ui.main_window import MainWindow
from workbench.ui.panels.targets_page import TargetsPage
from workbench.ui.tables.effects_table import EffectsTable

MEAL_ID = "maize_meal_fine"
ACROSS, DOWN = Qt.Orientation.Horizontal, Qt.Orientation.Vertical

WISHES = TargetSet(
    id="wishes",
    name="wishes",
    targets=(Target(id="carb", quantity="CHOAVLDF", low=21.0), Target(id="fat", quantity="FAT", high=0.4)),
)


@pytest.fixture
def project() -> Project:
    return edits.put_target_set(maize_square(), "original", WISHES).project


@pytest.fixture
def page(window: MainWindow) -> TargetsPage:
    window.action_table["targets.help"].trigger()
    shown = window.details.side.page("targets")
    assert isinstance(shown, TargetsPage)
    return shown


def test_a_clash_names_what_cannot_hold_and_what_giving_way_buys(window: MainWindow, page: TargetsPage) -> None:
    assert not any("cannot all hold" in text for text in page.tree.row_texts())  # less coconut cream does it
    session = window.session
    session.apply(edits.set_lock(session.project, "original", [CREAM], True))
    said = "\n".join(page.tree.row_texts())
    assert "These cannot all hold" in said
    assert "• fat per piece at most 0.4 g" in said and "• coconut cream" in said and "locked at 60 g" in said
    assert "the others hold" in said
    session.undo_stack.undo()
    assert not any("cannot all hold" in text for text in page.tree.row_texts())


def test_the_grams_that_are_enough_alone_do_meet_the_target(window: MainWindow, page: TargetsPage) -> None:
    session = window.session
    row = page.tree.item_of("carb", MEAL)
    assert row is not None
    helper = next(r for group in page.tree.rows() if group.key == "carb" for r in group.children if r.key == MEAL)
    assert helper.cells[1].startswith("more: ")
    grams = float(helper.cells[2].removeprefix("+").removesuffix(" g"))
    session.apply(edits.set_amount(session.project, "original", MEAL, 300.0 + grams))
    assert session.evaluation.bound("CHOAVLDF", "portion").value == pytest.approx(21.0, abs=0.05)


def test_a_point_of_the_trade_off_becomes_the_proposal_and_can_be_accepted(
    qtbot: QtBot, window: MainWindow, page: TargetsPage
) -> None:
    session = window.session
    assert page.second.currentData() == ("FAT", "portion")
    assert len(page.chart.places) > 3
    xs = [place.x for place in page.chart.places]
    ys = [place.y for place in page.chart.places]
    rising = sorted(zip(xs, ys, strict=True))
    assert [y for _x, y in rising] == sorted(ys)  # more carbohydrate is had for more fat only
    qtbot.keyClick(page.chart, Qt.Key.Key_Right)
    qtbot.keyClick(page.chart, Qt.Key.Key_Right)
    chosen = page.chart.places[1]
    assert session.proposal is not None
    assert session.proposal.bound("CHOAVLDF", "portion").value == pytest.approx(chosen.x)
    assert window.match_strip.isVisible() and chosen.words in window.match_strip.words.text()
    window.match_strip.accept_button.click()
    assert session.evaluation.bound("FAT", "portion").value == pytest.approx(chosen.y)
    session.undo_stack.undo()
    assert session.project.variant("original").lines == maize_square().variants[0].lines


# --- what a gram does -------------------------------------------------------------------------------------------------


@pytest.fixture
def table(page: TargetsPage) -> EffectsTable:
    page.views["gram"].click()
    return page.effects


def cells(table: EffectsTable, title: str) -> dict[str, str]:
    """The column of a quantity, by ingredient, from the top."""
    model = table.effects
    titles = [" ".join(model.headerData(k, ACROSS).split()) for k in range(model.columnCount())]
    column = next(k for k, words in enumerate(titles) if words.startswith(title))
    return {model.headerData(row, DOWN): model.index(row, column).data() for row in range(model.rowCount())}


def test_the_table_says_what_a_gram_more_does_on_the_basis_that_is_chosen(
    window: MainWindow, page: TargetsPage, table: EffectsTable
) -> None:
    session = window.session
    assert table.isVisible() and not page.tree.isVisible()
    assert cells(table, "carbohydrate")["water, tap"] == "0"
    for basis in ("portion", "batch"):
        page.bases.buttons[basis].click()
        said = cells(table, "carbohydrate (without fibre)")
        before = session.evaluation.bound("CHOAVLDF", basis).value
        more = session.trial(edits.set_amount(session.project, "original", MEAL, 301.0))
        gram = more.bound("CHOAVLDF", basis).value - before
        meal = next(name for name in said if name.startswith("maize meal"))
        assert float(said[meal].removeprefix("+")) == pytest.approx(gram, abs=6e-4)


def test_the_table_is_sorted_by_key_or_title_and_goes_back_to_the_order_of_the_recipe(
    qtbot: QtBot, table: EffectsTable
) -> None:
    as_in_recipe = list(cells(table, "fat"))
    table.setCurrentIndex(table.effects.index(0, 1))
    qtbot.keyClick(table, Qt.Key.Key_S)
    assert "coconut" in next(iter(cells(table, "fat")))
    assert table.effects.headerData(1, ACROSS).endswith("▾")
    table.horizontalHeader().sectionClicked.emit(1)
    assert "coconut" in list(cells(table, "fat"))[-1]
    qtbot.keyClick(table, Qt.Key.Key_S)
    assert list(cells(table, "fat")) == as_in_recipe


def test_chosen_cells_are_copied_with_their_titles(qtbot: QtBot, table: EffectsTable) -> None:
    table.setFocus()
    table.selectRow(0)
    qtbot.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    titles, row = (line.split("\t") for line in QApplication.clipboard().text().split("\n"))
    assert titles[:3] == ["1 g more of", "carbohydrate (without fibre) g", "fat g"]
    assert row[0].startswith("maize meal") and row[1].startswith("+0.0") and len(row) == len(titles)
    spoken = table.effects.index(0, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken.startswith("1 g more of maize meal") and "carbohydrate (without fibre) per piece +0.0" in spoken


def test_one_cell_is_copied_as_it_stands(qtbot: QtBot, table: EffectsTable) -> None:
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_Right)
    qtbot.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QApplication.clipboard().text() == table.effects.index(0, 1).data()


def test_a_gram_of_cost_is_counted_in_the_currency_of_the_packs(window: MainWindow, page: TargetsPage) -> None:
    project = maize_square()
    meal = replace(project.foods[MEAL_ID], packs=(Pack(size_g=1000.0, price=2.0, currency="EUR"),))
    aims = TargetSet(id="cheap", name="cheap", targets=(Target(id="c", quantity="cost", basis="batch", high=1.0),))
    project = replace(project, foods=project.foods | {MEAL_ID: meal})
    window.session.open(edits.put_target_set(project, "original", aims).project)
    page.views["gram"].click()
    page.bases.buttons["batch"].click()
    titles = [page.effects.effects.headerData(k, ACROSS) for k in range(page.effects.effects.columnCount())]
    (cost,) = [title for title in titles if title.startswith("cost")]
    assert cost.split("\n")[-1] == "EUR"
    spoken = page.effects.effects.index(0, titles.index(cost)).data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken.endswith("0.0020 EUR"), "2 EUR a kilogram"


def test_without_targets_the_table_still_says_what_is_asked_for_most(window: MainWindow, page: TargetsPage) -> None:
    window.session.open(maize_square())
    assert "no targets yet" in page.message.text()
    page.views["gram"].click()
    assert page.effects.isVisible() and page.effects.effects.columnCount() > 10
