"""The label sheet in a form: a common one, one that was named, or its dimensions; where to begin, how many labels."""

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDoubleSpinBox,
    QFormLayout,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
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


_NAMED = "named:"  # begins the data of an entry that the user named
_LONGEST_NAME = 40  # characters


class LabelSheetForm(QWidget):
    """``changed`` comes with every change by hand; ``sheets`` are the ones that the user named."""

    changed = Signal()

    def __init__(self, choice: HandOver, sheets: dict[str, LabelSheet], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sheets = dict(sheets)
        self.sheet = QComboBox(self)
        named = next((f"{_NAMED}{name}" for name, sheet in sheets.items() if sheet == choice.own_sheet), "")
        self._offer_sheets(choice.sheet_name or named)
        self.sheet.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.own = QWidget(self)
        self.lengths: dict[str, QDoubleSpinBox] = {}
        self.counts: dict[str, QSpinBox] = {}
        self._lay_out_own()
        self._show_own(choice.own_sheet)
        self._lay_out_naming()
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
        form.addRow(self._naming)
        form.addRow(self.forget)
        form.addRow(_("first free label"), self.start)
        form.addRow(_("labels of each"), self.copies)
        form.addRow(self.outlines)
        self._show_parts()
        self.name.textChanged.connect(self._show_parts)
        self.keep.clicked.connect(self._keep)
        self.forget.clicked.connect(self._forget)
        self.sheet.currentIndexChanged.connect(self._choose_sheet)
        for length in self.lengths.values():
            length.valueChanged.connect(self._measured)
        for count in self.counts.values():
            count.valueChanged.connect(self._measured)
        self.start.valueChanged.connect(self.changed)
        self.copies.valueChanged.connect(self.changed)
        self.outlines.toggled.connect(self.changed)

    def _offer_sheets(self, chosen: str) -> None:
        self.sheet.blockSignals(True)
        self.sheet.clear()
        for key, (title, _sheet) in SHEETS.items():
            self.sheet.addItem(_(title), key)
        for name in self.sheets:
            self.sheet.addItem(name, f"{_NAMED}{name}")
        self.sheet.addItem(_("own dimensions"), "")
        self.sheet.setCurrentIndex(self.sheet.findData(chosen))
        self.sheet.blockSignals(False)

    def _show_parts(self) -> None:
        """Dimensions and a name for it while they are the user's own; a way to forget one that was named."""
        chosen = self.sheet.currentData()
        self.own.setVisible(not chosen)
        self._naming.setVisible(not chosen)
        self.keep.setEnabled(bool(self.name.text().strip()))
        self.forget.setVisible(chosen.startswith(_NAMED))

    def _keep(self) -> None:
        name = " ".join(self.name.text().split())
        self.sheets.pop(name, None)  # the newest stands last
        self.sheets[name] = self.own_sheet()
        self._offer_sheets(f"{_NAMED}{name}")
        self._choose_sheet()
        self.sheet.setFocus()

    def _forget(self) -> None:
        del self.sheets[self.sheet.currentData().removeprefix(_NAMED)]
        self._offer_sheets("")
        self._choose_sheet()
        self.sheet.setFocus()

    def _lay_out_naming(self) -> None:
        self.name = QLineEdit(self)
        self.name.setPlaceholderText(_("name it to choose it again"))
        self.name.setAccessibleName(_("name of the label sheet"))
        self.name.setMaxLength(_LONGEST_NAME)
        self.keep = QPushButton(_("keep"), self)
        self.forget = QPushButton(_("forget this sheet"), self)
        for button in (self.keep, self.forget):
            button.setAutoDefault(False)
        self._naming = QWidget(self)
        naming = QHBoxLayout(self._naming)
        naming.setContentsMargins(0, 0, 0, 0)
        naming.addWidget(self.name, 1)
        naming.addWidget(self.keep)

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
            with QSignalBlocker(length):
                length.setValue(getattr(sheet, name))
        for name, count in self.counts.items():
            with QSignalBlocker(count):
                count.setValue(getattr(sheet, name))

    def own_sheet(self) -> LabelSheet:
        """The dimensions in the fields."""
        lengths = {name: box.value() for name, box in self.lengths.items()}
        counts = {name: box.value() for name, box in self.counts.items()}
        return LabelSheet(**lengths, **counts)  # type: ignore[arg-type]

    def _limit_start(self) -> None:
        key = self.sheet.currentData()
        self.start.setRange(1, (SHEETS[key][1] if key in SHEETS else self.own_sheet()).labels)

    def _choose_sheet(self) -> None:
        chosen = self.sheet.currentData()
        if chosen.startswith(_NAMED):
            self._show_own(self.sheets[chosen.removeprefix(_NAMED)])
            self.name.setText(chosen.removeprefix(_NAMED))
        self._show_parts()
        self._limit_start()
        self.changed.emit()

    def _measured(self) -> None:
        self._limit_start()
        self.changed.emit()

    def put_into(self, choice: HandOver) -> HandOver:
        """The choices with what the form says."""
        return choice._replace(
            sheet_name=key if (key := self.sheet.currentData()) in SHEETS else "",
            own_sheet=self.own_sheet(),
            start=self.start.value(),
            copies=self.copies.value(),
            outlines=self.outlines.isChecked(),
        )
