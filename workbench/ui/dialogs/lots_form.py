"""A supplier's lots of one food: what there is, a form that adds one, and a lot as an ingredient of its own."""

import datetime

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from workbench.base.errors import AmountError
from workbench.base.text import _
from workbench.composition.library.lots import figures_text, read_figures
from workbench.composition.library.records import Lot


def lot_text(lot: Lot) -> str:
    """A lot in words."""
    return "   ".join(
        filter(
            None,
            (
                lot.code,
                lot.supplier,
                _("came {date}", date=lot.received) if lot.received else "",
                _("best before {date}", date=lot.best_before) if lot.best_before else "",
                figures_text(lot),
                lot.note,
            ),
        )
    )


class LotsForm(QWidget):
    """The lots.  ``changed(lots)`` asks to keep others, ``taken(lot)`` to make an ingredient of one."""

    changed = Signal(object)
    taken = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lots: tuple[Lot, ...] = ()
        self._added: Lot | None = None
        self.list = QListWidget(self)
        self.list.setAccessibleName(_("lots of suppliers"))
        self.list.setFixedHeight(4 * self.fontMetrics().lineSpacing() + 12)
        self.remove_button = QPushButton(_("remove the lot"), self)
        self.take_button = QPushButton(_("make an ingredient of it"), self)
        self.take_button.setToolTip(_("a food of your own, with the figures of the lot in place of the usual ones"))
        self.code, self.supplier, self.received = (QLineEdit(self) for _k in range(3))
        self.best_before, self.figures, self.note = (QLineEdit(self) for _k in range(3))
        self.code.setPlaceholderText(_("as printed on the pack"))
        self.figures.setPlaceholderText(_("if it has its own: water 11.2 g; protein 12.8 g"))
        for line in (self.received, self.best_before):
            line.setPlaceholderText(_("such as 2026-03-31"))
        self.add_button = QPushButton(_("add the lot"), self)
        self.message = QLabel(self)
        self.message.setWordWrap(True)
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        for title, field in (
            (_("lot"), self.code),
            (_("supplier"), self.supplier),
            (_("came on"), self.received),
            (_("best before"), self.best_before),
            (_("figures per 100 g"), self.figures),
            (_("note"), self.note),
        ):
            form.addRow(title, field)
            field.setAccessibleName(title)
        above, below = QHBoxLayout(), QHBoxLayout()
        above.addWidget(self.remove_button)
        above.addWidget(self.take_button)
        above.addStretch(1)
        below.addStretch(1)
        below.addWidget(self.add_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(QLabel(_("lots of suppliers"), self))
        column.addWidget(self.list)
        column.addLayout(above)
        column.addLayout(form)
        column.addWidget(self.message)
        column.addLayout(below)
        for button in (self.remove_button, self.take_button, self.add_button):
            button.setAutoDefault(False)
        self.list.currentRowChanged.connect(self._follow)
        self.add_button.clicked.connect(self.add)
        self.remove_button.clicked.connect(self.remove)
        self.take_button.clicked.connect(self._take)

    @property
    def chosen(self) -> Lot | None:
        """The lot that is chosen in the list."""
        at = self.list.currentRow()
        return self.lots[at] if 0 <= at < len(self.lots) else None

    def begin(self, lots: tuple[Lot, ...]) -> None:
        """Show the lots of another food, the latest first."""
        self.lots = tuple(sorted(lots, key=lambda lot: lot.received, reverse=True))
        self.list.clear()
        self.list.addItems([lot_text(lot) for lot in self.lots] or [_("none yet")])
        for k, lot in enumerate(self.lots):
            self.list.item(k).setToolTip(lot_text(lot))
        self.list.setCurrentRow(0 if lots else -1)
        self.list.setEnabled(bool(lots))
        self.message.clear()
        if self._added in lots:  # it is kept: what was typed has done its work
            self._added = None
            for line in (self.code, self.figures, self.note):
                line.clear()
        self._follow()

    def _follow(self) -> None:
        chosen = self.chosen
        self.remove_button.setEnabled(chosen is not None)
        self.take_button.setEnabled(chosen is not None and bool(chosen.figures))

    def add(self) -> None:
        """Add the lot of the fields; says what is missing."""
        code = self.code.text().strip()
        if not code:
            self.message.setText(_("▲ say which lot it is"))
            self.code.setFocus()
            return
        for line in (self.received, self.best_before):
            if not _is_day(line.text().strip()):
                self.message.setText(_("▲ write the day as year, month and day: 2026-03-31"))
                line.setFocus()
                return
        try:
            figures = read_figures(self.figures.text())
        except AmountError as error:
            self.message.setText("▲ " + " ".join(error.lines()))
            self.figures.setFocus()
            return
        came, best = self.received.text().strip(), self.best_before.text().strip()
        supplier, note = self.supplier.text().strip(), self.note.text().strip()
        lot = Lot(code=code, supplier=supplier, received=came, best_before=best, note=note, figures=figures)
        self._added = lot
        self.changed.emit((lot, *self.lots))

    def remove(self) -> None:
        """Take the chosen lot out."""
        chosen = self.chosen
        if chosen is not None:
            self.changed.emit(tuple(lot for lot in self.lots if lot is not chosen))

    def _take(self) -> None:
        if self.chosen is not None:
            self.taken.emit(self.chosen)


def _is_day(text: str) -> bool:
    """Whether a day is stated as ISO 8601, or none at all."""
    try:
        return not text or (len(text) == len("2026-03-31") and bool(datetime.date.fromisoformat(text)))
    except ValueError:
        return False
