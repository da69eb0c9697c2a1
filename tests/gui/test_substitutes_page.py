"""Substitutes: what is in the way and why, variants that do without it, and taking one in one undo step."""

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from tests.gui.conftest import maize_square
from tests.gui.recipe_hand import CREAM, MEAL
from tests.gui.test_accessibility import nameless
from workbench.composition.bundled import bundled_foods
from workbench.document import edits
from workbench.document.avoid import GLUTEN_FREE, PLANT_BASED, Avoid
from workbench.document.avoid_edits import avoid_in_project, avoid_in_variant
from workbench.document.project import Project
from workbench.solve.avoid import offending
from workbench.ui.dialogs.avoid_dialog import AvoidDialog
from workbench.ui.main_window import MainWindow
from workbench.ui.panels.substitutes_page import SubstitutesPage


@pytest.fixture
def project() -> Project:
    """The maize squares with honey and butter folded in."""
    made = maize_square()
    for key in ("honey", "butter"):
        made = edits.add_line(made, "original", "fold", bundled_foods()[key], 50.0).project
    return made


@pytest.fixture
def page(qtbot: QtBot, window: MainWindow) -> SubstitutesPage:
    window.action_table["details.substitutes"].trigger()
    shown = window.details.side.page("substitutes")
    assert isinstance(shown, SubstitutesPage)
    settle(qtbot, shown)
    return shown


def settle(qtbot: QtBot, page: SubstitutesPage) -> None:
    qtbot.waitUntil(lambda: not page.busy, timeout=20_000)


def texts(page: SubstitutesPage) -> str:
    return "\n".join(page.tree.row_texts())


def test_offending_lines_say_why_and_proposals_what_is_lost_and_to_be_tested(page: SubstitutesPage) -> None:
    said = texts(page)
    assert "2 ingredients in the way" in said
    assert "⊘ honey: made by bees" in said and "⊘ butter, unsalted: made from milk" in said
    heads = [row.words() for group in page.tree.rows() if group.key == "whole" for row in group.children]
    assert 2 <= len(heads) <= 3 and all(" instead of " in head for head in heads[1:])
    for part in ("what changed", "what it did to one piece", "what is lost", "what to test in a trial batch"):
        assert said.count(part) == len(heads)
    assert page.tree.row_texts()[-1].startswith("Allergens are only as good as the labels")


def test_a_whole_proposal_becomes_a_variant_without_animals_in_one_step(
    qtbot: QtBot, window: MainWindow, page: SubstitutesPage
) -> None:
    session = window.session
    before = session.project
    page.tree.setFocus()
    qtbot.keyClick(page.tree, Qt.Key.Key_Tab)
    assert page.take_button.hasFocus() or page.chosen.hasFocus()
    qtbot.keyClick(page.take_button, Qt.Key.Key_Space)
    assert session.variant_id != "original" and session.variant.parent_id == "original"
    assert not offending(session.project, session.variant, PLANT_BASED)
    settle(qtbot, page)
    assert "already holds nothing to be avoided" in page.message.text()  # the page has gone on to the new variant
    session.undo_stack.undo()
    assert session.project is before and session.variant_id == "original"


def test_a_single_substitute_replaces_its_line_only(qtbot: QtBot, window: MainWindow, page: SubstitutesPage) -> None:
    session = window.session
    honey, butter = session.variant.lines[-2:]
    page.tree.setCurrentItem(page.tree.item_of("in the way", honey.id, "option0"))
    page.take_button.click()
    refs = [line.food_ref.id for line in session.variant.lines]
    assert "honey" not in refs and butter.food_ref.id in refs
    assert session.undo_stack.count() == 1


def test_the_line_chosen_in_the_recipe_has_its_substitutes_listed(window: MainWindow, page: SubstitutesPage) -> None:
    for line_id in (CREAM, MEAL):
        window.recipe.table.choose(line_id)
        name = window.session.evaluation.prepared.names[
            [line.id for line in window.session.variant.lines].index(line_id)
        ]
        assert f"instead of {name}, the line chosen in the recipe" in texts(page)


def test_what_is_ticked_is_avoided_and_traces_count_where_asked(
    qtbot: QtBot, window: MainWindow, page: SubstitutesPage
) -> None:
    session = window.session
    dialog = AvoidDialog(session, window)
    qtbot.addWidget(dialog)
    dialog.gluten.click()
    dialog.allergens["coconut"].setChecked(True)
    dialog.gut["lactose"].setChecked(True)
    dialog.unwanted.boxes["honey"].setChecked(True)
    dialog.traces.setChecked(True)
    asked = dialog.avoid()
    assert asked == Avoid(
        allergens=("gluten_wheat", "gluten_rye", "gluten_barley", "gluten_oats", "coconut"),
        gut=("lactose",),
        foods={"honey": "honey"},
        traces=True,
    )
    page.keep(dialog.edit())
    settle(qtbot, page)
    assert page.found is not None
    assert page.wish.currentText() == "kept here: without gluten, coconut, lactose, honey, not even traces"
    assert "honey: not wanted" in texts(page) and "contains coconut" in texts(page)
    coming = [part.food for options in page.found.options.values() for option in options for part in option.parts]
    assert coming and not any("coconut" in food.name for food in coming)


def test_nothing_left_to_choose_from_is_said(qtbot: QtBot, window: MainWindow, page: SubstitutesPage) -> None:
    everything = dict.fromkeys(bundled_foods(), "something")
    page.keep(avoid_in_project(window.session.project, Avoid(foods=everything)))
    settle(qtbot, page)
    assert "nothing is left that could take the place of" in page.message.text()
    assert "▲" in page.message.text()


