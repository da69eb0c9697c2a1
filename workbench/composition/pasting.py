"""Rows copied from a spreadsheet or a list, read as ingredients: which food is meant, and how much of it.

Cells are separated by tabs (or semicolons); a row of one cell is a line of text such as "300 g maize meal" or "maize
meal 300 g".  Columns may come in any order: the amount is the cell that begins with a figure.  A first row without any
amount is a header; its words tell the columns, and a unit in it ("amount (kg)") holds for figures without one.

A name is certain only if it is a food's whole name or one of its other names.  Everything else is for the user to say.
"""

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from workbench.base.errors import AmountError
from workbench.base.text import N_, _
from workbench.base.units import System, find_unit
from workbench.composition.amounts import ParsedAmount, parse_amount
from workbench.composition.food import Food
from workbench.composition.words import folded

MOST_CHARACTERS = 2_000_000  # more is no recipe
_LONGEST_UNIT = 3  # words: "US fl oz"
_LONGEST_LINE = 200  # characters of name and amount together

HEADER = {
    "name": N_("ingredient"),
    "grams": N_("grams"),
    "share": N_("% of batch"),
    "as_bought": N_("as bought"),
    "stage": N_("stage"),
}
"""Titles of the columns when a recipe is copied; they are known again when it is pasted."""

_ALSO = {
    "ingredient": "name", "name": "name", "food": "name", "item": "name", "grams": "grams", "g": "grams",
    "amount": "grams", "quantity": "grams", "weight": "grams", "mass": "grams", "unit": "unit", "share": "share",
    "%": "share", "as bought": "as_bought", "stage": "stage", "step": "stage",
}  # fmt: skip
_FIGURE = re.compile(r"[-−]?\s*[.,]?\d|[¼½¾⅓⅔⅛⅜⅝⅞]")
_AMOUNT_FIRST = re.compile(r"(?P<figure>[\d¼½¾⅓⅔⅛⅜⅝⅞][\d.,/'’¼½¾⅓⅔⅛⅜⅝⅞]*(?: \d+/\d+| ?[¼½¾⅓⅔⅛⅜⅝⅞])?)\s*(?P<rest>\D.*)")
_AMOUNT_LAST = re.compile(r"(?P<name>.*?\D)[\s:,=–-]+(?P<amount>[\d¼½¾⅓⅔⅛⅜⅝⅞][\d.,/'’ ]*[^\W\d_ ]*(?: [^\W\d_]+){0,2})")
_NO = ("", "0", "-", "–", "no", "false")


class PastedRow(NamedTuple):
    """One row as it was copied."""

    number: int  # among the rows, from 1
    name: str
    amount: str  # as typed, with its unit if there is one
    as_bought: bool = False
    stage: str = ""


class ReadRow(NamedTuple):
    """A row with what is certain of it."""

    row: PastedRow
    key: str | None  # of the food or variant that is certainly meant
    parsed: ParsedAmount | None
    problem: str = ""  # why something is not certain


# --- rows ---------------------------------------------------------------------------------------------------------


