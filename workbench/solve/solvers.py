"""The only module that calls solvers: SciPy and Clarabel for least squares, HiGHS for straight and whole-number ones.

They run on one thread, so that the same numbers give the same answer on every machine with the same libraries.
"""

import math
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from workbench.base.progress import Cancelled

if TYPE_CHECKING:
    from highspy import Highs
    from highspy.highs import HighsCallbackEvent

Floats = npt.NDArray[np.float64]

TOLERANCE = 1e-9


class LeastSquares:
    """``min weight' y²`` under equal rows, rows and limits, made once and solved for other right sides.

    The nearest point to the origin that keeps rows is a problem of least squares with unknowns that are not negative
    (C. L. Lawson, R. J. Hanson, Solving Least Squares Problems, 1974, chapter 23), which takes a tenth of the time of
    an interior point.  Where that does not come out clean, Clarabel has the last word.

    Parameters
    ----------
    weight : ndarray, shape (n,)
        What the square of each unknown counts, > 0.
    equal, rows : ndarray, shape (n_equal, n) and (n_rows, n)
        Left sides.
    lower, upper : ndarray, shape (n,)
        Limits; infinite where there is none.
    """

    def __init__(self, weight: Floats, equal: Floats, rows: Floats, lower: Floats, upper: Floats) -> None:
        eye = np.eye(len(lower))
        below, above = np.isfinite(lower), np.isfinite(upper)
        self._weight, self._n_equal = weight, len(equal)
        self._left = np.vstack([equal, -equal, rows, -eye[below], eye[above]])
        self._limits = np.concatenate([-lower[below], upper[above]])
        self._shrunk = self._left / np.sqrt(weight)
        self._size = np.abs(self._shrunk).max(axis=1, initial=1e-300)

    def solve(self, equal: Floats, rows: Floats) -> Floats | None:
        """The solution for these right sides, shape (n,); None where there is none or it was not found."""
        right = np.concatenate([equal, -equal, rows, self._limits])
        y, clean = self._nearest(right)
        return y if clean else self._interior(right)

    def _nearest(self, right: Floats) -> tuple[Floats | None, bool]:
        """The solution, None where there is none; and whether that came out clean."""
        from scipy.optimize import nnls

        scale = 1.0 / np.maximum(self._size, np.abs(right))
        a = -np.vstack([self._shrunk.T, right]) * scale
        wanted = np.zeros(len(a))
        wanted[-1] = 1.0
        try:
            found, norm = nnls(a, wanted)
        except RuntimeError:  # too many rounds
            return None, False
        if norm <= TOLERANCE:  # the rows, so added up, ask for less than nothing
            return None, True
        rest = a @ found - wanted
        y: Floats = -rest[:-1] / min(rest[-1], -TOLERANCE) / np.sqrt(self._weight)
        return y, bool((self._left @ y - right <= TOLERANCE * (1.0 + np.abs(right))).all())

    def _interior(self, right: Floats) -> Floats | None:
        import clarabel  # type: ignore[import-untyped]
        from scipy.sparse import csc_matrix, diags

        k, n_less = self._n_equal, len(right) - 2 * self._n_equal
        cones = ([clarabel.ZeroConeT(k)] if k else []) + ([clarabel.NonnegativeConeT(n_less)] if n_less else [])
        left, b = csc_matrix(np.delete(self._left, slice(k, 2 * k), axis=0)), np.delete(right, slice(k, 2 * k))
        settings = clarabel.DefaultSettings()
        settings.verbose = False
        settings.max_threads = 1
        settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = TOLERANCE
        squares, line = csc_matrix(diags(2.0 * self._weight)), np.zeros(len(self._weight))
        solution = clarabel.DefaultSolver(squares, line, left, b, cones, settings).solve()
        if solution.status not in (clarabel.SolverStatus.Solved, clarabel.SolverStatus.AlmostSolved):
            return None
        y = np.array(solution.x)
        return y if np.isfinite(y).all() else None


@cache
def _silent_highs() -> "type[Highs]":
    import highspy

    class SilentHighs(highspy.Highs):
        def enableCallbacks(self) -> None:  # noqa: N802  # the constructor's last step, which prints a banner
            self.silent()
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    return SilentHighs


