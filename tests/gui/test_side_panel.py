"""The side panel: where it lies, what opens and closes it, where the keyboard goes, and what it costs."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from workbench.document import edits
from workbench.document.project import Project
from workbench.ui.main_window import MainWindow
from workbench.ui.panels.side_panel import SidePanel
from workbench.ui.session import Session
from workbench.ui.side_page import SidePage

SYRUP = "line-corn_syrup_light"


class Page(SidePage):
    def __init__(self, made: list[str], name: str) -> None:
        super().__init__()
        made.append(name)
        self.begun: list[dict[str, Any]] = []
        self.followed = 0
        self.line = QLineEdit(self)
        self.setFocusProxy(self.line)

    def begin(self, **what: Any) -> None:
        self.begun.append(what)

    def follow(self) -> None:
        self.followed += 1


class Place:
    """A recipe on the left, charts on the right, and a panel over the charts."""

    def __init__(self, qtbot: QtBot, project: Project) -> None:
        self.window = QWidget()
        qtbot.addWidget(self.window)
        self.recipe, self.charts = QLineEdit(), QWidget()
        layout = QHBoxLayout(self.window)
        layout.addWidget(self.recipe, 3)
        layout.addWidget(self.charts, 2)
        self.session = Session(project)
        self.made: list[str] = []
        self.panel = SidePanel(self.session, self.charts)
        for name in ("explanation", "differences"):
            self.panel.add_page(name, name, lambda name=name: Page(self.made, name))
        self.window.resize(1280, 720)
        self.window.show()
        qtbot.waitExposed(self.window)
        self.window.activateWindow()
        self.recipe.setFocus()

    def drag(self, grams: float) -> None:
        self.session.preview(edits.set_amount(self.session.base, self.session.variant_id, SYRUP, grams))
        self.session.flush()


@pytest.fixture
def place(qtbot: QtBot, project: Project) -> Place:
    return Place(qtbot, project)


def test_a_page_is_made_when_it_is_first_opened_and_told_what_to_show(place: Place) -> None:
    assert place.made == []
    place.panel.open_page("explanation", key="FAT")
    assert place.made == ["explanation"]
    place.panel.open_page("explanation", key="FIBTG")
    assert place.made == ["explanation"]
    assert place.panel.page("explanation").begun == [{"key": "FAT"}, {"key": "FIBTG"}]  # type: ignore[attr-defined]
    assert place.panel.page_key == "explanation"


def test_escape_closes_it_and_gives_the_keyboard_back(place: Place, qtbot: QtBot) -> None:
    place.panel.open_page("explanation")
    line = place.panel.page("explanation").line  # type: ignore[attr-defined]
    assert line.hasFocus()
    with qtbot.waitSignal(place.panel.closed):
        qtbot.keyClick(line, Qt.Key.Key_Escape)
    assert not place.panel.isVisible()
    assert place.panel.page_key == ""
    assert place.recipe.hasFocus()


def test_closing_it_leaves_the_keyboard_alone_where_it_is_elsewhere(place: Place) -> None:
    other = QLineEdit(place.window)
    other.show()
    place.panel.open_page("explanation")
    other.setFocus()
    place.panel.close_page()
    assert other.hasFocus()


def test_the_close_button_and_the_other_page_are_reached_by_keyboard(place: Place, qtbot: QtBot) -> None:
    place.panel.open_page("explanation")
    buttons = {b.text(): b for b in place.panel.findChildren(type(place.panel.close_button))}
    buttons["differences"].setFocus()
    qtbot.keyClick(buttons["differences"], Qt.Key.Key_Space)
    assert place.panel.page_key == "differences"
    place.panel.close_button.setFocus()
    qtbot.keyClick(place.panel.close_button, Qt.Key.Key_Space)
    assert place.panel.isHidden()
    assert place.recipe.hasFocus()  # not lost although the panel was walked through


def test_it_covers_the_right_of_the_charts_and_never_the_recipe(place: Place) -> None:
    place.panel.open_page("explanation")
    for width, height in ((1280, 720), (900, 500), (3840, 2160), (640, 400)):
        place.window.resize(width, height)
        QApplication.processEvents()
        left = place.panel.mapTo(place.window, QPoint(0, 0)).x()
        assert left >= place.charts.x() > place.recipe.geometry().right()
        assert place.panel.geometry().right() == place.charts.rect().right()
        assert place.panel.height() == place.charts.height()


def test_it_keeps_the_width_that_it_was_given(place: Place) -> None:
    place.window.resize(3840, 1200)
    QApplication.processEvents()
    place.panel.open_page("explanation")
    place.panel.set_kept_width(700)
    assert place.panel.width() == 700
    place.panel.close_page()
    place.panel.open_page("differences")
    assert (place.panel.width(), place.panel.kept_width) == (700, 700)
    place.window.resize(900, 600)  # less room than that
    QApplication.processEvents()
    assert place.panel.width() == place.charts.width()
    place.window.resize(3840, 1200)
    QApplication.processEvents()
    assert place.panel.width() == 700


def test_only_the_page_in_sight_follows_a_drag(place: Place) -> None:
    place.panel.open_page("differences")
    place.panel.open_page("explanation")
    shown, hidden = place.panel.page("explanation"), place.panel.page("differences")
    for grams in (130, 140, 150):
        place.drag(grams)
    assert (shown.followed, hidden.followed) == (3, 0)  # type: ignore[attr-defined]
    place.panel.close_page()
    place.drag(160)
    assert shown.followed == 3  # type: ignore[attr-defined]


def test_tab_goes_past_the_charts_only_while_they_are_covered(qtbot: QtBot, window: MainWindow) -> None:
    def stops() -> set[QWidget]:
        """Where the keyboard comes in the column of the charts, round the whole window."""
        found = set()
        for _k in range(60):
            qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
            focus = QApplication.focusWidget()
            if window.results.isAncestorOf(focus):
                found.add(focus)
        return found

    panel = window.details.side
    charts = stops()
    window.details.explain("FAT", "portion")
    inside = stops()
    assert charts and inside and all(panel.isAncestorOf(each) for each in inside)
    panel.close_page()
    assert stops() == charts
    window.resize(1920, 900)
    window.splitter.setSizes([900, 1020])
    window.details.explain("FAT", "portion")
    assert panel.width() < window.results.width() and charts < stops()
