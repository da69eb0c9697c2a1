"""Clashes: named completely and no further, with what giving way would buy, as the user reads it."""

import pytest
from msgspec.structs import replace

from tests.support import make_food, make_line, make_project, make_variant
from workbench.document.project import ByCount, Line, Project, Target, TargetSet, Variant
from workbench.solve.clash import why_not
from workbench.solve.proposal import Options
from workbench.solve.words import clash_lines

SYRUP = make_food("syrup", {"WATER": 20.0, "CHOAVLDF": 80.0, "FAT": 0.0, "FIBTG": 0.0})
OATS = make_food("oats", {"WATER": 10.0, "CHOAVLDF": 60.0, "FAT": 8.0, "FIBTG": 10.0})
COCONUT = make_food(
    "coconut oil", {"CHOAVLDF": 0.0, "FAT": 100.0, "FIBTG": 0.0, "F6D0": 0.5, "F8D0": 7.0, "F10D0": 6.5}
)
FOODS = (SYRUP, OATS, COCONUT)


def project_with(*lines: Line, **facts: object) -> tuple[Project, Variant]:
    variant = make_variant(*lines, **{"portioning": ByCount(count=10), **facts})  # type: ignore[arg-type]
    return make_project(FOODS, variant), variant


def wanted(*targets: Target) -> TargetSet:
    return TargetSet(id="t", name="t", targets=targets)


FIBRE = Target(id="fibre", quantity="FIBTG", high=1.0)
CARBOHYDRATE = Target(id="carbohydrate", quantity="CHOAVLDF", low=25.0, high=30.0)


def test_two_targets_that_share_one_source() -> None:
    """Medium-chain fat comes from coconut oil alone, 14 % of it: 0.5 g need 3.57 g fat, and 2 g fat bring 0.28 g."""
    project, variant = project_with(make_line(SYRUP, 300.0), make_line(COCONUT, 20.0))
    fat = Target(id="fat", quantity="FAT", high=2.0)
    medium = Target(id="mct", quantity="mct_c6_c10", low=0.5)
    clash = why_not(project, variant, wanted(CARBOHYDRATE, fat, medium, FIBRE))
    assert clash is not None
    assert [m.id for m in clash.members] == ["fat", "mct"]
    bounds = {r.member.id: r.bound for r in clash.reliefs}
    assert bounds["fat"] is not None and bounds["fat"].value == pytest.approx(0.5 / 0.14)
    assert bounds["mct"] is not None and bounds["mct"].value == pytest.approx(0.28)
    assert all(r.all_hold for r in clash.reliefs)
    assert clash_lines(clash) == [
        "These cannot all hold, and without any one of them the others can:",
        "• fat per piece at most 2.0 g",
        "• medium-chain fat C6–C10 per piece at least 0.50 g",
        "What giving way would buy:",
        "• with fat per piece up to 3.6 g, the others hold",
        "• with medium-chain fat C6–C10 per piece down to 0.28 g, the others hold",
    ]


def test_a_target_a_lock_and_a_limit() -> None:
    """250 g carbohydrate: 100 g oats bring 60 g, the rest takes 237.5 g syrup or, at 200 g of it, 150 g oats."""
    lines = (make_line(OATS, 100.0, lock=True), make_line(SYRUP, 150.0, max_g=200.0), make_line(COCONUT, 10.0))
    project, variant = project_with(*lines)
    clash = why_not(project, variant, wanted(CARBOHYDRATE))
    assert clash is not None
    assert [(m.kind, m.id) for m in clash.members] == [("target", "carbohydrate"), ("lock", "oats"), ("most", "syrup")]
    target, lock, most = clash.reliefs
    assert target.bound is not None and target.bound.value == pytest.approx(22.0)
    assert lock.grams == pytest.approx(150.0)
    assert most.grams == pytest.approx(237.5)
    assert clash_lines(clash)[2:4] == ["• oats locked at 100 g", "• syrup at most 200 g"]
    assert clash_lines(clash)[-2:] == [
        "• with 150.0 g of oats, the others hold",
        "• with 237.5 g of syrup, the others hold",
    ]


def test_a_held_batch_weight_and_a_link_take_part() -> None:
    lines = (make_line(OATS, 100.0, group="g"), make_line(SYRUP, 100.0, group="g"))
    project, variant = project_with(*lines)
    target = wanted(Target(id="c", quantity="CHOAVLDF", basis="batch", low=145.0))
    clash = why_not(project, variant, target, Options(hold_batch_weight=True))
    assert clash is not None
    assert [m.kind for m in clash.members] == ["target", "linked", "held"]
    held = clash.reliefs[2]
    assert held.grams == pytest.approx(145.0 / 0.7)
    assert why_not(project, variant, target, Options(hold_batch_weight=False)) is None


def test_one_target_that_no_amount_can_meet_stands_alone() -> None:
    project, variant = project_with(make_line(OATS, 100.0), make_line(SYRUP, 100.0))
    clash = why_not(project, variant, wanted(Target(id="d", quantity="CHOAVLDF", basis="per_100g", low=90.0), FIBRE))
    assert clash is not None
    (member,) = clash.members
    assert member.id == "d"
    assert clash.reliefs[0].bound is not None and clash.reliefs[0].bound.value == pytest.approx(80.0)
    assert clash_lines(clash)[0] == "This cannot hold, whatever the amounts:"


def test_limits_alone_can_clash() -> None:
    project, variant = project_with(make_line(OATS, 100.0, min_g=120.0, max_g=80.0), make_line(SYRUP, 100.0))
    clash = why_not(project, variant, wanted(CARBOHYDRATE))
    assert clash is not None
    assert [(m.kind, m.id) for m in clash.members] == [("least", "oats"), ("most", "oats")]


def test_preferences_are_named_only_where_what_must_be_kept_can_be() -> None:
    project, variant = project_with(make_line(OATS, 100.0), make_line(SYRUP, 1.0, lock=True))
    wish = Target(id="wish", quantity="CHOAVLDF", low=12.0, strength="prefer")
    clash = why_not(project, variant, wanted(FIBRE, wish))
    assert clash is not None
    assert {m.id for m in clash.members} == {"wish", "fibre", "syrup"}
    assert "• carbohydrate (without fibre) per piece at least 12.0 g (preferred)" in clash_lines(clash)
    stricter = replace(FIBRE, id="strict", low=2.0, high=None)
    both = why_not(project, variant, wanted(FIBRE, stricter, wish))
    assert both is not None and {m.id for m in both.members} == {"fibre", "strict"}


def test_what_remains_after_one_clash_is_said() -> None:
    project, variant = project_with(make_line(SYRUP, 100.0, lock=True), make_line(COCONUT, 10.0, lock=True))
    fat = Target(id="fat", quantity="FAT", high=0.5)
    clash = why_not(project, variant, wanted(CARBOHYDRATE, fat))
    assert clash is not None
    assert all(not r.all_hold for r in clash.reliefs)
    assert "this clash is gone, another one is left" in clash_lines(clash)[-1]


def test_nothing_clashes_where_all_can_hold() -> None:
    project, variant = project_with(make_line(SYRUP, 100.0), make_line(OATS, 100.0))
    assert why_not(project, variant, wanted(CARBOHYDRATE, FIBRE)) is None
