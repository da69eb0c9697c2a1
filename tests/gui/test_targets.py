"""Targets in view: typed, dragged at their edges, moved with keys, removed; each is one undo step."""

from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QAction, QMouseEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.gui.test_results_panel import show, squares
from workbench.base.errors import AmountError
from workbench.composition.food import Pack
from workbench.document import edits
from workbench.storage.kept_targets import kept_targets_file
from workbench.storage.project_file import save_project
from workbench.ui.dialogs import target_dialog
from workbench.ui.dialogs.target_dialog import TargetDialog
from workbench.ui.dialogs.target_reading import read_limit
from workbench.ui.panels.results_panel import ResultsPanel
from workbench.ui.plots.band_edges import edge_near, edge_step, placed
from workbench.ui.plots.reading import Band
from workbench.ui.plots.stacked_bar import StackedBar
from workbench.ui.session import Session
from workbench.ui.targets import TargetWork

__all__ = ["show"]  # the panel of the other tests, as a fixture
Show = Callable[..., tuple[Session, ResultsPanel]]
ALT, SHIFT = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ShiftModifier
NO_KEYS = Qt.KeyboardModifier.NoModifier
CTRL = Qt.KeyboardModifier.ControlModifier


def targets_of(session: Session) -> dict[str, tuple[float | None, float | None, float | None]]:
    used = next((s for s in session.project.target_sets if s.id == session.variant.target_set_id), None)
    return {t.quantity: (t.low, t.high, t.aim) for t in used.targets} if used else {}


def move(bar: StackedBar, at: QPoint, *, held: bool = True) -> None:
    """The mouse moves; Qt's own test mouse moves without its buttons."""
    buttons = Qt.MouseButton.LeftButton if held else Qt.MouseButton.NoButton
    event = QMouseEvent(
        QEvent.Type.MouseMove, at.toPointF(), bar.mapToGlobal(at).toPointF(), Qt.MouseButton.NoButton, buttons, NO_KEYS
    )
    QApplication.sendEvent(bar, event)


# --- where an edge may go ---------------------------------------------------------------------------------------------


def test_an_edge_moves_in_round_steps_and_never_past_another() -> None:
    band = Band(20.0, 25.0, 22.0, "")
    assert edge_step(30.0, 0.1) == 0.5
    assert edge_step(0.6, 0.01) == 0.01
    assert placed(band, "low", 18.26, 0.5) == 18.5
    assert placed(band, "low", 24.0, 0.5) == 22.0  # stops at the aim
    assert placed(band, "aim", 40.0, 0.5) == 25.0
    assert placed(band, "high", 3.0, 0.5) == 22.0
    assert placed(Band(None, 25.0, None, ""), "low", -4.0, 0.5) == 0.0


def test_where_edges_lie_on_one_another_each_side_takes_the_one_that_can_move_there() -> None:
    band = Band(20.0, 20.0, None, "")
    places = {"low": 100, "high": 100}
    assert edge_near(band, places, 98, 5) == "low"
    assert edge_near(band, places, 103, 5) == "high"
    assert edge_near(band, places, 120, 5) is None


# --- by hand ----------------------------------------------------------------------------------------------------------


def test_an_edge_is_dragged_with_the_mouse_as_one_undo_step(show: Show, qtbot: QtBot) -> None:
    session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    bar = panel.bar("CHOAVLDF")
    limit, area = bar.limit, bar.bar_area

    def at(value: float) -> QPoint:
        return QPoint(area.left() + round(value / limit * area.width()), area.center().y())

    move(bar, at(20), held=False)
    assert bar.cursor().shape() == Qt.CursorShape.SplitHCursor
    qtbot.mousePress(bar, Qt.MouseButton.LeftButton, pos=at(20))
    for value in (19, 17, 15):
        move(bar, at(value))
        session.flush()
    assert bar.band == Band(15.0, 25.0, None, "between 15.0 and 25.0")
    assert "between 15.0 and 25.0" in panel.verdicts.accessibleDescription()
    qtbot.mouseRelease(bar, Qt.MouseButton.LeftButton, pos=at(15))
    assert targets_of(session)["CHOAVLDF"] == (15.0, 25.0, None)
    assert session.undo_stack.undoText() == "set carbohydrate (without fibre) to at least 15.0 g"
    assert not panel.ingredients.isVisible()  # a drag is no click
    session.undo_stack.undo()
    assert targets_of(session)["CHOAVLDF"] == (20.0, 25.0, None)
    assert not session.undo_stack.canUndo()


