"""One stage of the process: what is done, for how long, how warm, and how the weight after it is known."""

from collections.abc import Callable
from typing import NamedTuple

from msgspec.structs import replace
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDoubleSpinBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import N_, _
from workbench.document.project import (
    FinalWater,
    Loss,
    Stage,
    Typical,
    Unchanged,
    WaterLost,
    Weighed,
    WeightChoice,
)
from workbench.recipe.words import STAGE_KINDS
from workbench.ui.dialogs.buttons import done_or_cancel

_CHOICES: tuple[tuple[type[WeightChoice], str], ...] = (
    (Unchanged, N_("the weight stays as it is")),
    (Weighed, N_("weighed: weight in and weight out")),
    (WaterLost, N_("water lost")),
    (FinalWater, N_("cooked until so much is water")),
    (Typical, N_("typical weight after cooking")),
)
_NOT_STATED = N_("not stated")


class StageFigures(NamedTuple):
    """What the recipe says of a stage today: weight in, weight out, edible grams of every line in it by then."""

    into_g: float
    out_g: float
    amounts: dict[str, float]


def ask_stage(stage: Stage, figures: StageFigures, judge: Callable[[Stage], str], parent: QWidget) -> Stage | None:
    """Ask how a stage is done; None if cancelled.  ``judge`` says what is wrong with an answer, "" if nothing is."""
    dialog = StageDialog(stage, figures, judge, parent)
    return dialog.stage() if dialog.exec() == QDialog.DialogCode.Accepted else None


