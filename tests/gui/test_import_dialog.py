"""Importing a table in the window: four steps from a file to ingredients, with errors in place and a way to stop."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from openpyxl import Workbook
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from tests.unit.composition.imports.tables import FDC, write_files
from workbench.base import paths
from workbench.base.settings import SettingsFile
from workbench.composition.food import TakenFrom
from workbench.composition.library.store import Library
from workbench.ui.dialogs.import_dialog import ImportDialog
from workbench.ui.main_window import MainWindow

ENTER, ESCAPE = Qt.Key.Key_Return, Qt.Key.Key_Escape
MILL = """Code,Food,Water (g/100g),Protein (g/100g),Fat (g/100g),Carbohydrate (g/100g),Fibre (g/100g),Sodium (mg/100g)
1,millet flakes,10.0,11.0,3.8,,8.2,5
2,saltmarsh emmer,9.4,13.3,2.4,,8.0,<2
3,sorghum puffs,8.0,,3.1,,tr,7
"""


@pytest.fixture
def dialog(qtbot: QtBot, window: MainWindow) -> Iterator[ImportDialog]:
    made = ImportDialog(SettingsFile(), window)
    qtbot.addWidget(made)
    made.imported.connect(window.library.was_imported)
    made.show()
    yield made
    made.done(0)


def ended(qtbot: QtBot, dialog: ImportDialog) -> None:
    qtbot.waitUntil(lambda: not dialog.background.running, timeout=30_000)


def looked(qtbot: QtBot, dialog: ImportDialog, path: Path) -> None:
    """Type the path and press Enter."""
    dialog.path.clear()
    qtbot.keyClicks(dialog.path, str(path))
    qtbot.keyClick(dialog.path, ENTER)
    ended(qtbot, dialog)


def pressed(qtbot: QtBot, dialog: ImportDialog) -> None:
    """Press Enter where the keyboard is: the step's own button."""
    assert dialog.next_button.isEnabled(), dialog.message.text()
    qtbot.keyClick(dialog.next_button, ENTER)
    ended(qtbot, dialog)


def written(tmp_path: Path, text: str, name: str = "mill.csv") -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def cells(dialog: ImportDialog) -> list[list[str]]:
    """The preview with its titles."""
    sample = dialog.sample
    titles = [sample.horizontalHeaderItem(k).text().split("\n") for k in range(sample.columnCount())]
    names = [" ".join(lines[:-1]) or lines[0] for lines in titles]
    rows = [[sample.item(k, j).text() for j in range(sample.columnCount())] for k in range(sample.rowCount())]
    return [names, *rows]


def choose(dialog: ImportDialog, column: str, target: str, unit: str = "") -> None:
    """Say what a column is, as a hand would."""
    table = dialog.columns.table
    at = next(k for k in range(table.rowCount()) if table.item(k, 0).text() == column)
    table.setCurrentCell(at, 0)
    for box, data in ((dialog.columns.target, target), (dialog.columns.unit, unit)):
        index = box.findData(data)
        assert index >= 0
        if index != box.currentIndex():
            box.setCurrentIndex(index)
            box.activated.emit(index)
            return


def test_a_table_comes_in_and_its_foods_are_found_marked_and_taken_as_snapshots(
    qtbot: QtBot, window: MainWindow, dialog: ImportDialog, tmp_path: Path
) -> None:
    table = MILL.replace(",Carbohydrate (g/100g)", "").replace(",,8", ",8").replace(",,tr", ",tr")
    looked(qtbot, dialog, written(tmp_path, table))
    assert dialog.step == 1 and "one row a food" in dialog.found.text()
    titles, flakes, flour, puffs = cells(dialog)
    assert flakes[:2] == ["1", "millet flakes"] and flakes[titles.index("protein")] == "11.0"
    assert flour[titles.index("sodium")] == "< 2"
    assert puffs[titles.index("protein")] == "–" and puffs[titles.index("fibre")] == "< 0.1"
    pressed(qtbot, dialog)
    assert dialog.step == 2 and dialog.counts.text().startswith("3 foods of 3 rows")
    assert "traces, taken as “less than”" in dialog.findings.toPlainText()
    assert not paths.library().exists(), "a dry run writes nothing"
    pressed(qtbot, dialog)
    assert dialog.step == 3 and "“mill” is in the library" in dialog.summary.words.text()
    assert "3 foods are new" in dialog.summary.words.text()
    pressed(qtbot, dialog)
    assert not dialog.isVisible()

    box = window.add_box
    qtbot.keyClicks(box.line, "saltmarsh emm")
    assert box.results.model().index(0, 0).data() == "saltmarsh emmer  ▤ mill"
    qtbot.keyClick(box.line, ENTER)
    line = next(line for line in window.session.variant.lines if line.food_ref.kind == "library")
    food = window.session.project.foods[line.food_ref.id]
    assert food.name == "saltmarsh emmer"
    assert isinstance(food.taken_from, TakenFrom) and food.taken_from.kind == "library"
    assert food.values["PROCNT"].value == 13.3 and "NA" not in food.values and food.limits["NA"] == 2.0
    window.session.undo_stack.undo()
    assert line.food_ref.id not in window.session.project.foods
    with Library.open(readonly=True) as library:
        assert library.count() == 3, "undoing in the project writes nothing to the library"


