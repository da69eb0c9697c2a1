"""Formulas on plain numbers, on intervals, and at their limits; published figures are in ``tests/external``."""

import numpy as np
import pytest

from workbench.base.errors import CalculationError
from workbench.science import energy, fats
from workbench.science.carbohydrate import BY_MASS, HYDROLYSED, hydrolysed
from workbench.science.energy import EU_KCAL, medium_chain_allowance_kcal, salt_g, specific_energy_kcal
from workbench.science.interval import Interval, exact, up_to
from workbench.science.residue import Digestibility, undigested_organic, undigested_with_fibre
from workbench.science.yields import weight_at_water, yield_from_dry_matter

RICE = Digestibility(0.84, 0.90, 0.99)


def test_numbers_and_intervals_give_the_same() -> None:
    parts = (
        "protein_g",
        "fat_g",
        "carbohydrate_g",
        "fibre_g",
        "alcohol_g",
        "polyols_g",
        "organic_acids_g",
        "erythritol_g",
    )
    amounts = dict(zip(parts, (7.0, 1.0, 78.0, 1.3, 0.5, 2.0, 0.4, 0.7), strict=True))
    number = energy.energy(EU_KCAL, **amounts)
    interval = energy.energy(EU_KCAL, **{part: exact(amount) for part, amount in amounts.items()})
    assert interval.value == interval.low == interval.high == pytest.approx(number)
    assert specific_energy_kcal(exact(7.0), exact(1.0), exact(78.0), exact(0.5), (3.82, 8.37, 4.16)).value == (
        pytest.approx(specific_energy_kcal(7.0, 1.0, 78.0, 0.5, (3.82, 8.37, 4.16)))
    )
    assert undigested_organic(exact(7.0), exact(1.0), exact(78.0), RICE).value == pytest.approx(
        undigested_organic(7.0, 1.0, 78.0, RICE)
    )


def test_an_open_part_opens_the_sum() -> None:
    residue = undigested_with_fibre(exact(7.13), exact(0.66), up_to(79.95), RICE)
    assert residue == Interval(pytest.approx(1.207, abs=0.001), residue.low, pytest.approx(81.157, abs=0.001))
    assert salt_g(up_to(400.0)) == Interval(0.0, 0.0, pytest.approx(1.0))
    assert medium_chain_allowance_kcal(exact(10.0)).value == pytest.approx(6.0)


def test_whatever_is_digested_completely_leaves_nothing() -> None:
    assert undigested_organic(7.0, 1.0, 78.0, Digestibility(1.0, 1.0, 1.0)) == 0.0


@pytest.mark.parametrize("tag", sorted(BY_MASS))
def test_shares_of_a_carbohydrate_add_up(tag: str) -> None:
    assert sum(BY_MASS[tag]) == pytest.approx(1.0)
    assert sum(hydrolysed(tag)) == pytest.approx(HYDROLYSED.get(tag, 1.0))


def test_longer_acids_need_less_glycerol() -> None:
    ratios = [fats.oil_per_acid(acid) for acid in fats.MOLAR_MASS]
    assert ratios == sorted(ratios, reverse=True)
    assert min(ratios) > 1.0


def test_a_food_that_keeps_its_water_keeps_its_weight() -> None:
    assert yield_from_dry_matter(70.0, 70.0) == 1.0
    assert yield_from_dry_matter(100.0, 50.0) == 0.0, "all water: nothing is left"


@pytest.mark.parametrize("cooked", [100.0, 120.0])
def test_a_cooked_food_cannot_be_all_water(cooked: float) -> None:
    with pytest.raises(CalculationError, match="all water"):
        yield_from_dry_matter(12.0, cooked)


def test_weight_at_a_water_content() -> None:
    assert weight_at_water(100.0, 20.0, 0.0) == pytest.approx(80.0), "dried out"
    assert weight_at_water(100.0, 20.0, 60.0) == pytest.approx(200.0)
    many = weight_at_water(np.array([100.0, 50.0]), np.array([20.0, 50.0]), 60.0)
    assert many == pytest.approx([200.0, 0.0])
