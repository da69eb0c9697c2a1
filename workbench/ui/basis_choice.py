"""BasisChoice: what the figures are per, as a row of buttons of which one is down."""

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QToolButton, QWidget

from workbench.base.text import N_, _
from workbench.document.project import Basis
from workbench.recipe.quantities import BASIS_TITLES
from workbench.ui.wrapping_row import WrappingRow

_CHOICES: tuple[tuple[Basis, str], ...] = (
    ("portion", N_("piece")),
    ("per_100g", N_("100 g")),
    ("per_25g_carbohydrate", N_("25 g carb.")),
    ("per_hour", N_("hour")),
    ("batch", N_("batch")),
)


class BasisChoice(QWidget):
    """The buttons.  ``chosen`` carries the basis."""

    chosen = Signal(str)

    def __init__(self, basis: Basis, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row, group = WrappingRow(self), QButtonGroup(self)
        self.buttons: dict[Basis, QToolButton] = {}
        for key, words in _CHOICES:
            name = _("figures per {basis}", basis=_(BASIS_TITLES[key]))
            button = QToolButton()
            button.setText(_(words))
            button.setToolTip(name)
            button.setAccessibleName(name)
            button.setCheckable(True)
            button.setProperty("choice", True)
            button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            button.setChecked(key == basis)
            button.clicked.connect(partial(self.chosen.emit, key))
            group.addButton(button)
            row.addWidget(button)
            self.buttons[key] = button
