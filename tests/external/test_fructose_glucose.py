"""Fructose to glucose of ingredients: sugars and starch of USDA SR26 (NDB numbers), after digestion.

Molar masses: 1 g sucrose gives 1.0526 g monosaccharides, 1 g starch 1.111 g glucose.  By mass the ratios differ a
little, and the two are never mixed.
"""

import math

import pytest

from tests.support import bundled_by_code, evaluation_of, make_food


@pytest.mark.parametrize(
    ("code", "ratio"),
    [
        ("19335", 1.000),  # sugar
        ("19296", 1.097),  # honey
        ("19912", 4.473),  # agave syrup
        ("9094", 0.754),  # dried figs
        ("9298", 0.965),  # raisins
        ("9032", 0.442),  # dried apricots
        ("9040", 0.500),  # banana
        ("8120", 0.008),  # oats
        ("11507", 0.124),  # sweet potato
    ],
)
def test_ratio_after_digestion(code: str, ratio: float) -> None:
    result = evaluation_of([(100.0, bundled_by_code(code))])
    assert result.bound("fructose_to_glucose_hydrolysed", "batch").value == pytest.approx(ratio, abs=0.002)


def test_the_ratio_by_mass_halves_sucrose() -> None:
    """Honey 19296: (40.94 + 0.89/2) / (35.75 + 0.89/2 + 1.44 maltose) by mass; 1.0996 would it be without maltose."""
    honey = bundled_by_code("19296").values
    fructose = honey["FRUS"].value + honey["SUCS"].value / 2
    glucose = honey["GLUS"].value + honey["SUCS"].value / 2 + honey["MALS"].value
    result = evaluation_of([(100.0, bundled_by_code("19296"))])
    assert result.bound("fructose_to_glucose", "batch").value == pytest.approx(fructose / glucose)


@pytest.mark.parametrize(("sucrose_per_starch", "ratio"), [(2.0, 0.5), (8.0, 0.8)])
def test_sucrose_on_starch(sucrose_per_starch: float, ratio: float) -> None:
    """(s/2) / (t + s/2) by mass: 0.5 needs s = 2 t, 0.8 needs s = 8 t; after digestion it is s = 2.11 t and 8.44 t."""
    nothing = dict.fromkeys(("GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS", "STARCH", "DEXTN", "SUGAR", "FIBTG"), 0.0)
    starch = make_food("starch", {**nothing, "CHOCDF": 100.0, "STARCH": 100.0})
    sucrose = make_food("sucrose", {**nothing, "CHOCDF": 100.0, "SUGAR": 100.0, "SUCS": 100.0})
    by_mass = evaluation_of([(10.0, starch), (10.0 * sucrose_per_starch, sucrose)])
    assert by_mass.bound("fructose_to_glucose", "batch").value == pytest.approx(ratio)
    assert by_mass.bound("fructose_to_glucose", "batch").certainty == "exact"
    digested = evaluation_of([(10.0, starch), (10.0 * sucrose_per_starch * 1.111 / 1.0526, sucrose)])
    assert digested.bound("fructose_to_glucose_hydrolysed", "batch").value == pytest.approx(ratio, abs=0.001)


def test_sixty_grams_of_sugar_do_not_make_a_starchy_piece_a_mixed_fuel() -> None:
    """60 g sucrose on 236 g starch: 30 / 266 = 0.11."""
    starch = make_food("starch", {"STARCH": 100.0, "CHOCDF": 100.0, "SUGAR": 0.0, "FIBTG": 0.0})
    result = evaluation_of([(236.0, starch), (60.0 / 0.998, bundled_by_code("19335"))])
    assert result.bound("fructose_to_glucose", "batch").value == pytest.approx(0.11, abs=0.005)


@pytest.mark.parametrize("code", ["19297", "9079"])
def test_sugars_that_nobody_split_have_no_ratio(code: str) -> None:
    """SR26 splits neither the sugars of jam (19297) nor those of dried cranberries (9079): not known is not zero."""
    bound = evaluation_of([(100.0, bundled_by_code(code))]).bound("fructose_to_glucose", "batch")
    assert math.isnan(bound.value) and bound.certainty == "not_known"
