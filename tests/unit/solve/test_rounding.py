"""Kitchen amounts: steps, what is kept while rounding, and what rounding costs."""

import itertools

import pytest

from tests.support import make_food, make_line, make_project, make_variant
from workbench.composition.food import Measure, Pack
from workbench.document.project import ByCount, Line, Project, Target, TargetSet, Variant
from workbench.solve.kitchen_steps import possible_steps, scale_step
from workbench.solve.proposal import Options
from workbench.solve.rounding import round_amounts

SYRUP = make_food("syrup", {"WATER": 20.0, "CHOAVLDF": 80.0, "FAT": 0.0})
OIL = make_food("oil", {"CHOAVLDF": 0.0, "FAT": 100.0})
OATS = make_food("oats", {"CHOAVLDF": 60.0, "FAT": 8.0})
WATER = make_food("water", {"WATER": 100.0, "CHOAVLDF": 0.0, "FAT": 0.0})


def project_with(*lines: Line, **facts: object) -> tuple[Project, Variant]:
    variant = make_variant(*lines, **{"portioning": ByCount(count=10), **facts})  # type: ignore[arg-type]
    return make_project([SYRUP, OIL, OATS, WATER], variant), variant


def wanted(*targets: Target) -> TargetSet:
    return TargetSet(id="t", name="t", targets=targets)


@pytest.mark.parametrize(
    ("grams", "step"), [(0.4, 0.1), (3.0, 0.5), (12.0, 1.0), (99.9, 1.0), (250.0, 5.0), (1300.0, 10.0)]
)
def test_a_scale_is_read_finer_where_less_is_weighed(grams: float, step: float) -> None:
    assert scale_step(grams).grams == step


def test_steps_of_a_line_are_its_own_then_the_scale_then_spoons_pieces_and_packs() -> None:
    food = make_food(
        "honey",
        {},
        measures=(Measure("tablespoon", 21.0), Measure("egg", 50.0)),
        packs=(Pack(size_g=500.0), Pack(size_g=500.0)),
    )
    plain = [s.grams for s in possible_steps(make_line(food, 40.0), food)]
    assert plain[0] == 1.0 and plain[-3:] == [5.25, 50.0, 500.0]
    assert possible_steps(make_line(food, 40.0, step_g=7.0), food)[0].grams == 7.0
    typed = possible_steps(make_line(food, 42.0, entered="2 tablespoon"), food)
    assert (typed[0].grams, typed[0].words) == (5.25, "¼ tablespoon")


def test_the_nearest_steps_that_keep_the_targets_by_brute_force() -> None:
    """All multiples near by: 1 g of oats and oil, 5 g of syrup; the least sum of relative changes wins."""
    exact = {"syrup": 133.0, "oats": 61.4, "oil": 12.4}
    project, variant = project_with(make_line(SYRUP, 133.0), make_line(OATS, 61.4), make_line(OIL, 12.4))
    targets = wanted(
        Target(id="c", quantity="CHOAVLDF", basis="batch", low=143.0),
        Target(id="f", quantity="FAT", basis="per_100g", high=8.35),
    )
    rounding = round_amounts(project, variant, targets)
    grid = itertools.product(range(100, 170, 5), range(50, 75), range(5, 20))
    kept = [
        (abs(s / 133.0 - 1) + abs(o / 61.4 - 1) + abs(f / 12.4 - 1), s, o, f)
        for s, o, f in grid
        if 0.8 * s + 0.6 * o >= 142.95 and (0.08 * o + f) / (s + o + f) * 100 <= 8.4
    ]
    best = min(kept)
    assert tuple(rounding.proposal.amounts.values()) == pytest.approx(best[1:])
    assert rounding.change == pytest.approx(best[0] / 3)
    assert rounding.lost == () and rounding.proposal.met
    assert dict(rounding.unrounded.amounts) == exact


def test_locked_lines_stay_and_limits_hold() -> None:
    lines = (make_line(SYRUP, 133.3, lock=True), make_line(OATS, 61.6, max_g=61.8), make_line(OIL, 3.2, min_g=3.1))
    project, variant = project_with(*lines)
    amounts = round_amounts(project, variant, wanted()).proposal.amounts
    assert dict(amounts) == {"syrup": 133.3, "oats": 61.0, "oil": 3.5}


def test_a_step_that_fits_no_limit_is_named_and_the_line_left() -> None:
    project, variant = project_with(make_line(SYRUP, 133.0, step_g=50.0, min_g=120.0, max_g=140.0), make_line(OIL, 5.2))
    proposal = round_amounts(project, variant, wanted()).proposal
    assert proposal.amounts["syrup"] == 133.0 and proposal.amounts["oil"] == 5.0
    assert [p.code for p in proposal.problems] == ["step_does_not_fit"]


def test_linked_lines_keep_their_proportion_as_far_as_their_steps_allow() -> None:
    lines = (make_line(OATS, 152.4, group="g"), make_line(WATER, 304.8, group="g"), make_line(SYRUP, 33.3))
    project, variant = project_with(*lines)
    amounts = round_amounts(project, variant, wanted()).proposal.amounts
    assert (amounts["oats"], amounts["water"]) == (150.0, 300.0) or (amounts["oats"], amounts["water"]) == (
        150.0,
        305.0,
    )
    assert abs(amounts["water"] - 2 * amounts["oats"]) <= 2.5 + 2 * 2.5


def test_a_held_batch_weight_is_held_to_half_a_step() -> None:
    lines = (make_line(SYRUP, 133.3), make_line(OATS, 61.6), make_line(WATER, 205.1))
    project, variant = project_with(*lines, hold_batch_weight=True)
    amounts = round_amounts(project, variant, wanted()).proposal.amounts
    assert sum(amounts.values()) == pytest.approx(400.0, abs=0.5 + 1e-6)


def test_where_no_kitchen_amount_keeps_a_target_it_says_what_was_lost() -> None:
    """24.9 to 25.1 g a piece in steps of 50 g of syrup (4 g a piece): 24 or 28 are the nearest."""
    project, variant = project_with(make_line(SYRUP, 312.5, step_g=50.0))
    targets = wanted(Target(id="c", quantity="CHOAVLDF", low=25.0, high=25.0))
    rounding = round_amounts(project, variant, targets)
    assert rounding.proposal.amounts["syrup"] == 300.0
    assert rounding.lost == ("c",)
    assert rounding.proposal.verdicts[0].by == pytest.approx(1.0)


def test_no_time_is_said_and_nothing_is_made_up() -> None:
    lines = [make_line(OATS, 100.3 + 7.7 * k, f"l{k:02}") for k in range(40)]
    project, variant = project_with(*lines)
    targets = wanted(
        Target(id="c", quantity="CHOAVLDF", low=100.0, high=100.1), Target(id="f", quantity="FAT", high=14.0)
    )
    rounding = round_amounts(project, variant, targets, options=Options(seconds=0.0))
    said = [p.code for p in rounding.proposal.problems]
    assert rounding.out_of_time == ("out_of_time" in said)
    if "no_kitchen_amounts" in said:
        assert rounding.proposal.amounts == rounding.unrounded.amounts
