"""Text of users, made fit for a cell: nothing that XML forbids, and never a formula."""

import re

LONGEST = 8000  # a cell may hold 32767; no row can show that much

# Not allowed in XML 1.0 or discouraged there, halves of surrogate pairs, and signs that turn the text after them.
_UNFIT = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff\u202a-\u202e\u2066-\u2069]"
)
# What a spreadsheet program takes for a formula when it opens a text file, however many apostrophes stand before it.
_FORMULA = re.compile("'*[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")


def clean(text: str, longest: int = LONGEST) -> str:
    """``text`` without what a workbook cannot hold; a replacement character shows where something stood."""
    text = _UNFIT.sub("\ufffd", text.replace("\r\n", "\n").replace("\r", "\n"))
    return text if len(text) <= longest else text[: longest - 1] + "…"


def guarded(text: str) -> str:
    """``text`` that no spreadsheet program takes for a formula: an apostrophe stands before what could be one."""
    return f"'{text}" if _FORMULA.match(text) else text


def unguarded(text: str) -> str:
    """The text that ``guarded`` was given."""
    return text[1:] if text.startswith("'") and _FORMULA.match(text) else text
