"""The solvers: silent, and stopped on request."""

import numpy as np
import pytest

from workbench.base.progress import Cancelled
from workbench.solve.solvers import LeastSquares, StraightProgramme


def nearest_point() -> LeastSquares:
    """The point of x + y = 1 nearest to nought where x counts fourfold, with y at most 0.5 and a row to be given."""
    return LeastSquares(
        np.array([4.0, 1.0]),
        np.array([[1.0, 1.0]]),
        np.array([[1.0, 0.0]]),
        np.array([-np.inf, -np.inf]),
        np.array([np.inf, 0.5]),
    )


@pytest.mark.parametrize("clean", [True, False])
def test_both_ways_to_least_squares_agree_with_what_is_worked_out_by_hand(
    clean: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without limits it would be (0.2, 0.8): y stops at 0.5, and x is the rest of 1; x at most 0.4 cannot be then."""

    def too_many_rounds(*_arguments: object) -> None:
        raise RuntimeError

    if not clean:
        monkeypatch.setattr("scipy.optimize.nnls", too_many_rounds)
    one = np.ones(1)
    assert nearest_point().solve(one, one) == pytest.approx([0.5, 0.5], abs=1e-7)
    assert nearest_point().solve(one, 0.4 * one) is None


def hard_programme() -> StraightProgramme:
    """Whole numbers that take far more than a hundred questions to prove best."""
    rng = np.random.default_rng(1)
    n, rows = 60, 30
    return StraightProgramme(
        -rng.random(n),
        np.zeros(n),
        np.full(n, 5.0),
        rng.random((rows, n)),
        np.full(rows, -np.inf),
        np.full(rows, 20.3),
        whole=np.ones(n, dtype=bool),
    )


def test_who_asks_can_stop_it_and_what_was_raised_comes_out() -> None:
    asked = 0

    def ask() -> None:
        nonlocal asked
        asked += 1
        if asked == 100:
            raise Cancelled

    with pytest.raises(Cancelled):
        hard_programme().solve(ask)
    assert asked == 100, "not asked again once it is to stop"


def test_nothing_is_printed_where_a_programs_output_is_read_by_others(capfd: pytest.CaptureFixture[str]) -> None:
    programme = StraightProgramme(np.ones(1), np.zeros(1), np.ones(1), np.ones((1, 1)), np.full(1, 0.5), np.ones(1))
    assert programme.solve(lambda: None) == pytest.approx([0.5])
    assert capfd.readouterr() == ("", "")
