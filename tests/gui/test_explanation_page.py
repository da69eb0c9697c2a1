"""Why this number: every step in sight, in step with the slider, by keyboard, and as text.

The foods are made up so that every figure can be worked out in the head.
"""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QTreeWidgetItem
from pytestqt.qtbot import QtBot

from tests.support import make_food, make_line, make_project, make_variant
from workbench.composition.food import Value
from workbench.document import edits
from workbench.document.project import ByCount, Project, WaterLost
from workbench.ui.panels.explanation_page import ExplanationPage
from workbench.ui.session import Session

KNOWN = dict.fromkeys(("FRUS", "GALS", "SUCS", "LACS", "MALS", "STARCH", "DEXTN", "FAT", "PROCNT"), 0.0)
DEXTROSE = replace(
    make_food("dextrose", {}),
    values={
        "GLUS": Value(90.0, "measured", "sr26", "12345", note="dried"),
        "WATER": Value(10.0),
        "CHOCDF": Value(90.0),
        "SUGAR": Value(90.0),
        "FIBTG": Value(0.0),
        **{tag: Value(amount) for tag, amount in KNOWN.items()},
    },
)
HUSK = make_food("husk", {"WATER": 50.0, "CHOCDF": 50.0, "SUGAR": 0.0, "FAT": 0.0, "PROCNT": 0.0})
WATER = make_food("water", {"WATER": 100.0, "CHOCDF": 0.0, "FIBTG": 0.0, "SUGAR": 0.0, "FAT": 0.0, "PROCNT": 0.0})


def squares(husk_g: float = 0.0, weight: object = None) -> Project:
    lines = [make_line(DEXTROSE, 200.0), make_line(WATER, 700.0), make_line(HUSK, husk_g)]
    first = make_variant(*lines, id="first", name="Original", weight=weight, portioning=ByCount(count=10))
    second = replace(
        first, id="second", name="Race", parent_id="first", lines=(replace(lines[0], amount_g=100.0), *lines[1:])
    )
    return make_project([DEXTROSE, HUSK, WATER], first, second)


class Shown:
    def __init__(self, qtbot: QtBot, project: Project) -> None:
        self.session = Session(project)
        self.page = ExplanationPage(self.session)
        self.session.evaluated.connect(self.page.follow)
        qtbot.addWidget(self.page)
        self.page.resize(500, 600)
        self.page.show()
        qtbot.waitExposed(self.page)
        self.page.activateWindow()

    def rows(self) -> list[str]:
        return self.page.tree.row_texts()

    def row(self, start: str) -> str:
        return next(row for row in self.rows() if row.startswith(start))

    def drag(self, grams: float, line: str = "dextrose") -> None:
        self.session.preview(edits.set_amount(self.session.base, self.session.variant_id, line, grams))
        self.session.flush()


@pytest.fixture
def shown(qtbot: QtBot) -> Shown:
    return Shown(qtbot, squares())


def choose(page: ExplanationPage, qtbot: QtBot, key: str) -> None:
    page.quantity.setCurrentIndex(page.quantity.findData(key))
    page.quantity.activated.emit(page.quantity.currentIndex())


def test_every_step_from_the_values_to_the_figure_is_in_sight(shown: Shown) -> None:
    shown.page.begin(key="glucose_type", basis="portion")
    assert shown.page.headline.text().startswith("18.0 g")
    assert "glucose + starch" in shown.page.formula.text()
    assert shown.row("dextrose") == "dextrose, 200.0, 90.00, 180.00, 100 %"  # g, per 100 g, brings, share
    assert "glucose 90 g, measured, USDA SR26 12345, dried" in shown.rows()
    assert shown.row("nothing from") == "nothing from: water"
    assert shown.row("sum") == "sum, 180.000 g"
    assert shown.row("÷ 10 pieces") == "÷ 10 pieces, = 18.0000 g"
    assert shown.row("glucose-type carbohydrate, one piece").endswith("18.0 g")
    assert shown.row("cook: 900.0 g in, 900.0 g out")


def test_it_follows_the_slider_and_keeps_what_is_open(shown: Shown) -> None:
    shown.page.begin(key="glucose_type", basis="batch")
    item = shown.page.tree.item_of("dextrose")
    item.setExpanded(True)
    shown.drag(300.0)
    assert shown.row("sum") == "sum, 270.000 g"
    assert shown.page.headline.text().startswith("270.0 g")
    assert shown.page.tree.item_of("dextrose") is item  # changed in place
    assert item.isExpanded()
    shown.drag(100.0, "husk")  # another row comes in: made anew
    again = shown.page.tree.item_of("dextrose")
    assert again.isExpanded()
    assert not shown.page.tree.item_of("husk").isExpanded()
    shown.page.tree.setCurrentItem(again.child(0))
    shown.drag(0.0, "husk")
    current = shown.page.tree.currentItem()
    assert current is not None
    assert current.text(0).startswith("glucose 90 g")


