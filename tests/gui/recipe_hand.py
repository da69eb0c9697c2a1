"""A hand on the recipe: finds lines and cells of the window, and drags with a real mouse."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from workbench.document.project import Line
from workbench.ui.main_window import MainWindow

MEAL, WATER, SALT = "line-maize_meal_fine", "line-water", "line-salt"
SYRUP, CREAM = "line-corn_syrup_light", "line-coconut_cream"
LEFT = Qt.MouseButton.LeftButton
CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def line(window: MainWindow, line_id: str) -> Line:
    return next(line for line in window.session.variant.lines if line.id == line_id)


def order(window: MainWindow) -> list[str]:
    """Ids of stages and lines from the top."""
    return [row.id for row in window.recipe.model.rows]


def cell(window: MainWindow, line_id: str, column: int) -> str:
    model = window.recipe.model
    return str(model.index(model.row_of(line_id), column).data())


def tip(window: MainWindow, line_id: str, column: int) -> str:
    model = window.recipe.model
    return str(model.index(model.row_of(line_id), column).data(Qt.ItemDataRole.ToolTipRole))


def middle(window: MainWindow, item_id: str, column: int) -> QPoint:
    model = window.recipe.model
    return window.recipe.table.visualRect(model.index(model.row_of(item_id), column)).center()


def pull(qtbot: QtBot, widget: QWidget, start: QPoint, end: QPoint, *, release: bool = True) -> None:
    """A real drag in small moves."""
    qtbot.mousePress(widget, LEFT, pos=start)
    for step in range(1, 11):
        qtbot.mouseMove(widget, start + (end - start) * step / 10)
    if release:
        qtbot.mouseRelease(widget, LEFT, pos=end)
