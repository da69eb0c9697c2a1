"""Checks of composition rows: each trap of published tables is built as a bad row and found; the good row passes.

Good rows are USDA SR26 (2013) under the NDB number given; bad ones repeat errors found in it or in the Indian Food
Composition Tables 2017, or make them.
"""

import msgspec
import pytest

from workbench.composition.bundled import digestibility_groups
from workbench.composition.food import Food, Measure, Value
from workbench.composition.quality import check_factors, check_food, check_table


def row(name: str, figures: dict[str, float], **facts: object) -> Food:
    values = {tag: Value(figure, source="sr26", code=name) for tag, figure in figures.items()}
    return Food(**{"id": name, "name": name, "values": values, "origin": "plant", **facts})  # type: ignore[arg-type]


def changed(food: Food, **figures: float | None) -> Food:
    """``food`` with other figures; None leaves one out."""
    values = dict(food.values)
    for tag, figure in figures.items():
        if figure is None:
            del values[tag]
        else:
            values[tag] = Value(figure, source="sr26", code=food.name)
    return msgspec.structs.replace(food, values=values)


def codes(food: Food) -> list[str]:
    return [problem.code.removeprefix("table_") for problem in check_food(food)]


RICE = row(  # 20444
    "rice, white, long-grain, raw",
    {"WATER": 11.62, "PROCNT": 7.13, "FAT": 0.66, "CHOCDF": 79.95, "FIBTG": 1.3, "ASH": 0.64, "ENERC_KCAL": 365},
    digestibility="rice_white",
    group="dry grains",
)
BRAN = row(  # 20077
    "wheat bran",
    {"WATER": 9.89, "PROCNT": 15.55, "FAT": 4.25, "CHOCDF": 64.51, "FIBTG": 42.8, "ASH": 5.79, "ENERC_KCAL": 216},
    digestibility="bran",
    group="dry grains",
)
COCONUT_OIL = row(  # 4047
    "coconut oil",
    {"FAT": 100.0, "FASAT": 86.5, "FAMS": 5.8, "FAPU": 1.8, "F6D0": 0.6, "F8D0": 7.5, "F10D0": 6.0, "F12D0": 44.6}
    | {"F14D0": 16.8, "F16D0": 8.2, "F18D0": 2.8, "ENERC_KCAL": 862, "PROCNT": 0, "CHOCDF": 0},
    digestibility="coconut_oil",
    fat_profile="coconut_oil",
    group="oils and fats",
)
AGAVE = row(  # 19912
    "agave syrup",
    {"WATER": 22.94, "PROCNT": 0.09, "FAT": 0.45, "CHOCDF": 76.37, "FIBTG": 0.2, "SUGAR": 68.03, "ASH": 0.14},
    group="sugars and syrups",
    measures=(Measure("teaspoon", 6.9, "sr26", "19912"),),
)


@pytest.mark.parametrize("food", [RICE, BRAN, COCONUT_OIL, AGAVE], ids=lambda food: food.name)
def test_good_rows_pass(food: Food) -> None:
    assert check_food(food) == ()


def test_missing_is_no_finding_and_a_zero_in_its_place_is_one() -> None:
    """20452 has no fibre value."""
    assert codes(changed(RICE, FIBTG=None)) == []
    (problem,) = check_food(changed(RICE, FIBTG=0.0))
    assert problem.code == "table_zero_for_missing"
    assert "fibre" in problem.place and "blank" in problem.hint
    bare = row("rice, raw", {"CHOCDF": 79.95})
    assert check_food(bare) == (), "a row that cannot be closed is not called wrong"


def test_energy_zero_beside_fat() -> None:
    """IFCT T001, T007, T013: energy 0 beside 100 g fat."""
    (problem,) = check_food(changed(COCONUT_OIL, ENERC_KCAL=0.0))
    assert problem.code == "table_zero_for_missing" and "energy" in problem.place


def test_energy_in_kj_is_named_as_the_cause() -> None:
    (problem,) = check_food(changed(RICE, ENERC_KCAL=1527.0))
    assert problem.code == "table_energy_off" and "4.184" in problem.hint


