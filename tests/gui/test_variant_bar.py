"""The row of variants: put into another order by hand and by keyboard, with undo."""

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from tests.gui.recipe_hand import CONTROL, LEFT, SHIFT, pull
from workbench.document import variant_edits
from workbench.document.project import Project
from workbench.ui.main_window import MainWindow


@pytest.fixture
def four(window: MainWindow) -> MainWindow:
    session = window.session
    for name in ("Plant-based", "Race", "Long ride"):
        edit, made = variant_edits.new_variant(session.project, name)
        session.apply(variant_edits.describe_variant(edit.project, made, "race" if name == "Long ride" else "", ""))
    session.undo_stack.clear()
    window.variants.layout().activate()
    return window


def names(window: MainWindow) -> list[str]:
    return [variant.name for variant in window.session.project.variants]


def centre(window: MainWindow, name: str) -> QPoint:
    """On the card of the original, from where all drags in these tests begin."""
    bar, variants = window.variants, window.session.project.variants
    ids = {variant.name: variant.id for variant in variants}
    card = bar.cards[ids[name]]
    return bar.cards[ids["Original"]].mapFromGlobal(card.mapToGlobal(card.rect().center()))


def test_a_card_is_dragged_to_another_place(qtbot: QtBot, four: MainWindow) -> None:
    card = four.variants.cards["original"]
    pull(qtbot, card, card.rect().center(), centre(four, "Race") + QPoint(10, 0))
    assert names(four) == ["Plant-based", "Race", "Original", "Long ride"]
    assert list(four.variants.cards) == [variant.id for variant in four.session.project.variants]
    assert four.session.undo_stack.undoText() == "move variant Original"
    assert four.session.variant_id == "original"
    four.session.undo_stack.undo()
    assert names(four) == ["Original", "Plant-based", "Race", "Long ride"]
    assert four.variants.cards["original"].isChecked()


def test_a_card_put_back_or_only_pressed_is_a_click(qtbot: QtBot, four: MainWindow) -> None:
    race = next(variant.id for variant in four.session.project.variants if variant.name == "Race")
    card = four.variants.cards[race]
    pull(qtbot, card, card.rect().center(), card.rect().center() + QPoint(2, 0))
    assert four.session.variant_id == race
    card = four.variants.cards["original"]
    pull(qtbot, card, card.rect().center(), card.rect().center() + QPoint(-20, 0))
    assert names(four)[0] == "Original"
    assert four.session.undo_stack.count() == 0


def test_the_place_is_shown_while_a_card_is_dragged(qtbot: QtBot, four: MainWindow) -> None:
    card = four.variants.cards["original"]
    pull(qtbot, card, card.rect().center(), centre(four, "Long ride") + QPoint(30, 0), release=False)
    last = list(four.variants.cards.values())[-1]
    assert four.variants._gap.isVisible()
    assert abs(four.variants._gap.x() - last.geometry().right()) < 8
    qtbot.mouseRelease(card, LEFT, pos=centre(four, "Long ride") + QPoint(30, 0))
    assert not four.variants._gap.isVisible()
    assert names(four)[-1] == "Original"


def test_a_variant_moves_by_keyboard_as_far_as_it_can(qtbot: QtBot, four: MainWindow) -> None:
    table = four.recipe.table
    qtbot.keyClick(table, Qt.Key.Key_Left, CONTROL | SHIFT)
    assert four.session.undo_stack.count() == 0
    for _step in range(5):
        qtbot.keyClick(table, Qt.Key.Key_Right, CONTROL | SHIFT)
    assert names(four) == ["Plant-based", "Race", "Long ride", "Original"]
    assert four.session.undo_stack.count() == 3
    qtbot.keyClick(table, Qt.Key.Key_4, CONTROL)
    assert four.session.variant.name == "Original"
    assert not four.action_table["variant.right"].isEnabled()
    assert four.action_table["variant.left"].isEnabled()


def test_the_purpose_is_on_the_card(qtbot: QtBot, four: MainWindow) -> None:
    texts = [card.text() for card in four.variants.cards.values()]
    assert texts == ["Original", "Plant-based", "Race", "Long ride · race"]


def test_a_variant_deleted_in_the_middle_of_a_drag(
    qtbot: QtBot, four: MainWindow, messages: FakeMessages, project: Project
) -> None:
    card = four.variants.cards["original"]
    pull(qtbot, card, card.rect().center(), centre(four, "Race"), release=False)
    four.variants.delete()
    assert names(four) == ["Plant-based", "Race", "Long ride"]
    assert not four.variants._gap.isVisible()
    four.session.undo_stack.undo()
    assert names(four)[0] == "Original"
