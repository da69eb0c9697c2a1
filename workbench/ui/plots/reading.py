"""What a bar is given to show: plain figures, words and colours."""

import math
from typing import NamedTuple

from PySide6.QtGui import QColor

from workbench.base.text import UNKNOWN
from workbench.ui.plots.fills import Pattern, Shape


class Segment(NamedTuple):
    """One part of a bar."""

    key: str
    label: str
    colour: QColor
    pattern: Pattern = "plain"


class Reading(NamedTuple):
    """What a bar shows: figures in the unit of the bar, and the same in words without the unit.

    ``value`` is what is known; the truth lies between ``low`` and ``high``, which may be infinite.
    """

    value: float
    low: float
    high: float
    text: str
    parts: tuple[float, ...]
    part_texts: tuple[str, ...]


NO_READING = Reading(math.nan, math.nan, math.nan, UNKNOWN, (), ())


class Band(NamedTuple):
    """A target behind the bar; ``text`` is the target in words."""

    low: float | None
    high: float | None
    aim: float | None
    text: str


class Marker(NamedTuple):
    """Where another variant stands."""

    name: str
    value: float
    text: str


class Mark(NamedTuple):
    """How a figure stands to its target: a shape and a tone (a colour of ``Colours``), never without the word."""

    shape: Shape
    tone: str
    word: str
