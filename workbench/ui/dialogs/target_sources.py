"""Where a set of targets can be taken from, and keeping one for other projects."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFileDialog, QMenu, QPushButton, QWidget

from workbench.base.errors import WorkbenchError
from workbench.base.text import N_, _
from workbench.document.project import TargetSet
from workbench.solve.starting_sets import starting_target_sets
from workbench.storage.kept_targets import forget_target_set, keep_target_set, kept_target_sets
from workbench.storage.project_file import load_project

_KIND = N_("projects (*.fare)")


class TargetSources(QPushButton):
    """A button with a menu; ``taken(sets)`` hands over what was chosen, ``said(words)`` what came of it."""

    taken = Signal(object)
    said = Signal(str)

    def __init__(self, current: Callable[[], TargetSet | None], parent: QWidget | None = None) -> None:
        super().__init__(_("&more sets"), parent)
        self._current = current
        self._folder = ""
        menu = QMenu(self)
        menu.aboutToShow.connect(self.fill)
        self.setMenu(menu)
        self.setAutoDefault(False)

    def fill(self) -> None:
        """Make the menu of what there is now."""
        menu = self.menu()
        menu.clear()
        menu.addSection(_("begin with"))
        for targets in starting_target_sets():
            menu.addAction(_plain(targets), partial(self.taken.emit, (targets,)))
        menu.addSection(_("kept for other projects"))
        kept = self._kept()
        for targets in kept:
            menu.addAction(_plain(targets), partial(self.taken.emit, (targets,)))
        if not kept:
            menu.addAction(_("none yet")).setEnabled(False)
        menu.addSeparator()
        current = self._current()
        keep = menu.addAction(_("&keep this set for other projects"), self.keep)
        keep.setEnabled(current is not None and bool(current.targets) and bool(current.name))
        forget = menu.addMenu(_("&forget a kept set"))
        forget.setEnabled(bool(kept))
        for targets in kept:
            forget.addAction(_plain(targets), partial(self.forget, targets.name))
        menu.addAction(_("&take over those of another project …"), self.ask_project)

    def _kept(self) -> Sequence[TargetSet]:
        try:
            return kept_target_sets()
        except WorkbenchError as error:
            self.said.emit(" ".join(error.lines()))
            return ()

    def keep(self) -> None:
        """Keep the set that is shown."""
        targets = self._current()
        if targets is not None:
            words = _("“{name}” is kept for other projects", name=targets.name)
            self._try(partial(keep_target_set, targets), words)

    def forget(self, name: str) -> None:
        """Keep a set no longer."""
        self._try(partial(forget_target_set, name), _("“{name}” is no longer kept", name=name))

    def ask_project(self) -> None:
        """Ask for a project file and take over its sets."""
        path, _kind = QFileDialog.getOpenFileName(self, _("take over targets"), self._folder, _(_KIND))
        if path:
            self._folder = str(Path(path).parent)
            self.take_from(Path(path))

    def take_from(self, path: Path) -> None:
        """Take over the sets of a project file."""
        try:
            sets = load_project(path).project.target_sets
        except WorkbenchError as error:
            self.said.emit(" ".join(error.lines()))
            return
        if sets:
            self.taken.emit(sets)
        else:
            self.said.emit(_("“{name}” has no targets", name=path.name))

    def _try(self, work: Callable[[], None], words: str) -> None:
        try:
            work()
        except WorkbenchError as error:
            words = " ".join(error.lines())
        self.said.emit(words)


def _plain(targets: TargetSet) -> str:
    """The name of a set in a menu, where a single & would mark a key."""
    return (targets.name or _("without a name")).replace("&", "&&")