@pytest.mark.parametrize("kcal", [216.0, 358.5, 272.9, 187.3])
def test_every_published_way_to_count_energy_passes(kcal: float) -> None:
    """20077 by specific factors (216), 4-9-4 with fibre, Regulation (EU) 1169/2011 Annex XIV, and 4-9-4 without fibre:
    4 x 15.55 + 9 x 4.25 + 4 x 21.71 = 187.3."""
    assert codes(changed(BRAN, ENERC_KCAL=kcal)) == []


@pytest.mark.parametrize("kcal", [21.6, 150.0, 420.0])
def test_energy_that_no_way_gives_is_found(kcal: float) -> None:
    assert codes(changed(BRAN, ENERC_KCAL=kcal)) == ["energy_off"]


def test_without_the_fibre_energy_is_only_bounded() -> None:
    """20077 without its group and fibre: 216 kcal fits if most of the carbohydrate is fibre, 150 does not."""
    bare = msgspec.structs.replace(changed(BRAN, FIBTG=None), digestibility="")
    assert codes(bare) == []
    assert codes(changed(bare, ENERC_KCAL=150.0)) == ["energy_off"]


def test_available_carbohydrate_entered_as_total() -> None:
    """IFCT prints carbohydrate without fibre; 64.51 - 42.8 = 21.71."""
    bad = changed(BRAN, CHOCDF=21.71, ENERC_KCAL=None)
    assert codes(bad)[0] == "fibre_left_out"
    good = changed(BRAN, CHOCDF=None, CHOAVLDF=21.71)
    assert codes(good) == []
    assert codes(changed(BRAN, CHOCDF=None, CHOAVLDF=64.51, ENERC_KCAL=None)) == ["fibre_counted_twice"]
    assert codes(changed(BRAN, CHOAVLDF=50.0))[0] == "carbohydrates_apart"


def test_analysed_starch_and_sugars_exceed_the_difference() -> None:
    """IFCT barley A004: 72.73 g analysed beside 61.29 g by difference."""
    barley = row("barley", {"CHOAVLDF": 61.29, "SUGAR": 1.0, "STARCH": 60.0})
    assert codes(barley) == []
    assert codes(changed(barley, SUGAR=12.73)) == ["parts_over_whole"]


def test_acids_in_percent_of_all_acids() -> None:
    """IFCT oils add up to 100.00; times 0.942 they are grams."""
    share = 100.0 / 94.1
    percent = {tag: COCONUT_OIL.values[tag].value * share for tag in ("FASAT", "FAMS", "FAPU")}
    found = check_food(changed(COCONUT_OIL, **percent))
    assert "table_fatty_acid_basis" in [problem.code for problem in found]
    assert any("0.942" in problem.hint for problem in found)
    kernel = row("coconut, desiccated", {"FAT": 64.53, "FASAT": 92.0, "FAMS": 4.3, "FAPU": 1.1})
    assert "fatty_acid_basis" in codes(kernel)


def test_acids_outside_the_standard_of_the_oil() -> None:
    """IFCT T001: C8:0 2.76 % of acids; Codex STAN 210-1999 allows 4.6 to 10.0."""
    (problem,) = check_food(changed(COCONUT_OIL, F8D0=2.76 * 0.941))
    assert problem.code == "table_acid_out_of_range"
    assert "2.8" in problem.message and "4.6" in problem.message and "C8:0" in problem.place


def test_no_room_for_glycerol_and_incomplete_acids() -> None:
    """12116: acids are 1.000 of the fat where unsweetened coconut has 0.940; IFCT H006: 47.8 g on 63.3 g fat."""
    sweet = row("coconut cream", {"FAT": 16.31, "FASAT": 15.34, "FAMS": 0.74, "FAPU": 0.23})
    assert codes(sweet) == ["no_glycerol"]
    assert codes(changed(sweet, FASAT=14.46, FAMS=0.69, FAPU=0.18)) == []
    assert codes(row("coconut, dry", {"FAT": 63.26, "FASAT": 43.0, "FAMS": 3.7, "FAPU": 1.1})) == ["acids_incomplete"]


