"""From the pantry: ticking, searching, looking on a thread that can be stopped, and taking a recipe as a variant."""

import threading

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.gui.test_accessibility import nameless
from workbench.base.progress import Progress
from workbench.ui.dialogs import pantry_dialog
from workbench.ui.dialogs.pantry_dialog import PantryDialog
from workbench.ui.main_window import MainWindow

PANTRY = frozenset(("maize_meal_fine", "corn_syrup_light", "coconut_cream", "salt", "vanilla_extract", "figs_dried"))


@pytest.fixture
def dialog(qtbot: QtBot, window: MainWindow) -> PantryDialog:
    made = PantryDialog(window.session, PANTRY, window)
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    return made


def look(qtbot: QtBot, dialog: PantryDialog) -> None:
    dialog.find_button.click()
    qtbot.waitUntil(lambda: not dialog.background.running, timeout=30_000)


def test_a_recipe_of_what_is_at_hand_becomes_a_variant_marked_as_a_starting_point(
    qtbot: QtBot, window: MainWindow, dialog: PantryDialog
) -> None:
    session = window.session
    before = session.project
    look(qtbot, dialog)
    said = "\n".join(dialog.tree.row_texts())
    assert "starting point for a trial" in said and "what to test in a trial batch" in said
    assert dialog.tree.hasFocus() and dialog.caution.isVisible()
    first = dialog.tree.topLevelItem(0)
    assert first is not None and first.isExpanded()
    qtbot.keyClick(dialog.tree, Qt.Key.Key_Return)
    assert not first.isExpanded() and not dialog.background.running  # Enter does not look once more
    dialog.take_button.click()
    assert not dialog.isVisible()
    made = session.variant
    assert made.id != "original" and {line.food_ref.id for line in made.lines} <= PANTRY | {"water"}
    assert "starting point for a trial" in made.notes
    assert session.evaluation.valid
    session.undo_stack.undo()
    assert session.project is before


def test_the_search_hides_the_others_and_keeps_what_is_ticked(qtbot: QtBot, dialog: PantryDialog) -> None:
    qtbot.keyClicks(dialog.shelf.search, "honey")
    shown = [
        item.text()
        for item in (dialog.shelf.list.item(k) for k in range(dialog.shelf.list.count()))
        if not item.isHidden()
    ]
    assert shown and all("honey" in text.lower() for text in shown)
    qtbot.keyClick(dialog.shelf.search, Qt.Key.Key_Return)
    assert dialog.at_hand == PANTRY | {"honey"} and not dialog.background.running
    assert dialog.shelf.search.selectedText() == "honey"  # the next word takes its place
    qtbot.keyClick(dialog.shelf.search, Qt.Key.Key_Return)
    assert dialog.at_hand == PANTRY and nameless(dialog) == []
    qtbot.keyClicks(dialog.shelf.search, "zzz")
    assert "nothing found" in dialog.shelf.count.text()
    dialog.shelf.search.clear()
    dialog.shelf.list.setFocus()
    dialog.shelf.list.setCurrentRow(0)
    first = dialog.shelf.list.item(0)
    qtbot.keyClick(dialog.shelf.list, Qt.Key.Key_Space)
    assert first.checkState() == Qt.CheckState.Unchecked and len(dialog.at_hand) == len(PANTRY) - 1
    assert dialog.shelf.count.text() == "5 ingredients at hand"


def test_an_empty_pantry_is_answered_in_words(qtbot: QtBot, dialog: PantryDialog) -> None:
    dialog.shelf.untick_all()
    look(qtbot, dialog)
    assert dialog.message.text().startswith("▲") and "nothing at hand" in dialog.message.text()
    assert not dialog.take_button.isEnabled() and not dialog.tree.rows()


def test_escape_stops_the_search_first_and_closes_only_then(
    qtbot: QtBot, dialog: PantryDialog, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = threading.Event()

    def endless(*args: object) -> None:
        """Stands for a hard problem: it goes on until it is told to stop."""
        progress = args[-1]
        assert isinstance(progress, Progress)
        while True:
            progress.step(1, 3)
            begun.set()

    monkeypatch.setattr(pantry_dialog, "suggest", endless)
    dialog.find_button.click()
    assert begun.wait(10.0)
    assert dialog.bar.isVisible() and dialog.stop_button.hasFocus() and not dialog.find_button.isEnabled()
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not dialog.background.running, timeout=10_000)
    assert dialog.isVisible() and dialog.message.text() == "stopped"
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_the_pantry_begins_with_what_the_project_holds_and_remembers_what_was_ticked(window: MainWindow) -> None:
    seen: list[frozenset[str]] = []

    def look_and_leave() -> None:
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, PantryDialog)
        seen.append(dialog.at_hand)
        dialog.shelf.tick("honey")
        dialog.reject()

    for _time in range(2):
        QTimer.singleShot(0, look_and_leave)
        window.action_table["variant.pantry"].trigger()
    assert seen == [frozenset(window.session.project.foods), frozenset((*window.session.project.foods, "honey"))]
