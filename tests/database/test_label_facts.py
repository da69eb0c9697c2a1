"""What a declaration needs beside the table: compound foods, and the nitrogen behind published protein."""

import re

from workbench.composition.bundled import bundled_foods
from workbench.composition.compounds import compounds
from workbench.composition.nitrogen import SPECIFIC_FACTORS, nitrogen_factors

FOODS = bundled_foods()


def test_compound_foods_are_in_the_table_and_their_acts_can_be_cited() -> None:
    assert compounds().keys() <= FOODS.keys()
    assert {act for act in compounds().values() if act and not re.fullmatch(r"Directive \d{4}/\d+/EC", act)} == set()
    # Directive 2000/36/EC lays down what chocolate is; a pack that uses it must open it or be below 2 %.
    chocolates = {food.id for food in FOODS.values() if food.name.startswith("chocolate,")}
    assert chocolates - compounds().keys() == {"chocolate_unsweetened"}  # cocoa mass is one ingredient


def test_nitrogen_factors_belong_to_foods_with_protein_and_lie_among_those_in_use() -> None:
    assert nitrogen_factors().keys() <= FOODS.keys()
    least, most = SPECIFIC_FACTORS
    for food_id, factor in nitrogen_factors().items():
        assert least <= factor <= most, food_id
        assert FOODS[food_id].values["PROCNT"].value > 0, food_id


def test_nearly_all_protein_of_published_tables_has_its_factor() -> None:
    without = [
        food.id
        for food in FOODS.values()
        if (protein := food.values.get("PROCNT"))
        and protein.value >= 0.5
        and protein.kind != "typical"
        and food.id not in nitrogen_factors()
    ]
    assert without == ["hemp_kernels", "yeast_extract", "guar_gum"]
