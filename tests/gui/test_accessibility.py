"""Who cannot see the window, or has no mouse, reaches everything: names on whatever takes the keyboard, a sane order.

WCAG 2.2, success criteria 4.1.2 (name, role, value), 2.1.1 (keyboard), 2.4.3 (focus order) and 2.1.2 (no trap).
"""

import importlib
import itertools
import pkgutil
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible, QFont
from PySide6.QtWidgets import QApplication, QDialog, QDialogButtonBox, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from tests.gui.test_recipe_clipboard import dialog_for
from workbench.base.settings import SettingsFile
from workbench.document import variant_edits
from workbench.document.project import Project, Stage
from workbench.recipe.columns import USUAL_COLUMNS
from workbench.ui import dialogs
from workbench.ui.dialogs.action_list import ActionListDialog, listed_actions
from workbench.ui.dialogs.assumptions_dialog import AssumptionsDialog
from workbench.ui.dialogs.avoid_dialog import AvoidDialog
from workbench.ui.dialogs.columns_dialog import ColumnsDialog
from workbench.ui.dialogs.guide_dialog import GuideDialog
from workbench.ui.dialogs.hand_over_job import WHAT
from workbench.ui.dialogs.import_dialog import ImportDialog
from workbench.ui.dialogs.label_dialog import LabelDialog
from workbench.ui.dialogs.library_dialog import LibraryDialog
from workbench.ui.dialogs.pantry_dialog import PantryDialog
from workbench.ui.dialogs.replace_dialog import ReplaceDialog
from workbench.ui.dialogs.scale_dialog import ScaleDialog
from workbench.ui.dialogs.stage_dialog import StageDialog, StageFigures
from workbench.ui.dialogs.target_dialog import TargetDialog
from workbench.ui.dialogs.variant_dialog import VariantDialog
from workbench.ui.main_window import MainWindow
from workbench.ui.theme import apply_theme


def spoken(widget: QWidget) -> str:
    """The name that a screen reader says."""
    return QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name)


def takers(root: QWidget) -> Iterator[QWidget]:
    """Every widget in sight that Tab or a click gives the keyboard."""
    for widget in (root, *root.findChildren(QWidget)):
        if widget.focusPolicy() != Qt.FocusPolicy.NoFocus and widget.isVisibleTo(root) and widget.focusProxy() is None:
            yield widget


def nameless(root: QWidget) -> list[str]:
    return [f"{type(w).__name__} in {type(w.parent()).__name__}" for w in takers(root) if not spoken(w)]


def make_stage(window: MainWindow) -> QWidget:
    return StageDialog(Stage(id="s"), StageFigures(100.0, 90.0, {}), lambda _stage: "", window)


def make_targets(window: MainWindow) -> QWidget:
    session = window.session
    return TargetDialog(session.project, session.variant_id, lambda _q, _b: "", window, "", ("FAT", "portion"))


def make_hand_over(what: str) -> Callable[[MainWindow], QWidget]:
    def made(window: MainWindow) -> QWidget:
        dialog = window.handing_over.open()
        dialog.options.what.setCurrentIndex(dialog.options.what.findData(what))
        dialog.options.labels.sheet.setCurrentIndex(dialog.options.labels.sheet.count() - 1)  # its own dimensions
        return dialog

    return made


DIALOGS: dict[str, Callable[[MainWindow], QWidget]] = {
    "targets": make_targets,
    "stage": make_stage,
    "assumptions": lambda w: AssumptionsDialog(w.session.project.assumptions, w),
    "variant": lambda w: VariantDialog(w.session.variant, w),
    "actions": lambda w: ActionListDialog(listed_actions(w.action_table, w.menuBar()), w),
    "guide": GuideDialog,
    "label": lambda w: LabelDialog(parent=w),
    **{f"hand over {what}": make_hand_over(what) for what in WHAT},
    "compare": lambda w: w.comparison.choice_dialog(),
    "avoid": lambda w: AvoidDialog(w.session, w),
    "pantry": lambda w: PantryDialog(w.session, frozenset(w.session.project.foods), w),
    "columns": lambda w: ColumnsDialog(USUAL_COLUMNS, "portion", w),
    "replace": lambda w: ReplaceDialog(w.session, w.session.variant.lines[0], "maize meal", w),
    "scale": lambda w: ScaleDialog(300.0, 3, 100.0, 1, w),
    "paste": lambda w: dialog_for(w, "120\tunobtainium flakes"),
    "library": LibraryDialog,
    "import": lambda w: ImportDialog(SettingsFile(), w),
}


def test_no_dialog_is_left_out_here(window: MainWindow, qtbot: QtBot) -> None:
    walked = set()
    for make in DIALOGS.values():
        dialog = make(window)
        qtbot.addWidget(dialog)
        walked.add(type(dialog))
    there = set()
    for found in pkgutil.iter_modules(dialogs.__path__, f"{dialogs.__name__}."):
        held = vars(importlib.import_module(found.name)).values()
        there |= {one for one in held if isinstance(one, type) and issubclass(one, QDialog)}
    assert walked == {one for one in there if one.__module__.startswith("workbench.")}


def test_everything_in_the_window_that_takes_the_keyboard_has_a_name(window: MainWindow, qtbot: QtBot) -> None:
    assert nameless(window) == []
    session = window.session
    session.apply(variant_edits.new_variant(session.project, "Race", session.variant_id)[0])
    window.details.show_comparison()
    window.comparison.page().sheet.others_head.set_opened(True)
    assert nameless(window) == []
    window.details.explain("CHOAVLDF", "portion")
    assert nameless(window) == []
    window.action_table["targets.help"].trigger()
    page = window.details.side.page("targets")
    for view in page.findChildren(QToolButton):
        assert view.menu() is None  # a click would wait in it for a choice
        view.click()
        assert nameless(window) == []
    window.show_start_page()
    QApplication.processEvents()
    assert nameless(window) == []


