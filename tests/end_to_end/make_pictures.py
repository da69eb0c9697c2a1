"""``python -m tests.end_to_end.make_pictures``: the pictures of README and guide, taken from the real window.

Offscreen, light, at fixed sizes, so that they can be made again after any change of the window.
"""

import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ["POCKETFARE_HOME"] = tempfile.mkdtemp()  # nobody's settings, and none are changed

from PySide6.QtCore import QElapsedTimer
from PySide6.QtWidgets import QApplication, QWidget

from workbench.base.paths import resources
from workbench.base.settings import SettingsFile
from workbench.ui.dialogs.label_dialog import LabelDialog
from workbench.ui.main_window import MainWindow
from workbench.ui.theme import apply_theme

LABEL = {
    "energy_kj": "1523",
    "energy_kcal": "364",
    "fat": "1,2",
    "saturates": "< 0,5",
    "carbohydrate": "80",
    "sugars": "1,1",
    "protein": "7",
    "salt": "0,02",
}


def main() -> int:
    """Take every picture."""
    app = QApplication([])
    apply_theme(app, "light")
    guide = resources() / "guide" / "pictures"
    guide.mkdir(parents=True, exist_ok=True)
    pictures: dict[Path, Callable[[MainWindow], QWidget]] = {
        resources() / "screenshots" / "window.png": lambda window: _show(window, "Race"),
        guide / "recipe.png": lambda window: _show(window, "Original"),
        guide / "long_ride.png": lambda window: _show(window, "Long ride"),
        guide / "why.png": _explain,
        guide / "differences.png": _differences,
        guide / "label.png": _label,
    }
    for path, prepare in pictures.items():
        window = MainWindow(SettingsFile(), lambda theme: None)
        window.documents.open_demo("maize_squares")
        window.resize(1280, 720)
        window.show()
        widget = prepare(window)
        _settle()
        path.parent.mkdir(parents=True, exist_ok=True)
        widget.grab().save(str(path))
        window.session.undo_stack.setClean()
        widget.close()
        window.close()
        sys.stdout.write(f"{path.relative_to(resources())}\n")
    return 0


def _settle() -> None:
    """Let layouts and the glide of the side panel come to rest."""
    clock = QElapsedTimer()
    clock.start()
    while clock.elapsed() < 400:
        QApplication.processEvents()


def _show(window: MainWindow, name: str) -> QWidget:
    project = window.session.project
    window.session.switch_variant(next(variant.id for variant in project.variants if variant.name == name))
    return window


def _explain(window: MainWindow) -> QWidget:
    _show(window, "Long ride")
    window.details.explain("glucose_type", "portion")
    return window


def _differences(window: MainWindow) -> QWidget:
    _show(window, "Race")
    window.details.show_differences()
    return window


def _label(window: MainWindow) -> QWidget:
    dialog = LabelDialog(parent=window)
    dialog.name.setText("rice flakes, coarse")
    for key, text in LABEL.items():
        dialog.label.fields[key].setText(text)
    dialog.show()
    return dialog


if __name__ == "__main__":
    sys.exit(main())
