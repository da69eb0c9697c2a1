"""Typing an amount into its cell: read with its unit, asked about if it has two readings, kept open if it is wrong."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QAbstractItemModel, QEvent, QModelIndex, QObject, QPersistentModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent, QPalette
from PySide6.QtWidgets import QAbstractItemDelegate, QLabel, QLineEdit, QStyleOptionViewItem, QWidget

from workbench.base.errors import AmountError
from workbench.composition.amounts import AmbiguousAmount, ParsedAmount
from workbench.ui.guard import guarded
from workbench.ui.models.recipe_model import RecipeModel
from workbench.ui.tables.recipe_delegate import RecipeDelegate
from workbench.ui.theme import colours

AnyIndex = QModelIndex | QPersistentModelIndex
ReadAmount = Callable[[AnyIndex, str], ParsedAmount]
AskReading = Callable[[str, Sequence[ParsedAmount]], ParsedAmount | None]

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_LEAVES = {Qt.Key.Key_Tab: 1, Qt.Key.Key_Down: 1, Qt.Key.Key_Backtab: -1, Qt.Key.Key_Up: -1}
_ELSEWHERE = (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason)


@guarded
class AmountEditor(QLineEdit):
    """The field in the cell, with a line under it that says what is wrong."""

    def __init__(self, parent: QWidget, index: AnyIndex) -> None:
        super().__init__(parent)
        self._room = parent
        self.index = QPersistentModelIndex(index)
        self.initial = ""
        self.amount: ParsedAmount | None = None
        self.setFrame(False)
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self._complaint = QLabel(parent)
        self._complaint.setWordWrap(True)
        self._complaint.setAutoFillBackground(True)
        self._complaint.setFrameShape(QLabel.Shape.Box)
        self._complaint.setMargin(6)
        self._complaint.hide()
        self.textEdited.connect(self._complaint.hide)
        self.destroyed.connect(self._complaint.deleteLater)

    @property
    def complaint(self) -> str:
        """What is wrong with the text, where that is on screen."""
        return self._complaint.text() if self._complaint.isVisible() else ""

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._complaint.hide()

    def complain(self, error: AmountError) -> None:
        """Say what is wrong, beside the field."""
        label = self._complaint
        palette = label.palette()
        palette.setColor(QPalette.ColorRole.WindowText, colours(self).missed)
        label.setPalette(palette)
        label.setText("✕ " + " ".join(error.lines()))
        room = self._room.size()
        label.setFixedWidth(min(self.fontMetrics().averageCharWidth() * 46, room.width()))
        label.adjustSize()
        below, above = self.geometry().bottom() + 2, self.geometry().top() - label.height() - 2
        x = max(0, min(self.geometry().right() - label.width(), room.width() - label.width()))
        label.move(QPoint(x, below if below + label.height() <= room.height() else max(above, 0)))
        label.raise_()
        label.show()
        self.setAccessibleDescription(label.text())
        self.setFocus()
        self.selectAll()


@guarded
class AmountDelegate(RecipeDelegate):
    """The recipe's cells, with the amount open to typing."""

    leftBy = Signal(int)  # Tab or an arrow closed the editor: so many rows on

    def __init__(self, model: RecipeModel, view: QWidget, read_amount: ReadAmount, ask_reading: AskReading) -> None:
        super().__init__(model, view)
        self._read_amount = read_amount
        self._ask_reading = ask_reading

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: AnyIndex) -> QWidget:
        return AmountEditor(parent, index)

    def setEditorData(self, editor: QWidget, index: AnyIndex) -> None:
        if isinstance(editor, AmountEditor) and not editor.initial:
            editor.initial = str(index.data(Qt.ItemDataRole.EditRole))
            editor.setText(editor.initial)

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: AnyIndex) -> None:
        if isinstance(editor, AmountEditor) and editor.amount is not None:
            model.setData(index, editor.amount)

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, _index: AnyIndex) -> None:
        rect = option.rect
        wide = max(rect.width(), editor.fontMetrics().averageCharWidth() * 16)
        editor.setGeometry(rect.adjusted(rect.width() - wide, 0, 0, 0))

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        if not isinstance(editor, AmountEditor):
            return super().eventFilter(editor, event)
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key = Qt.Key(event.key())
            if key in _ENTER or key in _LEAVES:
                self._finish(editor, ask=True, rows_on=_LEAVES.get(key, 0))
                return True
        if isinstance(event, QFocusEvent) and event.type() == QEvent.Type.FocusOut:
            if event.reason() not in _ELSEWHERE:
                self._finish(editor, ask=False)
            return False
        return super().eventFilter(editor, event)

    def _finish(self, editor: AmountEditor, *, ask: bool, rows_on: int = 0) -> None:
        """Take the amount and close, or say what is wrong and stay."""
        hints = QAbstractItemDelegate.EndEditHint
        if editor.text() == editor.initial:
            self.closeEditor.emit(editor, hints.RevertModelCache)
        else:
            try:
                editor.amount = self._read_amount(editor.index, editor.text())
            except AmbiguousAmount as error:
                editor.amount = self._ask_reading(error.summary, error.readings) if ask else None
                if editor.amount is None:
                    editor.complain(error)
                    return
            except AmountError as error:
                editor.complain(error)
                return
            self.commitData.emit(editor)
            self.closeEditor.emit(editor, hints.NoHint)
        if rows_on:
            self.leftBy.emit(rows_on)
