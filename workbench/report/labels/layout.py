"""Wrapper labels set on sheets, and written as a PDF.

Text that does not fit gets smaller down to a size that can be read, then it is cut and the cut is reported.  A list of
allergens is never cut: half a list would be read as a whole one.
"""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

from workbench.base.errors import Place, Problem, ProblemKind, WorkbenchError
from workbench.base.files import write_atomically
from workbench.base.text import N_, _
from workbench.recipe.words import PURPOSES
from workbench.recipe.wrapper_label import WrapperLabel
from workbench.report.labels.sheet import LabelSheet, checked
from workbench.report.marks import purpose_mark, purpose_width_mm
from workbench.report.pdf.fonts import MM_PER_PT, X_HEIGHT, width_mm
from workbench.report.pdf.page import Line, Mark, Page, PageSize, Text, moved
from workbench.report.pdf.setting import Setting
from workbench.report.pdf.writer import pdf_bytes

LEAST_PT = 1.2 / (X_HEIGHT * MM_PER_PT)
"""Small letters of 1.2 mm: Regulation (EU) No 1169/2011, Article 13(2)."""
LEAST_TINY_PT = 0.9 / (X_HEIGHT * MM_PER_PT)
"""Small letters of 0.9 mm, where the largest surface of the wrapper is below 80 cm²: Article 13(3)."""

_MOST_LABELS = 5000

ALLERGENS_DO_NOT_FIT = ProblemKind(
    "allergens_do_not_fit",
    "warning",
    N_("the allergens do not fit on the label; it says “{instead}”."),
    N_("Use a larger label, or hand the list over with the pieces."),
)


class LabelPages(NamedTuple):
    """Sheets ready to be previewed or written, and what could not be set as it was given."""

    pages: tuple[Page, ...]
    problems: tuple[Problem, ...]


def label_pages(
    labels: Sequence[WrapperLabel], sheet: LabelSheet, *, start: int = 1, outlines: bool = False
) -> LabelPages:
    """Set labels on as many sheets as they need.

    Parameters
    ----------
    labels : sequence of WrapperLabel
        One for each piece, in the order of printing.
    sheet : LabelSheet
        The paper.
    start : int
        Position of the first label on a sheet that was begun, counted from 1 by rows.
    outlines : bool
        Whether to draw the edges of the labels, for a print on plain paper.

    Raises
    ------
    WorkbenchError
        If the sheet is impossible, the position is not on it, or there is nothing to print.
    """
    checked(sheet)
    if not 1 <= start <= sheet.labels:
        raise WorkbenchError(
            _("The sheet has no label {start}.", start=start),
            hint=_("Positions run from 1 to {last}, row by row.", last=sheet.labels),
        )
    if not 1 <= len(labels) <= _MOST_LABELS:
        raise WorkbenchError(
            _("{n} labels cannot be printed.", n=len(labels)), hint=_("Print 1 to {most}.", most=_MOST_LABELS)
        )
    problems: list[Problem] = []
    drawn: dict[WrapperLabel, list[Mark]] = {}
    for label in dict.fromkeys(labels):
        drawn[label], found = one_label(label, sheet)
        problems += [problem for problem in found if problem not in problems]
    size = PageSize(sheet.page_width_mm, sheet.page_height_mm)
    pages: list[list[Mark]] = []
    for k, label in enumerate(labels, start=start - 1):
        page, position = divmod(k, sheet.labels)
        if page == len(pages):
            pages.append([])
        x, y = sheet.corner_mm(position)
        pages[page] += moved(drawn[label], x, y)
        if outlines:
            pages[page] += moved(_outline(sheet), x, y)
    return LabelPages(tuple(Page(size, tuple(marks)) for marks in pages), tuple(problems))


def _outline(sheet: LabelSheet) -> list[Mark]:
    w, h = sheet.label_width_mm, sheet.label_height_mm
    return [Line(0, 0, w, 0, 0.1), Line(w, 0, w, h, 0.1), Line(w, h, 0, h, 0.1), Line(0, h, 0, 0, 0.1)]


def one_label(label: WrapperLabel, sheet: LabelSheet) -> tuple[list[Mark], tuple[Problem, ...]]:
    """Set one label from its own upper left corner; for a preview, and for the sheet."""
    place = Place("variant", "", label.variant)
    setting = Setting(place)
    pad = min(2.5, 0.08 * sheet.label_height_mm)
    width, height = sheet.label_width_mm - 2 * pad, sheet.label_height_mm - 2 * pad
    unit = height / 33.0  # a label of 37 mm sets everything at its full size
    marks: list[Mark] = []

    title_high = max(5.0 * unit, 3.4)
    sign = purpose_width_mm(setting, label.purpose, title_high)
    marks += purpose_mark(setting, label.purpose, width, 0.0, title_high)
    room = width - sign - (2.0 if sign else 0.0)
    title, y = _title(setting, label.title, room, title_high)
    marks += title
    y += 0.6 * unit

    big = max(6.0 * unit, 3.6)
    piece_size = max(_pt(2.9 * unit), LEAST_PT)
    piece = setting.clean(label.piece)
    beside = width_mm(piece, piece_size) + 1.5
    carbohydrate, size = setting.line(label.carbohydrate, width - beside, _pt(big), LEAST_PT, bold=True)
    marks.append(Text(0, y + big * 0.8, carbohydrate, size, bold=True))
    marks.append(Text(width, y + big * 0.8, piece, piece_size, align="right"))
    y += big + 0.4 * unit

    small = max(_pt(3.1 * unit), LEAST_PT)
    if label.variant.casefold() != _(PURPOSES[label.purpose]).casefold() or not sign:
        variant, size = setting.line(label.variant, width, small, LEAST_PT)
        marks.append(Text(0, y + 0.8 * size * MM_PER_PT * 1.2, variant, size))
        y += small * MM_PER_PT * 1.2

    foot, foot_high = _foot(setting, label, width, small)
    marks += moved(foot, 0, height - foot_high)
    told, problems = _allergens(setting, label, width, height - foot_high - y, small, place)
    marks += moved(told, 0, y)
    return moved(marks, pad, pad), (*setting.problems, *problems)


