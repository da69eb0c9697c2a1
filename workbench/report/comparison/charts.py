"""Small charts for the printed comparison: one a quantity, a bar for each variant, all bars of a chart on one scale.

A bar is the known part, a line goes from the lower to the upper limit and ends in an arrow where nothing limits it, and
what a target asks for is shaded.  Grey tells nothing that a shape or a figure does not say too.
"""

import math
from typing import NamedTuple

from workbench.base.text import _
from workbench.recipe.bound import Bound
from workbench.recipe.columns import cell_text
from workbench.recipe.side_by_side import LETTERS, Band, Row
from workbench.report.pdf.desk import Desk, Laid
from workbench.report.pdf.fonts import CAP_HEIGHT, MM_PER_PT
from workbench.report.pdf.page import Line, Mark, Polygon, Rect, Text

PER_ROW = 4
_GAP_MM = 5.0
_SHADE = 0.86  # of a target band
_BAR = 0.45
_REFERENCE_BAR = 0.1
_ROOM = 1.06  # the scale ends a little beyond the largest figure


class _Axis(NamedTuple):
    """Where figures stand: from the left edge of nothing to the right edge of ``most``. [mm]"""

    left_mm: float
    right_mm: float
    most: float

    def at(self, figure: float) -> float:
        return self.left_mm + (self.right_mm - self.left_mm) * min(max(figure / self.most, 0.0), 1.0)


def chart_row(desk: Desk, rows: list[Row], reference: int) -> Laid:
    """Up to four small charts beside each other."""
    wide = (desk.width_mm - (PER_ROW - 1) * _GAP_MM) / PER_ROW
    marks: list[Mark] = []
    height = 0.0
    for k, row in enumerate(rows):
        laid = _chart(desk, row, reference, wide, k * (wide + _GAP_MM))
        marks += laid.marks
        height = max(height, laid.height_mm)
    return Laid(height, marks)


def _chart(desk: Desk, row: Row, reference: int, wide: float, x: float) -> Laid:
    quantity = row.quantity
    unit = f", {quantity.unit}" if quantity.unit else ""
    title, size = desk.setting.line(f"{_(quantity.title)}{unit}", wide, desk.pt(8), desk.pt(5.5), bold=True)
    marks: list[Mark] = [Text(x, desk.mm(3.0), title, size, bold=True)]
    top, step = desk.mm(4.2), desk.mm(3.9)
    axis = _Axis(x + desk.mm(4.0), x + wide - desk.mm(15.5), _most(row))
    bottom = top + step * len(row.bounds)
    for k, (bound, band) in enumerate(zip(row.bounds, row.bands, strict=True)):
        y = top + k * step
        if band is not None:
            marks += _band(axis, band, y, step)
        marks += _bar(desk, axis, bound, y, step, k == reference)
        baseline = y + (step + CAP_HEIGHT * desk.pt(7) * MM_PER_PT) / 2
        marks.append(Text(x, baseline, LETTERS[k], desk.pt(7), bold=k == reference))
        figure = cell_text(bound, quantity.decimals)
        figure, size = desk.setting.line(figure, desk.mm(14.8), desk.pt(7), desk.pt(4.5))
        marks.append(Text(x + wide, baseline, figure, size, align="right"))
    marks.append(Line(axis.left_mm, top, axis.left_mm, bottom, 0.25))
    return Laid(bottom + desk.mm(2.4), marks)


def _most(row: Row) -> float:
    """End of the scale: the largest figure, limit or side of a band."""
    figures = [figure for bound in row.bounds for figure in bound[:3]]
    figures += [side or 0.0 for band in row.bands if band is not None for side in (band.low, band.high, band.aim)]
    return max((figure for figure in figures if math.isfinite(figure)), default=0.0) * _ROOM or 1.0


def _band(axis: _Axis, band: Band, y: float, step: float) -> list[Mark]:
    if band.low is None and band.high is None:
        if band.aim is None:
            return []
        return [Line(axis.at(band.aim), y, axis.at(band.aim), y + step, 0.3)]
    left = axis.at(band.low) if band.low is not None else axis.left_mm
    right = axis.at(band.high) if band.high is not None else axis.right_mm
    marks: list[Mark] = [Rect(left, y, max(right - left, 0.3), step, _SHADE)]
    return marks + [Line(axis.at(side), y, axis.at(side), y + step, 0.15) for side in band[:2] if side is not None]


def _bar(desk: Desk, axis: _Axis, bound: Bound, y: float, step: float, reference: bool) -> list[Mark]:
    middle, thick = y + step / 2, step * 0.5
    if math.isnan(bound.low):
        return []
    marks: list[Mark] = []
    if bound.known and bound.value > 0:
        right = axis.at(bound.value)
        marks.append(
            Rect(axis.left_mm, middle - thick / 2, right - axis.left_mm, thick, _REFERENCE_BAR if reference else _BAR)
        )
    if bound.certainty == "exact":
        return marks
    # The line lies below the bar's middle on white, so that its part over the bar can be seen as well.
    low, high, end = axis.at(bound.low), axis.at(bound.high), desk.mm(0.9)
    marks.append(Rect(low, middle - 0.35, high - low, 0.7, 1.0))
    marks.append(Line(low, middle, high, middle, 0.3))
    marks.append(Line(low, middle - end, low, middle + end, 0.3))
    if math.isfinite(bound.high):
        marks.append(Line(high, middle - end, high, middle + end, 0.3))
    else:
        marks.append(Polygon(((high + end * 1.4, middle), (high, middle - end), (high, middle + end))))
    return marks
