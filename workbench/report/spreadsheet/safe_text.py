"""Text of users, made fit for a workbook: characters that XML forbids, names of sheets, footers."""

import re
from collections.abc import Iterable

from workbench.base.text import _

_SHEET_NAME_UNITS = 31  # UTF-16 units, as spreadsheet programs count
_FOOTER_UNITS = 80
_CELL_LENGTH = 8000  # a cell may hold 32767; no row can show that much

# Not allowed in XML 1.0 or discouraged there, halves of surrogate pairs, and signs that turn the text after them.
_UNFIT = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff\u202a-\u202e\u2066-\u2069]"
)
_UNFIT_IN_SHEET_NAME = re.compile(r"[\[\]:*?/\\\s]+")


def clean(text: str) -> str:
    """``text`` without what a workbook cannot hold; a replacement character shows where something stood."""
    text = _UNFIT.sub("\ufffd", text.replace("\r\n", "\n").replace("\r", "\n"))
    return text if len(text) <= _CELL_LENGTH else text[: _CELL_LENGTH - 1] + "…"


def one_line(text: str) -> str:
    """``clean`` text without line breaks."""
    return " ".join(clean(text).split())


def footer(text: str) -> str:
    """``text`` for the edge of a printed page, where an ampersand begins a command."""
    return _shortened(one_line(text), _FOOTER_UNITS).replace("&", "&&")


def sheet_names(wanted: Iterable[str]) -> list[str]:
    """Names of sheets: allowed ones, close to the wanted ones, no two alike."""
    names: list[str] = []
    taken = {"history"}  # a name that spreadsheet programs keep for themselves
    for text in wanted:
        base = _UNFIT_IN_SHEET_NAME.sub(" ", one_line(text)).strip(" '") or _("variant")
        name = _sheet_name(base, "")
        count = 1
        while name.casefold() in taken:
            count += 1
            name = _sheet_name(base, f" ({count})")
        taken.add(name.casefold())
        names.append(name)
    return names


def _sheet_name(base: str, ending: str) -> str:
    return _shortened(base, _SHEET_NAME_UNITS - len(ending)).rstrip(" '") + ending


def _shortened(text: str, units: int) -> str:
    if _units(text) <= units:
        return text
    while _units(text) > units - 1:
        text = text[:-1]
    return text.rstrip() + "…"


def _units(text: str) -> int:
    return len(text.encode("utf-16-le")) // 2
