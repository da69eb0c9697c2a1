"""Text of users, made fit for a workbook: names of sheets, footers, names in formulas."""

import re
from collections.abc import Iterable
from functools import lru_cache

from workbench.base.cell_text import clean
from workbench.base.text import _

_SHEET_NAME_UNITS = 31  # UTF-16 units, as spreadsheet programs count
_FOOTER_UNITS = 80
_NAME_LENGTH = 100  # of names that formulas string together

# An exclamation mark is allowed, but ends the name of a sheet in every address that is not quoted.
_UNFIT_IN_SHEET_NAME = re.compile(r"[\[\]:*?/\\!\s]+")

_CALL = re.compile(r"(?<=\w)\(")  # in a formula it would look like a function


def one_line(text: str) -> str:
    """``clean`` text without line breaks."""
    return " ".join(clean(text).split())


def footer(text: str) -> str:
    """``text`` for the edge of a printed page, where an ampersand begins a command."""
    return _shortened(one_line(text), _FOOTER_UNITS).replace("&", "&&")


@lru_cache(maxsize=1024)
def short_name(text: str) -> str:
    """A name on one line, short enough that sixty of them together still fit a cell."""
    return _shortened(one_line(text), _NAME_LENGTH)


def sheet_names(wanted: Iterable[str]) -> list[str]:
    """Names of sheets: allowed ones, close to the wanted ones, no two alike."""
    return [names[0] for names in sheet_groups(wanted, ("",))]


def sheet_groups(wanted: Iterable[str], endings: tuple[str, ...], taken: Iterable[str] = ()) -> list[tuple[str, ...]]:
    """Names of several sheets for each wanted name, told apart by their endings; none is one of ``taken``."""
    groups: list[tuple[str, ...]] = []
    used = {"history", *(name.casefold() for name in taken)}  # spreadsheet programs keep the first for themselves
    for text in wanted:
        base = _UNFIT_IN_SHEET_NAME.sub(" ", one_line(text)).strip(" '") or _("variant")
        base = _CALL.sub(" (", base)
        count = 1
        names = tuple(_sheet_name(base, ending) for ending in endings)
        while used & {name.casefold() for name in names}:
            count += 1
            names = tuple(_sheet_name(base, f" ({count}){ending}") for ending in endings)
        used |= {name.casefold() for name in names}
        groups.append(names)
    return groups


def _sheet_name(base: str, ending: str) -> str:
    return _shortened(base, _SHEET_NAME_UNITS - _units(ending)).rstrip(" '") + ending


def _shortened(text: str, units: int) -> str:
    if _units(text) <= units:
        return text
    text = text[:units]  # a character is one unit or two
    while _units(text) > units - 1:
        text = text[:-1]
    return text.rstrip() + "…"


def _units(text: str) -> int:
    return len(text.encode("utf-16-le")) // 2
