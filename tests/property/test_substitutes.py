"""No proposal holds what is avoided, whatever is avoided and whatever the recipe; judged by the declaration."""

import msgspec
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.support import evaluated, make_project, make_variant
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import ALLERGENS, GUT_FLAGS, WATCHED, Food
from workbench.document.project import FoodRef, Line, Project, Stage
from workbench.recipe.declaration import declare
from workbench.recipe.food_row import FoodRows
from workbench.solve.avoid import ANIMAL, Avoid, offending
from workbench.solve.race_form import other_form
from workbench.solve.substitutes import without

TABLE = bundled_foods()
ROWS = FoodRows()
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

wishes = st.builds(
    Avoid,
    origins=st.frozensets(st.sampled_from(ANIMAL)) | st.just(frozenset(ANIMAL)),
    allergens=st.frozensets(st.sampled_from((*ALLERGENS, *WATCHED)), max_size=6),
    traces=st.booleans(),
    gut=st.frozensets(st.sampled_from(GUT_FLAGS), max_size=2),
    foods=st.frozensets(st.sampled_from(sorted(TABLE)), max_size=3),
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
@given(recipes(), wishes)
def test_no_proposal_holds_what_is_avoided(project: Project, avoid: Avoid) -> None:
    variant = project.variants[0]
    found = without(project, variant, avoid, rows=ROWS)
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
        if not fresh.valid:
            continue  # nothing left of it, say
        told = declare(changed, fresh)
        assert not (avoid.origins & told.animal.keys())
        assert not (avoid.allergens & told.contains.keys())
        if avoid.origins:
            assert not told.origin_not_stated
        if avoid.allergens:
            assert not told.not_stated
        if avoid.traces:
            assert not (avoid.allergens & told.may_contain.keys())
        if "dairy" in avoid.origins:
            assert "milk" not in told.contains, "a plant food that contains milk is no plant food"
        for ingredient in told.ingredients:
            assert ingredient.food.id not in avoid.foods
            assert avoid.gut.isdisjoint(ingredient.food.gut)


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