def test_limits_say_what_the_truth_may_be_and_who_is_at_fault(qtbot: QtBot) -> None:
    shown = Shown(qtbot, squares(husk_g=100.0))
    shown.page.begin(key="CHOAVLDF", basis="batch")
    assert shown.page.headline.text().startswith("180.0–230.0 g")
    assert shown.row("husk") == "husk, 100.0, at most 50.00, at most 50.00, 22 %"
    assert "fibre not known" in shown.rows()
    limits = shown.row("◇")
    assert "180.00–230.00 g" in limits
    assert "not exactly known for husk" in limits
    shown.page.begin(key="FIBTG", basis="batch")
    assert shown.page.headline.text().startswith("not known")
    assert not any(row.startswith("husk") and row.endswith("0.00") for row in shown.rows())


def test_a_ratio_shows_its_two_parts_as_sections(shown: Shown) -> None:
    shown.page.begin(key="fructose_to_glucose")
    tops = [shown.page.tree.topLevelItem(k) for k in range(shown.page.tree.topLevelItemCount())]
    titles = [item.text(0) for item in tops if item is not None]
    assert titles[:2] == ["fructose-type carbohydrate, whole batch", "glucose-type carbohydrate, whole batch"]
    assert not shown.page.basis.isEnabled()
    assert shown.row("fructose-type carbohydrate ÷ glucose-type carbohydrate").endswith("= 0.0000")
    section = tops[1]
    assert isinstance(section, QTreeWidgetItem)
    assert section.isExpanded()
    assert section.child(0).text(0) == "dextrose"


def test_without_a_result_it_says_why_and_comes_back(shown: Shown) -> None:
    shown.page.begin(key="glucose_type")
    session = shown.session
    stage = replace(session.variant.stages[0], weight=WaterLost(amount=800.0))
    session.apply(edits.set_stage(session.project, session.variant_id, stage))
    assert shown.page.message.isVisible()
    assert "more water leaves than is there" in shown.page.message.text()
    assert not shown.page.tree.isVisible()
    assert shown.page.text() == ""
    session.undo_stack.undo()
    assert shown.page.tree.isVisible()
    assert not shown.page.message.isVisible()


def test_another_figure_is_chosen_there(shown: Shown, qtbot: QtBot) -> None:
    shown.page.begin(key="glucose_type", basis="portion")
    with qtbot.waitSignal(shown.page.quantityChosen) as caught:
        choose(shown.page, qtbot, "WATER")
    assert caught.args == ["WATER", "portion"]
    assert shown.row("water,") == "water, 700.0, 100.00, 700.00, 97 %"
    shown.page.basis.setFocus()
    qtbot.keyClick(shown.page.basis, Qt.Key.Key_Down)
    assert shown.page.headline.text().startswith("80.0 g")  # 720 g in 900 g
    assert "100 g" in shown.page.headline.text()


def test_it_can_stay_with_another_variant_or_follow_what_is_on_screen(shown: Shown) -> None:
    shown.page.begin(key="glucose_type", basis="batch", variant_id="second")
    assert "Race" in shown.page.headline.text()
    assert shown.page.headline.text().startswith("90.0 g")
    shown.page.begin(key="glucose_type", basis="batch")
    assert shown.page.headline.text().startswith("180.0 g")
    shown.session.switch_variant("second")
    assert shown.page.headline.text().startswith("90.0 g")


def test_copied_text_is_the_whole_derivation(shown: Shown, qtbot: QtBot) -> None:
    shown.page.begin(key="glucose_type", basis="portion")
    QApplication.clipboard().clear()
    qtbot.keyClick(shown.page.tree, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    text = QApplication.clipboard().text()
    assert text == shown.page.text()
    assert "dextrose: 200.0 g × 90.000 g/100 g = 180.000 g" in text
    assert "USDA SR26 12345" in text


def test_rows_open_by_keyboard_alone(shown: Shown, qtbot: QtBot) -> None:
    shown.page.begin(key="glucose_type", basis="portion")
    shown.page.setFocus()
    tree = shown.page.tree
    assert tree.hasFocus()
    item = tree.item_of("dextrose")
    assert tree.currentItem() is item
    qtbot.keyClick(tree, Qt.Key.Key_Return)
    assert item.isExpanded()
    qtbot.keyClick(tree, Qt.Key.Key_Left)
    assert not item.isExpanded()
    qtbot.keyClick(tree, Qt.Key.Key_Right)
    qtbot.keyClick(tree, Qt.Key.Key_Down)
    current = tree.currentItem()
    assert current is not None
    assert current.text(0).startswith("glucose 90 g")
