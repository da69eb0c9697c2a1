"""Scaling the chosen amounts: by a factor, or to a weight in all; either field follows the other."""

from PySide6.QtWidgets import QDialog, QDoubleSpinBox, QFormLayout, QLabel, QVBoxLayout, QWidget

from workbench.base.text import _, number, plural
from workbench.document.project import MOST_GRAMS
from workbench.ui.dialogs.buttons import done_or_cancel

_LARGEST = 1000.0  # factor


class ScaleDialog(QDialog):
    """The form.

    Parameters
    ----------
    free_g, locked_g : float
        What the chosen lines weigh that can change, and what the locked ones among them weigh. [g]
    n_free, n_locked : int
        How many lines that are.
    """

    def __init__(
        self, free_g: float, n_free: int, locked_g: float, n_locked: int, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("scale amounts"))
        self._free_g = free_g
        self._locked_g = locked_g
        self._factor = 1.0
        largest = min(_LARGEST, MOST_GRAMS / free_g)
        self.factor = _box(largest, 4, 1.0)
        self.factor.setPrefix("× ")
        self.factor.setAccessibleName(_("factor"))
        self.factor.setSingleStep(0.1)
        self.total = _box(locked_g + largest * free_g, 1, locked_g + free_g)
        self.total.setMinimum(locked_g)
        self.total.setSuffix(" g")
        self.total.setAccessibleName(_("weight in all"))
        self.total.setSingleStep(10.0)
        head = plural("{n} ingredient, {grams} g", "{n} ingredients, {grams} g", n_free, grams=number(free_g, 1))
        if n_locked:
            locked = plural("{n} locked amount stays", "{n} locked amounts stay", n_locked)
            head = f"{head}; {locked} ({number(locked_g, 1)} g)"
        form = QFormLayout()
        form.addRow(_("by"), self.factor)
        form.addRow(_("or to, in all"), self.total)
        layout = QVBoxLayout(self)
        layout.addWidget(QLabel(head, self))
        layout.addLayout(form)
        layout.addWidget(done_or_cancel(self))
        self.factor.valueChanged.connect(self._follow_factor)
        self.total.valueChanged.connect(self._follow_total)
        self.factor.setFocus()
        self.factor.selectAll()

    def _follow_factor(self, factor: float) -> None:
        self._factor = factor
        _show(self.total, self._locked_g + factor * self._free_g)

    def _follow_total(self, total_g: float) -> None:
        self._factor = (total_g - self._locked_g) / self._free_g
        _show(self.factor, self._factor)

    def chosen_factor(self) -> float:
        """What the amounts are multiplied with; exact where a weight was typed."""
        return self._factor


def ask_scale(free_g: float, n_free: int, locked_g: float, n_locked: int, parent: QWidget) -> float | None:
    """Ask for a factor; None if cancelled."""
    dialog = ScaleDialog(free_g, n_free, locked_g, n_locked, parent)
    return dialog.chosen_factor() if dialog.exec() == QDialog.DialogCode.Accepted else None


def _box(most: float, decimals: int, amount: float) -> QDoubleSpinBox:
    box = QDoubleSpinBox()
    box.setDecimals(decimals)
    box.setRange(0.0, most)
    box.setValue(amount)
    return box


def _show(box: QDoubleSpinBox, amount: float) -> None:
    box.blockSignals(True)
    box.setValue(amount)
    box.blockSignals(False)
