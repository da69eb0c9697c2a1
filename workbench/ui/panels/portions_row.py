"""How the batch becomes pieces, what a drag holds, and how many pieces are eaten in an hour."""

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import QEvent, QObject, QSize, QTimer
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QComboBox, QDoubleSpinBox, QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from workbench.base.text import _
from workbench.document import variant_edits
from workbench.document.edits import Edit
from workbench.document.project import ByCount, ByWeight, Portioning, Project
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.words import portions_text
from workbench.ui.guard import guarded
from workbench.ui.session import Session
from workbench.ui.wrapping_row import WrappingRow

MakeEdit = Callable[[Project], Edit]

_SETTLED_MS = 700  # so long after the last click of a spin box its changes become one undo step


@guarded
class FigureBox(QDoubleSpinBox):
    """A spin box as wide as usual figures, or as what it shows: the most that is possible would take half a line."""

    def __init__(self, usual: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._usual = usual  # its digits, without the unit
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.textChanged.connect(lambda _text: self.updateGeometry())

    def sizeHint(self) -> QSize:
        hint, words, unit = super().sizeHint(), self.fontMetrics().horizontalAdvance, self.suffix()
        most = max(words(self.textFromValue(value) + unit) for value in (self.minimum(), self.maximum()))
        hint.setWidth(hint.width() - most + max(words(self._usual + unit), words(self.text())))
        return hint

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()


@guarded
class PortionsRow(QWidget):
    """A compact row of fields, in as many lines as it needs, and the result in words."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._settled = QTimer(self)
        self._settled.setSingleShot(True)
        self._settled.setInterval(_SETTLED_MS)
        self._settled.timeout.connect(session.commit)
        self._tried: QDoubleSpinBox | None = None
        self.by = QComboBox(self)
        self.by.addItems([_("pieces"), _("weight")])
        _name(self.by, _("portion by the number of pieces or the weight of a piece"))
        self.portion = FigureBox("000.0", self)
        _name(self.portion, _("number or weight of the pieces"))
        self.pace = FigureBox("00.0", self)
        self.pace.setRange(0.0, 100.0)
        self.pace.setDecimals(1)
        self.pace.setSingleStep(0.5)
        _name(self.pace, _("pieces eaten an hour"))
        self.trimmings = FigureBox("00.0", self)
        self.trimmings.setRange(0.0, 99.0)
        self.trimmings.setDecimals(1)
        self.trimmings.setSuffix(" %")
        _name(self.trimmings, _("trimmings, of the batch"))
        self.holds = QComboBox(self)
        self.holds.addItems(["", _("batch")])
        self.words = QLabel(self)
        self._lay_out()
        self.by.activated.connect(lambda _at: self._apply(self._switched()))
        self.holds.activated.connect(lambda at: self._apply(self._holding(at == 1)))
        for box in (self.portion, self.trimmings, self.pace):
            box.setKeyboardTracking(False)
            box.editingFinished.connect(self._commit)
            box.installEventFilter(self)
        self.portion.valueChanged.connect(lambda size: self._try(self.portion, self._with_size(size)))
        self.trimmings.valueChanged.connect(lambda share: self._try(self.trimmings, self._with_trimmings(share)))
        self.pace.valueChanged.connect(lambda pace: self._try(self.pace, self._with_pace(pace)))
        session.evaluated.connect(self._show)
        self._show(session.evaluation)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 4, 8, 4)
        column.setSpacing(4)
        fields = WrappingRow(gap_px=8)
        fields.addWidget(_pair(self.by, self.portion))
        for words, field in (
            (_("pieces/h"), self.pace),
            (_("trim"), self.trimmings),
            (_("drag holds"), self.holds),
        ):
            label = QLabel(words)
            label.setBuddy(field)
            fields.addWidget(_pair(label, field))
        column.addLayout(fields)
        column.addWidget(self.words)

    def eventFilter(self, box: QObject, event: QEvent) -> bool:
        """Undo and redo are the window's, unless something is half typed: a field knows of its own text only."""
        if (
            isinstance(box, QDoubleSpinBox)
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and (event.matches(QKeySequence.StandardKey.Undo) or event.matches(QKeySequence.StandardKey.Redo))
        ):
            return box.cleanText() == box.textFromValue(box.value())
        return super().eventFilter(box, event)

    # --- showing ------------------------------------------------------------------------------------------------

    def _show(self, evaluation: Evaluation) -> None:
        if not self._session.previewing:
            self._settled.stop()  # nothing is being tried any more: it was taken over, or undone
        variant = self._session.variant
        portioning = variant.portioning
        by_count = isinstance(portioning, ByCount)
        for box in (self.portion, self.trimmings, self.pace):
            box.blockSignals(True)
        self.by.setCurrentIndex(0 if by_count else 1)
        if isinstance(portioning, ByCount):
            _set_field(self.portion, 1.0, 100_000.0, 0, "", float(portioning.count))
        else:
            _set_field(self.portion, 0.1, 1_000_000.0, 1, " g", portioning.piece_g)
        _set_value(self.trimmings, portioning.trimmings_percent)
        _set_value(self.pace, variant.pace_per_hour)
        for box in (self.portion, self.trimmings, self.pace):
            box.blockSignals(False)
        self.holds.setItemText(0, _("pieces") if by_count else _("piece"))
        kept = _("the number of pieces") if by_count else _("the weight of a piece")
        _name(self.holds, _("a drag of an amount holds {kept}, or the batch weight", kept=kept))
        self.holds.setCurrentIndex(1 if variant.hold_batch_weight else 0)
        words = portions_text(evaluation.portions) if evaluation.valid else _("no valid batch")
        if words != self.words.text():
            self.words.setText(words)

    # --- changing -----------------------------------------------------------------------------------------------

    # Each field changes only what it stands for: another one may show its figure rounded.

    def _with_size(self, size: float) -> MakeEdit:
        def make(project: Project) -> Edit:
            given = project.variant(self._session.variant_id).portioning
            if isinstance(given, ByCount):
                return self._portioned(project, replace(given, count=round(size)))
            return self._portioned(project, replace(given, piece_g=size))

        return make

    def _with_trimmings(self, percent: float) -> MakeEdit:
        def make(project: Project) -> Edit:
            given = project.variant(self._session.variant_id).portioning
            return self._portioned(project, replace(given, trimmings_percent=percent))

        return make

    def _with_pace(self, pace: float) -> MakeEdit:
        return lambda project: variant_edits.set_pace(project, self._session.variant_id, pace)

    def _portioned(self, project: Project, portioning: Portioning) -> Edit:
        variant = project.variant(self._session.variant_id)
        return variant_edits.set_portioning(project, variant.id, portioning, variant.hold_batch_weight)

    def _holding(self, batch_weight: bool) -> Edit:
        session = self._session
        return variant_edits.set_portioning(
            session.project, session.variant_id, session.variant.portioning, batch_weight
        )

    def _switched(self) -> Edit:
        """By count or by weight, so that today's pieces stay as they are."""
        session = self._session
        portions, variant = session.evaluation.portions, session.variant
        trimmings = variant.portioning.trimmings_percent
        made: Portioning
        if self.by.currentIndex() == 0:
            made = ByCount(count=max(portions.whole_pieces, 1), trimmings_percent=trimmings)
        else:
            piece_g = round(portions.piece_g, 1)
            made = ByWeight(piece_g=piece_g if piece_g > 0 else 50.0, trimmings_percent=trimmings)
        return self._portioned(session.project, made)

    def _apply(self, edit: Edit) -> None:
        if edit.project != self._session.project:
            self._session.apply(edit)

    def _try(self, box: QDoubleSpinBox, make_edit: MakeEdit) -> None:
        """Show a change; it becomes an undo step when the field has come to rest."""
        if self._tried is not box or not self._settled.isActive():
            self._session.commit()
        self._tried = box
        self._session.preview(make_edit(self._session.base))
        self._settled.start()

    def _commit(self) -> None:
        if self._settled.isActive():
            self._session.commit()


def _set_value(box: QDoubleSpinBox, value: float) -> None:
    if box.value() != value:
        box.setValue(value)


def _set_field(box: QDoubleSpinBox, low: float, high: float, decimals: int, suffix: str, value: float) -> None:
    if (box.suffix(), box.decimals()) != (suffix, decimals):
        box.setDecimals(decimals)
        box.setRange(low, high)
        box.setSuffix(suffix)
    _set_value(box, value)


def _name(field: QWidget, words: str) -> None:
    """Whole words for a field whose label is short."""
    field.setAccessibleName(words)
    field.setToolTip(words)


def _pair(first: QWidget, second: QWidget) -> QWidget:
    """Two widgets that stay together."""
    box = QWidget()
    row = QHBoxLayout(box)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(8)
    row.addWidget(first)
    row.addWidget(second)
    return box
