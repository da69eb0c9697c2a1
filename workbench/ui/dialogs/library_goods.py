"""What there is of one food of the library: packs with their prices, and the lots of suppliers."""

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from workbench.base.text import _
from workbench.composition.library.lots import ingredient_of
from workbench.composition.library.records import Lot
from workbench.document.project import new_id
from workbench.ui.dialogs.library_desk import Desk
from workbench.ui.dialogs.library_reading import Detail
from workbench.ui.dialogs.lots_form import LotsForm
from workbench.ui.dialogs.packs_form import PacksForm


class GoodsPage(QWidget):
    """Packs above, lots below."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._detail: Detail | None = None
        self.about = QLabel(self)
        self.about.setTextFormat(Qt.TextFormat.PlainText)
        self.about.setWordWrap(True)
        self.packs, self.lots = PacksForm(self), LotsForm(self)
        column = QVBoxLayout(self)
        column.addWidget(self.about)
        column.addSpacing(8)
        column.addWidget(self.packs)
        column.addSpacing(8)
        column.addWidget(self.lots)
        column.addStretch(1)
        self.packs.changed.connect(self._keep_packs)
        self.lots.changed.connect(self._keep_lots)
        self.lots.taken.connect(self._take_lot)
        self.show_detail(None)

    def show_detail(self, shown: Detail | None) -> None:
        """Show another food, or that none is chosen."""
        self._detail = shown
        for widget in (self.packs, self.lots):
            widget.setVisible(shown is not None)
        if shown is None:
            self.about.setText(_("Choose a food to see its packs and lots."))
            return
        self.about.setText(shown.entry.food.name)
        self.packs.begin(shown.entry.food.packs)
        self.lots.begin(shown.entry.lots)

    def _keep_packs(self) -> None:
        if self._detail is not None:
            food = msgspec.structs.replace(self._detail.entry.food, packs=self.packs.packs)
            self._desk.change(lambda library, _progress: library.put(food))

    def _keep_lots(self, lots: tuple[Lot, ...]) -> None:
        if self._detail is not None:
            food_id = self._detail.entry.food.id
            self._desk.change(lambda library, _progress: library.set_lots(food_id, lots))

    def _take_lot(self, lot: Lot) -> None:
        """Make an ingredient of one's own of a lot that states its own figures."""
        if self._detail is not None:
            food = ingredient_of(self._detail.entry.food, lot, new_id())
            self._desk.change(
                lambda library, _progress: library.put(food),
                lambda _none: self._desk.tell(_("✓ “{name}” is in the library", name=food.name)),
            )