def test_a_digit_wrong_in_a_factor() -> None:
    """8113: fat factor 0.84 where its siblings have 8.37."""
    groups = digestibility_groups()
    assert check_factors(groups) == ()
    wrong = msgspec.structs.replace(groups["wheat_white"], kcal_fat=0.84)
    (problem,) = check_factors({**groups, "wheat_white": wrong})
    assert problem.code == "table_factor_range" and "0.84" in problem.message


def test_a_spread_that_no_samples_can_have() -> None:
    """Four samples of mean 2 can spread by 4 at most (one holds 8, the others nothing)."""
    for sd, expected in ((3.9, []), (7.3, ["spread"])):
        food = row("rice", {})
        value = Value(2.0, source="sr26", code="1", n=4, sd=sd)
        assert codes(msgspec.structs.replace(food, values={"FAT": value})) == expected


def test_the_wrong_cup_of_a_syrup() -> None:
    """19912: a quarter cup of 55 g is 0.93 g/ml, a teaspoon of 6.9 g 1.40."""
    wrong = msgspec.structs.replace(AGAVE, measures=(*AGAVE.measures, Measure("cup", 220.0, "sr26", "19912")))
    assert codes(wrong) == ["density"]
    assert codes(msgspec.structs.replace(AGAVE, density_g_per_ml=0.93)) == ["density"]


def test_measures_of_one_food_that_disagree() -> None:
    """Rice 20444: cup 185 g is 0.78 g/ml; a tablespoon of 18 g would be 1.22."""
    spoons = (Measure("cup", 185.0, "sr26", "20444"), Measure("tablespoon", 11.6, "sr26", "20444"))
    assert codes(msgspec.structs.replace(RICE, measures=spoons)) == []
    heavy = msgspec.structs.replace(RICE, measures=(spoons[0], Measure("tablespoon", 18.0, "sr26", "20444")))
    assert codes(heavy) == ["measures_apart"]


@pytest.mark.parametrize(("density", "found"), [(0.921, []), (9.21, ["density"]), (1.09, ["density"])])
def test_densities_of_oils(density: float, found: list[str]) -> None:
    assert codes(msgspec.structs.replace(COCONUT_OIL, density_g_per_ml=density)) == found


def test_a_spoon_rounded_to_whole_grams_is_no_contradiction() -> None:
    """19350: cup 341 g is 1.441 g/ml, tablespoon 22 g 1.488."""
    spoons = (Measure("cup", 341.0, "sr26", "19350"), Measure("tablespoon", 22.0, "sr26", "19350"))
    assert codes(msgspec.structs.replace(AGAVE, measures=spoons)) == []


MILLET = row(  # 20031
    "millet, raw",
    {"WATER": 8.67, "PROCNT": 11.02, "FAT": 4.22, "CHOCDF": 72.85, "FIBTG": 8.5, "ASH": 3.25},
)
MILLET_COOKED = row(  # 20032
    "millet, cooked",
    {"WATER": 71.41, "PROCNT": 3.51, "FAT": 1.0, "CHOCDF": 23.67, "FIBTG": 1.3, "ASH": 0.41},
)


def test_fibre_of_raw_and_cooked_from_different_samples() -> None:
    """1.3 g x 3.194 = 4.15 g beside 8.5 g raw: 51 % less; couscous 20028 and 20029 agree."""
    (problem,) = check_table([MILLET, MILLET_COOKED])
    assert problem.code == "table_pair_apart" and "fibre -51 %" in problem.message
    assert "protein" not in problem.message
    couscous = row("couscous, dry", {"WATER": 8.56, "PROCNT": 12.76, "CHOCDF": 77.43, "FIBTG": 5.0})
    cooked = row("couscous, cooked", {"WATER": 72.57, "PROCNT": 3.79, "CHOCDF": 23.22, "FIBTG": 1.4})
    assert check_table([couscous, cooked]) == ()


