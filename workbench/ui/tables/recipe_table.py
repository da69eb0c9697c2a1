"""The table of the recipe: stages and ingredient lines, each with a slider, an exact amount and chosen figures.

Name, slider, amount and lock are always in sight; figures that have no room beside them are scrolled through.
"""

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFontMetrics,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QToolButton, QWidget

from workbench.base.text import _
from workbench.composition.amounts import ParsedAmount, parse_amount
from workbench.document import edits
from workbench.document.project import Line
from workbench.ui.guard import guarded
from workbench.ui.messages import Messages
from workbench.ui.models.recipe_model import AnyIndex, RecipeModel
from workbench.ui.models.recipe_rows import AMOUNT, FIGURES, LOCK, NAME, SLIDER, LineRow, StageRow
from workbench.ui.plots.keys import asks_why, claims_why
from workbench.ui.session import Session
from workbench.ui.tables.amount_editor import AmountDelegate
from workbench.ui.tables.column_widths import FigureWindow, RecipeWidths
from workbench.ui.tables.plain_header import PlainHeader
from workbench.ui.tables.recipe_delegate import selection_colour
from workbench.ui.tables.row_drag import RowDrag
from workbench.ui.tables.slider_hand import SliderHand
from workbench.ui.theme import colours, number_font, row_height

_KEY_STEPS = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_PageDown: -10,
    Qt.Key.Key_PageUp: 10,
    Qt.Key.Key_Home: -(10**9),
}
_ACROSS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_STARTS_AMOUNT = frozenset("0123456789.,¼½¾⅓⅔⅛")
_CONTROL, _ALT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.AltModifier
_SELECT = QItemSelectionModel.SelectionFlag.Select | QItemSelectionModel.SelectionFlag.Rows
_CHOOSE = _SELECT | QItemSelectionModel.SelectionFlag.Clear


