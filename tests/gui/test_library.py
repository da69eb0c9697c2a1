"""The user's library in the window: opened at first use, changed and undone, never in the way when in trouble."""

import contextlib
import json
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages, maize_square
from tests.gui.test_accessibility import nameless, takers
from tests.support import make_food
from workbench.base import paths
from workbench.base.files import FileLock
from workbench.base.progress import Progress
from workbench.base.settings import SettingsFile
from workbench.composition.food import Food, Pack
from workbench.composition.imports.detection import detect, make_plan
from workbench.composition.imports.running import read
from workbench.composition.imports.tally import Tally
from workbench.composition.library.store import Library
from workbench.document.edits import set_amount
from workbench.document.variant_edits import new_variant
from workbench.ui.dialogs.import_dialog import ImportDialog
from workbench.ui.dialogs.label_dialog import LabelDialog
from workbench.ui.dialogs.library_dialog import LibraryDialog
from workbench.ui.dialogs.replace_dialog import ReplaceDialog
from workbench.ui.main_window import MainWindow

DOWN, ENTER = Qt.Key.Key_Down, Qt.Key.Key_Return


def kept(*foods: Food) -> None:
    with Library.open() as library:
        library.put_all(foods, words="kept by the test")


@pytest.fixture
def jam() -> Food:
    return replace(make_food("sloe jam", {"FAT": 0.1, "CHOCDF": 60.0, "FIBTG": 2.0}), id="jam-1", taken_from=None)


@pytest.fixture
def dialog(qtbot: QtBot, window: MainWindow, jam: Food) -> Iterator[LibraryDialog]:
    kept(jam, replace(jam, id="jam-2", name="rowan jam"))
    made = LibraryDialog(window)
    qtbot.addWidget(made)
    made.show()
    settled(qtbot, made)
    yield made
    made.done(0)


def settled(qtbot: QtBot, dialog: LibraryDialog) -> None:
    qtbot.waitUntil(dialog.is_settled, timeout=10_000)


def names(dialog: LibraryDialog) -> list[str]:
    return [dialog.foods.topLevelItem(k).text(0) for k in range(dialog.foods.topLevelItemCount())]


def offered(qtbot: QtBot, window: MainWindow, text: str) -> list[str]:
    """What the add box finds."""
    window.add_box.line.clear()
    qtbot.keyClicks(window.add_box.line, text)
    model = window.add_box.results.model()
    return [str(model.index(k, 0).data()) for k in range(model.rowCount())]


def test_neither_the_start_nor_a_search_makes_a_library(qtbot: QtBot, window: MainWindow) -> None:
    QApplication.processEvents()
    assert "milk, whole" in offered(qtbot, window, "milk")[0]
    assert not paths.library().exists()


def test_own_foods_are_found_with_the_bundled_ones_and_say_where_they_are_from(
    qtbot: QtBot, window: MainWindow, jam: Food
) -> None:
    kept(jam)
    assert offered(qtbot, window, "sloe jam")[0] == "sloe jam  ▤ your library"
    qtbot.keyClick(window.add_box.line, ENTER)
    assert window.session.project.foods["jam-1"].values["CHOCDF"].value == 60.0
    assert offered(qtbot, window, "sloe jam")[0] == "sloe jam  • in this project"


def broken(path: Path) -> None:
    path.write_bytes(b"no database at all" * 500)


def newer(path: Path) -> None:
    kept(make_food("jam", {"FAT": 0.1}))
    with contextlib.closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA user_version = 99")


@pytest.mark.parametrize(("spoil", "words"), [(broken, "not a library"), (newer, "has version 99")])
def test_a_library_in_trouble_is_said_where_one_searches_and_the_rest_is_found(
    qtbot: QtBot, window: MainWindow, spoil: object, words: str
) -> None:
    window.upkeep.first.stop()  # else it might be mended
    paths.library().parent.mkdir(parents=True, exist_ok=True)
    assert callable(spoil)
    spoil(paths.library())
    first, *_others, last = offered(qtbot, window, "milk, whole")
    assert "milk, whole" in first
    assert last.startswith("▲ without the library") and words in last
    qtbot.keyClick(window.add_box.line, ENTER)
    assert window.session.variant.lines[-1].food_ref.kind == "bundled"
    replacing = ReplaceDialog(window.session, window.session.variant.lines[-1], "milk", window)
    qtbot.addWidget(replacing)
    qtbot.keyClicks(replacing.search, "milk")
    model = replacing.results.model()
    assert words in str(model.index(model.rowCount() - 1, 0).data())


