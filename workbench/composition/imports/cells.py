"""One cell of a foreign table: a figure, "less than", a trace, an estimate in brackets, nothing, or something else."""

import re
from typing import Literal, NamedTuple

State = Literal["figure", "limit", "trace", "estimate", "blank", "unreadable", "ambiguous"]


class Cell(NamedTuple):
    """What one cell says; ``unit`` where the cell names one itself, ``sd`` where it prints ±."""

    state: State
    amount: float = 0.0
    unit: str = ""
    sd: float | None = None


BLANK = Cell("blank")
_UNREADABLE = Cell("unreadable")
_TRACE = Cell("trace")

# "N" is the British tables' sign for "present in significant amounts, not reliably known"; a dash, "nd" and the like
# say no more than a blank does.
_BLANKS = frozenset(
    ("", "-", "–", "—", "−", "n", "na", "n/a", "n.a.", "n.a", "#n/a", "nd", "n.d.", "n.d", "n. d.", "k.a.", "k. a.",
     "k.a", "s/d", ".", "..", "...", "…", "null", "none", "nan", "unknown", "not known", "/", "*", "<loq", "< loq",
     "<lod", "< lod", "unbekannt", "n.b.", "n.b", "sin datos")
)  # fmt: skip
_TRACES = frozenset(("tr", "tr.", "trace", "traces", "spuren", "spur", "sp.", "in spuren", "trazas", "traza", "[tr]"))
_PLAIN = re.compile(r"\d{1,12}(?:\.\d*)?(?:[eE][+-]?\d{1,3})?|\.\d+")
_LESS = re.compile(
    r"(?:<|≤|&lt;|less than|below|unter|weniger als|kleiner als|menos de|inferior a)\s*=?\s*", re.IGNORECASE
)
_ABOUT = re.compile(r"(?:ca\.?|c\.|~|≈|approx\.?|about|etwa|aprox\.?)\s*", re.IGNORECASE)
_FIGURE = re.compile(
    r"(?P<number>\d[\d.,'’  ]*|[.,]\d+)\s*(?:±\s*(?P<sd>\d[\d.,]*))?\s*(?P<unit>%|[a-zµμ]{1,4})?"
    r"(?:\s*(?:/|per|pro|por)\s*100\s*(?:g|ml))?\s*[*†‡]?",
    re.IGNORECASE,
)
_LONGEST = 60


def read_cell(text: str, comma: bool | None = None) -> Cell:
    """Read a cell as it was written.

    Parameters
    ----------
    text : str
        The cell, without blanks around it.
    comma : bool or None
        Whether a comma is the decimal sign; None where that is not known, and then "1,234" stays open.
    """
    if _PLAIN.fullmatch(text):
        amount = float(text)
        if comma is not True or not re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", text):
            return Cell("figure", amount)
        return Cell("figure", float(text.replace(".", "")))
    small = text.casefold()
    if small in _BLANKS:
        return BLANK
    if small in _TRACES:
        return _TRACE
    if len(text) > _LONGEST:
        return _UNREADABLE
    if text[0] in "([" and text[-1] in ")]":
        inside = read_cell(text[1:-1].strip(), comma)
        return inside._replace(state="estimate") if inside.state == "figure" else inside
    less = _LESS.match(text)
    if less is not None:
        limit = read_cell(text[less.end() :].strip(), comma)
        return limit._replace(state="limit") if limit.state == "figure" else limit
    about = _ABOUT.match(text)
    if about is not None and about.end() < len(text):
        near = read_cell(text[about.end() :].strip(), comma)
        return near._replace(state="estimate") if near.state == "figure" else near
    return _with_unit(text, comma)


def _with_unit(text: str, comma: bool | None) -> Cell:
    found = _FIGURE.fullmatch(text)
    if found is None:
        return _UNREADABLE
    amount = _number(found["number"], comma)
    if amount is None:
        return Cell("ambiguous") if re.fullmatch(r"\d{1,3},\d{3}", found["number"].strip()) else _UNREADABLE
    sd = _number(found["sd"], comma) if found["sd"] else None
    return Cell("figure", amount, found["unit"] or "", sd)


def _number(text: str, comma: bool | None) -> float | None:
    digits = re.sub(r"(?<=\d)['’  ](?=\d{3})", "", text.strip())
    if re.search(r"['’  ]", digits):
        return None
    if "," in digits and "." in digits:
        if digits.rfind(",") > digits.rfind("."):
            whole, fraction = digits.replace(".", "").rsplit(",", 1)
        else:
            whole, fraction = digits.replace(",", "").rsplit(".", 1)
        digits = f"{whole}.{fraction}" if "," not in whole + fraction and "." not in whole + fraction else ""
    elif digits.count(",") > 1 or digits.count(".") > 1:
        digits = re.sub(r"[.,]", "", digits) if re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+", digits) else ""
    elif "," in digits:
        if re.fullmatch(r"[1-9]\d{0,2},\d{3}", digits):
            if comma is None:
                return None
            digits = digits.replace(",", ".") if comma else digits.replace(",", "")
        else:
            digits = digits.replace(",", ".")
    elif comma and re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", digits):
        digits = digits.replace(".", "")
    try:
        return float(digits)
    except ValueError:
        return None


def decimal_comma(texts: list[str]) -> bool | None:
    """Whether cells like these have a decimal comma; None where no cell decides."""
    commas = sum(
        re.fullmatch(r"[<(\[]?\s*\d+,(?:\d{1,2}|\d{4,}|0\d\d)[)\]]?|[<(\[]?\s*0,\d+[)\]]?", text) is not None
        for text in texts
    )
    points = sum(re.fullmatch(r"[<(\[]?\s*\d*\.\d+[)\]]?", text) is not None for text in texts)
    if commas == points == 0:
        return None
    return commas > points