def test_what_the_table_leaves_open_is_asked_before_it_can_be_tried(
    qtbot: QtBot, dialog: ImportDialog, tmp_path: Path
) -> None:
    looked(qtbot, dialog, written(tmp_path, MILL.replace(",,8", ",70,8")))
    assert "Does carbohydrate include fibre?" in dialog.message.text()
    assert not dialog.next_button.isEnabled()
    answer = dialog.choices.boxes["carbohydrate"]
    assert answer.isVisible() and answer.currentText() == "▲ please choose"
    answer.setCurrentIndex(answer.findData("without_fibre"))
    answer.activated.emit(answer.currentIndex())
    ended(qtbot, dialog)
    assert dialog.message.text() == "" and dialog.next_button.isEnabled()
    titles, flakes, *_others = cells(dialog)
    assert flakes[titles.index("carbohydrate (without fibre)")] == "70.0"


def test_drinks_given_by_volume_come_in_with_a_density(qtbot: QtBot, dialog: ImportDialog, tmp_path: Path) -> None:
    looked(qtbot, dialog, write_files(tmp_path / "fdc", FDC))
    density = dialog.choices.factors["density_g_per_ml"]
    pressed(qtbot, dialog)
    assert dialog.counts.text().startswith("2 foods of 4 rows")
    assert "have no density: 1 (Oat drink). Say a density" in dialog.findings.toPlainText()
    dialog.back_button.click()
    assert density.isVisible()
    density.setFocus()
    density.selectAll()
    qtbot.keyClicks(density, "1.03")
    qtbot.keyClick(density, Qt.Key.Key_Tab)
    ended(qtbot, dialog)
    assert not dialog.choices.factors["nitrogen_factor"].isVisible(), "protein is not restated"
    pressed(qtbot, dialog)
    assert dialog.counts.text().startswith("3 foods of 4 rows")


def test_a_column_is_read_as_the_user_says_in_the_unit_that_fits(
    qtbot: QtBot, dialog: ImportDialog, tmp_path: Path
) -> None:
    table = "Food,Fat,Protein,Kieselstaub\nmillet flakes,3.8,11,1500\nteff flour,2.4,13,\n"
    looked(qtbot, dialog, written(tmp_path, table))
    assert "ash" not in cells(dialog)[0] and "1 is left out" in dialog.found.text()
    choose(dialog, "Kieselstaub", "ASH")
    ended(qtbot, dialog)
    assert "ash" not in cells(dialog)[0], "1500 g in 100 g cannot be"
    choose(dialog, "Kieselstaub", "ASH", "mg")
    ended(qtbot, dialog)
    titles, flakes, flour = cells(dialog)
    assert flakes[titles.index("ash")] == "1.5" and flour[titles.index("ash")] == "–"
    pressed(qtbot, dialog)
    pressed(qtbot, dialog)

    again = ImportDialog(SettingsFile(), dialog)
    qtbot.addWidget(again)
    again.show()
    looked(qtbot, again, written(tmp_path, table.replace("3.8,11", "4.1,11"), "next year.csv"))
    titles, flakes, *_others = cells(again)
    assert flakes[titles.index("ash")] == "1.5", "what was chosen for these columns is remembered"
    assert "as you chose last time" in again.found.text()


