"""Pictures of the guide and of the README, taken from the real window: ``python -m tests.end_to_end.make_pictures``.

Light look, fixed sizes, no screen needed.  Run it again after a change that can be seen.
"""

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ["QT_SCALE_FACTOR"] = "1"

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from workbench.base.settings import SettingsFile
from workbench.document import edits
from workbench.ui.dialogs.label_dialog import LabelDialog
from workbench.ui.dialogs.target_dialog import TargetDialog
from workbench.ui.main_window import MainWindow
from workbench.ui.theme import apply_theme

ROOT = Path(__file__).resolve().parents[2]
SIZE = (1120, 640)
MOST_BYTES = 150_000
SETTLED_S = 0.3  # longer than any movement of the window
LABEL = {
    "energy_kj": "2270",
    "fat": "32",
    "saturates": "4,1",
    "carbohydrate": "48",
    "sugars": "9,5",
    "fibre": "7,2",
    "protein": "11",
    "salt": "<0,1",
}


def settle() -> None:
    """Let the window come to rest."""
    end = time.monotonic() + SETTLED_S
    while time.monotonic() < end:
        QApplication.processEvents()
        QTest.qWait(10)


def few_colours(image: QImage) -> QImage:
    """The picture in its 256 most frequent colours, which a window hardly exceeds: a third of the bytes."""
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(image.constBits(), np.uint32).reshape(image.height(), -1)[:, : image.width()]
    found, counts = np.unique(pixels, return_counts=True)
    table = found[np.argsort(-counts, kind="stable")[:256]].tolist()
    return image.convertToFormat(QImage.Format.Format_Indexed8, table, Qt.ImageConversionFlag.AvoidDither)


class Pictures:
    """The window of one project and the folder that pictures go to."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.window = MainWindow(SettingsFile(), lambda _theme: None)
        self.window.resize(*SIZE)
        self.window.show()
        self.show_demo("maize_squares")

    def show_demo(self, name: str, variant: str = "Original") -> None:
        """Open a fresh copy of a ready project."""
        self.window.session.undo_stack.setClean()
        self.window.documents.open_demo(name)
        self.switch(variant)

    def switch(self, variant: str) -> None:
        """Show a variant by its name."""
        session = self.window.session
        session.switch_variant(next(v.id for v in session.project.variants if v.name == variant))

    def take(self, name: str, widget: QWidget | None = None) -> None:
        """Save what a widget shows."""
        settle()
        path = self.folder / f"{name}.png"
        few_colours((widget or self.window).grab().toImage()).save(str(path), "PNG", 0)  # 0: as small as it gets
        size = path.stat().st_size
        print(f"{path.name}: {size / 1000:.0f} kB")  # noqa: T201 - says how small the pictures are
        if size > MOST_BYTES:
            sys.exit(f"{path.name} is too large: {size} bytes of {MOST_BYTES}.")

    def take_dialog(self, name: str, dialog: QWidget) -> None:
        """Show a dialog, save its picture, and put it away."""
        dialog.show()
        self.take(name, dialog)
        dialog.close()


def start(pictures: Pictures) -> None:
    """What there is to begin with."""
    pictures.window.show_start_page()
    pictures.take("start")
    QTest.keyClick(QApplication.focusWidget() or pictures.window, Qt.Key.Key_Escape)


def recipe(pictures: Pictures) -> None:
    """A recipe in stages with its figures."""
    pictures.switch("Original")
    pictures.window.recipe.table.setFocus()
    pictures.take("recipe")


def targets(pictures: Pictures) -> None:
    """An edge of a target under the hand, and the targets as a form."""
    pictures.switch("Race")
    bar = pictures.window.results.bar("CHOAVLDF")
    bar.setFocus()
    QTest.keyPress(bar, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    pictures.take("targets", pictures.window.results)
    QTest.keyClick(bar, Qt.Key.Key_Escape)
    session = pictures.window.session
    figures = pictures.window.results.targets.figure
    pictures.take_dialog("target_dialog", TargetDialog(session.project, session.variant_id, figures, pictures.window))


def matching(pictures: Pictures) -> None:
    """Amounts proposed for a race piece made of the original, and why they cannot be found with the butter locked."""
    pictures.show_demo("maize_squares")
    session, actions = pictures.window.session, pictures.window.action_table
    race = next(s.id for s in session.project.target_sets if s.name == "race piece")
    session.apply(edits.choose_targets(session.project, session.variant_id, session.project.target_sets, race))
    actions["targets.match"].trigger()
    pictures.take("match")
    butter = [line.id for line in session.variant.lines if line.food_ref.id.startswith("butter")]
    session.apply(edits.set_lock(session.project, session.variant_id, butter, True))
    actions["targets.help"].trigger()
    pictures.take("clash")
    pictures.window.details.close()
    pictures.window.match_strip.end()
    pictures.show_demo("maize_squares")


def plant_based(pictures: Pictures) -> None:
    """Four versions compared, with more room than beside a recipe."""
    pictures.switch("Plant-based")
    pictures.window.details.show_comparison()
    pictures.window.action_table["compare.room"].trigger()
    pictures.take("differences")
    pictures.window.action_table["compare.room"].trigger()
    pictures.window.details.close()


def race_or_long_ride(pictures: Pictures) -> None:
    """The same recipe for an hour of racing, and for an hour of a long ride."""
    results = pictures.window.results
    results.set_basis("per_hour")
    for name, variant in (("race", "Race"), ("long_ride", "Long ride")):
        pictures.switch(variant)
        pictures.take(name, results)
    results.set_basis("portion")


def own_ingredient(pictures: Pictures) -> None:
    """A pack label half typed."""
    dialog = LabelDialog(parent=pictures.window)
    dialog.name.setText("seed spread, from its label")
    for tag, text in LABEL.items():
        dialog.label.fields[tag].setText(text)
        dialog.label.fields[tag].textEdited.emit(text)
    pictures.take_dialog("label", dialog)


def why(pictures: Pictures) -> None:
    """The derivation of one figure."""
    pictures.switch("Race")
    pictures.window.details.explain("CHOAVLDF", "portion")
    pictures.take("why")
    pictures.window.details.close()


SCENES: tuple[Callable[[Pictures], None], ...] = (
    start,
    recipe,
    targets,
    matching,
    plant_based,
    race_or_long_ride,
    own_ingredient,
    why,
)


def main() -> None:
    """Take all pictures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=ROOT / "resources" / "guide" / "pictures")
    parser.add_argument("--window", type=Path, default=ROOT / "resources" / "screenshots" / "window.png")
    asked = parser.parse_args()
    asked.out.mkdir(parents=True, exist_ok=True)
    asked.window.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home:
        os.environ["POCKETFARE_HOME"] = home
        app = QApplication([])
        apply_theme(app, "light")
        pictures = Pictures(asked.out)
        for scene in SCENES:
            scene(pictures)
        pictures.folder = asked.window.parent
        pictures.show_demo("maize_squares", "Race")
        pictures.window.resize(1280, 720)
        pictures.window.recipe.table.setFocus()
        pictures.take(asked.window.stem)
        pictures.window.session.undo_stack.setClean()
        pictures.window.close()


if __name__ == "__main__":
    main()
