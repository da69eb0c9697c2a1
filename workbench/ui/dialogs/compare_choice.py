"""Choosing what is compared: variants of the open project and of other project files, and which is the reference."""

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import _
from workbench.document.project import Project
from workbench.recipe.side_by_side import FEWEST, MOST
from workbench.ui.comparing import Chosen, OtherFile
from workbench.ui.dialogs.buttons import done_or_cancel
from workbench.ui.dialogs.room import resize_within

_KEY = Qt.ItemDataRole.UserRole


class CompareChoice(QDialog):
    """A list of variants to tick, by project, and the reference among those ticked.

    Parameters
    ----------
    project : Project
        The open one.
    chosen : sequence of Chosen
        What is compared now, the reference first.
    paths : sequence of str
        Other project files that are offered from the start.
    read : callable
        Reads another project file.
    ask_file : callable
        Asks for one, by the folder to begin in; None if cancelled.
    """

    def __init__(
        self,
        project: Project,
        chosen: Sequence[Chosen],
        paths: Sequence[str],
        read: Callable[[str], OtherFile],
        ask_file: Callable[[str], str | None],
        folder: str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("variants to compare"))
        self._before = tuple(chosen)
        self._read, self._ask_file, self._folder = read, ask_file, folder
        self._paths: list[str] = []
        self._items: list[QTreeWidgetItem] = []
        self.list = QTreeWidget(self)
        self.list.setAccessibleName(_("variants"))
        self.list.setHeaderHidden(True)
        self.list.setRootIsDecorated(False)
        self.list.setItemsExpandable(False)
        self.reference = QComboBox(self)
        self.message, self.problem = QLabel(self), QLabel(self)
        for label in (self.message, self.problem):
            label.setTextFormat(Qt.TextFormat.PlainText)  # names are never markup
            label.setWordWrap(True)
        self.problem.hide()
        self.add_button = QPushButton(_("&add from another project file …"), self)
        self.add_button.setAutoDefault(False)
        self.buttons = done_or_cancel(self)
        self._lay_out()
        self._add_group(project, "")
        for path in paths:
            self._add_file(path)
        self.list.itemChanged.connect(self._follow)
        self.add_button.clicked.connect(self._ask)
        self._follow()
        self.list.setFocus()

    def _lay_out(self) -> None:
        label = QLabel(_("the others are held against"), self)
        label.setBuddy(self.reference)
        row = QHBoxLayout()
        row.addWidget(label)
        row.addWidget(self.reference, 1)
        column = QVBoxLayout(self)
        column.addWidget(self.list, 1)
        column.addWidget(self.add_button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.problem)
        column.addLayout(row)
        column.addWidget(self.message)
        column.addWidget(self.buttons)
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(36 * em, 34 * em))

    # --- what can be ticked -------------------------------------------------------------------------------------------

    def _add_group(self, project: Project, path: str) -> None:
        title = f"{project.title} · {Path(path).name}" if path else project.title
        head = QTreeWidgetItem(self.list, [title])
        head.setFlags(Qt.ItemFlag.ItemIsEnabled)
        font = head.font(0)
        font.setBold(True)
        head.setFont(0, font)
        for variant in project.variants:
            item = QTreeWidgetItem(head, [variant.name])
            self._items.append(item)
            item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsUserCheckable)
            one = Chosen(variant.id, path)
            item.setData(0, _KEY, one)
            item.setCheckState(0, Qt.CheckState.Checked if one in self._before else Qt.CheckState.Unchecked)
            item.setToolTip(0, variant.notes)
        head.setExpanded(True)

    def _add_file(self, path: str) -> None:
        found = self._read(path)
        self.problem.setText(f"✕ {found.problem}" if found.problem else "")
        self.problem.setVisible(bool(found.problem))
        if found.project is not None and path not in self._paths:
            self._paths.append(path)
            self._add_group(found.project, path)

    def _ask(self) -> None:
        """Ask for a file, and go to its first variant."""
        answer = self._ask_file(self._folder)
        if answer is None:
            return
        path = Path(answer).absolute()
        self._folder = str(path.parent)
        self._add_file(str(path))
        first = next((item for item in self.items() if Chosen(*item.data(0, _KEY)).path == str(path)), None)
        if first is not None:
            self.list.setCurrentItem(first)
            self.list.setFocus()

    # --- what is ticked -----------------------------------------------------------------------------------------------

    def items(self) -> list[QTreeWidgetItem]:
        """All variants, from the top."""
        return list(self._items)

    def ticked(self) -> list[QTreeWidgetItem]:
        """Those that are ticked."""
        return [item for item in self.items() if item.checkState(0) == Qt.CheckState.Checked]

    def _follow(self) -> None:
        """List what is ticked as possible references, and say how many there may be."""
        ticked = self.ticked()
        held = self.reference.currentData() or (self._before[0] if self._before else None)
        self.reference.clear()
        for item in ticked:
            one = Chosen(*item.data(0, _KEY))
            name = f"{item.text(0)} ({Path(one.path).name})" if one.path else item.text(0)
            self.reference.addItem(name, one)
        places = [Chosen(*item.data(0, _KEY)) for item in ticked]
        if held in places:
            self.reference.setCurrentIndex(places.index(held))
        count = len(ticked)
        wrong = count < FEWEST or count > MOST
        words = _("▲ {n} chosen: tick {fewest} to {most}") if wrong else _("{n} of at most {most}")
        self.message.setText(words.format(n=count, fewest=FEWEST, most=MOST))
        done = next(
            b for b in self.buttons.buttons() if self.buttons.buttonRole(b) == QDialogButtonBox.ButtonRole.AcceptRole
        )
        done.setEnabled(not wrong)

    def choice(self) -> tuple[Chosen, ...]:
        """What the form says now, the reference first."""
        first = self.reference.currentData()
        rest = [Chosen(*item.data(0, _KEY)) for item in self.ticked()]
        return (Chosen(*first), *(one for one in rest if one != Chosen(*first))) if first else tuple(rest)
