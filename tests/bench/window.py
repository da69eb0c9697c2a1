"""Benches of the window: start, and a drag of one slider."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from functools import partial

from PySide6.QtCore import QCoreApplication, QEvent, QObject
from PySide6.QtGui import QPaintEvent, QRegion
from PySide6.QtWidgets import QApplication, QWidget

from tests.bench.engine import recipe
from tests.bench.measure import Result
from workbench.base.paths import demo_projects
from workbench.base.settings import SettingsFile
from workbench.document.edits import set_amount
from workbench.document.project import Project
from workbench.document.variant_edits import new_variant
from workbench.recipe.quantities import BASES
from workbench.storage.project_file import load_project
from workbench.ui.main_window import MainWindow
from workbench.ui.models.shared_search import SharedSearch
from workbench.ui.theme import apply_theme

os.environ["QT_QPA_PLATFORM"] = "offscreen"

# One widget is watched, for all are painted at once: a filter on the application would make Python objects of
# everything that gets an event.
_UNTIL_PAINTED = """
import os
from PySide6.QtCore import QEvent, QObject, QTimer
class Painted(QObject):
    def eventFilter(self, window, event):
        if event.type() == QEvent.Type.Paint:
            QTimer.singleShot(0, lambda: os._exit(0))
        return False
"""

# The program's own start; only its event loop ends at the first paint.
_OURS = f"""
from workbench.bootstrap import lighten_imports
lighten_imports()
{_UNTIL_PAINTED}
from workbench.ui import app
class Application(app.QApplication):
    def exec(self):
        self.painted = Painted()
        for window in self.topLevelWidgets():
            window.installEventFilter(self.painted)
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
window.centralWidget().viewport().installEventFilter(painted)  # it covers the window, which is not painted
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
    window = _window(recipe(n_lines))
    window.resize(1600, 1000)
    _settle()
    app = QApplication.instance()
    assert isinstance(app, QApplication)
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


def _window(project: Project) -> MainWindow:
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    apply_theme(app, "light")
    window = MainWindow(SettingsFile(), lambda theme: None, project)
    window.resize(1280, 720)
    window.show()
    _settle()
    return window


def _settle() -> None:
    for _ in range(5):
        QApplication.processEvents()


def _frame(name: str, steps: Iterable[Callable[[], object]]) -> Result:
    """Steps of a user, each to the last painted pixel; reported against a frame of 16 ms."""
    times = []
    for step in steps:
        began = time.perf_counter()
        step()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.UpdateRequest)
        QApplication.processEvents()
        times.append((time.perf_counter() - began) * 1000)
        _settle()
    times.sort()
    return Result(name, statistics.median(times), "", None, None, f"longest {times[-1]:.1f} ms, goal 16 ms")


def switch_variant() -> Result:
    """Showing another variant of a demo."""
    window = _window(load_project(demo_projects() / "maize_squares.fare").project)
    ids = [variant.id for variant in window.session.project.variants]
    steps = [partial(window.session.switch_variant, ids[k % len(ids)]) for k in range(1, 41)]
    return _frame("switch a variant", steps)


def change_basis() -> Result:
    """Showing the same figures per 100 g, per hour and so on."""
    window = _window(load_project(demo_projects() / "maize_squares.fare").project)
    return _frame("change the basis", [partial(window.results.set_basis, BASES[k % len(BASES)]) for k in range(1, 41)])


def comparison() -> Result:
    """A slider tick with six variants beside each other in a large window, all their charts in sight or open."""
    project = load_project(demo_projects() / "maize_squares.fare").project
    for name, parent in (("try 1", project.variants[-1]), ("try 2", project.variants[-2])):
        project = new_variant(project, name, parent.id)[0].project
    window = _window(project)
    window.resize(1920, 1080)
    session = window.session
    session.switch_variant(project.variants[2].id)
    window.details.show_comparison()
    window.comparison.give_room()
    window.comparison.page().sheet.others_head.set_opened(True)
    _settle()
    line = session.variant.lines[0]

    def tick(grams: float) -> None:
        session.preview(set_amount(session.base, session.variant_id, line.id, grams))
        session.flush()

    found = _frame("slider tick, six variants compared", [partial(tick, 300.0 + k % 60) for k in range(200)])
    session.cancel_preview()
    window.session.undo_stack.setClean()
    window.close()
    return found


def open_explanation() -> Result:
    """Opening the derivation of a figure, once the page has been made."""
    window = _window(load_project(demo_projects() / "maize_squares.fare").project)
    window.details.prepare()
    keys = ("CHOAVLDF", "FAT", "energy_kj", "FIBTG")
    steps = [partial(window.details.explain, keys[k % len(keys)], "portion") for k in range(20)]
    return _frame("open an explanation", steps)


def _type(window: MainWindow, text: str) -> None:
    window.add_box.line.setText(text)
    window.add_box.line.textEdited.emit(text)


def type_in_search() -> Result:
    """A key typed into the search box, to the painted list, once the search stands ready as it does after a start."""
    window = _window(load_project(demo_projects() / "maize_squares.fare").project)
    SharedSearch.of(window.session).find("", None)
    words = ("coconut", "rice", "maize meal", "zzz", "sirup")
    texts = [word[: k + 1] for word in words for k in range(len(word))]
    return _frame("a key in the search box", [partial(_type, window, text) for text in texts])
