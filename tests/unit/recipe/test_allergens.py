"""What a pack has to name: Annex II of Regulation (EU) No 1169/2011 with its exceptions, and the nine of the US."""

import pytest

from tests.support import make_food
from workbench.composition.food import ALLERGENS
from workbench.recipe.allergens import EU_GROUPS, LEGAL_WORDS, US_GROUPS, exception, to_name


def test_every_allergen_has_a_word_and_stands_in_one_of_fourteen_groups() -> None:
    assert LEGAL_WORDS.keys() == set(ALLERGENS)
    assert len(EU_GROUPS) == 14
    assert sorted(key for _word, keys in EU_GROUPS.values() for key in keys) == sorted(ALLERGENS)


def test_the_nine_of_the_united_states() -> None:
    """Milk, egg, fish, crustacean shellfish, tree nuts, wheat, peanuts, soybeans, sesame."""
    assert len(US_GROUPS) == 9
    named = {key for _word, keys in US_GROUPS.values() for key in keys}
    assert not named & {
        "gluten_rye",
        "gluten_barley",
        "gluten_oats",
        "celery",
        "mustard",
        "lupin",
        "molluscs",
        "sulphites",
    }


@pytest.mark.parametrize(
    ("name", "allergen"),
    [
        ("glucose syrup (wheat)", "gluten_wheat"),
        ("wheat glucose syrup, dried", "gluten_wheat"),
        ("dextrose monohydrate from wheat", "gluten_wheat"),
        ("maltodextrin of wheat, DE 18", "gluten_wheat"),
        ("barley glucose syrup", "gluten_barley"),
        ("soya oil, fully refined", "soya"),
        ("lactitol", "milk"),
    ],
)
def test_exceptions_of_annex_ii(name: str, allergen: str) -> None:
    food = make_food("f", {}, name=name, contains=(allergen,))
    assert exception(food, allergen)
    assert to_name(food, "eu") == ()


def test_the_united_states_have_no_such_list() -> None:
    assert to_name(make_food("f", {}, name="wheat glucose syrup", contains=("gluten_wheat",)), "us") == (
        "gluten_wheat",
    )


@pytest.mark.parametrize(
    ("name", "allergen"),
    [
        ("wheat starch", "gluten_wheat"),
        ("barley malt syrup", "gluten_barley"),
        ("barley maltodextrin", "gluten_barley"),  # Annex II exempts maltodextrins of wheat only
        ("wheat glucose syrup with malt", "gluten_wheat"),  # a further word may be what is not exempt
        ("soya oil, cold-pressed", "soya"),
        ("soya oil", "soya"),
        ("refined soya oil", "soya"),
        ("whey", "milk"),
    ],
)
def test_what_is_not_exempt(name: str, allergen: str) -> None:
    assert to_name(make_food("f", {}, name=name, contains=(allergen,)), "eu") == (allergen,)
