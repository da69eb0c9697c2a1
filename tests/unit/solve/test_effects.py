"""What one gram more does: exact derivatives against differences of the engine, helpers, and break-even."""

import numpy as np
import pytest
from msgspec.structs import replace

from tests.external.solve_cases import random_case
from tests.support import make_food, make_line, make_project, make_variant
from workbench.document.edits import with_amounts
from workbench.document.project import ByCount, ByWeight, Line, Project, Target, Variant
from workbench.recipe.evaluation import evaluate
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import BASES
from workbench.solve.effects import Effects, break_even, effects, helpers

SYRUP = make_food("syrup", {"WATER": 20.0, "CHOAVLDF": 80.0, "FAT": 0.0, "FIBTG": 0.0})
FIGS = make_food("figs", {"WATER": 30.0, "CHOAVLDF": 55.0, "FAT": 1.0, "FIBTG": 10.0})
OIL = make_food("oil", {"CHOAVLDF": 0.0, "FAT": 100.0, "FIBTG": 0.0})
MUESLI = make_food("muesli", {"WATER": 10.0, "CHOAVLDF": 60.0, "FAT": 5.0})
PAIRS = [(key, basis) for key in ("CHOAVLDF", "FAT", "WATER", "weight") for basis in BASES]
PAIRS += [("energy_from_fat", "batch"), ("energy_kj", "portion")]


def project_with(*lines: Line, **facts: object) -> tuple[Project, Variant]:
    variant = make_variant(*lines, **{"portioning": ByCount(count=10), **facts})  # type: ignore[arg-type]
    return make_project([SYRUP, FIGS, OIL, MUESLI], variant), variant


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("held", [False, True])
def test_a_gram_more_is_what_the_engine_gives_for_a_hundredth_of_it(seed: int, held: bool) -> None:
    case = random_case(seed)
    lines = case.variant.lines
    linked = tuple(replace(line, group="g" if k < 2 else "") for k, line in enumerate(lines))
    variant = replace(case.variant, lines=linked, hold_batch_weight=held)
    project = replace(case.project, variants=(variant,))
    prepared = prepare(project, variant)
    found = effects(project, variant, PAIRS, prepared)
    h = 0.01
    for k, line in enumerate(variant.lines):
        more, less = (
            evaluate(prepared, with_amounts(project, "v", {line.id: line.amount_g + d}, {}).variant("v"))
            for d in (h, -h)
        )
        for p, pair in enumerate(PAIRS):
            difference = (more.bound(*pair).value - less.bound(*pair).value) / (2 * h)
            assert found.per_gram[k, p] == pytest.approx(difference, rel=1e-4, abs=1e-6), (line.id, pair)
    assert found.known.all()


def test_what_an_ingredient_does_to_a_quantity_it_does_not_state_is_marked() -> None:
    project, variant = project_with(make_line(SYRUP, 100.0), make_line(MUESLI, 50.0))
    found = effects(project, variant, [("FIBTG", "portion"), ("FAT", "portion")])
    assert found.known.tolist() == [[True, True], [False, True]]


@pytest.mark.parametrize("portioning", [ByCount(count=5), ByWeight(piece_g=40.0)])
@pytest.mark.parametrize("held", [False, True])
def test_whatever_the_missing_figure_is_the_truth_lies_between_the_limits(
    portioning: ByCount | ByWeight, held: bool
) -> None:
    """A blank is filled with every fibre from nothing to all that is dry; where nothing limits it, it is said."""
    pairs = [("FIBTG", "portion"), ("FIBTG", "per_100g"), ("CHOAVLDF", "per_25g_carbohydrate"), ("STARCH", "portion")]
    pairs += [("FIBTG", "per_25g_carbohydrate"), ("fructose_to_glucose", "batch")]

    def found(fibre: float | None, starch: float | None) -> Effects:
        dry = {} if fibre is None else {"FIBTG": fibre}
        dry |= {} if starch is None else {"STARCH": starch}
        foods = [SYRUP, FIGS, make_food("oats", {"WATER": 10.0, "CHOAVLDF": 60.0, "FAT": 8.0, **dry})]
        lines = [make_line(food, grams) for food, grams in zip(foods, (200.0, 100.0, 50.0), strict=True)]
        variant = make_variant(*lines, portioning=portioning, hold_batch_weight=held)
        return effects(make_project(foods, variant), variant, pairs)

    blank = found(None, None)
    assert not blank.known[2, 0] and np.isinf(blank.high[2, 0])
    assert np.isfinite(blank.high[2, 3]), "no more starch than carbohydrate"
    for fibre in (0.0, 4.0, 20.0):
        for starch in (0.0, 30.0, 60.0):
            filled = found(fibre, starch).per_gram
            sure = np.isfinite(filled)
            assert (blank.low[sure] <= filled[sure] + 1e-12).all() and (filled[sure] <= blank.high[sure] + 1e-12).all()
    known = found(4.0, 30.0)
    assert known.low[:, 0] == pytest.approx(known.per_gram[:, 0]) and known.high[:, 0] == pytest.approx(known.low[:, 0])


