"""Matching: cases small enough to be worked out by hand."""

import math

import numpy as np
import pytest
from msgspec.structs import replace

from tests.support import make_food, make_line, make_project, make_variant
from workbench.base.errors import CalculationError
from workbench.composition.food import Pack
from workbench.document.edits import Change
from workbench.document.line_edits import set_amounts
from workbench.document.project import (
    ByCount,
    ByWeight,
    FoodRef,
    Line,
    Project,
    Stage,
    Target,
    TargetSet,
    Typical,
    Variant,
    WaterLost,
)
from workbench.solve.matching import follow, match
from workbench.solve.proposal import Options, Proposal
from workbench.solve.words import judged_text

SYRUP = make_food("syrup", {"WATER": 20.0, "CHOAVLDF": 80.0, "FAT": 0.0, "FIBTG": 0.0})
OATS = make_food("oats", {"WATER": 10.0, "CHOAVLDF": 60.0, "FAT": 8.0, "FIBTG": 10.0}, typical_yield=3.0)
OIL = make_food("oil", {"WATER": 0.0, "CHOAVLDF": 0.0, "FAT": 100.0, "FIBTG": 0.0})
WATER = make_food("water", {"WATER": 100.0, "CHOAVLDF": 0.0, "FAT": 0.0, "FIBTG": 0.0})
MUESLI = make_food("muesli", {"WATER": 10.0, "CHOAVLDF": 60.0})  # nobody knows its fibre
FOODS = (SYRUP, OATS, OIL, WATER, MUESLI)


def wanted(*targets: Target) -> TargetSet:
    return TargetSet(id="t", name="t", targets=targets)


def want(key: str, basis: str = "portion", **facts: object) -> Target:
    return Target(id=f"{key} {basis}", quantity=key, basis=basis, **facts)  # type: ignore[arg-type]


def project_with(*lines: Line, **facts: object) -> tuple[Project, Variant]:
    variant = make_variant(*lines, **{"portioning": ByCount(count=10), **facts})  # type: ignore[arg-type]
    return make_project(FOODS, variant), variant


def test_one_ingredient_is_set_to_what_is_missing() -> None:
    """10 pieces of 25 g carbohydrate are 250 g, in 312.5 g of syrup at 80 %."""
    project, variant = project_with(make_line(SYRUP, 100.0))
    proposal = match(project, variant, wanted(want("CHOAVLDF", low=25.0)))
    assert proposal.amounts["syrup"] == pytest.approx(312.5, rel=1e-6)
    assert [v.state for v in proposal.verdicts_before] == ["short"]
    assert proposal.met and proposal.must_met
    assert variant.lines[0].amount_g == 100.0, "a proposal changes nothing"


def test_two_ingredients_share_a_change_by_what_they_bring() -> None:
    """Least squares by hand: 80 and 60 g brought, 70 g more wanted: y = 70 (80, 60) / (80² + 60²)."""
    project, variant = project_with(make_line(SYRUP, 100.0), make_line(OATS, 100.0))
    proposal = match(project, variant, wanted(want("CHOAVLDF", "batch", low=210.0)))
    assert list(proposal.amounts.values()) == pytest.approx([100 * (1 + 0.7 * 0.8), 100 * (1 + 0.7 * 0.6)], rel=1e-6)


def test_few_moves_the_one_ingredient_that_does_it_alone() -> None:
    project, variant = project_with(make_line(SYRUP, 100.0), make_line(OATS, 100.0), make_line(OIL, 20.0))
    proposal = match(project, variant, wanted(want("CHOAVLDF", "batch", low=210.0)), Options(few=True))
    assert [(c.line_id, round(c.change_g, 3)) for c in proposal.changes] == [("syrup", 87.5)]