def test_escape_gives_an_edge_back_and_the_axis_does_not_run_away(show: Show, qtbot: QtBot) -> None:
    session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    bar = panel.bar("CHOAVLDF")
    limit, area = bar.limit, bar.bar_area
    edge = QPoint(area.left() + round(25 / limit * area.width()), area.center().y())
    qtbot.mousePress(bar, Qt.MouseButton.LeftButton, pos=edge)
    for again in range(3):
        move(bar, QPoint(area.right() + 200 + again, edge.y()))
        session.flush()
    assert bar.limit == limit
    assert bar.band is not None and bar.band.high == limit
    qtbot.keyClick(bar, Qt.Key.Key_Escape)
    assert targets_of(session)["CHOAVLDF"] == (20.0, 25.0, None)
    qtbot.mouseRelease(bar, Qt.MouseButton.LeftButton, pos=edge)
    assert not session.undo_stack.canUndo()


def test_edges_move_with_keys_and_one_that_is_missing_begins_at_the_figure(show: Show, qtbot: QtBot) -> None:
    session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    bar = panel.bar("CHOAVLDF")
    bar.setFocus()
    for _step in range(2):
        qtbot.keyClick(bar, Qt.Key.Key_Left, ALT)
    qtbot.keyClick(bar, Qt.Key.Key_Right, ALT | SHIFT)
    assert targets_of(session)["CHOAVLDF"] == (19.0, 25.5, None)
    assert session.undo_stack.count() == 3
    panel.set_basis("per_hour")
    qtbot.keyClick(bar, Qt.Key.Key_Right, ALT)
    session.flush()
    assert bar.band is not None and bar.band.low == 60.0  # the figure of three pieces
    assert "per hour: 60.0 g, at least 60.0: met" in panel.verdicts.accessibleDescription()
    session.undo_stack.undo()
    assert bar.band is None


def test_a_variant_without_targets_gets_a_set_of_its_own(show: Show, qtbot: QtBot) -> None:
    session, panel = show(dextrose=150, water=850)
    session.switch_variant("first")
    assert "No targets yet" in panel.verdicts.accessibleDescription()
    bar = panel.bar("FAT")
    bar.setFocus()
    qtbot.keyClick(bar, Qt.Key.Key_Right, ALT | SHIFT)
    assert targets_of(session) == {"FAT": (None, 0.0, None)}
    assert len(session.project.target_sets) == 2
    session.switch_variant("second")
    assert "CHOAVLDF" in targets_of(session)


def test_figures_are_asked_why(show: Show, qtbot: QtBot) -> None:
    _session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    bar, asked = panel.bar("CHOAVLDF"), []
    panel.figureActivated.connect(lambda key, basis: asked.append((key, basis)))
    middle = bar.bar_area.center().y()
    qtbot.mouseClick(bar, Qt.MouseButton.LeftButton, CTRL, QPoint(bar.bar_area.left() + 5, middle))
    bar.setFocus()
    qtbot.keyClick(bar, Qt.Key.Key_E, CTRL)
    lines = panel.verdicts
    lines.setFocus()
    qtbot.keyClick(lines, Qt.Key.Key_Down)
    qtbot.keyClick(lines, Qt.Key.Key_E, CTRL)
    panel.set_basis("per_hour")
    figures = panel.figures
    qtbot.mouseClick(figures, Qt.MouseButton.LeftButton, pos=figures.areas()[4].center())
    qtbot.mouseClick(figures, Qt.MouseButton.LeftButton, pos=figures.areas()[0].center())
    assert asked == [
        ("glucose_type", "portion"),
        ("CHOAVLDF", "portion"),
        ("FIBTG", "portion"),
        ("WATER", "per_100g"),  # a percentage whatever the rest is per
        ("PROCNT", "per_hour"),
    ]


# --- by typing --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "quantity", "figure"),
    [("20", "CHOAVLDF", 20.0), ("1,5 g", "FIBTG", 1.5), ("200 mg", "NA", 200.0), (" ", "FAT", None), ("½", "FAT", 0.5)],
)
def test_a_limit_is_read_as_it_is_typed(text: str, quantity: str, figure: float | None) -> None:
    assert read_limit(text, quantity) == figure


