"""A small project of the scenario, made in code, and a window without dialogs."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

import pytest
from PySide6.QtCore import QEvent, QTimer
from PySide6.QtWidgets import QApplication, QDialog, QWidget
from pytestqt.qtbot import QtBot

from workbench.base.errors import WorkbenchError
from workbench.base.settings import SettingsFile
from workbench.composition.bundled import bundled_foods
from workbench.document.project import ByCount, FoodRef, Line, Project, Stage, Variant, Weighed
from workbench.ui.main_window import MainWindow
from workbench.ui.messages import Messages

GRAMS = {"maize_meal_fine": 300.0, "water": 1100.0, "corn_syrup_light": 120.0, "coconut_cream": 60.0, "salt": 3.0}
FOLDED_IN = {"corn_syrup_light", "coconut_cream"}


def maize_square() -> Project:
    """Twenty maize squares: 1403 g go into the pot, 1220 g come out, 180 g are folded in."""
    foods = {key: bundled_foods()[key] for key in GRAMS}
    order = ("maize_meal_fine", "water", "salt", "corn_syrup_light", "coconut_cream")
    lines = tuple(
        Line(
            id=f"line-{key}",
            stage_id="fold" if key in FOLDED_IN else "cook",
            food_ref=FoodRef(kind="bundled", id=key),
            amount_g=GRAMS[key],
        )
        for key in order
    )
    amounts = {line.id: line.amount_g for line in lines if line.stage_id == "cook"}
    stages = (
        Stage(id="cook", name="cook the maize", kind="cook", weight=Weighed(in_g=1403, out_g=1220, amounts=amounts)),
        Stage(id="fold", name="fold in", kind="fold_in"),
        Stage(id="press", name="press", kind="press"),
    )
    original = Variant(
        id="original", name="Original", purpose="original", lines=lines, stages=stages, portioning=ByCount(count=20)
    )
    return Project(id="squares", title="Saltmarsh maize squares", foods=foods, variants=(original,))


@pytest.fixture(autouse=True)
def _windows_go_with_their_test(qapp: QApplication) -> Iterator[None]:
    """Closed windows are deleted at once; left to themselves they would take part in every later change of theme."""
    yield
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)


_NOBODY_ANSWERS_MS = 60_000


@pytest.fixture(autouse=True)
def _nothing_waits_for_a_user(qapp: QApplication) -> Iterator[None]:
    """A box or menu that a test opened unawares is closed after a while: the test fails instead of never ending."""
    waited: list[str] = []

    def close_what_waits() -> None:
        timer.setInterval(100)  # what opens next is not waited for as long
        for widget in (QApplication.activePopupWidget(), QApplication.activeModalWidget()):
            if isinstance(widget, QWidget):
                waited.append(f"{type(widget).__name__} “{widget.windowTitle()}”")
                close = partial(widget.done, 0) if isinstance(widget, QDialog) else widget.close
                close()

    timer = QTimer(interval=_NOBODY_ANSWERS_MS)
    timer.timeout.connect(close_what_waits)
    timer.start()
    yield
    timer.stop()
    assert waited == [], "waited for a user"


@pytest.fixture
def project() -> Project:
    return maize_square()


class FakeMessages:
    """Stands for ``Messages``: records what the user was told, and answers as the test says."""

    def __init__(self) -> None:
        self.told: list[str] = []
        self.answers: dict[str, Any] = {}

    def __getattr__(self, name: str) -> Callable[..., Any]:
        if name not in vars(Messages):
            raise AttributeError(name)

        def call(*args: Any, **_named: Any) -> Any:
            words = [" ".join(arg.lines()) if isinstance(arg, WorkbenchError) else str(arg) for arg in args]
            self.told.append(f"{name}: {' '.join(words)}")
            if name.startswith(("ask_", "confirm")):
                assert name in self.answers, f"the window asked something that the test did not expect: {self.told[-1]}"
                answer = self.answers[name]
                return answer(*args) if callable(answer) else answer
            return None

        return call


@pytest.fixture
def messages() -> FakeMessages:
    return FakeMessages()


@pytest.fixture
def window(qtbot: QtBot, project: Project, messages: FakeMessages) -> MainWindow:
    """The whole window with the maize squares, shown and ready for the keyboard."""
    messages.answers["ask_save"] = "discard"  # when the test is over
    made = MainWindow(SettingsFile(), lambda _theme: None, project, messages)  # type: ignore[arg-type]  # a fake
    qtbot.addWidget(made)
    made.resize(1280, 720)
    made.show()
    qtbot.waitExposed(made)
    made.activateWindow()
    made.recipe.table.setFocus()
    return made
