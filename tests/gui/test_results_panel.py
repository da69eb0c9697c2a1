"""The results panel and its bars: what a user sees, hears and presses while amounts change.

The foods are made up so that every figure can be worked out in the head; the numbers themselves are checked below the
window.
"""

import itertools
import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from workbench.composition.food import Food, Value
from workbench.document.edits import set_amount, set_stage
from workbench.document.project import (
    ByWeight,
    FoodRef,
    Line,
    Project,
    Stage,
    Target,
    TargetSet,
    Variant,
    WaterLost,
)
from workbench.ui.panels.results_panel import ResultsPanel
from workbench.ui.plots.scale import Scale, round_limit, round_step
from workbench.ui.plots.stacked_bar import StackedBar
from workbench.ui.session import Session
from workbench.ui.theme import DARK, LIGHT, apply_theme

SUGARS = ("GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS", "STARCH", "DEXTN")
NOTHING = dict.fromkeys(("PROCNT", "FAT", "CHOCDF", "FIBTG", "FIBSOL", "FIBINS", *SUGARS, "FASAT", "NA"), 0.0)


def food(name: str, without: str = "", **values: float) -> Food:
    """A made-up food, per 100 g; ``without`` is a component that is not known."""
    known = {**NOTHING, **values}
    known.pop(without, None)
    return Food(id=name, name=name, values={tag: Value(value=value) for tag, value in known.items()})


FOODS = {
    "dextrose": food("dextrose", CHOCDF=100, GLUS=100, SUGAR=100, WATER=0),
    "fruit sugar": food("fruit sugar", CHOCDF=100, FRUS=100, SUGAR=100, WATER=0),
    "water": food("water", WATER=100, SUGAR=0),
    "husk": food("husk", without="FIBTG", CHOCDF=50, WATER=50, SUGAR=0),
}


def squares(**amounts: float) -> Project:
    """Pieces of 100 g from one stage; the second variant is made from the first and has targets."""
    lines = tuple(
        Line(id=name, stage_id="s", food_ref=FoodRef(kind="own", id=name.replace("_", " ")), amount_g=grams)
        for name, grams in amounts.items()
    )
    first = Variant(
        id="first", name="Original", lines=lines, stages=(Stage(id="s", name="mix"),), portioning=ByWeight(piece_g=100)
    )
    targets = TargetSet(
        id="t",
        name="race",
        targets=(
            Target(id="1", quantity="CHOAVLDF", low=20, high=25),
            Target(id="2", quantity="FIBTG", high=1),
        ),
    )
    second = replace(first, id="second", name="Race", parent_id="first", target_set_id="t")
    return Project(id="p", title="Squares", foods=FOODS, variants=(first, second), target_sets=(targets,))


@pytest.fixture
def show(qtbot: QtBot, qapp: QApplication) -> Callable[..., tuple[Session, ResultsPanel]]:
    def make(**amounts: float) -> tuple[Session, ResultsPanel]:
        apply_theme(qapp, "light")
        session = Session(squares(**amounts))
        session.switch_variant("second")
        panel = ResultsPanel(session)
        qtbot.addWidget(panel)
        panel.resize(450, 640)
        panel.show()
        qtbot.waitExposed(panel)
        return session, panel

    return make


def drag(session: Session, line: str, grams: float) -> None:
    session.preview(set_amount(session.base, "second", line, grams))
    session.flush()


def bar_colours(bar: StackedBar) -> list[str]:
    """Colours along the middle of a bar, without repeats."""
    image, ratio = bar.grab().toImage(), bar.devicePixelRatioF()
    y = round((bar.bar_area.top() + 2) * ratio)
    row = [image.pixelColor(x, y).name() for x in range(image.width())]
    return [colour for colour, _same in itertools.groupby(row)]


# --- figures ------------------------------------------------------------------------------------------------------


