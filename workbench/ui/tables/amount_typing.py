"""Typing amounts in the recipe: how the field is opened, what is read, and where the keyboard goes after it."""

from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QTableView

from workbench.composition.amounts import ParsedAmount, parse_amount
from workbench.ui.models.recipe_model import AnyIndex, RecipeModel
from workbench.ui.models.recipe_rows import AMOUNT, LineRow
from workbench.ui.session import Session
from workbench.ui.tables.chosen_rows import ChosenRows
from workbench.ui.tables.slider_hand import SliderHand


class AmountTyping:
    """Opens the field of an amount; a table calls it for its keys."""

    def __init__(
        self, view: QTableView, model: RecipeModel, session: Session, hand: SliderHand, chosen: ChosenRows
    ) -> None:
        self._view, self._model, self._session = view, model, session
        self._hand, self._chosen = hand, chosen

    def start(self) -> None:
        """Open the current line's amount."""
        self._view.setFocus()
        self._chosen.go_to(self._view.currentIndex().row(), AMOUNT)
        self._view.edit(self._view.currentIndex())

    def start_with(self, index: AnyIndex, event: QKeyEvent) -> None:
        """Open the amount of a row with what was typed already."""
        amount = self._model.index(index.row(), AMOUNT)
        self._hand.end_keys()
        self._view.setCurrentIndex(amount)
        self._view.edit(amount, QAbstractItemView.EditTrigger.AnyKeyPressed, event)

    def go_on(self, rows: int) -> None:
        """Open the next amount down or up; behind the last one the table has the keyboard."""
        at = self._view.currentIndex().row() + rows
        while 0 <= at < len(self._model.rows):
            if isinstance(self._model.rows[at], LineRow):
                self._chosen.go_to(at, AMOUNT)
                self._view.edit(self._view.currentIndex())
                return
            at += rows
        self._view.setFocus()

    def read(self, index: AnyIndex, text: str) -> ParsedAmount:
        """What was typed, in grams of this line's food."""
        row = self._model.line_row(index)
        return parse_amount(text, row.food if row else None, self._session.project.measures)
