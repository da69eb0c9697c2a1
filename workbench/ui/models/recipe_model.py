"""The recipe as a table: a row for each stage, and under it a row for each ingredient line.

Every text is made once per change and kept; ``data`` only looks it up, because Qt asks for each visible cell several
times a frame.  Only cells whose text changed are announced.
"""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from workbench.base.text import N_, _, grams_text
from workbench.composition.amounts import ParsedAmount
from workbench.document import edits
from workbench.document.project import Basis
from workbench.recipe.columns import USUAL_COLUMNS, Column, column_titles, column_words, estimated_keys
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import INDEX, QUANTITIES
from workbench.solve.avoid import line_reasons
from workbench.ui.guard import guarded
from workbench.ui.models.figure_cells import FigureCells
from workbench.ui.models.recipe_rows import (
    AMOUNT,
    FIGURES,
    LOCK,
    NAME,
    SLIDER,
    TITLES,
    WATCHED,
    LineRow,
    Row,
    StageRow,
    companions,
    line_spoken,
    line_tip,
    lines_by_stage,
    mark,
    runs,
    stage_texts,
    typed_text,
)
from workbench.ui.models.slider_scale import SliderScale, fits, scale_for
from workbench.ui.session import Session

AnyIndex = QModelIndex | QPersistentModelIndex

# Qt's enums are slow to look up (4 µs each in the short form); this file is on the path of every frame.
_DISPLAY = int(Qt.ItemDataRole.DisplayRole)
_EDIT = int(Qt.ItemDataRole.EditRole)
_TOOL_TIP = int(Qt.ItemDataRole.ToolTipRole)
_ALIGNMENT = int(Qt.ItemDataRole.TextAlignmentRole)
_ACCESSIBLE = int(Qt.ItemDataRole.AccessibleTextRole)
_HORIZONTAL = Qt.Orientation.Horizontal
_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
_SHOWN = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
_EDITABLE = _SHOWN | Qt.ItemFlag.ItemIsEditable
_NO_FLAGS = Qt.ItemFlag.NoItemFlags


