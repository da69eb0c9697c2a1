"""What the mouse does in the recipe: it takes the knob of a slider, or rows by their names."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QTableView

from workbench.document import edits
from workbench.ui.models.recipe_model import RecipeModel
from workbench.ui.models.recipe_rows import NAME, SLIDER
from workbench.ui.session import Session
from workbench.ui.tables.chosen_rows import ChosenRows
from workbench.ui.tables.row_drag import RowDrag
from workbench.ui.tables.slider_hand import SliderHand

Treat = Callable[[QMouseEvent], None]
"""How Qt itself treats an event."""


class RecipeMouse:
    """From a press to its release; every method gets what Qt would do, and does that where it has nothing in hand."""

    def __init__(
        self, view: QTableView, model: RecipeModel, session: Session, hand: SliderHand, chosen: ChosenRows
    ) -> None:
        self._view, self._model, self._session = view, model, session
        self._hand, self._chosen = hand, chosen
        self._rows: RowDrag | None = None
        self._dropped = False  # what the mouse held was let go before its button
        self._pressed_in_choice = False  # a press on one of several chosen rows, which a release makes the only one

    @property
    def holds_rows(self) -> bool:
        """Whether rows are in the hand."""
        return self._rows is not None

    def press(self, event: QMouseEvent, treat: Treat) -> None:
        """A button goes down."""
        if self._hand.dragging or self._rows is not None:
            return  # another button, while the hand is full
        self._dropped = False
        index = self._view.indexAt(event.position().toPoint())
        row = self._model.line_row(index)
        if row is None or event.button() != Qt.MouseButton.LeftButton or index.column() not in (SLIDER, NAME):
            treat(event)
            return
        self._hand.end_keys()
        self._session.commit()  # whatever else was being tried out
        if index.column() == SLIDER:
            self._view.setCurrentIndex(index)
            self._hand.press(index, row, event.position().x())
            return
        chosen = self._chosen.line_ids()
        plain = event.modifiers() == Qt.KeyboardModifier.NoModifier
        self._pressed_in_choice = plain and row.id in chosen and len(chosen) > 1
        if not self._pressed_in_choice:
            treat(event)
        if plain:
            taken = chosen if self._pressed_in_choice else [row.id]
            self._rows = RowDrag(self._view, self._model, taken, event.position().toPoint())

    def move(self, event: QMouseEvent, treat: Treat) -> None:
        """The mouse moves."""
        if self._hand.dragging:
            self._hand.move(event.position().x())
        elif self._rows is not None:
            self._rows.move(event.position().toPoint())
        elif not self._dropped:
            treat(event)

    def release(self, event: QMouseEvent, treat: Treat) -> None:
        """A button goes up."""
        dropped, self._dropped = self._dropped, False
        if dropped:
            return
        if event.button() != Qt.MouseButton.LeftButton:
            treat(event)
        elif self._hand.dragging:
            self._hand.release()
        elif self._rows is not None:
            rows, self._rows = self._rows, None
            rows.end()
            if rows.under_way:
                self._land(rows)
            elif self._pressed_in_choice:
                self._view.setCurrentIndex(self._view.indexAt(event.position().toPoint()))
            else:
                treat(event)
        else:
            treat(event)

    def _land(self, rows: RowDrag) -> None:
        session, landing = self._session, rows.landing
        if landing is not None:
            edit = edits.move_lines(
                session.project, session.variant_id, rows.line_ids, landing.stage_id, landing.position
            )
            if edit.project != session.project:
                session.apply(edit)
                self._chosen.choose_all(rows.line_ids)

    def let_go(self) -> None:
        """Forget what is held; the preview is the session's business."""
        self._dropped = self._hand.dragging or self._rows is not None
        self._hand.let_go()
        if self._rows is not None:
            rows, self._rows = self._rows, None
            rows.end()

    def paint(self) -> None:
        """The line where rows would land; called after the view painted itself."""
        if self._rows is not None:
            self._rows.paint()
