"""Allergens of every bundled ingredient against Regulation (EU) 1169/2011, Annex II, with its exceptions.

Annex II names fourteen groups; cereals and nuts are named singly.  Exempt are, among others, wheat-based glucose syrups
including dextrose, wheat-based maltodextrins, glucose syrups based on barley, and fully refined soya oil.
"""

import pytest

from workbench.composition.bundled import bundled_foods
from workbench.composition.food import ALLERGENS, WATCHED

FOODS = bundled_foods()

# By the botany and the making of the foods: every ingredient whose id holds one of these words is, or is made of, it.
MADE_OF = {
    "gluten_wheat": ("wheat", "spelt", "khorasan", "couscous", "bulgur", "semolina", "pasta"),
    "gluten_rye": ("rye",),
    "gluten_barley": ("barley", "malt_syrup"),
    "gluten_oats": ("oat", "oats"),
    "egg": ("egg",),
    "peanut": ("peanut", "peanuts"),
    "soya": ("soya", "soy", "soybeans", "tofu", "tempeh", "miso", "tamari", "edamame"),
    "milk": (
        *("milk", "butter", "cream", "yogurt", "whey", "buttermilk", "casein"),
        *("ricotta", "cottage", "parmesan", "cheddar", "feta"),
    ),
    "almond": ("almond", "almonds"),
    "hazelnut": ("hazelnut", "hazelnuts"),
    "walnut": ("walnut", "walnuts"),
    "cashew": ("cashew", "cashews"),
    "pecan": ("pecans",),
    "brazil_nut": ("brazil",),
    "pistachio": ("pistachios",),
    "macadamia": ("macadamias",),
    "sesame": ("sesame", "tahini", "hummus"),
    "lupin": ("lupins", "lupin"),
    "coconut": ("coconut",),
}
# What a word of an id does not mean.
NOT_SO = {
    ("buckwheat", "gluten_wheat"),
    ("maize", "gluten_wheat"),  # maize pasta
    ("coconut", "milk"),  # coconut milk, cream
    ("peanut", "milk"),  # peanut butter
    ("almond", "milk"),
    ("hazelnut", "milk"),
    ("pumpkin", "milk"),
    ("soya", "milk"),  # soya cream, yoghurt
    ("cashew", "milk"),
    ("sunflower", "milk"),
    ("cocoa", "milk"),
    ("apple", "milk"),
    ("tartar", "milk"),
}


def named(food_id: str, allergen: str) -> bool:
    """Whether a word of the id, or the whole id, stands for the allergen."""
    return not {*food_id.split("_"), food_id}.isdisjoint(MADE_OF[allergen])


@pytest.mark.parametrize("allergen", MADE_OF)
def test_what_is_made_of_an_allergen_contains_it(allergen: str) -> None:
    found = 0
    for food in FOODS.values():
        words = food.id.split("_")
        if not named(food.id, allergen) or any((word, allergen) in NOT_SO for word in words):
            continue
        found += 1
        assert allergen in (food.contains or ()), food.id
    assert found, "the table has no such food any more"


@pytest.mark.parametrize("allergen", [a for a in ALLERGENS + WATCHED if a in MADE_OF])
def test_nothing_else_contains_an_allergen_unnoticed(allergen: str) -> None:
    """Mixtures, by what their makers put in; a row outside these lists is a slip."""
    mixtures = {
        "milk": {"chocolate_milk", "chocolate_white", "chocolate_dark_45", "chocolate_dark_60"},
        "gluten_wheat": {"soy_sauce"},
        "gluten_barley": {"yeast_extract"},
        "soya": {"chocolate_semisweet", "margarine"},
        "coconut": {"banana_chips"},
    }
    for food in FOODS.values():
        if allergen in (food.contains or ()):
            assert named(food.id, allergen) or food.id in mixtures.get(allergen, ()), food.id


@pytest.mark.parametrize(
    "food_id", ["glucose_syrup", "glucose_syrup_dried", "dextrose_monohydrate", "maltodextrin", "maltodextrin_de18"]
)
def test_sugars_of_starch_are_exempt(food_id: str) -> None:
    """Annex II, 1 (a) to (c): made of wheat or barley starch they need no allergen statement."""
    food = FOODS[food_id]
    assert not {a for a in (*(food.contains or ()), *food.may_contain) if a.startswith("gluten_")}


def test_wheat_starch_and_malt_are_not_exempt() -> None:
    """Only the syrups and maltodextrins are; starch keeps traces of gluten, malt extract keeps its protein."""
    assert "gluten_wheat" in (FOODS["wheat_starch"].contains or ())
    assert "gluten_barley" in (FOODS["malt_syrup"].contains or ())


def test_oats_are_an_allergen_of_their_own_and_may_hold_the_other_cereals() -> None:
    for food in FOODS.values():
        if "gluten_oats" in (food.contains or ()):
            assert {"gluten_wheat", "gluten_barley", "gluten_rye"} <= set(food.may_contain), food.id


def test_coconut_is_watched_but_not_in_the_annex() -> None:
    assert "coconut" not in ALLERGENS and "coconut" in WATCHED
    assert "coconut" in (FOODS["coconut_oil"].contains or ())


def test_chestnuts_and_pine_nuts_are_not_nuts_of_the_annex() -> None:
    """Its list is almond, hazelnut, walnut, cashew, pecan, Brazil, pistachio and macadamia."""
    for food_id in ("chestnuts_cooked", "pine_nuts"):
        assert not FOODS[food_id].contains, food_id
