"""The filter of the search: chosen in a form, said in words, honoured by both searches, and easy to be rid of."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.support import make_food
from workbench.base import paths
from workbench.base.progress import Progress
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.composition.library.records import TableInfo
from workbench.composition.library.store import Library
from workbench.composition.search_filter import SearchFilter
from workbench.document import edits, variant_edits
from workbench.ui.dialogs.replace_dialog import ReplaceDialog
from workbench.ui.main_window import MainWindow
from workbench.ui.models.ingredient_choices import IngredientChoices
from workbench.ui.search_choice import FilterForm, SearchChoice

ENTER, ESCAPE, TAB, SPACE = Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Tab, Qt.Key.Key_Space


@pytest.fixture
def choice(window: MainWindow) -> SearchChoice:
    return SearchChoice.of(window.session)


def shown(window: MainWindow) -> list[str]:
    model = window.add_box.results.model()
    return [str(model.index(k, 0).data()) for k in range(model.rowCount())]


def opened(window: MainWindow) -> FilterForm:
    window.add_box.filter_button.click()
    form = window.findChild(FilterForm)
    assert isinstance(form, FilterForm)
    return form


def test_what_is_typed_is_found_anew_when_the_form_closes(qtbot: QtBot, window: MainWindow) -> None:
    box = window.add_box
    qtbot.keyClicks(box.line, "milk")
    assert "milk, whole" in shown(window)[0]
    form = opened(window)
    assert form.isVisible() and form.plant_only.hasFocus()
    qtbot.keyClick(form.plant_only, SPACE)
    form.without["soya"].click()
    qtbot.keyClick(form.plant_only, ESCAPE)
    assert not form.isVisible() and box.line.hasFocus() and box.results.isVisible()
    names = shown(window)
    assert names and not any("milk, whole" in name or "soya" in name for name in names)
    assert box.filter_line.words.text() == "▽ plant only, without soya"
    assert box.filter_button.isChecked()
    assert "plant only, without soya" in box.filter_button.accessibleName()


def test_the_way_from_the_search_to_the_filter_and_through_the_form_is_on_the_keyboard(
    qtbot: QtBot, window: MainWindow
) -> None:
    box = window.add_box
    box.start()
    qtbot.keyClick(box.line, TAB)
    assert box.filter_button.hasFocus()
    qtbot.keyClick(box.filter_button, SPACE)
    form = window.findChild(FilterForm)
    assert isinstance(form, FilterForm) and form.plant_only.hasFocus()
    reached = set()
    while form.isVisible():
        focus = QApplication.focusWidget()
        assert focus is not None and focus not in reached
        reached.add(focus)
        qtbot.keyClick(focus, TAB)  # past the last of them the form closes
    assert reached >= {*form.without.values(), *form.known, form.role, form.source, form.close_button}


def test_nothing_found_because_of_the_filter_says_so_and_enter_clears_it(
    qtbot: QtBot, window: MainWindow, choice: SearchChoice
) -> None:
    choice.choose(SearchFilter(plant_only=True))
    box = window.add_box
    qtbot.keyClicks(box.line, "gelatine")
    (words,) = shown(window)
    assert words.startswith("the filter hides ") and words.endswith("Enter clears the filter")
    qtbot.keyClick(box.line, ENTER)
    assert not choice.filter and box.filter_line.isHidden() and not box.filter_button.isChecked()
    assert window.session.undo_stack.count() == 0
    qtbot.keyClick(box.line, ENTER)
    assert any("gelatine" in line.food_ref.id for line in window.session.variant.lines)
    qtbot.keyClicks(box.line, "qqqq")
    choice.choose(SearchFilter(plant_only=True))
    box._search("qqqq")
    assert shown(window) == ["nothing found"]  # the filter is not to blame


def test_the_line_below_the_search_clears_the_filter(qtbot: QtBot, window: MainWindow, choice: SearchChoice) -> None:
    choice.choose(SearchFilter(without=("milk",), role="fat", known=("F6D0", "F8D0", "F10D0", "F12D0")))
    line = window.add_box.filter_line
    assert line.words.text() == "▽ without milk, as fat, known: medium-chain fat"
    line.clear_button.click()
    assert not choice.filter and window.add_box.line.hasFocus()


def test_a_filter_is_the_same_in_both_searches_and_gone_with_the_window(
    qtbot: QtBot, window: MainWindow, choice: SearchChoice
) -> None:
    choice.choose(SearchFilter(source="ifct2017"))
    dialog = ReplaceDialog(window.session, window.session.variant.lines[0], "maize", window)
    qtbot.addWidget(dialog)
    dialog.show()
    found = [c.what for c in dialog._found]
    assert found
    for food in found:
        assert isinstance(food, Food) and "ifct2017" in {value.source for value in food.values.values()}
    dialog.search.setText("butter, unsalted")
    assert dialog.replacement() is None and "clear the filter" in dialog.message.text()
    dialog.filter_line.clear_button.click()
    answer = dialog.replacement()
    assert answer is not None and isinstance(answer.what, Food) and answer.what.id == "butter"
    window.session.open(window.session.project)
    choice.choose(SearchFilter(plant_only=True))
    assert SearchChoice.of(window.session).filter.plant_only
    assert not SearchChoice.of(type(window.session)()).filter


def test_a_variant_passes_only_if_everything_in_it_does(window: MainWindow) -> None:
    session = window.session
    other, other_id = variant_edits.new_variant(session.project, "Race squares", "original")
    session.apply(other)
    choices = IngredientChoices(session)

    def offered(wanted: SearchFilter) -> bool:
        return other_id in [choice.what for choice in choices.find("squares", wanted)]

    assert offered(SearchFilter(plant_only=True, without=("milk",)))
    assert not offered(SearchFilter(role="binder")) and not offered(SearchFilter(source="sr26"))
    butter = bundled_foods()["butter"]
    session.apply(edits.add_line(session.project, other_id, "fold", butter, 10.0))
    assert not offered(SearchFilter(without=("milk",))) and offered(SearchFilter(without=("egg",)))


def test_tables_of_the_library_are_sources_to_choose_from(qtbot: QtBot, window: MainWindow) -> None:
    form = opened(window)
    before = [form.source.itemData(k) for k in range(form.source.count())]
    assert "ifct2017" in before and not paths.library().exists()
    qtbot.keyClick(form.plant_only, ESCAPE)
    milled = make_food("saltmarsh emmer", {"FAT": 2.4})
    milled = replace(milled, values={"FAT": replace(milled.values["FAT"], source="mill")})
    with Library.open() as library:
        library.import_table(TableInfo(key="mill", title="the mill’s own table"), [milled], Progress())
    form = opened(window)
    added = [form.source.itemData(k) for k in range(form.source.count()) if form.source.itemData(k) not in before]
    assert added == ["mill"] and form.source.findText("the mill’s own table") >= 0
    form.source.setCurrentIndex(form.source.findData("mill"))
    qtbot.keyClick(form.source, ESCAPE)
    qtbot.keyClicks(window.add_box.line, "sal")
    assert shown(window) == ["saltmarsh emmer  ▤ mill"], "no bundled salt"
