"""The chosen target as a form: quantity, basis, limits, strength and source."""

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QFormLayout, QGroupBox, QLabel, QLineEdit, QWidget

from workbench.base.errors import AmountError
from workbench.base.text import N_, _
from workbench.document.project import Basis, Target
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.ui.dialogs.target_reading import LIMITS, basis_of, plain_limit, quantity_title, read_limit, unit_of
from workbench.ui.readings import ASKED_MOST

Figure = Callable[[str, Basis], str]

_STRENGTHS = (("must", N_("must be kept")), ("prefer", N_("preferred")))


class TargetForm(QGroupBox):
    """Shows one target; ``changed`` comes with every change by hand.

    Parameters
    ----------
    figure : callable
        What the recipe gives now, in words, of a quantity on a basis.
    currency : str
        What costs are counted in; "" where nothing has a price.
    """

    changed = Signal()

    def __init__(self, figure: Figure, currency: str, parent: QWidget | None = None) -> None:
        super().__init__(_("the chosen target"), parent)
        self._figure, self._currency = figure, currency
        self.quantity = QComboBox(self)
        self.quantity.setMaxVisibleItems(20)
        for key in dict.fromkeys((*ASKED_MOST, *QUANTITIES)):
            self.quantity.addItem(quantity_title(key), key)
        self.basis = QComboBox(self)
        self.now = QLabel(self)
        self.now.setWordWrap(True)
        self.limits = {field: QLineEdit(self) for field, _words in LIMITS}
        for field in self.limits.values():
            field.setPlaceholderText(_("none"))
        self.strength = QComboBox(self)
        for key, words in _STRENGTHS:
            self.strength.addItem(_(words), key)
        self.source = QLineEdit(self)
        self.source.setPlaceholderText(_("where the figures come from"))
        self._lay_out()
        self.quantity.activated.connect(self._take_quantity)
        self.basis.activated.connect(self._take)
        self.strength.activated.connect(self.changed)
        self.source.textEdited.connect(self.changed)
        for field in self.limits.values():
            field.textEdited.connect(self.changed)

    def _lay_out(self) -> None:
        form = QFormLayout(self)
        form.addRow(_("quantity"), self.quantity)
        form.addRow(_("per"), self.basis)
        form.addRow(_("now"), self.now)
        self._labels = {}
        for key, words in LIMITS:
            form.addRow(_(words), self.limits[key])
            self._labels[key] = form.labelForField(self.limits[key])
        form.addRow(_("how strict"), self.strength)
        form.addRow(_("source"), self.source)

    def show_target(self, target: Target | None) -> None:
        """Show a target; None for none."""
        self.setEnabled(target is not None)
        self.now.clear()
        if target is None:
            return
        self._show_quantity(target.quantity, target.basis)
        for field, box in self.limits.items():
            box.setText(plain_limit(getattr(target, field), target.quantity))
        self.strength.setCurrentIndex(self.strength.findData(target.strength))
        self.source.setText(target.source)

    def read(self, target: Target) -> Target:
        """The target with what the form says, as far as it can be read."""
        read = {}
        for field in self.limits:
            try:
                read[field] = self._limit(field)
            except AmountError:
                read[field] = getattr(target, field)
        return replace(
            target,
            quantity=self.quantity.currentData(),
            basis=self.basis.currentData(),
            strength=self.strength.currentData(),
            source=self.source.text().strip(),
            **read,
        )

    def fault(self) -> str:
        """The first limit that cannot be read, "" if all can."""
        for field, words in LIMITS if self.isEnabled() else ():
            try:
                self._limit(field)
            except AmountError as error:
                return f"{_(words)}: {error.summary} {error.hint}"
        return ""

    def _limit(self, field: str) -> float | None:
        return read_limit(self.limits[field].text(), self.quantity.currentData(), self._currency)

    def _show_quantity(self, key: str, wanted: Basis) -> None:
        if self.quantity.findData(key) < 0:  # of a newer program: kept as it is
            self.quantity.addItem(key, key)
        self.quantity.setCurrentIndex(self.quantity.findData(key))
        known = QUANTITIES.get(key)
        self.basis.clear()
        for basis in known.bases if known else (wanted,):
            words = _("any amount: it is a ratio") if known and known.kind == "ratio" else _(BASIS_TITLES[basis])
            self.basis.addItem(words, basis)
        self.basis.setCurrentIndex(self.basis.findData(basis_of(key, wanted)))
        unit = unit_of(key, self._currency)
        for field, words in LIMITS:
            label = self._labels[field]
            assert isinstance(label, QLabel)
            label.setText(_("{limit}, {unit}", limit=_(words), unit=unit) if unit else _(words))
        self._show_now()

    def _show_now(self) -> None:
        key = self.quantity.currentData()
        self.now.setText(self._figure(key, self.basis.currentData()) if key in QUANTITIES else "")

    def _take_quantity(self) -> None:
        self._show_quantity(self.quantity.currentData(), self.basis.currentData())
        self.changed.emit()

    def _take(self) -> None:
        self._show_now()
        self.changed.emit()
