"""Packs and prices of one food: what there is, and a line that adds one."""

import datetime

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import (
    QDateEdit,
    QDoubleSpinBox,
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
from workbench.composition.food import Pack
from workbench.recipe.food_words import pack_text

_LARGEST_G, _DEAREST = 1_000_000.0, 1_000_000.0
_CURRENCY_LETTERS = 3


class PacksForm(QWidget):
    """The packs.  ``changed()`` asks to keep ``packs``."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.packs: tuple[Pack, ...] = ()
        self.list = QListWidget(self)
        self.list.setAccessibleName(_("packs and prices"))
        self.list.setFixedHeight(4 * self.fontMetrics().lineSpacing() + 12)
        self.remove_button = QPushButton(_("remove the pack"), self)
        self.pack_size = QDoubleSpinBox(self)
        self.pack_size.setRange(0.0, _LARGEST_G)
        self.pack_size.setDecimals(1)
        self.pack_size.setSuffix(_(" g"))
        self.pack_size.setSpecialValueText(_("not stated"))
        self.price = QDoubleSpinBox(self)
        self.price.setRange(-0.01, _DEAREST)
        self.price.setDecimals(2)
        self.price.setValue(self.price.minimum())
        self.price.setSpecialValueText(_("not stated"))
        self.currency = QLineEdit(self)
        self.currency.setPlaceholderText(_("such as EUR"))
        self.currency.setMaxLength(_CURRENCY_LETTERS)
        today = datetime.datetime.now().astimezone()
        self.date = QDateEdit(QDate(today.year, today.month, today.day), self)
        self.date.setDisplayFormat("yyyy-MM-dd")
        self.date.setCalendarPopup(True)
        self.add_button = QPushButton(_("add the pack"), self)
        self.message = QLabel(self)
        self.message.setWordWrap(True)
        for button in (self.remove_button, self.add_button):
            button.setAutoDefault(False)
        for box in (self.pack_size, self.price, self.date):
            box.setMinimumHeight(self.currency.sizeHint().height())
        form = QFormLayout()
        for title, field in (
            (_("size"), self.pack_size),
            (_("price"), self.price),
            (_("currency"), self.currency),
            (_("date"), self.date),
        ):
            form.addRow(title, field)
        buttons = QHBoxLayout()
        buttons.addWidget(self.remove_button)
        buttons.addStretch(1)
        buttons.addWidget(self.add_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(QLabel(_("packs and prices"), self))
        column.addWidget(self.list)
        column.addLayout(form)
        column.addWidget(self.message)
        column.addLayout(buttons)
        self.add_button.clicked.connect(self.add)
        self.remove_button.clicked.connect(self.remove)

    def begin(self, packs: tuple[Pack, ...]) -> None:
        """Show the packs of another food, the latest first."""
        self.packs = tuple(sorted(packs, key=lambda pack: pack.date, reverse=True))
        self.list.clear()
        self.list.addItems([pack_text(pack) for pack in self.packs] or [_("none yet")])
        self.list.setCurrentRow(0 if packs else -1)
        self.list.setEnabled(bool(packs))
        self.remove_button.setEnabled(bool(packs))
        self.message.clear()
        if self.packs:
            self.pack_size.setValue(self.packs[0].size_g)
            self.currency.setText(self.packs[0].currency)

    def add(self) -> None:
        """Add the pack of the fields; says what is missing."""
        currency = self.currency.text().strip().upper()
        priced = self.price.value() >= 0.0
        if self.pack_size.value() <= 0.0:
            self.message.setText(_("▲ say how much is in the pack"))
            self.pack_size.setFocus()
        elif priced and not (len(currency) == _CURRENCY_LETTERS and currency.isalpha()):
            self.message.setText(_("▲ say the currency by its three letters, such as EUR"))
            self.currency.setFocus()
        else:
            date = self.date.date().toString("yyyy-MM-dd")
            pack = Pack(
                self.pack_size.value(), self.price.value() if priced else None, currency if priced else "", date
            )
            self.packs = (pack, *self.packs)
            self.changed.emit()

    def remove(self) -> None:
        """Take the chosen pack out."""
        at = self.list.currentRow()
        if 0 <= at < len(self.packs):
            self.packs = (*self.packs[:at], *self.packs[at + 1 :])
            self.changed.emit()
