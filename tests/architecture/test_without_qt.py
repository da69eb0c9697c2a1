"""Everything below the window runs where Qt is not installed, and the terminal starts without loading what is slow."""

import subprocess
import sys
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]

REFUSE_QT = """
import importlib, pkgutil, sys

class NoQt:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {"PySide6", "shiboken6", "pyqtgraph"}:
            raise ImportError(f"{name} is not installed here")

sys.meta_path.insert(0, NoQt())
import workbench

def failed(name):
    raise

names = [
    module.name
    for module in pkgutil.walk_packages(workbench.__path__, "workbench.", onerror=failed)
    if module.name.split(".")[1] != "ui"
]
for name in names:
    importlib.import_module(name)
print(len(names), "modules")
"""


def _python(code: str, *options: str) -> str:
    ended = subprocess.run(
        [sys.executable, *options, "-c", code], cwd=CHECKOUT, capture_output=True, text=True, timeout=60, check=False
    )
    assert ended.returncode == 0, ended.stderr
    return ended.stdout


def test_every_module_below_the_window_imports_without_qt():
    n_modules = int(_python(REFUSE_QT).split()[0])
    n_files = sum(1 for path in (CHECKOUT / "workbench").rglob("*.py") if "ui" not in path.parts)
    assert n_modules == n_files - 1  # all but the top package itself


SLOW = {"pyqtgraph", "pandas", "scipy", "pint", "openpyxl", "xlsxwriter", "babel", "rapidfuzz"}
SLOW |= {"clarabel", "highspy", "fpdf", "uharfbuzz"}


def test_the_terminal_starts_without_what_is_slow_to_load():
    loaded = set(_python("import workbench.__main__, workbench.cli, sys; print(*sys.modules)").split())
    assert not (SLOW | {"PySide6"}) & loaded


def test_the_window_starts_without_what_is_slow_to_load_and_without_its_dialogs():
    loaded = set(_python("import workbench.ui.app, workbench.ui.main_window, sys; print(*sys.modules)").split())
    assert not SLOW & loaded
    dialogs = {name for name in loaded if name.startswith("workbench.ui.dialogs.")}
    assert dialogs == set()


def test_a_start_has_one_thread_and_no_collector_while_it_loads():
    """NumPy's own threads take half of its import; /proc is how Linux counts a process's threads."""
    code = """
import gc, os
from workbench.bootstrap import lighten_imports
lighten_imports()
import workbench.recipe.evaluation
print(gc.isenabled(), len(os.listdir("/proc/self/task")) if os.path.isdir("/proc/self/task") else 1)
"""
    assert _python(code).split() == ["False", "1"]


def test_a_ready_start_loads_nothing_for_the_set_up():
    """The check before every start must not be felt, so it may not pull in what only a set-up needs."""
    code = "import sys; before = set(sys.modules); {}; print(*(set(sys.modules) - before))"
    check = "from workbench import bootstrap; bootstrap.prepare_environment()"
    loaded = set(_python(code.format(check)).split())
    assert loaded == {"__future__", "workbench", "workbench.bootstrap"}


def test_the_set_up_needs_no_installed_package():
    """It runs before any is there: -S leaves site-packages out."""
    _python("import workbench.__main__, workbench.bootstrap", "-S", "-E")
