"""Pages as a PDF file, the same bytes for the same pages: no clock is read here."""

from collections.abc import Iterable
from datetime import UTC, date, datetime
from typing import Any

from workbench.report.pdf.fonts import FAMILY, MM_PER_PT, width_mm, with_fonts
from workbench.report.pdf.page import Line, Mark, Page, Rect, Text
from workbench.report.pdf.setting import printable

_UNDATED = date(2000, 1, 1)  # the format asks for a date


def pdf_bytes(pages: Iterable[Page], *, title: str, written: date | None = None) -> bytes:
    """Pages as the content of a PDF file.

    Parameters
    ----------
    pages : iterable of Page
        Their texts hold only characters that the font has (``setting.Setting``).
    title : str
        Title of the document.
    written : date, optional
        Date of the document.
    """
    from fpdf import FPDF

    document = with_fonts(FPDF(unit="mm"))
    at = written or _UNDATED
    document.set_creation_date(datetime(at.year, at.month, at.day, tzinfo=UTC))
    document.set_title(printable(title)[0])
    document.set_creator("Pocketfare")
    document.set_auto_page_break(False)
    document.set_margin(0)
    document.c_margin = 0
    for page in pages:
        document.add_page(format=(page.size.width_mm, page.size.height_mm))
        for mark in page.marks:
            _draw(document, mark)
    return bytes(document.output())


def _grey(shade: float) -> int:
    return round(255 * shade)


def _draw(document: Any, mark: Mark) -> None:
    if isinstance(mark, Text):
        _write(document, mark)
    elif isinstance(mark, Line):
        document.set_draw_color(0)
        document.set_line_width(mark.line_mm)
        document.line(mark.x_mm, mark.y_mm, mark.to_x_mm, mark.to_y_mm)
    else:
        style = ("F" if mark.fill is not None else "") + ("D" if mark.line_mm else "")
        if mark.fill is not None:
            document.set_fill_color(_grey(mark.fill))
        document.set_draw_color(0)
        document.set_line_width(mark.line_mm)
        if isinstance(mark, Rect):
            document.rect(mark.x_mm, mark.y_mm, mark.width_mm, mark.height_mm, style=style)
        else:
            document.polygon(mark.points_mm, style=style)


def _write(document: Any, mark: Text) -> None:
    if not mark.text:
        return
    document.set_font(FAMILY, "B" if mark.bold else "", mark.size_pt)
    document.set_text_color(_grey(mark.ink))
    x = mark.x_mm
    if mark.align != "left":
        wide = width_mm(mark.text, mark.size_pt, bold=mark.bold)
        x -= wide if mark.align == "right" else wide / 2
    # Only a cell is shaped and put in reading order; its baseline lies 0.8 of its height below its top.
    height = mark.size_pt * MM_PER_PT
    document.set_xy(x, mark.y_mm - 0.8 * height)
    document.cell(w=document.w, h=height, text=mark.text)
