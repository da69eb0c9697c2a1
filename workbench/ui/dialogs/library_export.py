"""A table out of the library, or the bundled one, as a workbook or CSV files that import again without loss."""

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import QComboBox, QFileDialog, QLabel, QPushButton, QVBoxLayout, QWidget

from workbench.base.progress import Progress
from workbench.base.text import _, plural
from workbench.composition.bundled import bundled_foods
from workbench.composition.exports.files import export_foods
from workbench.composition.food import Food
from workbench.composition.library.store import Library
from workbench.ui.dialogs.library_desk import Desk
from workbench.ui.dialogs.library_reading import EVERYTHING, OWN, Listed, foods_shown

_LISTED, _BUNDLED = "listed", "bundled"
_ENDINGS = {".xlsx": "*.xlsx", ".zip": "*.zip"}


class ExportForm(QWidget):
    """Which foods, and a button that asks where to.

    Parameters
    ----------
    desk : Desk
    shown : callable
        Words and kind of what the list beside shows.
    """

    def __init__(self, desk: Desk, shown: Callable[[], tuple[str, str]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._shown = desk, shown
        self._folder = Path.home()
        self.which_label = QLabel(_("&which foods"), self)
        self.which = QComboBox(self)
        self.which.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.which.setMinimumContentsLength(18)
        self.which_label.setBuddy(self.which)
        about = QLabel(
            _(
                "A table is a workbook (.xlsx) or four CSV files in a .zip: foods, values, measures, packs. It comes "
                "in again without loss. Deactivated foods are left out, unless they are listed. Tags, notes and "
                "lots stay in the library; a back-up holds them."
            ),
            self,
        )
        about.setWordWrap(True)
        self.write_button = QPushButton(_("write the table …"), self)
        self.write_button.setAutoDefault(False)
        column = QVBoxLayout(self)
        column.addWidget(self.which_label)
        column.addWidget(self.which)
        column.addSpacing(8)
        column.addWidget(about)
        column.addSpacing(8)
        column.addWidget(self.write_button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        self.write_button.clicked.connect(self._ask)

    def offer(self, found: Listed) -> None:
        """What there is to choose from."""
        chosen = self.which.currentData()
        with QSignalBlocker(self.which):
            self.which.clear()
            self.which.addItem(_("the foods listed on the left"), _LISTED)
            self.which.addItem(_("the whole library"), EVERYTHING)
            self.which.addItem(_("your own"), OWN)
            for key, info in found.tables.items():
                self.which.addItem(info.title, f"table:{key}")
            self.which.addItem(_("the table of the program"), _BUNDLED)
            self.which.setCurrentIndex(max(self.which.findData(chosen), 0))

    def _ask(self) -> None:
        kinds = {ending: f"{words} ({_ENDINGS[ending]})" for ending, words in _kinds().items()}
        name = self.which.currentText() if self.which.currentIndex() > 0 else _("foods")
        suggested = self._folder / f"{''.join(sign if sign.isalnum() else ' ' for sign in name).strip()[:60]}.xlsx"
        text, kind = QFileDialog.getSaveFileName(self, _("write a table"), str(suggested), ";;".join(kinds.values()))
        if text:
            path = Path(text)
            if path.suffix.casefold() not in _ENDINGS:
                path = path.with_name(path.name + next(ending for ending, words in kinds.items() if words == kind))
                if path.exists():  # the dialog has asked about another name
                    self._desk.tell(
                        _("▲ {file} is there already; choose it by its whole name to replace it", file=path)
                    )
                    return
            self.write(path)

    def write(self, path: Path) -> None:
        """Write what is chosen to ``path``, wholly or not at all."""
        self._folder = path.parent
        foods: Callable[[Library, Progress], Iterator[Food]] = partial(_foods, self.which.currentData(), self._shown())
        self._desk.do(
            "export",
            lambda library, progress: export_foods(foods(library, progress), path, progress),
            lambda n: self._desk.tell(
                plural("✓ {n} food is written to {file}", "✓ {n} foods are written to {file}", n, file=path)
            ),
            _("writing {name} …", name=path.name),
        )


def _kinds() -> dict[str, str]:
    return {".xlsx": _("workbooks"), ".zip": _("CSV files in a zip")}


def _foods(which: str, shown: tuple[str, str], library: Library, progress: Progress) -> Iterator[Food]:
    for done, food in enumerate(_chosen(which, shown, library, progress)):
        progress.step(done)  # a large library takes a while to be read
        yield food


def _chosen(which: str, shown: tuple[str, str], library: Library, progress: Progress) -> Iterator[Food]:
    if which == _BUNDLED:
        yield from bundled_foods().values()
    elif which == _LISTED:
        yield from foods_shown(*shown, library, progress)
    elif which == EVERYTHING:
        yield from library.foods()
    else:
        yield from library.foods(table="" if which == OWN else which.removeprefix("table:"))
