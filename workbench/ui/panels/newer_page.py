"""Newer values: which ingredients read otherwise in their tables today, what taking that does, and taking it."""

from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QSignalBlocker, Qt, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QHBoxLayout, QLabel, QListWidget, QListWidgetItem, QPushButton, QVBoxLayout, QWidget

from workbench.base.text import _, plural
from workbench.document import edits
from workbench.recipe.newer_values import NewerValues, effects, find_newer_here, taken
from workbench.recipe.newer_words import effect_texts, food_change_texts, newer_food_text, newer_summary
from workbench.ui.session import Session
from workbench.ui.side_page import SidePage
from workbench.ui.tables.figure_tree import FigureRow, FigureTree

_MOST_LISTED = 6  # rows of the list before it scrolls
_ID_ROLE = int(Qt.ItemDataRole.UserRole)


class NewerPage(SidePage):
    """A list to tick, and below it what the ticked would change; nothing changes before the button is pressed."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._newer = NewerValues((), ())
        self._made_from: tuple[object, ...] = ()
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)  # names are never markup
        self.message.setWordWrap(True)
        self.message.setAlignment(Qt.AlignmentFlag.AlignTop)  # alone on the page
        self.list = QListWidget(self)
        self.list.setAccessibleName(_("ingredients with newer values"))
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.tree = FigureTree(_("what taking them changes"), (_("change"),), self)
        self.copy_button = QPushButton(_("copy as text"), self)
        self.take_button = QPushButton(_("take these values"), self)
        for button in (self.copy_button, self.take_button):
            button.setAutoDefault(False)
        below = QHBoxLayout()
        below.addWidget(self.copy_button)
        below.addStretch(1)
        below.addWidget(self.take_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 8, 8)
        column.setSpacing(4)
        column.addWidget(self.message)
        column.addWidget(self.list)
        column.addWidget(self.tree, 1)
        column.addLayout(below)
        self.setFocusProxy(self.list)
        self.list.itemChanged.connect(self._preview)
        self.take_button.clicked.connect(self.take)
        self.copy_button.clicked.connect(self.copy)
        self.tree.copyRequested.connect(self.copy)

    # --- what the panel asks ----------------------------------------------------------------------------------------

    def begin(self, **_what: Any) -> None:
        """Look what differs now."""
        self._made_from = ()
        self.follow()

    @Slot()
    def follow(self) -> None:
        """Take up the project's present ingredients and figures; a drag is left to its end."""
        session = self._session
        project = session.project
        made_from = (project.foods, project.variants, project.assumptions, project.target_sets)
        if session.previewing or (
            len(made_from) == len(self._made_from)
            and all(a is b for a, b in zip(made_from, self._made_from, strict=True))
        ):
            return
        if not self._made_from or project.foods is not self._made_from[0]:
            self._newer = find_newer_here(project)
            self._list()
        self._made_from = made_from
        self._preview()

    def _list(self) -> None:
        unticked = {key for key, ticked in self._ticks().items() if not ticked}
        with QSignalBlocker(self.list):
            self.list.clear()
            for one in self._newer.foods:
                item = QListWidgetItem(newer_food_text(one), self.list)
                item.setData(_ID_ROLE, one.mine.id)
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
                ticked = one.mine.id not in unticked and not one.edited
                item.setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)
            self.list.setCurrentRow(0)
        rows = min(max(self.list.count(), 1), _MOST_LISTED)
        self.list.setFixedHeight(rows * (self.list.sizeHintForRow(0) + 2) + 2 * self.list.frameWidth() + 2)
        for widget in (self.list, self.tree, self.copy_button, self.take_button):
            widget.setVisible(bool(self._newer))
        self.message.setText(self._message())

    def _message(self) -> str:
        newer = self._newer
        words = _("Every ingredient that was taken from a table reads as in the table of today.")
        if newer.problems:
            words = ""  # nobody knows
        if newer:
            words = _("{summary}. The project keeps its own until you take these.", summary=newer_summary(newer))
        if newer.gone:
            names = ", ".join(food.name for food in newer.gone)
            words += " " + _("No longer in their table, so they stay as they are: {names}.", names=names)
        return " ".join(filter(None, (words, *(problem.sentence() for problem in newer.problems))))

    # --- what is shown ----------------------------------------------------------------------------------------------

    def _ticks(self) -> dict[str, bool]:
        items = [self.list.item(k) for k in range(self.list.count())]
        return {item.data(_ID_ROLE): item.checkState() == Qt.CheckState.Checked for item in items}

    @property
    def chosen(self) -> list[str]:
        """Ids of the ingredients that are ticked."""
        return [key for key, ticked in self._ticks().items() if ticked]

    @Slot()
    def _preview(self) -> None:
        project, chosen = self._session.project, self.chosen
        found = effects(project, edits.take_newer(project, taken(self._newer, chosen)).project) if chosen else ()
        rows = [
            _section(f"in {e.variant.id}", _("in one piece of {variant}", variant=e.variant.name), effect_texts(e))
            for e in found
        ]
        if not found:
            words = _("no figure of any variant changes") if chosen else _("tick what to take")
            rows.append(_line("nothing", words, bold=True))
        rows += [
            _section(one.mine.id, one.mine.name, food_change_texts(one))
            for one in self._newer.foods
            if one.mine.id in chosen
        ]
        self.tree.show_rows(tuple(rows), opened=True)
        self.take_button.setEnabled(bool(chosen))
        self.take_button.setAccessibleDescription(plural("{n} ingredient", "{n} ingredients", len(chosen)))

    def text(self) -> str:
        """The page as plain text."""
        lines = [self.message.text()]
        for row in self.tree.rows() if self._newer else ():
            lines += ["", row.cells[0], *(f"  {child.cells[0]}" for child in row.children)]
        return "\n".join(lines)

    def copy(self) -> None:
        """Put the page on the clipboard."""
        QGuiApplication.clipboard().setText(self.text())

    def take(self) -> None:
        """Take what is ticked, as one step that can be undone."""
        session, chosen = self._session, self.chosen
        if chosen:
            session.commit()
            session.apply(edits.take_newer(session.project, taken(self._newer, chosen)))


def _section(key: str, title: str, texts: Iterable[tuple[str, str]]) -> FigureRow:
    children = tuple(_line(name, words) for name, words in texts)
    return FigureRow(key, (title,), wide=True, bold=True, children=children)


def _line(key: str, words: str, *, bold: bool = False) -> FigureRow:
    return FigureRow(key, (words,), wide=True, bold=bold)
