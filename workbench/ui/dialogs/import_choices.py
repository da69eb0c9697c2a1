"""What a table leaves open, asked only where it matters for this table: conventions, its name, where it is from."""

from collections.abc import Iterator

import msgspec
from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QComboBox, QDoubleSpinBox, QFormLayout, QLabel, QLineEdit, QWidget

from workbench.base.text import N_, _
from workbench.composition.imports import findings
from workbench.composition.imports.conventions import FATTY_ACIDS
from workbench.composition.imports.detection import MAPPED, ImportPlan
from workbench.composition.imports.layout import Conventions
from workbench.composition.imports.tally import Tally

_CHOICES: dict[str, tuple[str, dict[str, str]]] = {
    "carbohydrate": (N_("carbohydrate is"), {"with_fibre": N_("with fibre"), "without_fibre": N_("without fibre")}),
    "energy": (N_("energy is in"), {"kJ": N_("kJ"), "kcal": N_("kcal")}),
    "per": (N_("figures are per"), {"100g": N_("100 g"), "100ml": N_("100 ml")}),
    "fatty_acids": (
        N_("fatty acids are"),
        {
            "per_100g": N_("g in 100 g of food"),
            "of_fatty_acids": N_("% of all fatty acids"),
            "of_fatty_acids_in_oils": N_("% of all fatty acids, in oils only"),
            "of_fat": N_("% of the fat"),
        },
    ),
    "decimal": (N_("decimal sign is"), {"point": N_("a point"), "comma": N_("a comma")}),
    "zeros": (N_("a zero is"), {"stated": N_("a figure"), "blank": N_("a blank: not stated")}),
}
_FACTORS: dict[str, tuple[str, float, float]] = {
    "density_g_per_ml": (N_("density in g/ml, if not said"), 0.2, 3.0),
    "protein_factor": (N_("restate protein as nitrogen ×"), 5.0, 7.0),
    "nitrogen_factor": (N_("nitrogen factor, if not said"), 5.0, 7.0),
    "fatty_acid_factor": (N_("g fatty acids in 1 g fat, if not said"), 0.3, 1.0),
}
_WITH_DRINKS = ("fdc_csv", "fdc_json")  # some of their foods are given per 100 ml
_BOX_STEP = 0.01
_BOX_LETTERS = 17  # wider where there is room


