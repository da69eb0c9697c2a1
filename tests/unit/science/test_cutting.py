"""Rows and columns of a cut tin: the number is exact, the pieces are no strips."""

import pytest

from workbench.science.cutting import CutPattern, cut_pattern, nearest_patterns, square_side_mm


@pytest.mark.parametrize(
    ("pieces", "pattern"),
    [
        (1, (1, 1, 1)),
        (3, (1, 1, 3)),
        (16, (1, 4, 4)),
        (20, (1, 4, 5)),
        (14, (1, 2, 7)),
        (40, (1, 5, 8)),
        (100, (4, 5, 5)),
    ],
)
def test_as_square_as_it_can_be(pieces: int, pattern: tuple[int, int, int]) -> None:
    assert cut_pattern(pieces) == CutPattern(*pattern)
    assert CutPattern(*pattern).pieces == pieces


@pytest.mark.parametrize("pieces", [5, 13, 17, 26, 82])
def test_strips_are_no_pattern(pieces: int) -> None:
    assert cut_pattern(pieces) is None


def test_even_numbers_near_an_odd_one() -> None:
    assert [p.pieces for p in nearest_patterns(17)] == [16, 18]
    assert [p.pieces for p in nearest_patterns(1)] == [2]


def test_a_square_of_known_volume() -> None:
    """88 g at 1.1 g/ml are 80 ml: at 20 mm depth 4000 mm², 63.2 mm on a side."""
    assert square_side_mm(88.0, 20.0) == pytest.approx(63.25, abs=0.01)
    assert square_side_mm(80.0, 20.0, 1.0) == pytest.approx(63.25, abs=0.01)
