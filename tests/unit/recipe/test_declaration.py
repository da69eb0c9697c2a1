"""What a pack would have to say: order, allergens, origin, through variants used as ingredients."""

import pytest

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from workbench.base.errors import CalculationError
from workbench.composition.food import ALLERGENS, WATCHED
from workbench.document.project import Variant, Weighed
from workbench.recipe.declaration import declare
from workbench.recipe.words import ALLERGEN_WORDS

WATER = make_food("water", {"WATER": 100.0}, origin="mineral", contains=())
MAIZE = make_food("maize meal", {"WATER": 11.0}, origin="plant", contains=(), may_contain=("gluten_wheat",))
COCONUT = make_food("coconut", {"WATER": 3.0}, origin="plant", contains=("coconut", "sulphites"))
BUTTER = make_food("butter", {"WATER": 16.0}, origin="dairy", contains=("milk",))
SPREAD = make_food("spread of one's own", {"WATER": 16.0})
FIGS = make_food("figs", {"WATER": 30.0}, origin="plant", contains=(), edible_fraction=0.8)


def test_ingredients_by_weight_at_mixing() -> None:
    lines = [make_line(COCONUT, 60.0), make_line(MAIZE, 300.0), make_line(COCONUT, 40.0, "again")]
    project = make_project([MAIZE, COCONUT], make_variant(*lines, weight=Weighed(in_g=400.0, out_g=350.0)))
    declared = declare(project, evaluated(project))
    assert [(i.food.name, i.mass_g, i.share) for i in declared.ingredients] == [
        ("maize meal", 300.0, pytest.approx(0.75)),
        ("coconut", 100.0, pytest.approx(0.25)),
    ]


def test_what_has_to_be_bought() -> None:
    project = make_project([FIGS], make_variant(make_line(FIGS, 100.0, as_bought=True)))
    (figs,) = declare(project, evaluated(project)).ingredients
    assert (figs.mass_g, figs.as_bought_g) == pytest.approx((80.0, 100.0))


def test_allergens_name_who_brings_them_and_who_says_nothing() -> None:
    project = make_project([MAIZE, COCONUT, BUTTER, SPREAD])
    lines = [make_line(f, g) for f, g in ((MAIZE, 300.0), (COCONUT, 50.0), (BUTTER, 40.0), (SPREAD, 10.0))]
    project = make_project([MAIZE, COCONUT, BUTTER, SPREAD], make_variant(*lines))
    declared = declare(project, evaluated(project))
    assert declared.contains == {"milk": ("butter",), "sulphites": ("coconut",), "coconut": ("coconut",)}
    assert declared.may_contain == {"gluten_wheat": ("maize meal",)}
    assert declared.not_stated == ("spread of one's own",)
    assert declared.animal == {"dairy": ("butter",)}
    assert declared.origin_not_stated == ("spread of one's own",)
    assert not declared.plant_based


@pytest.mark.parametrize(("grams", "plant_based"), [(0.0, True), (1.0, False)])
def test_a_line_of_nothing_brings_no_allergen(grams: float, plant_based: bool) -> None:
    project = make_project([MAIZE, BUTTER], make_variant(make_line(MAIZE, 300.0), make_line(BUTTER, grams)))
    declared = declare(project, evaluated(project))
    assert declared.plant_based is plant_based
    assert ("milk" in declared.contains) is not plant_based


def test_unstated_origin_is_not_plant_based() -> None:
    project = make_project([SPREAD], make_variant(make_line(SPREAD, 10.0)))
    assert not declare(project, evaluated(project)).plant_based


def test_a_variant_as_ingredient_is_opened_in_its_raw_proportions() -> None:
    """300 g maize and 900 g water boiled down to 1000 g; 200 g of that, so 60 g maize and 180 g water."""
    porridge = make_variant(
        make_line(MAIZE, 300.0), make_line(WATER, 900.0), weight=Weighed(in_g=1200.0, out_g=1000.0), id="porridge"
    )
    bar = make_variant(make_line(porridge, 200.0), make_line(COCONUT, 50.0), make_line(BUTTER, 0.0), id="bar")
    project = make_project([MAIZE, WATER, COCONUT, BUTTER], porridge, bar)
    declared = declare(project, evaluated(project, "bar"))
    assert {i.food.name: i.mass_g for i in declared.ingredients} == pytest.approx(
        {"water": 180.0, "maize meal": 60.0, "coconut": 50.0}
    )
    assert declared.may_contain == {"gluten_wheat": ("maize meal",)}
    assert declared.plant_based


def test_a_list_with_gaps_is_refused() -> None:
    """A missing ingredient, or variants in a ring, would hide allergens."""
    lost = make_project([MAIZE], make_variant(make_line(MAIZE, 300.0), make_line(BUTTER, 10.0)))
    ring = make_project([], make_variant(make_line(Variant(id="v", name="itself"), 10.0)))
    for project in (lost, ring):
        with pytest.raises(CalculationError, match="cannot be listed") as error:
            declare(project, evaluated(project))
        assert error.value.problems


def test_every_allergen_has_its_word() -> None:
    assert ALLERGEN_WORDS.keys() == {*ALLERGENS, *WATCHED}
