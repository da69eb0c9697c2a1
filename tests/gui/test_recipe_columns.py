"""Columns beside the amounts: chosen, remembered, scrolled, and never in the way of the slider."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QFont, QWheelEvent
from PySide6.QtWidgets import QApplication
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from tests.gui.recipe_hand import CREAM, MEAL, SALT, SYRUP, WATER, cell, tip
from workbench.base.settings import SettingsFile
from workbench.document import edits
from workbench.document.project import Project
from workbench.recipe.columns import MOST_COLUMNS, SHARE, USUAL_COLUMNS, Column
from workbench.recipe.quantities import QUANTITIES
from workbench.ui.dialogs.columns_dialog import ColumnsDialog
from workbench.ui.main_window import MainWindow
from workbench.ui.models.recipe_rows import AMOUNT, FIGURES, LOCK, NAME, SLIDER
from workbench.ui.tables.column_widths import figure_window

SIX = (
    Column("per_100g", "CHOAVLDF"),
    Column("per_100g", "SUGAR"),
    Column("brings", "FIBTG"),
    Column("brings", "FAT"),
    Column("brings", "NA"),
    Column("per_100g", "fructose_to_glucose"),
)
ALWAYS = (NAME, SLIDER, AMOUNT, LOCK)


def test_the_model_keeps_qts_rules_while_columns_come_and_go(
    qtbot: QtBot, qtmodeltester: ModelTester, window: MainWindow
) -> None:
    model, session = window.recipe.model, window.session
    qtmodeltester.check(model)
    for columns in (SIX, (), (SHARE,), tuple(Column("brings", key) for key in list(QUANTITIES)[:24])):
        model.choose_columns(columns, "per_hour")
        assert model.columnCount() == FIGURES + len(columns) + 1
        session.apply(edits.set_amount(session.project, session.variant_id, SYRUP, 10))
        session.undo_stack.undo()


def test_figures_follow_the_slider_and_say_who_brings_what(qtbot: QtBot, window: MainWindow) -> None:
    window.recipe.model.choose_columns(SIX, "portion")
    session, fat = window.session, FIGURES + 3
    assert cell(window, CREAM, fat) == "1.0"  # 60 g of 34.68 g fat in 100 g (USDA SR26, 12115), in 20 pieces
    assert "of all that is brought" in tip(window, CREAM, fat)
    before = cell(window, CREAM, FIGURES)
    session.preview(edits.set_amount(session.base, session.variant_id, CREAM, 120))
    session.flush()
    assert cell(window, CREAM, fat) == "2.1"
    assert cell(window, CREAM, FIGURES) == before
    session.cancel_preview()
    assert cell(window, CREAM, fat) == "1.0"


def test_the_bars_under_the_figures_share_out_the_whole(qtbot: QtBot, window: MainWindow) -> None:
    window.recipe.model.choose_columns((Column("brings", "NA"),), "portion")
    bars = {row.id: row.bars[FIGURES] for row in window.recipe.model.rows if hasattr(row, "bars")}
    assert bars[SALT] >= 20  # salt brings nearly all of the sodium
    assert bars[WATER] <= 1
    assert 22 <= sum(bars.values()) <= 26


def test_unknown_is_a_question_mark_with_words(qtbot: QtBot, window: MainWindow, project: Project) -> None:
    from msgspec.structs import replace

    values = {tag: value for tag, value in project.foods["coconut_cream"].values.items() if tag != "K"}
    food = replace(project.foods["coconut_cream"], values=values)
    window.session.apply(edits.put_food(window.session.project, food))
    window.recipe.model.choose_columns((Column("brings", "K"), Column("per_100g", "K")), "portion")
    for column in (FIGURES, FIGURES + 1):
        assert cell(window, CREAM, column) == "?"
        assert "not known" in tip(window, CREAM, column)
        assert cell(window, SYRUP, column) not in ("?", "")


def test_name_slider_and_amount_stay_in_sight_at_any_width(qtbot: QtBot, window: MainWindow) -> None:
    table = window.recipe.table
    window.recipe.show_columns(SIX, "portion")
    for width in (1920, 1280, 900):
        window.resize(width, 720)
        QApplication.processEvents()
        assert table.columnWidth(SLIDER) >= 160
        assert not any(table.isColumnHidden(column) for column in ALWAYS)
        shown = sum(table.columnWidth(k) for k in range(window.recipe.model.columnCount()))
        assert shown <= table.viewport().width()
        assert window.recipe.across.isVisible() == (0 < table.figures.shown < len(SIX))


def test_columns_without_room_are_scrolled_to_with_keys_bar_and_wheel(qtbot: QtBot, window: MainWindow) -> None:
    table, model = window.recipe.table, window.recipe.model
    window.resize(1100, 720)
    window.recipe.show_columns(SIX, "portion")
    QApplication.processEvents()
    assert table.figures.shown < len(SIX)
    table.setCurrentIndex(model.index(model.row_of(CREAM), LOCK))
    for column in range(FIGURES, FIGURES + len(SIX)):
        qtbot.keyClick(table, Qt.Key.Key_Right)
        assert table.currentIndex().column() == column
        assert not table.isColumnHidden(column)
    qtbot.keyClick(table, Qt.Key.Key_Right)
    assert table.currentIndex().column() == model.remove_column
    for column in reversed(range(LOCK, FIGURES + len(SIX))):
        qtbot.keyClick(table, Qt.Key.Key_Left)
        assert table.currentIndex().column() == column
    assert not table.isColumnHidden(FIGURES)
    window.recipe.across.setValue(window.recipe.across.maximum())
    assert not table.isColumnHidden(FIGURES + len(SIX) - 1)
    assert table.isColumnHidden(FIGURES)
    at, none = QPointF(table.viewport().rect().center()), Qt.MouseButton.NoButton
    shift, phase = Qt.KeyboardModifier.ShiftModifier, Qt.ScrollPhase.NoScrollPhase
    turn = QWheelEvent(at, table.viewport().mapToGlobal(at), QPoint(), QPoint(0, 120), none, shift, phase, False)
    first = table.figures.first
    QApplication.sendEvent(table.viewport(), turn)
    assert table.figures.first == first - 1 == window.recipe.across.value()


@pytest.mark.parametrize(
    ("room", "first", "seen"),
    [(100, 0, (0, 2)), (100, 1, (1, 2)), (100, 9, (2, 2)), (1000, 3, (0, 4)), (10, 2, (2, 0)), (0, 0, (0, 0))],
)
def test_a_window_of_columns_is_full_and_inside(room: int, first: int, seen: tuple[int, int]) -> None:
    window = figure_window([50, 50, 50, 50], room, first)
    assert (window.first, window.shown) == seen
    assert window.hidden == 4 - seen[1]


def test_without_columns_there_is_nothing_to_scroll() -> None:
    assert figure_window([], 500, 3) == (0, 0, 0)


# --- choosing them ------------------------------------------------------------------------------------------------


def test_any_quantity_can_be_found_and_ticked_by_keyboard(qtbot: QtBot) -> None:
    dialog = ColumnsDialog(USUAL_COLUMNS, "portion")
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.keyClicks(dialog.search, "insoluble")
    rows = [row for row in range(dialog.table.rowCount()) if not dialog.table.isRowHidden(row)]
    assert [dialog.table.item(row, 0).text() for row in rows] == ["insoluble fibre, g"]
    dialog.table.setFocus()
    for column in (1, 2):
        dialog.table.setCurrentCell(rows[0], column)
        qtbot.keyClick(dialog.table, Qt.Key.Key_Space)
    dialog.share.setChecked(False)
    dialog.basis.setCurrentIndex(dialog.basis.findData("per_hour"))
    columns, basis = dialog.choice()
    assert columns == (*USUAL_COLUMNS[1:], Column("per_100g", "FIBINS"), Column("brings", "FIBINS"))
    assert basis == "per_hour"
    dialog.search.clear()
    assert not any(dialog.table.isRowHidden(row) for row in range(dialog.table.rowCount()))


def test_a_ratio_cannot_be_brought_and_too_many_columns_say_so(qtbot: QtBot) -> None:
    dialog = ColumnsDialog((), "portion")
    qtbot.addWidget(dialog)
    box = Qt.ItemDataRole.CheckStateRole
    possible = 0
    for row in range(dialog.table.rowCount()):
        ratio = "energy from" in dialog.table.item(row, 0).text() or " to glucose" in dialog.table.item(row, 0).text()
        assert (dialog.table.item(row, 2).data(box) is None) == ratio
        dialog.table.item(row, 1).setCheckState(Qt.CheckState.Checked)
        possible += 1
    assert possible == len(QUANTITIES)
    assert dialog.message.text().startswith("▲")
    assert len(dialog.choice().columns) == MOST_COLUMNS


def test_the_choice_is_remembered(qtbot: QtBot, window: MainWindow, project: Project, messages: FakeMessages) -> None:
    window.recipe.show_columns(SIX, "per_hour")
    again = MainWindow(SettingsFile(), lambda _theme: None, project, messages)  # type: ignore[arg-type]  # a fake
    qtbot.addWidget(again)
    assert again.recipe.model.columns == SIX
    assert again.recipe.model.basis == "per_hour"
    again.recipe.show_columns((), "portion")
    third = MainWindow(SettingsFile(), lambda _theme: None, project, messages)  # type: ignore[arg-type]  # a fake
    qtbot.addWidget(third)
    assert third.recipe.model.columns == ()


@pytest.mark.parametrize("broken", ['{"columns": 7}', '{"columns": ["brings NOPE", 3]}', '{"brought_to": ["x"]}'])
def test_a_broken_memory_gives_the_usual_columns(
    qtbot: QtBot, project: Project, messages: FakeMessages, broken: str
) -> None:
    settings = SettingsFile()
    settings.path.parent.mkdir(parents=True, exist_ok=True)
    settings.path.write_text(broken, encoding="utf-8")
    window = MainWindow(SettingsFile(), lambda _theme: None, project, messages)  # type: ignore[arg-type]  # a fake
    qtbot.addWidget(window)
    assert window.recipe.model.columns == USUAL_COLUMNS
    assert window.recipe.model.basis == "portion"


def test_the_menu_of_a_header_moves_and_takes_out(qtbot: QtBot, window: MainWindow) -> None:
    panel = window.recipe

    def run(words: str, section: int = FIGURES) -> None:
        next(action for action in panel.header_menu(section).actions() if action.text().startswith(words)).trigger()

    run("move “share %” right")
    assert panel.model.columns == (USUAL_COLUMNS[1], SHARE, USUAL_COLUMNS[2])
    run("take “fat", FIGURES + 2)
    assert panel.model.columns == (USUAL_COLUMNS[1], SHARE)
    hour = next(action for action in panel.header_menu(FIGURES).actions() if action.menu()).menu()
    next(action for action in hour.actions() if action.text() == "hour").trigger()  # type: ignore[union-attr]
    assert panel.model.basis == "per_hour"
    assert str(panel.model.headerData(FIGURES, Qt.Orientation.Horizontal)).endswith("g / hour")
    run("the usual columns")
    assert (panel.model.columns, panel.model.basis) == (USUAL_COLUMNS, "portion")
    assert not any(action.text().startswith("move") for action in panel.header_menu(NAME).actions())


def test_a_column_moves_by_keyboard(qtbot: QtBot, window: MainWindow) -> None:
    table, model = window.recipe.table, window.recipe.model
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
    table.setCurrentIndex(model.index(model.row_of(MEAL), FIGURES))
    for _step in range(3):
        qtbot.keyClick(table, Qt.Key.Key_Right, both)
    assert model.columns == (*USUAL_COLUMNS[1:], SHARE)
    assert table.currentIndex().column() == FIGURES + 2
    qtbot.keyClick(table, Qt.Key.Key_Left, both)
    assert model.columns[1] == SHARE


def test_a_figure_opens_its_derivation(qtbot: QtBot, window: MainWindow) -> None:
    table, model = window.recipe.table, window.recipe.model
    table.setCurrentIndex(model.index(model.row_of(MEAL), FIGURES + 2))
    for key, modifier in (
        (Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_E, Qt.KeyboardModifier.ControlModifier),
    ):
        with qtbot.waitSignal(window.recipe.figureActivated) as asked:
            qtbot.keyClick(table, key, modifier)
        assert asked.args == ["FAT", "portion"]


def test_a_large_font_keeps_every_title_whole_or_shortened_and_the_slider_wide(
    qtbot: QtBot, window: MainWindow
) -> None:
    font = QFont(window.recipe.table.font())
    font.setPixelSize(24)
    window.recipe.table.setFont(font)
    QApplication.processEvents()
    table = window.recipe.table
    assert table.columnWidth(SLIDER) >= 160
    assert table.rowHeight(1) >= 2 * table.fontMetrics().height() - 4
    assert table.horizontalHeader().height() >= 2 * table.horizontalHeader().fontMetrics().height()
