"""The choices of the form: what is handed over, of which variants, and how."""

from datetime import date

from PySide6.QtCore import QDate, Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QComboBox,
    QDateEdit,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import N_, _
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import BASES, BASIS_TITLES
from workbench.recipe.side_by_side import LETTERS
from workbench.report.labels.sheet import LabelSheet
from workbench.ui.dialogs.hand_over_job import ENDINGS, WHAT, HandOver, Material
from workbench.ui.dialogs.label_sheet_form import LabelSheetForm

_PAPERS = {"a4": N_("A4"), "letter": N_("US Letter")}
_RULES = {"eu": N_("European Union"), "us": N_("United States")}
_SHOWN_VARIANTS = 5
_ID = Qt.ItemDataRole.UserRole


class HandOverOptions(QWidget):
    """``changed`` comes with every change by hand."""

    changed = Signal()

    def __init__(
        self,
        choice: HandOver,
        material: Material,
        sheets: dict[str, LabelSheet],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._choice = choice
        self._evaluations = material.evaluations
        self.what = _combo(self, {key: what.title for key, what in WHAT.items()}, choice.what)
        self.ending = QComboBox(self)
        self.ending.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self._offer_endings()
        self.variants = QListWidget(self)
        self.variants.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.variants.setWordWrap(True)
        self.variants.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._list_variants()
        self.compared = QLabel(_compared_words(material), self)
        self.compared.setTextFormat(Qt.TextFormat.PlainText)  # names are never markup
        self.compared.setWordWrap(True)
        self.title = QLineEdit(choice.title, self)
        self.title.setPlaceholderText(material.project.title)
        self.paper = _combo(self, _PAPERS, choice.paper)
        self.rules = _combo(self, _RULES, choice.rules)
        self.rules.setToolTip(_("which allergens are named, and how nutrition lines are ordered and rounded"))
        self.basis = _combo(self, {basis: BASIS_TITLES[basis] for basis in BASES}, choice.basis)
        self.dated = QCheckBox(_("print the date of today"), self)
        self.dated.setChecked(choice.dated)
        self.labels = LabelSheetForm(choice, sheets, self)
        self.dates = DatesForm(choice, self)
        self._lay_out()
        self._show_options()
        self._connect()

    def _lay_out(self) -> None:
        self._form = form = QFormLayout()
        form.setContentsMargins(0, 0, 0, 0)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(_("what"), self.what)
        form.addRow(_("as"), self.ending)
        form.addRow(_("variants"), self.variants)
        form.addRow(_("compared"), self.compared)
        form.addRow(_("what it is"), self.title)
        form.addRow(_("paper"), self.paper)
        form.addRow(_("law"), self.rules)
        form.addRow(_("figures of"), self.basis)
        form.addRow(self.dated)
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        layout.addWidget(self.labels)
        layout.addWidget(self.dates)
        layout.addStretch(1)

    def _connect(self) -> None:
        self.what.currentIndexChanged.connect(self._choose_what)
        self.ending.currentIndexChanged.connect(self._choose_ending)
        self.variants.itemChanged.connect(self.changed)
        self.title.textEdited.connect(self.changed)
        self.paper.currentIndexChanged.connect(self.changed)
        self.rules.currentIndexChanged.connect(self.changed)
        self.basis.currentIndexChanged.connect(self.changed)
        self.dated.toggled.connect(self.changed)
        self.labels.changed.connect(self.changed)
        self.dates.changed.connect(self.changed)

    # --- what and as --------------------------------------------------------------------------------------------

    def _offer_endings(self) -> None:
        self.ending.blockSignals(True)
        self.ending.clear()
        for ending in WHAT[self._choice.what].endings:
            self.ending.addItem(_(ENDINGS[ending]), ending)
        self.ending.setCurrentIndex(self.ending.findData(self._choice.ending))
        self.ending.setEnabled(self.ending.count() > 1)
        self.ending.blockSignals(False)

    def _choose_what(self) -> None:
        self._choice = self._choice._replace(what=self.what.currentData())
        self._offer_endings()
        self._show_options()
        self.changed.emit()

    def _choose_ending(self) -> None:
        chosen = {**dict(self._choice.endings), self._choice.what: self.ending.currentData()}
        self._choice = self._choice._replace(endings=tuple(chosen.items()))
        self._show_options()
        self.changed.emit()

    def _show_options(self) -> None:
        options, ending = WHAT[self._choice.what].options, self._choice.ending
        self._form.setRowVisible(self.variants, self._choice.what != "compare")
        self._form.setRowVisible(self.compared, self._choice.what == "compare")
        self._form.setRowVisible(self.title, "title" in options)
        self._form.setRowVisible(self.paper, "paper" in options)
        self._form.setRowVisible(self.rules, "rules" in options)
        self._form.setRowVisible(self.basis, "basis" in options)
        self._form.setRowVisible(self.dated, "dated" in options and ending in (".xlsx", ".md"))
        self.labels.setVisible("labels" in options)
        self.dates.setVisible("labels" in options)

    # --- variants -----------------------------------------------------------------------------------------------

    def _list_variants(self) -> None:
        for each in self._evaluations:
            item = QListWidgetItem(each.variant.name, self.variants)
            item.setData(_ID, each.variant.id)
            if each.valid:
                item.setFlags(
                    Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsUserCheckable
                )
                out = each.variant.id in self._choice.left_out
                item.setCheckState(Qt.CheckState.Unchecked if out else Qt.CheckState.Checked)
            else:
                item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)  # to be read, not ticked
                item.setText(left_out_words(each))
        self.variants.setCurrentRow(0)
        rows = min(max(len(self._evaluations), 2), _SHOWN_VARIANTS)
        row = max(self.variants.sizeHintForRow(k) for k in range(len(self._evaluations)))
        self.variants.setFixedHeight(rows * row + 2 * self.variants.frameWidth())

    def chosen(self) -> tuple[Evaluation, ...]:
        """The variants that are ticked and have a valid result."""
        ticked = {
            item.data(_ID)
            for item in (self.variants.item(k) for k in range(self.variants.count()))
            if item.flags() & Qt.ItemFlag.ItemIsUserCheckable and item.checkState() == Qt.CheckState.Checked
        }
        return tuple(each for each in self._evaluations if each.variant.id in ticked)

    def choice(self) -> HandOver:
        """What the form says now."""
        used = {each.variant.id for each in self.chosen()}
        said = self._choice._replace(
            left_out=frozenset(each.variant.id for each in self._evaluations if each.valid) - used,
            title=self.title.text().strip(),
            paper=self.paper.currentData(),
            rules=self.rules.currentData(),
            basis=self.basis.currentData(),
            dated=self.dated.isChecked(),
        )
        return self.dates.put_into(self.labels.put_into(said))


