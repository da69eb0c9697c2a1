"""The lines of a pack label, and how one of them is read as it was typed.

The order is that of Regulation (EU) No 1169/2011, Annex XV.  A figure keeps what its rounding leaves open, so that
lines are compared no more sharply than they are printed.
"""

import re
from typing import NamedTuple

from workbench.base.errors import AmountError
from workbench.base.text import N_, _


class LabelLine(NamedTuple):
    """One line of a label: its key, its words, and the units it may be given in, the first one by default."""

    key: str
    title: str
    units: tuple[str, ...]
    part_of: str = ""  # key of the line it is "of which"


LINES: tuple[LabelLine, ...] = (
    LabelLine("energy_kj", N_("energy"), ("kJ",)),
    LabelLine("energy_kcal", N_("energy"), ("kcal",)),
    LabelLine("fat", N_("fat"), ("g", "mg")),
    LabelLine("saturates", N_("of which saturates"), ("g", "mg"), "fat"),
    LabelLine("monounsaturates", N_("of which mono-unsaturates"), ("g", "mg"), "fat"),
    LabelLine("polyunsaturates", N_("of which polyunsaturates"), ("g", "mg"), "fat"),
    LabelLine("carbohydrate", N_("carbohydrate"), ("g", "mg")),
    LabelLine("sugars", N_("of which sugars"), ("g", "mg"), "carbohydrate"),
    LabelLine("polyols", N_("of which polyols"), ("g", "mg"), "carbohydrate"),
    LabelLine("starch", N_("of which starch"), ("g", "mg"), "carbohydrate"),
    LabelLine("fibre", N_("fibre"), ("g", "mg")),
    LabelLine("protein", N_("protein"), ("g", "mg")),
    LabelLine("salt", N_("salt"), ("g", "mg")),
    LabelLine("sodium", N_("sodium"), ("mg", "g")),
)
BY_KEY = {line.key: line for line in LINES}

_LONGEST = 30  # characters
_DASHES = ("-", "–", "—")  # some labels print one where they state nothing
_WHOLE_UNITS = ("kJ", "kcal", "mg")  # printed without decimals, perhaps with a sign between thousands
_FIGURE = re.compile(
    r"(?P<less><|≤|less than)?\s*(?P<number>\d{1,9}(?:[.,]\d{1,9})?)\s*(?P<unit>[a-z]*)", re.IGNORECASE | re.ASCII
)
_BETWEEN_DIGITS = re.compile(r"(?<=\d)\s(?=\d)")  # 1 523 kJ
_THOUSANDS = re.compile(r"([1-9]\d{0,2})[.,](\d{3})")


class LabelError(AmountError):
    """A line cannot be used; ``key`` says which, "" where it is the serving."""

    def __init__(self, summary: str, *, hint: str = "", key: str) -> None:
        super().__init__(summary, hint=hint, where=_(BY_KEY[key].title) if key else _("serving"))
        self.key = key


class Figure(NamedTuple):
    """A figure in the line's first unit, as printed, with what its rounding or its "less than" leaves open."""

    amount: float
    low: float
    high: float
    less_than: bool = False

    def widened(self, half: float) -> "Figure":
        """The figure where rounding is at least as coarse as ``half``."""
        if self.less_than:
            return self
        return self._replace(low=max(min(self.low, self.amount - half), 0.0), high=max(self.high, self.amount + half))


def read_line(key: str, text: str) -> Figure | None:
    """Read one line as it was typed: ``"12,5"``, ``"< 0.5 g"``, ``"1 523 kJ"``.

    Parameters
    ----------
    key : str
        Key of the line.
    text : str
        What was typed.

    Returns
    -------
    Figure or None
        The figure; None where the label does not state it (blank, or a dash). [first unit of the line]

    Raises
    ------
    LabelError
        If it cannot be read.
    """
    line, typed = BY_KEY[key], text.strip()
    if not typed or typed in _DASHES:
        return None
    found = _FIGURE.fullmatch(_BETWEEN_DIGITS.sub("", typed)) if len(typed) <= _LONGEST else None
    if found is None:
        raise LabelError(
            _("“{text}” is no figure.", text=typed[:_LONGEST]),
            hint=_("Type it as printed, such as 12,5 or < 0.5; leave the line blank where the label has none."),
            key=key,
        )
    units = {unit.casefold(): unit for unit in line.units}
    unit = units.get(found["unit"].casefold() or line.units[0].casefold())
    if unit is None:
        raise LabelError(
            _("“{unit}” does not fit here.", unit=found["unit"]),
            hint=_("Use {units}.", units=_(" or ").join(line.units)),
            key=key,
        )
    digits = found["number"]
    if unit in _WHOLE_UNITS:
        digits = _THOUSANDS.sub(r"\1\2", digits)
    digits = digits.replace(",", ".")
    decimals = len(digits.partition(".")[2])
    factor = 1.0 if unit == line.units[0] else 1000.0 if unit == "g" else 0.001  # the other unit of mass
    amount, half = float(digits) * factor, 0.5 * 10.0**-decimals * factor
    if found["less"]:
        return Figure(amount, 0.0, amount, less_than=True)
    return Figure(amount, max(amount - half, 0.0), amount + half)
