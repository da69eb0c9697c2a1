"""Exchange ratios against published composition, household measures and papers, each with its code."""

import pytest

from tests.support import bundled_by_code, evaluated, project_of
from workbench.base.paths import demo_projects
from workbench.composition.bundled import bundled_foods
from workbench.composition.exchanges import exchanges, exchanges_for
from workbench.composition.piece_forms import piece_forms
from workbench.document.avoid import PLANT_BASED
from workbench.document.project import Project
from workbench.recipe.food_row import FoodRows
from workbench.solve.avoid import offending
from workbench.solve.options import options_for
from workbench.solve.race_form import other_form
from workbench.solve.substitutes import without
from workbench.solve.substitution import Option
from workbench.storage.project_file import load_project


def _options(code: str, grams: float = 1000.0, kind: str = "bake") -> dict[tuple[str, ...], Option]:
    """Exchanges of a food of USDA SR26 in a batch with as much maize meal, by what comes in."""
    project = project_of([(grams, bundled_by_code(code)), (4 * grams, bundled_foods()["maize_meal_fine"])])
    (stage,) = project.variants[0].stages
    variant = _with_stage_kind(project, kind)
    assert stage.id == variant.variants[0].stages[0].id
    found = options_for(variant, variant.variants[0], "line0", PLANT_BASED, most=40)
    return {option.foods: option for option in found}


def _with_stage_kind(project: Project, kind: str) -> Project:
    from msgspec.structs import replace

    (variant,) = project.variants
    stages = (replace(variant.stages[0], kind=kind),)
    return replace(project, variants=(replace(variant, stages=stages),))


# Grams are those of a kitchen scale: whole grams, so a comparison is good to one.
def _grams(option: Option) -> list[float]:
    return [part.amount_g for part in option.parts]


def test_butter_by_oil_and_water_has_the_fat_and_water_of_butter() -> None:
    # USDA SR26 1145: 81.11 g fat and 17.94 g water in 100 g.  Codex STAN 279-1971 (from memory): at least 80 g milk
    # fat and at most 16 g water; SR26 prints a little more water.
    oil, water = _grams(_options("1145")[("coconut_oil", "water")])
    assert oil == pytest.approx(811.1, abs=1.0)
    assert water == pytest.approx(179.4, abs=1.0)
    assert oil / 1000 > 0.80


def test_honey_by_maple_syrup_has_as_much_carbohydrate() -> None:
    # SR26 19296: 82.40 g carbohydrate less 0.2 g fibre; 19353: 67.04 g less 0.
    (maple,) = _grams(_options("19296")[("maple_syrup",)])
    assert maple == pytest.approx(1000 * 82.20 / 67.04, abs=0.5)


def test_milk_by_oil_and_water() -> None:
    # SR26 1077: 3.25 g fat, 88.13 g water.
    oil, water = _grams(_options("1077")[("rapeseed_oil", "water")])
    assert (oil, water) == (pytest.approx(32.5, abs=1.0), pytest.approx(881.3, abs=1.0))


def test_egg_by_chia_is_the_published_ratio() -> None:
    # Journal of Food Quality 2022, 9673074, Table 1: 7 g chia flour for 50 g egg; the water is that of the egg,
    # SR26 1123: 76.15 g, less the 5.80 g of the seed, SR26 12006.
    chia, water = _grams(_options("1123")[("chia", "water")])
    assert chia == pytest.approx(140.0)
    assert water == pytest.approx(761.5 - 140 * 0.058, abs=1.0)


@pytest.mark.parametrize(
    ("by", "spoons", "gram_of_spoon"),
    [
        # Two tablespoons of maize starch: SR26 20027, a cup of 16 tablespoons weighs 128 g.
        (("cornstarch",), 2, 128 / 16),
        # A tablespoon of ground linseed: SR26 12220, 7 g.
        (("linseed_ground", "water"), 1, 7.0),
        # A quarter cup of apple purée: SR26 9019, 244 g a cup; of soft tofu: SR26 16127, 248 g.
        (("apple_puree",), 0.25, 244.0),
        (("tofu_soft",), 0.25, 248.0),
    ],
)
def test_egg_exchanges_agree_with_the_spoons_that_kitchens_use(
    by: tuple[str, ...], spoons: float, gram_of_spoon: float
) -> None:
    # The spoons for one egg are common practice without a source; a large egg weighs 50 g (SR26 1123).
    for_an_egg = _grams(_options("1123")[by])[0] / 20.0
    assert for_an_egg == pytest.approx(spoons * gram_of_spoon, rel=0.1)


def test_starch_is_no_egg_where_nothing_is_heated() -> None:
    assert ("cornstarch",) in _options("1123")
    assert ("cornstarch",) not in _options("1123", kind="press")


