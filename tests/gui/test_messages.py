"""The dialogs: every button means what it says, and Escape never loses anything."""

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication, QMainWindow, QMessageBox
from pytestqt.qtbot import QtBot

from workbench.base.errors import ProblemKind, WorkbenchError
from workbench.composition.amounts import ParsedAmount
from workbench.ui.messages import Messages

READINGS = (ParsedAmount(1.5, "1.5 g"), ParsedAmount(1500.0, "1500 g"))


@pytest.fixture
def said() -> list[str]:
    return []


@pytest.fixture
def press(qtbot: QtBot, said: list[str]) -> Iterator[Callable[[str], None]]:
    """Say which button of the next box to press; "" is Escape.  What the box said is kept."""
    timer = QTimer()
    timer.setInterval(5)
    wanted: list[str] = []

    def act() -> None:
        box = QApplication.activeModalWidget()
        if not isinstance(box, QMessageBox):
            return
        timer.stop()
        said.append(f"{box.text()} {box.informativeText()} {box.detailedText()}")
        button = next((button for button in box.buttons() if button.text() == wanted[0]), None)
        if button is not None:
            qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
        else:
            qtbot.keyClick(box, Qt.Key.Key_Escape)

    def start(button: str) -> None:
        wanted[:] = [button]
        timer.start()

    timer.timeout.connect(act)
    yield start
    timer.stop()


@pytest.fixture
def boxes(qtbot: QtBot) -> Messages:
    window = QMainWindow()
    qtbot.addWidget(window)
    window.show()
    boxes = Messages(window, window.statusBar())
    boxes.window = window  # type: ignore[attr-defined]  # kept here so that it lives as long as the test
    return boxes


@pytest.mark.parametrize(
    ("ask", "answers"),
    [
        (
            lambda boxes: boxes.ask_save("squares"),
            {"save": "save", "discard changes": "discard", "cancel": "cancel", "": "cancel"},
        ),
        (
            lambda boxes: boxes.ask_recovery("a copy was kept", "delete the copy"),
            {"open the copy": "recover", "delete the copy": "discard", "decide later": "later", "": "later"},
        ),
        (
            lambda boxes: boxes.confirm("replace?", "replace it", "keep it"),
            {"replace it": True, "keep it": False, "": False},
        ),
        (
            lambda boxes: boxes.ask_reading("which?", READINGS),
            {"1.5 g": READINGS[0], "1500 g": READINGS[1], "type again": None, "": None},
        ),
    ],
    ids=["save", "recovery", "confirm", "reading"],
)
def test_every_button_means_what_it_says(
    boxes: Messages,
    press: Callable[[str], None],
    ask: Callable[[Messages], object],
    answers: dict[str, object],
) -> None:
    for button, meaning in answers.items():
        press(button)
        assert ask(boxes) == meaning, button


def test_an_error_is_told_with_every_finding_and_no_markup(
    boxes: Messages, press: Callable[[str], None], said: list[str]
) -> None:
    kind = ProblemKind("odd", "error", "line {n} is odd.", "Mend it.")
    error = WorkbenchError("It <b>cannot</b> be read.", where="a.fare", problems=[kind.at(n=n) for n in range(40)])
    press("")
    boxes.error(error)
    assert "a.fare: It <b>cannot</b> be read." in said[0]
    assert "line 0 is odd. Mend it." in said[0]
    assert "line 39 is odd." in said[0]
    assert "28 more" in said[0]


def test_warnings_carry_a_word_and_a_sign(boxes: Messages, press: Callable[[str], None], said: list[str]) -> None:
    press("")
    boxes.problems("opened with remarks", [ProblemKind("w", "warning", "a key is not known.").at()])
    assert "▲ warning: a key is not known." in said[0]
