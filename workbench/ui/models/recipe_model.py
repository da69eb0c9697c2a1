"""The recipe as a table: a row for each stage, and under it a row for each ingredient line.

Every text is made once per change and kept; ``data`` only looks it up, because Qt asks for each visible cell several
times a frame.  Only cells whose text changed are announced.
"""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from workbench.base.text import N_, UNKNOWN, _, number
from workbench.composition.amounts import ParsedAmount
from workbench.composition.food import Food
from workbench.document import edits
from workbench.document.project import Line, Stage
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import INDEX, QUANTITIES
from workbench.recipe.words import ALLERGEN_WORDS, ORIGINS, STAGE_KINDS, weight_text
from workbench.ui.models.slider_scale import SliderScale, fits, scale_for
from workbench.ui.session import Session

AnyIndex = QModelIndex | QPersistentModelIndex

NAME, SLIDER, AMOUNT, SHARE, CARBOHYDRATE, FAT, LOCK, REMOVE = range(8)
TITLES = (
    N_("ingredient"),
    N_("drag"),
    N_("amount"),
    N_("% of batch"),
    N_("carb. g"),
    N_("fat g"),
    N_("lock"),
    "",
)
_TITLE_TIPS = {
    SHARE: N_("share of the weight of all ingredients, edible parts"),
    CARBOHYDRATE: N_("carbohydrate (without fibre) that the ingredient brings to one piece"),
    FAT: N_("fat that the ingredient brings to one piece"),
    LOCK: N_("a locked amount cannot be dragged"),
}
_CONTRIBUTIONS = ((CARBOHYDRATE, "CHOAVLDF"), (FAT, "FAT"))
_WATCHED = ("CHOAVLDF", "SUGAR", "fructose_type", "FAT", "medium_chain", "FIBTG", "PROCNT", "NA", "WATER")

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


class StageRow:
    """A row that names a stage; ``texts`` holds its title, the weights and how they are known."""

    __slots__ = ("id", "texts")

    def __init__(self, stage_id: str) -> None:
        self.id = stage_id
        self.texts: tuple[str, str, str] = ("", "", "")


class LineRow:
    """A row with an ingredient line and everything painted in it."""

    __slots__ = ("food", "id", "line", "marks", "marks_of", "name", "scale", "texts", "tip")

    def __init__(self, line: Line) -> None:
        self.id = line.id
        self.line = line
        self.food: Food | None = None
        self.name = ""
        self.marks = ""
        self.tip = ""
        self.scale = SliderScale(0.0, 100.0, 1.0)
        self.texts: list[str] = [""] * len(TITLES)
        self.marks_of: tuple[object, ...] = ()  # what the marks were made from


Row = StageRow | LineRow


