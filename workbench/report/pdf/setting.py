"""Setting text: characters the font lacks, lines that are too long, names without end.  Nothing is lost silently."""

import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.text import N_
from workbench.report.pdf.fonts import covered, width_mm

STAND_IN = "□"
_ELLIPSIS = "…"
_LONGEST = 3000  # characters of one text; a page cannot show more
_LONGEST_LINE = 400  # characters

CHARACTERS_REPLACED = ProblemKind(
    "characters_replaced",
    "warning",
    N_("the font has no sign for {characters}; “□” stands for it."),
    N_("Write it in other letters if it matters."),
)
TEXT_CUT = ProblemKind(
    "text_cut",
    "warning",
    N_("“{text}” did not fit and was cut."),
    N_("Shorten it, or choose a larger label or page."),
)


class Run(NamedTuple):
    """A piece of a line in one weight."""

    text: str
    bold: bool = False


@lru_cache(maxsize=5000)
def printable(text: str) -> tuple[str, str]:
    """``text`` on one line in signs that the font has, and the signs that had to be replaced.

    Signs that turn the direction of the text around them are left out: they could make a line read as another.
    """
    signs = covered()
    kept: list[str] = []
    replaced: dict[str, None] = {}
    for sign in unicodedata.normalize("NFC", text[:_LONGEST]):
        if sign.isspace() or unicodedata.category(sign) == "Cc":
            kept.append(" ")
        elif sign in _LEFT_OUT:
            continue
        elif ord(sign) in signs:
            kept.append(sign)
        else:
            plain = unicodedata.normalize("NFKC", sign)
            if all(ord(other) in signs for other in plain):
                kept.append(plain)
            else:
                kept.append(STAND_IN)
                replaced[sign] = None
    return " ".join("".join(kept).split()), "".join(replaced)


# Turn the direction of writing, or cannot be seen.
_LEFT_OUT = frozenset(
    "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff\u00ad\u200b\u2060\ufe0e\ufe0f"
)


class Setting:
    """Makes texts fit and remembers what it had to replace or cut."""

    def __init__(self, *places: Place) -> None:
        self._places = places
        self._replaced: dict[str, None] = {}
        self._cut: dict[str, None] = {}

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What could not be set as it was given."""
        found = [TEXT_CUT.at(*self._places, text=text) for text in self._cut]
        if self._replaced:
            named = ", ".join(f"“{sign}” (U+{ord(sign):04X})" for sign in self._replaced)
            found.append(CHARACTERS_REPLACED.at(*self._places, characters=named))
        return tuple(found)

    def clean(self, text: str) -> str:
        """``text`` in signs that the font has."""
        kept, replaced = printable(text)
        self._replaced.update(dict.fromkeys(replaced))
        if len(text) > _LONGEST:
            self.was_cut(kept)
        return kept

    def was_cut(self, text: str) -> None:
        """Remember that a text was not shown whole."""
        self._cut[text if len(text) <= 60 else text[:59] + _ELLIPSIS] = None

    def line(
        self, text: str, width: float, size_pt: float, least_pt: float, *, bold: bool = False
    ) -> tuple[str, float]:
        """``text`` on one line of ``width`` mm: smaller where it must be, cut only at the least size.

        Returns
        -------
        tuple of str and float
            The text and its size. [pt]
        """
        clean = self.clean(text)
        wide = width_mm(clean, size_pt, bold=bold)
        if wide <= width:
            return clean, size_pt
        fitting = size_pt * width / wide * 0.999
        if fitting >= least_pt:
            return clean, fitting
        self.was_cut(clean)
        return _shortened(clean, width, least_pt, bold), least_pt

    def lines(
        self, text: str, width: float, size_pt: float, *, bold: bool = False, most: int | None = None
    ) -> list[str]:
        """``text`` broken into lines; what is beyond ``most`` lines is cut."""
        lines = self.runs([Run(text, bold)], width, size_pt, most=most)
        return ["".join(run.text for run in line) for line in lines]

    def runs(self, runs: Iterable[Run], width: float, size_pt: float, *, most: int | None = None) -> list[list[Run]]:
        """Runs of two weights broken into lines together; spaces at their ends count."""
        lines: list[list[Run]] = []
        line: list[Run] = []
        used = 0.0
        for part in self._parts(runs, width, size_pt):
            wide = width_mm(part.text.rstrip(), size_pt, bold=part.bold)
            if line and used + wide > width:
                lines.append(line)
                line, used = [], 0.0
                if most is not None and len(lines) == most:
                    self.was_cut("".join(run.text for each in lines for run in each))
                    lines[-1] = [_ended(lines[-1], width, size_pt)]
                    break
            if line or part.text.strip():
                line.append(part)
                used += width_mm(part.text, size_pt, bold=part.bold)
        if line:
            lines.append(line)
        return [_joined(each) for each in lines]

    def _parts(self, runs: Iterable[Run], width: float, size_pt: float) -> Iterator[Run]:
        """Words, each with the space after it, and pieces of words that are wider than a line."""
        for text, bold in runs:
            clean = self.clean(text)
            if text[:1].isspace():
                yield Run(" ", bold)
            words = clean.split(" ") if clean else []
            for k, whole in enumerate(words):
                word = whole
                while width_mm(word[:_LONGEST_LINE], size_pt, bold=bold) > width:
                    n = _longest_start(word, width, size_pt, bold)
                    yield Run(word[:n], bold)
                    word = word[n:]
                last = k == len(words) - 1
                yield Run(word if last and not text[-1].isspace() else f"{word} ", bold)


def _longest_start(text: str, width: float, size_pt: float, bold: bool) -> int:
    """How many characters of ``text`` fit; at least one."""
    low, high = 1, min(len(text), _LONGEST_LINE)
    while low < high:
        middle = (low + high + 1) // 2
        if width_mm(text[:middle], size_pt, bold=bold) <= width:
            low = middle
        else:
            high = middle - 1
    return low


def _shortened(text: str, width: float, size_pt: float, bold: bool) -> str:
    room = width - width_mm(_ELLIPSIS, size_pt, bold=bold)
    return text[: _longest_start(text, room, size_pt, bold)].rstrip() + _ELLIPSIS


def _ended(line: list[Run], width: float, size_pt: float) -> Run:
    """A last line that says that more would follow."""
    bold = any(run.bold for run in line)
    return Run(_shortened("".join(run.text for run in line), width, size_pt, bold), bold)


def _joined(line: Iterable[Run]) -> list[Run]:
    found: list[Run] = []
    for run in line:
        if found and found[-1].bold == run.bold:
            found[-1] = Run(found[-1].text + run.text, run.bold)
        else:
            found.append(run)
    found[-1] = found[-1]._replace(text=found[-1].text.rstrip())
    return found
