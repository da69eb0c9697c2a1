"""No mistake in what Qt calls may end the program, in whatever class it is made."""

import importlib
import pkgutil
import sys

import pytest
from PySide6.QtCore import QObject
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

import workbench.ui
from workbench.ui.guard import guarded, overrides


def classes() -> list[type]:
    found = {}
    for module in pkgutil.walk_packages(workbench.ui.__path__, "workbench.ui."):
        for thing in vars(importlib.import_module(module.name)).values():
            if isinstance(thing, type) and issubclass(thing, QObject) and thing.__module__ == module.name:
                found[thing.__qualname__, thing.__module__] = thing
    return list(found.values())


@pytest.mark.parametrize("cls", classes(), ids=lambda cls: cls.__qualname__)
def test_every_override_is_guarded(cls: type) -> None:
    assert overrides(cls) == []


@guarded
class Broken(QWidget):
    def paintEvent(self, event: QPaintEvent) -> None:
        raise ZeroDivisionError("in the middle of painting")


def test_a_mistake_in_painting_is_reported_and_survived(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the guard PySide6 6.11.3 ends the process here."""
    caught: list[type[BaseException]] = []
    monkeypatch.setattr(sys, "excepthook", lambda kind, *_rest: caught.append(kind))
    widget = Broken()
    qtbot.addWidget(widget)
    widget.show()
    qtbot.waitUntil(lambda: bool(caught))
    assert set(caught) == {ZeroDivisionError}
