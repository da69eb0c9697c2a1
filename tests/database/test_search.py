"""What cooks type, over the bundled table, and what they expect to see first: common practice, no source."""

import pytest

from workbench.composition.bundled import bundled_foods
from workbench.composition.food import ALLERGENS
from workbench.composition.search import SearchIndex
from workbench.composition.search_filter import SearchFilter
from workbench.composition.synonyms import bundled_synonyms

FOODS = bundled_foods()
INDEX = SearchIndex(FOODS.values())


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("butter", "butter"),
        ("milk", "milk_whole"),
        ("flour", "wheat_flour_white"),
        ("sugar", "sugar_white"),
        ("salt", "salt"),
        ("oats", "oats_rolled"),
        ("porridge oats", "oats_rolled"),
        ("corn starch", "cornstarch"),
        ("cornflour", "cornstarch"),
        ("icing sugar", "sugar_icing"),
        ("powdered sugar", "sugar_icing"),
        ("groundnut butter", "peanut_butter"),
        ("dried figs", "figs_dried"),
        ("egg", "egg_whole"),
        ("coconut oil", "coconut_oil"),
        ("buckwheat flour", "buckwheat_flour"),
        ("soy milk", "soya_drink"),
        ("golden raisins", "raisins_golden"),
        ("polenta", "maize_grits_yellow"),
        ("honey", "honey"),
        ("Puderzucker", "sugar_icing"),
        ("Haferflocken", "oats_rolled"),
        ("Kokosmilch", "coconut_milk_canned"),
        ("azúcar", "sugar_white"),
        ("mantequilla", "butter"),
        ("harina de arroz", "rice_flour_white"),
        ("cacahuete", "peanuts"),
        ("buckwheet flour", "buckwheat_flour"),
        ("desicated coconut", "coconut_desiccated"),
        ("cinamon", "cinnamon"),
        ("hazlenut", "hazelnuts"),
        ("maltodextrine", "maltodextrin"),
    ],
)
def test_the_first_hit_is_what_a_cook_means(typed: str, first: str) -> None:
    found = INDEX.find(typed)
    assert found and found[0].id == first, [food.id for food in found[:5]]


def test_rice_is_raw_white_rice_and_oil_is_oil() -> None:
    first = INDEX.find("rice")[0]
    assert first.name.startswith("rice, white") and "raw" in first.name
    assert all(food.group == "oils and fats" for food in INDEX.find("oil")[:5])
    raw = [food.id for food in INDEX.find("rice")]
    assert raw.index("rice_long_grain") < raw.index("rice_long_grain_cooked")
    assert INDEX.find("cooked rice")[0].group == "cooked grains"


def test_every_food_is_among_the_first_hits_of_its_own_name() -> None:
    for food in FOODS.values():
        for name in (food.name, *food.names.values()):
            assert food in INDEX.find(name)[:5], name


def test_typing_on_never_loses_the_butter() -> None:
    for end in range(1, len("butter") + 1):
        assert FOODS["butter"] in INDEX.find("butter"[:end])


def test_filters_on_the_table() -> None:
    vegan = INDEX.find("", 10_000, SearchFilter(plant_only=True))
    assert FOODS["oats_rolled"] in vegan and FOODS["salt"] in vegan
    assert not {"butter", "honey", "gelatine", "egg_whole"} & {food.id for food in vegan}
    gluten = tuple(word for word in ALLERGENS if word.startswith("gluten"))
    safe = INDEX.find("", 10_000, SearchFilter(without=gluten))
    assert FOODS["rice_long_grain"] in safe and FOODS["oats_rolled"] not in safe and FOODS["couscous"] not in safe
    binders = INDEX.find("", 10_000, SearchFilter(role="binder"))
    assert binders and all("binder" in food.roles for food in binders)


def test_synonyms_point_at_foods_of_the_table() -> None:
    assert set(bundled_synonyms().first.values()) <= set(FOODS)
