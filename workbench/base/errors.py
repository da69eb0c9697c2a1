"""The one family of errors, and Problem: a finding as plain data, worded only where it is shown."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple

from workbench.base.text import N_, _

Severity = Literal["error", "warning", "notice"]

PLACE_WORDS = {
    "file": N_("file {name}"),
    "project": N_("project “{name}”"),
    "variant": N_("variant “{name}”"),
    "stage": N_("stage “{name}”"),
    "line": N_("ingredient line “{name}”"),
    "food": N_("ingredient “{name}”"),
    "targets": N_("targets “{name}”"),
    "target": N_("target “{name}”"),
    "plan": N_("plan “{name}”"),
    "trial": N_("trial batch “{name}”"),
    "field": N_("{name}"),
}


class Place(NamedTuple):
    """One step of the way to the thing a problem is about; a view can jump there by ``id``."""

    kind: str  # a key of PLACE_WORDS
    id: str
    name: str

    def words(self) -> str:
        return _(PLACE_WORDS[self.kind], name=self.name)


class ProblemKind(NamedTuple):
    """What can be wrong: a stable code, its severity, and the sentences that say so and how to mend it."""

    code: str
    severity: Severity
    message: str
    hint: str = ""

    def at(self, *where: Place, **parts: object) -> "Problem":
        return Problem(self, where, parts)


class Problem(NamedTuple):
    """One finding.  Equal findings compare equal, so lists of them can be compared and deduplicated."""

    kind: ProblemKind
    where: tuple[Place, ...] = ()
    parts: Mapping[str, object] = MappingProxyType({})

    @property
    def code(self) -> str:
        return self.kind.code

    @property
    def severity(self) -> Severity:
        return self.kind.severity

    @property
    def place(self) -> str:
        return ", ".join(place.words() for place in self.where)

    @property
    def message(self) -> str:
        return _(self.kind.message, **self.parts)

    @property
    def hint(self) -> str:
        return _(self.kind.hint, **self.parts) if self.kind.hint else ""

    def sentence(self) -> str:
        """Place, message and mend in one line."""
        text = f"{self.place}: {self.message}" if self.where else self.message
        return f"{text} {self.hint}".rstrip()


class WorkbenchError(Exception):
    """Something the user can understand and mend.

    Parameters
    ----------
    summary : str
        What is wrong, in one sentence.
    hint : str
        How to mend it.
    where : str
        The file, variant or field it is about.
    problems : iterable of Problem
        The single findings behind the summary, if there are several.
    """

    def __init__(self, summary: str, *, hint: str = "", where: str = "", problems: Iterable[Problem] = ()) -> None:
        super().__init__(summary)
        self.summary = summary
        self.hint = hint
        self.where = where
        self.problems = tuple(problems)

    def lines(self) -> list[str]:
        """The whole message, one finding a line."""
        head = f"{self.where}: {self.summary}" if self.where else self.summary
        return [f"{head} {self.hint}".rstrip(), *(problem.sentence() for problem in self.problems)]


class CalculationError(WorkbenchError, ValueError):
    """Numbers were asked for that do not exist (empty batch, arrays that do not fit)."""


class AmountError(WorkbenchError, ValueError):
    """A typed amount could not be read, or needs a question answered first."""


class FileError(OSError, WorkbenchError):
    """A file could not be read or written."""

    def __init__(self, summary: str, *, hint: str = "", where: str = "", problems: Iterable[Problem] = ()) -> None:
        WorkbenchError.__init__(self, summary, hint=hint, where=where, problems=problems)

    def __str__(self) -> str:
        return self.summary
