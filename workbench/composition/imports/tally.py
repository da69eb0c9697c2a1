"""Counting what an import meets: figures taken, and oddities by kind with the first few of each."""

from collections.abc import Iterator

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.text import _

FIRST_FEW = 3


class _Seen:
    __slots__ = ("count", "examples")

    def __init__(self) -> None:
        self.count = 0
        self.examples: list[str] = []


class Tally:
    """Counts of one run.  Memory does not grow with the table: of every oddity the first few are kept."""

    def __init__(self) -> None:
        self.rows = 0  # foods in the table, whether taken or not
        self.foods = 0
        self.values = 0
        self.limits = 0
        self.blanks = 0
        self._seen: dict[tuple[ProblemKind, str], _Seen] = {}

    def note(self, kind: ProblemKind, example: str = "", about: str = "", count: int = 1) -> None:
        """Count an oddity of ``kind``; oddities about different columns are counted apart."""
        seen = self._seen.get((kind, about))
        if seen is None:
            seen = self._seen[kind, about] = _Seen()
        seen.count += count
        if example and len(seen.examples) < FIRST_FEW:
            seen.examples.append(example)

    def count(self, kind: ProblemKind) -> int:
        """How often an oddity was met."""
        return sum(seen.count for (known, _about), seen in self._seen.items() if known == kind)

    def problems(self) -> tuple[Problem, ...]:
        """One finding for each kind of oddity, the worst first."""
        order = {"error": 0, "warning": 1, "notice": 2}
        return tuple(sorted(self._problems(), key=lambda problem: order[problem.severity]))

    def _problems(self) -> Iterator[Problem]:
        for (kind, about), seen in self._seen.items():
            place = (Place("field", about, about),) if about else ()
            examples = _("; ").join(seen.examples) + (_("; …") if seen.count > len(seen.examples) > 0 else "")
            yield kind.at(*place, n=seen.count, examples=examples)
