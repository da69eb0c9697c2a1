"""The table of the recipe: stages and ingredient lines, each with a slider, an exact amount and chosen figures.

Name, slider, amount and lock are always in sight; figures that have no room beside them are scrolled through.
"""

from PySide6.QtCore import QEvent, QModelIndex, QPoint, Qt, Signal
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
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from workbench.base.text import _
from workbench.document import edits
from workbench.document.project import Line
from workbench.ui.guard import guarded
from workbench.ui.messages import Messages
from workbench.ui.models.recipe_model import RecipeModel
from workbench.ui.models.recipe_rows import FIGURES, LOCK, NAME, SLIDER, StageRow
from workbench.ui.plots.keys import asks_why, claims_why
from workbench.ui.session import Session
from workbench.ui.tables.amount_editor import AmountDelegate
from workbench.ui.tables.amount_typing import AmountTyping
from workbench.ui.tables.chosen_rows import ChosenRows
from workbench.ui.tables.column_widths import FigureWindow, RecipeWidths
from workbench.ui.tables.recipe_delegate import selection_colour
from workbench.ui.tables.recipe_header import RecipeHeader
from workbench.ui.tables.recipe_mouse import RecipeMouse
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
        self._session, self._recipe = session, model
        self.hand = SliderHand(self, model, session, messages.notice)
        self.chosen = ChosenRows(self, model, session)
        self._mouse = RecipeMouse(self, model, session, self.hand, self.chosen)
        self._widths = RecipeWidths(self, model)
        self.setModel(model)
        self.setFont(number_font(self.font()))
        self._typing = AmountTyping(self, model, session, self.hand, self.chosen)
        self._delegate = AmountDelegate(model, self, self._typing.read, messages.ask_reading)
        self._delegate.leftBy.connect(self._typing.go_on)
        self.setItemDelegate(self._delegate)
        self._dress()
        model.modelAboutToBeReset.connect(self.chosen.remember)
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
        self._header = RecipeHeader(self)
        self._header.menuRequested.connect(self.headerMenuRequested)
        self._header.columnsRequested.connect(self.columnsRequested)
        self.setHorizontalHeader(self._header)
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
        self._header.place_sign(self._recipe.remove_column)
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
        self.chosen.go_to(self.currentIndex().row(), section)
        return True

    # --- what is current ------------------------------------------------------------------------------------------

    def current_line(self) -> Line | None:
        """The line with the keyboard's attention."""
        return self.chosen.line()

    def current_stage_id(self) -> str:
        """The stage the current row belongs to; the first one if none is current."""
        return self.chosen.stage_id()

    def chosen_line_ids(self) -> list[str]:
        """Ids of the selected lines, from the top."""
        return self.chosen.line_ids()

    def choose(self, item_id: str, column: int = SLIDER) -> None:
        """Make a line or stage the current one."""
        self.chosen.choose(item_id, column)

    def choose_all(self, line_ids: list[str]) -> None:
        """Select these lines; the first of them is current."""
        self.chosen.choose_all(line_ids)

    def _after_reset(self) -> None:
        self.clearSpans()
        self._measure()
        for k, row in enumerate(self._recipe.rows):
            if isinstance(row, StageRow):
                self.setSpan(k, NAME, 1, self._recipe.columnCount())
        self.chosen.restore()

    # --- the mouse --------------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._mouse.press(event, super().mousePressEvent)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._mouse.move(event, super().mouseMoveEvent)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._mouse.release(event, super().mouseReleaseEvent)

    def _let_go(self) -> None:
        self._mouse.let_go()

    def _let_go_of_a_drag(self) -> None:
        if not self._session.previewing:
            self._mouse.let_go()

    def _clicked(self, index: QModelIndex) -> None:
        row, session = self._recipe.line_row(index), self._session
        if row is None:
            return
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
        if key == Qt.Key.Key_Escape and (self._session.previewing or self._mouse.holds_rows):
            self._mouse.let_go()
            self._session.cancel_preview()
        elif row is not None and index.column() == SLIDER and key in _KEY_STEPS and plain:
            self.hand.step(row, _KEY_STEPS[key])
        elif row is not None and plain and key in _ACROSS and self._go_across(_ACROSS[key]):
            return
        elif row is not None and plain and event.text() and event.text() in _STARTS_AMOUNT:
            self._typing.start_with(index, event)
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
        self._typing.start()

    def _activated(self, index: QModelIndex) -> None:
        row, column = self._recipe.row(index), self._recipe.column_at(index.column())
        if isinstance(row, StageRow):
            self.stageActivated.emit(row.id)
        elif column is not None and column.kind == "brings":
            self.figureActivated.emit(column.key, self._recipe.basis)
        elif row is not None and self.state() != QAbstractItemView.State.EditingState:
            self.type_amount()

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
        self._mouse.paint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._share_width(self.figures.first)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        restyles = event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.StyleChange)
        if restyles and self._polished:
            self._restyle()
