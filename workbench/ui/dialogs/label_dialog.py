"""An own ingredient from its pack label, typed in the label's order without the mouse."""

import itertools

from msgspec.structs import replace
from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QBoxLayout,
    QCheckBox,
    QComboBox,
    QDialog,
    QFormLayout,
    QFrame,
    QGroupBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from workbench.base.errors import AmountError
from workbench.base.text import N_, _
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food, TakenFrom, Value
from workbench.composition.label import LINES, LabelError, LabelReading, label_entries, read_label, read_line
from workbench.document.project import new_id
from workbench.ui.dialogs.buttons import done_or_cancel
from workbench.ui.dialogs.label_form import ERROR_SIGN, GRAMS, FactFields, LabelFields, amount, text_field
from workbench.ui.dialogs.room import resize_within
from workbench.ui.guard import guarded

_PER = ("100 g", "100 ml", "serving")
_PER_WORDS = {"100 g": N_("100 g"), "100 ml": N_("100 ml"), "serving": N_("a serving")}
_SIGNS = {"error": ERROR_SIGN, "warning": "▲", "notice": "•"}
_MAIN = ("fat", "saturates", "carbohydrate", "sugars", "fibre", "protein", "salt")
_NARROW_EMS = 66


def ask_label(parent: QWidget, food: Food | None = None) -> Food | None:
    """Ask for an ingredient from its label, or change one that was made so; None if cancelled."""
    dialog = LabelDialog(food, parent)
    return dialog.food() if dialog.exec() == QDialog.DialogCode.Accepted else None