@pytest.mark.parametrize("name", DIALOGS)
def test_everything_in_a_dialog_that_takes_the_keyboard_has_a_name(name: str, window: MainWindow, qtbot: QtBot) -> None:
    dialog = DIALOGS[name](window)
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitExposed(dialog)
    assert list(takers(dialog))
    assert nameless(dialog) == []


@pytest.mark.parametrize("name", [name for name in DIALOGS if name not in ("actions", "guide")])
def test_tab_goes_through_a_dialog_from_top_to_its_buttons(name: str, window: MainWindow, qtbot: QtBot) -> None:
    dialog = DIALOGS[name](window)
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitExposed(dialog)
    chain, widget = [], dialog.nextInFocusChain()
    passed = set()
    while widget is not dialog:
        assert widget not in passed, "the ring of focus comes back to its dialog"
        passed.add(widget)
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisibleTo(dialog) and widget.isEnabledTo(dialog):
            chain.append(widget)
        widget = widget.nextInFocusChain()
    inside = [isinstance(w.parent(), QDialogButtonBox) for w in chain]
    assert inside == sorted(inside), "the buttons that close a dialog come last"


def tab_to(qtbot: QtBot, wanted: QWidget) -> None:
    for _press in range(60):
        if wanted.hasFocus():
            return
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
    raise AssertionError(f"Tab does not reach {spoken(wanted)}")


def test_a_recipe_is_worked_on_from_end_to_end_without_a_mouse(
    window: MainWindow, qtbot: QtBot, project: Project, messages: FakeMessages
) -> None:
    """Keys only, and each goes to whatever has the keyboard at that moment."""
    session, control, shift = window.session, Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier

    def press(key: Qt.Key, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        qtbot.keyClick(QApplication.focusWidget(), key, modifiers)

    def type_in(text: str) -> None:
        for sign in text:
            qtbot.keyClicks(QApplication.focusWidget(), sign)
        press(Qt.Key.Key_Return)

    window.recipe.table.setFocus()
    tab_to(qtbot, window.add_box.line)
    type_in("honey")
    new = window.recipe.table.current_line()
    assert new not in (None, *project.variants[0].lines), "the keyboard is on the new line"
    type_in("55")
    press(Qt.Key.Key_L)
    added = next(line for line in session.variant.lines if line not in project.variants[0].lines)
    assert (added.amount_g, added.lock) == (55.0, True)
    tab_to(qtbot, window.portions.portion)
    press(Qt.Key.Key_A, control)
    type_in("16")
    tab_to(qtbot, window.portions.pace)
    assert session.evaluation.portions.whole_pieces == 16
    messages.answers["ask_text"] = "Race"
    press(Qt.Key.Key_N, control | shift)
    assert [variant.name for variant in session.project.variants] == ["Original", "Race"]
    press(Qt.Key.Key_E, control | shift)
    assert window.details.side.page("explanation").isVisible()
    assert window.details.side.isAncestorOf(QApplication.focusWidget())
    press(Qt.Key.Key_Escape)
    assert not window.details.is_open()
    for _step in range(session.undo_stack.count()):
        press(Qt.Key.Key_Z, control)
    assert session.project == project


def test_all_bars_say_figure_target_and_verdict(window: MainWindow) -> None:
    for key in ("CHOAVLDF", "FAT", "medium_chain", "FIBTG", "residue_organic", "residue_fibre_based"):
        bar = window.results.bar(key)
        interface = QAccessible.queryAccessibleInterface(bar)
        assert interface.text(QAccessible.Text.Name)
        assert " g" in interface.text(QAccessible.Text.Description)


@pytest.fixture
def large_text(qapp: QApplication) -> Iterator[None]:
    font = QFont(qapp.font())
    large = QFont(font)
    large.setPixelSize(23)  # ten sizes larger than 13
    qapp.setFont(large)
    yield
    qapp.setFont(font)
    apply_theme(qapp, "light")


def test_large_text_is_not_cut_and_buttons_do_not_lie_on_one_another(
    large_text: None, window: MainWindow, qtbot: QtBot
) -> None:
    window.resize(1280, 720)
    QApplication.processEvents()
    inside = window.results.rect()
    places = []
    for button in window.results.choice_buttons():
        assert button.width() >= button.sizeHint().width() and button.height() >= button.sizeHint().height()
        places.append(button.rect().translated(button.mapTo(window.results, QPoint(0, 0))))
        assert inside.contains(places[-1])
    assert not any(one.intersects(other) for one, other in itertools.combinations(places, 2))
    for bar in (window.results.bar(key) for key in ("CHOAVLDF", "FAT", "FIBTG")):
        assert bar.height() >= bar.heightForWidth(bar.width())
        assert all(bar.rect().contains(area) for area in bar.legend_areas())


@pytest.mark.parametrize("dialog", DIALOGS)
def test_no_dialog_is_larger_than_its_window_with_large_text(
    large_text: None, window: MainWindow, qtbot: QtBot, dialog: str
) -> None:
    made = DIALOGS[dialog](window)
    qtbot.addWidget(made)
    made.show()
    room = window.size()
    assert made.width() <= room.width() and made.height() <= room.height()
