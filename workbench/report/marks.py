"""The sign of what a piece is for: a shape and a word, so that nobody needs colour or good light to tell them apart."""

from workbench.base.text import _
from workbench.recipe.words import PURPOSES
from workbench.report.pdf.fonts import CAP_HEIGHT, MM_PER_PT, width_mm
from workbench.report.pdf.page import Mark, Polygon, Rect, Text
from workbench.report.pdf.setting import Setting

SIGNS = ("race", "long_ride")

_PADDING = 0.35  # of the height


def purpose_mark(setting: Setting, purpose: str, right_mm: float, top_mm: float, height_mm: float) -> list[Mark]:
    """The sign, ending at ``right_mm``: race a black flag, long ride an outlined bar; other versions have none."""
    if purpose not in SIGNS:
        return []
    word = setting.clean(_(PURPOSES[purpose]).upper())
    size = 0.62 * height_mm / (CAP_HEIGHT * MM_PER_PT)
    wide = width_mm(word, size, bold=True)
    pad = _PADDING * height_mm
    baseline = top_mm + (height_mm + CAP_HEIGHT * size * MM_PER_PT) / 2
    point = 0.6 * height_mm
    if purpose == "race":
        left = right_mm - wide - 2 * pad - point
        middle = top_mm + height_mm / 2
        flag = (
            (left, top_mm),
            (right_mm, top_mm),
            (right_mm, top_mm + height_mm),
            (left, top_mm + height_mm),
            (left + point, middle),
        )
        return [Polygon(flag), Text(right_mm - pad, baseline, word, size, bold=True, align="right", ink=1.0)]
    text = Text(right_mm - pad, baseline, word, size, bold=True, align="right")
    left = right_mm - wide - 2 * pad
    line = 0.1 * height_mm
    return [Rect(left + line / 2, top_mm + line / 2, wide + 2 * pad - line, height_mm - line, None, line), text]


def purpose_width_mm(setting: Setting, purpose: str, height_mm: float) -> float:
    """How wide the sign is. [mm]"""
    if purpose not in SIGNS:
        return 0.0
    size = 0.62 * height_mm / (CAP_HEIGHT * MM_PER_PT)
    wide = width_mm(setting.clean(_(PURPOSES[purpose]).upper()), size, bold=True)
    return wide + (2 * _PADDING + (0.6 if purpose == "race" else 0.0)) * height_mm
