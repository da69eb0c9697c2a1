"""A variant as an ingredient: what the recipe gives, what stays open, and what may be said of a mixture."""

import pytest

from tests.support import evaluated, make_food, make_line, make_project, make_variant, project_of
from workbench.base.errors import CalculationError
from workbench.composition.food import Food, Pack
from workbench.document.project import Project, Weighed
from workbench.recipe.composite import composite_food, made_of, recipe_alone

BERRIES = make_food(
    "berries",
    {"WATER": 85.0, "CHOCDF": 12.0, "FIBTG": 4.0, "SUGAR": 6.0, "FAT": 0.0, "PROCNT": 1.0},
    origin="plant",
    contains=(),
    packs=(Pack(500.0, 4.0, "EUR", "2026-05-01"),),
)
SUGAR = make_food(
    "sugar",
    {"WATER": 0.0, "CHOCDF": 100.0, "FIBTG": 0.0, "SUGAR": 100.0, "FAT": 0.0, "PROCNT": 0.0},
    origin="plant",
    contains=(),
    packs=(Pack(1000.0, 1.5, "EUR", "2026-05-01"),),
)
BUTTER = make_food("butter", {"WATER": 16.0, "FAT": 82.0}, origin="dairy", contains=("milk",))
SALT = make_food("salt", {"WATER": 0.0}, origin="mineral", contains=())
FLOUR = make_food("flour", {"WATER": 12.0, "FAT": 1.0, "CHOCDF": 76.0}, origin="plant", contains=("gluten_wheat",))
UNSTATED = make_food("paste", {"WATER": 50.0})


def composite(project: Project) -> Food:
    return composite_food(project, project.variants[0], "jam", date="2026-06-01")


def jam() -> Project:
    # 600 g berries and 400 g sugar, 1000 g in, 800 g out.
    return project_of([(600.0, BERRIES), (400.0, SUGAR)], Weighed(in_g=1000.0, out_g=800.0))


def test_a_jam_by_hand() -> None:
    food = composite(jam())
    figures = {tag: food.values[tag].value for tag in ("WATER", "CHOCDF", "FIBTG", "SUGAR")}
    # By hand, per 800 g: water 510 − 200, carbohydrate 72 + 400, fibre 24, sugars 36 + 400.
    assert figures == pytest.approx({"WATER": 310 / 8, "CHOCDF": 472 / 8, "FIBTG": 3.0, "SUGAR": 436 / 8})
    assert {value.kind for value in food.values.values()} == {"calculated"}
    assert (food.origin, food.contains) == ("plant", ())
    # 600 g of berries at 8 EUR/kg and 400 g of sugar at 1.5 EUR/kg make 800 g.
    assert food.packs == (Pack(800.0, pytest.approx(5.4), "EUR", "2026-06-01"),)


def test_used_as_an_ingredient_it_gives_what_the_variant_gives() -> None:
    project = jam()
    used = project_of([(250.0, composite(project))])
    straight = evaluated(project)
    for key in ("CHOAVLDF", "FIBTG", "energy_kj", "SUGAR"):
        assert evaluated(used).bound(key, "batch").value == pytest.approx(
            straight.bound(key, "per_100g").value * 2.5
        ), key


def test_what_an_ingredient_does_not_say_stays_open() -> None:
    project = project_of([(90.0, BERRIES), (10.0, FLOUR)])
    food = composite(project)
    assert not {"FIBTG", "SUGAR"} & (food.values.keys() | food.limits.keys())
    known = evaluated(project).bound("FIBTG", "per_100g")
    again = evaluated(project_of([(100.0, food)])).bound("FIBTG", "batch")
    assert again.certainty != "exact" and again.low <= known.low < known.high <= again.high


def test_less_than_on_a_pack_is_less_than_in_the_composite() -> None:
    pack = make_food("spread", {"WATER": 30.0}, limits={"FIBTG": 0.5}, contains=(), origin="plant")
    food = composite(project_of([(50.0, BERRIES), (50.0, pack)]))
    assert food.limits["FIBTG"] == pytest.approx(0.5 * 4.0 + 0.5 * 0.5)  # by hand: at most
    assert "FIBTG" not in food.values and "SUGAR" not in food.limits


def test_allergens_of_a_mixture_never_look_complete_where_one_ingredient_says_nothing() -> None:
    stated = composite(project_of([(50.0, FLOUR), (50.0, BUTTER)]))
    assert stated.contains == ("gluten_wheat", "milk")
    open_ = composite(project_of([(50.0, FLOUR), (50.0, UNSTATED)]))
    assert open_.contains is None and open_.may_contain == ("gluten_wheat",)
    assert open_.origin == "unknown"


def test_a_mixture_with_butter_is_not_made_free_of_fibre_by_its_origin() -> None:
    """The rule that milk holds no fibre would else fill what the flour does not say."""
    mixed = composite(project_of([(50.0, FLOUR), (50.0, BUTTER)]))
    assert mixed.origin == "unknown"
    assert evaluated(project_of([(100.0, mixed)])).bound("FIBTG", "batch").certainty != "exact"
    assert composite(project_of([(99.0, BUTTER), (1.0, SALT)])).origin == "dairy"
    assert composite(project_of([(50.0, BERRIES), (50.0, BUTTER)])).origin == "animal"


def test_without_a_valid_result_there_is_no_ingredient() -> None:
    with pytest.raises(CalculationError, match="cannot become an ingredient"):
        composite(project_of([(0.0, BERRIES)]))


def test_the_recipe_that_is_kept_holds_only_what_it_needs() -> None:
    inner = make_variant(make_line(BERRIES, 100.0), id="inner", name="berry purée")
    outer = make_variant(make_line(inner, 50.0), make_line(SUGAR, 50.0), id="outer", name="spread")
    other = make_variant(make_line(BUTTER, 10.0), id="other", name="other")
    recipe = recipe_alone(make_project([BERRIES, SUGAR, BUTTER], other, inner, outer, notes="private"), outer)
    assert [variant.id for variant in recipe.variants] == ["inner", "outer"]
    assert set(recipe.foods) == {"berries", "sugar"} == set(made_of(recipe))
    assert recipe.notes == ""
    assert composite_food(recipe, recipe.variant("outer"), "x").values["WATER"].value == pytest.approx(42.5)
