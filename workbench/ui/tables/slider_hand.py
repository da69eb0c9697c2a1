"""Changing an amount by hand: a slider dragged by the mouse, or stepped by a held key.  Either is one undo step."""

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtWidgets import QTableView

from workbench.base.text import _
from workbench.document import edits
from workbench.document.edits import Edit
from workbench.ui.models.recipe_model import AnyIndex, RecipeModel
from workbench.ui.models.recipe_rows import SLIDER, LineRow
from workbench.ui.session import Session
from workbench.ui.tables.recipe_delegate import amount_at, knob_x, on_knob


class _Held(NamedTuple):
    """A knob in the hand: whose it is, and how far from its middle it was taken."""

    line_id: str
    offset: float


class SliderHand:
    """What the mouse or a key does to sliders; holds a preview until it lets go."""

    def __init__(self, view: QTableView, model: RecipeModel, session: Session, tell: Callable[[str], object]) -> None:
        self._view = view
        self._model = model
        self._session = session
        self._tell = tell
        self._held: _Held | None = None
        self._key_line: str | None = None  # the line whose amount a held key is changing
        self.edit_for: Callable[[str, float], Edit] = self._alone

    @property
    def dragging(self) -> bool:
        """Whether the mouse holds a knob."""
        return self._held is not None

    def press(self, index: AnyIndex, row: LineRow, x: float) -> None:
        """Take the knob, or bring it to where the press was."""
        if self._refuses(row):
            return
        rect = self._view.visualRect(index)
        on = on_knob(rect, row, x)
        self._held = _Held(row.id, x - knob_x(rect, row) if on else 0.0)
        if not on:
            self.move(x)

    def move(self, x: float) -> None:
        """The mouse is here now."""
        if self._held is None:
            return
        index = self._model.index(self._model.row_of(self._held.line_id), SLIDER)
        row = self._model.line_row(index)
        if row is not None:
            self._preview(row, amount_at(self._view.visualRect(index), row, x - self._held.offset))

    def release(self) -> None:
        """Keep what was reached."""
        self._held = None
        self._session.commit()

    def step(self, row: LineRow, steps: int) -> None:
        """A key goes down, or repeats."""
        if self._held is not None or self._refuses(row):
            return
        if self._key_line != row.id:
            self.end_keys()
            self._session.commit()
            self._key_line = row.id
        self._preview(row, row.scale.moved(self._amount(row.id), steps))

    def end_keys(self) -> None:
        """The key is up."""
        if self._key_line is not None:
            self._key_line = None
            self._session.commit()

    def let_go(self) -> None:
        """Forget what is held; the preview is the session's business."""
        self._held = None
        self._key_line = None

    def _refuses(self, row: LineRow) -> bool:
        if row.line.lock:
            self._tell(_("{food} is locked; press L to free it", food=row.name))
        return row.line.lock

    def _preview(self, row: LineRow, amount_g: float) -> None:
        session = self._session
        if amount_g != self._amount(row.id):
            session.preview(self.edit_for(row.id, amount_g))

    def _alone(self, line_id: str, amount_g: float) -> Edit:
        """A slider moves its own line only, and what goes with it."""
        return edits.set_amount(self._session.base, self._session.variant_id, line_id, amount_g)

    def _amount(self, line_id: str) -> float:
        """The amount of a line on screen, with the preview. [g]"""
        return next((line.amount_g for line in self._session.variant.lines if line.id == line_id), 0.0)
