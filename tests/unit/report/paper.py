"""How far what stands on a page reaches."""

from workbench.report.pdf.fonts import MM_PER_PT, width_mm
from workbench.report.pdf.page import Line, Page, Polygon, Rect, Text


def edges(page: Page) -> list[tuple[float, float]]:
    """Corners of everything on a page."""
    found: list[tuple[float, float]] = []
    for mark in page.marks:
        if isinstance(mark, Text):
            wide = width_mm(mark.text, mark.size_pt, bold=mark.bold)
            left = mark.x_mm - {"left": 0.0, "right": wide, "centre": wide / 2}[mark.align]
            found += [(left, mark.y_mm - mark.size_pt * MM_PER_PT), (left + wide, mark.y_mm)]
        elif isinstance(mark, Rect):
            found += [(mark.x_mm, mark.y_mm), (mark.x_mm + mark.width_mm, mark.y_mm + mark.height_mm)]
        elif isinstance(mark, Line):
            found += [(mark.x_mm, mark.y_mm), (mark.to_x_mm, mark.to_y_mm)]
        elif isinstance(mark, Polygon):
            found += mark.points_mm
    return found