def test_a_deactivated_food_is_found_no_more_until_the_library_undoes_it(
    qtbot: QtBot, window: MainWindow, dialog: LibraryDialog
) -> None:
    assert names(dialog) == ["rowan jam", "sloe jam"]
    qtbot.keyClick(dialog.foods, DOWN)
    settled(qtbot, dialog)
    assert dialog.food.about.text().startswith("sloe jam\nyour own")
    dialog.food.active_button.click()
    settled(qtbot, dialog)
    assert names(dialog) == ["rowan jam"] and "listed under “deactivated”" in dialog.message.text()
    assert not any("sloe" in text for text in offered(qtbot, window, "sloe jam"))
    dialog.show_box.setCurrentIndex(2)
    dialog.show_box.activated.emit(2)
    settled(qtbot, dialog)
    assert names(dialog) == ["sloe jam"] and dialog.food.active_button.text() == "reactivate"
    assert dialog.undo_button.text() == "undo: food deactivated"
    dialog.undo_button.click()
    settled(qtbot, dialog)
    assert names(dialog) == [] and dialog.redo_button.isEnabled()
    assert offered(qtbot, window, "sloe jam")[0].startswith("sloe jam")


def test_a_price_is_kept_with_its_currency_and_date(qtbot: QtBot, window: MainWindow, dialog: LibraryDialog) -> None:
    packs = dialog.goods.packs
    packs.add_button.click()
    assert packs.message.text() == "▲ say how much is in the pack"
    packs.pack_size.setValue(340.0)
    packs.price.setValue(3.2)
    packs.add_button.click()
    assert "three letters" in packs.message.text(), "a price without a currency says nothing"
    qtbot.keyClicks(packs.currency, "eur")
    packs.add_button.click()
    settled(qtbot, dialog)
    assert packs.list.item(0).text().startswith("340 g   3.20 EUR   20")
    dialog.accept()
    offered(qtbot, window, "rowan jam")
    qtbot.keyClick(window.add_box.line, ENTER)
    (pack,) = window.session.project.foods["jam-2"].packs
    assert isinstance(pack, Pack) and (pack.size_g, pack.price, pack.currency) == (340.0, 3.2, "EUR")


def test_a_food_is_entered_from_its_label_and_its_label_changed(
    qtbot: QtBot, dialog: LibraryDialog, monkeypatch: pytest.MonkeyPatch
) -> None:
    def typed(field: str, text: str) -> Callable[[QWidget, Food | None], Food]:
        def answer(parent: QWidget, food: Food | None = None) -> Food:
            form = LabelDialog(food, parent)
            qtbot.addWidget(form)
            if food is None:
                qtbot.keyClicks(form.name, "damson cheese")
            form.label.fields[field].setText(text)
            return form.food()

        return answer

    monkeypatch.setattr("workbench.ui.dialogs.label_dialog.ask_label", typed("carbohydrate", "61"))
    qtbot.keyClick(dialog.enter_button, Qt.Key.Key_Space)
    settled(qtbot, dialog)
    assert names(dialog) == ["damson cheese", "rowan jam", "sloe jam"]
    qtbot.keyClicks(dialog.search, "damson")
    settled(qtbot, dialog)
    monkeypatch.setattr("workbench.ui.dialogs.label_dialog.ask_label", typed("fat", "0.3"))
    dialog.food.label_button.click()
    settled(qtbot, dialog)
    shown = {dialog.food.figures.topLevelItem(k).text(0): dialog.food.figures.topLevelItem(k).text(1) for k in range(3)}
    assert (shown["carbohydrate (without fibre)"], shown["fat"]) == ("61.0", "0.3")


