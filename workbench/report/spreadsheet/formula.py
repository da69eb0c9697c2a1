"""Formulas as text, each with the value that the engine gave: for viewers that do not calculate.

Only functions that every spreadsheet program has had for decades.  Numbers are worded by ``FIXED``, because the
patterns of ``TEXT`` mean something else in another language.  Text of users enters a formula only as the address of
its cell.
"""

from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from string import Formatter
from typing import NamedTuple

from workbench.base.text import _, decimal_sign

_NOISE_DECIMALS = 9  # spreadsheet programs add up in another order than the engine


class Live(NamedTuple):
    """A formula without its equals sign, and its value as the engine has it."""

    formula: str
    value: float | str


# --- addresses --------------------------------------------------------------------------------------------------------


@lru_cache(maxsize=256)
def letters(column: int) -> str:
    """Letters of a column, counted from 0."""
    name = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(65 + rest) + name
    return name


def cell(row: int, column: int) -> str:
    """Address of a cell, row and column counted from 0: ``$B$7``."""
    return f"${letters(column)}${row + 1}"


def down(column: int, first: int, last: int) -> str:
    """Cells of one column: ``$B$7:$B$9``."""
    return f"${letters(column)}${first + 1}:${letters(column)}${last + 1}"


def span(addresses: tuple[str, ...]) -> str:
    """Addresses of neighbours in one column, as a range."""
    return f"{addresses[0]}:{addresses[-1]}"


def on(sheet: str, address: str) -> str:
    """An address on a sheet of that name, whatever the name holds."""
    return "'" + sheet.replace("'", "''") + "'!" + address


# --- words ------------------------------------------------------------------------------------------------------------


def literal(text: str) -> str:
    """Words of the program as a part of a formula."""
    return '"' + text.replace('"', '""') + '"'


def sentence(template: str, **parts: str) -> str:
    """A formula that fills the named placeholders of a sentence of the program with other formulas."""
    pieces = []
    for text, name, _spec, _conversion in Formatter().parse(_(template)):
        if text:
            pieces.append(literal(text))
        if name:
            pieces.append(parts[name])
    return "&".join(pieces)


def fixed(address: str, decimals: int) -> str:
    """A formula that writes a number with so many decimals; sums that should be a half are one."""
    return f"FIXED(ROUND({address},{_NOISE_DECIMALS}),{decimals},TRUE)"


def fixed_text(value: float, decimals: int) -> str:
    """What ``fixed`` gives: of fifteen digits, as spreadsheet programs count, halves away from zero."""
    clean = Decimal(f"{value:.15g}").quantize(Decimal(1).scaleb(-_NOISE_DECIMALS), ROUND_HALF_UP)
    written = clean.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    return f"{written:f}".replace(".", decimal_sign())


def names_where(conditions: list[tuple[str, list[str]]]) -> str:
    """A formula that lists names, each where one of its amounts is above zero.

    Parameters
    ----------
    conditions : list of (str, list of str)
        Address of a name, and addresses of the amounts it depends on.
    """
    separator = literal("; ")

    def part(name: str, amounts: list[str]) -> str:
        tests = [f"{amount}>0" for amount in amounts]
        condition = tests[0] if len(tests) == 1 else f"OR({','.join(tests)})"
        return f'IF({condition},{separator}&{name},"")'

    listed = "&".join(part(name, amounts) for name, amounts in conditions)
    return f"MID({listed},3,9999)" if listed else '""'
