"""From what a table says to the house's conventions. Figures are published ones, named beside."""

import pytest

from workbench.composition.food import Food, Value
from workbench.composition.imports import findings
from workbench.composition.imports.conventions import settle
from workbench.composition.imports.layout import Conventions, Draft
from workbench.composition.imports.tally import Tally
from workbench.composition.nitrogen import nitrogen_factor


def _settled(figures: dict[str, float], chosen: Conventions, **facts: object) -> tuple[Food | None, Tally]:
    tally = Tally()
    values = {tag: Value(amount, source="t", code="1") for tag, amount in figures.items()}
    draft = Draft(**{"code": "1", "name": "rice", "values": values, **facts})  # type: ignore[arg-type]
    return settle(draft, chosen, tally), tally


def _food(figures: dict[str, float], chosen: Conventions, **facts: object) -> Food:
    food, _tally = _settled(figures, chosen, **facts)
    assert food is not None
    return food


def test_restated_protein_moves_carbohydrate_by_as_much() -> None:
    """USDA SR26 20444, long-grain rice: protein 7.13 with N x 5.95 is 7.49 with 6.25, carbohydrate 79.95 is 79.59."""
    food = _food({"PROCNT": 7.13, "CHOCDF": 79.95}, Conventions(protein_factor=6.25), nitrogen_factor=5.95)
    assert food.values["PROCNT"].value == pytest.approx(7.49, abs=0.005)
    assert food.values["CHOCDF"].value == pytest.approx(79.59, abs=0.005)
    assert {value.kind for value in food.values.values()} == {"calculated"}
    assert "5.95" in food.values["PROCNT"].note
    assert nitrogen_factor(food) == 6.25


def test_a_nitrogen_factor_stays_with_the_food_unless_none_can_be_that() -> None:
    assert nitrogen_factor(_food({"PROCNT": 7.13}, Conventions(), nitrogen_factor=5.95)) == 5.95
    assert nitrogen_factor(_food({"PROCNT": 7.13}, Conventions(nitrogen_factor=5.7))) == 5.7
    assert nitrogen_factor(_food({"PROCNT": 7.13}, Conventions())) is None
    absurd, tally = _settled({"PROCNT": 7.13}, Conventions(), nitrogen_factor=62.5)
    assert absurd is not None and absurd.nitrogen_factor is None
    assert tally.count(findings.ODD_NITROGEN_FACTOR) == 1


def test_protein_without_a_nitrogen_factor_stays_and_is_counted() -> None:
    food, tally = _settled({"PROCNT": 7.13, "CHOCDF": 79.95}, Conventions(protein_factor=6.25))
    assert food is not None
    assert food.values["PROCNT"].value == 7.13
    assert tally.count(findings.NO_NITROGEN_FACTOR) == 1


OIL = {"FAT": 100.0, "FASAT": 18.94, "FAMS": 53.89, "FAPU": 27.17}


def test_acids_in_percent_of_acids_become_grams_in_100_g() -> None:
    """IFCT 2017 T005, groundnut oil; 0.956 g acids in 1 g of fat (FAO 2003, table A5.1)."""
    food = _food(OIL, Conventions(fatty_acids="of_fatty_acids_in_oils"), name="Groundnut oil")
    assert food.values["FASAT"].value == pytest.approx(18.94 * 0.956)
    assert food.values["FASAT"].kind == "calculated"
    assert food.values["FAT"].kind == "measured"


def test_acids_of_an_oil_that_are_grams_already_are_left_alone() -> None:
    """USDA SR26 4042, peanut oil: the acids make 95 g of 100 g fat."""
    figures = {"FAT": 100.0, "FASAT": 16.9, "FAMS": 46.2, "FAPU": 32.0}
    food = _food(figures, Conventions(fatty_acids="of_fatty_acids_in_oils"))
    assert food.values["FASAT"].value == 16.9


def test_acids_of_other_foods_need_a_factor_and_are_not_guessed() -> None:
    figures = {"FAT": 6.52, "FASAT": 20.0}
    food, tally = _settled(figures, Conventions(fatty_acids="of_fatty_acids"))
    assert food is not None
    assert set(food.values) == {"FAT"}
    assert tally.count(findings.NO_FATTY_ACID_FACTOR) == 1
    with_factor = _food(figures, Conventions(fatty_acids="of_fatty_acids", fatty_acid_factor=0.8))
    assert with_factor.values["FASAT"].value == pytest.approx(20.0 * 6.52 * 0.8 / 100)
    assert _food(figures, Conventions(fatty_acids="of_fat")).values["FASAT"].value == pytest.approx(20.0 * 0.0652)


def test_per_100_ml_needs_a_density_or_the_food_is_left_out() -> None:
    """1.03 g/ml: what is in 100 ml is in 103 g."""
    food, tally = _settled({"FAT": 3.5}, Conventions(), per_100_ml=True)
    assert food is None
    assert tally.count(findings.PER_MILLILITRE) == 1
    limits = {"SUGAR": 0.5}
    food = _food({"FAT": 3.5}, Conventions(density_g_per_ml=1.03), per_100_ml=True, limits=limits)
    assert food.values["FAT"].value == pytest.approx(3.5 / 1.03)
    assert food.limits["SUGAR"] == pytest.approx(0.5 / 1.03)
    own = _food({"FAT": 3.5}, Conventions(density_g_per_ml=0.9), per_100_ml=True, density_g_per_ml=1.03)
    assert own.values["FAT"].value == pytest.approx(3.5 / 1.03)


def test_zeros_that_stand_for_blanks_become_unknown() -> None:
    food, tally = _settled({"FAT": 100.0, "WATER": 0.0, "FIBTG": 0.0}, Conventions(zeros="blank"))
    assert food is not None
    assert set(food.values) == {"FAT"}
    assert tally.count(findings.ZEROS) == 2


def test_what_cannot_be_in_100_g_is_blank_and_said() -> None:
    food, tally = _settled({"PROCNT": 130.0, "NA": 38_758.0, "FAT": 5.0}, Conventions())
    assert food is not None
    assert set(food.values) == {"NA", "FAT"}
    assert "130" in tally.problems()[0].sentence()


def test_a_limit_or_density_that_cannot_be_is_left_out_and_said() -> None:
    """A project with such a food could not be saved: the checks of project files refuse it."""
    food, tally = _settled({"FAT": 3.5}, Conventions(), limits={"SUGAR": 500.0, "FASAT": 0.1}, density_g_per_ml=1030.0)
    assert food is not None
    assert (food.limits, food.density_g_per_ml) == ({"FASAT": 0.1}, None)
    (problem,) = tally.problems()
    assert "SUGAR: < 500" in problem.sentence() and "1030 g/ml" in problem.sentence()
