"""How the workbook looks: dark ink on paper, hairlines, one accent; colour never says anything alone."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

INK, MUTED, ACCENT = "#1F2328", "#5A6068", "#0B5C7A"
PANEL, HAIRLINE, INPUT, OPEN, STRUCK = "#F1EFEA", "#DDD9D0", "#FFF3C4", "#F6E7D8", "#DAD6CF"
MET, DOUBTFUL, MISSED = "#1B6E4B", "#8A5A00", "#A32A2A"

FONT = "Arial"  # every spreadsheet program has it or one of the same widths
SIZE_PT = 10

_INDENT = {"align": "left", "indent": 1}
_LINE = {"bottom": 4, "bottom_color": HAIRLINE}
_FIGURE = {**_LINE, "align": "right"}
_HEAD = {"bold": True, "bg_color": PANEL, "text_wrap": True, "valign": "bottom"}

STYLES: Mapping[str, Mapping[str, Any]] = MappingProxyType(
    {
        "title": {"bold": True, "font_size": 16, "text_wrap": True},
        "subtitle": {"font_color": MUTED, "text_wrap": True, "bottom": 2, "bottom_color": ACCENT},
        "headline": {"font_size": 12, "text_wrap": True},
        "section": {"bold": True, "font_size": 12, "font_color": ACCENT, "valign": "bottom"},
        "head": _HEAD,
        "head_words": {**_HEAD, **_INDENT},
        "head_figure": {**_HEAD, "align": "right"},
        "head_component": {**_HEAD, "align": "right", "font_size": 9},
        "head_name": {**_HEAD, "align": "right", "valign": "top"},
        "name": {**_LINE, "text_wrap": True},
        "part": {**_LINE, "text_wrap": True, **_INDENT},
        "part_of_part": {**_LINE, "text_wrap": True, **_INDENT, "indent": 2},
        "strong": {**_LINE, "text_wrap": True, "bold": True},
        "unit": {**_LINE, "font_color": MUTED},
        "figure": _FIGURE,
        "strong_figure": {**_FIGURE, "bold": True},
        "not_known": {**_FIGURE, "bg_color": OPEN},
        "filled": {**_FIGURE, "italic": True},
        "sign": {**_FIGURE, "font_color": DOUBTFUL},
        "words": {**_LINE, "text_wrap": True, **_INDENT},
        "muted_words": {**_LINE, "text_wrap": True, **_INDENT, "font_color": MUTED},
        "text": {"text_wrap": True},
        "muted": {"text_wrap": True, "font_color": MUTED},
        "warning": {"text_wrap": True, "font_color": DOUBTFUL},
        "error": {"text_wrap": True, "font_color": MISSED},
        "plain": {},
        "bold": {"bold": True},
        "state": {"text_wrap": True, "bold": True, "font_color": ACCENT},
        "verdict": {**_LINE, **_INDENT, "bold": True, "text_wrap": True},
        "input": {
            "bg_color": INPUT,
            "align": "right",
            "border": 1,
            "border_color": "#B99A3B",
            "locked": False,
        },
        "input_key": {"bg_color": INPUT, "text_wrap": True, "border": 1, "border_color": "#B99A3B"},
    }
)
"""``input`` alone is unlocked.  ``not_known`` marks a value that is missing, ``filled`` one that a rule gave."""

VERDICTS = (("●", MET), ("▼", MISSED), ("▲", MISSED), ("○", DOUBTFUL))
"""Signs that begin a verdict, with the colour that goes with each."""


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
        made = self._made.get(key)
        if made is None:
            shown = {"num_format": number_format} if number_format else {}
            plain = {"font_name": FONT, "font_size": SIZE_PT, "font_color": INK, "valign": "top"}
            made = self._made[key] = self._workbook.add_format({**plain, **STYLES[style], **shown})
        return made

    def struck(self) -> Any:
        """A format that strikes out and shades, as text of several formats may keep its own fonts."""
        return self._workbook.add_format({"font_strikeout": True, "font_color": MUTED, "bg_color": STRUCK})

    def colour(self, font_color: str) -> Any:
        """A format that only colours what a condition chooses."""
        return self._workbook.add_format({"font_color": font_color})