@guarded
class LabelDialog(QDialog):
    """The form.  What the label does not give stays unknown; what contradicts itself is said and does not block."""

    def __init__(self, food: Food | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._given = food
        self.setWindowTitle(_("ingredient from a pack label"))
        entries, fibre_inside = label_entries(food) if food is not None else ({}, False)
        self._entries_given, self._fibre_inside_given = entries, fibre_inside
        self._make_head(food, fibre_inside)
        self.label = LabelFields(self)
        for key, text in entries.items():
            self.label.fields[key].setText(text)
        self.findings = QLabel(self)
        self.findings.setTextFormat(Qt.TextFormat.PlainText)  # what was typed is never markup
        self.findings.setWordWrap(True)
        self.findings.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self.findings.setAccessibleName(_("what is odd about the label"))
        self.not_known = QLabel(self)
        self.not_known.setWordWrap(True)
        self.facts = FactFields(food, self)
        self.buttons = done_or_cancel(self)
        self._done = next(b for b in self.buttons.buttons() if isinstance(b, QPushButton) and b.isDefault())
        self._lay_out()
        self._connect()
        self._read()
        self.name.setFocus()

    # --- building ---------------------------------------------------------------------------------------------------

    def _make_head(self, food: Food | None, fibre_inside: bool) -> None:
        self.name = QLineEdit(food.name if food else "", self)
        self.name.setPlaceholderText(_("as on the pack"))
        self.per = QComboBox(self)
        for key in _PER:
            self.per.addItem(_(_PER_WORDS[key]), key)
        self.serving = text_field(self, "30 g", _("weight of a serving"))
        self.fibre_inside = QCheckBox(_("carbohydrate includes fibre (US label)"), self)
        self.fibre_inside.setChecked(fibre_inside)

    def _lay_out(self) -> None:
        head = QFormLayout()
        head.addRow(_("name"), self.name)
        head.addRow(_("figures for"), self.per)
        self._serving_title = QLabel(_("serving of"), self)
        head.addRow(self._serving_title, self.serving)
        head.addRow("", self.fibre_inside)
        printed = QVBoxLayout()
        printed.addLayout(head)
        printed.addWidget(self.label)
        printed.addStretch(1)
        said = QGroupBox(_("what stands out"), self)
        notes = QVBoxLayout(said)
        notes.addWidget(self.findings)
        notes.addWidget(self.not_known)
        notes.addStretch(1)
        inside = QWidget(self)
        self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight, inside)
        beside = QHBoxLayout()  # what is said of a line stays beside it in a narrow window too
        beside.addLayout(printed, 3)
        beside.addWidget(said, 2)
        self._columns.addLayout(beside, 6)
        self._columns.addWidget(self.facts, 4)
        self._scroll = QScrollArea(self)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setWidget(inside)
        layout = QVBoxLayout(self)
        layout.addWidget(self._scroll, 1)
        layout.addWidget(self.buttons)
        self._set_tab_order()
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(84 * em, 52 * em))

    def _set_tab_order(self) -> None:
        order: list[QWidget] = [self.name, self.per, self.serving, self.fibre_inside, *self.label.fields.values()]
        order += [*self.facts.in_order(), *self.buttons.buttons()]
        for before, after in itertools.pairwise(order):
            self.setTabOrder(before, after)

    def _connect(self) -> None:
        self.label.changed.connect(self._read)
        for field in (self.name, self.serving):
            field.textChanged.connect(self._read)
        self.facts.changed.connect(self._read)
        self.per.currentIndexChanged.connect(self._read)
        self.fibre_inside.toggled.connect(self._read)
        app = QApplication.instance()
        if app is not None:
            app.focusChanged.connect(self._bring_into_view)  # type: ignore[attr-defined]
        for box in self.findChildren(QComboBox):
            box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            box.installEventFilter(self)

    # --- reading ----------------------------------------------------------------------------------------------------

    def _read(self) -> None:
        """Say at once what the fields mean, and what stands in the way."""
        per_serving = self.per.currentData() == "serving"
        self.serving.setVisible(per_serving)
        self._serving_title.setVisible(per_serving)
        said: list[str] = []
        signs: dict[str, str] = {}
        sentences: dict[str, str] = {}

        def say(sign: str, words: str, key: str) -> None:
            said.append(f"{sign} {words}")
            if key:
                signs.setdefault(key, sign)
                sentences[key] = f"{sentences[key]}\n{words}" if key in sentences else words

        blocking = self._unreadable()
        for key, words in blocking:
            say(ERROR_SIGN, words, key)
        if not blocking:
            try:
                reading = self._reading()
            except LabelError as error:
                say(ERROR_SIGN, error.lines()[0], error.key)
                blocking = [(error.key, "")]
            else:
                for finding in reading.findings:
                    say(_SIGNS[finding.severity], finding.sentence(), finding.where[0].id if finding.where else "")
        named = bool(self.name.text().strip())
        if not named:
            said.append("• " + _("It needs a name."))
        self.label.mark(signs, sentences)
        self.findings.setText("\n\n".join(said) or _("✓ nothing contradicts itself"))
        self.not_known.setText(self._blank_words())
        self._done.setEnabled(not blocking and named)

    def _unreadable(self) -> list[tuple[str, str]]:
        """Key of the line ("" for other fields) and words of everything that cannot be read."""
        found = []
        for key, text in self.label.entries().items():
            try:
                read_line(key, text)
            except LabelError as error:
                found.append((key, error.lines()[0]))
        for read in (self.facts.density, self.facts.pack_g, self._per_g):
            try:
                read()
            except AmountError as error:
                found.append(("", error.lines()[0]))
        return list(dict.fromkeys(found))

    def _per_g(self) -> float:
        """Grams that the figures are for."""
        per = self.per.currentData()
        if per == "100 g":
            return 100.0
        if per == "serving":
            grams = amount(self.serving.text(), GRAMS, _("serving"), _("Type its weight, such as 30 g."))
            if grams is None:
                raise AmountError(_("The serving has no weight yet."), hint=_("Type it, such as 30 g."))
            return grams
        density = self.facts.density()
        if density is None:
            raise AmountError(
                _("100 ml need a density."),
                hint=_("Type the weight of 1 ml on the right, such as 1.03."),
                where=_("density"),
            )
        return 100.0 * density

    def _reading(self) -> LabelReading:
        return read_label(
            self.label.entries(),
            per_g=self._per_g(),
            fibre_in_carbohydrate=self.fibre_inside.isChecked(),
            source=self.name.text().strip(),
        )

    def _blank_words(self) -> str:
        stated = {key for key, text in self.label.entries().items() if text.strip()}
        if "sodium" in stated:
            stated.add("salt")
        blank = [
            _(line.title).removeprefix(_("of which ")) for line in LINES if line.key in _MAIN and line.key not in stated
        ]
        words = _("Lines left blank are not known; they never count as zero.")
        return f"{words} " + _("Blank: {lines}.", lines=", ".join(blank)) if blank else words

    # --- the answer ---------------------------------------------------------------------------------------------------

    def food(self) -> Food:
        """The ingredient as the form says it now.

        Raises
        ------
        AmountError
            If a field cannot be read.
        """
        reading = self._reading()
        given = self._given or Food(id=new_id(), name="", taken_from=TakenFrom(kind="own"))
        values = {tag: value for tag, value in given.values.items() if value.kind != "label"}
        values |= self._unchanged(reading)
        return replace(
            self.facts.added_to(given),
            name=self.name.text().strip(),
            values={tag: values[tag] for tag in COMPONENTS if tag in values},
            limits=reading.limits,
        )

    def _unchanged(self, reading: LabelReading) -> dict[str, Value]:
        """Values as read; those whose field says what it said before keep their digits and their record."""
        if self._given is None:
            return reading.values
        before = read_label(self._entries_given, fibre_in_carbohydrate=self._fibre_inside_given).values
        return {
            tag: self._given.values[tag]
            if tag in before and tag in self._given.values and before[tag].value == value.value
            else value
            for tag, value in reading.values.items()
        }

    # --- keys and room ------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter moves on, as Tab does; on the button it is done."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if event.modifiers() & Qt.KeyboardModifier.ControlModifier and self._done.isEnabled():
                self.accept()
            elif not isinstance(self.focusWidget(), QPushButton):
                self.focusNextChild()
            return
        super().keyPressEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Wheel and isinstance(watched, QComboBox) and not watched.hasFocus():
            event.ignore()  # the wheel scrolls the form
            return True
        return super().eventFilter(watched, event)

    def _bring_into_view(self, _before: QWidget | None, now: QWidget | None) -> None:
        if now is not None and self._scroll.isAncestorOf(now):
            self._scroll.ensureWidgetVisible(now)
            if isinstance(now, QLineEdit):
                now.selectAll()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        narrow = self.width() < _NARROW_EMS * self.fontMetrics().horizontalAdvance("m")
        direction = QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        self._columns.setDirection(direction)
