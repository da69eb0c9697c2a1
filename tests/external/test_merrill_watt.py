"""Merrill & Watt, "Energy value of foods: basis and derivation", USDA Agriculture Handbook 74 (rev. 1973), Table 13.

The coefficients are from memory; what is checked is that coefficient x heat of combustion gives the factors that USDA
SR26 prints beside its foods, and that the factors give back the energies that SR26 lists (NDB number beside each).
"""

import pytest

from tests.support import bundled_by_code, evaluation_of, make_food
from workbench.composition.bundled import digestibility_groups
from workbench.science.energy import specific_energy_kcal

# Group, heat of combustion less 1.25 kcal/g for protein in urine, of fat, of carbohydrate; SR26 factors and food.
GROUPS = [
    ("egg", 4.50, 9.50, 3.75, (4.36, 9.02, 3.68), "1123"),
    ("milk", 4.40, 9.25, 3.95, (4.27, 8.79, 3.87), "1077"),
    ("rice_white", 4.55, 9.30, 4.20, (3.82, 8.37, 4.16), "20444"),
    ("rice_brown", 4.55, 9.30, 4.20, (3.41, 8.37, 4.12), "20036"),
    ("wheat_white", 4.55, 9.30, 4.20, (4.05, 8.37, 4.12), "20081"),
    ("pasta", 4.55, 9.30, 4.20, (3.91, 8.37, 4.12), "20420"),
    ("wheat_whole", 4.55, 9.30, 4.20, (3.59, 8.37, 3.78), "20012"),
    ("bran", 4.55, 9.30, 4.20, (1.82, 8.37, 2.35), "20077"),
    ("oat", 4.55, 9.30, 4.20, (3.46, 8.37, 4.12), "8120"),
    ("maize_whole", 4.55, 9.30, 4.20, (2.73, 8.37, 4.03), "20020"),
    ("maize_degermed", 4.55, 9.30, 4.20, (3.46, 8.37, 4.16), "20022"),
    ("barley", 4.55, 9.30, 4.20, (3.55, 8.37, 3.95), "20005"),
    ("buckwheat", 4.55, 9.30, 4.20, (3.37, 8.37, 3.78), "20009"),
    ("millet", 4.55, 9.30, 4.20, (3.87, 8.37, 4.12), "20031"),
    ("legume", 4.45, 9.30, 4.20, (3.47, 8.37, 4.07), "16057"),
    ("nut_seed", 4.45, 9.30, 4.20, (3.47, 8.37, 4.07), "12104"),
    ("fruit", 3.95, 9.30, 4.00, (3.36, 8.37, 3.60), "9040"),
    ("lemon_lime", 3.95, 9.30, 4.00, (3.36, 8.37, 2.48), "9150"),
    ("starchy_root", 3.75, 9.30, 4.20, (2.78, 8.37, 4.03), "11362"),
    ("vegetable", 3.75, 9.30, 4.20, (2.44, 8.37, 3.57), "11003"),
    ("cocoa", 4.35, 9.30, 4.16, (1.83, 8.37, 1.33), "19165"),
]


@pytest.mark.parametrize(("key", "protein", "fat", "carbohydrate", "printed", "code"), GROUPS)
def test_digestibility_times_heat_of_combustion_is_the_printed_factor(
    key: str, protein: float, fat: float, carbohydrate: float, printed: tuple[float, float, float], code: str
) -> None:
    group = digestibility_groups()[key]
    fractions = (group.d_protein, group.d_fat, group.d_carbohydrate)
    products = [(d or 0.0) * heat for d, heat in zip(fractions, (protein, fat, carbohydrate), strict=True)]
    assert products == pytest.approx(printed, abs=0.01), code
    assert (group.kcal_protein, group.kcal_fat, group.kcal_carbohydrate) == printed, code