class StraightProgramme:
    """``min c' z`` under ``low <= a @ z <= high`` and limits, kept warm between solves.

    Parameters
    ----------
    cost, lower, upper : ndarray, shape (n,)
        c, and the limits of z; infinite where there is none.
    a : ndarray, shape (n_rows, n)
        Left sides.
    low, high : ndarray, shape (n_rows,)
        Right sides; infinite where there is none.
    whole : ndarray of bool, shape (n,), optional
        Unknowns that are whole numbers.
    seconds : float
        After so long the best solution so far is taken, where numbers are whole. [s]
    gap : float
        How far from the best cost a whole-number solution may be, relative to it.
    """

    def __init__(
        self,
        cost: Floats,
        lower: Floats,
        upper: Floats,
        a: Floats,
        low: Floats,
        high: Floats,
        whole: npt.NDArray[np.bool_] | None = None,
        seconds: float = math.inf,
        gap: float = 1e-6,
    ) -> None:
        import highspy

        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(cost), len(a)
        model.col_cost_, model.col_lower_, model.col_upper_ = cost, lower, upper
        model.row_lower_, model.row_upper_ = low, high
        row, column = np.nonzero(a)
        model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        model.a_matrix_.start_ = np.searchsorted(row, np.arange(len(a) + 1)).astype(np.int32)
        model.a_matrix_.index_ = column.astype(np.int32)
        model.a_matrix_.value_ = a[row, column]
        self._highs = _silent_highs()()
        self._highs.setOptionValue("threads", 1)
        self._highs.setOptionValue("primal_feasibility_tolerance", TOLERANCE)
        self._highs.setOptionValue("dual_feasibility_tolerance", TOLERANCE)
        if whole is not None:
            kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
            model.integrality_ = [kinds[int(w)] for w in whole]
            self._highs.setOptionValue("mip_rel_gap", gap)
            self._highs.setOptionValue("mip_feasibility_tolerance", TOLERANCE)
            if math.isfinite(seconds):
                self._highs.setOptionValue("time_limit", seconds)
        self._highs.passModel(model)
        self.timed_out = False

    def forget(self) -> None:
        """Begin the next solve as if it were the first, so that its answer does not depend on the ones before."""
        self._highs.clearSolver()

    def set_cost(self, cost: Floats) -> None:
        """Look for something else."""
        self._highs.changeColsCost(len(cost), np.arange(len(cost), dtype=np.int32), cost)

    def set_row(self, k: int, low: float, high: float) -> None:
        """Change the right sides of a row; infinite ones switch it off."""
        self._highs.changeRowBounds(k, low, high)

    def set_limits(self, k: int, low: float, high: float) -> None:
        """Change the limits of an unknown."""
        self._highs.changeColBounds(k, low, high)

    def solve(self, ask: Callable[[], None] | None = None) -> Floats | None:
        """The solution, or the best one found in time; None where there is none.

        ``ask`` is called before, and then now and again.

        Raises
        ------
        Cancelled
            If ``ask`` does; the solver has stopped then.
        """
        import highspy

        self._run(ask)
        status = self._highs.getModelStatus()
        self.timed_out = status == highspy.HighsModelStatus.kTimeLimit
        if self.timed_out:
            found = self._highs.getInfo().primal_solution_status == int(highspy.SolutionStatus.kSolutionStatusFeasible)
            if not found:
                return None
        elif status != highspy.HighsModelStatus.kOptimal:
            return None
        return np.array(self._highs.getSolution().col_value)

    def _run(self, ask: Callable[[], None] | None) -> None:
        if ask is None:
            self._highs.run()
            return
        stopped: list[Cancelled] = []

        def on_event(event: "HighsCallbackEvent") -> None:
            try:
                if not stopped:
                    ask()
            except Cancelled as cancelled:  # nothing may pass through the solver's own code
                stopped.append(cancelled)
            if stopped:
                event.interrupt()

        ask()
        events = self._highs.cbMipInterrupt, self._highs.cbSimplexInterrupt
        for event in events:
            event.subscribe(on_event)
        try:
            self._highs.run()
        finally:
            for event in events:
                event.unsubscribe(on_event)
        if stopped:
            raise stopped[0]

    @property
    def row_duals(self) -> Floats:
        """What each row costs at the last solution."""
        return np.array(self._highs.getSolution().row_dual)