def test_twins_share_a_change_and_with_few_the_first_id_moves_wherever_it_stands() -> None:
    lines = [make_line(SYRUP, 100.0, "a"), make_line(SYRUP, 100.0, "b")]
    targets = wanted(want("CHOAVLDF", "batch", low=176.0))
    for order in (lines, lines[::-1]):
        project, variant = project_with(*order)
        both = match(project, variant, targets)
        assert both.amounts["a"] == pytest.approx(110.0) and both.amounts["b"] == pytest.approx(110.0)
        one = match(project, variant, targets, Options(few=True))
        moved = [c.line_id for c in one.changes]
        assert moved == ["a"], "one of them, and the same one whatever the order"


def test_locks_limits_and_links() -> None:
    lines = (
        make_line(SYRUP, 100.0, lock=True),
        make_line(OATS, 100.0, group="porridge"),
        make_line(WATER, 200.0, group="porridge"),
        make_line(OIL, 20.0, max_g=15.0),
    )
    project, variant = project_with(*lines)
    proposal = match(project, variant, wanted(want("CHOAVLDF", "batch", low=170.0)))
    assert proposal.amounts["syrup"] == 100.0
    assert proposal.amounts["oats"] == pytest.approx(150.0, rel=1e-6)
    assert proposal.amounts["water"] == pytest.approx(300.0, rel=1e-6), "water twice the grain"
    assert proposal.amounts["oil"] == 15.0, "a limit is kept even where the amount was outside"


def test_a_held_batch_weight_is_held() -> None:
    project, variant = project_with(make_line(SYRUP, 100.0), make_line(WATER, 300.0), hold_batch_weight=True)
    targets = wanted(want("CHOAVLDF", "batch", low=100.0))
    held = match(project, variant, targets)
    assert sum(held.amounts.values()) == pytest.approx(400.0)
    assert held.amounts["syrup"] == pytest.approx(125.0, rel=1e-6)
    assert match(project, variant, targets, Options(hold_batch_weight=False)).amounts["water"] == 300.0


def test_a_piece_by_weight_with_typical_cooking() -> None:
    """100 g oats become 300 g and stay so per 60 g piece: syrup s on them gives (60 + 0.8 s) 60 / (300 + s) = 24."""
    lines = (
        make_line(OATS, 100.0, lock=True),
        make_line(WATER, 200.0, cooking_water=True, lock=True),
        make_line(SYRUP, 50.0),
    )
    project, variant = project_with(*lines, weight=Typical(), portioning=ByWeight(piece_g=60.0))
    proposal = match(project, variant, wanted(want("CHOAVLDF", low=24.0)))
    s = (24.0 * 300 - 60 * 60) / (0.8 * 60 - 24.0)
    # Syrup stands in the same stage, with a typical yield of 1.
    assert proposal.amounts["syrup"] == pytest.approx(s, rel=1e-6)
    assert proposal.after.bound("CHOAVLDF").value == pytest.approx(24.0, rel=1e-8)


def test_water_and_weight_of_the_food_can_be_targets() -> None:
    """30 g boil off, so 10 pieces of 20 g take 230 g into the pot, with at most half of the food water."""
    project, variant = project_with(make_line(SYRUP, 100.0), make_line(WATER, 100.0), weight=WaterLost(amount=30.0))
    proposal = match(
        project, variant, wanted(want("weight", low=20.0, high=20.0), want("WATER", "per_100g", high=50.0))
    )
    assert proposal.met
    assert proposal.after.portions.piece_g == pytest.approx(20.0)
    assert sum(proposal.amounts.values()) == pytest.approx(230.0)
    assert proposal.after.bound("WATER", "per_100g").value <= 50.0 + 1e-6


def test_no_stage_is_left_without_its_water() -> None:
    """40 g boil off in grams: less than 40 g of water in the pot is no recipe, however little the target asks for."""
    project, variant = project_with(make_line(OIL, 100.0), make_line(WATER, 100.0), weight=WaterLost(amount=40.0))
    proposal = match(project, variant, wanted(want("WATER", "batch", high=0.0), want("FAT", "batch", low=100.0)))
    assert proposal.after.valid
    assert proposal.amounts["water"] == pytest.approx(40.0, abs=1e-4)


