"""The best trade-off between two quantities."""

import itertools

import pytest

from tests.support import make_food, make_line, make_project, make_variant
from workbench.document.project import ByCount, Line, Project, Target, TargetSet, Variant
from workbench.solve.front import Axis, trade_off

SYRUP = make_food("syrup", {"WATER": 20.0, "CHOAVLDF": 80.0, "FAT": 0.0, "FIBTG": 0.0})
OATS = make_food("oats", {"WATER": 10.0, "CHOAVLDF": 60.0, "FAT": 8.0, "FIBTG": 10.0})
COCONUT = make_food(
    "coconut", {"WATER": 0.0, "CHOAVLDF": 0.0, "FAT": 100.0, "FIBTG": 0.0, "F6D0": 0.5, "F8D0": 7.0, "F10D0": 6.5}
)
LESS_FAT, MORE_MEDIUM = Axis("FAT", "portion", "less"), Axis("mct_c6_c10", "portion", "more")
CARBOHYDRATE = Target(id="c", quantity="CHOAVLDF", low=20.0, high=25.0)


def project_with(*lines: Line) -> tuple[Project, Variant]:
    variant = make_variant(*lines, portioning=ByCount(count=10))
    return make_project([SYRUP, OATS, COCONUT], variant), variant


def wanted(*targets: Target) -> TargetSet:
    return TargetSet(id="t", name="t", targets=targets)


def test_medium_chain_fat_is_bought_with_fat() -> None:
    """14 g in 100 g of coconut oil, of which up to 60 g are looked for: every point is on that line."""
    project, variant = project_with(make_line(SYRUP, 250.0), make_line(COCONUT, 20.0))
    front = trade_off(project, variant, wanted(CARBOHYDRATE), LESS_FAT, MORE_MEDIUM)
    assert len(front.points) == 15
    assert (front.now[0].value, front.now[1].value) == pytest.approx((2.0, 0.28))
    first, last = front.points[0], front.points[-1]
    assert (first.first.value, last.first.value) == pytest.approx((0.0, 6.0), abs=1e-3)
    for point in front.points:
        assert point.second.value == pytest.approx(0.14 * point.first.value, abs=1e-4)
        assert point.proposal.after.bound("CHOAVLDF").value == pytest.approx(20.0, abs=0.05) or point.proposal.met


def test_no_point_is_worse_than_another_in_both() -> None:
    project, variant = project_with(make_line(SYRUP, 150.0), make_line(OATS, 150.0), make_line(COCONUT, 20.0))
    fibre, density = Axis("FIBTG", "portion", "more"), Axis("FAT", "per_100g", "less")
    front = trade_off(project, variant, wanted(CARBOHYDRATE), fibre, density, 9)
    assert len(front.points) > 3
    for a, b in itertools.permutations(front.points, 2):
        assert not (a.first.value > b.first.value + 1e-4 and a.second.value < b.second.value - 1e-4)
    for point in front.points:
        assert 19.9 <= point.proposal.after.bound("CHOAVLDF").value <= 25.1


def test_brute_force_finds_nothing_better() -> None:
    """Syrup and oats in steps of 5 g up to three times today's: none has more fibre with as little fat a hundred."""
    project, variant = project_with(make_line(SYRUP, 150.0), make_line(OATS, 100.0))
    fibre, fat = Axis("FIBTG", "portion", "more"), Axis("FAT", "per_100g", "less")
    front = trade_off(project, variant, wanted(CARBOHYDRATE), fibre, fat, 12)
    points = [(p.first.value, p.second.value) for p in front.points]
    for s, o in itertools.product(range(0, 455, 5), range(0, 305, 5)):
        if s + o and 200 <= 0.8 * s + 0.6 * o <= 250:
            found = 0.1 * o / 10, 8.0 * o / (s + o)
            beaten = [p for p in points if found[0] > p[0] + 1e-3 and found[1] < p[1] - 1e-3]
            assert not beaten, (s, o)


def test_quantities_that_do_not_fight_have_one_best_point() -> None:
    project, variant = project_with(make_line(SYRUP, 200.0), make_line(OATS, 100.0))
    front = trade_off(
        project, variant, wanted(CARBOHYDRATE), Axis("FIBTG", "portion", "less"), Axis("FAT", "portion", "less")
    )
    (point,) = front.points
    assert point.first.value == pytest.approx(0.0, abs=0.05) and point.second.value == pytest.approx(0.0, abs=0.05)


def test_nothing_that_moves_has_no_front() -> None:
    project, variant = project_with(make_line(SYRUP, 250.0, lock=True))
    assert trade_off(project, variant, wanted(CARBOHYDRATE), LESS_FAT, MORE_MEDIUM).points == ()
