"""Variants side by side: what comes first, who stands in whose place, from whom each descends."""

import math

import pytest
from msgspec.structs import replace

from tests.support import NO_RULES, evaluated, make_food, make_line, make_project, make_variant
from workbench.base.errors import WorkbenchError
from workbench.document.project import Assumptions, ByCount, Project, Target, TargetSet
from workbench.recipe.change import KeptChanges
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import HEADLINE, QUANTITIES
from workbench.recipe.side_by_side import Others, Row, SideBySide, by_rules_of, column_of, compared, side_by_side

MAIZE = make_food("maize", {"CHOAVLDF": 75.0, "FAT": 2.0, "FIBTG": 4.0, "PROCNT": 8.0, "NA": 400.0})
BUTTER = make_food("butter", {"CHOAVLDF": 0.0, "FAT": 80.0, "FIBTG": 0.0, "PROCNT": 1.0, "NA": 0.0})
OIL = make_food("oil", {"CHOAVLDF": 0.0, "FAT": 100.0, "FIBTG": 0.0, "PROCNT": 0.0, "NA": 0.0})
FIGS = make_food("figs", {"CHOAVLDF": 54.0, "FAT": 1.0, "NA": 10.0})  # no fibre and no protein known

TARGETS = TargetSet(
    id="t",
    name="targets",
    targets=(
        Target(id="1", quantity="FAT", low=0.0, high=50.0),  # met
        Target(id="2", quantity="FIBTG", high=1.0),  # short or over, or cannot tell
        Target(id="3", quantity="CHOAVLDF", basis="per_hour", low=60.0),
        Target(id="4", quantity="CHOAVLDF", low=5.0, high=6.0, strength="prefer"),
    ),
)


def project(**facts: object) -> Project:
    shape = {"portioning": ByCount(count=10), "target_set_id": "t"}
    old = make_variant(
        make_line(MAIZE, 200.0, "a"), make_line(BUTTER, 40.0, "b"), id="old", name="Old", notes="as ever", **shape
    )
    plain = make_variant(
        make_line(MAIZE, 200.0, "a"), make_line(OIL, 30.0, "b"), id="plain", name="Plain", parent_id="old", **shape
    )
    fig = make_variant(
        make_line(MAIZE, 180.0, "a"),
        make_line(OIL, 30.0, "b"),
        make_line(FIGS, 60.0, "c"),
        **{**shape, "id": "fig", "name": "Fig", "parent_id": "plain", "pace_per_hour": 2.0, "notes": "slower"},
    )
    foods = [MAIZE, BUTTER, OIL, FIGS]
    return make_project(foods, old, plain, fig, target_sets=(TARGETS,), assumptions=NO_RULES, **facts)


def of(names: str, basis: str = "portion", **options: object) -> SideBySide:
    p = project()
    return compared(p, [evaluated(p, name) for name in names.split()], basis, **options)  # type: ignore[arg-type]


def row(side: SideBySide, key: str) -> Row:
    return next(row for row in side.rows if row.quantity.key == key)


def test_figures_are_those_of_the_evaluations() -> None:
    p = project()
    found = [evaluated(p, name) for name in ("old", "plain", "fig")]
    for basis in ("portion", "per_100g", "per_hour", "per_25g_carbohydrate"):
        side = compared(p, found, basis)  # type: ignore[arg-type]
        assert {"FAT", "fructose_to_glucose", "K"} <= {row.quantity.key for row in side.rows}
        for each in side.rows:
            expected = tuple(evaluation.bound(each.quantity.key, basis) for evaluation in found)  # type: ignore[arg-type]
            assert repr(each.bounds) == repr(expected), "none of them is a number where none is known"
    fat = row(compared(p, found, "portion", reference=1), "FAT")
    assert [change.value for change in fat.changes] == pytest.approx([0.2, 0.0, 0.02])


def test_missed_targets_come_first_then_doubtful_ones_then_met_ones_then_the_headline() -> None:
    keys = of("old plain fig").order
    assert keys[:3] == ("CHOAVLDF", "FIBTG", "FAT")
    rest = keys[3:]
    headline = [key for key in rest if key in HEADLINE]
    assert list(rest[: len(headline)]) == headline
    side = of("old plain fig")
    certain = [row(side, key).certain for key in headline]
    assert certain == sorted(certain, reverse=True)
    weights = [row(side, key).weight for key in headline if row(side, key).certain]
    assert weights == sorted(weights, reverse=True)


def test_a_fixed_order_is_kept() -> None:
    p = project()
    columns = [column_of(p, evaluated(p, name)) for name in ("old", "fig")]
    order = ("WATER", "FAT", "CHOAVLDF")
    assert side_by_side(columns, 0, "portion", order=order).order == order


def test_what_is_kept_from_tick_to_tick_changes_no_figure() -> None:
    p, kept = project(), KeptChanges()
    resting = [column_of(p, evaluated(p, name)) for name in ("old", "plain", "fig")]
    for grams in (30.0, 60.0, 90.0):
        line = make_line(FIGS, grams, "c")
        fig = p.variants[2]
        moved = replace(p, variants=(*p.variants[:2], replace(fig, lines=(*fig.lines[:2], line))))
        columns = [*resting[:2], column_of(moved, evaluated(moved, "fig"))]
        order = ("FAT", "FIBTG")
        tick = side_by_side(columns, 0, "portion", order=order, kept=kept)
        assert repr(tick) == repr(side_by_side(columns, 0, "portion", order=order))
    assert kept.between(resting[0].evaluation, resting[1].evaluation) is kept.between(
        resting[0].evaluation, resting[1].evaluation
    )


