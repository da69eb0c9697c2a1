"""Benches of amounts from targets: matching against the bare solver on the same numbers, clashes, rounding."""

import statistics
import time
from collections.abc import Callable

import numpy as np
from msgspec.structs import replace

from tests.bench.measure import Result, call_ms, interleaved_ms
from tests.external.solve_cases import Case, random_case
from workbench.document.project import Target
from workbench.recipe.preparation import prepare
from workbench.solve.clash import why_not
from workbench.solve.matching import Holder, match
from workbench.solve.programme import Programme
from workbench.solve.proposal import Options
from workbench.solve.rounding import round_amounts

SEED = 7


def case_of(n_lines: int, n_targets: int) -> Case:
    """A recipe of so many lines that can meet so many targets."""
    case = random_case(SEED, n_lines - 1, 12)
    extra = [
        Target(id=f"x{k}", quantity=key, basis=basis, high=1e9)
        for k, (key, basis) in enumerate(
            [
                (q, b)
                for q in ("CHOCDF", "ASH", "STARCH", "SUGAR")
                for b in ("batch", "portion", "per_100g", "per_hour", "per_25g_carbohydrate")
            ]
        )
    ]
    targets = (*case.targets.targets, *extra)[:n_targets]
    return case._replace(targets=replace(case.targets, targets=targets))


def bare_clarabel(case: Case) -> Callable[[], object]:
    """One call of the solver on the numbers of a case, made ready beforehand."""
    import clarabel
    from scipy.sparse import csc_matrix

    programme = Programme(prepare(case.project, case.variant), case.variant, case.targets, Options())
    space = programme.space
    n = len(space.weight)
    below, above = np.isfinite(space.lower), np.isfinite(space.upper)
    left = csc_matrix(np.vstack([programme.limits.left, -np.eye(n)[below], np.eye(n)[above]]))
    right = np.concatenate([programme.limits.right(0.0), -space.lower[below], space.upper[above]])
    p = csc_matrix(2.0 * np.diag(space.weight))
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.max_threads = 1
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-9
    cones = [clarabel.NonnegativeConeT(len(right))]
    q = np.zeros(n)
    return lambda: clarabel.DefaultSolver(p, q, left, right, cones, settings).solve()


def _p95_ms(function: Callable[[], object], repeat: int) -> float:
    times = []
    for _ in range(repeat):
        start = time.perf_counter()
        function()
        times.append((time.perf_counter() - start) * 1000)
    return statistics.quantiles(times, n=20)[-1]


def hold(n_lines: int = 15, n_targets: int = 12) -> Result:
    """A tick of a slider while targets hold, with everything that is shown of it."""
    case = case_of(n_lines, n_targets)
    prepared = prepare(case.project, case.variant)
    line = next(x for x in case.variant.lines if not x.lock)
    holder = Holder(case.project, case.variant, line.id, case.targets, prepared=prepared)
    assert holder.at(line.amount_g).met
    grams = iter(np.tile(np.linspace(0.97, 1.03, 50), 200) * line.amount_g)
    figure, baseline = interleaved_ms(lambda: holder.at(float(next(grams))), bare_clarabel(case), 300)
    p95 = _p95_ms(lambda: holder.at(float(next(grams))), 300)
    return Result(f"hold {n_lines} x {n_targets}", figure, "bare Clarabel", baseline, 3.0, f"p95 {p95:.1f} ms")


def matching(n_lines: int = 15, n_targets: int = 12) -> Result:
    """A whole match of a prepared variant."""
    case = case_of(n_lines, n_targets)
    prepared = prepare(case.project, case.variant)
    assert match(case.project, case.variant, case.targets, prepared=prepared).met

    def ours() -> object:
        return match(case.project, case.variant, case.targets, prepared=prepared).met

    figure, baseline = interleaved_ms(ours, bare_clarabel(case), 200)
    p95 = _p95_ms(ours, 200)
    return Result(f"match {n_lines} x {n_targets}", figure, "bare Clarabel", baseline, 3.0, f"p95 {p95:.1f} ms")


def clashing(n_lines: int = 15, n_targets: int = 12) -> Case:
    """The case with a maximum and a minimum that exclude each other."""
    case = case_of(n_lines, n_targets)
    targets = list(case.targets.targets)
    targets[-2:] = [
        Target(id="y", quantity="FAT", basis="per_100g", high=3.0),
        Target(id="z", quantity="energy_from_fat", low=50.0),
    ]
    return case._replace(targets=replace(case.targets, targets=tuple(targets)))


def clash() -> Result:
    """Naming a clash, with what giving way would buy."""
    case = clashing()
    prepared = prepare(case.project, case.variant)
    found = why_not(case.project, case.variant, case.targets, prepared=prepared)
    assert found is not None
    nearest = call_ms(lambda: match(case.project, case.variant, case.targets, prepared=prepared), 50)
    figure = call_ms(lambda: why_not(case.project, case.variant, case.targets, prepared=prepared), 50)
    return Result(
        "name a clash",
        figure,
        "",
        None,
        None,
        f"goal 50 ms; {len(found.members)} members; nearest answer {nearest:.1f} ms",
    )


def rounding() -> Result:
    """Kitchen amounts of 15 lines with 12 targets."""
    case = case_of(15, 12)
    prepared = prepare(case.project, case.variant)
    amounts = match(case.project, case.variant, case.targets, prepared=prepared).amounts
    figure = call_ms(lambda: round_amounts(case.project, case.variant, case.targets, amounts, prepared=prepared), 20)
    return Result("round 15 lines", figure, "", None, None, "goal 200 ms")


BENCHES: tuple[Callable[[], Result], ...] = (
    hold,
    lambda: hold(40, 30),
    matching,
    lambda: matching(40, 30),
    clash,
    rounding,
)
