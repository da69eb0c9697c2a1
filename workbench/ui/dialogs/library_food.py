"""One food of the library: where it is from, its earlier states, tags, a note, its figures."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from workbench.base.text import _
from workbench.composition.library.store import Library
from workbench.recipe.following import compute_anew
from workbench.ui.dialogs.library_desk import Desk
from workbench.ui.dialogs.library_figures import FoodFigures
from workbench.ui.dialogs.library_reading import Detail, detail_text
from workbench.ui.library_recipes import RECIPE_FILES, today


class FoodPage(QWidget):
    """What is known of the chosen food, and what can be changed of it."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._detail: Detail | None = None
        self.about = QLabel(self)
        self.about.setTextFormat(Qt.TextFormat.PlainText)
        self.about.setWordWrap(True)
        self.active_button = QPushButton(self)
        self.delete_button = QPushButton(_("delete"), self)
        self.anew_button = QPushButton(_("compute it anew"), self)
        self.label_button = QPushButton(_("change its label …"), self)
        self._buttons = (self.active_button, self.delete_button, self.anew_button, self.label_button)
        self.tags, self.note = QLineEdit(self), QLineEdit(self)
        self.tags.setPlaceholderText(_("words of your own, with commas between them"))
        said = QFormLayout()
        said.setContentsMargins(0, 0, 0, 0)
        for title, line in ((_("tags"), self.tags), (_("note"), self.note)):
            said.addRow(title, line)
            line.setAccessibleName(title)
        self._said = QWidget(self)
        self._said.setLayout(said)
        self.figures = FoodFigures(self)
        row = QHBoxLayout()
        for button in self._buttons:
            button.setAutoDefault(False)
            row.addWidget(button)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.addWidget(self.about)
        column.addLayout(row)
        column.addSpacing(8)
        column.addWidget(self._said)
        column.addSpacing(8)
        column.addWidget(self.figures, 1)
        self.active_button.clicked.connect(self.switch_active)
        self.delete_button.clicked.connect(self.delete)
        self.anew_button.clicked.connect(self.compute_anew)
        self.label_button.clicked.connect(self.change_label)
        self.tags.editingFinished.connect(self._keep_tags)
        self.note.editingFinished.connect(self._keep_note)
        self.show_detail(None)

    def show_detail(self, shown: Detail | None) -> None:
        """Show another food, or that none is chosen."""
        before, self._detail = self._detail, shown
        for widget in (*self._buttons, self._said, self.figures):
            widget.setVisible(shown is not None)
        if shown is None:
            self.about.setText(_("Choose a food to see where it is from, its figures and its earlier states."))
            return
        entry = shown.entry
        self.about.setText(detail_text(shown))
        self.active_button.setText(_("deactivate") if entry.active else _("reactivate"))
        self.delete_button.setVisible(not entry.table and not shown.composites)
        self.anew_button.setVisible(bool(shown.changed))
        from_label = any(value.kind == "label" for value in entry.food.values.values())
        self.label_button.setVisible(from_label and not entry.table and entry.made_from is None)
        same = before is not None and before.entry.food.id == entry.food.id
        for line, text in ((self.tags, ", ".join(entry.tags)), (self.note, entry.note)):
            if not (same and line.hasFocus() and line.isModified()):  # what is just being typed stays
                line.setText(text)
        if before is None or before.entry.food != entry.food:
            self.figures.show_food(entry.food)

    def switch_active(self) -> None:
        """Hide the food from the search, or show it again."""
        if self._detail is not None:
            entry = self._detail.entry
            change = Library.deactivate if entry.active else Library.reactivate
            said = (
                _("“{name}” is found no more; it is listed under “deactivated”.", name=entry.food.name)
                if entry.active
                else _("“{name}” is found again.", name=entry.food.name)
            )
            self._desk.change(
                lambda library, _progress: change(library, entry.food.id), lambda _none: self._desk.tell(said)
            )

    def delete(self) -> None:
        """Delete a food of one's own; the library's undo brings it back."""
        if self._detail is not None:
            food_id = self._detail.entry.food.id
            self._desk.change(lambda library, _progress: library.delete(food_id))

    def compute_anew(self) -> None:
        """Bring a composite ingredient up to its ingredients of today."""
        if self._detail is not None:
            food_id, name = self._detail.entry.food.id, self._detail.entry.food.name
            self._desk.change(
                lambda library, _progress: compute_anew(food_id, library, today(), RECIPE_FILES),
                lambda _none: self._desk.tell(_("✓ “{name}” is computed with the ingredients of today", name=name)),
            )

    def change_label(self) -> None:
        """Ask for the label of the food again."""
        from workbench.ui.dialogs.label_dialog import ask_label

        if self._detail is None:
            return
        before = self._detail.entry.food
        food = ask_label(self, before)
        if food is not None and food != before:
            self._desk.change(
                lambda library, _progress: library.put(food),
                lambda _none: self._desk.tell(_("✓ “{name}” is changed", name=food.name)),
            )

    def _keep_tags(self) -> None:
        tags = tuple(dict.fromkeys(tag.strip() for tag in self.tags.text().split(",") if tag.strip()))
        if self._detail is not None and tags != self._detail.entry.tags:
            food_id = self._detail.entry.food.id
            self._desk.change(lambda library, _progress: library.set_tags(food_id, tags))

    def _keep_note(self) -> None:
        note = self.note.text().strip()
        if self._detail is not None and note != self._detail.entry.note:
            food_id = self._detail.entry.food.id
            self._desk.change(lambda library, _progress: library.set_note(food_id, note))