def test_an_absent_ingredient_is_taken_up_where_nothing_else_helps() -> None:
    project, variant = project_with(make_line(SYRUP, 100.0), make_line(OIL, 0.0))
    proposal = match(project, variant, wanted(want("FAT", low=2.0)))
    assert proposal.amounts["oil"] == pytest.approx(20.0, rel=1e-6)


def test_must_comes_before_prefer_and_prefer_before_a_small_change() -> None:
    lines = (make_line(OATS, 100.0), make_line(SYRUP, 1.0, lock=True))
    project, variant = project_with(*lines)
    must = want("FIBTG", high=1.5)
    prefer = want("CHOAVLDF", low=12.0, strength="prefer")
    proposal = match(project, variant, wanted(prefer, must))
    assert proposal.amounts["oats"] == pytest.approx(150.0, rel=1e-4)
    assert [v.state for v in proposal.verdicts] == ["short", "met"]
    assert proposal.must_met and not proposal.met


@pytest.mark.parametrize("limits", [{}, {"low": 19.0, "high": 30.0}])
def test_an_aim_is_reached_alone_or_between_limits(limits: dict[str, float]) -> None:
    project, variant = project_with(make_line(SYRUP, 250.0))
    proposal = match(project, variant, wanted(want("CHOAVLDF", aim=25.0, **limits)))
    assert proposal.amounts["syrup"] == pytest.approx(312.5, rel=1e-6)


def test_an_aim_is_followed_as_far_as_the_limits_let_it() -> None:
    """The syrup may bring 20 g fibreless carbohydrate only with 400 g of it; oats add fibre, 1 g a piece at most."""
    project, variant = project_with(make_line(OATS, 80.0), make_line(SYRUP, 100.0, lock=True))
    targets = wanted(want("CHOAVLDF", low=10.0, high=30.0, aim=20.0), want("FIBTG", high=1.0))
    proposal = match(project, variant, targets)
    assert proposal.met
    assert proposal.amounts["oats"] == pytest.approx(100.0, rel=1e-4), "10 g fibre in ten pieces"


def accepted(variant: Variant, proposal: Proposal) -> Variant:
    return replace(variant, lines=tuple(replace(x, amount_g=proposal.amounts[x.id]) for x in variant.lines))


@pytest.mark.parametrize(
    "targets",
    [
        wanted(want("CHOAVLDF", low=19.0, high=30.0, aim=25.0), want("FAT", "per_100g", low=3.0, high=20.0, aim=9.0)),
        # More fat and less of it: aims that exclude each other.
        wanted(want("FAT", low=0.5, high=3.0, aim=2.5), want("FAT", "per_100g", low=1.0, high=9.0, aim=2.0)),
        wanted(want("FAT", high=1.0), want("energy_from_fat", low=60.0)),  # a clash
    ],
)
def test_what_is_accepted_is_not_moved_again(targets: TargetSet) -> None:
    project, variant = project_with(make_line(SYRUP, 200.0), make_line(OATS, 100.0), make_line(OIL, 10.0))
    proposal = match(project, variant, targets)
    assert proposal.changes
    assert match(project, accepted(variant, proposal), targets).changes == ()


def test_what_is_kept_as_shown_is_left_alone() -> None:
    project, variant = project_with(make_line(SYRUP, 249.6))  # 19.968 g, shown as 20.0
    proposal = match(project, variant, wanted(want("CHOAVLDF", low=20.0)))
    assert proposal.met and proposal.changes == ()


# --- what is not known ----------------------------------------------------------------------------------------------


def test_a_maximum_holds_for_the_most_that_an_unknown_part_can_be() -> None:
    """Muesli with 60 g carbohydrate may hold that much starch, and 3.5 g that tables contradict themselves by."""
    project, variant = project_with(make_line(MUESLI, 100.0), make_line(OIL, 10.0))
    proposal = match(project, variant, wanted(want("STARCH", high=3.0)))
    assert proposal.met
    assert proposal.amounts["muesli"] == pytest.approx(30.0 / 0.635, rel=1e-6)


