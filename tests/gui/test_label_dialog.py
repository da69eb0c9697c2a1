"""An own ingredient from a pack label: typed without the mouse, read as it is printed, doubted in words."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QDialog, QLineEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from tests.support import evaluation_of
from workbench.composition.food import Food
from workbench.ui.dialogs.label_dialog import LabelDialog

CRISP = ("1672", "398", "12,5", "2,1", "", "", "58", "18", "", "", "9", "8,9", "0,83", "")  # in the label's order
TICKED = 2


@pytest.fixture
def dialog(qtbot: QtBot) -> LabelDialog:
    return opened(qtbot, LabelDialog())


def opened(qtbot: QtBot, made: LabelDialog) -> LabelDialog:
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    made.activateWindow()
    made.name.setFocus()
    return made


def focused() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def enter(qtbot: QtBot, text: str = "") -> None:
    """Type into whatever has the keyboard, and go on with Enter."""
    widget = focused()
    if text:
        qtbot.keyClicks(widget, text)
    qtbot.keyClick(widget, Qt.Key.Key_Return)


def fill(dialog: LabelDialog, **lines: str) -> None:
    dialog.name.setText("Saltmarsh oat crisp")
    for key, text in lines.items():
        dialog.label.fields[key].setText(text)


def done_button(dialog: LabelDialog) -> QPushButton:
    return next(b for b in dialog.findChildren(QPushButton) if b.isDefault())


def test_a_whole_label_is_entered_without_the_mouse(dialog: LabelDialog, qtbot: QtBot) -> None:
    enter(qtbot, "Saltmarsh oat crisp")
    enter(qtbot)  # per 100 g
    enter(qtbot)  # no US label
    for text in CRISP:
        assert isinstance(focused(), QLineEdit)
        enter(qtbot, text)
    enter(qtbot)  # origin not stated
    enter(qtbot, "oat flakes 60 %, sugar, palm oil")
    qtbot.keyClick(focused(), Qt.Key.Key_End)  # allergens: as ticked
    enter(qtbot)
    table = focused()
    for key in (Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Right, Qt.Key.Key_Space):
        qtbot.keyClick(table, key)  # oats, contains
    enter(qtbot)
    for _field in ("kind of food", "kind of fat", "density", "pack"):
        enter(qtbot)
    assert focused() is done_button(dialog)
    enter(qtbot)
    assert dialog.result() == QDialog.DialogCode.Accepted
    food = dialog.food()
    assert (food.name, food.made_of) == ("Saltmarsh oat crisp", "oat flakes 60 %, sugar, palm oil")
    assert {tag: value.value for tag, value in food.values.items()} == pytest.approx(
        {
            "ENERC_KCAL": 398.0,
            "PROCNT": 8.9,
            "FAT": 12.5,
            "CHOAVLDF": 58.0,
            "FIBTG": 9.0,
            "SUGAR": 18.0,
            "FASAT": 2.1,
            "NA": 332.0,
        }
    )
    assert {(value.kind, value.source) for value in food.values.values()} == {("label", "Saltmarsh oat crisp")}
    assert food.contains == ("gluten_oats",)
    assert food.taken_from is not None
    assert food.taken_from.kind == "own"


def test_what_is_not_said_stays_unknown(dialog: LabelDialog) -> None:
    fill(dialog, fat="12,5", sugars="< 0.5 g")
    food = dialog.food()
    assert set(food.values) == {"FAT"}
    assert food.limits == {"SUGAR": 0.5}
    assert food.contains is None
    assert (food.origin, food.digestibility, food.fat_profile) == ("unknown", "", "")
    assert (food.density_g_per_ml, food.packs) == (None, ())
    assert "never count as zero" in dialog.not_known.text()
    assert "fibre" in dialog.not_known.text()
    dialog.label.fields["fibre"].setText("3")
    assert "fibre" not in dialog.not_known.text()


def test_nothing_on_the_label_is_another_answer_than_not_stated(dialog: LabelDialog) -> None:
    dialog.facts.allergens.choice.setCurrentIndex(1)
    assert dialog.facts.allergens.answer() == ((), ())
    dialog.facts.allergens.tick("milk", 1)
    dialog.facts.allergens.tick("hazelnut", 2)
    dialog.facts.allergens.tick("coconut", 2)
    assert dialog.facts.allergens.answer() == (("milk",), ("hazelnut", "coconut"))
    dialog.facts.allergens.tick("milk", 2)  # one or the other
    assert dialog.facts.allergens.answer() == ((), ("milk", "hazelnut", "coconut"))
    dialog.facts.allergens.choice.setCurrentIndex(0)
    assert dialog.facts.allergens.answer() == (None, ())


def test_a_tick_by_mouse(dialog: LabelDialog, qtbot: QtBot) -> None:
    allergens = dialog.facts.allergens
    allergens.choice.setCurrentIndex(TICKED)
    table = allergens.table
    cell = table.visualRect(table.model().index(1, 1)).center()
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=cell)
    assert allergens.answer() == (("gluten_rye",), ())
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=cell)
    assert allergens.answer() == ((), ())


def test_a_contradiction_is_said_beside_its_line_and_does_not_block(dialog: LabelDialog) -> None:
    fill(dialog, fat="12", saturates="14", energy_kj="398", energy_kcal="1672")
    said = dialog.findings.text()
    assert "✕ of which saturates: 14 g is more than fat, 12 g" in said
    assert "figures for kJ and kcal are swapped" in said
    assert "more than fat" in dialog.label.fields["saturates"].accessibleDescription()
    assert "swapped" in dialog.label.fields["energy_kj"].toolTip()
    assert done_button(dialog).isEnabled()
    dialog.label.fields["saturates"].setText("1,4")
    assert "more than fat" not in dialog.findings.text()
    assert dialog.label.fields["saturates"].accessibleDescription() == ""


def test_what_cannot_be_read_blocks_and_says_how_to_mend_it(dialog: LabelDialog) -> None:
    fill(dialog, fat="12..5", sugars="lots")
    assert not done_button(dialog).isEnabled()
    assert "fat: “12..5” is no figure. Type it as printed" in dialog.findings.text()
    assert "“lots” is no figure" in dialog.findings.text()  # all of them at once
    dialog.label.fields["fat"].setText("12.5")
    dialog.label.fields["sugars"].setText("")
    assert done_button(dialog).isEnabled()
    dialog.name.clear()
    assert not done_button(dialog).isEnabled()
    assert "needs a name" in dialog.findings.text()


def test_figures_per_serving_and_per_100_ml(dialog: LabelDialog) -> None:
    fill(dialog, fat="3")
    dialog.per.setCurrentIndex(dialog.per.findData("serving"))
    assert dialog.serving.isVisible()
    assert "no weight yet" in dialog.findings.text()
    assert not done_button(dialog).isEnabled()
    dialog.serving.setText("25 g")
    assert dialog.food().values["FAT"].value == 12.0
    dialog.per.setCurrentIndex(dialog.per.findData("100 ml"))
    assert "100 ml need a density" in dialog.findings.text()
    dialog.facts.in_order()[6].setText("1,2 g/ml")  # type: ignore[attr-defined]  # a line edit
    food = dialog.food()
    assert food.values["FAT"].value == pytest.approx(2.5)
    assert food.density_g_per_ml == 1.2


def test_a_us_label_counts_fibre_within_carbohydrate(dialog: LabelDialog) -> None:
    fill(dialog, carbohydrate="67", fibre="9")
    dialog.fibre_inside.setChecked(True)
    food = dialog.food()
    assert food.values["CHOCDF"].value == 67.0
    assert evaluation_of([(100.0, food)]).bound("CHOAVLDF", "batch").value == pytest.approx(58.0)


def test_a_kind_of_fat_gives_medium_chain_fat(dialog: LabelDialog) -> None:
    fill(dialog, fat="20")
    unknown = evaluation_of([(100.0, dialog.food())]).bound("mct_c6_c10", "batch")
    assert unknown.certainty == "not_known"
    dialog.facts.fat_profile.setCurrentIndex(dialog.facts.fat_profile.findData("coconut_kernel"))
    assert evaluation_of([(100.0, dialog.food())]).bound("mct_c6_c10", "batch").value == pytest.approx(2.63, abs=0.01)


def made(dialog: LabelDialog) -> Food:
    fill(dialog, fat="3", saturates="< 0.1", carbohydrate="16", salt="0.25", energy_kj="500")
    dialog.per.setCurrentIndex(dialog.per.findData("serving"))
    dialog.serving.setText("30 g")
    dialog.facts.origin.setCurrentIndex(dialog.facts.origin.findData("plant"))
    dialog.facts.allergens.tick("soya", 1)
    dialog.facts.in_order()[7].setText("0,5 kg")  # type: ignore[attr-defined]  # a line edit
    return dialog.food()


def test_an_own_food_is_changed_with_its_values_back_in_the_fields(dialog: LabelDialog, qtbot: QtBot) -> None:
    food = made(dialog)
    again = opened(qtbot, LabelDialog(food))
    assert again.name.text() == "Saltmarsh oat crisp"
    assert again.label.fields["fat"].text() == "10"
    assert again.label.fields["saturates"].text() == "< 0.33"
    assert again.label.fields["carbohydrate"].text() == "53.33"
    unchanged = again.food()
    assert unchanged.values == food.values  # no digit is lost by looking at it
    assert (unchanged.id, unchanged.origin, unchanged.contains) == (food.id, "plant", ("soya",))
    assert (unchanged.packs, unchanged.taken_from) == (food.packs, food.taken_from)
    again.label.fields["fat"].setText("11")
    changed = again.food()
    assert changed.values["FAT"].value == 11.0
    assert changed.values["CHOAVLDF"] == food.values["CHOAVLDF"]
    again.label.fields["carbohydrate"].clear()
    assert "CHOAVLDF" not in again.food().values


def test_every_field_comes_into_view_in_a_small_window(dialog: LabelDialog, qtbot: QtBot) -> None:
    dialog.resize(640, 360)  # 1280 x 720 at 200 %
    QApplication.processEvents()
    for _step in range(30):
        widget = focused()
        middle = widget.mapTo(dialog, widget.rect().center())
        assert dialog.rect().contains(middle), widget.accessibleName()
        qtbot.keyClick(widget, Qt.Key.Key_Tab)
        QApplication.processEvents()


def test_every_field_has_a_name_for_those_who_listen(dialog: LabelDialog) -> None:
    for field in dialog.label.fields.values():
        assert field.accessibleName()
    for field in (dialog.serving, *dialog.facts.in_order()):
        assert field.accessibleName()


def test_markup_that_is_typed_stays_what_was_typed(dialog: LabelDialog) -> None:
    fill(dialog, fat="<b>1</b>")
    assert dialog.findings.textFormat() == Qt.TextFormat.PlainText
    assert "“<b>1</b>” is no figure" in dialog.findings.text()
    assert "&lt;b&gt;" in dialog.label.fields["fat"].toolTip()
