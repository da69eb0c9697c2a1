"""No proposal holds what is avoided, whatever is avoided and whatever the recipe; judged by the declaration."""

import msgspec
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.support import evaluated, make_project, make_variant
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import ALLERGENS, GUT_FLAGS, WATCHED, Food
from workbench.composition.piece_forms import piece_forms
from workbench.document.avoid import ANIMAL, Avoid, avoiding
from workbench.document.project import FoodRef, Line, Project, Stage
from workbench.recipe.declaration import declare
from workbench.recipe.food_row import FoodRows
from workbench.solve.avoid import offending, reasons
from workbench.solve.options import options_for
from workbench.solve.pantry import suggest
from workbench.solve.race_form import other_form
from workbench.solve.substitutes import without

TABLE = bundled_foods()
ROWS = FoodRows()
SHELF = tuple(
    TABLE[key] for key in ("dates", "raisins", "oats_rolled", "rice_puffed", "salt", "cinnamon", "almond_butter")
)
# Foods that nobody said much about, as they come from a pack or another table.
UNSTATED = tuple(
    msgspec.structs.replace(TABLE[food_id], id=f"own_{food_id}", taken_from=None, **facts)
    for food_id, facts in (
        ("butter", {"origin": "unknown", "contains": None}),
        ("egg_whole", {"origin": "unknown"}),
        ("chocolate_semisweet", {"contains": ("soya", "milk")}),
        ("oats_rolled", {"contains": None, "may_contain": ()}),
    )
)

# What the user's own library offers: foods that nobody said much about, and honest ones.
CHOICE = {
    **TABLE,
    **{food.id: food for food in UNSTATED},
    **{
        food.id: food
        for food_id in ("coconut_oil", "rice_drink", "maple_syrup", "almond_butter", "rice_flakes", "cornstarch")
        for food in (
            msgspec.structs.replace(TABLE[food_id], id=f"lib_{food_id}", name=f"{food_id} of mine"),
            msgspec.structs.replace(TABLE[food_id], id=f"lib_x_{food_id}", contains=None, origin="unknown"),
            msgspec.structs.replace(TABLE[food_id], id=f"lib_m_{food_id}", contains=("milk", "gluten_wheat")),
        )
    },
}

wishes = st.builds(
    avoiding,
    origins=st.frozensets(st.sampled_from(ANIMAL)) | st.just(frozenset(ANIMAL)),
    allergens=st.frozensets(st.sampled_from((*ALLERGENS, *WATCHED)), max_size=6),
    traces=st.booleans(),
    gut=st.frozensets(st.sampled_from(GUT_FLAGS), max_size=2),
    foods=st.dictionaries(st.sampled_from(sorted(TABLE)), st.just(""), max_size=3),
)


@st.composite
def recipes(draw: st.DrawFn) -> Project:
    foods: list[Food] = draw(
        st.lists(st.sampled_from((*TABLE.values(), *UNSTATED)), min_size=1, max_size=8, unique_by=lambda f: f.id)
    )
    stages = (Stage(id="mix"), Stage(id="bake", kind=draw(st.sampled_from(("bake", "press")))))
    lines = tuple(
        Line(
            id=f"l{k}",
            stage_id=draw(st.sampled_from(("mix", "bake"))),
            food_ref=FoodRef(kind="own", id=food.id),
            amount_g=draw(st.just(0.0) | st.floats(0.5, 500)),
            lock=draw(st.booleans()),
        )
        for k, food in enumerate(foods)
    )
    return make_project(foods, make_variant(*lines, stages=stages))


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(recipes(), wishes, st.just(Avoid()) | wishes)
def test_no_proposal_holds_what_is_avoided(project: Project, avoid: Avoid, kept: Avoid) -> None:
    """``kept`` is what the project avoids anyway: lines that offend it stay, but nothing of it comes in."""
    project = msgspec.structs.replace(project, avoid=kept)
    variant = project.variants[0]
    found = without(project, variant, avoid, CHOICE, rows=ROWS)
    assert found.proposals or found.problems
    if avoid and not offending(project, variant, avoid):
        assert not found.proposals
    for proposal in found.proposals:
        changed = proposal.edit.project
        assert changed.variants[0] == variant, "the recipe it was made from stays"
        new = changed.variant(proposal.variant_id)
        assert new.parent_id == variant.id
        fresh = evaluated(changed, new.id)
        assert fresh.bound("CHOAVLDF", "batch") == proposal.after.bound("CHOAVLDF", "batch")
        coming = [part.food for option in proposal.options for part in option.parts]
        assert not [food.id for food in coming if reasons(food, avoid | kept)]
        assert changed.wish_of(new) == avoid | kept, "what was taken out is watched from now on"
        if not fresh.valid:
            continue  # nothing left of it, say
        told = declare(changed, fresh)
        assert not (told.animal.keys() & avoid.origins)
        assert not (told.contains.keys() & avoid.allergens)
        if avoid.origins:
            assert not told.origin_not_stated
        if avoid.allergens:
            assert not told.not_stated
        if avoid.traces:
            assert not (told.may_contain.keys() & avoid.allergens)
        if "dairy" in avoid.origins:
            assert "milk" not in told.contains, "a plant food that contains milk is no plant food"
        for ingredient in told.ingredients:
            assert ingredient.food.id not in avoid.foods
            assert not set(avoid.gut) & set(ingredient.food.gut)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(recipes())