@pytest.mark.parametrize("text", ["lots", "20 kg", "-3", "1,500", "1e400", "2 3 4 g", "\u202e5"])
def test_a_limit_that_cannot_be_read_is_refused_with_a_way_out(text: str) -> None:
    with pytest.raises(AmountError) as caught:
        read_limit(text, "CHOAVLDF")
    assert caught.value.hint


@pytest.fixture
def dialog(qtbot: QtBot, qapp: QApplication) -> TargetDialog:
    made = TargetDialog(squares(dextrose=100), "second", lambda _quantity, _basis: "20.0 g")
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    made.activateWindow()
    return made


def type_into(qtbot: QtBot, dialog: TargetDialog, field: str, text: str) -> None:
    box = dialog.limits[field]
    box.clear()
    qtbot.keyClicks(box, text)
    if not text:
        box.textEdited.emit("")


def test_typing_changes_the_target_and_what_is_wrong_is_said_at_once(dialog: TargetDialog, qtbot: QtBot) -> None:
    done = dialog.buttons.buttons()[0]
    type_into(qtbot, dialog, "aim", "22,5")
    assert dialog.list.item(0).text() == "carbohydrate (without fibre) per piece: between 20.0 and 25.0, aim 22.5 g"
    assert done.isEnabled()
    type_into(qtbot, dialog, "low", "many")
    assert "at least: “many” is not a figure in g." in dialog.message.text()
    assert not done.isEnabled()
    type_into(qtbot, dialog, "low", "26")
    assert "must rise in this order" in dialog.message.text()
    for field in dialog.limits:
        type_into(qtbot, dialog, field, "")
    assert "type a figure in one of the three fields" in dialog.message.text()
    type_into(qtbot, dialog, "high", "30")
    assert done.isEnabled()
    (targets,) = dialog.choice().target_sets
    assert (targets.targets[0].low, targets.targets[0].high, targets.targets[0].aim) == (None, 30.0, None)


def test_targets_are_added_on_any_quantity_and_removed(dialog: TargetDialog, qtbot: QtBot) -> None:
    dialog.add("fructose_to_glucose")
    assert dialog.basis.count() == 1  # a ratio is the same on every basis
    type_into(qtbot, dialog, "aim", "0.8")
    dialog.add("CHOAVLDF", "per_hour")
    type_into(qtbot, dialog, "low", "60")
    dialog.list.setCurrentRow(0)
    dialog.list.setFocus()
    qtbot.keyClick(dialog.list, Qt.Key.Key_Delete)
    choice = dialog.choice()
    assert [(t.quantity, t.basis) for t in choice.target_sets[0].targets] == [
        ("FIBTG", "portion"),
        ("fructose_to_glucose", "batch"),
        ("CHOAVLDF", "per_hour"),
    ]
    assert choice.target_set_id == "t"


def test_a_set_is_copied_named_and_left(dialog: TargetDialog, qtbot: QtBot) -> None:
    dialog.copy_set.click()
    dialog.name.clear()
    qtbot.keyClicks(dialog.name, "gravel")
    copied = dialog.choice()
    assert [s.name for s in copied.target_sets] == ["race", "gravel"]
    assert copied.target_set_id == copied.target_sets[1].id
    assert {t.id for t in copied.target_sets[0].targets}.isdisjoint(t.id for t in copied.target_sets[1].targets)
    dialog.sets.setCurrentIndex(dialog.sets.findData(None))
    dialog.sets.activated.emit(dialog.sets.currentIndex())
    assert dialog.choice().target_set_id is None
    assert "No targets yet" in dialog.message.text()


@pytest.fixture
def kept_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POCKETFARE_HOME", str(tmp_path / "home"))
    return kept_targets_file()


def offered(dialog: TargetDialog) -> dict[str, QAction]:
    dialog.sources.fill()
    return {action.text(): action for action in dialog.sources.menu().actions()}


def test_a_set_is_kept_for_other_projects_and_taken_over_there_under_ids_of_its_own(
    kept_file: Path, dialog: TargetDialog, qtbot: QtBot
) -> None:
    dialog.name.clear()
    qtbot.keyClicks(dialog.name, "gravel & mud")
    offered(dialog)["&keep this set for other projects"].trigger()
    assert "“gravel & mud” is kept" in dialog.message.text()
    dialog.reject()

    other = TargetDialog(squares(water=10), "first", lambda _quantity, _basis: "", None)
    qtbot.addWidget(other)
    offered(other)["gravel && mud"].trigger()
    assert [other.list.item(k).text() for k in range(other.list.count())] == [
        "carbohydrate (without fibre) per piece: between 20.0 and 25.0 g",
        "fibre per piece: at most 1.0 g",
    ]
    choice = other.choice()
    assert [s.name for s in choice.target_sets] == ["race", "gravel & mud"]
    taken = choice.target_sets[1]
    assert choice.target_set_id == taken.id
    assert {t.id for t in taken.targets}.isdisjoint(t.id for t in choice.target_sets[0].targets)
    session = Session(squares(water=10))
    before = session.project
    session.apply(edits.choose_targets(before, "first", choice.target_sets, choice.target_set_id))
    assert session.variant.target_set_id == taken.id
    session.undo_stack.undo()
    assert session.project == before and not session.undo_stack.canUndo()