def test_another_sheet_of_a_workbook_is_read_where_the_likeliest_is_not_meant_and_again_next_time(
    qtbot: QtBot, window: MainWindow, dialog: ImportDialog, tmp_path: Path
) -> None:
    book, path = Workbook(), tmp_path / "mill.xlsx"
    book.active.title = "2025"
    for sheet, fat in ((book.active, 3.8), (book.create_sheet("2026"), 4.1), (book.create_sheet("remarks"), None)):
        rows = [("Food", "Fat (g)", "Protein (g)", "Fibre (g)"), ("millet flakes", fat, 11, 8.2)]
        for row in rows if fat else [("dear reader",)]:
            sheet.append(row)
    book.save(path)
    looked(qtbot, dialog, path)
    ways = dialog.ways
    assert [ways.sheet.itemText(k) for k in range(ways.sheet.count())] == ["2025", "2026"], "remarks hold no table"
    assert ways.sheet.currentText() == "2025" and cells(dialog)[1][cells(dialog)[0].index("fat")] == "3.8"
    first_key = dialog.choices.key.text()
    ways.sheet.setFocus()
    qtbot.keyClick(ways.sheet, Qt.Key.Key_Down)
    ended(qtbot, dialog)
    titles, flakes = cells(dialog)
    assert flakes[titles.index("fat")] == "4.1" and ways.sheet.hasFocus()
    assert dialog.choices.key.text() == f"{first_key}_2026", "it must not replace the other sheet in the library"
    pressed(qtbot, dialog)
    pressed(qtbot, dialog)
    assert dialog.step == 3

    again = ImportDialog(SettingsFile(), dialog)
    qtbot.addWidget(again)
    again.show()
    looked(qtbot, again, path)
    assert again.ways.sheet.currentText() == "2026"
    looked_at_one = ImportDialog(SettingsFile(), dialog)
    qtbot.addWidget(looked_at_one)
    looked(qtbot, looked_at_one, written(tmp_path, MILL.replace(",,8", ",8")))
    assert not looked_at_one.ways.isVisibleTo(looked_at_one), "where there is one answer nothing is asked"


def test_a_table_that_can_be_read_in_two_ways_is_read_as_the_user_says(
    qtbot: QtBot, dialog: ImportDialog, tmp_path: Path
) -> None:
    rows = "1;millet flakes;water;10;g;3.8;11\n1;millet flakes;ash;1.2;g;3.8;11\n"
    table = f"Code;Food;Component;Value;Unit;Fat (g);Protein (g)\n{rows}"
    looked(qtbot, dialog, written(tmp_path, table, "sheet.csv"))
    box = dialog.ways.layout_box
    assert not dialog.ways.sheet.isVisibleTo(dialog)
    offered = [box.itemText(k) for k in range(box.count())]
    assert offered == ["one row a food, one column a component", "one row a value"]
    assert "fat" in cells(dialog)[0] and "ash" not in cells(dialog)[0]
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Down)
    ended(qtbot, dialog)
    titles, flakes = cells(dialog)
    assert (flakes[titles.index("water")], flakes[titles.index("ash")]) == ("10.0", "1.2") and "fat" not in titles


def test_an_import_that_is_stopped_leaves_the_library_as_it_was(
    qtbot: QtBot, dialog: ImportDialog, tmp_path: Path
) -> None:
    rows = "".join(f"{k},food {k},{k % 90},1,2\n" for k in range(20_000))
    looked(qtbot, dialog, written(tmp_path, f"Code,Food,Water (g),Protein (g),Fat (g)\n{rows}", "large.csv"))
    pressed(qtbot, dialog)
    assert dialog.step == 2
    qtbot.keyClick(dialog.next_button, ENTER)
    qtbot.waitUntil(lambda: dialog.bar.value() > 0, timeout=30_000)
    assert dialog.isVisible() and dialog.cancel_button.text() == "stop"
    qtbot.keyClick(dialog, ESCAPE)
    ended(qtbot, dialog)
    assert dialog.step == 2 and "Stopped on request; nothing was changed." in dialog.message.text()
    with Library.open() as library:
        assert library.count() == 0 and library.next_undo() is None and not library.tables()


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("notes.csv", "dear diary\nnothing here\n", "The layout of this table is not known."),
        ("gone.csv", None, "There is no such file or folder."),
        ("table.zip", "PK no zip", "▲"),
    ],
)
def test_a_file_that_is_no_table_is_said_in_place(
    qtbot: QtBot, dialog: ImportDialog, tmp_path: Path, name: str, text: str | None, words: str
) -> None:
    path = tmp_path / name if text is None else written(tmp_path, text, name)
    looked(qtbot, dialog, path)
    assert dialog.step == 0 and dialog.message.text().startswith("▲") and words in dialog.message.text()
    assert dialog.path.isEnabled() and dialog.next_button.isEnabled(), "another file can be tried"


def test_a_name_that_the_library_cannot_keep_is_said_before_anything_is_read(
    qtbot: QtBot, dialog: ImportDialog, tmp_path: Path
) -> None:
    looked(qtbot, dialog, written(tmp_path, "Food,Fat,Protein\nteff flour,2.4,13.3\n"))
    dialog.choices.key.clear()
    qtbot.keyClicks(dialog.choices.key, "mill:2")
    qtbot.keyClick(dialog.next_button, ENTER)
    assert not dialog.background.running and dialog.step == 1
    assert "“mill:2” cannot be the short name" in dialog.message.text()
