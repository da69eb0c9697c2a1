"""From the pantry: what is at hand, a form and targets give recipes to start a trial from."""

from functools import partial

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from workbench.base.progress import Cancelled, Progress
from workbench.base.text import _
from workbench.composition.food import Food
from workbench.composition.kitchen_foods import kitchen_foods
from workbench.composition.piece_forms import PieceForm, piece_forms
from workbench.document.project import Project, TargetSet
from workbench.recipe.words import CAUTIONS
from workbench.solve.pantry import Suggestion, Suggestions, suggest
from workbench.solve.starting_sets import sets_on_offer
from workbench.ui.background import Background, Outcome
from workbench.ui.dialogs.pantry_shelf import PantryShelf
from workbench.ui.dialogs.room import resize_within
from workbench.ui.guard import guarded
from workbench.ui.session import Session
from workbench.ui.substituting import recipe_row
from workbench.ui.tables.figure_tree import FigureTree

_WAIT_S = 2.0


@guarded
class PantryDialog(QDialog):
    """Left what is at hand, right the recipes; one of them can be taken as a new variant.

    Parameters
    ----------
    session : Session
        Whose project the recipe goes to.
    at_hand : frozenset of str
        Ids that are ticked at first.
    """

    def __init__(self, session: Session, at_hand: frozenset[str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("recipes from the pantry"))
        self._session = session
        self._project = session.project
        kitchen = kitchen_foods()
        self._foods = {**kitchen.foods, **session.project.foods}
        self._found = Suggestions(())
        self.background = Background(self)
        self.shelf = PantryShelf(self._foods.values(), at_hand, self)
        self.form, self.targets = QComboBox(self), QComboBox(self)
        for key, form in piece_forms().items():
            self.form.addItem(_(form.title), key)
        self.targets.addItem(_("no targets"), None)
        own = session.variant.target_set_id
        for one in sets_on_offer(session.project):
            self.targets.addItem(one.name, one)
            if one.id == own:
                self.targets.setCurrentIndex(self.targets.count() - 1)
        self.find_button = QPushButton(_("find recipes"), self)
        self.bar = QProgressBar(self)
        self.bar.setAccessibleName(_("progress"))
        self.stop_button = QPushButton(_("stop"), self)
        self.message, self.caution = QLabel(self), QLabel(_(CAUTIONS[1]), self)
        for label in (self.message, self.caution):
            label.setTextFormat(Qt.TextFormat.PlainText)  # names are never markup
            label.setWordWrap(True)
        self.tree = FigureTree(_("recipes found"), (_("recipes"), ""), self)
        self.take_button = QPushButton(_("make it a new variant"), self)
        self.close_button = QPushButton(_("close"), self)
        for button in (self.stop_button, self.take_button, self.close_button):
            button.setAutoDefault(False)
        self.find_button.setDefault(True)
        self._lay_out(parent)
        self._connect()
        self._busy(False)
        hint = _("Tick what is at hand, choose a form, and let it look; water is always there.")
        self._say("\n".join((hint, *(problem.sentence() for problem in kitchen.problems))))
        self.shelf.search.setFocus()

    def _lay_out(self, parent: QWidget | None) -> None:
        right, whole = QVBoxLayout(), QHBoxLayout(self)
        choices = QFormLayout()
        choices.addRow(_("form"), self.form)
        choices.addRow(_("targets"), self.targets)
        look = QHBoxLayout()
        look.addWidget(self.find_button)
        look.addWidget(self.bar, 1)
        look.addWidget(self.stop_button)
        right.addLayout(choices)
        right.addLayout(look)
        right.addWidget(self.message)
        right.addWidget(self.tree, 1)
        right.addWidget(self.caution)
        below = QHBoxLayout()
        below.addStretch(1)
        below.addWidget(self.take_button)
        below.addWidget(self.close_button)
        right.addLayout(below)
        whole.addWidget(self.shelf, 2)
        whole.addLayout(right, 3)
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(76 * em, 44 * em))

    def _connect(self) -> None:
        self.find_button.clicked.connect(self.look)
        self.stop_button.clicked.connect(self.reject)
        self.close_button.clicked.connect(self.reject)
        self.take_button.clicked.connect(self.take)
        self.tree.currentItemChanged.connect(self._offer)
        self.background.progressed.connect(self._progressed)
        self.background.ended.connect(self._ended)

    @property
    def at_hand(self) -> frozenset[str]:
        """Ids of the ingredients that are ticked."""
        return self.shelf.ticked

    # --- looking ------------------------------------------------------------------------------------------------------

    @Slot()
    def look(self) -> None:
        """Look for recipes, on a thread of its own."""
        have = [self._foods[key] for key in sorted(self.at_hand)]
        work = partial(
            _suggest, self._project, have, piece_forms()[self.form.currentData()], self.targets.currentData()
        )
        self._show(Suggestions(()))
        self._say(_("looking for recipes …"))
        self._busy(True)
        self.background.start(work)
        self.stop_button.setFocus()

    def _busy(self, on: bool) -> None:
        self.bar.setRange(0, 0)
        self.bar.setVisible(on)
        self.stop_button.setVisible(on)
        choices: tuple[QWidget, ...] = (self.find_button, self.form, self.targets, self.shelf)
        for widget in choices:
            widget.setEnabled(not on)
        self._offer()

    @Slot(int)
    def _progressed(self, percent: int) -> None:
        self.bar.setRange(0, 100 if percent >= 0 else 0)
        self.bar.setValue(max(percent, 0))

    @Slot(object)
    def _ended(self, outcome: Outcome) -> None:
        self._busy(False)
        if outcome.error is not None:
            stopped = isinstance(outcome.error, Cancelled)
            self._say(_("stopped") if stopped else "▲ " + " ".join(outcome.error.lines()))
            self.find_button.setFocus()
            return
        found: Suggestions = outcome.value
        self._show(found)
        self._say("\n".join(("▲ " if p.severity == "error" else "") + p.sentence() for p in found.problems))
        (self.tree if found.recipes else self.find_button).setFocus()

    def _say(self, words: str) -> None:
        self.message.setText(words)
        self.message.setVisible(bool(words))

    def _show(self, found: Suggestions) -> None:
        self._found = found
        self.tree.show_rows(tuple(recipe_row(k, recipe) for k, recipe in enumerate(found.recipes)))
        for row in self.tree.rows():
            self.tree.item_of(row.key, "amounts").setExpanded(True)
        self._offer()

    # --- taking one ---------------------------------------------------------------------------------------------------

    def _chosen(self) -> Suggestion | None:
        index = self.tree.currentIndex()
        while index.parent().isValid():
            index = index.parent()
        return self._found.recipes[index.row()] if index.isValid() and self._found.recipes else None

    @Slot()
    def _offer(self) -> None:
        self.take_button.setEnabled(self._chosen() is not None and not self.background.running)

    @Slot()
    def take(self) -> None:
        """Make the chosen recipe a new variant, in one undo step, and close."""
        recipe = self._chosen()
        if recipe is not None:
            self._session.apply(recipe.edit, recipe.variant_id)
            self.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if self.shelf.takes(event) or (enter and self.tree.hasFocus()):
            return  # a row was ticked, or opened or closed
        super().keyPressEvent(event)

    def reject(self) -> None:
        """Stop what is under way; without anything under way, close."""
        if self.background.running:
            self.background.cancel()
            self._say(_("stopping …"))
        else:
            super().reject()

    def done(self, result: int) -> None:
        self.background.wait(_WAIT_S)
        super().done(result)


def _suggest(
    project: Project, have: list[Food], form: PieceForm, targets: TargetSet | None, progress: Progress
) -> Suggestions:
    return suggest(project, have, form, targets, progress)
