"""Handing over: one form for sheet, card, labels and declaration, with a look at what goes out."""

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, QPointF, Qt
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from workbench.base.settings import SettingsFile
from workbench.document import variant_edits
from workbench.ui.dialogs.hand_over_dialog import HandOverDialog
from workbench.ui.dialogs.hand_over_job import HandOver
from workbench.ui.dialogs.hand_over_memory import known_sheets, remembered
from workbench.ui.handing_over import HandingOver
from workbench.ui.main_window import MainWindow

Form = Callable[..., HandOverDialog]


@pytest.fixture
def form(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> Form:
    """Opens the form as a user does, chooses what, and gives the file a place."""

    def opened(what: str = "spec", ending: str = "") -> HandOverDialog:
        window.action_table["file.hand_over"].trigger()
        dialog = window.findChildren(HandOverDialog)[-1]
        dialog.options.what.setCurrentIndex(dialog.options.what.findData(what))
        if ending:
            dialog.options.ending.setCurrentIndex(dialog.options.ending.findData(ending))
        name_file(dialog, str(tmp_path / "out"))
        dialog.refresh()
        return dialog

    return opened


def name_file(dialog: HandOverDialog, name: str) -> None:
    dialog.file.clear()
    dialog.file.insert(name)
    dialog.file.textEdited.emit(name)


def told(dialog: HandOverDialog) -> str:
    return dialog.report.toPlainText()


def bold_words(dialog: HandOverDialog, beginning: str) -> list[str]:
    """The bold runs of the paragraph that begins so."""
    block = dialog.preview.text.document().begin()
    while block.isValid():
        if block.text().startswith(beginning):
            runs = [it.fragment() for it in block]
            return [run.text() for run in runs if run.charFormat().fontWeight() > 400]
        block = block.next()
    raise AssertionError(f"no paragraph begins with {beginning}")


# --- files ------------------------------------------------------------------------------------------------------------


def test_a_spec_sheet_is_written_and_a_bad_folder_is_mended_in_place(form: Form, tmp_path: Path) -> None:
    import openpyxl

    dialog = form("spec")
    name_file(dialog, str(tmp_path / "no such folder" / "sheet"))
    dialog.write_button.click()
    assert "no such folder" in told(dialog) and "does not exist" in told(dialog)
    assert list(tmp_path.iterdir()) == []
    name_file(dialog, str(tmp_path / "sheet"))
    dialog.write_button.click()
    assert "written" in told(dialog) and "does not exist" not in told(dialog)
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.xlsx"]
    book = openpyxl.load_workbook(tmp_path / "sheet.xlsx")
    words = [str(cell.value) for sheet in book for row in sheet for cell in row if cell.value is not None]
    assert any("maize meal, fine" in text for text in words)
    dialog.close()
    again = form("spec")
    name_file(again, str(tmp_path / "sheet"))
    assert "will be replaced" in again.file_note.text()


def test_what_is_shown_is_what_is_written(form: Form, tmp_path: Path) -> None:
    dialog = form("declaration", ".csv")
    shown = dialog.preview.text.toPlainText()
    dialog.write_button.click()
    assert (tmp_path / "out.csv").read_text(encoding="utf-8-sig").splitlines() == shown.splitlines()
    assert "coconut cream" in shown


def test_the_ending_follows_what_is_chosen_and_a_name_of_ones_own_stays(
    form: Form, messages: FakeMessages, tmp_path: Path
) -> None:
    dialog = form("spec", ".csv")
    messages.answers["ask_save_as"] = str(tmp_path / "version 1.2.csv")
    dialog._choose_file()
    dialog.options.what.setCurrentIndex(dialog.options.what.findData("card"))
    assert dialog.target() == tmp_path / "version 1.2.pdf"


def test_enter_ends_a_number_and_writes_only_from_the_name_of_the_file(
    form: Form, qtbot: QtBot, tmp_path: Path
) -> None:
    dialog = form("labels")
    start = dialog.options.labels.start
    start.setFocus()
    qtbot.keyClick(start, Qt.Key.Key_Return)
    assert list(tmp_path.iterdir()) == []
    dialog.file.setFocus()
    qtbot.keyClick(dialog.file, Qt.Key.Key_Return)
    assert [path.name for path in tmp_path.iterdir()] == ["out.pdf"]


@pytest.mark.parametrize("name", ["/", "no such folder/x", "a folder.xlsx", " ", "n" * 5000])
def test_names_that_cannot_be_are_said_and_leave_nothing(name: str, form: Form, tmp_path: Path) -> None:
    (tmp_path / "a folder.xlsx").mkdir()
    dialog = form("spec")
    name_file(dialog, name if name == "/" or not name.strip() else str(tmp_path / name))
    dialog.write()
    assert "✕" in told(dialog) or dialog.file_note.text() == "type a name for the file"
    assert [path.name for path in tmp_path.rglob("*")] == ["a folder.xlsx"]


# --- what goes out ----------------------------------------------------------------------------------------------------


def test_the_declaration_shows_its_allergens_emphasised(window: MainWindow, form: Form) -> None:
    window.documents.open_demo("maize_squares")
    dialog = form("declaration")
    # Regulation (EU) No 1169/2011, Article 21(1)(b): the allergen stands out wherever it is named.
    assert set(bold_words(dialog, "ingredients")) == {"MILK", "EGG"}
    assert "kJ" in dialog.preview.text.toPlainText()


def test_the_preview_follows_by_itself_and_the_newest_choice_wins(window: MainWindow, form: Form, qtbot: QtBot) -> None:
    window.documents.open_demo("maize_squares")
    dialog = form("declaration")
    before = dialog.preview.text.toPlainText()
    dialog.look()  # under way, and too late
    dialog.options.rules.setCurrentIndex(dialog.options.rules.findData("us"))
    assert dialog.preview.text.toPlainText() == before, "what was there stays until the next is made"
    qtbot.waitUntil(lambda: "calories" in dialog.preview.text.toPlainText(), timeout=30_000)
    qtbot.waitUntil(lambda: dialog.preview.text.toPlainText().endswith("professional decide."))
    by_itself = dialog.preview.text.toPlainText()
    dialog.refresh()
    assert dialog.preview.text.toPlainText() == by_itself != before


def test_the_chosen_paper_and_rules_reach_what_goes_out(window: MainWindow, form: Form, tmp_path: Path) -> None:
    window.documents.open_demo("maize_squares")
    dialog = form("card")
    dialog.options.paper.setCurrentIndex(dialog.options.paper.findData("letter"))
    dialog.write_button.click()
    assert b"/MediaBox [0 0 612.00 792.00]" in (tmp_path / "out.pdf").read_bytes()  # US Letter: 8.5 × 11 inches
    dialog.options.what.setCurrentIndex(dialog.options.what.findData("declaration"))
    dialog.options.rules.setCurrentIndex(dialog.options.rules.findData("us"))
    dialog.refresh()
    shown = re.findall(r"\n(\d+) kcal\n(\d+) kcal", dialog.preview.text.toPlainText())
    # 21 CFR 101.9(c)(1): above 50 calories in steps of 10
    assert len(shown) == 4 and all(int(figure) % 10 == 0 for row in shown for figure in row)


def test_signs_that_no_font_has_are_said_before_and_after_writing(form: Form, tmp_path: Path) -> None:
    dialog = form("card")
    assert told(dialog) == ""
    dialog.options.title.setText("squares 玉")
    dialog.refresh()
    assert "玉" in told(dialog) and "□" in told(dialog)
    dialog.write_button.click()
    assert "written" in told(dialog) and "玉" in told(dialog)
    assert (tmp_path / "out.pdf").read_bytes().startswith(b"%PDF")


def test_a_variant_without_a_result_is_said_and_left_out(window: MainWindow, form: Form, tmp_path: Path) -> None:
    session = window.session
    made, _variant_id = variant_edits.new_variant(session.project, "Bare")
    session.apply(made)
    dialog = form("declaration")
    rows = [dialog.options.variants.item(k).text() for k in range(dialog.options.variants.count())]
    assert rows[0] == "Original"
    assert rows[1].startswith("✕ Bare: left out.") and len(rows[1]) > len("✕ Bare: left out. ")
    assert [each.variant.id for each in dialog.options.chosen()] == ["original"]
    assert "Bare" not in dialog.preview.text.toPlainText()
    assert rows[1] in told(dialog)
    dialog.options.variants.item(0).setCheckState(Qt.CheckState.Unchecked)
    dialog.refresh()
    assert "No variant is chosen" in told(dialog)
    assert not dialog.write_button.isEnabled()


def test_a_comparison_of_one_variant_is_refused_in_words(window: MainWindow, form: Form, tmp_path: Path) -> None:
    dialog = form("compare", ".md")
    assert not dialog.write_button.isEnabled()
    assert "needs two variants" in told(dialog)
    assert list(tmp_path.iterdir()) == []


# --- labels -----------------------------------------------------------------------------------------------------------


def test_labels_begin_where_the_sheet_is_clicked_and_taken_ones_are_struck_out(
    form: Form, qtbot: QtBot, tmp_path: Path
) -> None:
    dialog = form("labels")
    picture = dialog.preview.picture
    qtbot.waitUntil(lambda: picture.page_area().width() > 200)
    assert "20 labels; the next free one on the last sheet is 21" in dialog.preview.caption.text()

    def middle_of(row: int, column: int) -> QPointF:  # of 8 rows and 3 columns on A4
        area = picture.page_area()
        return QPointF(area.left() + (column + 0.5) * area.width() / 3, area.top() + (row + 0.5) * area.height() / 8)

    qtbot.mouseClick(picture, Qt.MouseButton.LeftButton, pos=middle_of(1, 1).toPoint())
    assert dialog.options.labels.start.value() == 5
    dialog.refresh()
    image = picture.grab().toImage()

    def ground(row: int, column: int) -> QColor:
        at = middle_of(row, column) + QPointF(0.12 * picture.page_area().width(), 0)  # right of all words
        return image.pixelColor(at.toPoint())

    assert ground(1, 0).lightness() < 240 < ground(1, 2).lightness()
    assert "the last sheet is full" in dialog.preview.caption.text()  # 20 squares from the fifth of 24 labels
    assert dialog.preview.where.text() == "page 1 of 1"
    assert len([m for m in dialog.preview._pages[0].marks if getattr(m, "text", "") == "Saltmarsh maize squares"]) == 20
    dialog.write_button.click()
    assert (tmp_path / "out.pdf").exists()


def test_use_by_is_a_day_after_it_was_made_and_another_is_judged(form: Form) -> None:
    dialog = form("labels")
    dates = dialog.options.dates
    dates.made.given.setChecked(True)
    dates.made.date.setDate(QDate(2026, 2, 28))
    assert "2026-03-01" in dates.hint.text() and "cautious default" in dates.hint.text()
    dates.use_by.given.setChecked(True)
    dates.use_by.date.setDate(QDate(2026, 3, 4))
    assert dates.hint.text().startswith("▲ later than the cautious default, 2026-03-01")
    dates.use_by.date.setDate(QDate(2026, 2, 27))
    dialog.refresh()
    assert "before the day it was made" in told(dialog)
    assert not dialog.write_button.isEnabled()
    assert dialog.choice().use_by == date(2026, 2, 27)


def test_an_impossible_sheet_is_refused_in_words_until_it_is_mended(form: Form) -> None:
    dialog = form("labels")
    labels = dialog.options.labels
    labels.sheet.setCurrentIndex(labels.sheet.findData(""))
    labels.counts["columns"].setValue(4)  # of 70 mm on 210 mm
    dialog.refresh()
    assert "70.0 mm wider than the page" in told(dialog)
    assert not dialog.write_button.isEnabled()
    labels.lengths["label_width_mm"].setValue(52.5)
    dialog.refresh()
    assert dialog.write_button.isEnabled()


# --- the next time ----------------------------------------------------------------------------------------------------


def test_paper_and_sheet_are_remembered_but_not_the_words_of_another_project(
    window: MainWindow, form: Form, tmp_path: Path
) -> None:
    dialog = form("labels")
    dialog.options.labels.sheet.setCurrentIndex(dialog.options.labels.sheet.findData("a4-40"))
    dialog.options.labels.start.setValue(7)
    dialog.options.dates.lot.setText("L-12")
    dialog.write_button.click()
    dialog.close()
    again = form("labels")
    kept = again.choice()
    assert (kept.sheet_name, kept.start, kept.lot, again.folder) == ("a4-40", 7, "L-12", tmp_path)
    again.close()
    window.documents.open_demo("maize_squares")
    other = form("labels").choice()
    assert (other.sheet_name, other.start, other.lot) == ("a4-40", 7, "")


def reopened(window: MainWindow) -> HandOverDialog:
    """The form as it opens after the program was started again."""
    settings = SettingsFile(window.handing_over._settings.path)
    return HandingOver(
        window.session, window.messages, window.documents, settings, window.comparison.at_hand, window
    ).open()


def test_choices_and_a_named_label_sheet_survive_a_restart(window: MainWindow, form: Form) -> None:
    dialog = form("labels")
    labels = dialog.options.labels
    labels.sheet.setCurrentIndex(labels.sheet.findData(""))
    for name, box in (*labels.lengths.items(), *labels.counts.items()):
        box.setValue({"label_width_mm": 60, "label_height_mm": 30, "columns": 3, "rows": 9}.get(name, 5))
    labels.lengths["page_width_mm"].setValue(210)
    labels.lengths["page_height_mm"].setValue(330)
    assert not labels.keep.isEnabled()
    labels.name.setText("club printer")
    labels.keep.click()
    assert labels.sheet.currentText() == "club printer"
    dialog.options.rules.setCurrentIndex(dialog.options.rules.findData("us"))
    labels.start.setValue(12)
    dialog.close()
    again = reopened(window)
    labels = again.options.labels
    assert (labels.sheet.currentText(), labels.start.value()) == ("club printer", 12)
    assert again.choice()[:1] + again.choice()[4:6] == ("labels", "a4", "us")
    assert again.choice().sheet.label_width_mm == 60 and again.choice().sheet.labels == 27
    labels.sheet.setCurrentIndex(0)
    again.close()
    third = reopened(window)
    labels = third.options.labels
    labels.sheet.setCurrentIndex(labels.sheet.findText("club printer"))
    assert third.choice().sheet.page_height_mm == 330
    labels.forget.click()
    assert labels.sheet.currentData() == "" and third.choice().sheet.page_height_mm == 330
    third.close()
    assert reopened(window).options.labels.sheet.findText("club printer") == -1


@pytest.mark.parametrize(
    "kept",
    [
        {"what": "fax", "paper": "papyrus", "rules": 3, "start": -4, "copies": "many", "own_sheet": [1, 2]},
        {"sheet_name": "none such", "endings": [["spec", ".exe"]], "dated": None, "later version": {}},
    ],
)
def test_settings_that_make_no_sense_are_as_if_nothing_was_chosen(kept: dict[str, object]) -> None:
    assert remembered(kept, "metric") == HandOver()
    assert known_sheets({"a": [1, 2], "b": "x", "c": [0.0] * 10}) == {}


def test_us_measures_begin_with_us_paper_and_law() -> None:
    choice = remembered({}, "us")
    assert (choice.paper, choice.rules, choice.sheet_name) == ("letter", "us", "letter-30")
