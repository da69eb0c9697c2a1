"""The whole window: adding, variants, portions, stages, and what the keyboard alone can do."""

from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from workbench.base.settings import SettingsFile
from workbench.document import edits, variant_edits
from workbench.document.project import (
    Assumptions,
    ByCount,
    ByWeight,
    FinalWater,
    Project,
    Stage,
    Typical,
    Unchanged,
    WaterLost,
    Weighed,
)
from workbench.ui.dialogs.assumptions_dialog import AssumptionsDialog
from workbench.ui.dialogs.stage_dialog import StageDialog, StageFigures
from workbench.ui.dialogs.variant_dialog import VariantDialog
from workbench.ui.main_window import MainWindow

CONTROL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


# --- adding -----------------------------------------------------------------------------------------------------------


def test_an_ingredient_is_added_by_keyboard_alone(qtbot: QtBot, window: MainWindow, project: Project) -> None:
    window.recipe.table.choose("line-coconut_cream")
    qtbot.keyClick(window.recipe.table, Qt.Key.Key_I, CONTROL)
    line = window.add_box.line
    assert line.hasFocus()
    qtbot.keyClicks(line, "butter uns")
    assert window.add_box.results.isVisible()
    qtbot.keyClick(line, Qt.Key.Key_Return)
    added = window.session.variant.lines[-1]
    assert window.session.project.foods[added.food_ref.id].name.startswith("butter, unsalted")
    assert added.stage_id == "fold"
    assert added.amount_g > 0
    assert not window.add_box.results.isVisible()
    # The keyboard is on the new line: a figure typed now is its amount.
    assert window.recipe.table.hasFocus()
    assert window.recipe.table.current_line() == added
    window.session.undo_stack.undo()
    assert window.session.project == project


def test_arrows_choose_among_results_and_escape_leaves(qtbot: QtBot, window: MainWindow) -> None:
    line, results = window.add_box.line, window.add_box.results
    line.setFocus()
    qtbot.keyClicks(line, "coconut")
    qtbot.keyClick(line, Qt.Key.Key_Down)
    qtbot.keyClick(line, Qt.Key.Key_Down)
    wanted = str(results.currentIndex().data())
    assert results.currentIndex().row() == 2
    qtbot.keyClick(line, Qt.Key.Key_Return)
    added = window.recipe.table.current_line()
    assert added is not None
    assert wanted.startswith(window.session.project.foods[added.food_ref.id].name)
    line.setFocus()
    qtbot.keyClicks(line, "zzzz")
    assert str(results.model().index(0, 0).data()) == "nothing found"
    qtbot.keyClick(line, Qt.Key.Key_Return)
    qtbot.keyClick(line, Qt.Key.Key_Escape)
    assert (line.text(), results.isVisible()) == ("", False)
    assert window.session.undo_stack.count() == 1


def test_another_variant_is_offered_as_an_ingredient_unless_it_would_contain_itself(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages
) -> None:
    messages.answers["ask_text"] = "Two layers"
    window.variants.new_empty()
    line = window.add_box.line
    line.setFocus()
    qtbot.keyClicks(line, "original")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert window.session.variant.lines[0].food_ref.id == "original"
    assert window.session.evaluation.valid
    window.session.switch_variant("original")
    line.setFocus()
    qtbot.keyClicks(line, "two layers")
    shown = [str(window.add_box.results.model().index(k, 0).data()) for k in range(3)]
    assert not any("variant of this project" in text for text in shown)


# --- variants ---------------------------------------------------------------------------------------------------------


def test_variants_are_made_renamed_switched_and_deleted(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, project: Project
) -> None:
    session, table = window.session, window.recipe.table
    messages.answers["ask_text"] = "Race"
    qtbot.keyClick(table, Qt.Key.Key_N, CONTROL | SHIFT)
    assert session.variant.name == "Race"
    assert session.variant.parent_id == "original"
    messages.answers["ask_text"] = "Short & fast"
    qtbot.keyClick(table, Qt.Key.Key_F2)
    assert session.variant.name == "Short & fast"
    assert window.variants.cards[session.variant_id].text() == "Short && fast"
    qtbot.keyClick(table, Qt.Key.Key_1, CONTROL)
    assert session.variant_id == "original"
    assert window.variants.cards["original"].isChecked()
    qtbot.keyClick(table, Qt.Key.Key_PageDown, CONTROL)
    assert session.variant.name == "Short & fast"
    window.action_table["variant.delete"].trigger()
    assert session.variant_id == "original"
    assert not window.action_table["variant.delete"].isEnabled()
    session.undo_stack.undo()
    assert session.variant.name == "Short & fast"
    session.undo_stack.setIndex(0)
    assert session.project == project


