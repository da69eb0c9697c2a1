"""The program as a whole: it starts, ends cleanly, and shows what nobody caught."""

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from PySide6.QtCore import QThread
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from workbench.ui.app import Reporter
from workbench.ui.main_window import MainWindow

ROOT = Path(__file__).resolve().parents[2]
START = """
import sys
from PySide6.QtCore import QTimer
from workbench.ui.app import build
app, window = build(sys.argv[1:])
window.messages.error = lambda error: print("told:", *error.lines())
QTimer.singleShot(200, lambda: (print("title:", window.windowTitle(), window.session.evaluation.valid), window.close()))
sys.exit(app.exec())
"""


def start(*argv: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"}
    command = [sys.executable, "-c", START, *argv]
    return subprocess.run(command, capture_output=True, text=True, encoding="utf-8", env=environment, timeout=60)


@pytest.mark.parametrize(
    ("argv", "expected"),
    [
        (["demo"], "Pocketfare True"),
        (["demo", "no such"], "told: There is no ready project “no such”."),
        (["open", "no such.fare"], "There is no such file."),
        ([], "untitled"),
    ],
)
def test_the_program_starts_and_ends_with_code_0(argv: list[str], expected: str) -> None:
    run = start(*argv)
    assert expected in run.stdout
    assert run.returncode == 0
    assert "Traceback" not in run.stderr


def test_what_nobody_caught_is_shown_on_the_windows_thread_and_logged(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    told_on: list[bool] = []
    gui_thread = QThread.currentThread()
    reporter = Reporter(window)
    reporter.install()
    reporter.caught.connect(lambda _report: told_on.append(QThread.currentThread() is gui_thread))

    def fail() -> None:
        raise RuntimeError("a mistake in a worker")

    with qtbot.waitSignal(reporter.caught):
        worker = threading.Thread(target=fail)
        worker.start()
        worker.join()
    QApplication.processEvents()
    assert "a mistake in a worker" in messages.told[-1]
    assert told_on == [True]
    (report,) = (Path(os.environ["POCKETFARE_HOME"]) / "state" / "reports").iterdir()
    assert "a mistake in a worker" in report.read_text(encoding="utf-8")