def test_helpers_name_what_moves_a_target_most_and_its_side_effects() -> None:
    lines = (
        make_line(SYRUP, 200.0),
        make_line(FIGS, 100.0),
        make_line(OIL, 20.0),
        make_line(FIGS, 50.0, "locked", lock=True),
    )
    project, variant = project_with(*lines)
    short = Target(id="c", quantity="CHOAVLDF", low=26.0)  # it is 24.25
    fibre, fat = Target(id="f", quantity="FIBTG", high=2.0), Target(id="x", quantity="FAT", high=9.0)
    found = helpers(project, variant, short, [fibre, fat])
    assert [h.line_id for h in found] == ["syrup", "figs"]
    assert found[0].per_gram == pytest.approx(0.08) and found[0].grams == pytest.approx(17.5 / 0.8)
    assert found[1].per_gram == pytest.approx(0.055) and found[1].side_effects == pytest.approx((0.01, 0.001))
    too_much = helpers(project, variant, Target(id="f", quantity="FIBTG", high=1.0), [short])
    assert [h.line_id for h in too_much] == ["figs"]
    assert too_much[0].per_gram == pytest.approx(-0.01), "less of it helps"
    assert too_much[0].grams == pytest.approx(-50.0)
    assert too_much[0].side_effects == pytest.approx((-0.055,))


def test_the_grams_that_reach_a_limit_are_found() -> None:
    """Fibre passes 2 g a piece, 20 g in all, at 200 g figs; per 100 g of food, 10 f = 4 (100 + f) is f = 66.7 g."""
    project, variant = project_with(make_line(SYRUP, 100.0), make_line(FIGS, 50.0))
    found = break_even(project, variant, "figs", "FIBTG", "portion", 2.0)
    assert found is not None and found.grams == pytest.approx(200.0) and found.bound.value == pytest.approx(2.0)
    share = break_even(project, variant, "figs", "FIBTG", "per_100g", 4.0)
    assert share is not None and share.grams == pytest.approx(400.0 / 6.0)
    assert break_even(project, variant, "figs", "FIBTG", "per_100g", 11.0) is None, "figs alone hold 10"
    assert break_even(project, variant, "syrup", "FIBTG", "portion", 2.0) is None, "syrup holds none"


def test_break_even_where_the_others_give_way() -> None:
    """200 g held: f figs leave 200 - f of syrup; 55 % and 80 %: 0.55 f + 0.8 (200 - f) = 135 is f = 100."""
    project, variant = project_with(make_line(SYRUP, 150.0), make_line(FIGS, 50.0), hold_batch_weight=True)
    found = break_even(project, variant, "figs", "CHOAVLDF", "batch", 135.0)
    assert found is not None and found.grams == pytest.approx(100.0)
    assert break_even(project, variant, "figs", "CHOAVLDF", "batch", 100.0) is None, (
        "there is not so much syrup to give"
    )


def test_effects_of_a_batch_without_carbohydrate_have_no_figure_per_25_g_of_it() -> None:
    project, variant = project_with(make_line(OIL, 100.0))
    found = effects(project, variant, [("FAT", "per_25g_carbohydrate")])
    assert np.isnan(found.per_gram).all()
