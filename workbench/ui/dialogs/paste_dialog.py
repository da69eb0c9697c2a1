"""Rows that were pasted and are not certain: the user says which ingredient is meant, and how much."""

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QHeaderView,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.base.errors import WorkbenchError
from workbench.base.text import N_, _, grams_text, plural
from workbench.base.units import System
from workbench.composition.amounts import ParsedAmount, parse_amount
from workbench.composition.food import Food
from workbench.composition.pasting import ReadRow
from workbench.ui.dialogs.buttons import done_or_cancel
from workbench.ui.dialogs.room import resize_within
from workbench.ui.guard import guarded
from workbench.ui.library_opening import without_library_words
from workbench.ui.models.ingredient_choices import Choice, IngredientChoices

_ROW, _NAME, _FOOD, _AMOUNT, _OPEN = range(5)
_TITLES = (N_("row"), N_("as copied"), N_("ingredient"), N_("amount"), N_("open question"))
_OFFERED = 12
_MOST_GUESSED = 40  # rows that are searched for before the dialog opens


class Settled(NamedTuple):
    """A row about which nothing is open any more."""

    row: ReadRow
    what: Food | str
    parsed: ParsedAmount


@guarded
class Offer(QComboBox):
    """The ingredients that a name may mean.  It searches when it is first looked at: hundreds would take a second."""

    def __init__(self, choices: IngredientChoices, name: str, certain: Choice | None, parent: QWidget) -> None:
        super().__init__(parent)
        self._choices = choices
        self._name = name
        self._filled = False
        self._guessed = False
        self.setAccessibleName(_("ingredient for “{name}”", name=name[:60]))
        self.addItem(_("leave out"), None)
        if certain is not None:
            self.addItem(certain.shown, certain)
            self.setCurrentIndex(1)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(24)
        self.activated.connect(self._answered)

    def guess(self, likely: Choice) -> None:
        """Begin with what is likely meant; it counts as a guess until the user chooses."""
        self._guessed = True
        self.insertItem(1, likely.shown, likely)
        self.setCurrentIndex(1)

    @property
    def is_guess(self) -> bool:
        """Whether what is chosen was not chosen by anybody."""
        return self._guessed and self.currentIndex() == 1

    def _answered(self) -> None:
        self._guessed = False

    def search(self, name: str) -> None:
        """Offer what goes by another name."""
        self._name = name
        self._filled = self._guessed = False
        self.clear()
        self.addItem(_("leave out"), None)
        self.fill()

    def fill(self) -> None:
        """Find the ingredients."""
        if self._filled:
            return
        self._filled = True
        known = {self.itemText(k) for k in range(self.count())}
        for choice in self._choices.find(self._name)[:_OFFERED] if self._name else ():
            if choice.shown not in known:
                self.addItem(choice.shown, choice)
        if self.count() == 1:
            self.setItemText(0, _("leave out: nothing like it found"))
        missing = self._choices.without_library
        if missing is not None:
            self.addItem(without_library_words(missing), None)

    def showPopup(self) -> None:
        self.fill()
        super().showPopup()

    def focusInEvent(self, event: QFocusEvent) -> None:
        self.fill()
        super().focusInEvent(event)