def test_a_race_version_has_less_fibre_at_equal_carbohydrate(
    qtbot: QtBot, window: MainWindow, page: SubstitutesPage
) -> None:
    session = window.session
    figs = bundled_foods()["figs_dried"]
    session.apply(edits.add_line(session.project, "original", "fold", figs, 150.0))
    settle(qtbot, page)
    before = session.evaluation
    page.wish.setCurrentText("for a race, lighter")
    settle(qtbot, page)
    page.take_button.click()
    after = session.evaluation
    assert session.variant.purpose == "race"
    assert after.bound("FIBTG").value < before.bound("FIBTG").value
    assert after.bound("CHOAVLDF").value == pytest.approx(before.bound("CHOAVLDF").value, abs=0.1)


def test_a_race_version_can_go_by_a_set_of_targets(qtbot: QtBot, window: MainWindow, page: SubstitutesPage) -> None:
    session = window.session
    assert not page.keeping.isVisible()
    session.apply(edits.add_line(session.project, "original", "fold", bundled_foods()["figs_dried"], 150.0))
    settle(qtbot, page)
    page.wish.setCurrentText("for a race, lighter")
    settle(qtbot, page)
    assert page.keeping.isVisible() and page.keeping.count() > 2
    page.keeping.setFocus()
    qtbot.keyClick(page.keeping, Qt.Key.Key_Down)
    settle(qtbot, page)
    wanted = page.keeping.currentData()
    page.take_button.click()
    assert session.variant.target_set_id in {targets.id for targets in session.project.target_sets}
    assert next(s for s in session.project.target_sets if s.id == session.variant.target_set_id).name == wanted.name
    session.undo_stack.undo()
    assert not session.project.target_sets


def test_a_drag_waits_and_its_end_is_looked_at(qtbot: QtBot, window: MainWindow, page: SubstitutesPage) -> None:
    session = window.session
    honey = session.variant.lines[-2].id
    session.preview(edits.set_amount(session.base, "original", honey, 0.0))
    session.flush()
    assert not page.busy
    session.commit()
    settle(qtbot, page)
    assert "1 ingredient in the way" in texts(page)


def test_an_allergen_that_a_substitute_brings_is_marked_and_everything_has_a_name(
    qtbot: QtBot, window: MainWindow, page: SubstitutesPage
) -> None:
    session = window.session
    session.apply(edits.add_line(session.project, "original", "cook", bundled_foods()["milk_whole"], 200.0))
    settle(qtbot, page)
    said = page.tree.row_texts()
    assert any(
        "g soya drink" in text and text.endswith("▲\N{NO-BREAK SPACE}soya") and "milk, whole →" in text for text in said
    )
    assert any(text.startswith("200 g almond drink") and text.endswith("▲\N{NO-BREAK SPACE}almond") for text in said)
    assert nameless(window) == []
    dialog = AvoidDialog(session, window)
    qtbot.addWidget(dialog)
    dialog.show()
    assert nameless(dialog) == []


def test_any_food_can_be_unwanted_by_search_and_for_one_variant_alone(qtbot: QtBot, window: MainWindow) -> None:
    session = window.session
    session.apply(avoid_in_project(session.project, PLANT_BASED))
    dialog = AvoidDialog(session, window)
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitExposed(dialog)
    assert dialog.for_project.isChecked() and dialog.origins["dairy"].isChecked()
    dialog.unwanted.search.setFocus()
    qtbot.keyClicks(dialog.unwanted.search, "beetroot raw")
    qtbot.keyClick(dialog.unwanted.search, Qt.Key.Key_Return)
    assert dialog.isVisible(), "Enter took the food and did not close the form"
    assert dialog.unwanted.foods() == {"beetroot_raw": "beetroot, raw"} and not dialog.unwanted.search.text()
    qtbot.keyClicks(dialog.unwanted.search, "zzzz")
    assert dialog.unwanted.nothing.isVisible()
    dialog.for_variant.setChecked(True)
    changed = dialog.edit().project
    assert changed.avoid == PLANT_BASED, "the project's wish stays"
    assert changed.wish_of(changed.variant("original")).foods == {"beetroot_raw": "beetroot, raw"}
    session.apply(dialog.edit())
    session.undo_stack.undo()
    assert session.variant.avoid is None


def test_another_scope_shows_what_holds_there_unless_something_was_ticked(qtbot: QtBot, window: MainWindow) -> None:
    session = window.session
    session.apply(avoid_in_project(session.project, PLANT_BASED))
    session.apply(avoid_in_variant(session.project, "original", GLUTEN_FREE))
    dialog = AvoidDialog(session, window)
    qtbot.addWidget(dialog)
    assert dialog.for_variant.isChecked() and dialog.avoid() == GLUTEN_FREE
    dialog.for_project.setChecked(True)
    assert dialog.avoid() == PLANT_BASED
    dialog.gut["lactose"].setChecked(True)
    dialog.for_variant.setChecked(True)
    assert dialog.avoid() == PLANT_BASED | Avoid(gut=("lactose",)), "what was ticked by hand stays"


def test_what_is_kept_stands_first_among_the_wishes_as_long_as_it_is_kept(
    qtbot: QtBot, window: MainWindow, page: SubstitutesPage
) -> None:
    session = window.session
    ready = page.wish.count()
    page.keep(avoid_in_project(session.project, Avoid(origins=("bee",))))
    settle(qtbot, page)
    assert page.wish.count() == ready + 1 and page.wish.currentText() == "kept here: without honey"
    assert "1 ingredient in the way" in texts(page)
    page.take_button.click()
    assert session.variant.avoid is None and session.project.wish_of(session.variant) == Avoid(origins=("bee",))
    session.undo_stack.undo()
    session.undo_stack.undo()
    settle(qtbot, page)
    assert page.wish.count() == ready and page.wish.currentText() == "plant-based"
