"""The parts of the printed comparison, each set at a scale: marks from their own upper left corner, and a height."""

from datetime import date
from typing import NamedTuple

from workbench.base.text import _, number
from workbench.recipe.columns import cell_text
from workbench.recipe.descent import Step
from workbench.recipe.ingredient_rows import IngredientRow
from workbench.recipe.side_by_side import LETTERS, Row, SideBySide
from workbench.recipe.words import CHANGE_SIGNS, WAY_SIGNS, span_cell
from workbench.report.comparison.grid import (
    changed_in_short,
    effects_words,
    facts_words,
    per_words,
    same_words,
    step_title,
    verdict_words,
)
from workbench.report.marks import purpose_mark, purpose_width_mm
from workbench.report.pdf.desk import Desk, Laid
from workbench.report.pdf.fonts import width_mm
from workbench.report.pdf.page import Line, Mark, Rect, Text
from workbench.report.pdf.setting import Run

_LABEL = 0.235  # of the width: the names of rows
_PAD_MM = 1.4
_PANEL = 0.92
_SMALL = 7.0
_LEAST_PT = 4.8
_STACKED_BELOW_MM = 31.0  # narrower columns have a figure and its change below each other
_NOTE_LINES = 4
_NARROWER = 0.86  # of the size of a name, before it goes on two lines
_HAIR = 0.78  # grey of the lines between rows


class Columns(NamedTuple):
    """Where the columns of the page stand. [mm]"""

    left_mm: float
    width_mm: float

    def at(self, k: int) -> float:
        """Left edge of a column's text."""
        return self.left_mm + k * self.width_mm + _PAD_MM

    @property
    def room_mm(self) -> float:
        """Width of a column's text."""
        return self.width_mm - _PAD_MM


def columns_of(desk: Desk, n: int) -> Columns:
    """Room for ``n`` variants beside the names of rows."""
    left = desk.width_mm * _LABEL
    return Columns(left, (desk.width_mm - left) / n)


# --- head -------------------------------------------------------------------------------------------------------------


def head(desk: Desk, side: SideBySide, title: str, written: date | None) -> Laid:
    """What is compared, per what, with which reference."""
    shown, size = desk.setting.line(title, desk.width_mm * 0.62, desk.pt(16), desk.pt(9), bold=True)
    reference = side.columns[side.reference].full_title
    facts = [_("variants side by side, {per}", per=per_words(side.basis))]
    facts.append(_("differences are to {letter} {name}", letter=LETTERS[side.reference], name=reference))
    said, said_size = desk.setting.line(" · ".join(facts), desk.width_mm, desk.pt(8.5), desk.pt(6))
    marks: list[Mark] = [Text(0, desk.mm(5.2), shown, size, bold=True), Text(0, desk.mm(9.8), said, said_size)]
    if written:
        day = _("written on {date}", date=written.isoformat())
        marks.append(Text(desk.width_mm, desk.mm(5.2), day, desk.pt(8.5), align="right"))
    return Laid(desk.mm(12.4), marks)


def names(desk: Desk, side: SideBySide) -> Laid:
    """The variants: letter, name, project, what a piece is, and the note."""
    columns = columns_of(desk, len(side.columns))
    marks: list[Mark] = []
    height = 0.0
    for k, column in enumerate(side.columns):
        x, y = columns.at(k), desk.mm(0.8)
        purpose, high = column.evaluation.variant.purpose, desk.mm(3.4)
        letter = _("{letter} reference", letter=LETTERS[k]) if k == side.reference else LETTERS[k]
        sign = purpose_width_mm(desk.setting, purpose, high) + desk.mm(2.5)
        crowded = width_mm(letter, desk.pt(8), bold=True) + sign > columns.room_mm
        marks.append(Text(x, y + desk.mm(3.0), LETTERS[k] if crowded else letter, desk.pt(8), bold=True))
        if width_mm(LETTERS[k], desk.pt(8), bold=True) + sign <= columns.room_mm:
            marks += purpose_mark(desk.setting, purpose, x + columns.room_mm - desk.mm(1), y + desk.mm(0.3), high)
        y += desk.mm(4.2)
        parts: tuple[tuple[str, float, bool, int], ...] = (
            (_("reference") if crowded and k == side.reference else "", _SMALL, True, 1),
            (column.title, 9.0, True, 2),
            (column.project, _SMALL, False, 2),
            (facts_words(side, k), _SMALL, False, 3),
            (column.note, _SMALL, False, _NOTE_LINES),
        )
        for text, size, bold, most in parts:
            laid = desk.paragraph([Run(text, bold)] if text else [], columns.room_mm, size, x, y, most)
            marks += laid.marks
            y += laid.height_mm
        height = max(height, y)
    height += desk.mm(1.2)
    band = Rect(columns.left_mm + side.reference * columns.width_mm, 0, columns.width_mm, height, _PANEL)
    rules: list[Mark] = [Line(0, 0, desk.width_mm, 0, 0.4), Line(0, height, desk.width_mm, height, 0.2)]
    return Laid(height + desk.mm(1.2), [band, *marks, *rules])


def section(desk: Desk, title: str, remark: str = "") -> Laid:
    """The title of a part."""
    high = desk.mm(5.6)
    runs = [Run(title, bold=True), *([Run(f"  {remark}")] if remark else [])]
    shown = desk.paragraph(runs, desk.width_mm, 9.0, 0.0, desk.mm(1.4), 1)
    return Laid(high, [*shown.marks, Line(0, high, desk.width_mm, high, 0.3)])


# --- rows -------------------------------------------------------------------------------------------------------------


