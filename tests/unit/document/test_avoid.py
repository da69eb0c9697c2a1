"""What must not be in a recipe, kept with the project or with one variant in its place."""

from tests.unit.document.test_edits import project_of
from workbench.document.avoid import GLUTEN_FREE, PLANT_BASED, Avoid, avoiding
from workbench.document.avoid_edits import avoid_in_project, avoid_in_variant
from workbench.document.edits import Change
from workbench.document.variant_edits import free_variant_name, new_variant

NUTS = avoiding(allergens=("walnut", "almond", "walnut"), foods={"b": "beetroot", "a": "apple"})


def test_a_wish_of_the_project_holds_for_every_variant_that_has_none_of_its_own() -> None:
    project = project_of()
    edit = avoid_in_project(project, PLANT_BASED)
    assert edit.change == Change.AVOID
    assert edit.project.wish_of(edit.project.variant("v")) == PLANT_BASED
    own = avoid_in_variant(edit.project, "v", GLUTEN_FREE).project
    assert own.wish_of(own.variant("v")) == GLUTEN_FREE
    free = avoid_in_variant(own, "v", Avoid()).project
    assert not free.wish_of(free.variant("v")), "nothing to avoid is a wish as well"
    back = avoid_in_variant(free, "v", None).project
    assert back.wish_of(back.variant("v")) == PLANT_BASED
    assert project.avoid == Avoid(), "edits change nothing that was there"


def test_a_wish_for_all_can_take_the_place_of_the_one_on_screen() -> None:
    own = avoid_in_variant(project_of(), "v", GLUTEN_FREE).project
    assert avoid_in_project(own, PLANT_BASED).project.variant("v").avoid == GLUTEN_FREE
    assert avoid_in_project(own, PLANT_BASED, "v").project.variant("v").avoid is None


def test_a_copy_of_a_variant_avoids_what_its_parent_does() -> None:
    own = avoid_in_variant(project_of(), "v", GLUTEN_FREE).project
    edit, made_id = new_variant(own, "copy", "v")
    assert edit.project.variant(made_id).avoid == GLUTEN_FREE


def test_equal_wishes_are_equal_in_whatever_order_they_were_ticked() -> None:
    assert avoiding(allergens=("almond", "walnut"), foods={"a": "apple", "b": "beetroot"}) == NUTS
    assert list(NUTS.foods) == ["a", "b"]
    both = NUTS | avoiding(origins=("bee", "dairy"), traces=True)
    assert (both.origins, both.allergens, both.traces) == (("dairy", "bee"), ("almond", "walnut"), True)
    assert both | both == both | Avoid() == both


def test_a_free_name_heeds_no_capitals() -> None:
    project = project_of()  # its variant is called “Original”
    assert free_variant_name(project, "race") == "race"
    assert free_variant_name(project, "original") == "original 2"
    taken, _id = new_variant(project, "ORIGINAL 2")
    assert free_variant_name(taken.project, "Original") == "Original 3"
