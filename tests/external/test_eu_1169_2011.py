"""Regulation (EU) No 1169/2011 on food information: Annex I (protein, salt) and Annex XIV (energy factors).

Foods are USDA SR26 rows of the bundled table, by NDB number; the energies were worked by hand from P/F/C/fibre.

These published checks have no function in the program yet: FAO 77 factors on monosaccharide equivalents (16 kJ,
3.75 kcal; 110 g from 100 g starch, 105 g from 100 g sucrose), fatty acids as a share of fat (0.956, milk 0.945; goat
milk 4.25 g), stool weight per gram of fibre, glycaemic index and load, cooling times and temperatures, scale classes,
propagated uncertainty.
"""

import pytest
from msgspec.structs import replace

from tests.support import bundled_by_code, evaluated, evaluation_of, make_food, project_of
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food, Value
from workbench.recipe.nutrition_lines import nutrition_lines
from workbench.recipe.pack_statement import pack_statement
from workbench.science.energy import EU_KCAL, EU_KJ, KJ_PER_KCAL, Factors, energy, salt_g


def test_factors_of_annex_xiv() -> None:
    """kJ and kcal per gram: protein, fat, carbohydrate, fibre, alcohol, polyols, organic acids, erythritol."""
    assert Factors(17, 37, 17, 8, 29, 10, 13, 0) == EU_KJ
    assert Factors(4, 9, 4, 2, 7, 2.4, 3, 0) == EU_KCAL


@pytest.mark.parametrize(("part", "kj", "kcal"), [("polyols_g", 10, 2.4), ("organic_acids_g", 13, 3)])
def test_polyols_and_acids_count_once_although_carbohydrate_holds_them(part: str, kj: float, kcal: float) -> None:
    nothing = dict.fromkeys(("protein_g", "fat_g", "fibre_g", "alcohol_g", "polyols_g", "organic_acids_g"), 0.0)
    amounts = {**nothing, "carbohydrate_g": 1.0, part: 1.0, "erythritol_g": 0.0}
    assert energy(EU_KJ, **amounts) == pytest.approx(kj)
    assert energy(EU_KCAL, **amounts) == pytest.approx(kcal)


def test_erythritol_is_a_polyol_that_counts_as_carbohydrate_and_gives_no_energy() -> None:
    food = bundled_foods()["erythritol"]
    found = evaluated(project_of([(100.0, food)]))
    assert found.bound("CHOAVLDF", "per_100g").value == pytest.approx(99.9)
    for key in ("energy_kj", "energy_kcal"):
        assert (found.bound(key, "per_100g").value, found.bound(key, "per_100g").high) == pytest.approx(
            (0.0, 0.0), abs=1e-9
        )
    assert evaluated(project_of([(100.0, bundled_foods()["xylitol"])])).bound("energy_kcal", "per_100g").value == (
        pytest.approx(99.5 * 2.4)
    )


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


@pytest.mark.parametrize(
    ("code", "protein_g", "carbohydrate_g"),
    [
        # USDA SR26: protein, its nitrogen factor, carbohydrate by difference less fibre.
        ("20444", 7.13 * 6.25 / 5.95, 79.95 - 1.3 - (7.13 * 6.25 / 5.95 - 7.13)),  # rice, white, long-grain
        ("1077", 3.15 * 6.25 / 6.38, 4.80 + (3.15 - 3.15 * 6.25 / 6.38)),  # milk, whole
        ("16057", 8.86, 27.42 - 7.6),  # chickpeas, boiled: nitrogen × 6.25 in the table as well
    ],
)
def test_protein_is_nitrogen_times_six_and_a_quarter(code: str, protein_g: float, carbohydrate_g: float) -> None:
    """Annex I, 10; the energy stays as it was, because both count 17 kJ."""
    evaluation = evaluated(project_of([(100.0, bundled_by_code(code))]))
    assert evaluation.bound("protein_label", "per_100g").value == pytest.approx(protein_g, abs=1e-6)
    assert evaluation.bound("carbohydrate_label", "per_100g").value == pytest.approx(carbohydrate_g, abs=1e-6)
    lines = {line.key: line for line in nutrition_lines(evaluation, "eu", "per_100g")}
    us = {line.key: line for line in nutrition_lines(evaluation, "us", "per_100g")}
    assert lines["protein_label"].bound.value == pytest.approx(protein_g)
    assert us["PROCNT"].bound.value == evaluation.bound("PROCNT", "per_100g").value  # 21 CFR 101.9(c)(7) allows factors


def test_carbohydrate_stays_within_its_limits_where_the_protein_is_blank() -> None:
    """SR26 20033, oat bran: nitrogen × 5.83 in the table, so that a label has less carbohydrate by difference."""
    bran = bundled_by_code("20033")
    known = evaluation_of([(100.0, bran)]).bound("carbohydrate_label", "per_100g")
    values = {tag: value for tag, value in bran.values.items() if tag != "PROCNT"}
    blank = evaluation_of([(100.0, replace(bran, values=values))]).bound("carbohydrate_label", "per_100g")
    assert known.value < 66.22 - 15.4
    assert blank.low <= known.value <= blank.high


def test_the_protein_of_foods_without_a_known_factor_is_bounded_in_words() -> None:
    """10 g protein of an imported table: between 10 × 6.25 / 6.38 and 10 × 6.25 / 5.18 (D. B. Jones, 1941)."""
    food = Food(id="x", name="flakes", values={"PROCNT": Value(10.0), "WATER": Value(10.0)}, contains=())
    project = project_of([(100.0, food)])
    said = pack_statement(project, evaluated(project))
    assert next(line for line in said.per_100g if line.key == "protein_label").text() == "10 g"
    words = "Protein of flakes stands as published: with nitrogen × 6.25, 100 g may have 0.2 g less to 2.1 g more."
    assert said.notes[-1] == words
    label = project_of([(100.0, make_food("label", {"PROCNT": 10.0, "WATER": 10.0}))])  # by the law already
    assert not pack_statement(label, evaluated(label)).notes[-1].startswith("Protein of")
    imported = project_of([(100.0, replace(food, nitrogen_factor=5.95))])  # its table said what it counted
    said = pack_statement(imported, evaluated(imported))
    assert next(line for line in said.per_100g if line.key == "protein_label").bound.value == 10.0 * 6.25 / 5.95
    assert not said.notes[-1].startswith("Protein of")


def test_salt_is_sodium_times_two_and_a_half() -> None:
    """Annex I.  Table salt (SR26 2047, 38 758 mg sodium in 100 g) is 2.907 g "salt" in 3 g, not 3."""
    assert salt_g(400.0) == pytest.approx(1.0)
    salted = evaluation_of([(3.0, bundled_by_code("2047"))])
    assert salted.bound("salt", "batch").value == pytest.approx(2.907, abs=0.001)
    assert salt_g(1000 * 22.990 / 58.443) == pytest.approx(0.9834, abs=0.0001), "1 g pure NaCl, by molar masses"
