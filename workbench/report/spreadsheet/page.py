"""Rows on a worksheet: how tall they are, and where a printed page ends.

Heights are estimated here, because a merged cell is not made taller by any spreadsheet program, and because a section
can only be kept together on a page by someone who knows how tall it is.
"""

import math
import unicodedata
from typing import Any, NamedTuple

from workbench.report.spreadsheet.look import STYLES, Look, size_pt
from workbench.report.spreadsheet.safe_text import clean, footer

_A4 = 9
_A4_SHORT_PT, _A4_LONG_PT = 595.0, 842.0
_SIDE_IN, _TOP_IN, _BOTTOM_IN = 0.55, 0.6, 0.8
_MOST_HEIGHT_PT = 400.0  # spreadsheet programs stop at 409
_MOST_LINES = {
    "title": 3,
    "subtitle": 3,
    "head_name": 3,
}  # they stay in sight, so a name without end must not fill the screen
_PAGE_SHARE = 0.95  # of a page that is filled, as fonts and printers differ


class Cell(NamedTuple):
    """What stands in one column, or from ``column`` to ``last``; ``None`` is an empty cell."""

    column: int
    content: str | float | None
    style: str = "text"
    last: int = -1
    number_format: str = ""


Row = tuple[Cell, ...]


class Section(NamedTuple):
    """A heading and what belongs under it."""

    title: str
    rows: list[Row]
    together: bool = True  # not torn apart by the end of a page, if it fits on one


class Page:
    """A worksheet that is filled from the top."""

    def __init__(self, sheet: Any, look: Look, widths: tuple[float, ...], *, landscape: bool = False) -> None:
        self._sheet = sheet
        self._look = look
        self._widths = widths
        self._row = 0
        self._used_pt = 0.0
        self._breaks: list[int] = []
        across, along = (_A4_LONG_PT, _A4_SHORT_PT) if landscape else (_A4_SHORT_PT, _A4_LONG_PT)
        width_pt = sum(7 * width + 5 for width in widths) * 0.75
        scale = min(1.0, (across - 2 * 72 * _SIDE_IN) / width_pt)
        self._page_pt = _PAGE_SHARE * (along - 72 * (_TOP_IN + _BOTTOM_IN)) / scale
        self._repeated_pt = 0.0
        for column, width in enumerate(widths):
            sheet.set_column(column, column, width)
        if landscape:
            sheet.set_landscape()
        sheet.set_paper(_A4)
        sheet.set_margins(left=_SIDE_IN, right=_SIDE_IN, top=_TOP_IN, bottom=_BOTTOM_IN)
        sheet.center_horizontally()
        sheet.hide_gridlines(2)

    @property
    def last_column(self) -> int:
        return len(self._widths) - 1

    def head(self, rows: list[Row], frozen_columns: int = 0) -> None:
        """Write the rows that stay in sight and are printed on every page."""
        for row in rows:
            self._write(row)
        self._repeated_pt = self._used_pt
        self._sheet.freeze_panes(self._row, frozen_columns)
        self._sheet.repeat_rows(0, self._row - 1)

    def add(self, section: Section) -> None:
        """Write a section, on a new page where it would not fit on this one."""
        if not section.rows:
            return
        heading: Row = (Cell(0, section.title, "section", self.last_column),)
        rows = [heading, *section.rows] if section.title else section.rows
        gap_pt = 10.0 if section.title else 4.0
        needed_pt = gap_pt + sum(self._height(row) for row in (rows if section.together else rows[:4]))
        if self._used_pt + needed_pt > self._page_pt and self._used_pt > 0.3 * self._page_pt:
            self._breaks.append(self._row)
            self._used_pt = self._repeated_pt
        self._gap(gap_pt)
        for row in rows:
            self._write(row)

    def finish(self, left: str, right: str) -> None:
        """Set up the print: one page wide, with a footer."""
        sheet = self._sheet
        sheet.print_area(0, 0, max(self._row - 1, 0), self.last_column)
        sheet.fit_to_pages(1, 0)
        sheet.set_h_pagebreaks(self._breaks)
        # A space ends the font size, so that a title that begins with a digit does not change it.
        sheet.set_footer(f"&L&8 {footer(left)}&R&8 {right}")
        sheet.ignore_errors({"number_stored_as_text": f"A1:XFD{self._row + 1}"})

    def _gap(self, height_pt: float) -> None:
        self._sheet.set_row(self._row, height_pt)
        self._row += 1
        self._used_pt += height_pt

    def _write(self, row: Row) -> None:
        height_pt = self._height(row)
        if self._used_pt + height_pt > self._page_pt:  # the program will begin a new page here by itself
            self._used_pt = self._repeated_pt
        self._sheet.set_row(self._row, height_pt)
        for cell in row:
            self._put(cell)
        self._row += 1
        self._used_pt += height_pt

    def _put(self, cell: Cell) -> None:
        sheet, where = self._sheet, (self._row, cell.column)
        form = self._look.format(cell.style, cell.number_format)
        if cell.last > cell.column:
            sheet.merge_range(*where, self._row, cell.last, "", form)
        if cell.content is None or cell.content == "":
            sheet.write_blank(*where, None, form)
        elif isinstance(cell.content, str):
            sheet.write_string(*where, clean(cell.content), form)  # never a formula, a number or a link
        else:
            sheet.write_number(*where, cell.content, form)

    def _height(self, row: Row) -> float:
        """Height that shows every cell. [pt]"""
        needed = 0.0
        for cell in row:
            style = STYLES[cell.style]
            line_pt = 1.28 * size_pt(cell.style)
            lines = 1
            if isinstance(cell.content, str) and style.get("text_wrap"):
                last = max(cell.last, cell.column)
                columns = self._widths[cell.column : last + 1]
                width = sum(w + 0.7 for w in columns) - 0.9 - 1.3 * style.get("indent", 0)  # edges; an indent
                lines = _lines(cell.content, width * 10 / size_pt(cell.style), bool(style.get("bold")))
                lines = min(lines, _MOST_LINES.get(cell.style, lines))
            room_pt = 8.0 if cell.style == "section" else 3.5
            needed = max(needed, lines * line_pt + room_pt)
        return min(needed, _MOST_HEIGHT_PT)


def _lines(text: str, width: float, bold: bool) -> int:
    """Lines that a text takes in a cell of ``width`` column units; a line ends before the word that does not fit."""
    room = max(0.97 * width, 1.0)
    stretch = 1.07 if bold else 1.0
    lines = 0
    for paragraph in clean(text).split("\n"):
        used, count = 0.0, 1
        for word in paragraph.split(" "):
            long, space = stretch * sum(map(_width, word)), stretch * _width(" ")
            if used and used + space + long > room:
                count += 1
                used = 0.0
            used += long + (space if used else 0)
            if used > room:  # a word that is longer than a line is broken
                more = math.ceil(used / room) - 1
                count += more
                used -= more * room
        lines += count
    return lines


_NARROW, _BROAD = frozenset(" iljtfrI.,;:!'|()[]-/·"), frozenset("mwMW%@…→≥≤")


def _width(character: str) -> float:
    """Rough width of a character in column units, for Arial and its like."""
    if character in _NARROW:
        return 0.53
    if character in _BROAD or character.isupper():
        return 1.37
    return 2.1 if unicodedata.east_asian_width(character) in "WF" else 1.03
