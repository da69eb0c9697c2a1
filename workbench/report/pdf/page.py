"""A page as plain data: texts, rectangles, lines and polygons in millimetres from the upper left corner."""

from collections.abc import Iterable
from typing import Literal, NamedTuple

Align = Literal["left", "right", "centre"]


class PageSize(NamedTuple):
    """Paper, upright."""

    width_mm: float
    height_mm: float


PAGE_SIZES: dict[str, PageSize] = {"a4": PageSize(210.0, 297.0), "letter": PageSize(215.9, 279.4)}


class Text(NamedTuple):
    """One line of text on its baseline; ``x_mm`` is its left edge, right edge or middle."""

    x_mm: float
    y_mm: float
    text: str
    size_pt: float
    bold: bool = False
    align: Align = "left"
    ink: float = 0.0  # 0 black, 1 white


class Rect(NamedTuple):
    """A rectangle, filled where ``fill`` is given and outlined where ``line_mm`` is above 0."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    fill: float | None = None
    line_mm: float = 0.0


class Line(NamedTuple):
    """A straight line."""

    x_mm: float
    y_mm: float
    to_x_mm: float
    to_y_mm: float
    line_mm: float = 0.2


class Polygon(NamedTuple):
    """A closed shape, filled or, without ``fill``, outlined."""

    points_mm: tuple[tuple[float, float], ...]
    fill: float | None = 0.0
    line_mm: float = 0.0


Mark = Text | Rect | Line | Polygon


class Page(NamedTuple):
    """A page and what stands on it, in the order in which it is painted."""

    size: PageSize
    marks: tuple[Mark, ...]


def moved(marks: Iterable[Mark], right_mm: float, down_mm: float) -> list[Mark]:
    """The marks at another place."""
    found: list[Mark] = []
    for mark in marks:
        if isinstance(mark, Polygon):
            points = tuple((x + right_mm, y + down_mm) for x, y in mark.points_mm)
            found.append(mark._replace(points_mm=points))
            continue
        there = mark._replace(x_mm=mark.x_mm + right_mm, y_mm=mark.y_mm + down_mm)
        if isinstance(there, Line):
            there = there._replace(to_x_mm=there.to_x_mm + right_mm, to_y_mm=there.to_y_mm + down_mm)
        found.append(there)
    return found
