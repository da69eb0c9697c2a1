"""The line that adds an ingredient: results while typing, Enter takes the first or the chosen one."""

from collections.abc import Callable

from PySide6.QtCore import QPoint, QStringListModel, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QListView, QVBoxLayout, QWidget

from workbench.base.errors import WorkbenchError
from workbench.base.text import _, plural
from workbench.composition.food import Food
from workbench.document import edits
from workbench.storage.structure import MAX_LINES
from workbench.ui.actions import UserAction
from workbench.ui.guard import guarded
from workbench.ui.library_opening import without_library_words
from workbench.ui.models.ingredient_choices import Choice, IngredientChoices
from workbench.ui.search_choice import FilterButton, FilterLine, SearchChoice
from workbench.ui.session import Session

_SHOWN = 9  # results that are visible at once
_GAP = 2  # around each of them [px]
_STARTING_G = {  # by role, the first that fits; common practice, no source
    "salt": 2.0,
    "leavening": 3.0,
    "flavour": 2.0,
    "fat": 30.0,
    "sweetener": 50.0,
    "liquid": 200.0,
    "protein": 50.0,
    "inclusion": 50.0,
    "bulk_starch": 100.0,
    "binder": 20.0,
}
_OTHERWISE_G = 50.0


def starting_amount(what: Food | str) -> float:
    """An amount to begin with. [g]"""
    if isinstance(what, str):
        return 100.0
    return next((grams for role, grams in _STARTING_G.items() if role in what.roles), _OTHERWISE_G)


@guarded
class _SearchLine(QLineEdit):
    """A field whose arrows and Enter work the list of results."""

    left = Signal()

    def __init__(self, parent: QWidget, results: QListView) -> None:
        super().__init__(parent)
        self._results = results

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        moves = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: _SHOWN, Qt.Key.Key_PageUp: -_SHOWN}
        if key in moves and self._results.isVisible():
            model, at = self._results.model(), self._results.currentIndex().row()
            row = min(max(at + moves[Qt.Key(key)], 0), model.rowCount() - 1)
            self._results.setCurrentIndex(model.index(row, 0))
        elif key == Qt.Key.Key_Escape and (self.text() or self._results.isVisible()):
            self.clear()
            self._results.hide()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.left.emit()


@guarded
class AddBox(QWidget):
    """The search line.  ``added(line_id)`` says which line was made."""

    added = Signal(str)

    def __init__(self, session: Session, stage_id: Callable[[], str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stage_id = stage_id
        self._choices = IngredientChoices(session)
        self._choice = SearchChoice.of(session)
        self._found: list[Choice] = []
        self._hidden = 0  # found, but for the filter
        self._texts = QStringListModel(self)
        self.results = QListView(self)
        self.results.setModel(self._texts)
        self.results.setUniformItemSizes(True)
        self.results.setSpacing(_GAP)
        self.results.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.results.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.results.setAccessibleName(_("ingredients found"))
        self.results.hide()
        self.results.clicked.connect(lambda index: self._add(index.row()))
        self.line = _SearchLine(self, self.results)
        self.line.setPlaceholderText(_("add an ingredient: type its name, Enter adds it"))
        self.line.setClearButtonEnabled(True)
        self.line.setAccessibleName(_("add an ingredient"))
        self.line.textEdited.connect(self._search)
        self.line.returnPressed.connect(lambda: self._add(self.results.currentIndex().row()))
        self.line.left.connect(self.results.hide)
        plus = QLabel("+", self)
        plus.setBuddy(self.line)
        self.filter_button = FilterButton(self._choice, self._search_on, self)
        self.filter_line = FilterLine(self._choice, self._search_on, self)
        row = QHBoxLayout()
        row.addWidget(plus)
        row.addWidget(self.line, 1)
        row.addWidget(self.filter_button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 6, 8, 6)
        layout.setSpacing(2)
        layout.addLayout(row)
        layout.addWidget(self.filter_line)  # below: results lie over what is above
        self.setFocusProxy(self.line)

    def user_actions(self) -> tuple[UserAction, ...]:
        """The way here from the keyboard."""
        return (UserAction("line.add", _("add an ingredient"), self.start, "Ctrl+I Ctrl+F"),)

    def start(self) -> None:
        """Put the keyboard here."""
        self.line.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.line.selectAll()

    def _search_on(self) -> None:
        """Back from the filter, to what was typed."""
        self.line.setFocus(Qt.FocusReason.OtherFocusReason)
        self._search(self.line.text())

    def _search(self, text: str) -> None:
        full = len(self._session.variant.lines) >= MAX_LINES
        wanted = self._choice.filter
        asked = bool(text.strip()) and not full
        self._found = self._choices.find(text, wanted) if asked else []
        self._hidden = len(self._choices.find(text)) if asked and wanted and not self._found else 0
        otherwise = _("a variant holds {n} ingredients at most", n=MAX_LINES) if full else _("nothing found")
        if self._hidden:
            otherwise = plural(
                "the filter hides {n} that fits: Enter clears the filter",
                "the filter hides {n} that fit: Enter clears the filter",
                self._hidden,
            )
        shown = [choice.shown for choice in self._found] or ([otherwise] if text.strip() else [])
        if asked and (missing := self._choices.without_library) is not None:
            shown.append(without_library_words(missing))
        self._texts.setStringList(shown)
        self.results.setCurrentIndex(self._texts.index(0))
        self.results.setVisible(bool(shown))
        if shown:
            self._place(len(shown))

    def _place(self, count: int) -> None:
        """Over the window, above the line if there is no room below it, or something to be read there."""
        window = self.window()
        if self.results.parentWidget() is not window:
            self.results.setParent(window)
            self.results.show()
        height = (self.results.sizeHintForRow(0) + 2 * _GAP) * min(count, _SHOWN) + 2 * self.results.frameWidth()
        at = self.line.mapTo(window, QPoint(0, self.line.height()))
        if at.y() + height > window.height() or self.filter_line.isVisible():
            at.setY(max(at.y() - self.line.height() - height, 0))
        self.results.setGeometry(at.x(), at.y(), self.line.width(), height)
        self.results.raise_()

    def _add(self, row: int) -> None:
        if self._hidden and self.results.isVisible():
            self._choice.clear()
            self._search(self.line.text())
            return
        if not 0 <= row < len(self._found):
            return
        session = self._session
        try:
            what = self._found[row].what
        except WorkbenchError as error:
            self._found = []
            self._texts.setStringList(["▲ " + " ".join(error.lines())])
            return
        before = {line.id for line in session.variant.lines}
        self.results.hide()
        self.line.clear()
        stage_id = self._stage_id()
        session.apply(edits.add_line(session.project, session.variant_id, stage_id, what, starting_amount(what)))
        self.added.emit(next(line.id for line in session.variant.lines if line.id not in before))

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self.results.hide()
