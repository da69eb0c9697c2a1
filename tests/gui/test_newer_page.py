"""Newer values in the window: a quiet notice, a page to tick and preview, and one step to take and to undo."""

import threading
from collections.abc import Callable

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.gui.conftest import maize_square
from tests.support import make_food
from workbench.composition.bundled import row_hash
from workbench.composition.food import Food
from workbench.composition.library.store import Library
from workbench.document import edits
from workbench.document.project import Project
from workbench.recipe import newer_values
from workbench.ui.main_window import MainWindow
from workbench.ui.panels.newer_page import NewerPage


def older(food: Food, tag: str, value: float) -> Food:
    """A copy from when the table said something else of one component."""
    before = replace(food, values=food.values | {tag: replace(food.values[tag], value=value)})
    assert food.taken_from is not None
    return replace(before, taken_from=replace(food.taken_from, row_hash=row_hash(before)))


@pytest.fixture
def project() -> Project:
    """Maize and syrup were taken from an older table; somebody changed the coconut cream as well."""
    now = maize_square()
    cream = older(now.foods["coconut_cream"], "FAT", 30.0)
    cream = replace(cream, values=cream.values | {"FAT": replace(cream.values["FAT"], value=20.0)})
    foods = {
        "maize_meal_fine": older(now.foods["maize_meal_fine"], "FIBTG", 8.0),
        "corn_syrup_light": older(now.foods["corn_syrup_light"], "NA", 100.0),
        "coconut_cream": cream,
    }
    return replace(now, foods=now.foods | foods)


@pytest.fixture
def page(window: MainWindow) -> NewerPage:
    window.action_table["details.newer"].trigger()
    made = window.details.side.page("newer")
    assert isinstance(made, NewerPage)
    return made


def ticked(page: NewerPage) -> list[tuple[str, bool]]:
    items = [page.list.item(k) for k in range(page.list.count())]
    return [(item.text().partition(":")[0], item.checkState() == Qt.CheckState.Checked) for item in items]


def row_of(page: NewerPage, food_id: str) -> int:
    return [one.mine.id for one in page._newer.foods].index(food_id)


@pytest.fixture
def looked(qtbot: QtBot, window: MainWindow) -> Callable[[], bool]:
    def look() -> bool:
        qtbot.waitUntil(lambda: not window.newer._later.isActive() and not window.newer.background.running)
        return window.newer.isVisible()

    return look


def test_the_notice_leads_to_the_page_and_is_gone_when_nothing_differs(
    window: MainWindow, looked: Callable[[], bool]
) -> None:
    assert looked() and window.newer.text() == "• 3 ingredients have newer values in their tables …"
    window.newer.click()
    assert window.details.side.page_key == "newer"
    window.session.open(maize_square())
    assert not looked()
    page = window.details.side.page("newer")
    assert isinstance(page, NewerPage)
    assert page.text() == "Every ingredient that was taken from a table reads as in the table of today."
    assert page.take_button.isHidden() and page.list.isHidden()


def test_a_library_is_read_beside_the_window_and_the_last_project_on_screen_is_told_of(
    window: MainWindow, looked: Callable[[], bool], monkeypatch: pytest.MonkeyPatch
) -> None:
    with Library.open() as library:
        library.put(make_food("sloe jam", {"FAT": 0.1}))
    assert looked()
    let_go, threads = threading.Event(), []

    def held_up(project: Project) -> newer_values.NewerValues:
        threads.append(threading.current_thread())
        assert let_go.wait(10)
        return newer_values.find_newer(project)

    monkeypatch.setattr(newer_values, "find_newer_here", held_up)
    window.newer.look()
    window.session.open(maize_square())  # nothing differs in it
    window.newer.look()
    assert window.newer.background.running and "3 ingredients" in window.newer.text()
    let_go.set()
    assert not looked() and len(threads) >= 2
    assert threading.main_thread() not in threads


def test_what_was_changed_by_hand_is_not_ticked_and_the_preview_is_of_what_is(page: NewerPage) -> None:
    names = page._session.project.foods
    assert dict(ticked(page)) == {
        names["maize_meal_fine"].name: True,
        names["corn_syrup_light"].name.partition(":")[0]: True,
        names["coconut_cream"].name: False,
    }
    text = page.text()
    assert "fibre: 8 → 3.9 g (USDA SR26 20422)" in text and "in one piece of Original" in text
    assert "fat: " not in text
    page.list.item(row_of(page, "coconut_cream")).setCheckState(Qt.CheckState.Checked)
    assert "fat: 20 → 34.68 g (USDA SR26 12115)" in page.text()
    page.copy_button.click()
    assert QApplication.clipboard().text() == page.text()


def test_values_are_taken_in_one_step_and_come_back_with_undo(
    page: NewerPage, window: MainWindow, project: Project, looked: Callable[[], bool]
) -> None:
    before = window.session.evaluation.bound("FIBTG", "portion")
    page.take_button.click()
    session = window.session
    assert session.undo_stack.count() == 1 and session.undo_stack.undoText() == "take newer values of 2 ingredients"
    assert session.evaluation.bound("FIBTG", "portion").value < before.value
    assert [name for name, _on in ticked(page)] == [project.foods["coconut_cream"].name]
    assert not page.take_button.isEnabled() and looked()
    session.undo_stack.undo()
    assert session.project == project and len(ticked(page)) == 3


def test_ticks_stay_while_the_recipe_changes_and_the_preview_follows(qtbot: QtBot, page: NewerPage) -> None:
    session = page._session
    page.setFocus()
    page.list.setCurrentRow(row_of(page, "corn_syrup_light"))
    qtbot.keyClick(page.list, Qt.Key.Key_Space)
    before, on = page.text(), ticked(page)
    session.apply(edits.set_amount(session.project, session.variant_id, "line-maize_meal_fine", 150.0))
    assert ticked(page) == on and page.text() != before
    session.preview(edits.set_amount(session.base, session.variant_id, "line-maize_meal_fine", 300.0))
    session.flush()
    during = page.text()
    assert during != before  # a drag is left to its end
    session.commit()
    assert page.text() == before
