"""Reading a table by its plan: the first foods, a dry run with the quality checks, or the import into the library."""

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import NamedTuple

import msgspec

from workbench.base.errors import Problem
from workbench.base.progress import Progress
from workbench.base.text import _
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food
from workbench.composition.imports import readers
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.conventions import settle
from workbench.composition.imports.detection import ImportPlan
from workbench.composition.imports.figures import take_of
from workbench.composition.imports.layout import LAYOUTS, Conventions, ImportFailure
from workbench.composition.imports.looking import comma_of
from workbench.composition.imports.tally import FIRST_FEW, Tally
from workbench.composition.imports.text_rows import Meter
from workbench.composition.library.records import ImportSummary, TableInfo
from workbench.composition.library.store import Library
from workbench.composition.quality import check_food
from workbench.composition.quality.beside import duplicates, pairs

_BESIDE = 50_000  # foods that are compared with each other; the checks of single rows see all
_MOST_ALIKE = 1_000
_READING, _MAKING = 0.6, 0.4  # shares of the work, for progress


class QualityCount(NamedTuple):
    """Findings of one kind about the rows of a table."""

    code: str
    severity: str
    n: int
    first: tuple[Problem, ...]


class Taken(NamedTuple):
    """How many foods have a value of a component, or only a "less than", and the columns that gives it."""

    tag: str
    values: int
    limits: int
    columns: tuple[str, ...]


class Report(NamedTuple):
    """What an import took, left and found; of a dry run ``summary`` is None."""

    rows: int  # foods in the table
    foods: int
    values: int
    limits: int
    blanks: int
    taken: tuple["Taken", ...]  # what the foods have of each component
    problems: tuple[Problem, ...]
    quality: tuple[QualityCount, ...] = ()
    summary: ImportSummary | None = None


class _Quiet(Progress):
    """Passes on only the wish to stop: the reader shows how far the work has come."""

    def __init__(self, inner: Progress) -> None:
        super().__init__()
        self._inner = inner

    def step(self, done: int, total: int | None = None) -> None:
        self.cancelled = self._inner.cancelled
        super().step(done, total)


class _Scaled(Progress):
    """The first part of the work."""

    def __init__(self, inner: Progress, share: float) -> None:
        super().__init__()
        self._inner, self._share = inner, share

    def step(self, done: int, total: int | None = None) -> None:
        self._inner.step(done, None if total is None else int(total / self._share))


def read(plan: ImportPlan, tally: Tally, progress: Progress) -> Iterator[Food]:
    """Every food of the table in the house's conventions; its id is its code there.

    Raises
    ------
    ImportFailure
        If a question is open or the table cannot be read.
    Cancelled
        If ``progress`` is stopped.
    """
    if plan.questions:
        question = plan.questions[0]
        answers = _(" or ").join(answer.replace("_", "-") for answer in question.answers)
        raise ImportFailure(
            _(question.words), where=plan.path.name,
            hint=_("The table does not say. Choose {answers}.", answers=answers),
        )  # fmt: skip
    bundle = Bundle(plan.path)
    try:
        total = max(sum(bundle.size(name) for name in plan.layout.read if name in bundle.names), 1)
        meter = Meter(_Scaled(progress, _READING), total)
        prefix = f"{plan.key}:"
        for draft in readers.drafts(bundle, plan.layout, plan.key, tally, meter, comma_of(plan.chosen)):
            if plan.chosen.per:
                draft.per_100_ml = draft.per_100_ml or plan.chosen.per == "100ml"
            food = settle(draft, plan.chosen, tally)
            if tally.rows % 20 == 0:
                progress.step(meter.done, int(total / _READING))
            if food is not None:
                yield msgspec.structs.replace(food, id=food.id[len(prefix) :]) if food.id.startswith(prefix) else food
    finally:
        bundle.close()


def preview(plan: ImportPlan, n: int = 10) -> tuple[tuple[Food, ...], Tally]:
    """The first ``n`` foods as they would come in, and what was met on the way."""
    tally = Tally()
    foods = read(plan, tally, Progress())
    return tuple(islice(foods, n)), tally


def dry_run(plan: ImportPlan, progress: Progress) -> Report:
    """Read everything, write nothing, and check every row."""
    tally, counted, quality = Tally(), _Counted(), _Quality()
    kept: list[Food] = []
    for food in read(plan, tally, progress):
        counted.add(food)
        quality.add(check_food(food))
        if len(kept) < _BESIDE:
            kept.append(food)
    quality.add(duplicates(_stepping(kept, progress)))
    quality.add(pairs(_stepping(kept, progress)))
    return _report(plan, tally, counted, quality.counts(), None)