@guarded
class RecipeTable(QTableView):
    """The table with its sliders."""

    stageActivated = Signal(str)
    figureActivated = Signal(str, str)  # a contribution: key of the quantity, and the basis
    _polished = False  # until then every change of style would be taken over several times
    figuresMoved = Signal(object)  # a FigureWindow
    columnsRequested = Signal()
    headerMenuRequested = Signal(int, QPoint)  # column of the table, place on screen

    def __init__(self, session: Session, model: RecipeModel, messages: Messages, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._recipe = model
        self.hand = SliderHand(self, model, session, messages.notice)
        self._rows: RowDrag | None = None
        self._dropped = False  # what the mouse held was let go before its button
        self._pressed_in_choice = False  # a press on one of several chosen rows, which a release makes the only one
        self._widths = RecipeWidths(self, model)
        self._project_id = session.project.id
        self._kept: tuple[str, int, int] = ("", 0, SLIDER)  # current item, row and column over a reset
        self._kept_choice: list[str] = []
        self.setModel(model)
        self.setFont(number_font(self.font()))
        self._delegate = AmountDelegate(model, self, self._read_amount, messages.ask_reading)
        self._delegate.leftBy.connect(self._edit_neighbour)
        self.setItemDelegate(self._delegate)
        self._dress()
        model.modelAboutToBeReset.connect(self._before_reset)
        model.modelReset.connect(self._after_reset)
        session.variantSwitched.connect(self._let_go)
        session.documentChanged.connect(self._let_go_of_a_drag)
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
        header = PlainHeader(self)
        header.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        header.customContextMenuRequested.connect(
            lambda at: self.headerMenuRequested.emit(header.logicalIndexAt(at), header.mapToGlobal(at))
        )
        self.setHorizontalHeader(header)
        self._more = QToolButton(header)
        self._more.setText("+")
        self._more.setAutoRaise(True)
        self._more.setToolTip(_("columns …"))
        self._more.setAccessibleName(_("choose columns"))
        self._more.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._more.clicked.connect(self.columnsRequested)
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

    # --- figures ----------------------------------------------------------------------------------------------------

    @property
    def figures(self) -> FigureWindow:
        """Which of the chosen columns are in sight."""
        return self._widths.figures

    def minimum_width(self) -> int:
        """What the table needs to keep its sliders usable. [px]"""
        return self._widths.minimum()

    def show_figures_from(self, first: int) -> None:
        """Scroll the figures, by whole columns."""
        if first != self.figures.first:
            self._share_width(first)

    def _measure(self) -> None:
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setMinimumSectionSize(1)
        self.verticalHeader().setDefaultSectionSize(row_height(QFontMetrics(self.font())))
        self._widths.measure()
        self._share_width(self.figures.first)

    def _share_width(self, first: int) -> None:
        before = self.figures
        self._widths.share(first)
        header, remove = self.horizontalHeader(), self._recipe.remove_column
        self._more.setGeometry(header.sectionViewportPosition(remove), 0, header.sectionSize(remove), header.height())
        if self.figures != before:
            self.figuresMoved.emit(self.figures)

    def _go_across(self, by: int) -> bool:
        """Go to a figure that is out of sight; False where the neighbour is in sight."""
        section = self.currentIndex().column() + by
        figures = range(FIGURES, self._recipe.remove_column)
        if section not in figures or not self.isColumnHidden(section) or not self.figures.shown:
            return False
        k, (first, shown, _count) = section - FIGURES, self.figures
        self.show_figures_from(k if by < 0 else max(first + 1, k - shown + 1))
        while self.isColumnHidden(section) and self.figures.first < k:
            self.show_figures_from(self.figures.first + 1)
        self._go_to(self.currentIndex().row(), section)
        return True

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
        """Ids of the selected lines, from the top."""
        indexes = sorted(self.selectionModel().selectedRows(NAME), key=QModelIndex.row)
        return [row.id for index in indexes if (row := self._recipe.line_row(index)) is not None]

    def choose(self, item_id: str, column: int = SLIDER) -> None:
        """Make a line or stage the current one."""
        at = self._recipe.row_of(item_id)
        if at >= 0:
            self._go_to(at, column)

    def _go_to(self, row: int, column: int) -> None:
        """Make a cell current and its row the only one chosen, whatever keys are down: a shortcut may be under way."""
        self.selectionModel().setCurrentIndex(self._recipe.index(row, column), _CHOOSE)

    def choose_all(self, line_ids: list[str]) -> None:
        """Select these lines; the first of them is current."""
        rows = sorted(at for at in map(self._recipe.row_of, line_ids) if at >= 0)
        if rows:
            self._go_to(rows[0], SLIDER)
        for at in rows:
            self.selectionModel().select(self._recipe.index(at, NAME), _SELECT)

    def _before_reset(self) -> None:
        row, index = self._recipe.row(self.currentIndex()), self.currentIndex()
        same = self._project_id == self._session.project.id
        self._project_id = self._session.project.id
        self._kept = (row.id, index.row(), index.column()) if row and same else ("", 0, SLIDER)
        self._kept_choice = self.chosen_line_ids() if same else []

    def _after_reset(self) -> None:
        self.clearSpans()
        self._measure()
        rows = self._recipe.rows
        for k, row in enumerate(rows):
            if isinstance(row, StageRow):
                self.setSpan(k, NAME, 1, self._recipe.columnCount())
        item_id, was_at, column = self._kept
        at = self._recipe.row_of(item_id)
        if at < 0:  # it was removed: the one in its place; at the start: the first ingredient
            at = min(was_at, len(rows) - 1) if item_id else min(1, len(rows) - 1)
        self._go_to(at, min(column, self._recipe.remove_column))
        for line_id in self._kept_choice if len(self._kept_choice) > 1 else ():
            self.selectionModel().select(self._recipe.index(self._recipe.row_of(line_id), NAME), _SELECT)

    # --- the mouse --------------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self.hand.dragging or self._rows is not None:
            return  # another button, while the hand is full
        self._dropped = False
        index = self.indexAt(event.position().toPoint())
        row = self._recipe.line_row(index)
        if row is None or event.button() != Qt.MouseButton.LeftButton or index.column() not in (SLIDER, NAME):
            super().mousePressEvent(event)
            return
        self.hand.end_keys()
        self._session.commit()  # whatever else was being tried out
        if index.column() == SLIDER:
            self.setCurrentIndex(index)
            self.hand.press(index, row, event.position().x())
            return
        chosen = self.chosen_line_ids()
        plain = event.modifiers() == Qt.KeyboardModifier.NoModifier
        self._pressed_in_choice = plain and row.id in chosen and len(chosen) > 1
        if not self._pressed_in_choice:
            super().mousePressEvent(event)
        if plain:
            taken = chosen if self._pressed_in_choice else [row.id]
            self._rows = RowDrag(self, self._recipe, taken, event.position().toPoint())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self.hand.dragging:
            self.hand.move(event.position().x())
        elif self._rows is not None:
            self._rows.move(event.position().toPoint())
        elif not self._dropped:
            super().mouseMoveEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        dropped, self._dropped = self._dropped, False
        if dropped:
            return
        if event.button() != Qt.MouseButton.LeftButton:
            super().mouseReleaseEvent(event)
        elif self.hand.dragging:
            self.hand.release()
        elif self._rows is not None:
            rows, self._rows = self._rows, None
            rows.end()
            if rows.under_way:
                self._land(rows)
            elif self._pressed_in_choice:
                self.setCurrentIndex(self.indexAt(event.position().toPoint()))
            else:
                super().mouseReleaseEvent(event)
        else:
            super().mouseReleaseEvent(event)

    def _land(self, rows: RowDrag) -> None:
        session, landing = self._session, rows.landing
        if landing is not None:
            edit = edits.move_lines(
                session.project, session.variant_id, rows.line_ids, landing.stage_id, landing.position
            )
            if edit.project != session.project:
                session.apply(edit)
                self.choose_all(rows.line_ids)

    def _let_go_of_a_drag(self) -> None:
        if not self._session.previewing:
            self._let_go()

    def _let_go(self) -> None:
        self._dropped = self.hand.dragging or self._rows is not None
        self.hand.let_go()
        if self._rows is not None:
            rows, self._rows = self._rows, None
            rows.end()

    def _clicked(self, index: QModelIndex) -> None:
        row = self._recipe.line_row(index)
        if row is None:
            return
        session = self._session
        if index.column() == LOCK:
            session.apply(edits.set_lock(session.project, session.variant_id, [row.id], not row.line.lock))
        elif index.column() == self._recipe.remove_column:
            session.apply(edits.remove_lines(session.project, session.variant_id, [row.id]))

    def wheelEvent(self, event: QWheelEvent) -> None:
        turn = event.angleDelta()
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            turn = QPoint(turn.x() or turn.y(), 0)
        if abs(turn.x()) > abs(turn.y()) and self.figures.hidden:
            step = -1 if turn.x() > 0 else 1
            self.show_figures_from(min(max(self.figures.first + step, 0), self.figures.hidden))
        else:
            super().wheelEvent(event)

    # --- the keyboard -----------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index = self.currentIndex()
        row = self._recipe.line_row(index)
        key = Qt.Key(event.key())
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if key == Qt.Key.Key_Escape and (self._session.previewing or self._rows is not None):
            self._let_go()
            self._session.cancel_preview()
        elif row is not None and index.column() == SLIDER and key in _KEY_STEPS and plain:
            self.hand.step(row, _KEY_STEPS[key])
        elif row is not None and plain and key in _ACROSS and self._go_across(_ACROSS[key]):
            return
        elif row is not None and plain and event.text() and event.text() in _STARTS_AMOUNT:
            self._start_typing(index, event)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
            self._activated(index)
        elif key == Qt.Key.Key_Space and plain and row is not None:
            self._clicked(index)
        elif asks_why(event):
            self._activated(index)
        elif event.matches(QKeySequence.StandardKey.Copy) or event.modifiers() & _ALT:
            event.ignore()  # actions; where they are not possible now, Qt would copy one cell or leave the choice
        elif event.text().isprintable() and event.text() and not event.modifiers() & _CONTROL:
            event.ignore()  # a letter neither starts an amount nor looks for a row
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if Qt.Key(event.key()) in _KEY_STEPS and not event.isAutoRepeat():
            self.hand.end_keys()
        super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.hand.end_keys()
        super().focusOutEvent(event)

    def type_amount(self) -> None:
        """Open the current line's amount for typing."""
        self.setFocus()
        self._go_to(self.currentIndex().row(), AMOUNT)
        self.edit(self.currentIndex())

    def _start_typing(self, index: AnyIndex, event: QKeyEvent) -> None:
        amount = self._recipe.index(index.row(), AMOUNT)
        self.hand.end_keys()
        self.setCurrentIndex(amount)
        self.edit(amount, QAbstractItemView.EditTrigger.AnyKeyPressed, event)

    def _activated(self, index: QModelIndex) -> None:
        row, column = self._recipe.row(index), self._recipe.column_at(index.column())
        if isinstance(row, StageRow):
            self.stageActivated.emit(row.id)
        elif column is not None and column.kind == "brings":
            self.figureActivated.emit(column.key, self._recipe.basis)
        elif row is not None and self.state() != QAbstractItemView.State.EditingState:
            self.type_amount()

    def _edit_neighbour(self, rows: int) -> None:
        at = self.currentIndex().row() + rows
        while 0 <= at < len(self._recipe.rows):
            if isinstance(self._recipe.rows[at], LineRow):
                self._go_to(at, AMOUNT)
                self.edit(self.currentIndex())
                return
            at += rows
        self.setFocus()

    def _read_amount(self, index: AnyIndex, text: str) -> ParsedAmount:
        row = self._recipe.line_row(index)
        return parse_amount(text, row.food if row else None, self._session.project.measures)

    # --- Qt's events ------------------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Polish:
            done = super().event(event)
            self._polished = True
            self._restyle()
            return done
        if event.type() == QEvent.Type.ShortcutOverride:
            column = self._recipe.column_at(self.currentIndex().column())
            if column is not None and column.kind == "brings" and claims_why(event):
                return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self._rows is not None:
            self._rows.paint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._share_width(self.figures.first)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        restyles = event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.StyleChange)
        if restyles and self._polished:
            self._restyle()