def test_where_nothing_limits_the_unknown_part_the_known_part_is_matched_and_it_is_said() -> None:
    project, variant = project_with(make_line(MUESLI, 100.0), make_line(OATS, 100.0))
    proposal = match(project, variant, wanted(want("FIBTG", high=0.8)))
    assert proposal.amounts["oats"] == pytest.approx(80.0, abs=1.0)
    assert proposal.amounts["muesli"] == 100.0
    assert [v.state for v in proposal.verdicts] == ["cannot_tell"]
    (problem,) = proposal.problems
    assert problem.code == "matched_on_known" and "muesli" in problem.sentence()


def test_a_target_on_cost_says_what_has_no_price_and_in_which_currency() -> None:
    targets = wanted(want("cost", high=0.1))
    project, variant = project_with(make_line(SYRUP, 400.0), make_line(OIL, 100.0))
    (problem,) = match(project, variant, targets).problems
    assert "no ingredient has a pack with a price" in problem.sentence()
    priced = replace(SYRUP, packs=(Pack(size_g=1000.0, price=4.0, currency="NOK"),))
    project = replace(project, foods=project.foods | {SYRUP.id: priced})
    proposal = match(project, variant, targets)
    (problem,) = proposal.problems
    assert "no price in NOK for oil" in problem.sentence()
    assert proposal.amounts["syrup"] == pytest.approx(250.0, rel=1e-4), "4 NOK a kilo, 0.1 NOK in each of ten pieces"
    assert judged_text(proposal.verdicts[0], "NOK").endswith("(NOK)")


def test_an_absent_ingredient_of_unknown_content_is_not_taken_up() -> None:
    project, variant = project_with(make_line(MUESLI, 0.0), make_line(OATS, 100.0), make_line(SYRUP, 20.0))
    proposal = match(project, variant, wanted(want("CHOAVLDF", low=12.0), want("FIBTG", high=1.0)))
    assert proposal.amounts["muesli"] == 0.0 and proposal.met


# --- in the hand ----------------------------------------------------------------------------------------------------


def test_the_others_make_room_for_the_line_in_the_hand() -> None:
    """200 g carbohydrate in all: with oats at 100 g (60 g of it) syrup brings the other 140 g, in 175 g."""
    project, variant = project_with(make_line(SYRUP, 250.0), make_line(OATS, 0.0))
    targets = wanted(want("CHOAVLDF", low=20.0, high=20.0))
    proposal = follow(project, variant, "oats", 100.0, targets)
    assert dict(proposal.amounts) == pytest.approx({"syrup": 175.0, "oats": 100.0}, rel=1e-6)
    assert proposal.met


def test_links_follow_the_hand_and_a_clash_does_not_stop_it() -> None:
    lines = (make_line(OATS, 100.0, group="g"), make_line(WATER, 200.0, group="g"), make_line(SYRUP, 50.0, lock=True))
    project, variant = project_with(*lines)
    proposal = follow(project, variant, "oats", 150.0, wanted(want("FIBTG", high=1.0)))
    assert (proposal.amounts["oats"], proposal.amounts["water"]) == pytest.approx((150.0, 300.0))
    assert [v.state for v in proposal.verdicts] == ["over"]


def test_accepting_is_one_edit_that_keeps_what_was_typed_elsewhere() -> None:
    lines = (make_line(SYRUP, 100.0, entered="100 g"), make_line(OATS, 50.0, entered="½ cup"))
    project, variant = project_with(*lines)
    proposal = match(project, variant, wanted(want("CHOAVLDF", "batch", low=120.0)), Options(few=True))
    edit = set_amounts(project, variant.id, proposal.amounts, "match targets")
    after = edit.project.variant(variant.id)
    assert edit.change is Change.AMOUNTS and edit.words == "match targets"
    assert after.lines[0].amount_g == pytest.approx(112.5) and after.lines[0].entered == ""
    assert after.lines[1] == lines[1]


