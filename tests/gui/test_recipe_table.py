"""The recipe on screen: dragging, keys, typed amounts, locks, and everything undoable."""

from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from workbench.document import edits, variant_edits
from workbench.document.avoid import Avoid, avoiding
from workbench.document.avoid_edits import avoid_in_project, avoid_in_variant
from workbench.document.project import Line, Project
from workbench.ui.main_window import MainWindow
from workbench.ui.models.recipe_model import RecipeModel
from workbench.ui.models.recipe_rows import AMOUNT, FIGURES, LOCK, NAME, SLIDER
from workbench.ui.models.slider_scale import scale_for
from workbench.ui.session import Session
from workbench.ui.tables.amount_editor import AmountEditor
from workbench.ui.tables.recipe_delegate import knob_x

CARBOHYDRATE = FIGURES + 1  # among the usual columns
SYRUP, SALT, CREAM = "line-corn_syrup_light", "line-salt", "line-coconut_cream"
LEFT = Qt.MouseButton.LeftButton


def line(window: MainWindow, line_id: str) -> Line:
    return next(line for line in window.session.variant.lines if line.id == line_id)


def cell(window: MainWindow, line_id: str, column: int) -> str:
    model = window.recipe.model
    return str(model.index(model.row_of(line_id), column).data())


def middle(window: MainWindow, line_id: str, column: int) -> QPoint:
    model = window.recipe.model
    return window.recipe.table.visualRect(model.index(model.row_of(line_id), column)).center()


def knob(window: MainWindow, line_id: str) -> QPoint:
    model, table = window.recipe.model, window.recipe.table
    index = model.index(model.row_of(line_id), SLIDER)
    row = model.line_row(index)
    assert row is not None
    return QPoint(round(knob_x(table.visualRect(index), row)), table.visualRect(index).center().y())


