"""Rows to a spreadsheet and back: certain ones are taken, the others are asked about, too many are refused."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from tests.gui.recipe_hand import CONTROL, CREAM, SALT, SYRUP, line
from workbench.composition.pasting import KnownNames, read_rows
from workbench.document import variant_edits
from workbench.document.project import Project
from workbench.ui.dialogs.paste_dialog import PasteDialog
from workbench.ui.main_window import MainWindow
from workbench.ui.models.ingredient_choices import IngredientChoices
from workbench.ui.tables import row_clipboard


def never(*_args: Any) -> None:
    raise AssertionError("nothing is open, so nothing is asked")


def dialog_for(window: MainWindow, text: str) -> PasteDialog:
    choices = IngredientChoices(window.session)
    names = KnownNames(choices.foods(), {})
    read = [names.read(row, "metric") for row in read_rows(text)]
    return PasteDialog([row for row in read if row.problem], 0, choices, "metric", window)


def test_copied_rows_can_be_pasted_back(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch, project: Project
) -> None:
    monkeypatch.setattr(row_clipboard, "ask_open_rows", never)
    table = window.recipe.table
    table.choose_all([SALT, CREAM])
    qtbot.keyClick(table, Qt.Key.Key_C, CONTROL)
    rows = QApplication.clipboard().text().splitlines()
    assert rows[0].split("\t") == ["ingredient", "grams", "% of batch", "as bought", "stage"]
    assert len(rows) == 3
    assert rows[2].split("\t")[1] == "60"
    table.choose("cook")
    qtbot.keyClick(table, Qt.Key.Key_V, CONTROL)
    made = [line(window, line_id) for line_id in table.chosen_line_ids()]
    assert [(x.food_ref.id, x.amount_g, x.stage_id) for x in made] == [
        ("salt", 3, "cook"),
        ("coconut_cream", 60, "fold"),
    ]
    assert window.session.undo_stack.count() == 1
    window.session.undo_stack.undo()
    assert window.session.project == project
    window.action_table["line.copy_all"].trigger()
    assert len(QApplication.clipboard().text().splitlines()) == 6


def test_rows_of_a_spreadsheet_are_added_with_their_units(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(row_clipboard, "ask_open_rows", never)
    QApplication.clipboard().setText("Ingredient\tAmount\n\nhoney\t½ cup\nsugar, white\t0,3 kg\n\t\n")
    window.recipe.table.choose(SYRUP)
    window.recipe.work.paste()
    honey, sugar = window.session.variant.lines[-2:]
    assert (honey.food_ref.id, honey.entered, honey.stage_id) == ("honey", "½ cup", "fold")
    assert (sugar.amount_g, sugar.entered) == (300, "0,3 kg")
    assert set(window.session.project.foods) >= {honey.food_ref.id, sugar.food_ref.id}


def test_open_rows_are_asked_about_and_left_out_unless_answered(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[PasteDialog] = []

    def answer(dialog: PasteDialog) -> int:
        seen.append(dialog)
        dialog.offer(0).fill()
        dialog.offer(0).setCurrentIndex(1)
        return 1

    monkeypatch.setattr(PasteDialog, "exec", answer)
    QApplication.clipboard().setText("corn sirup light\t20 g\nhoney\t10\nnothing like that\t5 g")
    before = {x.id for x in window.session.variant.lines}
    window.recipe.work.paste()
    added = [x for x in window.session.variant.lines if x.id not in before]
    assert len(added) == 2
    assert added[0].amount_g == 20  # in the order of the rows
    assert added[1].food_ref.id == "honey"
    assert seen[0].offer(1).currentText().startswith("leave out")
    monkeypatch.setattr(PasteDialog, "exec", lambda _dialog: 0)
    window.recipe.work.paste()
    assert len(window.session.variant.lines) == len(before) + 2


def test_an_amount_that_cannot_be_read_keeps_the_dialog_open(qtbot: QtBot, window: MainWindow) -> None:
    dialog = dialog_for(window, "honey\t1,500 g\nbutter\t12 wheelbarrows")
    qtbot.addWidget(dialog)
    dialog.show()
    assert [dialog.offer(k).currentText() for k in (0, 1)] == ["honey", "butter, unsalted"]
    dialog.accept()
    assert dialog.isVisible()
    assert "row 1" in dialog.message.text()
    assert "1.5 g or 1500 g" in dialog.message.text()
    dialog.table.item(0, 3).setText("1500 g")
    assert dialog.table.item(0, 4).text() == "✓ 1500 g"
    dialog.offer(1).setCurrentIndex(0)
    dialog.accept()
    assert not dialog.isVisible()
    assert [(one.parsed.grams, one.row.row.name) for one in dialog.settled()] == [(1500, "honey")]


def test_a_row_begins_with_what_it_surely_means_and_says_that_this_is_a_guess(qtbot: QtBot, window: MainWindow) -> None:
    """A cup of 236.588 ml of rolled oats weighs 81 g (USDA SR26 8120), so a metric cup of 250 ml weighs 85.592 g."""
    dialog = dialog_for(
        window, "1 cup rolled oats\n20 g rice flour\n30 g corn sirup light\nrolled oats\t9 wheelbarrows"
    )
    qtbot.addWidget(dialog)
    dialog.show()
    left_out = "leave out"  # there is white and brown rice flour; a misspelling is for the user
    assert [dialog.offer(k).currentText() for k in range(4)] == ["oats, rolled, dry", left_out, left_out, left_out]
    assert dialog.table.item(0, 4).text() == "△ a guess: 85.6 g"
    assert dialog.message.text().startswith("△ Rows with this sign are guesses")
    offer = dialog.offer(0)
    offer.fill()  # as when it gets the keyboard
    qtbot.keyClick(offer, Qt.Key.Key_Up)
    assert dialog.table.item(0, 4).text() == "left out"
    qtbot.keyClick(offer, Qt.Key.Key_Down)
    assert dialog.table.item(0, 4).text() == "✓ 85.6 g", "it was chosen"
    assert [offer.itemText(k) for k in range(offer.count())].count("oats, rolled, dry") == 1
    dialog.accept()
    assert [(one.what.id, round(one.parsed.grams)) for one in dialog.settled()] == [("oats_rolled", 86)]  # type: ignore[union-attr]  # a food


def test_another_name_is_searched_again(qtbot: QtBot, window: MainWindow) -> None:
    dialog = dialog_for(window, "xyzzyx\t30")
    qtbot.addWidget(dialog)
    dialog.offer(0).fill()
    assert dialog.offer(0).currentText() == "leave out: nothing like it found"
    dialog.table.item(0, 1).setText("dried figs")
    offered = [dialog.offer(0).itemText(k) for k in range(dialog.offer(0).count())]
    assert any("figs" in text for text in offered)
    assert dialog.settled() == []


def test_five_thousand_rows_are_refused_with_the_room_there_is(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages
) -> None:
    QApplication.clipboard().setText("\n".join(f"honey\t{k} g" for k in range(5000)))
    window.recipe.work.paste()
    assert "5000 rows" in messages.told[-1]
    assert "room for 395" in messages.told[-1]
    assert window.session.undo_stack.count() == 0
    QApplication.clipboard().setText("x" * 3_000_000)
    window.recipe.work.paste()
    assert "too long" in messages.told[-1]


def test_as_many_rows_as_there_is_room_for_are_asked_about(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    sizes: list[int] = []
    monkeypatch.setattr(PasteDialog, "exec", lambda dialog: sizes.append(dialog.table.rowCount()) or 0)
    QApplication.clipboard().setText("\n".join(f"odd thing {k}\t{k} wheelbarrows" for k in range(395)))
    window.recipe.work.paste()
    assert sizes == [395]


@pytest.mark.parametrize("text", ["", "   \n\t\n", "\x00\x01", "ingredient\tgrams", "🍯\t½⅓", "=cmd()\t-1", "\t\t\t5"])
def test_rubbish_on_the_clipboard_does_no_harm(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch, text: str, project: Project
) -> None:
    monkeypatch.setattr(PasteDialog, "exec", lambda dialog: dialog.settled() and 1)
    QApplication.clipboard().setText(text)
    window.recipe.work.paste()
    assert window.session.project == project


def test_a_full_variant_takes_no_more(qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    from workbench.document.line_edits import NewLine, paste_lines
    from workbench.storage.structure import MAX_LINES

    session = window.session
    food = session.project.foods["salt"]
    new = [NewLine(food, "cook", 1.0)] * (MAX_LINES - 5)
    session.apply(paste_lines(session.project, session.variant_id, new))
    window.add_box.line.setFocus()
    qtbot.keyClicks(window.add_box.line, "honey")
    assert str(window.add_box.results.model().index(0, 0).data()) == "a variant holds 400 ingredients at most"
    qtbot.keyClick(window.add_box.line, Qt.Key.Key_Return)
    assert len(session.variant.lines) == MAX_LINES


def test_a_variant_of_the_project_is_pasted_by_its_name(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(row_clipboard, "ask_open_rows", never)
    session = window.session
    edit, made = variant_edits.new_variant(session.project, "Two layers")
    session.apply(edit, made)
    QApplication.clipboard().setText("original\t140 g")
    window.recipe.work.paste()
    assert session.variant.lines[0].food_ref.id == "original"
    session.switch_variant("original")
    monkeypatch.setattr(row_clipboard, "ask_open_rows", lambda *_args: None)
    QApplication.clipboard().setText("two layers\t140 g")  # it would contain itself
    window.recipe.work.paste()
    assert all(x.food_ref.kind != "variant" for x in session.variant.lines)
