"""Benches of the window: start, and a drag of one slider."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QEvent, QObject
from PySide6.QtGui import QPaintEvent, QRegion
from PySide6.QtWidgets import QApplication, QWidget

from tests.bench.engine import recipe
from tests.bench.measure import Result
from workbench.base.settings import SettingsFile
from workbench.document.edits import set_amount
from workbench.ui.main_window import MainWindow
from workbench.ui.theme import apply_theme

os.environ["QT_QPA_PLATFORM"] = "offscreen"

_UNTIL_PAINTED = """
import os
from PySide6.QtCore import QEvent, QObject, QTimer
class Painted(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint and watched.isWidgetType():
            QTimer.singleShot(0, lambda: os._exit(0))
        return False
"""

# The program's own start; only its event loop ends at the first paint.
_OURS = f"""
from workbench.__main__ import load_beside
load_beside("numpy")
{_UNTIL_PAINTED}
from workbench.ui import app
class Application(app.QApplication):
    def exec(self):
        self.painted = Painted()
        self.installEventFilter(self.painted)
        return super().exec()
app.QApplication = Application
app.main(["demo"])
"""

_BASELINE = f"""
{_UNTIL_PAINTED}
from PySide6.QtWidgets import QApplication, QMainWindow
app = QApplication([])
import pyqtgraph
window = QMainWindow()
window.setCentralWidget(pyqtgraph.PlotWidget())
window.show()
painted = Painted()
app.installEventFilter(painted)
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


class _Painted(QObject):
    """Remembers which part of which widget is painted."""

    def __init__(self) -> None:
        super().__init__()
        self.regions: dict[QWidget, QRegion] = {}

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QPaintEvent) and isinstance(watched, QWidget):
            self.regions[watched] = event.region()
        return False


def slider(n_lines: int = 15, seconds: float = 10.0) -> Result:
    """One slider tick to the last painted pixel, against painting the same charts and cells alone."""
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    apply_theme(app, "light")
    window = MainWindow(SettingsFile(), lambda theme: None, recipe(n_lines))
    window.resize(1600, 1000)
    window.show()
    for _ in range(20):
        app.processEvents()
    session = window.session
    painted = _Painted()
    app.installEventFilter(painted)
    line = session.variant.lines[3]
    ticks = iter(range(10**9))

    def tick() -> None:
        grams = 30.0 + next(ticks) % 60
        session.preview(set_amount(session.base, session.variant_id, line.id, grams))
        session.flush()
        app.processEvents()

    for _ in range(40):
        tick()
    app.removeEventFilter(painted)

    def paint_alone() -> None:
        for widget, region in painted.regions.items():
            widget.update(region)
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