# --- bad input ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("target", "code"),
    [
        (want("CHOAVLDF", low=30.0, high=20.0), "target_crossed"),
        (want("of another program", low=1.0), "target_unknown_quantity"),
        (want("CHOAVLDF", low=math.nan), "target_not_a_figure"),
        (want("CHOAVLDF", high=math.inf), "target_not_a_figure"),
        (want("CHOAVLDF", low=1.0, high=2.0, aim=3.0), "aim_outside"),
    ],
)
def test_a_target_that_makes_no_sense_is_named_and_the_others_are_matched(target: Target, code: str) -> None:
    project, variant = project_with(make_line(SYRUP, 100.0))
    proposal = match(project, variant, wanted(target, want("CHOAVLDF", "batch", low=90.0)))
    assert code in [problem.code for problem in proposal.problems]
    assert proposal.after.bound("CHOAVLDF", "batch").value == pytest.approx(90.0) or code == "aim_outside"


def test_everything_locked_moves_nothing() -> None:
    project, variant = project_with(make_line(SYRUP, 100.0, lock=True), make_line(OATS, 10.0, lock=True))
    proposal = match(project, variant, wanted(want("CHOAVLDF", low=25.0)))
    assert proposal.changes == () and not proposal.met
    assert proposal.verdicts[0].by == pytest.approx(25.0 - 8.6)


def test_limits_that_contradict_each_other_move_nothing_and_it_is_said() -> None:
    project, variant = project_with(make_line(SYRUP, 100.0, min_g=120.0, max_g=80.0), make_line(OATS, 10.0))
    proposal = match(project, variant, wanted(want("CHOAVLDF", low=25.0)))
    assert proposal.changes == ()
    assert [problem.code for problem in proposal.problems] == ["no_room"]


def test_a_variant_without_weight_or_food_is_refused_in_words() -> None:
    project, variant = project_with(make_line(SYRUP, 0.0))
    with pytest.raises(CalculationError, match=r"^Nothing is left to portion"):
        match(project, variant, wanted(want("CHOAVLDF", low=25.0)))
    lost = Line(id="x", stage_id="s1", food_ref=FoodRef(kind="own", id="gone"), amount_g=10.0)
    project, variant = project_with(lost)
    with pytest.raises(CalculationError) as caught:
        match(project, variant, wanted(want("CHOAVLDF", low=25.0)))
    assert any("holds no such ingredient" in line for line in caught.value.lines())
    project, variant = project_with(make_line(SYRUP, math.nan), make_line(OATS, 10.0))
    with pytest.raises(CalculationError, match="not a figure"):
        match(project, variant, wanted(want("CHOAVLDF", low=25.0)))


def test_no_targets_ask_for_nothing() -> None:
    project, variant = project_with(make_line(SYRUP, 100.0))
    assert match(project, variant, wanted()).changes == ()


def test_five_hundred_ingredients() -> None:
    rng = np.random.default_rng(0)
    foods, lines = [], []
    for k in range(500):
        carbohydrate, fat, fibre = rng.dirichlet([4, 1, 1]) * 90
        foods.append(make_food(f"f{k}", {"WATER": 10.0, "CHOAVLDF": carbohydrate, "FAT": fat, "FIBTG": fibre}))
        lines.append(make_line(foods[-1], float(rng.integers(5, 50)), stage_id=f"s{k % 3}"))
    stages = tuple(Stage(id=f"s{k}", weight=WaterLost(amount=1.0, unit="%")) for k in range(3))
    variant = Variant(id="v", name="v", lines=tuple(lines), stages=stages, portioning=ByCount(count=300))
    project = make_project(foods, variant)
    targets = wanted(want("FAT", high=4.0), want("FIBTG", high=4.0), want("CHOAVLDF", low=25.0, high=27.0))
    assert match(project, variant, targets).met


def test_a_variant_as_ingredient_is_matched_like_any_other() -> None:
    inner = make_variant(make_line(OATS, 50.0), make_line(SYRUP, 50.0), id="inner", name="inner")
    outer = replace(make_variant(make_line(inner, 100.0, "line"), make_line(OIL, 10.0)), portioning=ByCount(count=2))
    project = make_project(FOODS, inner, outer)
    proposal = match(project, outer, wanted(want("CHOAVLDF", low=42.0)), Options(few=True))
    assert proposal.amounts["line"] == pytest.approx(120.0, rel=1e-6)