class ChoicesForm(QWidget):
    """The form.  ``changed()`` tells of a choice that makes the table read otherwise."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title, self.key = QLineEdit(self), QLineEdit(self)
        self.citation, self.version, self.licence = QLineEdit(self), QLineEdit(self), QLineEdit(self)
        self.key.setToolTip(_("imported again under the same short name, a table replaces its earlier rows"))
        self.boxes = {field: self._box(field) for field in _CHOICES}
        self.factors = {field: self._factor(field) for field in _FACTORS}
        self._form = QFormLayout(self)
        self._form.setContentsMargins(0, 0, 0, 0)
        self._form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        for field, box in self.boxes.items():
            self._form.addRow(_(_CHOICES[field][0]), box)
            for factor in {"per": ("density_g_per_ml",), "fatty_acids": ("fatty_acid_factor",)}.get(field, ()):
                self._form.addRow(_(_FACTORS[factor][0]), self.factors[factor])
        for factor in ("protein_factor", "nitrogen_factor"):
            self._form.addRow(_(_FACTORS[factor][0]), self.factors[factor])
        self._form.addRow(_("title of the table"), self.title)
        self._form.addRow(_("short name"), self.key)
        self._form.addRow(_("published as"), self.citation)
        self._form.addRow(_("edition"), self.version)
        self._form.addRow(_("licence"), self.licence)
        lines = (self.title, self.key, self.citation, self.version, self.licence)
        for widget in (*self.boxes.values(), *self.factors.values(), *lines):
            label = self._form.labelForField(widget)
            assert isinstance(label, QLabel)
            widget.setAccessibleName(label.text())
        self.title.textEdited.connect(self._title_edited)
        self.key.textEdited.connect(self._title_edited)
        self._chosen_by_user: set[QWidget] = set()

    def _box(self, field: str) -> QComboBox:
        box = QComboBox(self)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(_BOX_LETTERS)
        box.currentTextChanged.connect(box.setToolTip)  # where there is no room for all of it
        box.activated.connect(self.changed)
        box.setProperty("field", field)
        return box

    def _factor(self, field: str) -> QDoubleSpinBox:
        _words, low, high = _FACTORS[field]
        box = QDoubleSpinBox(self)
        box.setDecimals(3)
        box.setSingleStep(_BOX_STEP)
        box.setRange(low - _BOX_STEP, high)
        box.setValue(box.minimum())
        box.setSpecialValueText(_("none"))
        box.setMinimumHeight(self.title.sizeHint().height())
        box.editingFinished.connect(self._factor_changed)
        box.setProperty("said", box.value())
        return box

    def _factor_changed(self) -> None:
        said = {field: box.value() for field, box in self.factors.items()}
        before = {field: box.property("said") for field, box in self.factors.items()}
        if said != before:
            for box in self.factors.values():
                box.setProperty("said", box.value())
            self.changed.emit()

    def _title_edited(self) -> None:
        sender = self.sender()
        if isinstance(sender, QWidget):
            self._chosen_by_user.add(sender)

    # --- the table on screen ----------------------------------------------------------------------------------------

    def begin(self) -> None:
        """Begin with another table: nothing is chosen."""
        self._chosen_by_user.clear()
        for line in (self.title, self.key, self.citation, self.version, self.licence):
            line.clear()
        for box in self.boxes.values():
            box.clear()
        for factor in self.factors.values():
            with QSignalBlocker(factor):
                factor.setValue(factor.minimum())
            factor.setProperty("said", factor.value())

    def show_plan(self, plan: ImportPlan, tally: Tally | None) -> None:
        """Ask what matters for this plan, with what was found as the first answer."""
        chosen, asked = self.chosen(), {question.field for question in plan.questions}
        needed = set(self._needed(plan, tally)) | asked
        for field, box in self.boxes.items():
            said = getattr(chosen, field)
            found = "" if said or field in asked else getattr(plan.chosen, field)
            words = _CHOICES[field][1]
            with QSignalBlocker(box):
                box.clear()
                first = _("as found: {answer}", answer=_(words[found])) if found else _("as the table says")
                box.addItem(_("▲ please choose") if field in asked else first, "")
                for answer, text in words.items():
                    box.addItem(_(text), answer)
                box.setCurrentIndex(max(box.findData(said), 0))
            self._form.setRowVisible(box, field in needed)
        for field, factor in self.factors.items():
            self._form.setRowVisible(factor, field in needed)
        for line, text in ((self.title, plan.title), (self.key, plan.key)):
            if line not in self._chosen_by_user:
                line.setText(text)
                line.setCursorPosition(0)  # its beginning says most

    def _needed(self, plan: ImportPlan, tally: Tally | None) -> Iterator[str]:
        """The fields that make a difference for a table."""
        chosen = plan.chosen
        targets = {column.target for column in plan.layout.columns if not column.why_not}
        if plan.layout.name in MAPPED:
            yield from self._needed_of_columns(plan, targets, tally)
        if (
            chosen.per == "100ml"
            or plan.layout.name in _WITH_DRINKS
            or (tally is not None and tally.count(findings.PER_MILLILITRE))
        ):
            yield "density_g_per_ml"
        if "PROCNT" in targets and plan.layout.name != "exported":
            yield "protein_factor"
            yield from ("nitrogen_factor",) if chosen.protein_factor else ()

    def _needed_of_columns(self, plan: ImportPlan, targets: set[str], tally: Tally | None) -> Iterator[str]:
        """Those that tables of somebody's own layout leave open."""
        chosen = plan.chosen
        yield from ("per", "zeros")
        yield from ("carbohydrate",) if chosen.carbohydrate or targets & {"CHOCDF", "CHOAVLDF"} else ()
        yield from ("energy",) if chosen.energy else ()
        if chosen.decimal or (tally is not None and tally.count(findings.AMBIGUOUS)):
            yield "decimal"
        if targets & set(FATTY_ACIDS):
            yield "fatty_acids"
            if chosen.fatty_acids in ("of_fatty_acids", "of_fatty_acids_in_oils"):
                yield "fatty_acid_factor"

    # --- the answer -------------------------------------------------------------------------------------------------

    def chosen(self) -> Conventions:
        """What the user has chosen; what is left to the table is empty."""
        answers = {field: box.currentData() or "" for field, box in self.boxes.items()}
        said = {field: box.value() for field, box in self.factors.items() if box.value() > box.minimum()}
        return msgspec.convert({**answers, **said}, Conventions)

    def about(self) -> dict[str, str]:
        """What is kept about the table."""
        said = {"citation": self.citation, "version": self.version, "licence": self.licence}
        return {name: line.text().strip() for name, line in said.items()}