def drag(qtbot: QtBot, window: MainWindow, line_id: str, by: int, *, release: bool = True) -> None:
    """A real drag on the slider, in small moves."""
    port, start = window.recipe.table.viewport(), knob(window, line_id)
    qtbot.mousePress(port, LEFT, pos=start)
    for step in range(1, 11):
        qtbot.mouseMove(port, start + QPoint(by * step // 10, 0))
        window.session.flush()
    if release:
        qtbot.mouseRelease(port, LEFT, pos=start + QPoint(by, 0))


def type_amount(qtbot: QtBot, window: MainWindow, line_id: str, text: str) -> AmountEditor | None:
    """Type on a row, press Enter, and say what is still open."""
    table = window.recipe.table
    table.setFocus()
    table.choose(line_id)
    qtbot.keyClicks(table, text[0])
    editor = QApplication.focusWidget()
    assert isinstance(editor, AmountEditor)
    qtbot.keyClicks(editor, text[1:])
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()
    still = QApplication.focusWidget()
    return still if isinstance(still, AmountEditor) else None


# --- the model --------------------------------------------------------------------------------------------------------


def test_the_model_keeps_qts_rules_through_every_kind_of_change(
    qtbot: QtBot, qtmodeltester: ModelTester, project: Project
) -> None:
    session = Session(project)
    model = RecipeModel(session)
    qtmodeltester.check(model)
    variant_id = session.variant_id
    session.apply(edits.set_amount(session.project, variant_id, SYRUP, 10))
    session.apply(edits.remove_lines(session.project, variant_id, [SALT, CREAM]))
    session.apply(edits.remove_stage(session.project, variant_id, "cook"))
    edit, made_id = variant_edits.new_variant(session.project, "empty")
    session.apply(edit, made_id)
    session.undo_stack.setIndex(0)
    assert model.rowCount() == len(project.variants[0].lines) + len(project.variants[0].stages)


def test_only_changed_cells_are_announced(qtbot: QtBot, project: Project) -> None:
    session = Session(project)
    model = RecipeModel(session)
    changed: set[tuple[int, int]] = set()
    model.dataChanged.connect(
        lambda first, last, _roles: changed.update((row, first.column()) for row in range(first.row(), last.row() + 1))
    )
    session.apply(edits.set_amount(session.project, session.variant_id, SYRUP, 130))
    syrup, cream = model.row_of(SYRUP), model.row_of(CREAM)
    assert {(syrup, SLIDER), (syrup, AMOUNT), (syrup, CARBOHYDRATE)} <= changed
    assert (cream, AMOUNT) not in changed
    assert (cream, SLIDER) not in changed


@pytest.mark.parametrize("amount_g", [0, 0.5, 3, 17, 120, 999, 5000, 1_000_000])
def test_a_slider_has_room_on_both_sides_and_reaches_whole_steps(project: Project, amount_g: float) -> None:
    made = Line(id="a", stage_id="s", food_ref=project.variants[0].lines[0].food_ref, amount_g=amount_g)
    for food in (project.foods["salt"], project.foods["water"]):
        scale = scale_for(made, food)
        assert scale.minimum == 0
        assert scale.maximum >= min(2 * amount_g, 1_000_000)
        assert scale.maximum >= 10
        assert 50 <= (scale.maximum - scale.minimum) / scale.step <= 250
        assert scale.snapped(-5) == 0
        assert scale.snapped(1e9) == scale.maximum
        assert scale.moved(amount_g, -(10**9)) == 0


# --- the mouse --------------------------------------------------------------------------------------------------------


def test_dragging_a_slider_changes_the_piece_and_is_one_undo_step(qtbot: QtBot, window: MainWindow) -> None:
    before = window.session.evaluation.bound("CHOAVLDF").value
    shown = cell(window, SYRUP, CARBOHYDRATE)
    assert window.results.figure_text("CHOAVLDF") == "16.1 g"
    drag(qtbot, window, SYRUP, 30)
    assert window.results.figure_text("CHOAVLDF") not in ("", "16.1 g")
    assert line(window, SYRUP).amount_g > 120
    assert window.session.evaluation.bound("CHOAVLDF").value > before
    assert float(cell(window, SYRUP, CARBOHYDRATE)) > float(shown)
    assert window.session.undo_stack.count() == 1
    window.session.undo_stack.undo()
    assert line(window, SYRUP).amount_g == 120
    assert cell(window, SYRUP, CARBOHYDRATE) == shown
    assert window.results.figure_text("CHOAVLDF") == "16.1 g"


def test_taking_the_knob_without_moving_changes_nothing(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.mouseClick(window.recipe.table.viewport(), LEFT, pos=knob(window, SYRUP) + QPoint(3, 0))
    assert line(window, SYRUP).amount_g == 120
    assert window.session.undo_stack.count() == 0


def test_escape_during_a_drag_puts_the_knob_back(qtbot: QtBot, window: MainWindow) -> None:
    drag(qtbot, window, SYRUP, 30, release=False)
    assert line(window, SYRUP).amount_g > 120
    qtbot.keyClick(window.recipe.table, Qt.Key.Key_Escape)
    assert line(window, SYRUP).amount_g == 120
    qtbot.mouseMove(window.recipe.table.viewport(), knob(window, SYRUP) + QPoint(40, 0))
    qtbot.mouseRelease(window.recipe.table.viewport(), LEFT, pos=knob(window, SYRUP) + QPoint(40, 0))
    assert line(window, SYRUP).amount_g == 120
    assert window.session.undo_stack.count() == 0


def test_the_range_stays_during_a_drag_and_grows_when_it_ends_at_the_edge(qtbot: QtBot, window: MainWindow) -> None:
    model = window.recipe.model
    row = model.line_row(model.index(model.row_of(SYRUP), SLIDER))
    assert row is not None
    most = row.scale.maximum
    drag(qtbot, window, SYRUP, 400, release=False)
    assert row.scale.maximum == most
    assert line(window, SYRUP).amount_g == most
    qtbot.mouseRelease(window.recipe.table.viewport(), LEFT)
    assert row.scale.maximum > most


def test_a_locked_line_cannot_be_dragged_and_says_so(qtbot: QtBot, window: MainWindow, messages: FakeMessages) -> None:
    qtbot.mouseClick(window.recipe.table.viewport(), LEFT, pos=middle(window, SYRUP, LOCK))
    assert line(window, SYRUP).lock
    drag(qtbot, window, SYRUP, 30)
    assert line(window, SYRUP).amount_g == 120
    assert "locked" in messages.told[-1]
    window.recipe.table.choose(SYRUP)
    qtbot.keyClick(window.recipe.table, Qt.Key.Key_L)
    assert not line(window, SYRUP).lock


def test_the_wheel_over_a_slider_changes_no_amount(qtbot: QtBot, window: MainWindow) -> None:
    from PySide6.QtCore import QPointF
    from PySide6.QtGui import QWheelEvent

    at = QPointF(knob(window, SYRUP))
    port = window.recipe.table.viewport()
    no_button, no_key, phase = Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase
    turn = QWheelEvent(at, port.mapToGlobal(at), QPoint(), QPoint(0, -120), no_button, no_key, phase, False)
    QApplication.sendEvent(port, turn)
    assert line(window, SYRUP).amount_g == 120


def test_a_removed_line_comes_back_with_undo(qtbot: QtBot, window: MainWindow, project: Project) -> None:
    qtbot.mouseClick(window.recipe.table.viewport(), LEFT, pos=middle(window, SALT, window.recipe.model.remove_column))
    assert window.recipe.model.row_of(SALT) == -1
    window.recipe.table.choose(CREAM)
    qtbot.keyClick(window.recipe.table, Qt.Key.Key_Delete)
    assert window.recipe.model.row_of(CREAM) == -1
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.session.project == project


# --- the keyboard -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "grams"),
    [
        (Qt.Key.Key_Right, 123),
        (Qt.Key.Key_Left, 117),
        (Qt.Key.Key_PageUp, 150),
        (Qt.Key.Key_PageDown, 90),
        (Qt.Key.Key_Home, 0),
    ],
)
def test_keys_move_a_slider_by_steps(qtbot: QtBot, window: MainWindow, key: Qt.Key, grams: float) -> None:
    window.recipe.table.choose(SYRUP)
    model = window.recipe.model
    row = model.line_row(model.index(model.row_of(SYRUP), SLIDER))
    assert row is not None
    step = row.scale.step
    expected = 0 if key == Qt.Key.Key_Home else 120 + (grams - 120) / 3 * step
    qtbot.keyClick(window.recipe.table, key)
    assert line(window, SYRUP).amount_g == pytest.approx(expected)
    assert window.session.undo_stack.count() == 1


def test_a_held_key_is_one_undo_step(qtbot: QtBot, window: MainWindow) -> None:
    table = window.recipe.table
    table.choose(SYRUP)
    for _repeat in range(5):
        qtbot.keyPress(table, Qt.Key.Key_Right)
    qtbot.keyRelease(table, Qt.Key.Key_Right)
    assert line(window, SYRUP).amount_g > 120
    assert window.session.undo_stack.count() == 1


@pytest.mark.parametrize(
    ("typed", "grams"),
    [("150", 150), ("1,5 kg", 1500), ("0", 0), ("½ cup", 0.5 * 341 * 250 / 236.588)],
)
def test_typed_amounts_are_taken_with_their_unit(qtbot: QtBot, window: MainWindow, typed: str, grams: float) -> None:
    """USDA SR26, food 19350: one US cup (236.588 ml) of light corn syrup weighs 341 g; a metric cup holds 250 ml."""
    assert type_amount(qtbot, window, SYRUP, typed) is None
    assert line(window, SYRUP).amount_g == pytest.approx(grams, rel=1e-3)
    assert line(window, SYRUP).entered == typed
    window.session.undo_stack.undo()
    assert line(window, SYRUP).amount_g == 120


@pytest.mark.parametrize("typed", ["5 abc", "3 wheelbarrows", "1/0", "9999 kg"])
def test_a_wrong_amount_stays_open_and_says_why(qtbot: QtBot, window: MainWindow, typed: str) -> None:
    editor = type_amount(qtbot, window, SYRUP, typed)
    assert editor is not None
    assert editor.text() == typed
    assert typed.split()[-1] in editor.complaint or typed in editor.complaint
    assert line(window, SYRUP).amount_g == 120
    qtbot.keyClick(editor, Qt.Key.Key_Escape)
    assert window.session.undo_stack.count() == 0


def test_leaving_a_wrong_amount_keeps_the_text(qtbot: QtBot, window: MainWindow) -> None:
    editor = type_amount(qtbot, window, SYRUP, "5 abc")
    assert editor is not None
    window.add_box.line.setFocus()
    QApplication.processEvents()
    assert editor.isVisible()
    assert editor.text() == "5 abc"
    assert editor.complaint


def test_an_amount_with_two_readings_is_asked_about(qtbot: QtBot, window: MainWindow, messages: FakeMessages) -> None:
    def second(_question: str, readings: Any) -> Any:
        return max(readings, key=lambda reading: reading.grams)

    messages.answers["ask_reading"] = second
    assert type_amount(qtbot, window, SYRUP, "1,500 g") is None
    assert line(window, SYRUP).amount_g == 1500
    messages.answers["ask_reading"] = None
    editor = type_amount(qtbot, window, SYRUP, "2,500 g")
    assert editor is not None
    assert editor.text() == "2,500 g"
    assert line(window, SYRUP).amount_g == 1500


# --- other ------------------------------------------------------------------------------------------------------------


def test_a_line_moves_through_stages_and_back(qtbot: QtBot, window: MainWindow, project: Project) -> None:
    window.recipe.table.choose(SYRUP)
    table = window.recipe.table
    qtbot.keyClick(table, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert line(window, SYRUP).stage_id == "cook"
    assert table.current_line() == line(window, SYRUP)
    window.recipe.work.move_to_stage("press")
    assert line(window, SYRUP).stage_id == "press"
    window.session.undo_stack.setIndex(0)
    assert window.session.project == project


def test_marks_say_in_words_what_an_ingredient_carries(qtbot: QtBot, window: MainWindow) -> None:
    from workbench.composition.bundled import bundled_foods

    session = window.session
    session.apply(edits.add_line(session.project, session.variant_id, "fold", bundled_foods()["butter"], 20))
    model = window.recipe.model
    row = model.line_row(model.index(model.row_of(session.variant.lines[-1].id), 0))
    assert row is not None
    assert "dairy" in row.marks
    assert "milk" in row.marks


def test_without_a_result_the_contributions_are_dashes(qtbot: QtBot, window: MainWindow) -> None:
    """More water leaves than there is: no figure may be shown as a result (DESIGN, section 4)."""
    from msgspec.structs import replace

    from workbench.document.project import WaterLost

    session = window.session
    stage = replace(session.variant.stages[0], weight=WaterLost(amount=1300))
    session.apply(edits.set_stage(session.project, session.variant_id, stage))
    assert not session.evaluation.valid
    assert cell(window, SYRUP, CARBOHYDRATE) == "–"
    assert cell(window, SYRUP, AMOUNT) == "120 g"
    assert "no valid" in window.portions.words.text()


def _spoken(window: MainWindow, line_id: str) -> str:
    model = window.recipe.model
    return str(model.index(model.row_of(line_id), NAME).data(Qt.ItemDataRole.AccessibleTextRole))


def test_lines_that_are_to_be_avoided_are_marked_with_the_reason_as_the_recipe_changes(
    qtbot: QtBot, window: MainWindow
) -> None:
    session, model = window.session, window.recipe.model
    wish = avoiding(allergens=("coconut",), foods={"salt": "salt"})
    session.apply(avoid_in_project(session.project, wish))
    assert "⊘ avoid: contains coconut" in _spoken(window, CREAM)
    assert "⊘ avoid: not wanted" in _spoken(window, SALT)
    assert "⊘" not in _spoken(window, SYRUP)
    tip = model.index(model.row_of(CREAM), NAME).data(Qt.ItemDataRole.ToolTipRole)
    assert "⊘ avoid: contains coconut" in tip
    session.apply(edits.set_amount(session.project, session.variant_id, CREAM, 0.0))
    assert "⊘" not in _spoken(window, CREAM), "nothing of it is in the recipe"
    session.undo_stack.undo()
    assert "⊘" in _spoken(window, CREAM)
    unstated = replace(session.project.foods["coconut_cream"], contains=None)
    session.apply(edits.put_food(session.project, unstated))
    assert "△ a risk: nobody stated its allergens" in _spoken(window, CREAM)
    session.apply(avoid_in_variant(session.project, session.variant_id, Avoid()))
    assert "△" not in _spoken(window, CREAM) and "⊘" not in _spoken(window, SALT)
