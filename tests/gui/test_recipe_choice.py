"""Several lines at once, rows taken by the mouse, and another ingredient in the place of one."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from tests.gui.recipe_hand import CONTROL, CREAM, LEFT, MEAL, SALT, SHIFT, SYRUP, WATER, line, middle, order, pull
from workbench.composition.bundled import bundled_foods
from workbench.document import edits, variant_edits
from workbench.document.project import Project
from workbench.ui.dialogs import replace_dialog, scale_dialog
from workbench.ui.dialogs.replace_dialog import ReplaceDialog, Replacement
from workbench.ui.dialogs.scale_dialog import ScaleDialog
from workbench.ui.main_window import MainWindow
from workbench.ui.models.recipe_rows import AMOUNT, NAME, SLIDER


def words_of_undo(window: MainWindow) -> str:
    return window.session.undo_stack.undoText()


# --- choosing -----------------------------------------------------------------------------------------------------


def test_rows_are_chosen_by_mouse_and_keyboard(qtbot: QtBot, window: MainWindow) -> None:
    table, port = window.recipe.table, window.recipe.table.viewport()
    qtbot.mouseClick(port, LEFT, pos=middle(window, MEAL, NAME))
    assert table.chosen_line_ids() == [MEAL]
    qtbot.mouseClick(port, LEFT, SHIFT, pos=middle(window, SALT, NAME))
    assert table.chosen_line_ids() == [MEAL, WATER, SALT]
    qtbot.mouseClick(port, LEFT, CONTROL, pos=middle(window, WATER, NAME))
    assert table.chosen_line_ids() == [MEAL, SALT]
    qtbot.mouseClick(port, LEFT, pos=middle(window, SALT, NAME))  # one of them, and then it alone
    assert table.chosen_line_ids() == [SALT]
    qtbot.keyClick(table, Qt.Key.Key_Down, SHIFT)
    qtbot.keyClick(table, Qt.Key.Key_Down, SHIFT)
    assert table.chosen_line_ids() == [SALT, SYRUP]  # over the row of the stage
    qtbot.keyClick(table, Qt.Key.Key_A, CONTROL)
    assert len(table.chosen_line_ids()) == 5


def test_chosen_rows_are_locked_and_removed_together(qtbot: QtBot, window: MainWindow, project: Project) -> None:
    table = window.recipe.table
    table.choose_all([WATER, SYRUP, CREAM])
    qtbot.keyClick(table, Qt.Key.Key_L)
    assert [line(window, x).lock for x in (MEAL, WATER, SYRUP, CREAM)] == [False, True, True, True]
    assert table.chosen_line_ids() == [WATER, SYRUP, CREAM]
    qtbot.keyClick(table, Qt.Key.Key_L)
    assert not line(window, CREAM).lock
    qtbot.keyClick(table, Qt.Key.Key_Delete)
    assert order(window) == ["cook", MEAL, SALT, "fold", "press"]
    assert window.session.undo_stack.count() == 3
    assert words_of_undo(window).startswith("remove water")
    window.session.undo_stack.setIndex(0)
    assert window.session.project == project


def test_chosen_amounts_are_scaled_by_what_was_asked(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch, messages: FakeMessages
) -> None:
    asked: list[Any] = []
    monkeypatch.setattr(scale_dialog, "ask_scale", lambda *args: asked.append(args[:4]) or 1.5)
    session, table = window.session, window.recipe.table
    session.apply(edits.set_lock(session.project, session.variant_id, [CREAM], True))
    table.choose_all([SYRUP, CREAM])
    qtbot.keyClick(table, Qt.Key.Key_M, CONTROL)
    assert asked == [(120, 1, 60, 1)]
    assert (line(window, SYRUP).amount_g, line(window, CREAM).amount_g) == (180, 60)
    assert words_of_undo(window).endswith("× 1.5")
    table.choose(CREAM)
    qtbot.keyClick(table, Qt.Key.Key_M, CONTROL)
    assert "nothing to scale" in messages.told[-1]
    assert len(asked) == 1


def test_factor_and_weight_follow_each_other(qtbot: QtBot) -> None:
    dialog = ScaleDialog(free_g=300.0, n_free=3, locked_g=100.0, n_locked=1)
    qtbot.addWidget(dialog)
    assert dialog.chosen_factor() == 1.0
    dialog.total.setValue(500.0)
    assert dialog.chosen_factor() == pytest.approx(400 / 300)
    assert dialog.factor.value() == pytest.approx(1.3333)
    dialog.factor.setValue(2.0)
    assert dialog.total.value() == 700.0
    dialog.total.setValue(0.0)  # the locked ones stay
    assert dialog.total.value() == 100.0
    assert dialog.chosen_factor() == 0.0
    dialog.factor.setValue(1e12)
    assert dialog.chosen_factor() * 300 <= 1_000_000


def test_lines_in_proportion_follow_a_drag_and_say_so(qtbot: QtBot, window: MainWindow) -> None:
    table, model = window.recipe.table, window.recipe.model
    table.choose_all([SYRUP, CREAM])
    qtbot.keyClick(table, Qt.Key.Key_G, CONTROL)
    row = model.line_row(model.index(model.row_of(SYRUP), NAME))
    assert row is not None
    assert "∝" in row.marks
    assert "coconut" in row.tip
    table.choose(SYRUP)
    qtbot.keyClick(table, Qt.Key.Key_PageUp)
    assert line(window, CREAM).amount_g == pytest.approx(line(window, SYRUP).amount_g / 2)
    qtbot.keyClick(table, Qt.Key.Key_G, CONTROL | SHIFT)
    qtbot.keyClick(table, Qt.Key.Key_PageUp)
    assert line(window, CREAM).amount_g != pytest.approx(line(window, SYRUP).amount_g / 2)
    row = model.line_row(model.index(model.row_of(CREAM), NAME))
    assert row is not None
    assert "∝" not in row.marks  # a group of one is none


# --- moving -------------------------------------------------------------------------------------------------------


def test_a_row_is_dragged_into_another_stage(qtbot: QtBot, window: MainWindow, project: Project) -> None:
    table = window.recipe.table
    start, end = middle(window, SYRUP, NAME), middle(window, WATER, NAME) - QPoint(0, 6)
    pull(qtbot, table.viewport(), start, end, release=False)
    before = table.grab().toImage()
    drop_line = table.visualRect(window.recipe.model.index(window.recipe.model.row_of(MEAL), NAME)).bottom() + 1
    assert before.pixelColor(40, drop_line + table.viewport().y()) != table.palette().base().color()
    qtbot.mouseRelease(table.viewport(), LEFT, pos=end)
    assert order(window) == ["cook", MEAL, SYRUP, WATER, SALT, "fold", CREAM, "press"]
    assert line(window, SYRUP).stage_id == "cook"
    assert table.chosen_line_ids() == [SYRUP]
    assert window.session.undo_stack.count() == 1
    window.session.undo_stack.undo()
    assert window.session.project == project


def test_chosen_rows_are_dragged_together_to_an_empty_stage(qtbot: QtBot, window: MainWindow) -> None:
    table = window.recipe.table
    table.choose_all([MEAL, CREAM])
    pull(qtbot, table.viewport(), middle(window, CREAM, NAME), middle(window, "press", NAME) + QPoint(0, 60))
    assert order(window) == ["cook", WATER, SALT, "fold", SYRUP, "press", MEAL, CREAM]
    assert table.chosen_line_ids() == [MEAL, CREAM]


def test_a_row_put_back_or_let_go_with_escape_changes_nothing(qtbot: QtBot, window: MainWindow) -> None:
    table, port = window.recipe.table, window.recipe.table.viewport()
    start = middle(window, WATER, NAME)
    pull(qtbot, port, start, start + QPoint(0, 14))
    assert window.session.undo_stack.count() == 0
    pull(qtbot, port, start, middle(window, CREAM, NAME), release=False)
    qtbot.keyClick(table, Qt.Key.Key_Escape)
    qtbot.mouseRelease(port, LEFT, pos=middle(window, CREAM, NAME))
    assert window.session.undo_stack.count() == 0
    assert order(window)[:3] == ["cook", MEAL, WATER]


def test_chosen_rows_move_by_keyboard_through_the_stages(qtbot: QtBot, window: MainWindow, project: Project) -> None:
    table, alt = window.recipe.table, Qt.KeyboardModifier.AltModifier
    table.choose_all([MEAL, WATER])
    qtbot.keyClick(table, Qt.Key.Key_Down, alt)
    assert order(window)[:4] == ["cook", SALT, MEAL, WATER]
    qtbot.keyClick(table, Qt.Key.Key_Down, alt)
    assert order(window) == ["cook", SALT, "fold", MEAL, WATER, SYRUP, CREAM, "press"]
    for _step in range(9):
        qtbot.keyClick(table, Qt.Key.Key_Down, alt)
    assert order(window) == ["cook", SALT, "fold", SYRUP, CREAM, "press", MEAL, WATER]
    for _step in range(9):
        qtbot.keyClick(table, Qt.Key.Key_Up, alt)
    assert order(window) == ["cook", MEAL, WATER, SALT, "fold", SYRUP, CREAM, "press"]
    window.session.undo_stack.setIndex(0)
    assert window.session.project == project


# --- replacing ------------------------------------------------------------------------------------------------------


def test_an_ingredient_is_replaced_to_bring_as_much(qtbot: QtBot, window: MainWindow) -> None:
    """Light corn syrup holds 76.79 g carbohydrate in 100 g and honey 82.2 g (USDA SR26, 19350 and 19296: 82.40 less
    0.2 g fibre)."""
    session = window.session
    dialog = ReplaceDialog(session, line(window, SYRUP), "corn syrup", window)
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.keyClicks(dialog.search, "honey")
    answer = dialog.replacement()
    assert answer is not None
    assert answer.amount_g == 120
    dialog.match.setCurrentIndex(dialog.match.findData("CHOAVLDF"))
    answer = dialog.replacement()
    assert answer is not None
    assert answer.amount_g == pytest.approx(120 * 76.79 / 82.2, rel=1e-3)
    assert "honey" in dialog.message.text()
    dialog.match.setCurrentIndex(dialog.match.findData("LACS"))
    assert dialog.replacement() is None
    assert dialog.message.text().startswith("▲")
    dialog.search.setText("zzzz")
    assert dialog.replacement() is None
    assert "another word" in dialog.message.text()


def test_arrows_choose_in_the_search_and_the_line_itself_is_not_offered(qtbot: QtBot, window: MainWindow) -> None:
    dialog = ReplaceDialog(window.session, line(window, SYRUP), "corn syrup", window)
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.keyClicks(dialog.search, "syrup")
    first = dialog.replacement()
    qtbot.keyClick(dialog.search, Qt.Key.Key_Down)
    second = dialog.replacement()
    assert first is not None
    assert second is not None
    assert first.what != second.what
    assert all("corn syrup, light" not in str(dialog.results.model().index(k, 0).data()) for k in range(5))


def test_the_line_keeps_its_place(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch, project: Project
) -> None:
    honey = Replacement(bundled_foods()["honey"], 113.3)
    monkeypatch.setattr(replace_dialog, "ask_replacement", lambda *_args: honey)
    table = window.recipe.table
    table.choose(SYRUP)
    qtbot.keyClick(table, Qt.Key.Key_R, CONTROL)
    assert line(window, SYRUP).food_ref.id == "honey"
    assert line(window, SYRUP).amount_g == 113.3
    current = table.current_line()
    assert current is not None
    assert current.id == SYRUP
    assert words_of_undo(window).endswith("by honey")
    window.session.undo_stack.undo()
    assert window.session.project == project


# --- actions while a drag is under way --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "action",
    [
        "line.remove", "line.lock", "line.up", "line.down", "line.copy", "line.paste", "line.group", "line.choose_all",
        "variant.next", "stage.remove", "edit.undo", "edit.redo", "line.amount", "line.as_bought", "variant.left",
    ],
)  # fmt: skip
@pytest.mark.parametrize("what", ["slider", "row", "key"])
def test_any_action_in_the_middle_of_a_drag_is_done_or_ignored(
    qtbot: QtBot, window: MainWindow, action: str, what: str
) -> None:
    session, table, port = window.session, window.recipe.table, window.recipe.table.viewport()
    session.apply(variant_edits.new_variant(session.project, "Race", "original")[0])
    session.apply(edits.set_amount(session.project, session.variant_id, MEAL, 310))
    session.undo_stack.undo()
    table.choose(SYRUP)
    QApplication.clipboard().setText("honey\t20")
    if what == "key":
        qtbot.keyPress(table, Qt.Key.Key_Right)
    else:
        start = middle(window, SYRUP, SLIDER if what == "slider" else NAME)
        pull(qtbot, port, start, start + QPoint(20, 40 if what == "row" else 0), release=False)
    chosen = {"edit.undo": window._undo, "edit.redo": window._redo}.get(action) or window.action_table[action]
    chosen.trigger()
    qtbot.mouseMove(port, middle(window, MEAL, AMOUNT))
    if what == "key":
        qtbot.keyRelease(table, Qt.Key.Key_Right)
    else:
        qtbot.mouseRelease(port, LEFT, pos=middle(window, MEAL, AMOUNT))
    QApplication.processEvents()
    assert not session.previewing
    assert session.project == session.base
    reached, steps = session.project, session.undo_stack.index()
    session.undo_stack.setIndex(0)
    session.undo_stack.setIndex(steps)
    assert session.project == reached


def test_another_mouse_button_does_not_disturb_a_drag(qtbot: QtBot, window: MainWindow) -> None:
    port, start = window.recipe.table.viewport(), middle(window, SYRUP, SLIDER)
    pull(qtbot, port, start, start + QPoint(25, 0), release=False)
    reached = line(window, SYRUP).amount_g
    for button in (Qt.MouseButton.RightButton, Qt.MouseButton.MiddleButton):
        qtbot.mousePress(port, button, pos=middle(window, MEAL, NAME))
        qtbot.mouseRelease(port, button, pos=middle(window, MEAL, NAME))
    assert window.session.previewing
    qtbot.mouseRelease(port, LEFT, pos=start + QPoint(25, 0))
    assert line(window, SYRUP).amount_g == reached
    assert window.session.undo_stack.count() == 1