@guarded
class PasteDialog(QDialog):
    """The open rows; whatever is not answered is left out."""

    def __init__(
        self,
        rows: Sequence[ReadRow],
        n_certain: int,
        choices: IngredientChoices,
        measures: System,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("paste rows"))
        self._rows = rows
        self._measures = measures
        self._offers: list[Offer] = []
        certain = plural("{n} row is clear and will be added.", "{n} rows are clear and will be added.", n_certain)
        open_rows = plural("{n} row needs an answer:", "{n} rows need an answer:", len(rows))
        head = QLabel(f"{certain} {open_rows}", self)
        self.table = QTableWidget(len(rows), len(_TITLES), self)
        self.table.setAccessibleName(_("rows that need an answer"))
        self.table.setHorizontalHeaderLabels([_(title) for title in _TITLES])
        self.table.verticalHeader().hide()
        self.table.setTabKeyNavigation(False)
        self._fill(choices)
        words = _("Type another name to search again. Rows without an ingredient are left out.")
        if any(offer.is_guess for offer in self._offers):
            words = _("△ Rows with this sign are guesses: look at them.") + " " + words
        self.message = QLabel(words, self)
        self.message.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.addWidget(head)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.message)
        layout.addWidget(done_or_cancel(self))
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(70 * em, 34 * em))
        self.table.itemChanged.connect(self._changed)

    def _fill(self, choices: IngredientChoices) -> None:
        foods, variants = choices.foods(), {variant.id: variant.name for variant in choices.variants()}
        fixed = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        for k, read in enumerate(self._rows):
            texts = (str(read.row.number), read.row.name, "", read.row.amount, read.problem)
            for column, text in enumerate(texts):
                item = QTableWidgetItem(text)
                item.setToolTip(text[:500])
                if column not in (_NAME, _AMOUNT):
                    item.setFlags(fixed)
                self.table.setItem(k, column, item)
            certain = None
            if read.key is not None:
                what = foods.get(read.key) or read.key
                certain = Choice.of(what, what.name if isinstance(what, Food) else variants[read.key])
            offer = Offer(choices, read.row.name, certain, self.table)
            self._offers.append(offer)
            likely = choices.sure(read.row.name) if read.key is None and k < _MOST_GUESSED else None
            if likely is not None:
                offer.guess(likely)
                if self._check(k) is None:  # an amount that cannot be read is for the user, who may not want the row
                    offer.setCurrentIndex(0)
                    self._say(k, read.problem)
            offer.currentIndexChanged.connect(lambda _index, at=k: self._check(at))
            offer.activated.connect(lambda _index, at=k: self._check(at))
            self.table.setCellWidget(k, _FOOD, offer)
        header, em = self.table.horizontalHeader(), self.fontMetrics().horizontalAdvance("m")
        for column, width in ((_ROW, 4), (_NAME, 14), (_FOOD, 22), (_AMOUNT, 9)):
            self.table.setColumnWidth(column, width * em)
        header.setSectionResizeMode(_OPEN, QHeaderView.ResizeMode.Stretch)

    def offer(self, k: int) -> Offer:
        """The choice of ingredients in a row."""
        return self._offers[k]

    def _changed(self, item: QTableWidgetItem) -> None:
        if item.column() == _NAME:
            self._offers[item.row()].search(item.text())
        if item.column() in (_NAME, _AMOUNT):
            self._check(item.row())

    def _check(self, k: int) -> ParsedAmount | None:
        """The amount of a row for the ingredient chosen in it; says what is wrong with it, or that it is left out."""
        choice, words, parsed = self._offers[k].currentData(), _("left out"), None
        if choice is not None:
            try:
                food = choice.what if isinstance(choice.what, Food) else None
                parsed = parse_amount(self._text(k, _AMOUNT), food, self._measures)
                grams = grams_text(parsed.grams)
                guessed = self._offers[k].is_guess
                words = _("△ a guess: {grams} g", grams=grams) if guessed else _("✓ {grams} g", grams=grams)
            except WorkbenchError as error:  # the library may have lost it meanwhile
                words = "▲ " + " ".join(error.lines())
        self._say(k, words)
        return parsed

    def _say(self, k: int, words: str) -> None:
        item = self.table.item(k, _OPEN)
        if item is not None:
            item.setText(words)
            item.setToolTip(words)

    def _text(self, k: int, column: int) -> str:
        item = self.table.item(k, column)
        return item.text() if item else ""

    def settled(self) -> list[Settled]:
        """The rows that were answered."""
        answered = []
        for k, read in enumerate(self._rows):
            choice, parsed = self._offers[k].currentData(), self._check(k)
            if choice is not None and parsed is not None:
                answered.append(Settled(read, choice.what, parsed))
        return answered

    def accept(self) -> None:
        """Close, unless an ingredient was chosen whose amount cannot be read."""
        for k, read in enumerate(self._rows):
            if self._offers[k].currentData() is not None and self._check(k) is None:
                self.message.setText(_("▲ row {n}: {problem}", n=read.row.number, problem=self._text(k, _OPEN)))
                self.table.setCurrentCell(k, _AMOUNT)
                self.table.setFocus()
                return
        super().accept()


def ask_open_rows(
    rows: Sequence[ReadRow], n_certain: int, choices: IngredientChoices, measures: System, parent: QWidget
) -> list[Settled] | None:
    """Ask about rows that are not certain; None if cancelled."""
    dialog = PasteDialog(rows, n_certain, choices, measures, parent)
    return dialog.settled() if dialog.exec() == QDialog.DialogCode.Accepted else None
