"""Household measures: grams from USDA SR26 (NDB numbers); US cup from the gallon of 231 cubic inches (NIST SP 811)."""

import pytest

from tests.support import bundled_by_code
from workbench.base.units import find_unit
from workbench.composition.amounts import parse_amount


@pytest.mark.parametrize(("name", "ml"), [("cup", 236.588), ("tbsp", 14.787), ("tsp", 4.929)])
def test_us_kitchen_measures(name: str, ml: float) -> None:
    unit = find_unit(name, "us")
    assert unit is not None and unit.factor == pytest.approx(ml, abs=0.001)


@pytest.mark.parametrize(
    ("code", "text", "grams"),
    [
        ("19296", "1 cup", 339),  # honey
        ("4047", "1 cup", 218),  # coconut oil
        ("8120", "1 cup", 81),  # rolled oats
        ("9094", "1 fig", 8.4),  # dried figs
        ("2047", "1 tsp", 6),  # salt
    ],
)
def test_a_measure_weighs_what_the_table_says(code: str, text: str, grams: float) -> None:
    assert parse_amount(text, bundled_by_code(code), "us").grams == pytest.approx(grams, abs=0.05)


@pytest.mark.parametrize(("code", "density"), [("19296", 1.433), ("4047", 0.921), ("14411", 1.002)])
def test_densities_follow_from_cups(code: str, density: float) -> None:
    """Honey 339 g, coconut oil 218 g, water 237 g in 236.588 ml."""
    food = bundled_by_code(code)
    assert food.density_g_per_ml == pytest.approx(density, abs=0.001)
    assert parse_amount("100 ml", food, "metric").grams == pytest.approx(100 * density, abs=0.15)


def test_sugar_syrups_have_the_density_of_syrups() -> None:
    """A wrong row: agave syrup 19912 prints 55 g in a quarter cup (0.93 g/ml) beside 6.9 g a teaspoon (1.40)."""
    for code in ("19296", "19350", "19353", "19912"):
        food = bundled_by_code(code)
        assert food.density_g_per_ml is None or 1.3 <= food.density_g_per_ml <= 1.45, food.id
        assert 1.3 <= parse_amount("1 tsp", food, "us").grams / 4.929 <= 1.5, food.id