def test_a_lot_with_its_own_figures_is_kept_and_becomes_an_ingredient(
    qtbot: QtBot, window: MainWindow, dialog: LibraryDialog
) -> None:
    lots = dialog.goods.lots
    lots.add_button.click()
    assert lots.message.text() == "▲ say which lot it is"
    qtbot.keyClicks(lots.code, "L-4711")
    qtbot.keyClicks(lots.supplier, "the mill at the ford")
    qtbot.keyClicks(lots.figures, "carbohydrate 58")
    lots.add_button.click()
    assert "“carbohydrate”" in lots.message.text() and lots.code.text() == "L-4711", "what was typed stays"
    lots.figures.clear()
    qtbot.keyClicks(lots.figures, "fat 0,4 g; salt 250 mg")
    lots.add_button.click()
    settled(qtbot, dialog)
    assert lots.list.item(0).text() == "L-4711   the mill at the ford   fat 0.4 g; sodium 100 mg"
    assert lots.code.text() == "" and lots.supplier.text() == "the mill at the ford", "the next one is often from there"
    lots.take_button.click()
    settled(qtbot, dialog)
    assert dialog.message.text() == "✓ “rowan jam, lot L-4711” is in the library"
    with Library.open(readonly=True) as library:
        made = next(entry.food for entry in library.entries() if "L-4711" in entry.food.name)
    assert (made.values["FAT"].value, made.values["NA"].value, made.values["CHOCDF"].value) == (0.4, 100.0, 60.0)
    assert made.values["FAT"].source == "lot L-4711 the mill at the ford"
    lots.remove_button.click()
    settled(qtbot, dialog)
    assert lots.list.item(0).text() == "none yet" and dialog.undo_button.text() == "undo: lots changed"


def test_tags_and_notes_are_kept_and_list_what_carries_them(qtbot: QtBot, dialog: LibraryDialog) -> None:
    qtbot.keyClicks(dialog.food.tags, "winter, race,  winter")
    qtbot.keyClick(dialog.food.tags, ENTER)
    settled(qtbot, dialog)
    qtbot.keyClicks(dialog.food.note, "from the mill")
    qtbot.keyClick(dialog.food.note, ENTER)
    settled(qtbot, dialog)
    assert (
        dialog.isVisible() and dialog.food.note.text() == "from the mill" and dialog.food.tags.text() == "winter, race"
    )
    at = dialog.show_box.findText("tagged “race”")
    dialog.show_box.setCurrentIndex(at)
    dialog.show_box.activated.emit(at)
    settled(qtbot, dialog)
    assert names(dialog) == ["rowan jam"]


def test_every_change_is_made_however_fast_they_follow(qtbot: QtBot, dialog: LibraryDialog) -> None:
    food = dialog.food
    qtbot.keyClicks(food.tags, "winter")
    qtbot.keyClick(food.tags, ENTER)
    qtbot.keyClicks(food.note, "from the mill")
    qtbot.keyClick(food.note, ENTER)
    food.active_button.click()
    settled(qtbot, dialog)
    with Library.open(readonly=True) as library:
        entry = library.entry("jam-2")
    assert entry is not None and (entry.tags, entry.note, entry.active) == (("winter",), "from the mill", False)


def test_another_computer_that_writes_is_named_and_nothing_is_lost(qtbot: QtBot, dialog: LibraryDialog) -> None:
    note = FileLock(paths.library()).path
    note.write_text(json.dumps({"host": "kitchen-laptop", "pid": 7, "run": "x"}), encoding="utf-8")
    dialog.food.active_button.click()
    settled(qtbot, dialog)
    assert "kitchen-laptop" in dialog.message.text() and dialog.message.text().startswith("▲")
    assert names(dialog) == ["rowan jam", "sloe jam"]
    note.unlink()
    dialog.food.active_button.click()
    settled(qtbot, dialog)
    assert names(dialog) == ["sloe jam"]


def test_an_ingredient_and_a_whole_variant_become_ingredients_of_other_projects(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages
) -> None:
    window.recipe.table.choose("line-corn_syrup_light")
    window.action_table["library.keep"].trigger()
    qtbot.waitUntil(lambda: messages.told == ["notice: “corn syrup, light” is in the library"], timeout=10_000)
    messages.answers["ask_text"] = "maize mush"
    window.action_table["library.keep_variant"].trigger()
    qtbot.waitUntil(lambda: messages.told[-1] == "notice: “maize mush” is in the library", timeout=10_000)
    before = window.session.evaluation.bound("CHOAVLDF", "per_100g").value

    window.session.open(maize_square())
    assert offered(qtbot, window, "maize mush")[0] == "maize mush  ▤ your library"
    qtbot.keyClick(window.add_box.line, ENTER)
    mush = next(food for food in window.session.project.foods.values() if food.name == "maize mush")
    assert mush.values["CHOAVLDF"].value == pytest.approx(before) and mush.values["CHOAVLDF"].kind == "calculated"
    with Library.open(readonly=True) as library:
        entry = library.entry(mush.id)
        assert entry is not None and entry.made_from is not None and "corn_syrup_light" in entry.made_from.foods
        assert library.composites_of("corn_syrup_light") == [mush.id]
        syrup = library.food("corn_syrup_light")
    assert syrup is not None

    kept(replace(syrup, values=syrup.values | {"NA": replace(syrup.values["NA"], value=1000.0)}))
    dialog = LibraryDialog(window)
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.keyClicks(dialog.search, "maize mush")
    settled(qtbot, dialog)
    assert "▲ changed since it was computed: corn syrup, light" in dialog.food.about.text()
    dialog.food.anew_button.click()
    settled(qtbot, dialog)
    assert "computed with the ingredients of today" in dialog.message.text() and dialog.food.anew_button.isHidden()
    with Library.open(readonly=True) as library:
        anew = library.food(mush.id)
    # 120 g of syrup in a batch of 1400 g (1220 g out of the pot, 180 g folded in): by hand.
    more = (1000.0 - syrup.values["NA"].value) * 120.0 / 1400.0
    window.library.changed.emit()  # as when the dialog is closed
    qtbot.waitUntil(lambda: "1 ingredient has newer values" in window.newer.text() and window.newer.isVisible())
    assert anew is not None and anew.name == "maize mush"
    assert anew.values["NA"].value == pytest.approx(mush.values["NA"].value + more)