def _pt(high_mm: float) -> float:
    return high_mm / MM_PER_PT


def _title(setting: Setting, title: str, room: float, high: float) -> tuple[list[Mark], float]:
    """What it is, on one line or, where that would be tiny, on two; and how high that is."""
    full = _pt(high * 0.86)
    wide = width_mm(setting.clean(title), full, bold=True)
    if wide * 0.7 <= room:
        text, size = setting.line(title, room, full, LEAST_PT, bold=True)
        return [Text(0, high * 0.82, text, size, bold=True)], high
    size = max(0.62 * full, LEAST_PT)
    step = size * MM_PER_PT * 1.1
    lines = setting.lines(title, room, size, bold=True, most=2)
    marks: list[Mark] = [Text(0, (k + 0.85) * step, line, size, bold=True) for k, line in enumerate(lines)]
    return marks, max(high, len(lines) * step)


_BLANK_MM = 15.0  # to write a date on


def _foot(setting: Setting, label: WrapperLabel, width: float, size: float) -> tuple[list[Mark], float]:
    """Made, use by and lot on one line or two; what is empty has a line to write on."""
    fields = ((_("made"), label.made), (_("use by"), label.use_by), (_("lot"), label.lot))
    texts = [setting.clean(f"{words} {value}" if value else words) for words, value in fields]
    bold = [False, bool(label.use_by), False]
    wide = [
        width_mm(text, size, bold=heavy) + (0.0 if value else _BLANK_MM)
        for text, heavy, (_words, value) in zip(texts, bold, fields, strict=True)
    ]
    rows = [(0, 1, 2)] if sum(wide) + 4.0 <= width else [(0, 1), (2,)]
    step = size * MM_PER_PT * 1.2
    marks: list[Mark] = []
    for r, row in enumerate(rows):
        baseline = (r + 0.8) * step
        gap = max((width - sum(wide[k] for k in row)) / max(len(row) - 1, 1), 1.5)
        x = 0.0
        for k in row:
            blank = 0.0 if fields[k][1] else _BLANK_MM
            room = width - x if k == row[-1] else wide[k] + (max(gap - 3.0, 0.0) if blank else 0.0)
            text, fitted = setting.line(texts[k], room - blank * 0.6, size, LEAST_TINY_PT, bold=bold[k])
            marks.append(Text(x, baseline, text, fitted, bold[k]))
            if blank:
                begin = x + width_mm(text, fitted, bold=bold[k]) + 1.0
                marks.append(Line(begin, baseline + 0.5, x + room - 0.5, baseline + 0.5))
            x += wide[k] + gap
    return marks, len(rows) * step


def _allergens(
    setting: Setting, label: WrapperLabel, width: float, height: float, size: float, place: Place
) -> tuple[list[Mark], tuple[Problem, ...]]:
    """The allergens as large as they fit; a reference to the list where even the least size is too large."""
    told = [(label.allergens, True), (label.may_contain, False)]
    told = [(text, bold) for text, bold in told if text]
    for fitted in (size, (size + LEAST_PT) / 2, LEAST_PT, (LEAST_PT + LEAST_TINY_PT) / 2, LEAST_TINY_PT):
        step = fitted * MM_PER_PT * 1.18
        lines = [(line, bold) for text, bold in told for line in setting.lines(text, width, fitted, bold=bold)]
        if len(lines) * step <= height:
            return [Text(0, (k + 0.8) * step, line, fitted, bold) for k, (line, bold) in enumerate(lines)], ()
    instead = _("allergens: ask for the list")
    text, fitted = setting.line(instead, width, LEAST_PT, LEAST_TINY_PT, bold=True)
    return [Text(0, 0.8 * fitted * MM_PER_PT * 1.18, text, fitted, bold=True)], (
        ALLERGENS_DO_NOT_FIT.at(place, instead=instead),
    )


def write_labels(
    labels: Sequence[WrapperLabel],
    sheet: LabelSheet,
    path: Path,
    *,
    start: int = 1,
    outlines: bool = False,
    written: date | None = None,
) -> tuple[Problem, ...]:
    """Write labels as a PDF, whole or not at all; print it at its own size, not fitted to the page.

    Returns
    -------
    tuple of Problem
        What could not be set as it was given.

    Raises
    ------
    WorkbenchError
        If the sheet is impossible, the position is not on it, or there is nothing to print.
    FileError
        If the file cannot be written.
    """
    found = label_pages(labels, sheet, start=start, outlines=outlines)
    write_atomically(path, pdf_bytes(found.pages, title=labels[0].title, written=written))
    return found.problems
