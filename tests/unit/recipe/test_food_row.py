"""One food with blanks: what each blank does to each quantity, and how tight the limits are."""

import math

import pytest

from tests.support import NO_RULES, evaluated, evaluation_of, make_food, make_line, make_project, make_variant
from workbench.document.project import Assumptions
from workbench.recipe.bound import Bound
from workbench.recipe.food_row import FoodRows, rules_in_use

SUGARS = ("GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS")


def limits(amounts: dict[str, float], *keys: str, **facts: object) -> list[Bound]:
    result = evaluation_of([(100.0, make_food("food", amounts, **facts))], assumptions=NO_RULES)
    return [result.bound(key, "batch") for key in keys]


def within(bound: Bound, low: float, value: float, high: float) -> None:
    assert (bound.low, bound.value, bound.high) == pytest.approx((low, value, high))


# --- carbohydrate and fibre -------------------------------------------------------------------------------------------


def test_fibre_is_the_difference_where_both_carbohydrates_are_stated() -> None:
    (fibre,) = limits({"CHOCDF": 80.0, "CHOAVLDF": 72.0}, "FIBTG")
    within(fibre, 8.0, 8.0, 8.0)


def test_unknown_fibre_leaves_room_for_the_sugar_and_starch_that_are_there() -> None:
    """As far as published sugar and starch can be trusted to fit into their carbohydrate: 3.5 g."""
    fibre, carbohydrate = limits({"CHOCDF": 82.0, "SUGAR": 60.0, "STARCH": 15.0}, "FIBTG", "CHOAVLDF")
    assert fibre.high == pytest.approx(82.0 - 75.0 + 3.5)
    within(carbohydrate, 71.5, 82.0, 82.0)


def test_soluble_and_insoluble_fibre_are_the_least_that_fibre_is() -> None:
    fibre, unsplit = limits({"CHOCDF": 60.0, "FIBSOL": 2.0, "FIBINS": 5.0}, "FIBTG", "fibre_unsplit")
    within(fibre, 7.0, 7.0, 60.0)
    within(unsplit, 0.0, 0.0, 53.0)


def test_a_label_without_fibre() -> None:
    """Carbohydrate without fibre is exact, so are energy and sugars; only what fibre adds is open."""
    known = {"CHOAVLDF": 60.0, "PROCNT": 8.0, "FAT": 10.0, "SUGAR": 20.0}
    carbohydrate, total, fibre, energy, sugar = limits(known, "CHOAVLDF", "CHOCDF", "FIBTG", "energy_kcal", "SUGAR")
    assert carbohydrate.certainty == sugar.certainty == "exact"
    within(total, 60.0, 60.0, math.inf)
    assert fibre.certainty == "not_known"
    within(energy, 4 * 68 + 90, 4 * 68 + 90, math.inf)


def test_a_label_without_sugars() -> None:
    (sugar,) = limits({"CHOAVLDF": 60.0}, "SUGAR")
    assert sugar.high <= 63.5, "sugars are part of a carbohydrate that is known"


def test_known_parts_of_an_unknown_carbohydrate() -> None:
    known = {"FIBTG": 6.0, "SUGAR": 30.0, "STARCH": 20.0}
    available, total = limits(known, "CHOAVLDF", "CHOCDF")
    within(available, 46.5, 50.0, math.inf)
    within(total, 52.5, 56.0, math.inf)


def test_polyols_beside_an_unknown_carbohydrate_do_not_make_negative_energy() -> None:
    for polyols in (2.0, 50.0):
        (energy,) = limits({"POLYL": polyols, "PROCNT": 0.0, "FAT": 0.0, "FIBTG": 0.0}, "energy_kj")
        assert 0.0 <= energy.low <= energy.value == pytest.approx(10 * polyols)


# --- sugars and types -------------------------------------------------------------------------------------------------


def test_single_sugars_are_the_least_that_sugar_is() -> None:
    (sugar,) = limits({"CHOCDF": 70.0, "FIBTG": 10.0, "GLUS": 25.0, "FRUS": 23.0}, "SUGAR")
    assert sugar.value == 48.0
    assert 47.0 <= sugar.low <= 48.0
    assert sugar.high <= 63.5


def test_a_missing_sugar_has_only_the_room_that_the_others_leave() -> None:
    (fructose,) = limits({"CHOCDF": 80.0, "SUGAR": 30.0, "GLUS": 20.0}, "FRUS")
    assert fructose.value == 0.0
    assert fructose.high == pytest.approx(10.8)


def test_sugar_without_a_split_may_be_any_of_them() -> None:
    known = {"CHOAVLDF": 70.0, "SUGAR": 70.0, "STARCH": 0.0, "DEXTN": 0.0}
    glucose, fructose, other = limits(known, "glucose_type", "fructose_type", "other_carbohydrate")
    within(glucose, 0.0, 0.0, 70.0)
    within(fructose, 0.0, 0.0, 70.0)
    within(other, 0.0, 70.0, 70.0)


def test_what_is_left_for_sucrose_alone_is_half_and_half() -> None:
    known = dict.fromkeys(SUGARS, 0.0) | {"CHOAVLDF": 60.0, "SUGAR": 60.0, "STARCH": 0.0, "DEXTN": 0.0}
    del known["SUCS"]
    glucose, fructose = limits(known, "glucose_type", "fructose_type")
    within(glucose, 30.0, 30.0, 30.0)
    within(fructose, 30.0, 30.0, 30.0)


