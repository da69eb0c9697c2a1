"""The label sheet in a form: a common one, or its dimensions; where to begin, and how many labels."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDoubleSpinBox,
    QFormLayout,
    QGridLayout,
    QLabel,
    QSpinBox,
    QWidget,
)

from workbench.base.text import N_, _
from workbench.report.labels.sheet import SHEETS, LabelSheet
from workbench.ui.dialogs.hand_over_job import HandOver

_PAIRS: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    (N_("page, mm"), (("page_width_mm", N_("page width, mm")), ("page_height_mm", N_("page height, mm")))),
    (N_("margins, mm"), (("left_mm", N_("left margin, mm")), ("top_mm", N_("top margin, mm")))),
    (N_("label, mm"), (("label_width_mm", N_("label width, mm")), ("label_height_mm", N_("label height, mm")))),
    (N_("gaps, mm"), (("gap_x_mm", N_("gap across, mm")), ("gap_y_mm", N_("gap down, mm")))),
    (N_("across, down"), (("columns", N_("labels across")), ("rows", N_("labels down")))),
)
_MOST_MM = 1000.0
_MOST = 100


class LabelSheetForm(QWidget):
    """``changed`` comes with every change by hand."""

    changed = Signal()

    def __init__(self, choice: HandOver, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sheet = QComboBox(self)
        for name, (title, _sheet) in SHEETS.items():
            self.sheet.addItem(_(title), name)
        self.sheet.addItem(_("own dimensions"), "")
        self.sheet.setCurrentIndex(self.sheet.findData(choice.sheet_name))
        self.sheet.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.own = QWidget(self)
        self.lengths: dict[str, QDoubleSpinBox] = {}
        self.counts: dict[str, QSpinBox] = {}
        self._lay_out_own()
        self._show_own(choice.own_sheet)
        self.start = QSpinBox(self)
        self.start.setToolTip(_("positions count from 1, row by row; a click on the sheet chooses one too"))
        self._limit_start()
        self.start.setValue(choice.start)
        self.copies = QSpinBox(self)
        self.copies.setRange(0, 1000)
        self.copies.setSpecialValueText(_("one a piece"))
        self.copies.setValue(choice.copies)
        self.outlines = QCheckBox(_("draw the edges, for plain paper"), self)
        self.outlines.setChecked(choice.outlines)
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.addRow(_("label sheet"), self.sheet)
        form.addRow(self.own)
        form.addRow(_("first free label"), self.start)
        form.addRow(_("labels of each"), self.copies)
        form.addRow(self.outlines)
        self.own.setVisible(not choice.sheet_name)
        self.sheet.currentIndexChanged.connect(self._choose_sheet)
        for length in self.lengths.values():
            length.valueChanged.connect(self._measured)
        for count in self.counts.values():
            count.valueChanged.connect(self._measured)
        self.start.valueChanged.connect(self.changed)
        self.copies.valueChanged.connect(self.changed)
        self.outlines.toggled.connect(self.changed)

    def _lay_out_own(self) -> None:
        grid = QGridLayout(self.own)
        grid.setContentsMargins(0, 0, 0, 0)
        for k, (words, fields) in enumerate(_PAIRS):
            grid.addWidget(QLabel(_(words), self.own), k, 0)
            for n, (name, spoken) in enumerate(fields, start=1):
                box = self._box(name)
                box.setAccessibleName(_(spoken))
                box.setToolTip(_(spoken))
                grid.addWidget(box, k, n)

    def _box(self, name: str) -> QDoubleSpinBox | QSpinBox:
        if name in ("columns", "rows"):
            count = self.counts[name] = QSpinBox(self.own)
            count.setRange(1, _MOST)
            return count
        length = self.lengths[name] = QDoubleSpinBox(self.own)
        length.setRange(0.0, _MOST_MM)
        length.setDecimals(2)
        return length

    def _show_own(self, sheet: LabelSheet) -> None:
        for name, length in self.lengths.items():
            length.setValue(getattr(sheet, name))
        for name, count in self.counts.items():
            count.setValue(getattr(sheet, name))

    def own_sheet(self) -> LabelSheet:
        """The dimensions in the fields."""
        lengths = {name: box.value() for name, box in self.lengths.items()}
        counts = {name: box.value() for name, box in self.counts.items()}
        return LabelSheet(**lengths, **counts)  # type: ignore[arg-type]

    def _labels(self) -> int:
        name = self.sheet.currentData()
        return SHEETS[name][1].labels if name else self.own_sheet().labels

    def _limit_start(self) -> None:
        self.start.setRange(1, self._labels())

    def _choose_sheet(self) -> None:
        self.own.setVisible(not self.sheet.currentData())
        self._limit_start()
        self.changed.emit()

    def _measured(self) -> None:
        self._limit_start()
        self.changed.emit()

    def put_into(self, choice: HandOver) -> HandOver:
        """The choices with what the form says."""
        return choice._replace(
            sheet_name=self.sheet.currentData(),
            own_sheet=self.own_sheet(),
            start=self.start.value(),
            copies=self.copies.value(),
            outlines=self.outlines.isChecked(),
        )