def test_a_drag_moves_the_figure_and_words_and_leaves_the_scale_alone(show: Callable[..., tuple]) -> None:
    session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    bar = panel.bar("CHOAVLDF")
    assert panel.figure_text("CHOAVLDF") == "20.0 g"  # 200 g in 1000 g
    assert "glucose-type 15.0 g; fructose-type 5.0 g" in bar.accessibleDescription()
    assert LIGHT.carbohydrate[0].name() in bar_colours(bar)
    start = bar.limit
    limits = []
    for grams in (400, 1800, 900, 50, 0):
        drag(session, "dextrose", grams)
        limits.append(bar.limit)
    assert panel.figure_text("CHOAVLDF") == "5.9 g"  # 50 g in 850 g
    assert LIGHT.carbohydrate[0].name() not in bar_colours(bar)
    assert limits == sorted(limits)  # it only grew under the hand
    assert limits[0] > start
    assert panel.bar("FIBTG").limit == bar.limit  # grams are compared by eye
    session.commit()
    assert bar.limit < limits[-1]  # and gave the room back on release


def test_per_what_the_figures_are(show: Callable[..., tuple]) -> None:
    _session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    shown = {}
    for basis in ("portion", "per_100g", "per_25g_carbohydrate", "per_hour", "batch"):
        panel.set_basis(basis)
        shown[basis] = panel.figure_text("CHOAVLDF")
    assert shown == {
        "portion": "20.0 g",
        "per_100g": "20.0 g",
        "per_25g_carbohydrate": "25.0 g",
        "per_hour": "60.0 g",  # three pieces
        "batch": "200.0 g",
    }
    assert panel.figure_text("headline").startswith("whole batch · 1000 g")
    assert panel.figure_text("WATER") == "80.0 %"
    assert panel.figure_text("fructose_to_glucose") == "0.33 : 1"


def test_what_is_not_known_is_said_and_drawn_as_an_open_end(show: Callable[..., tuple]) -> None:
    _session, panel = show(dextrose=200, husk=100, water=700)
    fibre, known = panel.bar("FIBTG"), panel.bar("FAT")
    assert panel.figure_text("FIBTG") == "not known"
    assert "not known" in fibre.accessibleDescription()
    assert "husk" in fibre.hint_for("FIBTG")
    hatched, plain = bar_colours(fibre), bar_colours(known)
    assert len(hatched) > len(plain) + 4  # strokes where the husk's fibre may lie
    # 25 g of the 100 g of husk may all be fibre, so carbohydrate lies between 20 and 25.
    assert panel.figure_text("CHOAVLDF") == "20.0–25.0 g"


def test_targets_and_the_parent_stand_beside_the_figure_in_words(show: Callable[..., tuple]) -> None:
    session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    bar = panel.bar("CHOAVLDF")
    assert "target between 20.0 and 25.0; met; Original 20.0 g" in bar.accessibleDescription()
    assert LIGHT.band.name() in bar_colours(bar)
    drag(session, "dextrose", 50)  # 100 g in 900 g
    assert "short; Original 20.0 g" in bar.accessibleDescription()
    panel.set_basis("batch")  # a target per piece says nothing of a batch
    assert "target" not in bar.accessibleDescription()
    assert "Original 200.0 g" in bar.accessibleDescription()
    session.switch_variant("first")
    assert "target" not in bar.accessibleDescription()


def test_without_a_valid_result_no_figure_is_shown_and_the_error_stands_in_its_place(
    show: Callable[..., tuple],
) -> None:
    session, panel = show(dextrose=200, water=800)
    drying = Stage(id="s", name="bake", weight=WaterLost(amount=900))
    session.apply(set_stage(session.project, "second", drying))
    errors = panel.errors
    assert errors.isVisibleTo(panel)
    assert "Check the weight after cooking" in errors.accessibleDescription()
    for key in ("CHOAVLDF", "FAT", "medium_chain", "FIBTG", "residue_organic"):
        assert panel.figure_text(key) == "–"
    assert LIGHT.carbohydrate[0].name() not in bar_colours(panel.bar("CHOAVLDF"))
    session.undo_stack.undo()
    assert not errors.isVisibleTo(panel)
    assert panel.figure_text("CHOAVLDF") == "20.0 g"


# --- hand and keyboard ----------------------------------------------------------------------------------------------