def test_a_composite_follows_its_variant_when_the_project_is_saved_and_the_library_can_undo_that(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, tmp_path: Path
) -> None:
    messages.answers |= {"ask_text": "maize mush", "ask_save_as": str(tmp_path / "squares.fare")}
    window.action_table["library.keep_variant"].trigger()
    qtbot.waitUntil(lambda: messages.told[-1] == "notice: “maize mush” is in the library", timeout=10_000)
    with Library.open(readonly=True) as library:
        (before,) = library.foods()
    window.session.apply(set_amount(window.session.project, window.session.variant_id, "line-salt", 30.0))
    assert window.documents.save()
    qtbot.waitUntil(lambda: "follows its recipe" in messages.told[-1], timeout=10_000)
    assert messages.told[-1].startswith("notice: “maize mush” in the library")
    after = window.session.evaluation.bound("NA", "per_100g").value
    with Library.open() as library:
        (food,) = library.foods()
        assert food.values["NA"].value == pytest.approx(after) and after > before.values["NA"].value
        library.undo()
    edit, _made_id = new_variant(window.session.project, "another", window.session.variant_id)
    window.session.apply(edit)
    window.upkeep.look()
    assert not window.upkeep.background.running, "what is not saved is not looked at"
    assert window.documents.save()
    window.upkeep.look()
    assert window.upkeep.background.running
    qtbot.waitUntil(lambda: not window.upkeep.background.running, timeout=10_000)
    with Library.open(readonly=True) as library:
        (food,) = library.foods()
    assert food.values["NA"] == before.values["NA"], "what was taken back stays so"


def test_a_library_that_was_mended_on_opening_is_told_wherever_it_was_opened(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, jam: Food, tmp_path: Path
) -> None:
    def told(n: int) -> None:
        sign = "▲ The library was damaged. The back-up of"
        qtbot.waitUntil(lambda: sum(sign in words for words in messages.told) == n, timeout=10_000)

    kept(jam)
    with Library.open() as library:
        library.back_up(paths.library().with_name("library.backup.sqlite"))
    broken(paths.library())
    window.upkeep.first.stop()
    window.upkeep.wake()  # as after every start
    told(1)
    assert offered(qtbot, window, "sloe jam")[0].startswith("sloe jam")
    broken(paths.library())
    messages.answers["ask_save_as"] = str(tmp_path / "squares.fare")
    assert window.documents.save_as()
    told(2)
    broken(paths.library())
    window.recipe.table.choose("line-corn_syrup_light")
    window.action_table["library.keep"].trigger()
    told(3)
    assert messages.told[-1].endswith("“corn syrup, light” is in the library")


def test_the_price_of_what_is_in_the_project_comes_from_the_library_and_keeping_it_again_leaves_the_price(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages
) -> None:
    def keep() -> None:
        messages.told.clear()
        window.recipe.table.choose("line-corn_syrup_light")
        window.action_table["library.keep"].trigger()
        qtbot.waitUntil(lambda: bool(messages.told), timeout=10_000)

    keep()
    dialog = LibraryDialog(window)
    qtbot.addWidget(dialog)
    dialog.show()
    settled(qtbot, dialog)
    form = dialog.goods.packs
    form.pack_size.setValue(500.0)
    form.price.setValue(2.80)
    form.currency.setText("EUR")
    form.add_button.click()
    settled(qtbot, dialog)
    window.library.changed.emit()
    qtbot.waitUntil(lambda: window.newer.text() == "• 1 ingredient has newer values in its table …")
    window.newer.click()
    page = window.details.side.page("newer")
    assert "corn syrup, light: price" in page.list.item(0).text()  # type: ignore[attr-defined]  # of that page
    page.take()  # type: ignore[attr-defined]  # of that page
    assert window.session.undo_stack.count() == 1
    qtbot.waitUntil(window.newer.isHidden)
    assert [pack.price for pack in window.session.project.foods["corn_syrup_light"].packs] == [2.80]
    window.session.undo_stack.undo()
    keep()
    with Library.open(readonly=True) as library:
        food = library.food("corn_syrup_light")
    assert food is not None and [pack.price for pack in food.packs] == [2.80]


