"""Fewest: change as few ingredients as possible, and those as little as can be."""

import numpy as np
import numpy.typing as npt

from workbench.solve.programme import Programme
from workbench.solve.smallest_change import Answer
from workbench.solve.solvers import LeastSquares, StraightProgramme

Floats = npt.NDArray[np.float64]

_MOVED = 1e-7  # relative; less is arithmetic


def fewest(programme: Programme, answer: Answer) -> Floats:
    """What moves how far, where none of the lines that move could stay.

    The least sum of relative changes names a handful of lines; then each of them, the smallest change first, is let go
    if the others can do without.  Ties go by the id of a line, never by its place.
    """
    space = programme.space
    m = len(space.weight)
    rows = np.vstack([answer.left, programme.equal.left])
    low = np.concatenate([np.full(len(answer.left), -np.inf), answer.equal])
    high = np.concatenate([answer.right, answer.equal])
    up = StraightProgramme(
        np.tile(space.weight, 2),
        np.concatenate([np.maximum(space.lower, 0.0), np.maximum(-space.upper, 0.0)]),
        np.concatenate([np.maximum(space.upper, 0.0), np.maximum(-space.lower, 0.0)]),
        np.hstack([rows, -rows]),
        low,
        high,
    )
    solution = up.solve()
    if solution is None:
        return answer.y
    y = solution[:m] - solution[m:]
    moving = [k for k in range(m) if abs(y[k]) > _MOVED]
    possible = StraightProgramme(np.zeros(m), space.lower, space.upper, rows, low, high)
    for k in range(m):
        if k not in moving:
            possible.set_limits(k, 0.0, 0.0)
    for k in sorted(moving, key=lambda k: (round(abs(float(y[k])), 9), k)):
        if space.lower[k] > 0.0 or space.upper[k] < 0.0:  # a limit asks for it
            continue
        possible.set_limits(k, 0.0, 0.0)
        if possible.solve() is None:
            possible.set_limits(k, float(space.lower[k]), float(space.upper[k]))
        else:
            moving.remove(k)
    return _least_change(programme, answer, moving, y)


def _least_change(programme: Programme, answer: Answer, moving: list[int], otherwise: Floats) -> Floats:
    """The smallest change in which only these move."""
    space = programme.space
    a, equal = answer.left, programme.equal.left
    squares = LeastSquares(
        space.weight[moving], equal[:, moving], a[:, moving], space.lower[moving], space.upper[moving]
    )
    # The handful has just as much room as it needs, often none: least squares are given a little.
    for wider in (0.0, 1e-7, 1e-6):
        found = squares.solve(answer.equal, answer.right + wider)
        if found is not None:
            y = np.zeros(len(space.weight))
            y[moving] = found
            return y
    return otherwise
