"""Rows on a worksheet: how tall they are, where a printed page ends, and what may be changed.

Heights are estimated here, because a merged cell is not made taller by any spreadsheet program, and because a section
can only be kept together on a page by someone who knows how tall it is.
"""

import math
import unicodedata
from functools import lru_cache
from itertools import groupby
from typing import Any, NamedTuple

from workbench.base.cell_text import LONGEST, clean
from workbench.report.pdf.page import PAGE_SIZES
from workbench.report.spreadsheet.formula import Live
from workbench.report.spreadsheet.look import STYLES, Look, size_pt
from workbench.report.spreadsheet.safe_text import footer

_PAPER = {"a4": 9, "letter": 1}  # ECMA-376 Part 1, 18.3.1.63
_PT_PER_MM = 72 / 25.4
_SIDE_IN, _TOP_IN, _BOTTOM_IN = 0.55, 0.5, 0.65
_ROOM_ROW_PT = 18.0  # of the empty rows under a chart
_MOST_HEIGHT_PT = 400.0  # spreadsheet programs stop at 409
_MOST_LINES = {
    "title": 3,
    "subtitle": 3,
    "head_name": 3,
}  # they stay in sight, so a name without end must not fill the screen
_PAGE_SHARE = 0.97  # of a page that is filled, as fonts and printers differ
_MAY = dict.fromkeys(("select_locked_cells", "select_unlocked_cells", "format_columns", "format_rows"), True)


class Rich(NamedTuple):
    """Text of which some runs are bold."""

    runs: tuple[tuple[str, bool], ...]

    @property
    def text(self) -> str:
        return "".join(text for text, _bold in self.runs)


Content = str | float | Live | Rich | None


class Cell(NamedTuple):
    """What stands in one column, or from ``column`` to ``last``; ``None`` is an empty cell."""

    column: int
    content: Content
    style: str = "text"
    last: int = -1
    number_format: str = ""
    may_become: str = ""  # the longest text of a formula, where its value now is shorter


Row = tuple[Cell, ...]


class Section(NamedTuple):
    """A heading and what belongs under it."""

    title: str
    rows: list[Row]
    together: bool = True  # not torn apart by the end of a page, if it fits on one