def test_a_rule_states_origin_and_allergens_of_all_that_it_fits_and_of_nothing_else(
    qtbot: QtBot, dialog: LibraryDialog
) -> None:
    dialog.apply_rule()
    settled(qtbot, dialog)
    assert "The rule fits every food." in dialog.message.text()
    form = dialog.rule
    qtbot.keyClicks(form.word, "sloe")
    form.origin.setCurrentIndex(form.origin.findData("plant"))
    form.contains.setCurrentIndex(form.contains.findData("contains"))
    ticked = [form.allergens.item(k) for k in range(form.allergens.count())]
    next(item for item in ticked if item.text() == "sulphites").setCheckState(Qt.CheckState.Checked)
    form.apply_button.click()
    settled(qtbot, dialog)
    assert dialog.message.text() == "✓ 1 food was changed"
    with Library.open(readonly=True) as library:
        sloe, rowan = library.food("jam-1"), library.food("jam-2")
    assert sloe is not None and (sloe.origin, sloe.contains) == ("plant", ("sulphites",))
    assert rowan is not None and (rowan.origin, rowan.contains) == ("unknown", None), "not stated stays not stated"
    assert dialog.chosen_id == "jam-2"
    form.only_chosen.click()
    assert not form.word.isEnabled(), "the word says nothing then"
    form.role.setCurrentIndex(form.role.findData("sweetener"))
    form.apply_button.click()
    settled(qtbot, dialog)
    with Library.open(readonly=True) as library:
        sloe, rowan = library.food("jam-1"), library.food("jam-2")
    assert sloe is not None and sloe.roles == ()
    assert rowan is not None and (rowan.roles, rowan.origin) == (("sweetener",), "plant")


def test_a_back_up_is_restored_and_another_library_merged_only_after_saying_what_changes(
    qtbot: QtBot, dialog: LibraryDialog, jam: Food, tmp_path: Path
) -> None:
    copies, copy = dialog.copies, tmp_path / "copy.sqlite"
    copies.back_up(copy)
    settled(qtbot, dialog)
    dialog.food.delete()
    settled(qtbot, dialog)
    assert names(dialog) == ["sloe jam"]
    copies.look_at_back_up(copy)
    settled(qtbot, dialog)
    assert "brings back 1, removes 0" in copies.preview.text() and names(dialog) == ["sloe jam"]
    copies.leave_button.click()
    assert copies.preview.text() == "" and names(dialog) == ["sloe jam"]
    copies.look_at_back_up(copy)
    settled(qtbot, dialog)
    copies.do_button.click()
    settled(qtbot, dialog)
    assert names(dialog) == ["rowan jam", "sloe jam"] and "restored" in dialog.message.text()

    sweeter = {**jam.values, "CHOCDF": replace(jam.values["CHOCDF"], value=65.0)}
    with Library.open(copy) as theirs:
        theirs.put_all(
            [
                replace(jam, name="sloe jelly"),
                replace(jam, id="jam-2", name="rowan jam", values=sweeter),
                replace(jam, id="jam-3", name="quince jam"),
            ],
            words="theirs",
        )
    dialog.tabs.setCurrentIndex(3)
    copies.look_at_library(copy)
    settled(qtbot, dialog)
    assert copies.preview.text().startswith("copy.sqlite: 1 food is new; 0 are the same in both; 2 differ")
    differing = copies.merging.foods
    rows = [[differing.topLevelItem(k).text(column) for column in range(3)] for k in range(2)]
    assert rows[0][:2] == ["sloe jam → sloe jelly", "name"]
    assert rows[1][:2] == ["rowan jam", "total carbohydrate (with fibre) 60.0 → 65.0 g"]
    assert copies.merging.whose.hasFocus() and "0 of 2 are taken" in copies.merging.count.text()
    differing.setFocus()
    qtbot.keyClick(differing, DOWN)
    qtbot.keyClick(differing, Qt.Key.Key_Space)
    assert "1 of 2 is taken" in copies.merging.count.text()
    copies.do_button.click()
    settled(qtbot, dialog)
    assert names(dialog) == ["quince jam", "rowan jam", "sloe jam"], "of the one that is not ticked, mine stays"
    with Library.open(readonly=True) as library:
        rowan = library.food("jam-2")
    assert rowan is not None and rowan.values["CHOCDF"].value == 65.0
    dialog.undo_button.click()
    settled(qtbot, dialog)
    assert names(dialog) == ["rowan jam", "sloe jam"], "a merge is one step of the library's undo"


