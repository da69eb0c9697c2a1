"""The filter of the search: one for a window, a button that opens its form, and a line that says what it leaves out."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QFormLayout,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import _
from workbench.composition.bundled import bundled_foods, sources
from workbench.composition.search_filter import SearchFilter
from workbench.recipe.food_words import KNOWN_FIGURES, ROLE_WORDS, filter_text
from workbench.recipe.words import ALLERGEN_WORDS
from workbench.ui.guard import guarded
from workbench.ui.models.shared_search import SharedSearch
from workbench.ui.session import Session

_COLUMNS = 3
_SOURCE_LETTERS = 24


class SearchChoice(QObject):
    """What the searches of a window filter by, remembered while the window is open.  ``changed()`` tells of it."""

    changed = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._session = session
        self._filter = SearchFilter()

    @staticmethod
    def of(session: Session) -> "SearchChoice":
        """The one that belongs to a session's window."""
        return session.findChild(SearchChoice) or SearchChoice(session)

    def sources(self) -> dict[str, str]:
        """What figures can be from, in words by key: publications of the bundled table, then tables of the library."""
        cited = (value.source for food in bundled_foods().values() for value in food.values.values())
        found = {key: sources()[key].short for key in cited}
        for key, title in SharedSearch.of(self._session).library_tables().items():
            found.setdefault(key, title)
        return found

    @property
    def filter(self) -> SearchFilter:
        """What is asked for now."""
        return self._filter

    def choose(self, wanted: SearchFilter) -> None:
        """Ask for something else."""
        if wanted != self._filter:
            self._filter = wanted
            self.changed.emit()

    def clear(self) -> None:
        """Ask for nothing."""
        self.choose(SearchFilter())


class FilterButton(QToolButton):
    """Opens the form below or above itself; pressed in while something is filtered."""

    def __init__(self, choice: SearchChoice, go_back: Callable[[], object], parent: QWidget) -> None:
        super().__init__(parent)
        self._choice, self._go_back = choice, go_back
        self._form: FilterForm | None = None
        self.setProperty("choice", True)
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setText(_("filter …"))
        self.setToolTip(_("only plant foods, without an allergen, of a role, from a source, with known figures"))
        self.clicked.connect(self.open)
        choice.changed.connect(self._follow)
        self._follow()

    def _follow(self) -> None:
        words = filter_text(self._choice.filter)
        self.setChecked(bool(words))
        self.setAccessibleName(_("filter of the search: {words}", words=words or _("none")))

    def open(self) -> None:
        """Show the form, with the keyboard in it; the search has the keyboard again after it."""
        self._follow()  # the click has toggled it
        if self._form is None:
            self._form = FilterForm(self._choice, self._go_back, self.window())
        form, window = self._form, self.window()
        form.offer_sources()
        form.begin()
        size = form.sizeHint().boundedTo(window.size())
        at = self.mapTo(window, QPoint(self.width() - size.width(), self.height()))
        if at.y() + size.height() > window.height():
            at.setY(self.mapTo(window, QPoint(0, 0)).y() - size.height())
        at.setX(max(0, min(at.x(), window.width() - size.width())))
        at.setY(max(0, min(at.y(), window.height() - size.height())))
        form.setGeometry(QRect(at, size))
        form.show()
        form.raise_()
        form.plant_only.setFocus(Qt.FocusReason.PopupFocusReason)


