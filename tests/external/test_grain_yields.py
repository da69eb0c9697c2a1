"""Weight after cooking of grains, from raw and cooked rows of USDA SR26 (NDB numbers beside each).

By dry matter: (100 - water raw) / (100 - water cooked).  A pair is trusted where carbohydrate and protein agree; the
other pairs come from different samples and only check the method.  A kitchen differs by 10 %.
"""

import pytest

from tests.support import bundled_by_code, evaluation_of
from workbench.composition.bundled import bundled_foods
from workbench.document.project import FinalWater, Typical, WaterLost
from workbench.science.yields import yield_from_dry_matter

PAIRS = [
    ("20452", "20453", 13.29, 68.53, 2.755),  # white rice, short-grain
    ("20450", "20451", 12.89, 68.61, 2.775),  # white rice, medium-grain
    ("20444", "20445", 11.62, 68.44, 2.800),  # white rice, long-grain
    ("20028", "20029", 8.56, 72.57, 3.334),  # couscous
    ("8120", "8121", 10.84, 83.61, 5.440),  # oats
    ("20031", "20032", 8.67, 71.41, 3.194),  # millet
    ("8090", "8091", 10.92, 82.93, 5.219),  # white grits (polenta)
    ("8159", "8164", 11.37, 84.36, 5.667),  # yellow grits (polenta)
    ("20035", "20137", 13.28, 71.61, 3.055),  # quinoa
    ("20012", "20013", 9.00, 77.76, 4.092),  # bulgur
    ("20009", "20010", 8.41, 75.63, 3.758),  # buckwheat groats
    ("20420", "20421", 9.90, 62.13, 2.379),  # spaghetti
]


@pytest.mark.parametrize(("raw", "cooked", "water_raw", "water_cooked", "expected"), PAIRS)
def test_yield_by_dry_matter(raw: str, cooked: str, water_raw: float, water_cooked: float, expected: float) -> None:
    assert yield_from_dry_matter(water_raw, water_cooked) == pytest.approx(expected, abs=0.002), (raw, cooked)


def test_typical_yields_of_the_table_are_those_of_the_pairs() -> None:
    expected = {raw: factor for raw, _cooked, _water, _cooked_water, factor in PAIRS}
    found = {food.values["WATER"].code: food.typical_yield for food in bundled_foods().values() if food.typical_yield}
    shared = expected.keys() & found.keys()
    assert {"20452", "20444", "20028", "20031", "20035"} <= shared
    assert {code: found[code] for code in shared} == pytest.approx({code: expected[code] for code in shared}, abs=0.002)


@pytest.mark.parametrize(("raw", "cooked"), [("20452", "20453"), ("20450", "20451"), ("20028", "20029")])
def test_cooking_the_raw_grain_gives_the_cooked_row(raw: str, cooked: str) -> None:
    """Pairs whose three yields agree within 1 %: typical weight after cooking reproduces the published cooked food."""
    made = evaluation_of([(250.0, bundled_by_code(raw))], weight=Typical())
    published = bundled_by_code(cooked).values
    for tag in ("CHOCDF", "PROCNT", "WATER"):
        assert made.bound(tag, "per_100g").value == pytest.approx(published[tag].value, rel=0.011), tag


def test_what_is_eaten_of_rice_is_known_by_carbohydrate_as_well() -> None:
    """20444/20445: 79.95 / 28.17 = 2.838 by carbohydrate, 2.800 by dry matter."""
    raw, cooked = bundled_by_code("20444").values, bundled_by_code("20445").values
    assert raw["CHOCDF"].value / cooked["CHOCDF"].value == pytest.approx(2.838, abs=0.001)


def test_a_published_measure_of_couscous_is_within_a_tenth() -> None:
    """SR26 measures of 20028: "1 cup, dry, yields 528 g" beside 173 g the cup."""
    measured = 528 / 173
    assert measured == pytest.approx(3.05, abs=0.02)
    assert bundled_by_code("20028").typical_yield == pytest.approx(measured, rel=0.10)


def test_cooking_to_a_water_content() -> None:
    """Yield = dry matter / (100 - water): pearl tapioca 20068 to 85 % water, 89.01 / 15 = 5.934."""
    tapioca = evaluation_of([(100.0, bundled_by_code("20068"))], weight=FinalWater(percent=85.0))
    assert tapioca.finished_g == pytest.approx(593.4, abs=0.1)
    assert tapioca.bound("WATER", "per_100g").value == pytest.approx(85.0)


def test_water_to_add_if_nothing_evaporates() -> None:
    """Short-grain rice 20452: 175.5 g water for 100 g, so that cooking water and typical weight say the same."""
    rice, water = bundled_by_code("20452"), bundled_by_code("14411")
    typical = evaluation_of([(100.0, rice)], weight=Typical())
    boiled = evaluation_of([(100.0, rice), (175.5, water)], weight=WaterLost(amount=0.0))
    assert boiled.finished_g == pytest.approx(typical.finished_g, abs=0.1)
    assert boiled.bound("WATER", "per_100g").value == pytest.approx(typical.bound("WATER", "per_100g").value, abs=0.1)