def test_dextrin_that_nobody_looked_for_may_be_what_is_left() -> None:
    known = dict.fromkeys(SUGARS, 0.0) | {"CHOAVLDF": 80.0, "SUGAR": 0.0, "STARCH": 20.0}
    glucose, other = limits(known, "glucose_type", "other_carbohydrate")
    within(glucose, 20.0, 20.0, 80.0)
    within(other, 0.0, 60.0, 60.0)


def test_nothing_is_left_where_starch_and_sugar_fill_the_carbohydrate() -> None:
    known = dict.fromkeys(SUGARS, 0.0) | {"CHOAVLDF": 80.0, "SUGAR": 0.0, "STARCH": 80.0}
    assert [bound.certainty for bound in limits(known, "glucose_type", "fructose_type")] == ["exact", "exact"]


# --- fat --------------------------------------------------------------------------------------------------------------


def test_fatty_acids_are_the_least_that_saturated_fat_and_fat_are() -> None:
    saturated, fat, other = limits({"F16D0": 8.0, "F18D0": 4.0, "FAMS": 10.0}, "FASAT", "FAT", "other_saturated")
    assert (saturated.value, fat.value, other.value) == (12.0, 22.0, 12.0)
    assert saturated.low == pytest.approx(11.9)
    assert fat.high == math.inf


def test_a_label_with_saturated_fat_only() -> None:
    unsaturated, rest, medium = limits({"FAT": 20.0, "FASAT": 5.0}, "unsaturated", "fat_rest", "mct_c6_c10")
    within(unsaturated, 0.0, 0.0, 15.1)
    within(rest, 0.0, 15.0, 15.0)
    within(medium, 0.0, 0.0, 5.1)


def test_one_missing_acid_has_only_the_room_that_the_others_leave() -> None:
    known = dict.fromkeys(("F4D0", "F6D0", "F10D0"), 0.0) | {"FAT": 60.0, "FASAT": 50.0, "F12D0": 25.0, "F14D0": 10.0}
    acid, medium = limits(known | {"F16D0": 5.0, "F18D0": 2.0}, "F8D0", "mct_c6_c10")
    assert acid.high == medium.high == pytest.approx(8.1)


# --- energy and residue of a food without a group ---------------------------------------------------------------------


def test_without_a_group_of_foods_nothing_is_said_of_its_digestion() -> None:
    known = {"PROCNT": 10.0, "FAT": 5.0, "CHOCDF": 60.0, "FIBTG": 4.0}
    organic, with_fibre, specific = limits(known, "residue_organic", "residue_fibre_based", "energy_specific_kcal")
    assert organic.certainty == specific.certainty == "not_known"
    assert organic.high == pytest.approx(75.0), "no more than all of it"
    within(with_fibre, 4.0, 4.0, 19.0)


def test_a_group_without_one_of_its_coefficients() -> None:
    """Vegetable oils have none for protein and carbohydrate: what of these is there may be digested or not."""
    known = {"PROCNT": 0.5, "FAT": 99.0, "CHOCDF": 0.5, "FIBTG": 0.0}
    organic, specific = limits(known, "residue_organic", "energy_specific_kcal", digestibility="vegetable_oil")
    within(organic, 4.95, 4.95, 5.95)
    within(specific, 99 * 8.84, 99 * 8.84, 99 * 8.84 + 9.5)


# --- rules and rows ---------------------------------------------------------------------------------------------------


def test_rules_have_a_switch_each() -> None:
    assert rules_in_use(NO_RULES) == frozenset()
    assert rules_in_use(Assumptions()) == {"true_zeros", "starch_by_difference", "medium_chain_from_profile"}


def test_rows_are_computed_once_and_not_shared_between_assumptions() -> None:
    rows, food = FoodRows(), make_food("food", {"CHOAVLDF": 60.0, "SUGAR": 20.0})
    first = rows.row(food, Assumptions(), {})
    assert rows.row(food, Assumptions(), {}) is first
    assert rows.row(food, NO_RULES, {}) is not first
    assert rows.row(food, Assumptions(), {"SUGAR": 0.5}) is not first
    assert not first.value.flags.writeable


def test_retention_takes_off_the_component_it_names() -> None:
    food = make_food("food", {"K": 500.0, "NA": 100.0})
    result = evaluated(make_project([food], make_variant(make_line(food, 100.0, retention={"K": 0.8}))))
    assert result.bound("K", "batch").value == pytest.approx(400.0)
    assert result.bound("NA", "batch").value == pytest.approx(100.0)


def test_less_than_on_a_label_is_a_range_and_not_a_gap() -> None:
    """ "< 0.5 g" stands for anything from none to 0.5 g; what depends on it gets a range as narrow."""
    values = {"PROCNT": 7.0, "FAT": 1.2, "CHOAVLDF": 80.0}
    food = make_food("starch flakes", values, limits={"FIBTG": 0.5, "SUGAR": 0.5, "FASAT": 0.5})
    result = evaluation_of([(100.0, food)])
    assert result.bound("FIBTG", "batch")[:3] == (0.25, 0.0, 0.5)
    assert result.bound("CHOCDF", "batch")[1:3] == (80.0, 80.5)
    energy = result.bound("energy_kj", "batch")
    assert (energy.low, energy.high) == pytest.approx((17 * 87 + 37 * 1.2, 17 * 87 + 37 * 1.2 + 8 * 0.5))
    assert result.bound("glucose_type", "batch").low == pytest.approx(79.5)  # sugars are at most 0.5 g of the 80
    assert result.bound("fructose_type", "batch").high == pytest.approx(0.5)
