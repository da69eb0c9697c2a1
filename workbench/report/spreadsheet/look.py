"""How the sheet looks: dark ink on paper, hairlines, one accent; colour never says anything alone."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

INK, MUTED, ACCENT = "#1F2328", "#5A6068", "#0B5C7A"
PANEL, HAIRLINE = "#F1EFEA", "#DDD9D0"
MET, DOUBTFUL, MISSED = "#1B6E4B", "#8A5A00", "#A32A2A"

FONT = "Arial"  # every spreadsheet program has it or one of the same widths
SIZE_PT = 10

_INDENT = {"align": "left", "indent": 1}
_LINE = {"bottom": 4, "bottom_color": HAIRLINE}
_VERDICT = {**_LINE, **_INDENT, "bold": True, "text_wrap": True}
_FIGURE = {**_LINE, "align": "right"}

STYLES: Mapping[str, Mapping[str, Any]] = MappingProxyType(
    {
        "title": {"bold": True, "font_size": 16, "text_wrap": True},
        "subtitle": {"font_color": MUTED, "text_wrap": True, "bottom": 2, "bottom_color": ACCENT},
        "headline": {"font_size": 12, "text_wrap": True},
        "section": {"bold": True, "font_size": 12, "font_color": ACCENT, "valign": "bottom"},
        "head": {"bold": True, "bg_color": PANEL, "text_wrap": True, "valign": "bottom"},
        "head_words": {"bold": True, "bg_color": PANEL, "text_wrap": True, "valign": "bottom", **_INDENT},
        "head_figure": {"bold": True, "bg_color": PANEL, "text_wrap": True, "align": "right", "valign": "bottom"},
        "head_name": {"bold": True, "bg_color": PANEL, "text_wrap": True, "align": "right"},
        "name": {**_LINE, "text_wrap": True},
        "part": {**_LINE, "text_wrap": True, **_INDENT},
        "part_of_part": {**_LINE, "text_wrap": True, **_INDENT, "indent": 2},
        "strong": {**_LINE, "text_wrap": True, "bold": True},
        "unit": {**_LINE, "font_color": MUTED},
        "figure": _FIGURE,
        "strong_figure": {**_FIGURE, "bold": True},
        "words": {**_LINE, "text_wrap": True, **_INDENT},
        "muted_words": {**_LINE, "text_wrap": True, **_INDENT, "font_color": MUTED},
        "text": {"text_wrap": True},
        "muted": {"text_wrap": True, "font_color": MUTED},
        "warning": {"text_wrap": True, "font_color": DOUBTFUL},
        "error": {"text_wrap": True, "font_color": MISSED},
        "met": {"font_color": MET, **_VERDICT},
        "short": {"font_color": MISSED, **_VERDICT},
        "over": {"font_color": MISSED, **_VERDICT},
        "cannot_tell": {"font_color": DOUBTFUL, **_VERDICT},
    }
)


def size_pt(style: str) -> float:
    """Font size of a style. [pt]"""
    return float(STYLES[style].get("font_size", SIZE_PT))


class Look:
    """The formats of one workbook, each made once."""

    def __init__(self, workbook: Any) -> None:
        self._workbook = workbook
        self._made: dict[tuple[str, str], Any] = {}

    def format(self, style: str, number_format: str = "") -> Any:
        """The format of a style, with a way to write numbers."""
        key = (style, number_format)
        if key not in self._made:
            shown = {"num_format": number_format} if number_format else {}
            plain = {"font_name": FONT, "font_size": SIZE_PT, "font_color": INK, "valign": "top"}
            self._made[key] = self._workbook.add_format({**plain, **STYLES[style], **shown})
        return self._made[key]
