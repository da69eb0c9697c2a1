"""A sheet of labels by its dimensions, checked before anything is printed on it."""

import math
from typing import NamedTuple

from workbench.base.errors import WorkbenchError
from workbench.base.text import N_, _, number

_SMALLEST_MM = (25.0, 12.0)  # width and height: below it no legible label is left
_LARGEST_PAGE_MM = 1000.0
_MOST_LABELS = 1000
_SLACK_MM = 0.05  # printed dimensions are rounded


class LabelSheet(NamedTuple):
    """A page of equal labels; all lengths in millimetres, margins from the upper left corner."""

    page_width_mm: float
    page_height_mm: float
    left_mm: float
    top_mm: float
    rows: int
    columns: int
    label_width_mm: float
    label_height_mm: float
    gap_x_mm: float = 0.0
    gap_y_mm: float = 0.0

    @property
    def labels(self) -> int:
        """Labels on one sheet."""
        return self.rows * self.columns

    def corner_mm(self, position: int) -> tuple[float, float]:
        """Upper left corner of the label at a position, counted from 0 by rows."""
        row, column = divmod(position, self.columns)
        return (
            self.left_mm + column * (self.label_width_mm + self.gap_x_mm),
            self.top_mm + row * (self.label_height_mm + self.gap_y_mm),
        )


SHEETS: dict[str, tuple[str, LabelSheet]] = {
    "a4-21": (N_("A4, 3 × 7 labels of 63.5 × 38.1 mm"), LabelSheet(210, 297, 7.2, 15.1, 7, 3, 63.5, 38.1, 2.55, 0)),
    "a4-24": (N_("A4, 3 × 8 labels of 70 × 37 mm"), LabelSheet(210, 297, 0, 0.5, 8, 3, 70, 37)),
    "a4-40": (N_("A4, 4 × 10 labels of 52.5 × 29.7 mm"), LabelSheet(210, 297, 0, 0, 10, 4, 52.5, 29.7)),
    "letter-30": (
        N_("US Letter, 3 × 10 labels of 2 5/8 × 1 inch"),
        LabelSheet(215.9, 279.4, 4.7625, 12.7, 10, 3, 66.675, 25.4, 3.175, 0),
    ),
}
"""Common sheets, by their dimensions; any other is described by its own."""


def checked(sheet: LabelSheet) -> LabelSheet:
    """The sheet, if labels can be printed on it.

    Raises
    ------
    WorkbenchError
        If a length is impossible or the labels reach beyond the page; the message says which and by how much.
    """
    if not all(math.isfinite(figure) for figure in sheet):
        raise _refused(_("A dimension is no number."), _("Give every dimension in mm."))
    if not (0 < sheet.page_width_mm <= _LARGEST_PAGE_MM and 0 < sheet.page_height_mm <= _LARGEST_PAGE_MM):
        raise _refused(_("The page needs a width and a height of 1 to 1000 mm."), _("An A4 page has 210 × 297 mm."))
    if min(sheet.left_mm, sheet.top_mm, sheet.gap_x_mm, sheet.gap_y_mm) < 0:
        raise _refused(_("A margin or a gap is below zero."), _("Type 0 where there is none."))
    if sheet.rows < 1 or sheet.columns < 1 or sheet.labels > _MOST_LABELS:
        raise _refused(_("The sheet needs at least one row and one column, and at most 1000 labels."), "")
    width, height = _SMALLEST_MM
    if sheet.label_width_mm < width or sheet.label_height_mm < height:
        raise _refused(
            _("A label of {width} × {height} mm is too small to be read.", **_lengths(sheet)),
            _("The smallest has {width} × {height} mm.", width=number(width, 0), height=number(height, 0)),
        )
    x, y = sheet.corner_mm(sheet.labels - 1)
    for beyond, along in (
        (x + sheet.label_width_mm - sheet.page_width_mm, N_("{over} mm wider than the page: {columns} columns.")),
        (y + sheet.label_height_mm - sheet.page_height_mm, N_("{over} mm higher than the page: {rows} rows.")),
    ):
        if beyond > _SLACK_MM:
            words = _(along, over=number(beyond, 1), rows=sheet.rows, columns=sheet.columns)
            raise _refused(
                _("The labels are {words}", words=words), _("Check margins, gaps, the size of a label, and how many.")
            )
    return sheet


def _lengths(sheet: LabelSheet) -> dict[str, object]:
    return {"width": number(sheet.label_width_mm, 1), "height": number(sheet.label_height_mm, 1)}


def _refused(summary: str, hint: str) -> WorkbenchError:
    return WorkbenchError(summary, hint=hint, where=_("label sheet"))


_FIELDS = len(LabelSheet._fields)


def read_sheet(text: str) -> LabelSheet:
    """A sheet by the name of a common one, or by its dimensions: ``210,297,7.2,15.1,7,3,63.5,38.1,2.55,0``.

    The order is that of ``LabelSheet``; the two gaps may be left out.

    Raises
    ------
    WorkbenchError
        If it is neither, or cannot be printed on.
    """
    if text in SHEETS:
        return SHEETS[text][1]
    parts = text.split(",")
    try:
        figures = [float(part) for part in parts]
        if not _FIELDS - 2 <= len(figures) <= _FIELDS or any(figures[k] != int(figures[k]) for k in (4, 5)):
            raise ValueError
    except (ValueError, OverflowError) as error:
        raise WorkbenchError(
            _("“{text}” is no label sheet.", text=text[:60]),
            hint=_(
                "Name one of {names}, or give in mm: page width, page height, left margin, top margin, rows, columns, "
                "label width, label height, gap across, gap down.",
                names=", ".join(SHEETS),
            ),
        ) from error
    rows, columns = int(figures[4]), int(figures[5])
    width, height, left, top = figures[:4]
    return checked(LabelSheet(width, height, left, top, rows, columns, figures[6], figures[7], *figures[8:]))