def test_what_cannot_be_kept_or_taken_over_is_said_in_one_message_and_costs_nothing(
    kept_file: Path, dialog: TargetDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    kept_file.parent.mkdir(parents=True)
    kept_file.write_text("spilled coffee", encoding="utf-8")
    actions = offered(dialog)
    assert str(kept_file) in dialog.message.text() and "cannot be read" in dialog.message.text()
    actions["&keep this set for other projects"].trigger()
    assert "cannot be read" in dialog.message.text() and kept_file.read_text(encoding="utf-8") == "spilled coffee"
    before = dialog.choice()
    dialog.sources.take_from(tmp_path / "gone.fare")
    assert "There is no such file" in dialog.message.text()
    save_project(tmp_path / "bare.fare", replace(squares(water=10), target_sets=(), variants=()))
    dialog.sources.take_from(tmp_path / "bare.fare")
    assert "“bare.fare” has no targets" in dialog.message.text()
    assert dialog.choice() == before
    save_project(tmp_path / "other.fare", squares(water=10))
    dialog.sources.take_from(tmp_path / "other.fare")
    assert [s.name for s in dialog.choice().target_sets] == ["race", "race 2"]
    type_into(qtbot, dialog, "low", "")
    type_into(qtbot, dialog, "high", "")
    assert not offered(dialog)["&keep this set for other projects"].isEnabled(), "a target without a figure"


def test_a_cost_says_its_currency_and_what_has_no_price(qtbot: QtBot) -> None:
    project = squares(dextrose=100, water=50)
    sugar = replace(project.foods["dextrose"], packs=(Pack(size_g=1000.0, price=4.0, currency="NOK"),))
    project = replace(project, foods=project.foods | {"dextrose": sugar})
    for known, now in (
        (squares(dextrose=100), "no ingredient has a pack"),
        (project, "at least 0.27 NOK; no price in"),
    ):
        session = Session(known)
        made = TargetDialog(known, "first", TargetWork(session).figure, None, "", ("cost", "portion"))
        qtbot.addWidget(made)
        assert now in made.form.now.text()
    type_into(qtbot, made, "high", "0.30 NOK")
    assert made.list.currentItem().text() == "cost per piece: at most 0.30 NOK"


def test_the_word_of_a_bar_and_a_line_of_the_strip_open_their_target(
    show: Show, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    session, panel = show(dextrose=150, fruit_sugar=50, water=800)
    opened = []

    def ask(project, variant_id, figure, parent, target_id="", wanted=None):  # type: ignore[no-untyped-def]
        opened.append((target_id, wanted))
        dialog = TargetDialog(project, variant_id, figure, parent, target_id, wanted)
        dialog.limits["high"].setText("30")
        dialog.limits["high"].textEdited.emit("30")
        return dialog.choice()

    monkeypatch.setattr(target_dialog, "ask_targets", ask)
    bar = panel.bar("CHOAVLDF")
    bar.setFocus()
    qtbot.keyClick(bar, Qt.Key.Key_T)
    lines = panel.verdicts
    qtbot.mouseDClick(lines, Qt.MouseButton.LeftButton, pos=lines.areas()[1].center())
    fat = panel.bar("FAT")
    fat.setFocus()
    qtbot.keyClick(fat, Qt.Key.Key_T)
    assert opened == [("1", None), ("2", None), ("", ("FAT", "portion"))]
    assert targets_of(session) == {"CHOAVLDF": (20, 30, None), "FIBTG": (None, 30, None), "FAT": (None, 30, None)}
    assert session.undo_stack.count() == 3
    found = panel.targets.find(("FAT",), "portion")
    assert found is not None
    panel.targets.remove(found)
    assert "FAT" not in targets_of(session)
    assert session.undo_stack.undoText() == "remove the target on fat"
