"""The layers of pyproject.toml hold, and each kind of breach is really caught."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]


def _check_contracts(folder: Path) -> subprocess.CompletedProcess[str]:
    command = "from importlinter.cli import lint_imports_command as check; check(['--no-cache'])"
    return subprocess.run(
        [sys.executable, "-c", command], cwd=folder, capture_output=True, text=True, timeout=120, check=False
    )


def test_the_contracts_hold():
    ended = _check_contracts(CHECKOUT)
    assert ended.returncode == 0, ended.stdout + ended.stderr


@pytest.fixture
def copy(tmp_path):
    """A copy of the code that a test may break."""
    shutil.copy(CHECKOUT / "pyproject.toml", tmp_path)
    shutil.copytree(CHECKOUT / "workbench", tmp_path / "workbench", ignore=shutil.ignore_patterns("__pycache__"))
    return tmp_path


LAYERS = "Imports point down only, and every folder has its place"
NO_QT = "Nothing below the window knows Qt"
SET_UP = "The set-up imports nothing of the program"
PANELS = "Panels do not know each other"


@pytest.mark.parametrize(
    ("contract", "module", "text"),
    [
        # Hidden in a function, where a reader would overlook it.
        (LAYERS, "science/energy.py", "def later():\n    import workbench.recipe.quantities"),
        (LAYERS, "recipe/quantities.py", "import workbench.storage"),
        (LAYERS, "cli.py", "def later():\n    import workbench.ui"),
        (LAYERS, "misc/__init__.py", ""),
        (NO_QT, "report/__init__.py", "def later():\n    from PySide6 import QtGui"),
        (SET_UP, "bootstrap.py", "import workbench.base.paths"),
        (PANELS, "ui/panels/one.py", "import workbench.ui.panels.other"),
    ],
    ids=["upward", "siblings", "cli-to-ui", "unplaced-folder", "qt", "set-up", "panel-to-panel"],
)
def test_a_breach_is_caught(copy, contract, module, text):
    (copy / "workbench/ui/panels/other.py").touch()
    broken = copy / "workbench" / module
    broken.parent.mkdir(exist_ok=True)
    with broken.open("a", encoding="utf-8") as file:
        file.write(f"\n{text}\n")

    ended = _check_contracts(copy)

    assert ended.returncode != 0
    assert f"{contract} BROKEN" in ended.stdout, ended.stdout + ended.stderr
