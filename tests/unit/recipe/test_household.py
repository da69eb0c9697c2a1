"""Weights as a kitchen says them: a measure shown weighs what it stands for when it is typed back."""

import pytest

from workbench.base.units import System, find_unit
from workbench.composition.amounts import parse_amount
from workbench.composition.bundled import bundled_foods
from workbench.recipe.counted import counted_text
from workbench.recipe.household import grams_text, household_measure, temperature_text

FOODS = bundled_foods()


@pytest.mark.parametrize(
    ("grams", "text"),
    [(1300.0, "1300"), (99.5, "99.5"), (100.4, "100"), (66.666, "66.7"), (6.0, "6"), (0.25, "0.25"), (0.5, "0.5")],
)
def test_as_many_decimals_as_a_scale_shows(grams: float, text: str) -> None:
    assert grams_text(grams) == text


@pytest.mark.parametrize(
    ("food", "grams", "system", "text"),
    [
        ("sugar_white", 200.0, "us", "1 cup"),  # SR26 19335: 1 cup weighs 200 g
        ("egg_whole", 100.0, "metric", "2 eggs"),
        ("water", 500.0, "metric", "2 cups"),  # metric cup, 250 ml
        ("egg_whole", 25.0, "metric", "½ egg"),
        ("egg_whole", 75.0, "metric", "1 ½ eggs"),
        ("water", 118.3, "us", "½ cup"),
        ("salt", 6.0, "us", "1 tsp"),  # SR26 2047: 1 tsp weighs 6 g
        ("salt", 0.01, "us", ""),
    ],
)
def test_measures_of_published_weight(food: str, grams: float, system: System, text: str) -> None:
    assert household_measure(FOODS[food], grams, system) == text


@pytest.mark.parametrize("system", ["metric", "us"])
def test_a_measure_typed_back_weighs_about_the_same(system: System) -> None:
    shown = 0
    for food in FOODS.values():
        for grams in (3.0, 47.0, 333.0):
            measure = household_measure(food, grams, system)
            if measure:
                shown += 1
                assert parse_amount(measure, food, system).grams == pytest.approx(grams, rel=0.1001), (food.id, measure)
    assert shown > 200


def test_every_counted_measure_of_the_table_has_a_plural() -> None:
    names = {m.name for food in FOODS.values() for m in food.measures if find_unit(m.name, "metric") is None}
    assert len(names) > 25
    assert [name for name in sorted(names) if counted_text(2.0, "2", name) == f"2 {name}"] == []


def test_temperatures_are_told_in_both_units_where_the_kitchen_is_american() -> None:
    """57, 21 and 5 °C: the Food Code prints 135, 70 and 41 °F."""
    assert temperature_text(95.0, "metric") == "95 °C"
    assert [temperature_text(t, "us") for t in (57.0, 21.0, 5.0)] == ["57 °C (135 °F)", "21 °C (70 °F)", "5 °C (41 °F)"]