def test_a_variant_used_as_an_ingredient_is_not_deleted(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages
) -> None:
    session = window.session
    edit, outer_id = variant_edits.new_variant(session.project, "Two layers")
    session.apply(edit, outer_id)
    session.apply(edits.add_line(session.project, outer_id, session.variant.stages[0].id, "original", 500))
    session.switch_variant("original")
    window.action_table["variant.delete"].trigger()
    assert "Two layers" in messages.told[-1]
    assert len(session.project.variants) == 2


# --- portions ---------------------------------------------------------------------------------------------------------


def test_portions_by_count_and_by_weight_keep_the_pieces(qtbot: QtBot, window: MainWindow) -> None:
    session, row = window.session, window.portions
    assert "20 pieces of 70 g" in row.words.text()
    row.by.setCurrentIndex(1)
    row.by.activated.emit(1)
    assert session.variant.portioning == ByWeight(piece_g=70.0)
    assert session.evaluation.portions.whole_pieces == 20
    row.portion.setValue(65)
    row.portion.editingFinished.emit()
    assert session.variant.portioning == ByWeight(piece_g=65.0)
    assert "21 pieces of 65 g" in row.words.text()
    row.by.setCurrentIndex(0)
    row.by.activated.emit(0)
    assert session.variant.portioning == ByCount(count=21)
    session.undo_stack.setIndex(0)
    assert session.variant.portioning == ByCount(count=20)


def test_clicks_on_a_spin_box_are_one_undo_step_once_it_rests(qtbot: QtBot, window: MainWindow) -> None:
    session, row = window.session, window.portions
    for _click in range(4):
        row.pace.stepUp()
    session.flush()
    assert session.evaluation.variant.pace_per_hour == 5.0
    with qtbot.waitSignal(session.undo_stack.indexChanged):
        row.pace.stepUp()
    assert session.undo_stack.count() == 1
    session.undo_stack.undo()
    assert (session.variant.pace_per_hour, row.pace.value()) == (3.0, 3.0)


def test_two_fields_changed_one_after_the_other_both_hold(qtbot: QtBot, window: MainWindow) -> None:
    row = window.portions
    row.pace.setValue(4)
    row.trimmings.setValue(5)
    row.trimmings.editingFinished.emit()
    assert window.session.variant.pace_per_hour == 4
    assert window.session.variant.portioning == ByCount(count=20, trimmings_percent=5)
    assert window.session.undo_stack.count() == 2


def test_with_the_batch_weight_held_the_others_give_way(qtbot: QtBot, window: MainWindow) -> None:
    session, row = window.session, window.portions
    before = session.evaluation.raw_g
    row.holds.setCurrentIndex(1)
    row.holds.activated.emit(1)
    window.recipe.table.choose("line-corn_syrup_light")
    qtbot.keyClick(window.recipe.table, Qt.Key.Key_PageUp)
    assert session.evaluation.raw_g == pytest.approx(before)
    assert session.variant.lines[3].amount_g > 120
    assert session.variant.lines[0].amount_g < 300


# --- stages -----------------------------------------------------------------------------------------------------------

FIGURES = StageFigures(1400.0, 1220.0, {"a": 300.0})


@pytest.mark.parametrize(
    "weight",
    [
        Unchanged(),
        Weighed(in_g=1403.254, out_g=1220.333, amounts={"a": 1.0}),
        WaterLost(amount=-30, unit="%"),
        FinalWater(percent=62.55),
        Typical(),
    ],
)
def test_the_stage_form_gives_back_what_it_was_given(qtbot: QtBot, weight: Any) -> None:
    stage = Stage(id="s", name="cook", kind="cook", weight=weight, minutes=12.25, text="stir")
    dialog = StageDialog(stage, FIGURES, lambda _stage: "")
    qtbot.addWidget(dialog)
    assert dialog.stage() == stage


def test_a_new_weighing_remembers_todays_amounts(qtbot: QtBot) -> None:
    stage = Stage(id="s", weight=Weighed(in_g=1403, out_g=1220, amounts={"a": 1.0}))
    dialog = StageDialog(stage, FIGURES, lambda _stage: "")
    qtbot.addWidget(dialog)
    dialog.weight_out.setValue(1210)
    assert dialog.stage().weight == Weighed(in_g=1403, out_g=1210, amounts={"a": 300.0})


def test_the_stage_form_says_at_once_what_an_answer_leads_to(qtbot: QtBot, window: MainWindow) -> None:
    session = window.session
    stage = session.variant.stages[0]
    figures = window.stages.figures(stage.id)
    assert figures.into_g == pytest.approx(1403)
    dialog = StageDialog(stage, figures, window.stages.judge)
    qtbot.addWidget(dialog)
    assert dialog.message.text().startswith("✓")
    dialog.weight_out.setValue(150)
    assert "more water leaves than is there" in dialog.message.text()
    assert session.undo_stack.count() == 0


