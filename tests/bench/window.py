"""Benches of the window: start, and a drag of one slider."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable

from tests.bench.engine import recipe
from tests.bench.measure import Result

_FIRST_PAINT = """
from PySide6.QtCore import QEvent, QObject, QTimer
class Painted(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            QTimer.singleShot(0, lambda: os._exit(0))
        return False
"""

_OURS = f"""
import os, sys
from PySide6.QtWidgets import QApplication
app = QApplication([])
{_FIRST_PAINT}
from pathlib import Path
from workbench.base.paths import demo_projects
from workbench.base.settings import SettingsFile
from workbench.storage.project_file import load_project
from workbench.ui.main_window import MainWindow
from workbench.ui.theme import apply_theme
apply_theme(app, "light")
window = MainWindow(SettingsFile(), lambda theme: None)
window.documents.open_demo("maize_squares")
painted = Painted()
window.results.installEventFilter(painted)
window.show()
app.exec()
"""

_BASELINE = f"""
import os
from PySide6.QtWidgets import QApplication, QMainWindow
app = QApplication([])
{_FIRST_PAINT}
import pyqtgraph
window = QMainWindow()
plot = pyqtgraph.PlotWidget()
window.setCentralWidget(plot)
painted = Painted()
plot.viewport().installEventFilter(painted)
window.show()
app.exec()
"""


def _process_ms(code: str) -> float:
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environment |= {"QT_QPA_PLATFORM": "offscreen"}
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], check=True, stderr=subprocess.DEVNULL, env=environment)
    return (time.perf_counter() - start) * 1000


def start() -> Result:
    """From process start to the first paint of a demo, against an empty window with one plot."""
    for code in (_OURS, _BASELINE):  # warm disk cache and compiled modules
        _process_ms(code)
    pairs = [(_process_ms(_OURS), _process_ms(_BASELINE)) for _ in range(7)]
    ours, baseline = (statistics.median(column) for column in zip(*pairs, strict=True))
    return Result("start to a demo", ours, "empty window with one pyqtgraph plot", baseline, 0.8)


def _times_ms(function: Callable[[], object], seconds: float) -> list[float]:
    """Times of every call of a function repeated for so long. [ms]"""
    times = []
    end = time.perf_counter() + seconds
    while time.perf_counter() < end:
        began = time.perf_counter()
        function()
        times.append((time.perf_counter() - began) * 1000)
    return times


def slider(n_lines: int = 15, seconds: float = 10.0) -> Result:
    """One slider tick to the last painted pixel, against painting the same charts and cells alone."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtCore import QCoreApplication, QEvent
    from PySide6.QtWidgets import QApplication

    from workbench.base.settings import SettingsFile
    from workbench.document.edits import set_amount
    from workbench.ui.main_window import MainWindow
    from workbench.ui.theme import apply_theme

    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    apply_theme(app, "light")
    window = MainWindow(SettingsFile(), lambda theme: None, recipe(n_lines))
    window.resize(1600, 1000)
    window.show()
    for _ in range(20):
        app.processEvents()
    session = window.session
    line = session.variant.lines[3]
    ticks = iter(range(10**9))

    def tick() -> None:
        grams = 30.0 + next(ticks) % 60
        session.preview(set_amount(session.base, session.variant_id, line.id, grams))
        session.flush()
        app.processEvents()

    def paint_alone() -> None:
        for widget in window.changing_widgets():
            widget.update()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.UpdateRequest)
        app.processEvents()

    for _ in range(50):
        tick()
        paint_alone()
    alone = _times_ms(paint_alone, seconds / 4)
    dragged = sorted(_times_ms(tick, seconds))
    session.cancel_preview()
    window.session.undo_stack.setClean()
    window.close()
    p95 = dragged[int(0.95 * len(dragged))]
    note = f"p95 {p95:.1f} ms (goal 8), longest {dragged[-1]:.1f} ms (goal 16), {len(dragged)} frames"
    return Result(
        f"slider tick, {n_lines} lines",
        statistics.median(dragged),
        "painting the same charts and cells",
        statistics.median(alone),
        1.5,
        note,
    )
