"""The targets of a variant: which set it uses, and every target in that set, by typing."""

from typing import NamedTuple

from msgspec.structs import replace
from PySide6.QtCore import QKeyCombination, Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import _
from workbench.document.project import Basis, Project, Target, TargetSet, new_id
from workbench.document.target_sets import taken_over
from workbench.recipe.cost import project_currency
from workbench.ui.dialogs.buttons import done_or_cancel
from workbench.ui.dialogs.room import room_of
from workbench.ui.dialogs.target_form import Figure, TargetForm
from workbench.ui.dialogs.target_reading import basis_of, fault_of, target_line
from workbench.ui.dialogs.target_sources import TargetSources


class TargetChoice(NamedTuple):
    """The answer: all sets of the project, and the one that the variant uses."""

    target_sets: tuple[TargetSet, ...]
    target_set_id: str | None


def ask_targets(
    project: Project,
    variant_id: str,
    figure: Figure,
    parent: QWidget | None,
    target_id: str = "",
    wanted: tuple[str, Basis] | None = None,
) -> TargetChoice | None:
    """Ask for the targets of a variant; None if cancelled.  ``figure`` says what the recipe gives now."""
    dialog = TargetDialog(project, variant_id, figure, parent, target_id, wanted)
    return dialog.choice() if dialog.exec() == QDialog.DialogCode.Accepted else None


