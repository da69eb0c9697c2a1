"""The real window on a real screen, moved by a real mouse.

    xvfb-run -a -s "-screen 0 1400x900x24" python tests/end_to_end/real_window.py

Opens a ready project as the program does, lets xdotool drag the first slider and press the keys for undo, and looks at
the figure on screen.  Exit code 0 if the piece's carbohydrate followed the mouse and one undo brought it back.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
os.environ["POCKETFARE_HOME"] = tempfile.mkdtemp(prefix="pocketfare-real-window-")

from PySide6.QtCore import QPoint, QThread
from PySide6.QtWidgets import QApplication

from workbench.ui.app import build
from workbench.ui.main_window import MainWindow
from workbench.ui.models.recipe_rows import SLIDER
from workbench.ui.tables.recipe_delegate import knob_x

PATIENCE_S = 20.0


class Failed(Exception):
    """What was expected on the screen and did not come."""


def wait(app: QApplication, ready: Callable[[], bool], expected: str) -> None:
    """Let the program run until something is true."""
    end = time.monotonic() + PATIENCE_S
    while not ready():
        if time.monotonic() > end:
            raise Failed(expected)
        app.processEvents()
        QThread.msleep(5)


def mouse(app: QApplication, *words: object) -> None:
    """One command of xdotool; the program runs on while it is carried out."""
    command = subprocess.Popen(["xdotool", *map(str, words)])
    wait(app, lambda: command.poll() is not None, f"xdotool {words} ends")
    if command.returncode:
        raise Failed(f"xdotool {words} works")
    app.processEvents()


def first_knob(window: MainWindow) -> QPoint:
    """Where the first slider's knob is on the screen."""
    table, model = window.recipe.table, window.recipe.model
    index = next(model.index(k, SLIDER) for k in range(model.rowCount()) if model.line_row(model.index(k, SLIDER)))
    row, rect = model.line_row(index), table.visualRect(index)
    if row is None:
        raise Failed("the recipe has a line")
    return table.viewport().mapToGlobal(QPoint(round(knob_x(rect, row)), rect.center().y()))


def try_it(app: QApplication, window: MainWindow) -> str:
    """Drag, look, undo, look."""

    def shown() -> str:
        return window.results.figure_text("CHOAVLDF")

    wait(app, lambda: window.windowHandle().isExposed(), "the window appears")
    before, start = shown(), first_knob(window)
    mouse(app, "mousemove", start.x(), start.y())
    mouse(app, "mousedown", 1)
    for step in range(1, 11):
        mouse(app, "mousemove", start.x() + 4 * step, start.y())
    wait(app, lambda: shown() != before, f"the carbohydrate of {before} follows the mouse")
    dragged = shown()
    mouse(app, "mouseup", 1)
    wait(app, lambda: window.session.undo_stack.count() == 1, "the drag is one undo step")
    mouse(app, "key", "ctrl+z")
    wait(app, lambda: shown() == before, f"one undo leads back from {dragged} to {before}")
    if window.session.undo_stack.canUndo():
        raise Failed("nothing is left to undo")
    return f"{before} -> {dragged} -> {before}"


def main() -> int:
    """Run, and say what was seen."""
    app, window = build(["demo"])
    if app.platformName() == "offscreen":
        sys.stderr.write("this needs a real screen; start it with xvfb-run\n")
        return 2
    try:
        seen = try_it(app, window)
    except Failed as problem:
        sys.stderr.write(f"not seen: {problem}\n")
        return 1
    finally:
        window.session.undo_stack.setClean()
        window.close()
    sys.stdout.write(f"real window: carbohydrate of a piece {seen}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