def test_the_foods_that_are_listed_are_written_as_a_table_that_comes_in_again(
    qtbot: QtBot, window: MainWindow, dialog: LibraryDialog, jam: Food, tmp_path: Path
) -> None:
    qtbot.keyClicks(dialog.search, "sloe")
    settled(qtbot, dialog)
    path = tmp_path / "jams.xlsx"
    dialog.export.write(path)
    settled(qtbot, dialog)
    assert dialog.message.text() == f"✓ 1 food is written to {path}"
    (food,) = read(make_plan(path, detect(path)), Tally(), Progress())
    assert replace(food, taken_from=None) == jam
    dialog.export.which.setCurrentIndex(dialog.export.which.findText("the table of the program"))
    for name in ("all.zip", "no folder/all.zip"):
        dialog.export.write(tmp_path / name)
        settled(qtbot, dialog)
    assert dialog.message.text().startswith("▲") and "no folder" in dialog.message.text()
    assert detect(tmp_path / "all.zip").name == "exported"
    assert sorted(file.name for file in tmp_path.iterdir() if "all" in file.name) == ["all.zip"], "whole or not at all"


def test_closing_waits_for_what_was_asked_for_and_stays_open_where_that_fails(
    qtbot: QtBot, dialog: LibraryDialog
) -> None:
    note = FileLock(paths.library()).path
    note.write_text(json.dumps({"host": "kitchen-laptop", "pid": 7, "run": "x"}), encoding="utf-8")
    qtbot.keyClicks(dialog.food.note, "from the mill")
    qtbot.keyClick(dialog.food.note, ENTER)
    dialog.reject()
    settled(qtbot, dialog)
    assert dialog.isVisible() and "kitchen-laptop" in dialog.message.text(), "what was typed is not lost unsaid"
    note.unlink()
    dialog.food.tags.setFocus()
    qtbot.keyClicks(dialog.food.tags, "winter")
    qtbot.keyClick(dialog.food.tags, ENTER)
    dialog.reject()
    qtbot.waitUntil(lambda: not dialog.isVisible(), timeout=10_000)
    with Library.open(readonly=True) as library:
        entry = library.entry("jam-2")
    assert entry is not None and entry.tags == ("winter",)


def test_a_file_that_is_no_library_is_neither_restored_nor_merged(
    qtbot: QtBot, dialog: LibraryDialog, tmp_path: Path
) -> None:
    other = tmp_path / "letter.sqlite"
    other.write_bytes(b"dear diary" * 900)
    for look in (dialog.copies.look_at_back_up, dialog.copies.look_at_library):
        look(other)
        settled(qtbot, dialog)
        assert dialog.message.text().startswith("▲") and dialog.copies.do_button.isHidden()
    assert names(dialog) == ["rowan jam", "sloe jam"]


def test_everything_in_both_dialogs_has_a_name_and_tab_leads_to_the_button_that_goes_on(
    qtbot: QtBot, window: MainWindow, dialog: LibraryDialog
) -> None:
    importing = ImportDialog(SettingsFile(), window)
    qtbot.addWidget(importing)
    for shown, first, last in (
        (dialog, dialog.search, dialog.undo_button),
        (importing, importing.path, importing.next_button),
    ):
        shown.show()
        qtbot.waitExposed(shown)
        shown.activateWindow()
        for tab in reversed(range(dialog.tabs.count())):
            dialog.tabs.setCurrentIndex(tab)
            assert list(takers(shown)) and nameless(shown) == []
        importing.next_button.setEnabled(True)
        first.setFocus()
        for _press in range(40):
            if shown.focusWidget() is last:
                break
            qtbot.keyClick(shown.focusWidget(), Qt.Key.Key_Tab)
        assert shown.focusWidget() is last
