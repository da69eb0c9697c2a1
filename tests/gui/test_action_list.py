"""The list of actions: everything in the menus is found by its words, and done by keyboard alone."""

from functools import partial

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QMainWindow, QMenu
from pytestqt.qtbot import QtBot

from workbench.ui.actions import ActionTable, UserAction
from workbench.ui.dialogs.action_list import ActionListDialog, choose_action, listed_actions


class Window:
    """A window with a few actions, some of them in menus."""

    def __init__(self, qtbot: QtBot) -> None:
        self.done: list[str] = []
        self.window = QMainWindow()
        qtbot.addWidget(self.window)
        self.table = ActionTable(self.window)
        self.may_delete = False

        def row(key: str, title: str, shortcut: str = "", **how: object) -> UserAction:
            return UserAction(key, title, partial(self.done.append, key), shortcut, **how)  # type: ignore[arg-type]  # any field

        self.table.add(
            (
                row("line.add", "add an ingredient", "Ctrl+I"),
                row("stage.add", "add a stage …"),
                row("variant.delete", "delete", enabled=lambda: self.may_delete),
                row("line.lock", "lock the amount", "L"),
            )
        )
        bar = self.window.menuBar()
        recipe, variants = bar.addMenu("&recipe"), bar.addMenu("variants")
        recipe.addAction(self.table["line.add"])
        recipe.addSeparator()
        recipe.addAction(self.table["stage.add"])
        variants.addAction(self.table["variant.delete"])
        demos = recipe.addMenu("ready projects")
        demos.aboutToShow.connect(partial(self._fill, demos))

    def _fill(self, menu: QMenu) -> None:
        menu.clear()
        menu.addAction("maize & figs".replace("&", "&&"), partial(self.done.append, "demo"))

    def listed(self, qtbot: QtBot) -> ActionListDialog:
        self.table.refresh()
        dialog = ActionListDialog(listed_actions(self.table, self.window.menuBar()))
        qtbot.addWidget(dialog)
        dialog.show()
        qtbot.waitExposed(dialog)
        dialog.line.setFocus()
        return dialog


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    return Window(qtbot)


def test_everything_is_listed_once_with_its_menu_and_keys(window: Window, qtbot: QtBot) -> None:
    dialog = window.listed(qtbot)
    assert dialog.shown() == ["add an ingredient", "add a stage …", "maize & figs", "delete", "lock the amount"]
    item = dialog.results.topLevelItem(0)
    assert item is not None
    assert [item.text(column) for column in range(4)] == ["add an ingredient", "recipe", "Ctrl+I", ""]


def test_words_of_title_and_menu_find_in_any_order(window: Window, qtbot: QtBot) -> None:
    dialog = window.listed(qtbot)
    for text, found in (
        ("add", ["add an ingredient", "add a stage …"]),
        ("ADD stage", ["add a stage …"]),
        ("stage add", ["add a stage …"]),
        ("ready", ["maize & figs"]),
        ("variants", ["delete"]),
        ("ingrédient", ["add an ingredient"]),
        ("a", ["add an ingredient", "add a stage …", "lock the amount", "maize & figs", "delete"]),
        ("xyz", []),
    ):
        dialog.line.setText(text)
        assert dialog.shown() == found, text
    assert "try another word" in dialog.message.text()


def test_arrows_and_enter_choose(window: Window, qtbot: QtBot) -> None:
    dialog = window.listed(qtbot)
    qtbot.keyClicks(dialog.line, "add")
    qtbot.keyClick(dialog.line, Qt.Key.Key_Down)
    qtbot.keyClick(dialog.line, Qt.Key.Key_Down)  # stays on the last
    qtbot.keyClick(dialog.line, Qt.Key.Key_Return)
    assert dialog.chosen is window.table["stage.add"]
    assert not dialog.isVisible()


def test_what_is_not_possible_now_is_said_and_not_done(window: Window, qtbot: QtBot) -> None:
    dialog = window.listed(qtbot)
    qtbot.keyClicks(dialog.line, "delete")
    item = dialog.results.topLevelItem(0)
    assert item is not None
    assert item.text(3) == "not now"
    qtbot.keyClick(dialog.line, Qt.Key.Key_Return)
    assert dialog.isVisible()
    assert "not possible now" in dialog.message.text()
    assert dialog.chosen is None


def test_enter_with_nothing_found_and_escape_do_nothing(window: Window, qtbot: QtBot) -> None:
    dialog = window.listed(qtbot)
    qtbot.keyClicks(dialog.line, "xyz")
    qtbot.keyClick(dialog.line, Qt.Key.Key_Return)
    assert dialog.isVisible()
    qtbot.keyClick(dialog.line, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    assert dialog.chosen is None


def test_what_was_chosen_is_done_once_the_list_is_gone(
    window: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.may_delete = True  # since the table was last asked

    def type_and_enter(dialog: ActionListDialog) -> int:
        dialog.line.setText("delete")
        QApplication.processEvents()
        dialog._run()
        assert window.done == []
        return dialog.result()

    monkeypatch.setattr(ActionListDialog, "exec", type_and_enter)
    choose_action(window.table, window.window.menuBar(), window.window)
    assert window.done == ["variant.delete"]
    monkeypatch.setattr(
        ActionListDialog, "exec", lambda dialog: dialog.line.setText("maize") or dialog._run() or dialog.result()
    )
    choose_action(window.table, window.window.menuBar(), window.window)
    assert window.done == ["variant.delete", "demo"]


def test_a_line_that_says_there_is_nothing_is_no_action(window: Window, qtbot: QtBot) -> None:
    empty = QAction("nothing was open yet", window.window)
    empty.setEnabled(False)
    window.window.menuBar().addMenu("file").addAction(empty)
    assert "nothing was open yet" not in window.listed(qtbot).shown()
