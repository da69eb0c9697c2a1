"""Differences to another variant: what changed in the recipe, what it did, in words and shapes."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.support import make_food, make_line, make_project, make_variant
from workbench.document import edits
from workbench.document.project import ByWeight, Project, WaterLost
from workbench.ui.panels.differences_page import DifferencesPage
from workbench.ui.session import Session

BASE = dict.fromkeys(
    (
        "FAT",
        "PROCNT",
        "CHOCDF",
        "FIBTG",
        "SUGAR",
        "GLUS",
        "FRUS",
        "GALS",
        "SUCS",
        "LACS",
        "MALS",
        "STARCH",
        "NA",
        "WATER",
    ),
    0.0,
)
DEXTROSE = make_food("dextrose", BASE | {"GLUS": 100.0, "CHOCDF": 100.0, "SUGAR": 100.0})
BUTTER = make_food("butter", BASE | {"FAT": 80.0, "WATER": 20.0})
OIL = make_food("coconut oil", BASE | {"FAT": 100.0})
WATER = make_food("water", BASE | {"WATER": 100.0})
HUSK = make_food("husk", {"WATER": 50.0, "CHOCDF": 50.0, "SUGAR": 0.0, "FAT": 0.0, "PROCNT": 0.0})


def squares() -> Project:
    lines = (make_line(DEXTROSE, 200.0), make_line(BUTTER, 100.0), make_line(WATER, 700.0))
    first = make_variant(*lines, id="first", name="Original", portioning=ByWeight(piece_g=100.0))
    swapped = (lines[0], replace(make_line(OIL, 100.0), id="butter"), lines[2])
    second = replace(first, id="second", name="Race", parent_id="first", lines=swapped, pace_per_hour=2.0)
    third = replace(second, id="third", name="Long ride", lines=(*swapped, make_line(HUSK, 200.0)))
    return make_project([DEXTROSE, BUTTER, OIL, WATER, HUSK], first, second, third)


class Shown:
    def __init__(self, qtbot: QtBot, project: Project, variant_id: str = "second") -> None:
        self.session = Session(project)
        self.session.switch_variant(variant_id)
        self.page = DifferencesPage(self.session)
        self.session.evaluated.connect(self.page.follow)
        qtbot.addWidget(self.page)
        self.page.resize(500, 600)
        self.page.show()
        qtbot.waitExposed(self.page)
        self.page.activateWindow()
        self.page.begin()

    def row(self, start: str) -> str:
        return next(row for row in self.page.tree.row_texts() if row.startswith(start))

    def order(self) -> list[str]:
        return [row.key for row in self.page.tree.rows()[1].children]

    def drag(self, line: str, grams: float) -> None:
        self.session.preview(edits.set_amount(self.session.base, self.session.variant_id, line, grams))
        self.session.flush()


@pytest.fixture
def shown(qtbot: QtBot) -> Shown:
    return Shown(qtbot, squares())


def test_it_begins_with_the_parent_and_says_what_changed_and_what_it_did(shown: Shown) -> None:
    assert shown.page.other.currentText() == "Original"
    assert "⇄ replaced: butter (10.0 %) by coconut oil (10.0 %)" in shown.page.tree.row_texts()
    assert shown.row("fat g") == "fat g, 8.0, 10.0, ▲ +2.0"
    assert shown.row("water g") == "water g, 72.0, 70.0, ▼ −2.0"
    assert shown.row("carbohydrate (without fibre) g") == "carbohydrate (without fibre) g, 20.0, 20.0, = same"


def test_what_moved_outside_its_rounding_stands_first(shown: Shown) -> None:
    order = shown.order()
    assert order.index("FAT") < order.index("CHOAVLDF")
    assert order.index("WATER") < order.index("CHOAVLDF")


def test_it_follows_the_slider_without_rows_changing_places_under_the_hand(shown: Shown) -> None:
    before = shown.order()
    shown.drag("butter", 50.0)  # 50 g fat in 950 g
    assert shown.row("fat g") == "fat g, 8.0, 5.3, ▼ −2.7"
    assert shown.order() == before
    assert "⇄ replaced: butter (10.0 %) by coconut oil (5.3 %)" in shown.page.tree.row_texts()
    shown.session.commit()
    order = shown.order()
    assert order.index("CHOAVLDF") < order.index("PROCNT")  # it moved as well, and protein did not


def test_per_hour_counts_the_pace_of_each(shown: Shown, qtbot: QtBot) -> None:
    shown.page.basis.setCurrentIndex(shown.page.basis.findData("per_hour"))
    shown.page.basis.activated.emit(shown.page.basis.currentIndex())
    assert shown.row("weight g") == "weight g, 300.0, 200.0, ▼ −100.0"
    assert shown.row("fat g") == "fat g, 24.0, 20.0, ▼ −4.0"


def test_another_variant_is_chosen_and_stays_chosen(shown: Shown, qtbot: QtBot) -> None:
    shown.page.other.setFocus()
    qtbot.keyClick(shown.page.other, Qt.Key.Key_Down)
    assert shown.page.other.currentText() == "Long ride"
    shown.drag("butter", 90.0)
    shown.session.commit()
    assert shown.page.other.currentText() == "Long ride"
    assert "− removed: husk, 16.7 % of the batch" in shown.page.tree.row_texts()
    shown.session.switch_variant("third")  # a variant is not compared with itself
    assert shown.page.other.currentText() in ("Original", "Race")


def test_what_is_not_known_has_no_direction(qtbot: QtBot) -> None:
    shown = Shown(qtbot, squares(), "third")
    assert shown.row("fibre g") == "fibre g, 0.0, not known, ◇ cannot tell"


def test_without_another_variant_it_says_what_to_do(qtbot: QtBot) -> None:
    project = squares()
    shown = Shown(qtbot, replace(project, variants=project.variants[:1]), "first")
    assert "Make another" in shown.page.message.text()
    assert not shown.page.tree.isVisible()
    session = shown.session
    edit, variant_id = edits.new_variant(session.project, "Race", "first")
    session.apply(edit, variant_id)
    assert shown.page.tree.isVisible()
    assert "no ingredient's share of the batch changed" in shown.page.tree.row_texts()


def test_without_a_result_it_names_the_variant_and_why(shown: Shown) -> None:
    session = shown.session
    stage = replace(session.variant.stages[0], weight=WaterLost(amount=900.0))
    session.apply(edits.set_stage(session.project, "first", stage))
    assert "“Original” has no result" in shown.page.message.text()
    assert "more water leaves than is there" in shown.page.message.text()


def test_it_is_copied_as_text(shown: Shown, qtbot: QtBot) -> None:
    qtbot.keyClick(shown.page.tree, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    text = QApplication.clipboard().text()
    assert text.splitlines()[0] == "Race compared with Original, one piece"
    assert "  fat g: 8.0 → 10.0  ▲ +2.0" in text
    assert "  ⇄ replaced: butter (10.0 %) by coconut oil (10.0 %)" in text
