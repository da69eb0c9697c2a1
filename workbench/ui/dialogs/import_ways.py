"""Which worksheet of a workbook is meant, and how it is laid out: asked only where there is more than one answer."""

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QWidget

from workbench.base.text import _
from workbench.composition.imports.layout import LAYOUTS, Layout

_LETTERS = 16


class WaysForm(QWidget):
    """Two boxes.  ``chosen(layout)`` tells of another way to read the table."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._ways: tuple[Layout, ...] = ()
        self.sheet, self.layout_box = QComboBox(self), QComboBox(self)
        self._sheet_label, self._layout_label = QLabel(_("&sheet"), self), QLabel(_("&laid out as"), self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for label, box in ((self._sheet_label, self.sheet), (self._layout_label, self.layout_box)):
            label.setBuddy(box)
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(_LETTERS)
            row.addWidget(label)
            row.addWidget(box, 1)
        row.addStretch(1)
        self.sheet.activated.connect(self._sheet_chosen)
        self.layout_box.activated.connect(self._layout_chosen)

    def show_ways(self, ways: tuple[Layout, ...], layout: Layout) -> None:
        """Show what there is to choose from, and what is chosen."""
        self._ways = ways
        here = place_of(layout)
        places = list(dict.fromkeys(map(place_of, ways)))
        with QSignalBlocker(self.sheet), QSignalBlocker(self.layout_box):
            self.sheet.clear()
            self.sheet.addItems(places)
            self.sheet.setCurrentIndex(places.index(here))
            self.layout_box.clear()
            for way in ways:
                if place_of(way) == here:
                    self.layout_box.addItem(_(LAYOUTS[way.name]), way)
                    if way.name == layout.name:
                        self.layout_box.setCurrentIndex(self.layout_box.count() - 1)
        several = self.sheet.count() > 1, self.layout_box.count() > 1
        for shown, label, box in zip(
            several, (self._sheet_label, self._layout_label), (self.sheet, self.layout_box), strict=True
        ):
            label.setVisible(shown)
            box.setVisible(shown)
        self.setVisible(any(several))

    def _sheet_chosen(self) -> None:
        self._tell(next(way for way in self._ways if place_of(way) == self.sheet.currentText()))

    def _layout_chosen(self) -> None:
        self._tell(self.layout_box.currentData())

    def _tell(self, way: Layout) -> None:
        self.chosen.emit(way)


def place_of(layout: Layout) -> str:
    """The worksheet, or the file where it has none."""
    return layout.sheet or ", ".join(layout.read)