class TargetDialog(QDialog):
    """The set above, its targets as a list, and the chosen target as a form that changes it at once."""

    def __init__(
        self,
        project: Project,
        variant_id: str,
        figure: Figure,
        parent: QWidget | None = None,
        target_id: str = "",
        wanted: tuple[str, Basis] | None = None,
    ) -> None:
        super().__init__(parent)
        variant = project.variant(variant_id)
        self._project, self._variant = project, variant
        self._currency = project_currency(project)
        self._sets = {targets.id: targets for targets in project.target_sets}
        self._set_id = variant.target_set_id if variant.target_set_id in self._sets else None
        self._filling = False
        self.setWindowTitle(_("targets of “{name}”", name=variant.name))
        self._make_fields(figure)
        self._lay_out()
        self._connect()
        self._fill_sets()
        self._show_set(target_id)
        if wanted is not None:
            self.add(*wanted)
        elif not target_id:
            self.list.setFocus()
        else:
            self.limits["low"].setFocus()

    # --- building -------------------------------------------------------------------------------------------------

    def _make_fields(self, figure: Figure) -> None:
        self.sets = QComboBox(self)
        self.sets.setAccessibleName(_("set of targets"))
        self.new_set = QPushButton(_("new set"), self)
        self.copy_set = QPushButton(_("copy the set"), self)
        self.copy_set.setToolTip(_("for this variant alone"))
        self.sources = TargetSources(self._to_keep, self)
        self.name = QLineEdit(self)
        self.shared = QLabel(self)
        self.shared.setWordWrap(True)
        self.list = QListWidget(self)
        self.list.setAccessibleName(_("targets"))
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setMinimumWidth(min(46 * self.fontMetrics().averageCharWidth(), room_of(self).width() // 3))
        self.add_button = QPushButton(_("add a target"), self)
        self.remove_button = QPushButton(_("remove"), self)
        self.form = TargetForm(figure, self._currency, self)
        self.quantity, self.basis, self.limits = self.form.quantity, self.form.basis, self.form.limits
        self.message = QLabel(self)
        self.message.setWordWrap(True)
        self.message.setMinimumHeight(2 * self.fontMetrics().lineSpacing())

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.sets, 1)
        for button in (self.new_set, self.copy_set, self.sources):
            top.addWidget(button)
        head = QFormLayout()
        head.addRow(_("set"), top)
        head.addRow(_("name of the set"), self.name)
        head.addRow("", self.shared)
        buttons = QHBoxLayout()
        buttons.addWidget(self.add_button)
        buttons.addWidget(self.remove_button)
        buttons.addStretch(1)
        left = QVBoxLayout()
        left.addWidget(self.list, 1)
        left.addLayout(buttons)
        middle = QHBoxLayout()
        middle.addLayout(left, 1)
        middle.addWidget(self.form, 1)
        layout = QVBoxLayout(self)
        layout.addLayout(head)
        layout.addLayout(middle, 1)
        layout.addWidget(self.message)
        self.buttons: QDialogButtonBox = done_or_cancel(self)
        layout.addWidget(self.buttons)
        for button in (self.new_set, self.copy_set, self.add_button, self.remove_button):
            button.setAutoDefault(False)

    def _connect(self) -> None:
        self.sets.activated.connect(lambda: self._use(self.sets.currentData()))
        self.new_set.clicked.connect(lambda: self._start(TargetSet(id=new_id(), name=self._variant.name)))
        self.copy_set.clicked.connect(self._copy)
        self.sources.taken.connect(self._take_over)
        self.sources.said.connect(self._say)
        self.name.textEdited.connect(self._rename)
        self.list.currentRowChanged.connect(self._show_target)
        self.add_button.clicked.connect(lambda: self.add())
        self.remove_button.clicked.connect(self.remove)
        delete = QShortcut(QKeySequence(QKeyCombination(Qt.Key.Key_Delete)), self.list)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.remove)
        self.form.changed.connect(self._take)

    # --- the set ----------------------------------------------------------------------------------------------------

    @property
    def _targets(self) -> tuple[Target, ...]:
        return self._sets[self._set_id].targets if self._set_id else ()

    def _fill_sets(self) -> None:
        self.sets.clear()
        for targets in self._sets.values():
            self.sets.addItem(targets.name or _("without a name"), targets.id)
        self.sets.addItem(_("no targets"), None)
        self.sets.setCurrentIndex(self.sets.findData(self._set_id))

    def _use(self, set_id: str | None) -> None:
        self._set_id = set_id
        self._show_set()

    def _start(self, targets: TargetSet) -> None:
        self._sets[targets.id] = targets
        self._set_id = targets.id
        self._fill_sets()
        self._show_set()
        self.name.setFocus()
        self.name.selectAll()

    def _copy(self) -> None:
        given = self._sets.get(self._set_id or "")
        if given is not None:
            self._start(taken_over(given, self._sets.values(), _("{name}, copy", name=given.name)))

    def _take_over(self, sets: tuple[TargetSet, ...]) -> None:
        """Add sets from elsewhere; the variant uses the first of them."""
        made = []
        for targets in sets:
            made.append(taken_over(targets, self._sets.values()))
            self._sets[made[-1].id] = made[-1]
        self._start(made[0])
        self.list.setFocus()
        names = ", ".join(f"“{targets.name}”" for targets in made)
        self._say(_("taken over: {names}; “done” makes it one step that can be undone", names=names))

    def _to_keep(self) -> TargetSet | None:
        """The set that is shown, if nothing is wrong with it."""
        return None if any(map(fault_of, self._targets)) else self._sets.get(self._set_id or "")

    def _rename(self, name: str) -> None:
        if self._set_id:
            self._sets[self._set_id] = replace(self._sets[self._set_id], name=name.strip())
            self.sets.setItemText(self.sets.currentIndex(), name.strip() or _("without a name"))

    def _show_set(self, target_id: str = "") -> None:
        chosen = self._sets.get(self._set_id or "")
        self.name.setText(chosen.name if chosen else "")
        self.name.setEnabled(chosen is not None)
        self.copy_set.setEnabled(chosen is not None)
        others = [
            f"“{v.name}”"
            for v in self._project.variants
            if chosen is not None and v.target_set_id == chosen.id and v.id != self._variant.id
        ]
        words = _("also used by {names}: a change here changes it there too.", names=", ".join(others))
        self.shared.setText(words if others else "")
        self.shared.setVisible(bool(others))
        self._filling = True
        self.list.clear()
        self.list.addItems([target_line(target, self._currency) for target in self._targets])
        self._filling = False
        ids = [target.id for target in self._targets]
        self.list.setCurrentRow(ids.index(target_id) if target_id in ids else min(0, len(ids) - 1))
        self._show_target()

    # --- one target -------------------------------------------------------------------------------------------------

    def _current(self) -> Target | None:
        row = self.list.currentRow()
        return self._targets[row] if 0 <= row < len(self._targets) else None

    def add(self, quantity: str = "CHOAVLDF", basis: Basis = "portion") -> None:
        """Append a target and put the keyboard into it."""
        if self._set_id is None:
            self._start(TargetSet(id=new_id(), name=self._variant.name))
        self._put((*self._targets, Target(id=new_id(), quantity=quantity, basis=basis_of(quantity, basis))))
        self._show_set(self._targets[-1].id)
        self.limits["low"].setFocus()

    def remove(self) -> None:
        """Take the chosen target out."""
        gone, row = self._current(), self.list.currentRow()
        if gone is not None:
            self._put(tuple(target for target in self._targets if target.id != gone.id))
            left = self._targets
            self._show_set(left[min(row, len(left) - 1)].id if left else "")
            self.list.setFocus()

    def _put(self, targets: tuple[Target, ...]) -> None:
        if self._set_id:
            self._sets[self._set_id] = replace(self._sets[self._set_id], targets=targets)

    def _show_target(self) -> None:
        if not self._filling:
            target = self._current()
            self.remove_button.setEnabled(target is not None)
            self.form.show_target(target)
            self._say()

    def _take(self) -> None:
        """Put what the form says into the target, as far as it can be read."""
        target, row = self._current(), self.list.currentRow()
        if target is not None:
            changed = self.form.read(target)
            self._put(tuple(changed if t.id == target.id else t for t in self._targets))
            self.list.item(row).setText(target_line(changed, self._currency))
            self._say()

    # --- what is wrong ------------------------------------------------------------------------------------------------

    def _say(self, words: str = "") -> None:
        """Say what stands in the way of being done, else ``words``."""
        fault = self.form.fault() or next(filter(None, map(fault_of, self._targets)), "")
        hint = _("No targets yet: add one, such as 20 to 25 g carbohydrate per piece.")
        parts = (words, f"▲ {fault}" if fault else "" if self._targets or words else hint)
        self.message.setText("\n".join(filter(None, parts)))
        self.buttons.buttons()[0].setEnabled(not fault)

    def choice(self) -> TargetChoice:
        """What the dialog says now."""
        return TargetChoice(tuple(self._sets.values()), self._set_id)