def test_the_worst_verdict_is_told_and_its_target_follows_the_basis_and_the_pace() -> None:
    side = of("old fig")
    carbohydrate = row(side, "CHOAVLDF")
    states = [(v.target.id, v.state) for v in carbohydrate.verdicts if v is not None]
    assert states == [("3", "short"), ("3", "short")], "15 and 16.7 g a piece, three and two an hour"
    assert [band.low for band in carbohydrate.bands if band is not None] == pytest.approx([20.0, 30.0])
    fibre = row(side, "FIBTG")
    assert [v.state for v in fibre.verdicts if v is not None] == ["met", "cannot_tell"]
    assert fibre.ways == ("same", "cannot_tell")
    per_carbohydrate = row(of("old fig", "per_25g_carbohydrate"), "FAT")
    assert per_carbohydrate.bands == (None, None), "a piece holds no fixed part of 25 g of carbohydrate"


def test_of_two_targets_that_are_met_alike_the_one_on_the_basis_of_the_comparison_is_shown() -> None:
    batch, piece = Target(id="b", quantity="FAT", basis="batch", high=900.0), Target(id="p", quantity="FAT", high=90.0)
    for targets in ((batch, piece), (piece, batch)):
        p = replace(project(), target_sets=(replace(TARGETS, targets=targets),))
        for basis, limit in (("portion", 90.0), ("batch", 900.0)):
            side = compared(p, [evaluated(p, "old"), evaluated(p, "fig")], basis)  # type: ignore[arg-type]
            assert [v.target.high for v in row(side, "FAT").verdicts if v is not None] == [limit, limit]


def test_ingredients_stand_in_one_row_by_line_or_by_food() -> None:
    side = of("old plain fig")
    assert [(each.name, each.names) for each in side.ingredients] == [
        ("maize", ("maize", "maize", "maize")),
        ("butter", ("butter", "oil", "oil")),
        ("figs", (None, None, "figs")),
    ]
    fat = side.ingredients[1]
    assert [change and change.what for change in fat.changes] == [None, "replaced", "replaced"]
    assert fat.shares == pytest.approx((40 / 240, 30 / 230, 30 / 270))
    assert fat.piece_g == pytest.approx((4.0, 3.0, 3.0))
    assert side.ingredients[2].shares[:2] == (None, None)
    backwards = of("plain old", reference=1).ingredients
    assert [each.name for each in backwards] == ["maize", "butter"], "as the reference calls them"


def test_descent_goes_through_forebears_that_are_not_compared() -> None:
    steps = of("old fig").descent
    assert [(step.parent, step.variant, step.compared) for step in steps] == [
        ("", "Old", True),
        ("Old", "Plain", False),
        ("Plain", "Fig", True),
    ]
    assert [change.what for change in steps[1].changes] == ["more", "replaced"]
    assert (steps[0].note, steps[2].note) == ("as ever", "slower")
    # Of 3.6 g fat a piece 0.2 g go, 1 of 18; by 4, 9 and 9 kcal a gram less than 2 % of the energy go.
    assert [effect.quantity.key for effect in steps[1].effects] == ["FAT", "energy_kcal", "energy_kj"]
    assert "FIBTG" not in {effect.quantity.key for effect in steps[2].effects}, "only what is certain"


def test_variants_in_a_ring_of_descent_do_not_go_on_for_ever() -> None:
    p = project()
    ring = replace(p, variants=tuple(replace(v, parent_id="fig") if v.id == "old" else v for v in p.variants))
    steps = compared(ring, [evaluated(ring, "old"), evaluated(ring, "fig")], "portion").descent
    assert sorted(step.variant for step in steps) == ["Fig", "Old", "Plain"]


def test_another_project_is_measured_by_the_rules_of_this_one() -> None:
    here, there = project(), replace(project(), assumptions=Assumptions(), title="elsewhere")
    measured = by_rules_of(here, there)
    assert measured.assumptions == NO_RULES
    assert by_rules_of(here, measured) is measured
    others = [Others(measured, "elsewhere.fare", [evaluated(measured, "fig")])]
    side = compared(here, [evaluated(here, "fig")], "portion", others=others)
    assert [column.full_title for column in side.columns] == ["Fig", "Fig (elsewhere)"]
    assert all(set(each.ways) <= {"same", "cannot_tell"} for each in side.rows)
    assert row(side, "FIBTG").ways == ("same", "same"), "the same figs, whatever their fibre"
    assert all(each.names == (each.name, each.name) and not each.changed for each in side.ingredients)


def test_one_or_seven_are_refused_in_words() -> None:
    with pytest.raises(WorkbenchError, match="needs two"):
        of("old")
    with pytest.raises(WorkbenchError, match="7 variants are too many"):
        of("old plain fig old plain fig old")


def test_a_variant_without_a_result_stands_there_without_figures() -> None:
    p = project()
    empty = make_variant(make_line(MAIZE, 0.0, "a"), id="empty", name="Empty", target_set_id="t")
    p = replace(p, variants=(*p.variants, empty))
    found: list[Evaluation] = [evaluated(p, "old"), evaluated(p, "empty")]
    side = compared(p, found, "portion")
    assert len(side.rows) == len(QUANTITIES)
    for each in side.rows:
        assert not each.bounds[1].known
        assert each.ways[1] == "cannot_tell" and math.isnan(each.changes[1].value)
        assert not each.certain
    assert [each.shares[1] for each in side.ingredients] == [None, None]
    assert {each.ways[1] for each in compared(p, found, "portion", reference=1).rows} == {"same"}, "to itself"