def run(plan: ImportPlan, library: Library, progress: Progress, *, imported: str, **about: str) -> Report:
    """Import the table into ``library``, in one transaction.

    Parameters
    ----------
    imported : str
        Date of today, ISO 8601.
    **about : str
        ``citation``, ``version`` and ``licence`` of the table.

    Raises
    ------
    ImportFailure, LibraryError
        If the table cannot be read or the library not written; the library is as it was.
    Cancelled
        If ``progress`` is stopped; the library is as it was.
    """
    tally, counted = Tally(), _Counted()
    info = TableInfo(
        key=plan.key,
        title=plan.title,
        imported=imported,
        file=plan.path.name,
        conventions=tuple(in_words(plan.chosen)),
        **about,
    )

    def counting() -> Iterator[Food]:
        for food in read(plan, tally, progress):
            counted.add(food)
            yield food

    summary = library.import_table(info, counting(), _Quiet(progress))
    return _report(plan, tally, counted, (), summary)


def _stepping(foods: Iterable[Food], progress: Progress) -> Iterator[Food]:
    for done, food in enumerate(foods):
        if done % 50 == 0:
            progress.step(99, 100)
        yield food


class _Quality:
    """Counts of quality findings by kind, the first few kept."""

    def __init__(self) -> None:
        self._count = Counter[str]()
        self._first: dict[str, list[Problem]] = {}

    def add(self, problems: Iterable[Problem]) -> None:
        for problem in problems:
            self._count[problem.code] += 1
            first = self._first.setdefault(problem.code, [])
            if len(first) < FIRST_FEW:
                first.append(problem)

    def counts(self) -> tuple[QualityCount, ...]:
        order = {"error": 0, "warning": 1, "notice": 2}
        found = (
            QualityCount(code, first[0].severity, self._count[code], tuple(first))
            for code, first in self._first.items()
        )
        return tuple(sorted(found, key=lambda each: (order[each.severity], -each.n)))


class _Counted:
    """What the foods have, by component."""

    def __init__(self) -> None:
        self.values, self.limits = Counter[str](), Counter[str]()
        self._alike = Counter[tuple[str, ...]]()

    def add(self, food: Food) -> None:
        self._alike[tuple(food.values)] += 1  # many foods of a table have values of the same components
        if len(self._alike) > _MOST_ALIKE:
            self.finish()
        if food.limits:
            self.limits.update(food.limits.keys())

    def finish(self) -> None:
        for tags, n in self._alike.items():
            for tag in tags:
                self.values[tag] += n
        self._alike.clear()


def _report(
    plan: ImportPlan,
    tally: Tally,
    counted: _Counted,
    quality: tuple[QualityCount, ...],
    summary: ImportSummary | None,
) -> Report:
    counted.finish()
    columns: dict[str, list[str]] = {}
    for column in plan.layout.columns:
        take = take_of(column)
        if take is not None:
            columns.setdefault(take.tag, []).append(column.key)
    taken = tuple(
        Taken(tag, counted.values[tag], counted.limits[tag], tuple(columns.get(tag, ())))
        for tag in COMPONENTS
        if counted.values[tag] or counted.limits[tag]
    )
    return Report(
        tally.rows, tally.foods, tally.values, tally.limits, tally.blanks, taken, tally.problems(), quality, summary
    )


def in_words(chosen: Conventions) -> Iterator[str]:
    """The choices of an import, as the record of the table keeps them."""
    if chosen.per == "100ml":
        yield _("figures per 100 ml")
    if chosen.density_g_per_ml:
        yield _("{density} g/ml where a food has no density", density=f"{chosen.density_g_per_ml:g}")
    if chosen.carbohydrate:
        yield _("carbohydrate with fibre") if chosen.carbohydrate == "with_fibre" else _("carbohydrate without fibre")
    if chosen.protein_factor:
        yield _("protein restated as nitrogen × {factor}", factor=f"{chosen.protein_factor:g}")
    if chosen.nitrogen_factor:
        yield _("nitrogen factor {factor} where a food has none", factor=f"{chosen.nitrogen_factor:g}")
    acids = {
        "of_fatty_acids": _("fatty acids in percent of fatty acids"),
        "of_fat": _("fatty acids in percent of fat"),
        "of_fatty_acids_in_oils": _("fatty acids of oils in percent of fatty acids"),
    }
    if chosen.fatty_acids in acids:
        yield acids[chosen.fatty_acids]
    if chosen.energy:
        yield _("energy in {unit}", unit=chosen.energy)
    if chosen.zeros == "blank":
        yield _("zeros taken as not stated")


def layout_words(plan: ImportPlan) -> str:
    """The layout in words."""
    return _(LAYOUTS[plan.layout.name])
