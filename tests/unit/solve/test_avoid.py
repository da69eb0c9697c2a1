"""What is avoided, why, and what is said where nobody stated anything."""

import pytest
from msgspec.structs import replace

from tests.support import make_food, make_line, make_project, make_variant
from workbench.base.errors import WorkbenchError
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.document.avoid import GLUTEN_FREE, PLANT_BASED, Avoid
from workbench.solve.avoid import avoid_from_text, avoid_from_words, avoid_words, marks, offending, reasons

TABLE = bundled_foods()


def _codes(food: Food, avoid: Avoid) -> list[tuple[str, str, bool]]:
    return [(reason.code, reason.key, reason.certain) for reason in reasons(food, avoid)]


@pytest.mark.parametrize(
    ("food_id", "expected"),
    [
        ("butter", [("origin", "dairy", True)]),
        ("honey", [("origin", "bee", True)]),
        ("gelatine", [("origin", "animal", True)]),
        ("water", []),
        ("chocolate_semisweet", []),  # milk only in traces
    ],
)
def test_animal_origin_by_kind(food_id: str, expected: list[tuple[str, str, bool]]) -> None:
    assert _codes(TABLE[food_id], PLANT_BASED) == expected


def test_a_plant_food_with_milk_in_it_is_not_plant_based() -> None:
    food = make_food("bar", {}, origin="plant", contains=("milk",))
    assert _codes(food, PLANT_BASED) == [("allergen", "milk", True)]


def test_traces_count_only_where_asked_for() -> None:
    buckwheat = TABLE["buckwheat_groats_roasted"]  # may contain wheat
    assert _codes(buckwheat, GLUTEN_FREE) == []
    strict = Avoid(allergens=GLUTEN_FREE.allergens, traces=True)
    assert _codes(buckwheat, strict) == [("traces", "gluten_wheat", False)]


def test_what_nobody_stated_is_a_risk_and_says_so() -> None:
    food = make_food("mix", {}, origin="unknown", contains=None)
    assert _codes(food, PLANT_BASED) == [("origin_not_stated", "", False)]
    assert _codes(food, GLUTEN_FREE) == [("allergens_not_stated", "", False)]
    assert _codes(food, Avoid(gut=("lactose",))) == [("allergens_not_stated", "milk", False)]
    project = make_project([food], make_variant(make_line(food, 10.0)))
    (offence,) = offending(project, project.variants[0], GLUTEN_FREE)
    assert not offence.certain
    assert "nobody stated its allergens" in offence.text


def test_what_is_in_it_and_what_only_may_be_have_another_shape_and_another_word() -> None:
    oats = make_food("oats", {}, origin="unknown", contains=("gluten_oats",))
    assert marks(reasons(oats, PLANT_BASED | GLUTEN_FREE)) == (
        "⊘ avoid: contains oats (gluten)  △ a risk: nobody stated whether it is of animal origin"
    )
    assert marks(reasons(TABLE["water"], PLANT_BASED | GLUTEN_FREE)) == ""


def test_a_variant_among_the_ingredients_offends_through_what_it_is_made_of() -> None:
    butter, rice = TABLE["butter"], TABLE["rice_long_grain"]
    inner = make_variant(make_line(butter, 10.0), make_line(rice, 10.0), id="dough", name="dough")
    outer = make_variant(make_line(inner, 50.0, "a"), make_line(rice, 50.0, "b"), id="outer", name="outer")
    project = make_project([butter, rice], inner, outer)
    (offence,) = offending(project, outer, PLANT_BASED)
    assert offence.line_id == "a"
    assert "butter" in offence.text


def test_variants_in_a_ring_do_not_go_on_for_ever() -> None:
    butter = TABLE["butter"]
    one, other = make_variant(id="one", name="one"), make_variant(id="other", name="other")
    one = replace(one, lines=(make_line(other, 10.0),))
    other = replace(other, lines=(make_line(one, 10.0), make_line(butter, 5.0)))
    (offence,) = offending(make_project([butter], one, other), one, PLANT_BASED)
    assert "butter" in offence.text


def test_lines_of_nothing_do_not_offend() -> None:
    butter = TABLE["butter"]
    project = make_project([butter], make_variant(make_line(butter, 0.0)))
    assert offending(project, project.variants[0], PLANT_BASED) == ()


def test_typed_wishes_add_up() -> None:
    avoid = avoid_from_words(["Animal", " gluten ", "raisins, seedless", "polyols"], TABLE)
    assert avoid.origins == PLANT_BASED.origins
    assert avoid.allergens == GLUTEN_FREE.allergens
    assert avoid.foods == {"raisins": "raisins, seedless"}
    assert avoid.gut == ("polyols",)
    assert avoid_words(avoid) == "animal, gluten, polyols, raisins, seedless"


@pytest.mark.parametrize(
    ("text", "foods", "n_allergens"),
    [
        ("animal; butter, unsalted; raisins", {"butter", "raisins"}, 0),
        ("butter, unsalted", {"butter"}, 0),
        ("butter, unsalted;", {"butter"}, 0),
        ("gluten, raisins", {"raisins"}, 4),
        ("gluten; raisins", {"raisins"}, 4),
    ],
)
def test_a_name_with_a_comma_can_be_typed(text: str, foods: set[str], n_allergens: int) -> None:
    avoid = avoid_from_text(text, TABLE)
    assert set(avoid.foods) == foods
    assert len(set(avoid.allergens) & set(GLUTEN_FREE.allergens)) == n_allergens


def test_commas_that_cut_a_name_are_answered_with_semicolons() -> None:
    with pytest.raises(WorkbenchError) as caught:
        avoid_from_text("gluten, butter, unsalted,raisins, seedless", TABLE)
    assert caught.value.hint.endswith("gluten; butter, unsalted; raisins, seedless")
    with pytest.raises(WorkbenchError, match="glutne"):
        avoid_from_text("glutne, butter, unsalted", TABLE)


def test_an_ingredient_of_the_library_is_named_by_its_id_as_it_stands() -> None:
    food = make_food("SR26:01001-B", {}, name="butter, salted")
    assert avoid_from_words(["SR26:01001-B"], {food.id: food}).foods == {food.id: "butter, salted"}


def test_egg_means_its_origin_and_its_allergen() -> None:
    avoid = avoid_from_words(["egg"], TABLE)
    pasta = make_food("pasta", {}, origin="plant", contains=("egg", "gluten_wheat"))
    assert _codes(pasta, avoid) == [("allergen", "egg", True)]


@pytest.mark.parametrize(("words", "hint"), [(["glutne"], "gluten"), ([], "animal"), (["butterr"], "butter")])
def test_words_that_mean_nothing_are_answered_with_what_is_near(words: list[str], hint: str) -> None:
    with pytest.raises(WorkbenchError) as caught:
        avoid_from_words(words, TABLE)
    assert hint in caught.value.hint