@pytest.mark.parametrize(
    ("code", "computed", "listed"),
    [
        ("20444", 365.4, 365),  # white rice, long-grain, raw
        ("8120", 379.0, 379),  # rolled oats
        ("20028", 376.0, 376),  # couscous, dry
        ("20031", 378.1, 378),  # millet, raw
        ("20068", 358.1, 358),  # pearl tapioca
        ("20077", 215.5, 216),  # wheat bran
        ("9087", 281.6, 282),  # dates
        ("9094", 248.8, 249),  # dried figs
        ("12108", 660.2, 660),  # desiccated coconut
        ("12061", 579.0, 579),  # almonds
        ("19296", 304.2, 304),  # honey
        ("1145", 716.8, 717),  # butter, unsalted
        ("4047", 862.0, 862),  # coconut oil, 8.62 kcal/g
    ],
)
def test_energy_by_specific_factors(code: str, computed: float, listed: int) -> None:
    food = bundled_by_code(code)
    energy = evaluation_of([(100.0, food)]).bound("energy_specific_kcal", "per_100g").value
    assert energy == pytest.approx(computed, abs=0.5)
    assert energy == pytest.approx(listed, abs=1.0)


def test_alcohol_has_a_factor_of_its_own() -> None:
    """SR26 2050, vanilla extract with 34.4 g alcohol, factors 2.44, 8.37, 3.9: listed with 288 kcal."""
    assert specific_energy_kcal(0.06, 0.06, 12.65, 34.4, (2.44, 8.37, 3.9)) == pytest.approx(288, abs=0.5)


def test_the_choice_of_factors_matters_most_for_bran() -> None:
    """SR26 20077: 215.5 kcal by its own factors, 358.5 by 4-9-4."""
    bran = bundled_by_code("20077").values
    general = 4 * bran["PROCNT"].value + 9 * bran["FAT"].value + 4 * bran["CHOCDF"].value
    assert general == pytest.approx(358.5, abs=0.1)


@pytest.mark.parametrize(
    ("code", "organic", "fibre_based"),
    [
        ("20444", 2.006, 2.507),  # white rice: 7.13 x 0.16 + 0.66 x 0.10 + 79.95 x 0.01
        ("8120", 5.162, 13.908),  # oats: 10.1 + 3.156 + 0.652
        ("8121", 1.002, 2.462),  # oats cooked with water
        ("9094", 6.975, 10.388),  # dried figs
        ("9087", 7.909, 8.406),  # dates
        ("20077", 38.139, 52.555),  # wheat bran
        ("12108", 8.676, 24.267),  # desiccated coconut
    ],
)
def test_undigested_estimates_never_count_fibre_twice(code: str, organic: float, fibre_based: float) -> None:
    result = evaluation_of([(100.0, bundled_by_code(code))])
    assert result.bound("residue_organic", "per_100g").value == pytest.approx(organic, abs=0.002)
    assert result.bound("residue_fibre_based", "per_100g").value == pytest.approx(fibre_based, abs=0.002)


def test_salt_leaves_no_residue() -> None:
    """Mineral salts are absorbed and leave in urine (common practice, no source)."""
    result = evaluation_of([(3.0, bundled_by_code("2047"))])
    assert result.bound("residue_organic", "batch").value == 0.0
    assert result.bound("residue_organic", "batch").certainty == "exact"


def test_medium_chain_fat_is_a_smaller_fuel() -> None:
    """Drug and Therapeutics Bulletin 1981;19(17):67: 8.4 kcal a gram of triglyceride, against the law's 9."""
    pure = make_food("oil", {"FAT": 100.0, "F8D0": 91.92, "FASAT": 91.92}, cannot_contain=("CHOCDF", "PROCNT"))
    result = evaluation_of([(100.0, pure)])
    assert result.bound("mct_oil", "per_100g").value == pytest.approx(100.0, abs=0.1)
    assert result.bound("energy_medium_chain_kcal", "per_100g").value == pytest.approx(840.0, abs=0.1)
    assert result.bound("energy_kcal", "per_100g").value == pytest.approx(900.0)
