"""The guide: every picture it names is there and small, every key it names does what it says."""

import re

import pytest
from PySide6.QtGui import QImage, QKeySequence
from pytestqt.qtbot import QtBot

from workbench.base.paths import resources
from workbench.ui.dialogs.guide_dialog import GuideDialog
from workbench.ui.main_window import MainWindow

GUIDE = resources() / "guide"
TEXT = (GUIDE / "guide.md").read_text(encoding="utf-8")
ON_A_BAR = {"Ctrl+E"}  # asked of the figure that has the keyboard
ELSEWHERE = {"Ctrl+1", "Ctrl+2", "Ctrl+Z"}  # cards of the variants; undo


def test_every_picture_is_there_small_and_named_in_the_guide() -> None:
    named = set(re.findall(r"\]\(pictures/(\w+\.png)\)", TEXT))
    assert {path.name for path in (GUIDE / "pictures").iterdir()} == named
    for name in named:
        path = GUIDE / "pictures" / name
        assert path.stat().st_size < 150_000
        assert not QImage(str(path)).isNull()


def test_every_key_in_the_guide_belongs_to_an_action(window: MainWindow) -> None:
    keys = set(re.findall(r"Ctrl\+(?:Shift\+)?\w\b", TEXT)) - ON_A_BAR - ELSEWHERE
    taken = {k.toString(QKeySequence.SequenceFormat.PortableText) for a in window.actions() for k in a.shortcuts()}
    assert keys
    assert keys <= taken


@pytest.mark.qt_log_ignore("This plugin does not support raise")
def test_it_opens_beside_the_work_and_only_once(window: MainWindow, qtbot: QtBot) -> None:
    window.action_table["window.guide"].trigger()
    (dialog,) = window.findChildren(GuideDialog)
    assert not dialog.isModal()
    assert "Hit targets" in dialog.page.toPlainText()
    window.action_table["window.guide"].trigger()
    assert window.findChildren(GuideDialog) == [dialog]
    dialog.close()
