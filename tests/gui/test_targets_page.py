"""What would help: clashes with figures, ingredients that move a target, and a trade-off whose points can be taken."""

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from tests.gui.conftest import maize_square
from tests.gui.recipe_hand import CREAM, MEAL
from workbench.document import edits
from workbench.document.project import Project, Target, TargetSet
from workbench.ui.main_window import MainWindow
from workbench.ui.panels.targets_page import TargetsPage

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
