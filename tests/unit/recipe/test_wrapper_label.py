"""What stands on one wrapper: never more carbohydrate than is known, the cautious last day, allergens nobody stated."""

import math
from datetime import date

import pytest

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from workbench.document.project import ByCount
from workbench.recipe.bound import NOT_KNOWN, Bound
from workbench.recipe.wrapper_label import WrapperLabel, carbohydrate_words, wrapper_label

OATS = make_food("oats", {"CHOAVLDF": 60.0}, contains=("gluten_oats",), may_contain=("gluten_wheat",), origin="plant")
OWN = make_food("own", {"CHOAVLDF": 60.0}, name="spread of one's own")
RICE = make_food("rice", {"CHOAVLDF": 80.0}, contains=(), origin="plant")


def label(*foods: object, **options: object) -> WrapperLabel:
    variant = make_variant(*(make_line(f, 100.0) for f in foods), portioning=ByCount(count=4))  # type: ignore[arg-type]
    project = make_project(foods, variant, title="oat squares")  # type: ignore[arg-type]
    return wrapper_label(project, evaluated(project), **options)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("bound", "words"),
    [
        (Bound(23.4, 23.4, 23.4), "23 g carbohydrate"),
        (Bound(23.0, 22.8, 23.2, ("x",)), "23 g carbohydrate"),
        (Bound(20.0, 20.0, math.inf, ("x",)), "at least 20 g carbohydrate"),
        (Bound(20.0, 0.0, 20.0, ("x",)), "at most 20 g carbohydrate"),
        (Bound(20.0, 18.0, 22.0, ("x",)), "18–22 g carbohydrate"),
        (NOT_KNOWN, "? g carbohydrate"),
    ],
)
def test_carbohydrate_says_what_is_known_of_it(bound: Bound, words: str) -> None:
    assert carbohydrate_words(bound) == words


def test_use_by_is_a_day_after_cooking_unless_someone_says_otherwise() -> None:
    assert label(OATS, made=date(2026, 2, 28)).use_by == "2026-03-01"
    assert label(OATS, made=date(2026, 2, 28), use_by=date(2026, 3, 4)).use_by == "2026-03-04"
    assert label(OATS).use_by == label(OATS).made == ""


def test_allergens_and_the_risk_of_those_nobody_stated() -> None:
    assert label(OATS).allergens == "contains OATS (GLUTEN)"
    assert label(OATS).may_contain == "may contain wheat (gluten)"
    assert label(OATS, OWN).allergens == "contains OATS (GLUTEN); allergens of spread of one's own not stated"
    assert label(OWN).allergens == "allergens of spread of one's own not stated"
    assert label(RICE).allergens == "none of the watched allergens was entered"


def test_the_law_that_is_chosen_says_which_allergens_are_named() -> None:
    # Federal Food, Drug, and Cosmetic Act, section 201(qq): wheat is a major allergen, oats are none.
    wheat = make_food("wheat", {"CHOAVLDF": 70.0}, contains=("gluten_wheat", "celery"), origin="plant")
    assert label(wheat, OATS, rules="us").allergens == "contains WHEAT (GLUTEN)"
    assert label(OATS, rules="us").allergens == "none of the nine allergens of US law was entered"


def test_title_and_weight() -> None:
    assert (label(RICE).title, label(RICE, title="rice").title, label(RICE).piece) == ("oat squares", "rice", "25 g")