def test_exchanges_by_composition_keep_what_they_say() -> None:
    """The batch, evaluated with and without, holds as much of it; on every exchange that believes no ratio."""
    table = bundled_foods()
    checked = 0
    for exchange in exchanges():
        if not exchange.by_composition or len(exchange.by) > 1 or exchange.purpose:
            continue
        old, key = exchange.replaces[0], exchange.amounts[0]
        project = _with_stage_kind(project_of([(1000.0, table[old]), (1000.0, table["water"])]), "bake")
        option = next(
            (o for o in options_for(project, project.variants[0], "line0", most=60) if o.foods == exchange.by), None
        )
        if option is None:
            continue
        after = project_of([(option.parts[0].amount_g, option.parts[0].food), (1000.0, table["water"])])
        assert isinstance(key, str)
        was, now = evaluated(project).bound(key, "batch"), evaluated(after).bound(key, "batch")
        water = 0.0 if key != "WATER" else 1000.0
        assert now.value - water == pytest.approx(was.value - water, rel=0.01), exchange.key
        checked += 1
    assert checked > 40


def test_every_exchange_can_be_worked_out() -> None:
    """No row of the data is dead: each gives an amount for at least one of what it replaces."""
    table, rows = bundled_foods(), FoodRows()
    alive = set()
    for food_id in sorted({food_id for exchange in exchanges() for food_id in exchange.replaces}):
        # In a big batch, so that no limit on what a batch bears decides.
        parts = [(100.0, table[food_id]), (20000.0, table["maize_meal_fine"])]
        project = _with_stage_kind(project_of(parts), "bake")
        for purpose in ("", "race", "long_ride"):
            options = options_for(project, project.variants[0], "line0", rows=rows, most=80, purpose=purpose)
            alive |= {(e.key, e.by) for e in exchanges_for(food_id, purpose) if any(o.foods == e.by for o in options)}
    assert {(e.key, e.by) for e in exchanges()} - alive == set()


def test_moisture_of_a_cooked_grain_square_is_that_of_cooked_rice() -> None:
    # SR26 20445, cooked long-grain rice: 68.44 g water; a square that is to be cut is no wetter.
    form = piece_forms()["cooked_grain_square"]
    assert form.water_low < form.water_high <= 68.44


# --- the demos' own plant-based variants, made by hand ----------------------------------------------------------------


def _demo(name: str) -> Project:
    return load_project(demo_projects() / name).project


@pytest.mark.parametrize(
    ("demo", "old", "own_choice", "within"),
    [
        ("maize_squares.fare", "butter", ("coconut_oil",), 1),
        ("maize_squares.fare", "egg_whole", ("cornstarch",), 2),
        ("maize_squares.fare", "milk_whole", ("soya_drink",), 2),
        ("buckwheat_fig_bars.fare", "butter", ("coconut_oil",), 1),
        ("buckwheat_fig_bars.fare", "honey", ("maple_syrup",), 1),
        ("buckwheat_fig_bars.fare", "egg_whole", ("chia", "water"), 5),
    ],
)
def test_the_choice_made_by_hand_is_among_the_first(
    demo: str, old: str, own_choice: tuple[str, ...], within: int
) -> None:
    project = _demo(demo)
    original = project.variants[0]
    line = next(line for line in original.lines if line.food_ref.id == old)
    found = [option.foods for option in options_for(project, original, line.id, PLANT_BASED)]
    assert own_choice in found[:within], found


@pytest.mark.parametrize("demo", ["maize_squares.fare", "buckwheat_fig_bars.fare"])
def test_whole_recipes_meet_the_targets_of_the_original_and_differ(demo: str) -> None:
    project = _demo(demo)
    found = without(project, project.variants[0], PLANT_BASED)
    assert 2 <= len(found.proposals) <= 3
    assert all(proposal.must_met for proposal in found.proposals)
    assert all(proposal.differs for proposal in found.proposals[1:])
    ways = [tuple(option.foods for option in proposal.options) for proposal in found.proposals]
    assert len(set(ways)) == len(ways)
    for proposal in found.proposals:
        changed = proposal.edit.project
        assert offending(changed, changed.variant(proposal.variant_id), PLANT_BASED) == ()


@pytest.mark.parametrize("demo", ["maize_squares.fare", "buckwheat_fig_bars.fare"])
def test_race_from_long_ride_at_equal_carbohydrate(demo: str) -> None:
    project = _demo(demo)
    long_ride = next(variant for variant in project.variants if variant.purpose == "long_ride")
    found = other_form(project, long_ride, "race")
    assert found.proposals
    for proposal in found.proposals:
        before, after = proposal.before, proposal.after
        assert after.bound("CHOAVLDF").value == pytest.approx(before.bound("CHOAVLDF").value, abs=0.15)
        assert after.bound("FIBTG").value < 0.6 * before.bound("FIBTG").value
        assert after.bound("residue_organic").value < before.bound("residue_organic").value
        assert proposal.losses