def left_out_words(evaluation: Evaluation) -> str:
    """Why a variant without a valid result is not handed over."""
    reason = next((p.message for p in evaluation.problems if p.severity == "error"), "")
    return _("✕ {name}: left out. {reason}", name=evaluation.variant.name, reason=reason)


def _compared_words(material: Material) -> str:
    """What a comparison sets side by side; it is chosen at one place."""
    names = [column.full_title for column in material.whole.columns]
    lines = [f"{letter}  {name}" for letter, name in zip(LETTERS, names, strict=False)]
    lines[:1] = [_("{name}, the reference", name=line) for line in lines[:1]]
    return "\n".join([*lines, _("as chosen on the comparison page (Ctrl+Shift+D)")])


class DatesForm(QWidget):
    """Day of cooking, last day and lot of the labels."""

    changed = Signal()

    def __init__(self, choice: HandOver, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.made = OptionalDate(_("made"), choice.made, self)
        self.use_by = OptionalDate(_("use by"), choice.use_by, self)
        self.lot = QLineEdit(choice.lot, self)
        self.lot.setPlaceholderText(_("a line to fill in"))
        self.lot.setMaxLength(60)
        self.hint = QLabel(self)
        self.hint.setWordWrap(True)
        self.hint.setMinimumHeight(2 * self.fontMetrics().lineSpacing())  # so that no row moves when it changes
        form = QFormLayout()
        form.addRow(_("lot"), self.lot)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.made)
        column.addWidget(self.use_by)
        column.addWidget(self.hint)
        column.addLayout(form)
        self.made.changed.connect(self._follow)
        self.use_by.changed.connect(self._follow)
        self.lot.textEdited.connect(self.changed)
        self._say()

    def _follow(self) -> None:
        self._say()
        self.changed.emit()

    def _say(self) -> None:
        said = self.put_into(HandOver())
        default = said.last_day
        if said.use_by and default and said.use_by > default:
            day = default.isoformat()
            words = _("▲ later than the cautious default, {day}: print it only if you checked that it keeps", day=day)
        elif said.use_by or default is None:
            words = "" if said.made or said.use_by else _("dates without a tick are lines to fill in")
        else:
            words = _("use by {day}, a day after it was made: the cautious default", day=default.isoformat())
        self.hint.setText(words)

    def put_into(self, choice: HandOver) -> HandOver:
        """The choices with what the form says."""
        return choice._replace(made=self.made.day(), use_by=self.use_by.day(), lot=self.lot.text().strip())


class OptionalDate(QWidget):
    """A date that is given or not."""

    changed = Signal()

    def __init__(self, title: str, day: date | None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.given = QCheckBox(title, self)
        self.given.setChecked(day is not None)
        self.date = QDateEdit(self)
        self.date.setDisplayFormat("yyyy-MM-dd")  # as it is printed
        self.date.setCalendarPopup(True)
        self.date.setAccessibleName(title)
        self.date.setDate(QDate(day.year, day.month, day.day) if day else QDate.currentDate())
        self.date.setEnabled(day is not None)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.given)
        layout.addWidget(self.date, 1)
        self.given.toggled.connect(self.date.setEnabled)
        self.given.toggled.connect(self.changed)
        self.date.dateChanged.connect(self.changed)

    def day(self) -> date | None:
        """The date, if it is given."""
        chosen = self.date.date()
        return date(chosen.year(), chosen.month(), chosen.day()) if self.given.isChecked() else None


def _combo(parent: QWidget, entries: dict[str, str], chosen: str) -> QComboBox:
    box = QComboBox(parent)
    for key, words in entries.items():
        box.addItem(_(words), key)
    box.setCurrentIndex(box.findData(chosen))
    return box