def test_lighter_versions_bring_no_allergen_that_was_not_there(project: Project) -> None:
    variant = project.variants[0]
    found = other_form(project, variant, "race", rows=ROWS)
    assert found.proposals or found.problems
    if not found.proposals:
        return
    before = declare(project, evaluated(project))
    for proposal in found.proposals:
        told = declare(proposal.edit.project, proposal.after)
        assert told.contains.keys() <= before.contains.keys() | before.may_contain.keys()
        assert told.animal.keys() <= before.animal.keys()
        was, now = proposal.before.bound("FIBTG"), proposal.after.bound("FIBTG")
        assert not (was.known and now.known) or now.value < was.value


@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
@given(recipes(), wishes)
def test_no_single_substitute_and_no_pantry_recipe_holds_what_is_avoided(project: Project, avoid: Avoid) -> None:
    project = msgspec.structs.replace(project, avoid=avoid)
    variant = project.variants[0]
    for line in variant.lines[:2]:
        for option in options_for(project, variant, line.id, foods=CHOICE, rows=ROWS):
            assert not [part.food.id for part in option.parts if reasons(part.food, avoid)]
    shelf = [*SHELF, *project.foods.values()]
    for recipe in suggest(project, shelf, piece_forms()["rolled_ball"], rows=ROWS).recipes:
        new = recipe.edit.project.variant(recipe.variant_id)
        assert not offending(recipe.edit.project, new, avoid)


def test_every_allergen_and_every_origin_is_kept_out() -> None:
    """One recipe that holds all of them, each avoided in turn, so that none depends on what was drawn above."""
    rich = ("butter", "egg_whole", "honey", "gelatine", "almonds", "wheat_flour_white", "peanut_butter", "sesame_whole")
    foods = [TABLE[key] for key in rich]
    lines = tuple(
        Line(id=f.id, stage_id="bake", food_ref=FoodRef(kind="bundled", id=f.id), amount_g=40.0) for f in foods
    )
    project = make_project(foods, make_variant(*lines, stages=(Stage(id="bake", kind="bake"),)))
    each = [avoiding(allergens=(key,), traces=traces) for key in (*ALLERGENS, *WATCHED) for traces in (False, True)]
    each += [avoiding(origins=(key,)) for key in ANIMAL]
    tried = 0
    for avoid in each:
        for proposal in without(project, project.variants[0], avoid, CHOICE, rows=ROWS).proposals:
            tried += 1
            assert not offending(proposal.edit.project, proposal.after.variant, avoid)
            told = declare(proposal.edit.project, proposal.after)
            assert not told.contains.keys() & avoid.allergens
            assert not (avoid.origins and told.origin_not_stated)
            assert not (avoid.allergens and told.not_stated)
    assert tried > 20
