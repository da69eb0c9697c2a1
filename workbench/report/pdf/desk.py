"""Where the parts of a page are set: a width, a scale, and who makes texts fit."""

from collections.abc import Iterable
from typing import NamedTuple

from workbench.report.pdf.fonts import MM_PER_PT, width_mm
from workbench.report.pdf.page import Mark, Text
from workbench.report.pdf.setting import Run, Setting

_LEADING = 1.28


class Laid(NamedTuple):
    """A block that was set."""

    height_mm: float
    marks: list[Mark]
    keeps_next: bool = False  # stays on the page of the block after it
    stage: str = ""  # title of the stage of a card that begins here


class Desk(NamedTuple):
    """Where blocks are set: the width, the scale, and who makes texts fit."""

    setting: Setting
    width_mm: float
    scale: float

    def pt(self, size: float) -> float:
        """A size at this scale. [pt]"""
        return size * self.scale

    def mm(self, length: float) -> float:
        """A length that goes with the text. [mm]"""
        return length * self.scale

    def leading(self, size: float) -> float:
        """Height of a line of a size before scaling. [mm]"""
        return self.pt(size) * MM_PER_PT * _LEADING

    def paragraph(
        self, runs: Iterable[Run], width: float, size: float, x: float = 0.0, top: float = 0.0, most: int | None = None
    ) -> Laid:
        """Text over as many lines as it needs; what is beyond ``most`` lines is cut."""
        marks: list[Mark] = []
        lines = self.setting.runs(runs, width, self.pt(size), most=most)
        for k, line in enumerate(lines):
            at = x
            for run in line:
                baseline = top + (k + 0.8) * self.leading(size)
                marks.append(Text(at, baseline, run.text.rstrip(), self.pt(size), run.bold))
                at += width_mm(run.text, self.pt(size), bold=run.bold)
        return Laid(len(lines) * self.leading(size), marks)
