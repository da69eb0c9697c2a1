"""The targets of a variant: which set it uses, and every target in that set, by typing."""

from collections.abc import Callable
from typing import NamedTuple

from msgspec.structs import replace
from PySide6.QtCore import QKeyCombination, Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QGroupBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from workbench.base.errors import AmountError
from workbench.base.text import N_, _, decimal_sign
from workbench.composition.amounts import AmbiguousAmount, parse_amount
from workbench.document.project import Basis, Project, Target, TargetSet, new_id
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.recipe.words import band_text, target_title
from workbench.ui.dialogs.buttons import done_or_cancel
from workbench.ui.readings import ASKED_MOST

Figure = Callable[[str, Basis], str]

_LIMITS = (("low", N_("at least")), ("high", N_("at most")), ("aim", N_("aim")))
_STRENGTHS = (("must", N_("must be kept")), ("prefer", N_("preferred")))


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


def read_limit(text: str, quantity: str) -> float | None:
    """A figure as typed, in the unit of the quantity; None where the field is empty.

    Raises
    ------
    AmountError
        If it cannot be read, or can be read in two ways.
    """
    unit = QUANTITIES[quantity].unit
    typed = text.strip()
    bare = typed.removesuffix(unit).strip() if unit else typed
    if not bare:
        return None
    hint = _("Type a figure, such as 20 or 1.5, or leave the field empty.")
    try:
        if any(sign.isalpha() for sign in bare):
            raise AmountError("")
        return parse_amount(bare, None, "metric").grams  # without a unit a gram is one
    except AmbiguousAmount as error:
        raise AmountError(error.summary, hint=_("Write it without a sign between thousands.")) from None
    except AmountError:
        words = _("“{text}” is not a figure in {unit}.", text=typed, unit=unit) if unit else ""
        raise AmountError(words or _("“{text}” is not a figure.", text=typed), hint=hint) from None


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
        self._project, self._variant, self._figure = project, variant, figure
        self._sets = {targets.id: targets for targets in project.target_sets}
        self._set_id = variant.target_set_id if variant.target_set_id in self._sets else None
        self._filling = False
        self.setWindowTitle(_("targets of “{name}”", name=variant.name))
        self._make_fields()
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

    def _make_fields(self) -> None:
        self.sets = QComboBox(self)
        self.sets.setAccessibleName(_("set of targets"))
        self.new_set = QPushButton(_("new set"), self)
        self.copy_set = QPushButton(_("copy the set"), self)
        self.copy_set.setToolTip(_("for this variant alone"))
        self.name = QLineEdit(self)
        self.shared = QLabel(self)
        self.shared.setWordWrap(True)
        self.list = QListWidget(self)
        self.list.setAccessibleName(_("targets"))
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setMinimumWidth(46 * self.fontMetrics().averageCharWidth())
        self.add_button = QPushButton(_("add a target"), self)
        self.remove_button = QPushButton(_("remove"), self)
        self.quantity = QComboBox(self)
        self.quantity.setMaxVisibleItems(20)
        self.basis = QComboBox(self)
        for key in dict.fromkeys((*ASKED_MOST, *QUANTITIES)):
            self.quantity.addItem(_quantity_title(key), key)
        self.limits = {field: QLineEdit(self) for field, _words in _LIMITS}
        for field in self.limits.values():
            field.setPlaceholderText(_("none"))
        self.strength = QComboBox(self)
        for key, words in _STRENGTHS:
            self.strength.addItem(_(words), key)
        self.source = QLineEdit(self)
        self.source.setPlaceholderText(_("where the figures come from"))
        self.now = QLabel(self)
        self.message = QLabel(self)
        self.message.setWordWrap(True)
        self.message.setMinimumHeight(2 * self.fontMetrics().lineSpacing())

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.sets, 1)
        top.addWidget(self.new_set)
        top.addWidget(self.copy_set)
        head = QFormLayout()
        head.addRow(_("set"), top)
        head.addRow(_("name of the set"), self.name)
        head.addRow("", self.shared)
        self.form = QGroupBox(_("the chosen target"), self)
        form = QFormLayout(self.form)
        form.addRow(_("quantity"), self.quantity)
        form.addRow(_("per"), self.basis)
        form.addRow(_("now"), self.now)
        for key, words in _LIMITS:
            form.addRow(_(words), self.limits[key])
        form.addRow(_("how strict"), self.strength)
        form.addRow(_("source"), self.source)
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
        self.name.textEdited.connect(self._rename)
        self.list.currentRowChanged.connect(self._show_target)
        self.add_button.clicked.connect(lambda: self.add())
        self.remove_button.clicked.connect(self.remove)
        delete = QShortcut(QKeySequence(QKeyCombination(Qt.Key.Key_Delete)), self.list)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.remove)
        self.quantity.activated.connect(self._quantity_chosen)
        self.basis.activated.connect(self._take)
        self.strength.activated.connect(self._take)
        self.source.textEdited.connect(self._take)
        for field in self.limits.values():
            field.textEdited.connect(self._take)

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
        if self._set_id:
            given = self._sets[self._set_id]
            targets = tuple(replace(target, id=new_id()) for target in given.targets)
            self._start(TargetSet(id=new_id(), name=_("{name}, copy", name=given.name), targets=targets))

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
        self.list.addItems([_line(target) for target in self._targets])
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
        self._put((*self._targets, Target(id=new_id(), quantity=quantity, basis=_basis_of(quantity, basis))))
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
        if self._filling:
            return
        target = self._current()
        self.form.setEnabled(target is not None)
        self.remove_button.setEnabled(target is not None)
        if target is not None:
            self._fill_quantity(target)
            decimals = QUANTITIES[target.quantity].decimals if target.quantity in QUANTITIES else 1
            for field, _words in _LIMITS:
                self.limits[field].setText(_plain(getattr(target, field), decimals))
            self.strength.setCurrentIndex(self.strength.findData(target.strength))
            self.source.setText(target.source)
        self._say()

    def _fill_quantity(self, target: Target) -> None:
        if self.quantity.findData(target.quantity) < 0:  # of a newer program: kept as it is
            self.quantity.addItem(target.quantity, target.quantity)
        self.quantity.setCurrentIndex(self.quantity.findData(target.quantity))
        known = QUANTITIES.get(target.quantity)
        self.basis.clear()
        for basis in known.bases if known else (target.basis,):
            words = _("any amount: it is a ratio") if known and known.kind == "ratio" else _(BASIS_TITLES[basis])
            self.basis.addItem(words, basis)
        self.basis.setCurrentIndex(self.basis.findData(target.basis))

    def _quantity_chosen(self) -> None:
        target = self._current()
        if target is not None:
            key = self.quantity.currentData()
            self._fill_quantity(replace(target, quantity=key, basis=_basis_of(key, target.basis)))
            self._take()

    def _take(self) -> None:
        """Put what the form says into the target, as far as it can be read."""
        target, row = self._current(), self.list.currentRow()
        if target is None:
            return
        read = {}
        for field, box in self.limits.items():
            try:
                read[field] = read_limit(box.text(), self.quantity.currentData())
            except AmountError:
                read[field] = getattr(target, field)
        changed = replace(
            target,
            quantity=self.quantity.currentData(),
            basis=self.basis.currentData(),
            strength=self.strength.currentData(),
            source=self.source.text().strip(),
            **read,
        )
        self._put(tuple(changed if t.id == target.id else t for t in self._targets))
        self.list.item(row).setText(_line(changed))
        self._say()

    # --- what is wrong ------------------------------------------------------------------------------------------------

    def _fault(self) -> str:
        """What stands in the way of being done, "" if nothing does."""
        target = self._current()
        for field, words in _LIMITS if target is not None else ():
            try:
                read_limit(self.limits[field].text(), self.quantity.currentData())
            except AmountError as error:
                return f"{_(words)}: {error.summary} {error.hint}"
        for other in self._targets:
            limits = [limit for limit in (other.low, other.aim, other.high) if limit is not None]
            if not limits:
                return _("{target}: type a figure in one of the three fields.", target=_title(other))
            if limits != sorted(limits):
                return _("{target}: at least, aim and at most must rise in this order.", target=_title(other))
        return ""

    def _say(self) -> None:
        target, fault = self._current(), self._fault()
        known = target is not None and target.quantity in QUANTITIES
        self.now.setText(self._figure(target.quantity, target.basis) if target is not None and known else "")
        hint = _("No targets yet: add one, such as 20 to 25 g carbohydrate per piece.")
        self.message.setText(f"▲ {fault}" if fault else "" if self._targets else hint)
        done = self.buttons.buttons()[0]
        done.setEnabled(not fault)

    def choice(self) -> TargetChoice:
        """What the dialog says now."""
        return TargetChoice(tuple(self._sets.values()), self._set_id)


def _basis_of(quantity: str, wanted: Basis) -> Basis:
    known = QUANTITIES.get(quantity)
    return wanted if known is None or wanted in known.bases else known.bases[0]


def _quantity_title(key: str) -> str:
    quantity = QUANTITIES[key]
    title = _(quantity.title)
    return f"{title}, {quantity.unit}" if key.startswith("energy_k") else title


def _title(target: Target) -> str:
    return target_title(target) if target.quantity in QUANTITIES else target.quantity


def _line(target: Target) -> str:
    """A target as a line of the list."""
    quantity = QUANTITIES.get(target.quantity)
    limits = band_text(target.low, target.high, quantity.decimals if quantity else 1, target.aim)
    unit = quantity.unit if quantity else ""
    words = f"{_title(target)}: {limits} {unit}".rstrip()
    return _("{target} (preferred)", target=words) if target.strength == "prefer" else words


def _plain(limit: float | None, decimals: int) -> str:
    """A limit to be typed over: no more zeros than it needs."""
    if limit is None:
        return ""
    text = f"{limit:.{max(decimals, 3)}f}".rstrip("0").rstrip(".")
    return text.replace(".", decimal_sign())
