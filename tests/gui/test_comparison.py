"""The comparison of variants: what it shows, that it follows the slider, and that it can be taken along."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from tests.support import make_food, make_line, make_project, make_variant
from workbench.base.settings import SettingsFile
from workbench.document import edits, variant_edits
from workbench.document.project import Assumptions, ByWeight, Project, Target, TargetSet, WaterLost
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import evaluate
from workbench.recipe.preparation import prepare
from workbench.recipe.side_by_side import column_of, side_by_side
from workbench.report.comparison.texts import comparison_tsv
from workbench.storage.project_file import save_project
from workbench.ui.comparing import Chosen
from workbench.ui.main_window import MainWindow
from workbench.ui.panels.comparison_page import ComparisonPage
from workbench.ui.plots.multiples import SmallChart

SUGARS = ("SUGAR", "GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS")
TAGS = (*SUGARS, "FAT", "PROCNT", "CHOCDF", "FIBTG", "STARCH", "NA", "WATER")
BASE = dict.fromkeys(TAGS, 0.0)
DEXTROSE = make_food("dextrose", BASE | {"GLUS": 100.0, "CHOCDF": 100.0, "SUGAR": 100.0})
BUTTER = make_food("butter", BASE | {"FAT": 80.0, "WATER": 20.0})
OIL = make_food("coconut oil", BASE | {"FAT": 100.0})
WATER = make_food("water", BASE | {"WATER": 100.0})
HUSK = make_food("husk", {"WATER": 50.0, "CHOCDF": 50.0, "SUGAR": 0.0, "FAT": 0.0, "PROCNT": 0.0})
AT_MOST_9_FAT = TargetSet(id="t", name="lean", targets=(Target(id="f", quantity="FAT", basis="portion", high=9.0),))


def squares() -> Project:
    """Pieces of 100 g: 20 g dextrose, 10 g butter or oil, 70 g water; the third holds husk, whose fibre is unknown."""
    lines = (make_line(DEXTROSE, 200.0), make_line(BUTTER, 100.0), make_line(WATER, 700.0))
    first = make_variant(*lines, id="first", name="Original", portioning=ByWeight(piece_g=100.0))
    swapped = (lines[0], replace(make_line(OIL, 100.0), id="butter"), lines[2])
    notes = "Oil for butter."
    second = replace(
        first,
        id="second",
        name="Race",
        parent_id="first",
        lines=swapped,
        pace_per_hour=2.0,
        target_set_id="t",
        notes=notes,
    )
    third = replace(second, id="third", name="Long ride", parent_id="second", lines=(*swapped, make_line(HUSK, 200.0)))
    return make_project(
        [DEXTROSE, BUTTER, OIL, WATER, HUSK], first, second, third, title="squares", target_sets=(AT_MOST_9_FAT,)
    )


class Shown:
    """The window with the comparison open."""

    def __init__(self, qtbot: QtBot, messages: FakeMessages, project: Project) -> None:
        messages.answers["ask_save"] = "discard"
        self.messages, self.settings = messages, SettingsFile()
        self.window = MainWindow(self.settings, lambda _theme: None, project, messages)  # type: ignore[arg-type]  # a fake
        qtbot.addWidget(self.window)
        self.window.resize(1600, 1200)
        self.window.show()
        qtbot.waitExposed(self.window)
        self.window.activateWindow()
        self.session, self.work = self.window.session, self.window.comparison
        self.session.switch_variant(self.session.project.variants[-1].id)
        self.window.action_table["details.comparison"].trigger()

    @property
    def page(self) -> ComparisonPage:
        return self.work.page()

    def chart(self, key: str) -> SmallChart:
        return next(chart for chart in self.page.sheet.charts.charts if chart.key == key)

    def figures(self, key: str) -> list[str]:
        return [f"{spot.text} {spot.change}".strip() for spot in self.chart(key).spots]

    def names(self) -> list[str]:
        return [line.badge.name for line in self.page.sheet.descent.lines]

    def drag(self, line: str, grams: float) -> None:
        self.session.preview(edits.set_amount(self.session.base, self.session.variant_id, line, grams))
        self.session.flush()


@pytest.fixture
def shown(qtbot: QtBot, messages: FakeMessages) -> Shown:
    return Shown(qtbot, messages, squares())


@pytest.fixture
def other_file(tmp_path: Path) -> Path:
    """Another project, whose only variant is a piece of butter."""
    bar = make_variant(make_line(BUTTER, 50.0), id="bar", name="Butter bar", portioning=ByWeight(piece_g=50.0))
    path = tmp_path / "bars.fare"
    save_project(path, make_project([BUTTER], bar, id="bars", title="bars", assumptions=Assumptions()))
    return path


def test_it_shows_every_variant_with_figure_change_target_and_descent(shown: Shown) -> None:
    assert shown.names() == ["Original", "Race", "Long ride"]
    assert [line.depth for line in shown.page.sheet.descent.lines] == [0, 1, 2]
    assert shown.page.sheet.descent.lines[1].note == "Oil for butter."
    assert shown.figures("FAT") == ["8.0", "10.0 +2.0", "8.3 +0.3"]
    marks = [spot.mark.word if spot.mark else "" for spot in shown.chart("FAT").spots]
    assert marks == ["", "over", "met"]
    assert shown.figures("FIBTG") == ["0.0", "0.0 =", "? ◇"]  # nothing says how much of the husk is fibre
    assert "Long ride: not known" in shown.page.sheet.charts.hint_for(  # type: ignore[misc]  # it has one
        [chart.key for chart in shown.page.sheet.charts.charts].index("FIBTG")
    )


def test_ingredients_stand_in_rows_with_their_signs(shown: Shown) -> None:
    rows = {row.name: row for row in shown.page.sheet.shares.rows}
    assert [(cell.sign, cell.text) for cell in rows["butter"].cells] == [("", "10.0"), ("⇄", "10.0"), ("⇄", "8.3")]
    assert rows["butter"].below == "BC coconut oil"
    assert [(cell.sign, cell.word) for cell in rows["husk"].cells][2] == ("+", "added")


def test_a_drag_changes_only_the_variant_being_edited_and_moves_nothing(shown: Shown) -> None:
    sheet = shown.page.sheet
    before, rows = sheet.charts.charts, sheet.shares.rows
    shown.drag("butter", 160.0)
    assert shown.figures("FAT") == ["8.0", "10.0 +2.0", "12.7 +4.7"]  # 160 g in 1260 g
    assert [chart.key for chart in sheet.charts.charts] == [chart.key for chart in before]
    assert [row.key for row in sheet.shares.rows] == [row.key for row in rows]
    for old, new in zip(before, sheet.charts.charts, strict=True):
        assert old.spots[:2] == new.spots[:2]
    for was, is_now in zip(rows, sheet.shares.rows, strict=True):
        assert [cell.text for cell in was.cells[:2]] == [cell.text for cell in is_now.cells[:2]]
    shown.session.commit()
    assert shown.figures("FAT")[2] == "12.7 +4.7"
    shown.session.undo_stack.undo()
    assert shown.figures("FAT")[2] == "8.3 +0.3"


def test_an_ingredient_dragged_to_nothing_keeps_its_row_until_the_hand_is_off(shown: Shown) -> None:
    before = [row.key for row in shown.page.sheet.shares.rows]
    shown.drag("husk", 0.0)
    assert [row.key for row in shown.page.sheet.shares.rows] == before
    shown.session.commit()
    assert [row.name for row in shown.page.sheet.shares.rows] == ["dextrose", "butter", "water"]


def test_an_hour_counts_the_pace_of_each(shown: Shown) -> None:
    shown.page.basis_choice.buttons["per_hour"].click()
    assert shown.figures("FAT") == ["24.0", "20.0 −4.0", "16.7 −7.3"]


def test_keys_choose_the_reference_leave_one_out_and_go_to_one(shown: Shown, qtbot: QtBot) -> None:
    descent = shown.page.sheet.descent
    descent.setFocus()
    qtbot.keyClick(descent, Qt.Key.Key_Down)
    qtbot.keyClick(descent, Qt.Key.Key_R)
    assert shown.figures("FAT") == ["10.0", "8.0 −2.0", "8.3 −1.7"]  # Race stands first now
    assert shown.names() == ["Original", "Race", "Long ride"]  # the descent is as it was
    qtbot.keyClick(descent, Qt.Key.Key_Delete)
    assert shown.names() == ["Original", "Long ride"]
    qtbot.keyClick(descent, Qt.Key.Key_Up)
    qtbot.keyClick(descent, Qt.Key.Key_Return)
    assert shown.session.variant_id == "first"
    qtbot.keyClick(descent, Qt.Key.Key_Delete)
    assert len(shown.names()) == 2  # fewer are no comparison


def test_who_is_passed_over_is_named_with_the_note(shown: Shown) -> None:
    shown.work.comparing.choose([Chosen("first"), Chosen("third")])
    last = shown.page.sheet.descent.lines[1]
    assert "by way of Race" in last.facts
    assert last.note.startswith("Race: Oil for butter.")


def test_a_deleted_variant_leaves_and_comes_back_with_undo(shown: Shown) -> None:
    shown.work.comparing.choose([Chosen("second"), Chosen("first"), Chosen("third")])
    session = shown.session
    session.apply(variant_edits.remove_variant(session.project, "second"), "third")
    assert shown.names() == ["Original", "Long ride"]
    assert shown.figures("FAT")[0] == "8.0"  # the next one is the reference
    session.undo_stack.undo()
    assert shown.figures("FAT")[0] == "10.0"


def test_leaving_one_out_does_not_forget_another_that_is_gone_for_now(shown: Shown, other_file: Path) -> None:
    bar = Chosen("bar", str(other_file))
    shown.work.comparing.choose([Chosen("first"), Chosen("second"), Chosen("third"), bar])
    session = shown.session
    session.apply(variant_edits.remove_variant(session.project, "second"), "third")
    shown.page.sheet.descent.removalAsked.emit(next(k for k, name in enumerate(shown.names()) if "Butter bar" in name))
    assert shown.names() == ["Original", "Long ride"]
    session.undo_stack.undo()
    assert shown.names() == ["Original", "Race", "Long ride"]


def test_the_variant_being_edited_can_be_compared_too(shown: Shown) -> None:
    shown.work.comparing.choose([Chosen("first"), Chosen("second")])
    assert "“Long ride”" in shown.page.notice.text()
    shown.page.add_button.click()
    assert shown.names() == ["Original", "Race", "Long ride"]
    assert not shown.page.notice.isVisible()


def test_the_choice_is_kept_for_the_project(shown: Shown, qtbot: QtBot, messages: FakeMessages) -> None:
    shown.work.comparing.choose([Chosen("third"), Chosen("first")])
    again = Shown(qtbot, messages, squares())
    assert again.figures("FAT") == ["8.3", "8.0 −0.3"]


def test_a_variant_of_another_file_stands_among_them_with_the_name_of_the_file(shown: Shown, other_file: Path) -> None:
    shown.messages.answers["ask_open"] = str(other_file)
    dialog = shown.work.choice_dialog()
    dialog.add_button.click()
    dialog.items()[-1].setCheckState(0, Qt.CheckState.Checked)
    shown.work.comparing.choose(dialog.choice())
    assert shown.names()[-1] == "Butter bar (bars)"
    assert shown.figures("FAT")[-1] == "40.0 +32.0"  # 80 % of 50 g


def test_files_of_the_same_name_are_told_apart_by_their_folders(shown: Shown, other_file: Path) -> None:
    copy = other_file.parent / "last year" / other_file.name
    copy.parent.mkdir()
    copy.write_bytes(other_file.read_bytes())
    shown.work.comparing.choose([Chosen("bar", str(other_file)), Chosen("bar", str(copy))])
    first, second = shown.names()
    assert "last year" not in first
    assert "last year" in second


def test_a_file_that_is_gone_or_broken_gets_one_message_in_place(shown: Shown, other_file: Path) -> None:
    shown.work.comparing.choose([*map(Chosen, ("first", "second")), Chosen("bar", str(other_file))])
    assert len(shown.names()) == 3
    other_file.write_text("{", encoding="utf-8")
    shown.page.begin()
    assert shown.names() == ["Original", "Race"]
    assert shown.page.notice.text().count("bars.fare") == 1
    other_file.unlink()
    shown.page.begin()
    assert "There is no such file" in shown.page.notice.text()
    assert shown.messages.told == []


def test_gaps_of_another_file_are_filled_as_this_project_says_now(shown: Shown, tmp_path: Path) -> None:
    """80 g carbohydrate less 2 g fibre less 20 g sugars are 58 g starch, where that may be said."""
    wafer = make_food("wafer", {"CHOCDF": 80.0, "FIBTG": 2.0, "SUGAR": 20.0, "FAT": 4.0, "PROCNT": 6.0, "WATER": 8.0})
    one = make_variant(make_line(wafer, 100.0), id="one", name="Wafer", portioning=ByWeight(piece_g=100.0))
    path = tmp_path / "wafers.fare"
    save_project(path, make_project([wafer], one, id="wafers", title="wafers"))
    shown.work.comparing.choose([Chosen("first"), Chosen("one", str(path))])

    def starch() -> Bound:
        side = shown.page.whole()
        assert side is not None
        return next(row for row in side.rows if row.quantity.key == "STARCH").bounds[1]

    assert starch().value == pytest.approx(58.0)
    rules = Assumptions(starch_by_difference=False)
    shown.session.apply(edits.set_assumptions(shown.session.project, rules))
    assert not starch().known


def test_without_a_choice_the_variant_on_screen_is_among_the_six(shown: Shown) -> None:
    session = shown.session
    for k in range(4):
        session.apply(variant_edits.new_variant(session.project, f"try {k}", "first")[0])
    last = session.project.variants[-1]
    session.switch_variant(last.id)
    assert len(shown.names()) == 6 and last.name in shown.names()


def test_two_to_six_can_be_ticked(shown: Shown) -> None:
    session = shown.session
    for k in range(4):
        session.apply(variant_edits.new_variant(session.project, f"try {k}", "first")[0])
    dialog = shown.work.choice_dialog()
    done = next(button for button in dialog.buttons.buttons() if button.text() == "done")
    for item in dialog.items():
        item.setCheckState(0, Qt.CheckState.Checked)
    assert (len(dialog.ticked()), done.isEnabled()) == (7, False)
    dialog.items()[0].setCheckState(0, Qt.CheckState.Unchecked)
    assert done.isEnabled()
    assert dialog.reference.count() == 6
    dialog.reject()


def test_the_copied_table_is_the_text_of_the_model(shown: Shown) -> None:
    project = squares()
    columns = [column_of(project, evaluate(prepare(project, variant))) for variant in project.variants]
    shown.page.buttons["table"].click()
    data = QApplication.clipboard().mimeData()
    assert data.text() == comparison_tsv(side_by_side(columns, 0, "portion"))
    assert "<table>" in data.html()


def test_the_copied_picture_leaves_out_what_is_folded_away(shown: Shown) -> None:
    shown.page.buttons["picture"].click()
    whole = QApplication.clipboard().image()
    for head in (shown.page.sheet.shares_head, shown.page.sheet.charts_head):
        head.click()
    shown.page.buttons["picture"].click()
    assert 0 < QApplication.clipboard().image().height() < whole.height() / 2


def test_it_is_saved_as_a_page(shown: Shown, tmp_path: Path) -> None:
    shown.messages.answers["ask_save_as"] = str(tmp_path / "meeting")
    shown.page.buttons["file"].click()
    assert (tmp_path / "meeting.pdf").read_bytes().startswith(b"%PDF")
    assert shown.messages.told[-1].endswith("written: “meeting.pdf”")  # it has one line
    assert not shown.page.notice.isVisible()
    edit = variant_edits.rename_variant(shown.session.project, "second", "Race 玉")
    shown.session.apply(edit)
    shown.page.buttons["file"].click()
    assert "玉" in shown.page.notice.text() and shown.page.notice.isVisible()
    assert "玉" not in shown.messages.told[-1]
    shown.session.undo_stack.undo()
    assert not shown.page.notice.isVisible(), "it is about another comparison"
    shown.messages.answers["ask_save_as"] = str(tmp_path / "nowhere" / "meeting.md")
    shown.page.buttons["file"].click()
    assert shown.messages.told[-1].startswith("error:")


def test_the_form_of_handing_over_takes_what_the_page_compares(shown: Shown, other_file: Path, tmp_path: Path) -> None:
    shown.work.comparing.choose([Chosen("third"), Chosen("bar", str(other_file)), Chosen("first")])
    shown.page.basis_choice.buttons["per_100g"].click()
    shown.messages.answers["ask_save_as"] = str(tmp_path / "page.csv")
    shown.page.buttons["file"].click()
    dialog = shown.window.handing_over.open()
    options = dialog.options
    options.what.setCurrentIndex(options.what.findData("compare"))
    options.ending.setCurrentIndex(options.ending.findData(".csv"))
    assert options.compared.text().splitlines()[:3] == [
        "A  Long ride, the reference",
        "B  Butter bar (bars)",
        "C  Original",
    ]
    dialog.file.setText(str(tmp_path / "form.csv"))
    dialog.write()
    assert (tmp_path / "form.csv").read_bytes() == (tmp_path / "page.csv").read_bytes()
    assert "Butter bar" in (tmp_path / "form.csv").read_text(encoding="utf-8-sig")
    options.ending.setCurrentIndex(options.ending.findData(".xlsx"))
    dialog.write()
    assert "bars" in dialog.report.toPlainText() and not (tmp_path / "form.xlsx").exists()
    dialog.close()


def test_with_one_variant_it_says_what_to_do(qtbot: QtBot, messages: FakeMessages) -> None:
    project = squares()
    shown = Shown(qtbot, messages, replace(project, variants=project.variants[:1]))
    assert "There is one variant so far" in shown.page.message.text()
    assert not shown.page.buttons["table"].isEnabled()
    edit, variant_id = variant_edits.new_variant(shown.session.project, "Race", "first")
    shown.session.apply(edit, variant_id)
    assert shown.names() == ["Original", "Race"]


def test_a_variant_without_a_result_says_why_and_shows_no_figure(shown: Shown) -> None:
    session = shown.session
    stage = replace(session.variant.stages[0], weight=WaterLost(amount=950.0))
    session.apply(edits.set_stage(session.project, "second", stage))
    assert shown.figures("FAT")[1] == "? ◇"
    assert "more water leaves than is there" in shown.page.sheet.descent.lines[1].note


def test_more_room_keeps_the_recipe_in_sight_and_can_be_taken_back(shown: Shown) -> None:
    splitter = shown.window.splitter
    before, width = splitter.sizes(), shown.page.width()
    shown.page.buttons["room"].click()
    assert shown.page.width() > width
    assert splitter.sizes()[0] >= shown.window.recipe.minimumSizeHint().width() > 0
    shown.page.buttons["room"].click()
    assert (splitter.sizes(), shown.page.width()) == (before, width)