@guarded
class RecipeModel(QAbstractTableModel):
    """The lines of the variant on screen, grouped by stage.

    Columns: name, slider, amount, lock, the chosen figures, and last the sign that removes a line.
    """

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: list[Row] = []
        self._lines: list[LineRow] = []  # in the order of the variant's lines
        self._keys: tuple[str, ...] = ()
        self._scales: dict[tuple[str, str], SliderScale] = {}
        self._project_id = ""
        self._proposed: dict[str, float] = {}  # line id -> grams
        self.basis: Basis = "portion"
        self._cells = [FigureCells(column) for column in USUAL_COLUMNS]
        session.evaluated.connect(self._follow)
        session.proposed.connect(self._take_proposal)
        self._follow(session.evaluation)

    # --- what the panel asks ------------------------------------------------------------------------------------

    @property
    def rows(self) -> list[Row]:
        return self._rows

    @property
    def columns(self) -> tuple[Column, ...]:
        """The chosen columns, which begin at ``FIGURES``."""
        return tuple(cells.column for cells in self._cells)

    @property
    def remove_column(self) -> int:
        """Where the sign is that removes a line."""
        return FIGURES + len(self._cells)

    def column_at(self, section: int) -> Column | None:
        """The chosen column at a place of the table."""
        return self._cells[section - FIGURES].column if FIGURES <= section < self.remove_column else None

    def choose_columns(self, columns: tuple[Column, ...], basis: Basis) -> None:
        """Show other figures beside the amounts."""
        if columns != self.columns or basis != self.basis:
            self.basis = basis
            self._cells = [FigureCells(column) for column in columns]
            self._keys = ()
            self._follow(self._session.evaluation)

    def row(self, index: AnyIndex) -> Row | None:
        """The row at an index."""
        return self._rows[index.row()] if index.isValid() and index.row() < len(self._rows) else None

    def line_row(self, index: AnyIndex) -> LineRow | None:
        """The row at an index, if it holds an ingredient line."""
        row = self.row(index)
        return row if isinstance(row, LineRow) else None

    def row_of(self, item_id: str) -> int:
        """The row of a line or stage; -1 if it is not shown."""
        return next((k for k, row in enumerate(self._rows) if row.id == item_id), -1)

    # --- Qt's questions -------------------------------------------------------------------------------------------

    def rowCount(self, parent: AnyIndex = QModelIndex()) -> int:  # noqa: B008  (Qt's own default)
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: AnyIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else FIGURES + len(self._cells) + 1

    def data(self, index: AnyIndex, role: int = _DISPLAY) -> Any:
        if role in (_DISPLAY, _EDIT):
            row = self._rows[index.row()]
            column = index.column()
            if isinstance(row, LineRow):
                return row.texts[column] if role == _DISPLAY or column != AMOUNT else typed_text(row.line)
            return row.texts[0] if column == NAME else None
        if role == _ALIGNMENT:
            return self._alignment(index.column())
        if role == _TOOL_TIP:
            return self._tip(index)
        if role == _ACCESSIBLE:
            return self._spoken(index)
        return None

    def _alignment(self, section: int) -> int:
        return _RIGHT if section == AMOUNT or FIGURES <= section < self.remove_column else _LEFT

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _DISPLAY) -> Any:
        if orientation != _HORIZONTAL:
            return None
        column = self.column_at(section)
        if role == _DISPLAY:
            if column is not None:
                return "\n".join(column_titles(column, self.basis))
            return _(TITLES[section]) if section in TITLES else ""
        if role == _ALIGNMENT:
            return self._alignment(section)
        if role == _TOOL_TIP:
            if column is not None:
                return column_words(column, self.basis)
            return _("a locked amount cannot be dragged") if section == LOCK else None
        if role == _ACCESSIBLE:
            return column_words(column, self.basis) if column is not None else _(TITLES.get(section, N_("remove")))
        return None

    def flags(self, index: AnyIndex) -> Qt.ItemFlag:
        if not index.isValid():
            return _NO_FLAGS
        return _EDITABLE if index.column() == AMOUNT and self.line_row(index) else _SHOWN

    def setData(self, index: AnyIndex, value: Any, role: int = _EDIT) -> bool:
        """Set a line's amount; ``value`` is a ``ParsedAmount``."""
        row = self.line_row(index)
        if row is None or role != _EDIT or not isinstance(value, ParsedAmount) or index.column() != AMOUNT:
            return False
        session = self._session
        if value.grams != row.line.amount_g or value.entered != row.line.entered:
            entered = "" if value.entered == f"{value.grams:g} g" else value.entered
            session.apply(edits.set_amount(session.project, session.variant_id, row.id, value.grams, entered))
        return True

    # --- following the session ------------------------------------------------------------------------------------

    def _take_proposal(self) -> None:
        self._follow(self._session.evaluation)

    def _follow(self, evaluation: Evaluation) -> None:
        session = self._session
        proposal = session.proposal
        self._proposed = {} if proposal is None else {line.id: line.amount_g for line in proposal.variant.lines}
        if session.project.id != self._project_id:
            self._project_id = session.project.id
            self._scales.clear()
        variant = session.variant
        by_stage = lines_by_stage(variant)
        keys = (variant.id, *(key for s, ks in by_stage.items() for key in (s, *(variant.lines[k].id for k in ks))))
        fresh = keys != self._keys
        if fresh:
            self.beginResetModel()
            self._keys = keys
            self._cells = [FigureCells(column) for column in self.columns]
            self._lines = [LineRow(line, k, self.columnCount()) for k, line in enumerate(variant.lines)]
            self._rows = []
            for stage_id, ks in by_stage.items():
                self._rows.append(StageRow(stage_id))
                self._rows += [self._lines[k] for k in ks]
        changed = self._refresh(evaluation)
        if fresh:
            self.endResetModel()
            return
        for column, rows in changed.items():
            for first, last in runs(sorted(rows)):
                self.dataChanged.emit(self.index(first, column), self.index(last, column))

    def _refresh(self, evaluation: Evaluation) -> dict[int, list[int]]:
        """Write all texts anew; says which rows changed in each column."""
        changed: dict[int, list[int]] = {}
        places, stage_number = [0] * len(self._lines), 0
        for at, row in enumerate(self._rows):
            if isinstance(row, StageRow):
                texts = stage_texts(evaluation, self._session.variant.stages[stage_number], stage_number)
                stage_number += 1
                columns = [] if texts == row.texts else [NAME]
                row.texts = texts
            else:
                places[row.at] = at
                columns = self._refresh_line(row, evaluation)
            for column in columns:
                changed.setdefault(column, []).append(at)
        for column, cells in enumerate(self._cells, FIGURES):
            lines = cells.update(evaluation, self.basis, self._lines, column)
            if lines:
                changed[column] = [places[k] for k in lines]
        return changed

    def _refresh_line(self, row: LineRow, evaluation: Evaluation) -> list[int]:
        """Everything but the figures."""
        session, project, line = self._session, self._session.project, self._session.variant.lines[row.at]
        columns: list[int] = []
        if line.lock != row.line.lock:
            columns += [SLIDER, LOCK]
        elif line.amount_g != row.line.amount_g:
            columns.append(SLIDER)
        row.line = line
        key = (session.variant_id, line.id)
        scale = self._scales.get(key)
        row.food = project.foods.get(line.food_ref.id) if line.food_ref.kind != "variant" else None
        if scale is None or not (session.previewing or fits(scale, line)):
            scale = self._scales[key] = scale_for(line, row.food)
        if scale != row.scale:
            row.scale = scale
            columns.append(SLIDER)
        columns += self._refresh_marks(row, evaluation)
        proposed = self._proposed.get(line.id)
        if proposed is not None and grams_text(proposed) == grams_text(line.amount_g):
            proposed = None
        if proposed != row.proposed:
            row.proposed = proposed
            columns += [SLIDER, AMOUNT]
        amount = _("{grams} g", grams=grams_text(line.amount_g))
        if amount != row.texts[AMOUNT]:
            row.texts[AMOUNT] = amount
            columns.append(AMOUNT)
        return columns

    def _refresh_marks(self, row: LineRow, evaluation: Evaluation) -> list[int]:
        """Name and marks; made again only when what they are made from is another."""
        project, variant = self._session.project, self._session.variant
        line, prepared, wish = row.line, evaluation.prepared, project.wish_of(variant)
        used, filled = project.variants if wish and row.food is None else (), line.amount_g > 0
        made_from = (prepared, row.food, line.as_bought, line.cooking_water, line.entered, wish, used, filled)
        if len(row.marks_of) == len(made_from) and all(a is b for a, b in zip(row.marks_of, made_from, strict=True)):
            return []
        row.marks_of = made_from
        blank = [_(QUANTITIES[key].title) for key in WATCHED if prepared.unknown[row.at, INDEX[key]]]
        row.estimated = estimated_keys(row.food, project.assumptions) if row.food else frozenset()
        row.name = row.texts[NAME] = prepared.names[row.at]
        avoided = line_reasons(project, line, wish) if wish and filled else ()
        mark(row, blank, (prepared.names[k] for k in companions(variant.lines, line)), avoided)
        return [NAME, AMOUNT]

    # --- words ------------------------------------------------------------------------------------------------------

    def _tip(self, index: AnyIndex) -> str | None:
        row, column = self._rows[index.row()], index.column()
        if isinstance(row, StageRow):
            return _("Enter or a double click opens the stage")
        if FIGURES <= column < self.remove_column:
            return self._cells[column - FIGURES].words(row, self.basis)
        return line_tip(row, column)

    def _spoken(self, index: AnyIndex) -> str | None:
        """What a screen reader says."""
        row, column = self._rows[index.row()], index.column()
        if isinstance(row, StageRow):
            return ", ".join(row.texts) if column == NAME else None
        return line_spoken(row, column) or self._tip(index)