def test_a_yield_that_the_dry_matter_denies() -> None:
    """Millet gains 3.194 times its weight: 91.33 / 28.59."""
    given = [msgspec.structs.replace(MILLET, typical_yield=times) for times in (3.194, 2.5)]
    assert [len(check_table([food, MILLET_COOKED])) for food in given] == [1, 2]


def test_sugars_a_little_above_carbohydrate_pass() -> None:
    """Maple syrup 67.90 beside 67.04 (19353), whole milk 5.05 beside 4.80 (1077)."""
    assert codes(row("maple syrup", {"SUGAR": 67.90, "CHOCDF": 67.04})) == []
    assert codes(row("milk", {"SUGAR": 5.05, "CHOCDF": 4.80})) == []
    assert codes(row("syrup", {"SUGAR": 76.90, "CHOCDF": 67.04})) == ["part_over_whole"]


def test_protein_restated_without_the_carbohydrate() -> None:
    """Rice 7.13 g is N x 5.95; N x 6.25 is 7.49 g, and carbohydrate by difference becomes 79.59."""
    (problem,) = check_food(changed(RICE, PROCNT=7.49))
    assert problem.code == "table_protein_restated" and "5.95" in problem.message
    assert codes(changed(RICE, PROCNT=7.49, CHOCDF=79.59)) == []


def test_waste_of_a_form_that_is_not_bought() -> None:
    """12036: 46 % hulls under the name of kernels; 9040: 36 % skin of bananas as bought."""
    kernels = row("sunflower kernels", {}, edible_fraction=0.54)
    (problem,) = check_food(kernels)
    assert problem.code == "table_waste" and "kernels" in problem.message
    assert codes(row("banana", {}, edible_fraction=0.64, bought_as="with skin")) == []


@pytest.mark.parametrize(
    ("bad", "found"),
    [
        (changed(RICE, WATER=1.162), "closure"),
        (changed(RICE, CHOCDF=97.95, ENERC_KCAL=None), "closure"),
        (changed(RICE, ASH=None, PROCNT=71.3, ENERC_KCAL=None), "over_100"),
        (changed(RICE, FIBTG=80.5), "part_over_whole"),
        (changed(COCONUT_OIL, F12D0=90.0), "part_over_whole"),
    ],
)
def test_slips_of_the_pen(bad: Food, found: str) -> None:
    assert found in codes(bad)


def test_a_mixture_with_an_unknown_carbohydrate_is_only_bounded_from_below() -> None:
    bare = row("mix", {"PROCNT": 10.0, "FAT": 20.0, "ENERC_KCAL": 500.0})
    assert codes(bare) == []
    assert codes(changed(bare, ENERC_KCAL=50.0)) == ["energy_off"]


def test_raw_and_cooked_mixed_up() -> None:
    assert codes(row("oats, rolled, dry", {"WATER": 83.6})) == ["dry_but_wet"]
    assert codes(row("millet, cooked", {"WATER": 8.7})) == ["cooked_but_dry"]
    assert codes(row("oats, rolled, dry", {"WATER": 10.8})) == codes(row("potatoes, raw", {"WATER": 79.3})) == []


def test_duplicates_by_code_and_by_figures() -> None:
    again = msgspec.structs.replace(RICE, id="again", name="rice again")
    assert [problem.code for problem in check_table([RICE, again])] == ["table_same_code"]
    elsewhere = {tag: msgspec.structs.replace(value, code="9") for tag, value in RICE.values.items()}
    copied = msgspec.structs.replace(again, values=elsewhere)
    (problem,) = check_table([RICE, copied])
    assert problem.code == "table_same_figures" and "rice again" in problem.place and RICE.name in problem.message


def test_every_finding_says_what_to_do() -> None:
    bad = (
        changed(RICE, WATER=1.162, ENERC_KCAL=0.0),
        changed(COCONUT_OIL, F8D0=2.6, FASAT=95.0),
        row("oats, dry", {"WATER": 80.0}, edible_fraction=0.5),
    )
    for food in bad:
        assert check_food(food)
        for problem in check_food(food):
            assert problem.hint and food.name in problem.sentence() and "{" not in problem.sentence()
