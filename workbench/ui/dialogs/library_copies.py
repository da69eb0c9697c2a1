"""Copies of the library and other libraries: back up, restore, merge; what it changes is said before it is done."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from workbench.base import paths
from workbench.base.text import N_, _, plural
from workbench.composition.library.backup import Restoring
from workbench.composition.library.merging import Differing, Merging
from workbench.ui.dialogs.library_desk import Desk
from workbench.ui.dialogs.library_merge import MergeChoice

_KIND = N_("libraries (*.sqlite);;all files (*)")


def merging_words(found: Merging) -> str:
    """What merging would change."""
    parts = [
        plural("{n} food is new", "{n} foods are new", len(found.new)),
        plural("{n} is the same in both", "{n} are the same in both", found.n_same),
        plural("{n} differs", "{n} differ", len(found.differing)),
    ]
    return "; ".join(parts)


class CopiesForm(QWidget):
    """Three buttons, and below them a preview with the button that does it."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._confirmed: Callable[[], None] | None = None
        self.back_up_button = QPushButton(_("back up …"), self)
        self.restore_button = QPushButton(_("restore …"), self)
        self.merge_button = QPushButton(_("merge with another library …"), self)
        about = QLabel(
            _(
                "A back-up is the whole library in one file. The last one that the program made by itself lies beside "
                "the library; it is made before every import."
            ),
            self,
        )
        about.setWordWrap(True)
        self.preview = QLabel(self)
        self.preview.setTextFormat(Qt.TextFormat.PlainText)
        self.preview.setWordWrap(True)
        self.merging = MergeChoice(self)
        self.do_button, self.leave_button = QPushButton(self), QPushButton(_("leave it"), self)
        column = QVBoxLayout(self)
        column.addWidget(about)
        for button in (self.back_up_button, self.restore_button, self.merge_button):
            button.setAutoDefault(False)
            column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addSpacing(12)
        column.addWidget(self.preview)
        column.addWidget(self.merging, 1)
        column.addLayout(_row(self.do_button, self.leave_button))
        column.addStretch(1)
        for button in (self.do_button, self.leave_button):
            button.setAutoDefault(False)
        self.back_up_button.clicked.connect(self._ask_back_up)
        self.restore_button.clicked.connect(self._ask_restore)
        self.merge_button.clicked.connect(self._ask_merge)
        self.do_button.clicked.connect(self._do)
        self.leave_button.clicked.connect(self.clear)
        self.clear()

    def clear(self) -> None:
        """Nothing is to be decided."""
        self._show("", "", None)

    def _show(
        self, text: str, verb: str, confirmed: Callable[[], None] | None, differing: tuple[Differing, ...] = ()
    ) -> None:
        self._confirmed = confirmed
        self.preview.setText(text)
        self.do_button.setText(verb)
        for widget in (self.do_button, self.leave_button):
            widget.setVisible(confirmed is not None)
        self.merging.setVisible(bool(differing))
        if differing:
            self.merging.begin(differing)
            self.merging.whose.setFocus()
        elif confirmed is not None:
            self.do_button.setFocus()

    def _do(self) -> None:
        confirmed = self._confirmed
        if confirmed is not None:
            confirmed()
        self.clear()

    # --- back up ------------------------------------------------------------------------------------------------

    def _ask_back_up(self) -> None:
        suggested = str(Path.home() / "library.sqlite")
        path, _kind = QFileDialog.getSaveFileName(self, _("back up the library"), suggested, _(_KIND))
        if path:
            self.back_up(Path(path))

    def back_up(self, target: Path) -> None:
        """Copy the library."""
        said = _("✓ the library is copied to {file}", file=target)
        self._desk.do(
            "copy", lambda library, progress: library.back_up(target, progress), lambda _none: self._desk.tell(said),
            _("copying …"),
        )  # fmt: skip

    # --- restore ------------------------------------------------------------------------------------------------

    def _ask_restore(self) -> None:
        folder = str(paths.library().parent)
        path, _kind = QFileDialog.getOpenFileName(self, _("a back-up to restore"), folder, _(_KIND))
        if path:
            self.look_at_back_up(Path(path))

    def look_at_back_up(self, copy: Path) -> None:
        """Say what restoring would change."""
        then = partial(self._show_restoring, copy)
        self._desk.do("copy", lambda library, _progress: library.what_restoring_changes(copy), then, _("comparing …"))

    def _show_restoring(self, copy: Path, found: Restoring) -> None:
        self._desk.tell("")
        self._show(
            _("{file}: {words}", file=copy.name, words=found.words()), _("restore"), partial(self._restore, copy)
        )

    def _restore(self, copy: Path) -> None:
        self._desk.change(
            lambda library, progress: library.restore(copy, progress),
            lambda before: self._desk.tell(_("✓ restored; the state before is kept as {file}", file=before.name)),
        )

    # --- merge --------------------------------------------------------------------------------------------------

    def _ask_merge(self) -> None:
        path, _kind = QFileDialog.getOpenFileName(self, _("another library"), str(Path.home()), _(_KIND))
        if path:
            self.look_at_library(Path(path))

    def look_at_library(self, other: Path) -> None:
        """Say what merging would change."""
        self._desk.do(
            "copy", lambda library, progress: library.what_merging_changes(other, progress),
            partial(self._show_merging, other), _("comparing …"),
        )  # fmt: skip

    def _show_merging(self, other: Path, found: Merging) -> None:
        self._desk.tell("")
        text = _("{file}: {words}", file=other.name, words=merging_words(found))
        if found.new or found.differing:
            self._show(text, _("merge"), partial(self._merge, other), found.differing)
        else:
            self._show(text, "", None)

    def _merge(self, other: Path) -> None:
        choices, otherwise = self.merging.choices(), self.merging.otherwise
        self._desk.change(
            lambda library, progress: library.merge(other, choices, otherwise=otherwise, progress=progress),
            lambda n: self._desk.tell(plural("✓ {n} food was taken over", "✓ {n} foods were taken over", n)),
        )


def _row(*widgets: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    for widget in widgets:
        row.addWidget(widget)
    row.addStretch(1)
    return row