def test_stages_are_opened_added_and_removed(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch, project: Project
) -> None:
    session, table = window.session, window.recipe.table
    monkeypatch.setattr(
        "workbench.ui.dialogs.stage_dialog.ask_stage",
        lambda stage, *_rest: replace(stage, name="cook slowly", minutes=40),
    )
    table.choose("cook", 0)
    qtbot.keyClick(table, Qt.Key.Key_Return)
    assert session.variant.stages[0].name == "cook slowly"
    window.action_table["stage.add"].trigger()
    assert [stage.name for stage in session.variant.stages][-1] == "cook slowly"
    window.action_table["stage.remove"].trigger()
    assert len(session.variant.stages) == 3
    session.undo_stack.setIndex(0)
    assert session.project == project


# --- other ------------------------------------------------------------------------------------------------------------


def test_assumptions_are_undoable_and_move_the_figures(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = window.session
    dialog = AssumptionsDialog(session.project.assumptions)
    qtbot.addWidget(dialog)
    assert dialog.assumptions() == session.project.assumptions
    dialog.switches["lauric_counts"].setChecked(True)
    before = session.evaluation.bound("medium_chain").value
    monkeypatch.setattr("workbench.ui.dialogs.assumptions_dialog.ask_assumptions", lambda *_: dialog.assumptions())
    window.action_table["assumptions"].trigger()
    assert session.project.assumptions == Assumptions(lauric_counts=True)
    assert session.evaluation.bound("medium_chain").value > before
    session.undo_stack.undo()
    assert session.evaluation.bound("medium_chain").value == before


def test_the_variant_form_gives_back_purpose_and_notes(qtbot: QtBot, project: Project) -> None:
    dialog = VariantDialog(project.variants[0])
    qtbot.addWidget(dialog)
    dialog.notes.setPlainText("for the cold months")
    assert dialog.description() == ("original", "for the cold months")


def test_an_empty_recipe_teaches_the_next_step(qtbot: QtBot, messages: FakeMessages) -> None:
    made = MainWindow(SettingsFile(), lambda _theme: None, None, messages)  # type: ignore[arg-type]
    qtbot.addWidget(made)
    made.show()
    assert made.recipe.hint.isVisible()
    assert "type an ingredient" in made.recipe.hint.text()
    made.add_box.line.setFocus()
    qtbot.keyClicks(made.add_box.line, "honey")
    qtbot.keyClick(made.add_box.line, Qt.Key.Key_Return)
    assert not made.recipe.hint.isVisible()
    assert made.session.evaluation.valid
    messages.answers["ask_save"] = "discard"


def test_tab_goes_round_the_whole_window_and_comes_back(qtbot: QtBot, window: MainWindow) -> None:
    table = window.recipe.table
    table.setFocus()
    seen = []
    for _press in range(40):
        focused = QApplication.focusWidget()
        assert focused is not None
        if focused is table and seen:
            break
        seen.append(focused)
        qtbot.keyClick(focused, Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is table
    assert {window.add_box.line, window.portions.by, window.portions.pace} <= set(seen)


def test_theme_and_geometry_are_remembered(qtbot: QtBot, messages: FakeMessages, project: Project) -> None:
    dressed: list[str] = []
    made = MainWindow(SettingsFile(), dressed.append, project, messages)  # type: ignore[arg-type]
    qtbot.addWidget(made)
    made.show()
    made.choose_theme("dark")
    made.resize(1100, 612)
    made.close()
    assert dressed == ["dark"]
    settings = SettingsFile().settings
    assert settings.theme == "dark"
    again = MainWindow(SettingsFile(), dressed.append, project, messages)  # type: ignore[arg-type]
    qtbot.addWidget(again)
    assert again.height() == 612  # the screen of the tests is too narrow for the width


def test_no_two_actions_share_a_shortcut(qtbot: QtBot, window: MainWindow) -> None:
    """A shortcut that two actions claim does nothing when it is pressed."""
    keys = [
        shortcut.toString()
        for action in (*window.actions(), *window.recipe.table.actions())
        for shortcut in action.shortcuts()
    ]
    assert len(keys) > 15
    assert sorted(keys) == sorted(set(keys))


@pytest.mark.qt_log_ignore("This plugin does not support", extend=True)  # grabbing, offscreen
def test_the_line_menu_offers_what_the_row_allows(qtbot: QtBot, window: MainWindow) -> None:
    table = window.recipe.table
    table.choose("line-salt")
    at = table.visualRect(table.currentIndex()).center()
    table.customContextMenuRequested.emit(at)
    menu = next(child for child in window.findChildren(QMenu) if child.isVisible())
    titles = {action.text(): action for action in menu.actions()}
    assert titles["remove"].isEnabled()
    stages = titles["to another stage"].menu()
    assert isinstance(stages, QMenu)
    stages.aboutToShow.emit()
    targets = {action.text(): action for action in stages.actions()}
    assert not targets["stage 1  cook the maize"].isEnabled()
    targets["stage 3  press"].trigger()
    assert next(line for line in window.session.variant.lines if line.id == "line-salt").stage_id == "press"
    menu.close()
