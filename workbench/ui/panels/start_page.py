"""The start page: ways to begin, over the work area.  It asks nothing and goes as soon as a project is opened."""

from collections.abc import Callable, Iterable
from functools import partial

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QGridLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from workbench.base.text import N_, _
from workbench.document.forms import FORMS, Form, new_from_form
from workbench.storage.recent import recent_files
from workbench.ui.documents import Documents
from workbench.ui.guard import guarded
from workbench.ui.plots.faces import sized
from workbench.ui.session import Session

_MOST_RECENT = 5
_DEMOS = {
    "maize_squares": N_("butter and egg at first, then plant-based, for a race and for a long ride"),
    "buckwheat_fig_bars": N_("pressed, with seeds and coconut, and a version for a race"),
}

Way = tuple[str, str, Callable[[], object]]  # what the button says, what it leads to, and what it does


@guarded
class StartPage(QWidget):
    """Covers ``area``.  Escape, any project, and whatever puts the keyboard into the area behind it close it.

    ``home`` has the keyboard afterwards.
    """

    def __init__(
        self, session: Session, documents: Documents, demos: Iterable[str], area: QWidget, home: QWidget
    ) -> None:
        super().__init__(area)
        self._documents, self._demos, self._area, self._home = documents, tuple(demos), area, home
        self.setAutoFillBackground(True)
        self.setAccessibleName(_("start page"))
        self.buttons: list[QPushButton] = []
        self._scroll = QScrollArea(self)
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._scroll)
        area.installEventFilter(self)
        session.documentChanged.connect(self._leave)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._focus_moved)
        self.hide()

    def begin(self) -> None:
        """Show the ways there are now."""
        self._fill()
        self.setGeometry(self._area.rect())
        self.show()
        self.raise_()
        self.buttons[0].setFocus()

    def _fill(self) -> None:
        inside = QWidget()
        grid = QGridLayout(inside)
        grid.setContentsMargins(32, 24, 32, 24)
        grid.setHorizontalSpacing(16)
        grid.setVerticalSpacing(8)
        grid.setColumnStretch(1, 1)
        self.buttons = []
        title = QLabel(_("What shall the pocket hold?"), inside)
        title.setFont(sized(self.font(), 1.6, bold=True))
        grid.addWidget(title, 0, 0, 1, 2)
        for heading, ways in self._sections():
            label = QLabel(heading, inside)
            label.setFont(sized(self.font(), 1.0, bold=True))
            label.setContentsMargins(0, 12, 0, 0)
            grid.addWidget(label, grid.rowCount(), 0, 1, 2)
            for words, about, do in ways:
                self._add_way(grid, words, about, do)
        hint = QLabel(_("Tab and Enter choose; Escape goes to the recipe. This page is in the file menu."), inside)
        hint.setForegroundRole(hint.palette().ColorRole.PlaceholderText)
        grid.addWidget(hint, grid.rowCount(), 0, 1, 2)
        grid.setRowStretch(grid.rowCount(), 1)
        self._scroll.setWidget(inside)

    def _add_way(self, grid: QGridLayout, words: str, about: str, do: Callable[[], object]) -> None:
        button = QPushButton(words.replace("&", "&&"))
        button.setAutoDefault(True)  # Enter presses it, not only the space bar
        button.setAccessibleDescription(about)
        button.clicked.connect(do)
        label = QLabel(about)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setWordWrap(True)
        row = grid.rowCount()
        grid.addWidget(button, row, 0)
        grid.addWidget(label, row, 1)
        self.buttons.append(button)

    def _sections(self) -> tuple[tuple[str, list[Way]], ...]:
        documents = self._documents
        demos: list[Way] = [
            (name.replace("_", " "), _(_DEMOS.get(name, "")), partial(documents.open_demo, name))
            for name in sorted(self._demos, key=lambda name: [*_DEMOS, name].index(name))
        ]
        forms: list[Way] = [(_(form.title), _(form.about), partial(self._start_form, form)) for form in FORMS]
        nothing: list[Way] = [(_("empty recipe"), _("one stage and no ingredients"), lambda: documents.new())]
        opened: list[Way] = [(_("open a file …"), _("a project saved before"), lambda: documents.open())]
        there = [file.path for file in recent_files() if file.exists][:_MOST_RECENT]
        opened += [(path.name, str(path.parent), partial(documents.open, path)) for path in there]
        return (
            (_("look at a ready project"), demos),
            (_("begin with a typical form; its amounts are common practice, no source"), forms),
            (_("begin with nothing"), nothing),
            (_("go on"), opened),
        )

    def _start_form(self, form: Form) -> None:
        from workbench.composition.bundled import bundled_foods

        self._documents.new(new_from_form(form, bundled_foods()))

    def _leave(self, *_change: object) -> None:
        if not self.isHidden():
            self.hide()
            self._home.setFocus()

    def _focus_moved(self, _old: QWidget | None, now: QWidget | None) -> None:
        if now is not None and not self.isHidden() and self._area.isAncestorOf(now) and not self.isAncestorOf(now):
            self.hide()

    def eventFilter(self, area: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and not self.isHidden():
            self.setGeometry(self._area.rect())
        return super().eventFilter(area, event)

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Tab stays on the page: what it covers cannot be seen."""
        at = next((k for k, button in enumerate(self.buttons) if button.hasFocus()), -1)
        chosen = self.buttons[(at + (1 if forward else -1)) % len(self.buttons)]
        chosen.setFocus(Qt.FocusReason.TabFocusReason)
        self._scroll.ensureWidgetVisible(chosen)
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            self.focusNextPrevChild(event.key() == Qt.Key.Key_Down)
        else:
            super().keyPressEvent(event)
