"""Regulation (EU) No 1169/2011 on food information to consumers, Annex I (salt) and Annex XIV (energy factors).

Foods are USDA SR26 rows of the bundled table, by NDB number; the energies were worked by hand from P/F/C/fibre.

Checks of the same regulation that belong to later steps and are not made yet: protein restated as N x 6.25 (7.49 g for
rice), rounding on labels (EU and US), tolerances, order of the lines.  The same holds for these published checks, which
have no function in the program yet: FAO 77 factors on monosaccharide equivalents (16 kJ, 3.75 kcal; 110 g from 100 g
starch, 105 g from 100 g sucrose), fatty acids as a share of fat (0.956, milk 0.945; goat milk 4.25 g), stool weight per
gram of fibre, glycaemic index and load, cooling times and temperatures, scale classes, propagated uncertainty.
"""

import pytest

from tests.support import bundled_by_code, evaluation_of
from workbench.science.energy import EU_KCAL, EU_KJ, KJ_PER_KCAL, Factors, energy, salt_g


def test_factors_of_annex_xiv() -> None:
    """kJ and kcal per gram, as printed: protein, fat, carbohydrate, fibre, alcohol, polyols, organic acids."""
    assert Factors(17, 37, 17, 8, 29, 10, 13) == EU_KJ
    assert Factors(4, 9, 4, 2, 7, 2.4, 3) == EU_KCAL


@pytest.mark.parametrize(("part", "kj", "kcal"), [("polyols_g", 10, 2.4), ("organic_acids_g", 13, 3)])
def test_polyols_and_acids_count_once_although_carbohydrate_holds_them(part: str, kj: float, kcal: float) -> None:
    nothing = dict.fromkeys(("protein_g", "fat_g", "fibre_g", "alcohol_g", "polyols_g", "organic_acids_g"), 0.0)
    amounts = {**nothing, "carbohydrate_g": 1.0, part: 1.0}
    assert energy(EU_KJ, **amounts) == pytest.approx(kj)
    assert energy(EU_KCAL, **amounts) == pytest.approx(kcal)


def test_a_thermochemical_calorie() -> None:
    """Merrill & Watt, USDA Agriculture Handbook 74 (rev. 1973), preface: 1 kcal = 4.184 kJ."""
    assert KJ_PER_KCAL == 4.184


@pytest.mark.parametrize(
    ("code", "kcal", "kj"),
    [
        ("20444", 351.7, 1493.1),  # white rice, long-grain, raw
        ("8120", 361.9, 1524.8),  # rolled oats
        ("20028", 356.5, 1511.9),  # couscous, dry
        ("20031", 356.5, 1505.4),  # millet, raw
        ("20068", 353.9, 1503.6),  # pearl tapioca
        ("20077", 272.9, 1133.1),  # wheat bran
        ("9087", 297.4, 1259.6),  # dates
        ("9094", 257.4, 1088.1),  # dried figs
        ("12108", 670.3, 2759.9),  # desiccated coconut
        ("12061", 595.2, 2460.8),  # almonds
        ("19296", 330.4, 1404.1),  # honey
        ("1145", 733.6, 3016.5),  # butter, unsalted
        ("4047", 900.0, 3700.0),  # coconut oil: the law knows one fat factor
    ],
)
def test_label_energy_of_100_g(code: str, kcal: float, kj: float) -> None:
    result = evaluation_of([(100.0, bundled_by_code(code))])
    assert result.bound("energy_kcal", "per_100g").value == pytest.approx(kcal, abs=0.1)
    assert result.bound("energy_kj", "per_100g").value == pytest.approx(kj, abs=0.1)


def test_kilojoules_are_not_calories_times_a_factor() -> None:
    """The law rounds both factors separately: rice gives 351.7 kcal, and 1493.1 kJ / 4.184 = 356.9."""
    rice = evaluation_of([(100.0, bundled_by_code("20444"))])
    from_kj = rice.bound("energy_kj", "per_100g").value / KJ_PER_KCAL
    assert from_kj - rice.bound("energy_kcal", "per_100g").value == pytest.approx(5.2, abs=0.1)


def test_salt_is_sodium_times_two_and_a_half() -> None:
    """Annex I.  Table salt (SR26 2047, 38 758 mg sodium in 100 g) is 2.907 g "salt" in 3 g, not 3."""
    assert salt_g(400.0) == pytest.approx(1.0)
    salted = evaluation_of([(3.0, bundled_by_code("2047"))])
    assert salted.bound("salt", "batch").value == pytest.approx(2.907, abs=0.001)
    assert salt_g(1000 * 22.990 / 58.443) == pytest.approx(0.9834, abs=0.0001), "1 g pure NaCl, by molar masses"
