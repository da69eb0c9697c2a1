"""The table of the recipe: stages and ingredient lines, each with a slider and an exact amount.

A press on a slider starts a preview and its release makes one undo step; so does holding an arrow key.
"""

from typing import NamedTuple

from PySide6.QtCore import QEvent, QModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetrics, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from workbench.base.text import _
from workbench.composition.amounts import ParsedAmount, parse_amount
from workbench.document import edits
from workbench.document.project import Line
from workbench.ui.messages import Messages
from workbench.ui.models.recipe_model import (
    AMOUNT,
    CARBOHYDRATE,
    FAT,
    LOCK,
    NAME,
    REMOVE,
    SHARE,
    SLIDER,
    AnyIndex,
    LineRow,
    RecipeModel,
    StageRow,
)
from workbench.ui.session import Session
from workbench.ui.tables.amount_editor import AmountDelegate
from workbench.ui.tables.plain_header import PlainHeader
from workbench.ui.tables.recipe_delegate import SLIDER_WIDTH, amount_at, knob_x, on_knob, selection_colour
from workbench.ui.theme import colours, number_font, row_height

_KEY_STEPS = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_PageDown: -10,
    Qt.Key.Key_PageUp: 10,
    Qt.Key.Key_Home: -(10**9),
}
_STARTS_AMOUNT = frozenset("0123456789.,¼½¾⅓⅔⅛")


class _Drag(NamedTuple):
    """A slider in the hand: whose it is, and how far from the knob's middle it was taken."""

    line_id: str
    offset: float