class StageDialog(QDialog):
    """The form, with a line that says at once what an answer leads to."""

    def __init__(
        self, stage: Stage, figures: StageFigures, judge: Callable[[Stage], str], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._stage, self._figures, self._judge = stage, figures, judge
        self.setWindowTitle(_("stage"))
        self.name = QLineEdit(stage.name, self)
        self.kind = QComboBox(self)
        for key, words in STAGE_KINDS.items():
            self.kind.addItem(_(words), key)
        self.kind.setCurrentIndex(self.kind.findData(stage.kind))
        self.minutes = _optional(stage.minutes, 0.0, 100_000.0, _(" min"))
        self.temperature = _optional(stage.temperature_degC, -100.0, 500.0, _(" °C"))
        self.text = QLineEdit(stage.text, self)
        self._build_choice()
        losses = {loss.kind: loss.percent for loss in stage.losses}
        self.fat_left = _number(losses.get("fat_left", 0.0), 0.0, 99.9, " %")
        self.drained = _number(losses.get("drained", 0.0), 0.0, 99.9, " %")
        self.message = QLabel(self)
        self.message.setWordWrap(True)
        self.message.setMinimumHeight(3 * self.fontMetrics().lineSpacing())
        self._lay_out()
        self._connect()
        self._say()

    def _build_choice(self) -> None:
        stage, figures = self._stage, self._figures
        self.choice = QComboBox(self)
        self.pages = QStackedWidget(self)
        into = round(figures.into_g, 1) if figures.into_g > 0 else 100.0
        given = stage.weight
        weighed = given if isinstance(given, Weighed) else Weighed(in_g=into, out_g=into)
        lost = given if isinstance(given, WaterLost) else WaterLost(amount=0.0)
        water = given if isinstance(given, FinalWater) else FinalWater(percent=60.0)
        self.weight_in = _number(weighed.in_g, 0.1, 1_000_000.0, " g")
        self.weight_out = _number(weighed.out_g, 0.1, 1_000_000.0, " g")
        self.lost = _number(lost.amount, -1_000_000.0, 1_000_000.0, "")
        self.lost_unit = QComboBox(self)
        self.lost_unit.addItems(["g", "%"])
        self.lost_unit.setCurrentText(lost.unit)
        self.final_water = _number(water.percent, 0.0, 99.9, " %")
        pages: dict[type[WeightChoice], QWidget] = {
            Unchanged: _row(QLabel(_("only mixed, pressed or cooled"))),
            Weighed: _row(QLabel(_("in")), self.weight_in, QLabel(_("out")), self.weight_out),
            WaterLost: _row(self.lost, self.lost_unit, QLabel(_("below zero: taken up"))),
            FinalWater: _row(self.final_water, QLabel(_("of the weight out"))),
            Typical: _row(QLabel(_("from the ingredients; mark the cooking water in the recipe"))),
        }
        for kind, words in _CHOICES:
            self.choice.addItem(_(words), kind)
            self.pages.addWidget(pages[kind])
        at = [kind for kind, _words in _CHOICES].index(type(given))
        self.choice.setCurrentIndex(at)
        self.pages.setCurrentIndex(at)

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow(_("name"), self.name)
        form.addRow(_("what is done"), self.kind)
        form.addRow(_("time"), self.minutes)
        form.addRow(_("temperature"), self.temperature)
        form.addRow(_("how"), self.text)
        form.addRow(_("weight after it"), self.choice)
        form.addRow("", self.pages)
        form.addRow(_("fat left in the pan"), self.fat_left)
        form.addRow(_("liquid poured off"), self.drained)
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        layout.addWidget(self.message)
        layout.addWidget(done_or_cancel(self))

    def _connect(self) -> None:
        self.choice.currentIndexChanged.connect(self.pages.setCurrentIndex)
        self.choice.currentIndexChanged.connect(self._say)
        self.lost_unit.currentIndexChanged.connect(self._say)
        for box in (self.weight_in, self.weight_out, self.lost, self.final_water, self.fat_left, self.drained):
            box.valueChanged.connect(self._say)

    def _say(self) -> None:
        problem = self._judge(self.stage())
        self.message.setText(f"▲ {problem}" if problem else _("✓ the weights fit"))

    # --- the answer ---------------------------------------------------------------------------------------------

    def stage(self) -> Stage:
        """What the form says now."""
        losses = (
            Loss(kind="fat_left", percent=_given(self.fat_left)),
            Loss(kind="drained", percent=_given(self.drained)),
        )
        return replace(
            self._stage,
            name=self.name.text().strip(),
            kind=self.kind.currentData(),
            weight=self._weight(),
            losses=tuple(loss for loss in losses if loss.percent > 0),
            minutes=_stated(self.minutes),
            temperature_degC=_stated(self.temperature),
            text=self.text.text().strip(),
        )

    def _weight(self) -> WeightChoice:
        kind = self.choice.currentData()
        given = self._stage.weight
        if kind is Weighed:
            into, out = _given(self.weight_in), _given(self.weight_out)
            if isinstance(given, Weighed) and (given.in_g, given.out_g) == (into, out):
                return given  # nothing new was weighed: the amounts of then stay
            return Weighed(in_g=into, out_g=out, amounts=self._figures.amounts)
        if kind is WaterLost:
            return WaterLost(amount=_given(self.lost), unit=self.lost_unit.currentText())  # type: ignore[arg-type]
        if kind is FinalWater:
            return FinalWater(percent=_given(self.final_water))
        return Typical() if kind is Typical else Unchanged()


def _row(*widgets: QWidget) -> QWidget:
    box = QWidget()
    layout = QHBoxLayout(box)
    layout.setContentsMargins(0, 0, 0, 0)
    for widget in widgets:
        layout.addWidget(widget)
    layout.addStretch(1)
    return box


def _number(amount: float, low: float, high: float, suffix: str) -> QDoubleSpinBox:
    box = QDoubleSpinBox()
    box.setRange(low, high)
    box.setDecimals(1)
    box.setSuffix(suffix)
    box.setValue(amount)
    box.setProperty("given", amount)
    box.setProperty("shown", box.value())
    return box


def _given(box: QDoubleSpinBox) -> float:
    """The figure in a field; where it was not touched, as it was given and not as it was rounded to be shown."""
    return float(box.property("given")) if box.value() == box.property("shown") else box.value()


def _optional(amount: float | None, low: float, high: float, suffix: str) -> QDoubleSpinBox:
    """A field whose lowest position means "not stated"."""
    box = _number(low - 1.0 if amount is None else amount, low - 1.0, high, suffix)
    box.setSpecialValueText(_(_NOT_STATED))
    return box


def _stated(box: QDoubleSpinBox) -> float | None:
    return None if box.value() <= box.minimum() else _given(box)
