"""Replacing the ingredient of a line: which one, and whether to keep the grams or to match a quantity."""

from typing import NamedTuple

from PySide6.QtCore import QSize, QStringListModel, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListView,
    QVBoxLayout,
    QWidget,
)

from workbench.base.errors import WorkbenchError
from workbench.base.text import _, grams_text, plural
from workbench.composition.food import Food
from workbench.document import line_edits
from workbench.document.project import Line
from workbench.recipe.matching import matching_grams
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import LINEAR, QUANTITIES
from workbench.ui.dialogs.buttons import done_or_cancel
from workbench.ui.dialogs.room import resize_within
from workbench.ui.guard import guarded
from workbench.ui.library_opening import without_library_words
from workbench.ui.models.ingredient_choices import Choice, IngredientChoices
from workbench.ui.search_choice import FilterButton, FilterLine, SearchChoice
from workbench.ui.session import Session

_FIRST = ("CHOAVLDF", "FAT", "PROCNT", "energy_kcal", "FIBTG", "SUGAR", "medium_chain", "NA", "WATER")
_MOVES = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: 9, Qt.Key.Key_PageUp: -9}


class Replacement(NamedTuple):
    """The answer."""

    what: Food | str
    amount_g: float


def ask_replacement(session: Session, line: Line, name: str, parent: QWidget) -> Replacement | None:
    """Ask what takes the place of a line's ingredient; None if cancelled."""
    dialog = ReplaceDialog(session, line, name, parent)
    return dialog.replacement() if dialog.exec() == QDialog.DialogCode.Accepted else None


@guarded
class ReplaceDialog(QDialog):
    """The search, the way to match, and at once what it comes to."""

    _what: Food | str | None = None  # that is chosen

    def __init__(self, session: Session, line: Line, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("replace {food}", food=name))
        self._session = session
        self._line = line
        self._name = name
        self._choices = IngredientChoices(session)
        self._choice = SearchChoice.of(session)
        self._found: list[Choice] = []
        self._amount_g: float | None = None
        self._texts = QStringListModel(self)
        self.search = QLineEdit(self)
        self.search.setPlaceholderText(_("type the name of the other ingredient"))
        self.search.setAccessibleName(_("search the ingredients"))
        self.search.setClearButtonEnabled(True)
        self.filter_button = FilterButton(self._choice, self.search.setFocus, self)
        self.filter_line = FilterLine(self._choice, self.search.setFocus, self)
        self.results = QListView(self)
        self.results.setModel(self._texts)
        self.results.setUniformItemSizes(True)
        self.results.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.results.setAccessibleName(_("ingredients found"))
        self.match = QComboBox(self)
        self.match.setAccessibleName(_("how much of it"))
        self.match.addItem(_("keep {grams} g", grams=grams_text(line.amount_g)), "")
        for key in dict.fromkeys((*_FIRST, *(quantity.key for quantity in LINEAR))):
            self.match.addItem(_("match {title}", title=_(QUANTITIES[key].title)), key)
        self.message = QLabel(self)
        self.message.setWordWrap(True)
        buttons = done_or_cancel(self)
        self._done = next(
            b for b in buttons.buttons() if buttons.buttonRole(b) == QDialogButtonBox.ButtonRole.AcceptRole
        )
        top = QHBoxLayout()
        top.addWidget(self.search, 1)
        top.addWidget(self.filter_button)
        row = QHBoxLayout()
        row.addWidget(QLabel(_("amount"), self))
        row.addWidget(self.match, 1)
        layout = QVBoxLayout(self)
        layout.addLayout(top)
        layout.addWidget(self.filter_line)
        layout.addWidget(self.results, 1)
        layout.addLayout(row)
        layout.addWidget(self.message)
        layout.addWidget(buttons)
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(44 * em, 34 * em))
        self.search.textChanged.connect(self._search)
        self.results.selectionModel().currentChanged.connect(self._say)
        self.match.currentIndexChanged.connect(self._say)
        self.results.doubleClicked.connect(lambda _index: self._done.click())
        self._choice.changed.connect(self._search_again)
        self._search("")

    def _search_again(self) -> None:
        self._search(self.search.text())

    def _search(self, text: str) -> None:
        line_of = self._line.food_ref.id
        found = self._choices.find(text, self._choice.filter)
        self._found = [choice for choice in found if choice.key != line_of]
        shown = [choice.shown for choice in self._found]
        if text.strip() and (missing := self._choices.without_library) is not None:
            shown.append(without_library_words(missing))
        self._texts.setStringList(shown)
        self.results.setCurrentIndex(self._texts.index(0))
        self._say()

    def _chosen(self) -> Choice | None:
        at = self.results.currentIndex().row()
        return self._found[at] if 0 <= at < len(self._found) else None

    def _say(self) -> None:
        """Work out the grams, or say why that is not possible."""
        choice = self._chosen()
        self._what = self._amount_g = None
        if choice is None:
            self.message.setText(self._nothing_words())
        else:
            try:
                self._what = choice.what
                self._amount_g = self._grams(self._what)
            except WorkbenchError as error:
                self.message.setText("▲ " + " ".join(error.lines()))
            else:
                parts = {"before": grams_text(self._line.amount_g), "food": self._name, "other": choice.shown}
                after = grams_text(self._amount_g)
                self.message.setText(_("{before} g {food}  →  {after} g {other}", after=after, **parts))
        self._done.setEnabled(self._amount_g is not None)

    def _nothing_words(self) -> str:
        hidden = len(self._choices.find(self.search.text())) if self._choice.filter else 0
        if not hidden:
            return _("nothing found: try another word")
        return plural(
            "the filter hides {n} that fits: clear the filter above",
            "the filter hides {n} that fit: clear the filter above",
            hidden,
        )

    def _grams(self, what: Food | str) -> float:
        key = self.match.currentData()
        if not key:
            return self._line.amount_g
        session, line = self._session, self._line
        edit = line_edits.replace_food(session.project, session.variant_id, line.id, what, line.amount_g)
        after = prepare(edit.project, edit.project.variant(session.variant_id))
        at = [other.id for other in session.variant.lines].index(line.id)
        return matching_grams(session.evaluation.prepared, after, at, line.amount_g, key)

    def replacement(self) -> Replacement | None:
        """What the form says now."""
        if self._what is None or self._amount_g is None:
            return None
        return Replacement(self._what, self._amount_g)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if key in _MOVES and self._found:
            at = min(max(self.results.currentIndex().row() + _MOVES[key], 0), len(self._found) - 1)
            self.results.setCurrentIndex(self._texts.index(at))
        else:
            super().keyPressEvent(event)