class RecipeModel(QAbstractTableModel):
    """The lines of the variant on screen, grouped by stage."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: list[Row] = []
        self._keys: tuple[str, ...] = ()
        self._scales: dict[tuple[str, str], SliderScale] = {}
        self._project_id = ""
        session.evaluated.connect(self._follow)
        self._follow(session.evaluation)

    # --- what the panel asks ------------------------------------------------------------------------------------

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

    @property
    def rows(self) -> list[Row]:
        return self._rows

    # --- Qt's questions -------------------------------------------------------------------------------------------

    def rowCount(self, parent: AnyIndex = QModelIndex()) -> int:  # noqa: B008  (Qt's own default)
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: AnyIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(TITLES)

    def data(self, index: AnyIndex, role: int = _DISPLAY) -> Any:
        if role in (_DISPLAY, _EDIT):
            row = self._rows[index.row()]
            column = index.column()
            if isinstance(row, LineRow):
                return row.texts[column] if role == _DISPLAY or column != AMOUNT else _as_typed(row.line)
            return row.texts[0] if column == NAME else None
        if role == _ALIGNMENT:
            return _RIGHT if AMOUNT <= index.column() <= FAT else _LEFT
        if role == _TOOL_TIP:
            return self._tip(index)
        if role == _ACCESSIBLE:
            return self._spoken(index)
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _DISPLAY) -> Any:
        if orientation != _HORIZONTAL:
            return None
        if role == _DISPLAY:
            return _(TITLES[section]) if TITLES[section] else ""
        if role == _ALIGNMENT:
            return _RIGHT if AMOUNT <= section <= FAT else _LEFT
        if role == _TOOL_TIP and section in _TITLE_TIPS:
            return _(_TITLE_TIPS[section])
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

    def _follow(self, evaluation: Evaluation) -> None:
        session = self._session
        if session.project.id != self._project_id:
            self._project_id = session.project.id
            self._scales.clear()
        variant = session.variant
        by_stage: dict[str, list[int]] = {stage.id: [] for stage in variant.stages}
        for k, line in enumerate(variant.lines):
            by_stage.get(line.stage_id, by_stage[variant.stages[0].id]).append(k)  # a lost line shows in the first one
        keys = (variant.id, *(key for s, ks in by_stage.items() for key in (s, *(variant.lines[k].id for k in ks))))
        fresh = keys != self._keys
        if fresh:
            self.beginResetModel()
            self._keys = keys
            self._rows = []
            for stage_id, ks in by_stage.items():
                self._rows.append(StageRow(stage_id))
                self._rows += [LineRow(variant.lines[k]) for k in ks]
        changed = self._refresh(evaluation, [k for ks in by_stage.values() for k in ks])
        if fresh:
            self.endResetModel()
            return
        for column, rows in changed.items():
            for first, last in _runs(rows):
                self.dataChanged.emit(self.index(first, column), self.index(last, column))

    def _refresh(self, evaluation: Evaluation, order: list[int]) -> dict[int, list[int]]:
        """Write all texts anew; says which rows changed in each column."""
        changed: dict[int, list[int]] = {}
        lines = iter(order)
        stage_number = 0
        contributions: dict[int, list[float]] = {}
        if evaluation.valid:
            contributions = {column: evaluation.contributions(key).tolist() for column, key in _CONTRIBUTIONS}
        for at, row in enumerate(self._rows):
            if isinstance(row, StageRow):
                texts = _stage_texts(evaluation, self._session.variant.stages[stage_number], stage_number)
                stage_number += 1
                columns = [] if texts == row.texts else [NAME]
                row.texts = texts
            else:
                columns = self._refresh_line(row, evaluation, next(lines), contributions)
            for column in columns:
                changed.setdefault(column, []).append(at)
        return changed

    def _refresh_line(
        self, row: LineRow, evaluation: Evaluation, k: int, contributions: dict[int, list[float]]
    ) -> list[int]:
        project, line = self._session.project, self._session.variant.lines[k]
        columns: list[int] = []
        if line.amount_g != row.line.amount_g or line.lock != row.line.lock:
            columns += [SLIDER, LOCK]
        row.line = line
        key = (self._session.variant_id, line.id)
        scale = self._scales.get(key)
        row.food = project.foods.get(line.food_ref.id) if line.food_ref.kind != "variant" else None
        if scale is None or not (self._session.previewing or fits(scale, line)):
            scale = self._scales[key] = scale_for(line, row.food)
        if scale != row.scale:
            row.scale = scale
            columns.append(SLIDER)
        columns += self._refresh_marks(row, evaluation, k)
        edible = float(evaluation.edible_g[k])
        texts = list(row.texts)
        texts[AMOUNT] = _("{grams} g", grams=_grams(line.amount_g))
        texts[SHARE] = number(100.0 * edible / evaluation.raw_g, 1) if evaluation.raw_g > 0 else UNKNOWN
        for column, quantity in _CONTRIBUTIONS:
            texts[column] = UNKNOWN
            if contributions:
                text = number(contributions[column][k], QUANTITIES[quantity].decimals)
                doubt = line.amount_g > 0 and evaluation.prepared.unknown[k, INDEX[quantity]]
                texts[column] = f"{text} ?" if doubt else text
        columns += [column for column in range(len(texts)) if texts[column] != row.texts[column]]
        row.texts = texts
        return columns

    def _refresh_marks(self, row: LineRow, evaluation: Evaluation, k: int) -> list[int]:
        """Name and marks; made again only when what they are made from is another."""
        line, prepared = row.line, evaluation.prepared
        made_from = (prepared, row.food, line.as_bought, line.cooking_water, line.entered)
        if len(row.marks_of) == len(made_from) and all(a is b for a, b in zip(row.marks_of, made_from, strict=True)):
            return []
        row.marks_of = made_from
        blank = [_(QUANTITIES[key].title) for key in _WATCHED if prepared.unknown[k, INDEX[key]]]
        row.name = row.texts[NAME] = prepared.names[k]
        row.marks = "  ".join(_marks(row, blank))
        row.tip = "\n".join(_tips(row, blank))
        return [NAME, AMOUNT]

    # --- words ------------------------------------------------------------------------------------------------------

    def _tip(self, index: AnyIndex) -> str | None:
        row = self._rows[index.row()]
        if isinstance(row, StageRow):
            return _("Enter or a double click opens the stage")
        column = index.column()
        if column == NAME:
            return row.tip
        if column == AMOUNT:
            entered = row.line.entered
            return _("entered as {text}", text=entered) if entered else _("type an amount, with its unit")
        if column == LOCK:
            return _("locked: click to free the amount") if row.line.lock else _("click to lock the amount")
        if column == REMOVE:
            return _("remove {food}", food=row.name)
        if row.texts[column].endswith("?"):
            return _("a value of this ingredient is not known; this is the known part")
        return None

    def _spoken(self, index: AnyIndex) -> str | None:
        """What a screen reader says."""
        row = self._rows[index.row()]
        if isinstance(row, StageRow):
            return ", ".join(row.texts) if index.column() == NAME else None
        column = index.column()
        if column == SLIDER:
            most = _grams(row.scale.maximum)
            return _("{food}: {grams} g of {most} g", food=row.name, grams=_grams(row.line.amount_g), most=most)
        if column == LOCK:
            return _("locked") if row.line.lock else _("not locked")
        if column == REMOVE:
            return _("remove {food}", food=row.name)
        if column == NAME and row.marks:
            return f"{row.name}, {row.marks}"
        return row.texts[column]


def _runs(rows: list[int]) -> list[tuple[int, int]]:
    """Rows next to each other as first and last; each run is repainted on its own."""
    runs: list[tuple[int, int]] = []
    for row in rows:
        if runs and row <= runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], row)
        else:
            runs.append((row, row))
    return runs


def _grams(amount_g: float) -> str:
    return number(amount_g, 0 if amount_g >= 100 or amount_g == round(amount_g) else 1 if amount_g >= 10 else 2)


def _as_typed(line: Line) -> str:
    return line.entered or f"{number(line.amount_g, 2).rstrip('0').rstrip('.,')} g"


def _stage_texts(evaluation: Evaluation, stage: Stage, k: int) -> tuple[str, str, str]:
    name = stage.name or _(STAGE_KINDS[stage.kind])
    title = _("stage {n}  {name}", n=k + 1, name=name)
    into, out = float(evaluation.stage_in_g[k]), float(evaluation.stage_out_g[k])
    weights = _("{into} g in → {out} g out", into=number(into, 0), out=number(out, 0))
    return title, weights, weight_text(stage)


def _marks(row: LineRow, blank: list[str]) -> list[str]:
    """A shape and a word each: origin, allergens, values that are not known, and how the amount is meant."""
    marks: list[str] = []
    food = row.food
    if row.line.food_ref.kind == "variant":
        marks.append(_("↺ variant of this project"))
    if food is not None:
        if food.origin not in ("plant", "mineral"):
            marks.append(f"◆ {_(ORIGINS[food.origin])}")
        if food.contains is None:
            marks.append(_("▲ allergens not stated"))
        elif food.contains:
            marks.append("▲ " + ", ".join(_(ALLERGEN_WORDS[allergen]) for allergen in food.contains))
    if blank:
        marks.append(_("? {n} not known", n=len(blank)))
    if row.line.as_bought:
        marks.append(_("as bought"))
    if row.line.cooking_water:
        marks.append(_("cooking water"))
    return marks


def _tips(row: LineRow, blank: list[str]) -> list[str]:
    tips = [row.name]
    food = row.food
    if food is not None:
        tips.append(_("origin: {origin}", origin=_(ORIGINS[food.origin])))
        if food.may_contain:
            tips.append(_("may contain: {names}", names=", ".join(_(ALLERGEN_WORDS[a]) for a in food.may_contain)))
        if row.line.as_bought:
            tips.append(_("as bought: {percent} % is eaten", percent=number(100 * food.edible_fraction, 0)))
    if blank:
        tips.append(_("not known exactly: {names}", names=", ".join(blank)))
    return tips
