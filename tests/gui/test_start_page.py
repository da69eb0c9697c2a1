"""The first start: what to begin with, chosen by keyboard, and a page that never stands in the way."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from workbench.storage.project_file import save_project
from workbench.storage.recent import add_recent
from workbench.ui.main_window import MainWindow
from workbench.ui.panels.start_page import StartPage


@pytest.fixture
def page(window: MainWindow) -> StartPage:
    window.show_start_page()
    QApplication.processEvents()
    return window.findChild(StartPage)


def button(page: StartPage, words: str) -> QPushButton:
    return next(made for made in page.buttons if made.text() == words)


@pytest.mark.parametrize(
    ("words", "title"),
    [
        ("maize squares", "Kelder Coast maize squares"),
        ("cooked-grain square", "cooked-grain square"),
        ("pressed bar", "pressed bar"),
        ("rolled ball", "rolled ball"),
        ("empty recipe", "untitled"),
    ],
)
def test_every_way_leads_to_a_project_and_the_keyboard_into_the_recipe(
    words: str, title: str, window: MainWindow, page: StartPage, qtbot: QtBot
) -> None:
    button(page, words).setFocus()
    qtbot.keyClick(button(page, words), Qt.Key.Key_Return)
    assert window.session.project.title == title
    assert page.isHidden()
    assert window.recipe.table.hasFocus()
    assert window.session.evaluation.valid == (words != "empty recipe")
    assert not window.documents.dirty
    qtbot.waitUntil(lambda: all(card.isVisible() and card.height() > 0 for card in window.variants.cards.values()))


def test_tab_and_arrows_stay_on_the_page_and_escape_leaves_the_recipe_as_it_was(
    window: MainWindow, page: StartPage, qtbot: QtBot
) -> None:
    assert page.buttons[0].hasFocus()
    qtbot.keyClick(page.buttons[0], Qt.Key.Key_Tab)
    assert page.buttons[1].hasFocus()
    qtbot.keyClick(page.buttons[1], Qt.Key.Key_Tab, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(page.buttons[0], Qt.Key.Key_Tab, Qt.KeyboardModifier.ShiftModifier)
    assert page.buttons[-1].hasFocus()
    before = window.session.project
    qtbot.keyClick(page.buttons[-1], Qt.Key.Key_Escape)
    assert page.isHidden()
    assert window.session.project is before
    assert window.recipe.table.hasFocus()


def test_an_action_that_goes_into_the_recipe_uncovers_it(window: MainWindow, page: StartPage) -> None:
    window.action_table["line.add"].trigger()
    assert page.isHidden()


def test_unsaved_work_is_asked_about_and_kept(
    window: MainWindow, page: StartPage, messages: FakeMessages, qtbot: QtBot
) -> None:
    window.session.undo_stack.resetClean()
    messages.answers["ask_save"] = "cancel"
    before = window.session.project
    button(page, "pressed bar").click()
    assert window.session.project is before
    assert not page.isHidden()
    messages.answers["ask_save"] = "discard"


def test_files_that_were_open_are_offered(window: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "squares & bars.fare"
    save_project(path, window.session.project, {})
    add_recent(path)
    add_recent(tmp_path / "gone.fare")
    window.show_start_page()
    page = window.findChild(StartPage)
    assert [made.text() for made in page.buttons][-2:] == ["open a file …", "squares && bars.fare"]
    page.buttons[-1].click()
    assert window.documents.path == path


def test_a_page_opened_twice_is_one_page(window: MainWindow, page: StartPage) -> None:
    window.show_start_page()
    assert len(window.findChildren(StartPage)) == 1