@guarded
class FilterForm(QFrame):
    """Everything that can be asked for.  It works at once; Escape, Enter and going elsewhere close it."""

    def __init__(self, choice: SearchChoice, go_back: Callable[[], object], parent: QWidget) -> None:
        super().__init__(parent)
        self._choice, self._go_back = choice, go_back
        self.setFrameStyle(QFrame.Shape.Box | QFrame.Shadow.Plain)
        self.setAutoFillBackground(True)
        self.setAccessibleName(_("filter of the search"))
        self.plant_only = QCheckBox(_("plant only"), self)
        self.without = {key: QCheckBox(_(words), self) for key, words in ALLERGEN_WORDS.items()}
        self.role = QComboBox(self)
        self.role.addItem(_("any role"), "")
        for key, words in ROLE_WORDS.items():
            self.role.addItem(_(words), key)
        self.source = QComboBox(self)
        self.source.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.source.setMinimumContentsLength(_SOURCE_LETTERS)
        self.known = [QCheckBox(_(figures.title), self) for figures in KNOWN_FIGURES]
        self.clear_button = QPushButton(_("clear the filter"), self)
        self.close_button = QPushButton(_("done"), self)
        for button in (self.clear_button, self.close_button):
            button.setAutoDefault(False)
        self._lay_out()
        for box in (self.plant_only, *self.without.values(), *self.known):
            box.toggled.connect(self._take)
        for combo in (self.role, self.source):
            combo.currentIndexChanged.connect(self._take)
        self.clear_button.clicked.connect(choice.clear)
        self.close_button.clicked.connect(self.finish)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._focus_moved)
        choice.changed.connect(self.begin)

    def _lay_out(self) -> None:
        inside = QWidget(self)
        column = QVBoxLayout(inside)
        column.setContentsMargins(12, 8, 12, 4)
        column.addWidget(self.plant_only)
        column.addWidget(QLabel(_("without (neither contained nor possible; not stated counts as possible)"), inside))
        grid = QGridLayout()
        rows = -(-len(self.without) // _COLUMNS)
        for k, box in enumerate(self.without.values()):
            grid.addWidget(box, k % rows, k // rows)
        column.addLayout(grid)
        column.addWidget(QLabel(_("figures that must be known"), inside))
        for box in self.known:
            column.addWidget(box)
        form = QFormLayout()
        form.addRow(_("role"), self.role)
        form.addRow(_("source of figures"), self.source)
        column.addLayout(form)
        scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        self._wanted = inside.sizeHint() + QSize(scroll.verticalScrollBar().sizeHint().width(), 0)
        for widget in (self.plant_only, *self.without.values(), *self.known, self.role, self.source):
            widget.installEventFilter(self)
        self._scroll = scroll
        buttons = QHBoxLayout()
        buttons.setContentsMargins(12, 4, 12, 8)
        buttons.addWidget(self.clear_button)
        buttons.addStretch(1)
        buttons.addWidget(self.close_button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(scroll, 1)
        whole.addLayout(buttons)
        ahead: QWidget = self.plant_only
        for widget in (*self.without.values(), *self.known, self.role, self.source, self.clear_button):
            self.setTabOrder(ahead, widget)
            ahead = widget

    def offer_sources(self) -> None:
        """Offer the sources that there are now: the library may have got a table."""
        with QSignalBlocker(self.source):
            self.source.clear()
            self.source.addItem(_("any source"), "")
            for key, words in self._choice.sources().items():
                self.source.addItem(words, key)

    def begin(self) -> None:
        """Show what is asked for now."""
        chosen = self._choice.filter
        for box, on in self._boxes(chosen):
            box.blockSignals(True)
            box.setChecked(on)
            box.blockSignals(False)
        for combo, key in ((self.role, chosen.role), (self.source, chosen.source)):
            combo.blockSignals(True)
            combo.setCurrentIndex(max(combo.findData(key), 0))
            combo.blockSignals(False)
        self.clear_button.setEnabled(bool(chosen))

    def _boxes(self, chosen: SearchFilter) -> list[tuple[QCheckBox, bool]]:
        known = zip(self.known, KNOWN_FIGURES, strict=True)
        return [
            (self.plant_only, chosen.plant_only),
            *((box, key in chosen.without) for key, box in self.without.items()),
            *((box, set(figures.tags) <= set(chosen.known)) for box, figures in known),
        ]

    def _take(self) -> None:
        known = zip(self.known, KNOWN_FIGURES, strict=True)
        self._choice.choose(
            SearchFilter(
                plant_only=self.plant_only.isChecked(),
                without=tuple(key for key, box in self.without.items() if box.isChecked()),
                role=self.role.currentData(),
                source=self.source.currentData(),
                known=tuple(tag for box, figures in known if box.isChecked() for tag in figures.tags),
            )
        )

    def finish(self) -> None:
        """Close it and go on searching."""
        self.hide()
        self._go_back()

    def _focus_moved(self, _old: QWidget | None, new: QWidget | None) -> None:
        if new is not None and self.isVisible() and not self.isAncestorOf(new):
            self.hide()

    def sizeHint(self) -> QSize:
        return self._wanted + QSize(4, self.clear_button.sizeHint().height() + 24)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Bring what the keyboard reaches into sight."""
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            self._scroll.ensureWidgetVisible(watched)
        return super().eventFilter(watched, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        entered = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if entered and self.clear_button.hasFocus():
            self.clear_button.click()
        elif entered or event.key() == Qt.Key.Key_Escape:
            self.finish()
        else:
            super().keyPressEvent(event)


class FilterLine(QWidget):
    """What is filtered, in words, with a way out; without a filter it takes no room."""

    def __init__(self, choice: SearchChoice, go_back: Callable[[], object], parent: QWidget) -> None:
        super().__init__(parent)
        self._choice, self._go_back = choice, go_back
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.clear_button = QToolButton(self)
        self.clear_button.setText(_("✕ clear"))
        self.clear_button.setAccessibleName(_("clear the filter"))
        self.clear_button.setAutoRaise(True)
        self.clear_button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.words, 1)
        row.addWidget(self.clear_button)
        self.clear_button.clicked.connect(self._clear)
        choice.changed.connect(self._follow)
        self._follow()

    def _clear(self) -> None:
        self._choice.clear()
        self._go_back()

    def _follow(self) -> None:
        words = filter_text(self._choice.filter)
        self.words.setText(_("▽ {words}", words=words))
        self.setVisible(bool(words))
