"""The solvers: silent, and stopped on request."""

import numpy as np
import pytest

from workbench.base.progress import Cancelled
from workbench.solve.solvers import StraightProgramme


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