def test_a_part_opens_the_ingredients_that_make_it(show: Callable[..., tuple], qtbot: QtBot) -> None:
    session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    bar, listed = panel.bar("CHOAVLDF"), panel.ingredients
    middle = bar.bar_area.center().y()
    with qtbot.waitSignal(panel.segmentActivated) as caught:
        qtbot.mouseClick(bar, Qt.MouseButton.LeftButton, pos=QPoint(bar.bar_area.left() + 5, middle))
    assert caught.args == ["glucose_type"]
    assert "dextrose 15.0 g, 100 %" in listed.accessibleDescription()
    assert "fruit sugar" not in listed.accessibleDescription()
    qtbot.keyClick(bar, Qt.Key.Key_Escape)
    assert not listed.isVisible()
    bar.setFocus()
    qtbot.keyClick(bar, Qt.Key.Key_Return)  # the whole
    said = listed.accessibleDescription()
    assert said.index("dextrose 15.0 g, 75 %") < said.index("fruit sugar 5.0 g, 25 %")
    qtbot.keyClick(bar, Qt.Key.Key_Right)
    qtbot.keyClick(bar, Qt.Key.Key_Right)
    with qtbot.waitSignal(panel.segmentActivated) as caught:
        qtbot.keyClick(bar, Qt.Key.Key_Return)
    assert caught.args == ["fructose_type"]
    drag(session, "fruit_sugar", 0)  # the open list follows
    assert "no ingredient brings any" in listed.accessibleDescription()


def test_the_basis_is_chosen_with_the_arrow_keys(show: Callable[..., tuple], qtbot: QtBot) -> None:
    _session, panel = show(dextrose=200, water=800)
    button = panel.choice_button("portion")
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Right)
    qtbot.keyClick(panel.choice_button("per_100g"), Qt.Key.Key_Space)
    assert panel.basis == "per_100g"


# --- looks ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [400, 450, 640, 900])
def test_no_label_covers_another_and_all_stay_inside(width: int, show: Callable[..., tuple]) -> None:
    session, panel = show(dextrose=200, husk=100, fruit_sugar=3, water=700)
    panel.resize(width, 640)
    panel.set_basis("batch")
    drag(session, "dextrose", 98765)  # longer figures while the hand is on the slider
    QApplication.processEvents()  # the column makes room for another line of the legend
    for key in ("CHOAVLDF", "FAT", "FIBTG"):
        bar = panel.bar(key)
        areas = bar.legend_areas()
        assert all(bar.rect().contains(area) for area in areas)
        assert not any(one.intersects(other) for one, other in itertools.combinations(areas, 2))


def test_all_five_blocks_are_in_sight_in_a_small_window(show: Callable[..., tuple]) -> None:
    # What a window of 1280 x 720 leaves for the answer: LOOK of the project, right-hand side.
    _session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    panel.resize(450, 520)
    QApplication.processEvents()
    for key in ("CHOAVLDF", "FAT", "medium_chain", "FIBTG", "residue_organic", "residue_fibre_based"):
        bar = panel.bar(key)
        assert not bar.visibleRegion().isEmpty()
        assert bar.visibleRegion().boundingRect() == bar.rect()


def test_a_dark_look_reaches_the_bars(show: Callable[..., tuple], qapp: QApplication) -> None:
    _session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    apply_theme(qapp, "dark")
    seen = bar_colours(panel.bar("CHOAVLDF"))
    assert DARK.track.name() in seen
    assert LIGHT.track.name() not in seen
    apply_theme(qapp, "light")


# --- scales ---------------------------------------------------------------------------------------------------------


@given(st.floats(min_value=0.01, max_value=1e6))
def test_an_axis_is_round_and_not_much_longer_than_needed(needed: float) -> None:
    limit = round_limit(needed)
    assert 1.05 * needed <= limit <= 1.7 * needed + 1e-9
    parts = limit / round_step(limit)
    assert 2.9 <= parts <= 5.1
    assert f"{limit / 10 ** math.floor(math.log10(limit) + 1e-9):.6g}" in ("1", "1.5", "2", "3", "4", "5", "6", "8")


@given(st.lists(st.floats(min_value=0, max_value=1000), min_size=2, max_size=20))
def test_a_scale_grows_on_need_and_shrinks_only_when_told(figures: list[float]) -> None:
    scale = Scale(1.0)
    for before, figure in itertools.pairwise(figures):
        scale.fit(before, may_shrink=False)
        held = scale.limit
        scale.fit(figure, may_shrink=False)
        assert scale.limit >= max(held, figure)
    scale.fit(figures[-1], may_shrink=True)
    assert scale.limit == round_limit(max(figures[-1], 1.0))