def read_rows(text: str) -> list[PastedRow]:
    """Cut copied text into rows; empty rows and a header are left out."""
    lines = [line for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n") if line.strip()]
    between = "\t" if any("\t" in line for line in lines) else ";"
    rows = [[_unquoted(cell) for cell in line.split(between)] for line in lines]
    columns: dict[str, int] = {}
    unit = ""
    if rows and _is_header(rows[0]):
        columns, unit = _read_header(rows.pop(0))
    read = (_read_row(number, cells, columns, unit) for number, cells in enumerate(rows, 1))
    return [row for row in read if row.name or row.amount]


def _unquoted(cell: str) -> str:
    cell = " ".join(cell.split())
    if len(cell) > 1 and cell[0] == cell[-1] == '"':
        cell = cell[1:-1].replace('""', '"').strip()
    return cell[1:] if cell[:1] == "'" and cell[1:2] in tuple("=+-@") else cell


def _titles() -> dict[str, str]:
    return {**_ALSO, **{folded(_(title)): kind for kind, title in HEADER.items()}}


def _is_header(cells: Sequence[str]) -> bool:
    known = _titles()
    words = [folded(cell) for cell in cells if cell]
    if any(_FIGURE.match(word) for word in words):
        return False
    return len(words) > 1 or any(_bare(word) in known for word in words)


def _bare(title: str) -> str:
    return re.split(r"[(\[,/]", title)[0].strip() or title


def _read_header(cells: Sequence[str]) -> tuple[dict[str, int], str]:
    known, columns, unit = _titles(), {}, ""
    for k, cell in enumerate(cells):
        title = folded(cell)
        inside = re.search(r"[(\[,/]\s*([^\W\d_]+)", title)
        given = inside[1] if inside is not None and find_unit(inside[1], "metric") else ""
        kind = known.get(title) or known.get(_bare(title)) or ("grams" if given else None)
        if kind is None or kind in columns:
            continue
        columns[kind] = k
        if kind == "grams":
            unit = given
    return columns, unit


def _read_row(number: int, cells: Sequence[str], columns: Mapping[str, int], unit: str) -> PastedRow:
    def cell(kind: str) -> str:
        at = columns.get(kind, -1)
        return cells[at] if 0 <= at < len(cells) else ""

    if "name" in columns and "grams" in columns:
        name, amount = cell("name"), cell("grams")
        given = cell("unit") or unit
    else:
        name, amount, given = _guess(cells)
        given = given or unit
    if amount and given and not re.search(r"[^\W\d_]", amount):
        amount = f"{amount} {given}"
    return PastedRow(number, name, amount, folded(cell("as_bought")) not in _NO, cell("stage"))


def _guess(cells: Sequence[str]) -> tuple[str, str, str]:
    """Name, amount and unit of a row whose columns nobody told."""
    filled = [cell for cell in cells if cell]
    figures = [k for k, cell in enumerate(filled) if _FIGURE.match(cell)]
    if len(filled) == 1:
        return (*_split_line(filled[0]), "")
    if not figures:
        return (filled[0] if filled else ""), "", ""
    at = figures[0]
    rest = [cell for k, cell in enumerate(filled) if k not in figures]
    unit = next((cell for cell in rest if find_unit(cell, "metric")), "")
    name = next((cell for cell in rest if cell != unit), "")
    return name, filled[at], unit


def _split_line(text: str) -> tuple[str, str]:
    """Name and amount of one line of text."""
    if len(text) > _LONGEST_LINE:
        return text, ""
    first = _AMOUNT_FIRST.fullmatch(text)
    if first is not None:
        words = first["rest"].split()
        for length in range(min(_LONGEST_UNIT, len(words) - 1), 0, -1):
            if find_unit(" ".join(words[:length]), "metric"):
                name = words[length + 1 :] if words[length] == "of" else words[length:]
                return " ".join(name), f"{first['figure']} {' '.join(words[:length])}"
        return first["rest"], f"{first['figure']} {first['rest']}"  # "2 figs": a measure of the food, or not certain
    last = _AMOUNT_LAST.fullmatch(text)
    return (last["name"].strip(" :,=–-"), last["amount"].strip()) if last else (text, "")


# --- what is meant ------------------------------------------------------------------------------------------------


class KnownNames:
    """Names under which foods, and variants of the project, are certainly known."""

    def __init__(self, foods: Mapping[str, Food], variants: Mapping[str, str]) -> None:
        self._foods = foods
        self._keys: dict[str, set[str]] = {}
        self._whole: dict[str, set[str]] = {}
        for key, food in foods.items():
            self._whole.setdefault(folded(food.name), set()).add(key)
            for name in (food.name, *food.names.values(), *food.also):
                self._keys.setdefault(folded(name), set()).add(key)
        for key, name in variants.items():
            self._whole.setdefault(folded(name), set()).add(key)
            self._keys.setdefault(folded(name), set()).add(key)

    def find(self, name: str) -> tuple[str, ...]:
        """Keys of what goes by that whole name; a food's own name comes before other words for it."""
        wanted = folded(" ".join(name.split()))
        found = self._whole.get(wanted) or self._keys.get(wanted) or set()
        return tuple(sorted(found))

    def read(self, row: PastedRow, system: System) -> ReadRow:
        """What is certain of a row."""
        found = self.find(row.name)
        key = found[0] if len(found) == 1 else None
        try:
            parsed = parse_amount(row.amount, self._foods.get(key or ""), system) if row.amount else None
            problem = "" if parsed else _("no amount")
        except AmountError as error:
            parsed, problem = None, " ".join(error.lines())
        if key is None:
            problem = _("several ingredients have this name") if found else _("no ingredient has exactly this name")
        return ReadRow(row, key, parsed, problem)