def _label(desk: Desk, text: str, unit: str) -> Laid:
    words = f"{text}, {unit}" if unit else text
    room = desk.width_mm * _LABEL - _PAD_MM
    wide = width_mm(desk.setting.clean(words), desk.pt(8.0))
    if room < wide <= room / _NARROWER:
        shown, size = desk.setting.line(words, room, desk.pt(8.0), desk.pt(8.0 * _NARROWER) * 0.99)
        return Laid(desk.leading(8.0) + desk.mm(0.5), [Text(0, 0.8 * desk.leading(8.0) + desk.mm(0.5), shown, size)])
    laid = desk.paragraph([Run(words)], room, 8.0, 0.0, desk.mm(0.5), 2)
    return Laid(laid.height_mm + desk.mm(0.5), laid.marks)


def quantity(desk: Desk, side: SideBySide, row: Row) -> Laid:
    """One quantity: figures with their limits, changes, and verdicts in shape and word."""
    columns = columns_of(desk, len(side.columns))
    stacked = columns.width_mm < _STACKED_BELOW_MM
    label = _label(desk, _(row.quantity.title), row.quantity.unit)
    marks: list[Mark] = list(label.marks)
    height = label.height_mm
    step = desk.leading(8)
    for k, bound in enumerate(row.bounds):
        x, room, y = columns.at(k), columns.room_mm, desk.mm(0.5) + 0.8 * step
        figure = _("not known") if bound.certainty == "not_known" else cell_text(bound, row.quantity.decimals)
        wide = room if stacked else room * 0.46
        shown, size = desk.setting.line(figure, wide, desk.pt(8.5), desk.pt(_LEAST_PT), bold=True)
        marks.append(Text(x, y, shown, size, bold=True))
        bottom = y
        if k != side.reference:
            if stacked:
                bottom += step * 0.88
            said = _change(row, k)
            shown, size = desk.setting.line(said, room if stacked else room * 0.5, desk.pt(7.5), desk.pt(_LEAST_PT))
            marks.append(Text(x if stacked else x + room * 0.48, bottom, shown, size))
        verdict = row.verdicts[k]
        if verdict is not None:
            bottom += step * 0.88
            said = verdict_words(verdict, side.basis)
            shown, size = desk.setting.line(said, room, desk.pt(_SMALL), desk.pt(_LEAST_PT))
            marks.append(Text(x, bottom, shown, size))
        height = max(height, bottom + 0.25 * step)
    height += desk.mm(0.6)
    return Laid(height, [*marks, _hairline(desk, height)])


def _hairline(desk: Desk, y: float) -> Mark:
    return Rect(0, y - 0.1, desk.width_mm, 0.1, _HAIR)


def _change(row: Row, k: int) -> str:
    way = row.ways[k]
    if way == "same":
        return same_words(row.changes[k])
    span = span_cell(row.changes[k], row.quantity.decimals)
    return f"{WAY_SIGNS[way]} {_('cannot tell') if span == '?' else span}"


def ingredient(desk: Desk, side: SideBySide, row: IngredientRow) -> Laid:
    """One ingredient: its share of the raw batch, how that differs, and what stands in its place."""
    columns = columns_of(desk, len(side.columns))
    label = _label(desk, row.name, "")
    marks: list[Mark] = list(label.marks)
    height = label.height_mm
    step = desk.leading(8)
    for k, share in enumerate(row.shares):
        x, y = columns.at(k), desk.mm(0.5) + 0.8 * step
        change, name = row.changes[k], row.names[k]
        sign = CHANGE_SIGNS[change.what] if change is not None else ""
        figure = number(100.0 * share, 1) if share is not None else ("" if sign else "·")
        words = f"{figure} {sign}".strip() if share is not None or not sign else _("− not in it")
        marks.append(Text(x, y, words, desk.pt(8.5)))
        if name is not None and name != row.name:
            after = width_mm(words, desk.pt(8.5)) + desk.mm(1.2)
            if after + width_mm(desk.setting.clean(name), desk.pt(_SMALL)) <= columns.room_mm:
                marks.append(Text(x + after, y, desk.setting.clean(name), desk.pt(_SMALL)))
            else:
                for line in desk.setting.lines(name, columns.room_mm, desk.pt(_SMALL), most=2):
                    y += desk.leading(_SMALL) * 0.95
                    marks.append(Text(x, y, line, desk.pt(_SMALL)))
        height = max(height, y + 0.25 * step)
    height += desk.mm(0.6)
    return Laid(height, [*marks, _hairline(desk, height)])


def remark(desk: Desk, text: str) -> Laid:
    """What did not fit, or is alike, in small letters."""
    said = desk.paragraph([Run(text)], desk.width_mm, _SMALL, 0.0, desk.mm(0.6))
    return Laid(said.height_mm + desk.mm(1.0), said.marks)


def step_of(desk: Desk, step: Step) -> Laid:
    """One step of descent: from where to where with its note, then what changed and the most that it did."""
    head_runs = [Run(step_title(step), bold=True), *([Run(f"  {step.note}")] if step.note else [])]
    changes, effects = changed_in_short(step), effects_words(step)
    rest = [_("did: {effects}", effects=effects)] if effects else []
    rest += [_("changed: {changes}", changes=changes)] if changes else []
    first = desk.paragraph(head_runs, desk.width_mm, 8.0, 0.0, desk.mm(0.8), 2)
    y, indent = first.height_mm + desk.mm(0.8), desk.mm(4)
    runs = [Run(" · ".join(rest))] if rest else []
    then = desk.paragraph(runs, desk.width_mm - indent, _SMALL, indent, y, 3)
    return Laid(y + then.height_mm + desk.mm(0.4), [*first.marks, *then.marks])