class RecipeTable(QTableView):
    """The table with its sliders."""

    stageActivated = Signal(str)

    def __init__(self, session: Session, model: RecipeModel, messages: Messages, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._recipe = model
        self._messages = messages
        self._drag: _Drag | None = None
        self._key_line: str | None = None  # the line whose amount a held key is changing
        self._widths: dict[int, int] = {}
        self._project_id = session.project.id
        self._kept: tuple[str, int, int] = ("", 0, SLIDER)  # current item, row and column over a reset
        self.setModel(model)
        self.setFont(number_font(self.font()))
        self._delegate = AmountDelegate(model, self, self._read_amount, messages.ask_reading)
        self._delegate.leftBy.connect(self._edit_neighbour)
        self.setItemDelegate(self._delegate)
        self._dress()
        model.modelAboutToBeReset.connect(self._before_reset)
        model.modelReset.connect(self._after_reset)
        session.variantSwitched.connect(self._let_go)
        self.clicked.connect(self._clicked)
        self.activated.connect(self._activated)
        self._after_reset()

    def _dress(self) -> None:
        self.setShowGrid(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)  # Tab leaves the table; arrows move in it
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(triggers.DoubleClicked | triggers.AnyKeyPressed)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.setAccessibleName(_("recipe"))
        self.verticalHeader().hide()
        self.setHorizontalHeader(PlainHeader(self))
        self._restyle()

    def _restyle(self) -> None:
        """Take over another theme: a pale ground for chosen rows, which Qt paints under the cells."""
        look, palette = colours(self), self.palette()
        if palette.color(palette.ColorRole.Highlight) != selection_colour(look):
            palette.setColor(palette.ColorRole.Highlight, selection_colour(look))
            palette.setColor(palette.ColorRole.HighlightedText, look.ink)
            self.setPalette(palette)
        self._delegate.restyle()
        self._measure()

    def _measure(self) -> None:
        """Row height and column widths from the font, so that nothing is cut off at any size."""
        metrics = QFontMetrics(self.font())
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setMinimumSectionSize(1)
        self.verticalHeader().setDefaultSectionSize(row_height(metrics))
        figures = {AMOUNT: 14, SHARE: 7, CARBOHYDRATE: 7, FAT: 7, LOCK: 4, REMOVE: 4}
        for column, count in figures.items():
            title = metrics.horizontalAdvance(str(self._recipe.headerData(column, Qt.Orientation.Horizontal)))
            self._widths[column] = max(metrics.horizontalAdvance("0") * count, title + 14)
            self.setColumnWidth(column, self._widths[column])
        self._share_width()

    def minimum_width(self) -> int:
        """What the table needs to keep its sliders usable. [px]"""
        return sum(map(self.columnWidth, (AMOUNT, LOCK, REMOVE))) + SLIDER_WIDTH + self._least_name()

    def _least_name(self) -> int:
        return self.fontMetrics().averageCharWidth() * 14

    def _share_width(self) -> None:
        """Name and slider share what the other columns leave; figures give way before the slider does."""
        free = self.viewport().width() - sum(map(self.columnWidth, (AMOUNT, LOCK, REMOVE)))
        for column in (CARBOHYDRATE, SHARE, FAT):  # as wanted, so the last is the first to go
            width = self._widths[column]
            room = free - width >= SLIDER_WIDTH + self._least_name()
            self.setColumnHidden(column, not room)
            free -= width if room else 0
        slider = max(SLIDER_WIDTH, round(0.45 * free))
        self.setColumnWidth(SLIDER, slider)
        self.setColumnWidth(NAME, max(free - slider, 40))

    # --- what is current ------------------------------------------------------------------------------------------

    def current_line(self) -> Line | None:
        """The line with the keyboard's attention."""
        row = self._recipe.line_row(self.currentIndex())
        return row.line if row else None

    def current_stage_id(self) -> str:
        """The stage the current row belongs to; the first one if none is current."""
        row = self._recipe.row(self.currentIndex())
        if isinstance(row, StageRow):
            return row.id
        return row.line.stage_id if row else self._session.variant.stages[0].id

    def chosen_line_ids(self) -> list[str]:
        """Ids of the selected lines."""
        rows = (self._recipe.line_row(index) for index in self.selectionModel().selectedRows(NAME))
        return [row.id for row in rows if row is not None]

    def choose(self, item_id: str, column: int = SLIDER) -> None:
        """Make a line or stage the current one."""
        at = self._recipe.row_of(item_id)
        if at >= 0:
            self.setCurrentIndex(self._recipe.index(at, column))

    def _before_reset(self) -> None:
        row, index = self._recipe.row(self.currentIndex()), self.currentIndex()
        same = self._project_id == self._session.project.id
        self._project_id = self._session.project.id
        self._kept = (row.id, index.row(), index.column()) if row and same else ("", 0, SLIDER)

    def _after_reset(self) -> None:
        self.clearSpans()
        rows = self._recipe.rows
        for k, row in enumerate(rows):
            if isinstance(row, StageRow):
                self.setSpan(k, NAME, 1, self._recipe.columnCount())
        item_id, was_at, column = self._kept
        at = self._recipe.row_of(item_id)
        if at < 0:  # it was removed: the one in its place; at the start: the first ingredient
            at = min(was_at, len(rows) - 1) if item_id else min(1, len(rows) - 1)
        self.setCurrentIndex(self._recipe.index(at, column))

    # --- the mouse --------------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        row = self._recipe.line_row(index)
        if row is None or index.column() != SLIDER or event.button() != Qt.MouseButton.LeftButton:
            super().mousePressEvent(event)
            return
        self._end_keys()
        self._session.commit()  # whatever else was being tried out
        self.setCurrentIndex(index)
        if row.line.lock:
            self._messages.notice(_("{food} is locked; press L to free it", food=row.name))
            return
        rect, x = self.visualRect(index), event.position().x()
        held = on_knob(rect, row, x)
        self._drag = _Drag(row.id, x - knob_x(rect, row) if held else 0.0)
        if not held:
            self._drag_to(x)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._drag is None:
            super().mouseMoveEvent(event)
        else:
            self._drag_to(event.position().x())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._drag is None:
            super().mouseReleaseEvent(event)
        elif event.button() == Qt.MouseButton.LeftButton:
            self._drag = None
            self._session.commit()

    def _drag_to(self, x: float) -> None:
        if self._drag is None:
            return
        index = self._recipe.index(self._recipe.row_of(self._drag.line_id), SLIDER)
        row = self._recipe.line_row(index)
        if row is not None:
            self._preview(row, amount_at(self.visualRect(index), row, x - self._drag.offset))

    def _preview(self, row: LineRow, amount_g: float) -> None:
        session = self._session
        if amount_g != session_amount(session, row.id):
            session.preview(edits.set_amount(session.base, session.variant_id, row.id, amount_g))

    def _let_go(self) -> None:
        self._drag = None
        self._key_line = None

    def _clicked(self, index: QModelIndex) -> None:
        row = self._recipe.line_row(index)
        if row is None:
            return
        if index.column() == LOCK:
            self._set_lock([row.id], not row.line.lock)
        elif index.column() == REMOVE:
            self.remove([row.id])

    # --- the keyboard -----------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index = self.currentIndex()
        row = self._recipe.line_row(index)
        key = Qt.Key(event.key())
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if key == Qt.Key.Key_Escape and self._session.previewing:
            self._let_go()
            self._session.cancel_preview()
        elif row is not None and index.column() == SLIDER and key in _KEY_STEPS and plain:
            self._step(row, _KEY_STEPS[key])
        elif row is not None and plain and event.text() and event.text() in _STARTS_AMOUNT:
            self._start_typing(index, event)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
            self._activated(index)
        elif key == Qt.Key.Key_Space and plain and row is not None and index.column() in (LOCK, REMOVE):
            self._clicked(index)
        elif event.text().isprintable() and event.text():
            event.ignore()  # a letter neither starts an amount nor looks for a row
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if Qt.Key(event.key()) in _KEY_STEPS and not event.isAutoRepeat():
            self._end_keys()
        super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self._end_keys()
        super().focusOutEvent(event)

    def _step(self, row: LineRow, steps: int) -> None:
        if row.line.lock:
            self._messages.notice(_("{food} is locked; press L to free it", food=row.name))
            return
        if self._drag is not None:
            return
        if self._key_line != row.id:
            self._end_keys()
            self._session.commit()
            self._key_line = row.id
        self._preview(row, row.scale.moved(session_amount(self._session, row.id), steps))

    def _end_keys(self) -> None:
        if self._key_line is not None:
            self._key_line = None
            self._session.commit()

    def _start_typing(self, index: AnyIndex, event: QKeyEvent) -> None:
        amount = self._recipe.index(index.row(), AMOUNT)
        self._end_keys()
        self.setCurrentIndex(amount)
        self.edit(amount, QAbstractItemView.EditTrigger.AnyKeyPressed, event)

    def _activated(self, index: QModelIndex) -> None:
        row = self._recipe.row(index)
        if isinstance(row, StageRow):
            self.stageActivated.emit(row.id)
        elif row is not None and self.state() != QAbstractItemView.State.EditingState:
            amount = self._recipe.index(index.row(), AMOUNT)
            self.setCurrentIndex(amount)
            self.edit(amount)

    def _edit_neighbour(self, rows: int) -> None:
        at = self.currentIndex().row() + rows
        while 0 <= at < len(self._recipe.rows):
            if isinstance(self._recipe.rows[at], LineRow):
                self.setCurrentIndex(self._recipe.index(at, AMOUNT))
                self.edit(self.currentIndex())
                return
            at += rows
        self.setFocus()

    def _read_amount(self, index: AnyIndex, text: str) -> ParsedAmount:
        row = self._recipe.line_row(index)
        return parse_amount(text, row.food if row else None, self._session.project.measures)

    # --- edits of lines ---------------------------------------------------------------------------------------------

    def remove(self, line_ids: list[str]) -> None:
        """Take lines out."""
        if line_ids:
            self._session.apply(edits.remove_lines(self._session.project, self._session.variant_id, line_ids))

    def _set_lock(self, line_ids: list[str], lock: bool) -> None:
        self._session.apply(edits.set_lock(self._session.project, self._session.variant_id, line_ids, lock))

    def toggle_lock(self) -> None:
        """Lock the chosen lines, or free them if the current one is locked."""
        line = self.current_line()
        if line is not None:
            self._set_lock(self.chosen_line_ids() or [line.id], not line.lock)

    # --- Qt's events ------------------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._share_width()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        restyles = event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.StyleChange)
        if restyles and hasattr(self, "_delegate"):  # the first change comes while the table is being built
            self._restyle()


def session_amount(session: Session, line_id: str) -> float:
    """The amount of a line on screen, with the preview. [g]"""
    return next((line.amount_g for line in session.variant.lines if line.id == line_id), 0.0)