class Page:
    """A worksheet that is filled from the top; one that is not ``printed`` is there to be read on a screen."""

    def __init__(
        self,
        sheet: Any,
        look: Look,
        widths: tuple[float, ...],
        paper: str = "a4",
        *,
        landscape: bool = False,
        printed: bool = True,
    ) -> None:
        self.sheet = sheet
        self._printed = printed
        self.row = 0  # the next one, counted from 0
        self._look = look
        self._widths = widths
        self._used_pt = 0.0
        self._breaks: list[int] = []
        size = PAGE_SIZES[paper]
        across, along = size.width_mm * _PT_PER_MM, size.height_mm * _PT_PER_MM
        if landscape:
            across, along = along, across
        self.width_px = sum(round(7 * width + 5) for width in widths)
        scale = min(1.0, (across - 2 * 72 * _SIDE_IN) / (self.width_px * 0.75))
        self._page_pt = _PAGE_SHARE * (along - 72 * (_TOP_IN + _BOTTOM_IN)) / scale
        self._repeated_pt = 0.0
        for column, width in enumerate(widths):
            sheet.set_column(column, column, width)
        if landscape:
            sheet.set_landscape()
        sheet.set_paper(_PAPER[paper])
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
        self.sheet.freeze_panes(self.row, frozen_columns)
        if self._printed:
            self.sheet.repeat_rows(0, self.row - 1)

    def add(self, section: Section) -> int:
        """Write a section, on a new page where it would not fit on this one; return the row of its first content."""
        if not section.rows:
            return self.row
        heading: Row = (Cell(0, section.title, "section", self.last_column),)
        rows = [heading, *section.rows] if section.title else section.rows
        gap_pt = 10.0 if section.title else 4.0
        heights = [self._height(row) for row in rows]
        self._turn(gap_pt + sum(heights if section.together else heights[:4]))
        self._gap(gap_pt)
        first = self.row + bool(section.title)
        for row, height_pt in zip(rows, heights, strict=True):
            self._write(row, height_pt)
        return first

    def room(self, title: str, height_pt: float) -> tuple[int, int]:
        """Leave room for a picture under a heading; return its first row, and its height in pixels."""
        n = max(round(height_pt / _ROOM_ROW_PT), 1)
        self._turn(30.0 + n * _ROOM_ROW_PT)  # a heading does not stay behind
        first = self.add(Section(title, [(Cell(0, None),)]))
        for _k in range(n - 1):
            self._gap(_ROOM_ROW_PT)
        return first, round(n * _ROOM_ROW_PT * 4 / 3)

    def colour(self, font_color: str) -> Any:
        """A format that only colours."""
        return self._look.colour(font_color)

    def struck(self) -> Any:
        """A format that strikes out what no longer holds."""
        return self._look.struck()

    def finish(self, left: str, right: str) -> None:
        """Set up the print, one page wide with a footer, and lock all that is no input."""
        sheet = self.sheet
        if self._printed:
            sheet.print_area(0, 0, max(self.row - 1, 0), self.last_column)
        else:
            sheet.print_area(self.row + 1, 0, self.row + 1, 0)  # an empty cell: the only way to say "nothing of this"
        sheet.fit_to_pages(1, 0)
        sheet.set_h_pagebreaks(self._breaks)
        # A space ends the font size, so that a title that begins with a digit does not change it.
        sheet.set_footer(f"&L&8 {footer(left)}&R&8 {right}")
        everywhere = f"A1:XFD{self.row + 1}"
        sheet.ignore_errors(dict.fromkeys(("number_stored_as_text", "formula_differs", "formula_range"), everywhere))
        sheet.protect("", _MAY)

    def _turn(self, needed_pt: float) -> None:
        if self._used_pt + needed_pt > self._page_pt and self._used_pt > 0.3 * self._page_pt:
            self._breaks.append(self.row)
            self._used_pt = self._repeated_pt

    def _gap(self, height_pt: float) -> None:
        self.sheet.set_row(self.row, height_pt)
        self.row += 1
        self._used_pt += height_pt

    def _write(self, row: Row, height_pt: float | None = None) -> None:
        height_pt = self._height(row) if height_pt is None else height_pt
        if self._used_pt + height_pt > self._page_pt:  # the program will begin a new page here by itself
            self._used_pt = self._repeated_pt
        self.sheet.set_row(self.row, height_pt)
        for cell in row:
            self._put(cell)
        self.row += 1
        self._used_pt += height_pt

    def _put(self, cell: Cell) -> None:
        sheet, row, column, content = self.sheet, self.row, cell.column, cell.content
        form = self._look.format(cell.style, cell.number_format)
        if cell.last > column:
            sheet.merge_range(row, column, row, cell.last, "", form)
        if isinstance(content, Live):
            value = clean(content.value) if isinstance(content.value, str) else content.value
            sheet.write_formula(row, column, content.formula, form, value)
        elif content is None or content == "":
            sheet.write_blank(row, column, None, form)
        elif isinstance(content, str):
            sheet.write_string(row, column, clean(content), form)  # never a formula, a number or a link
        elif isinstance(content, Rich):
            self._put_rich(row, column, content, form)
        else:
            sheet.write_number(row, column, content, form)

    def _put_rich(self, row: int, column: int, content: Rich, form: Any) -> None:
        plain, bold = self._look.format("plain"), self._look.format("bold")
        runs = [
            ("".join(clean(text) for text, _strong in run), strong)
            for strong, run in groupby((run for run in content.runs if run[0]), key=lambda run: run[1])
        ]
        if len(runs) < 2 or len(content.text) > LONGEST:  # nothing to tell apart, or too long to be worth it
            self.sheet.write_string(row, column, clean(content.text), form)
            return
        fragments: list[Any] = []
        for text, strong in runs:
            fragments += [bold if strong else plain, text]
        self.sheet.write_rich_string(row, column, *fragments, form)

    def _height(self, row: Row) -> float:
        """Height that shows every cell. [pt]"""
        needed = 0.0
        for cell in row:
            content = cell.content
            line_pt, room_pt, wraps = _LINES[cell.style]
            lines = 1
            if wraps and content.__class__ is not float:
                text = cell.may_become or (content.value if isinstance(content, Live) else content)
                if isinstance(text, str | Rich):
                    lines = self._wrapped(cell, text if isinstance(text, str) else text.text)
            needed = max(needed, lines * line_pt + room_pt)
        return min(needed, _MOST_HEIGHT_PT)

    def _wrapped(self, cell: Cell, text: str) -> int:
        """Lines that a text takes in its cell."""
        style = STYLES[cell.style]
        columns = self._widths[cell.column : max(cell.last, cell.column) + 1]
        width = sum(columns) + 0.7 * len(columns) - 0.9 - 1.3 * style.get("indent", 0)  # edges; an indent
        lines = _lines(text, width * 10 / size_pt(cell.style), bool(style.get("bold")))
        return min(lines, _MOST_LINES.get(cell.style, lines))


_LINES = {
    name: (1.28 * size_pt(name), 8.0 if name == "section" else 3.5, bool(style.get("text_wrap")))
    for name, style in STYLES.items()
}
"""Of each style: height of a line and room around the lines, in points, and whether it has more than one."""


@lru_cache(maxsize=4096)
def _lines(text: str, width: float, bold: bool) -> int:
    """Lines that a text takes in a cell of ``width`` column units; a line ends before the word that does not fit."""
    room = max(0.97 * width, 1.0)
    stretch = 1.07 if bold else 1.0
    if "\n" not in text and 1.4 * stretch * len(text) < room and text.isascii():
        return 1
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


@lru_cache(maxsize=1024)
def _width(character: str) -> float:
    """Rough width of a character in column units, for Arial and its like."""
    if character in _NARROW:
        return 0.53
    if character in _BROAD or character.isupper():
        return 1.37
    return 2.1 if unicodedata.east_asian_width(character) in "WF" else 1.03
