"""Starting recipes from what is at hand: limits of the form kept, by the engine's figures, in whatever order listed."""

from collections.abc import Sequence

import pytest
from msgspec.structs import replace

from tests.support import evaluated, make_project
from workbench.base.progress import Cancelled, Progress
from workbench.composition.bundled import bundled_foods
from workbench.composition.piece_forms import PieceForm, piece_forms
from workbench.document.avoid import avoiding
from workbench.document.project import Target, TargetSet
from workbench.document.variant_edits import new_variant
from workbench.recipe.food_row import FoodRows
from workbench.solve.pantry import Suggestion, suggest

TABLE = bundled_foods()
ROWS = FoodRows()
EMPTY = make_project([])
SHELF = [
    TABLE[food_id]
    for food_id in (
        "rice_long_grain",
        "maize_meal_fine",
        "oats_rolled",
        "rice_puffed",
        "cornstarch",
        "sugar_white",
        "maple_syrup",
        "glucose_syrup",
        "figs_dried",
        "dates",
        "raisins",
        "almonds",
        "sunflower_kernels",
        "almond_butter",
        "coconut_oil",
        "rapeseed_oil",
        "salt",
        "cinnamon",
        "lemon_juice",
        "vanilla_extract",
        "agar",
        "apple_puree",
        "butter",
        "egg_whole",
    )
]
RACE = TargetSet(
    id="race",
    name="race",
    targets=(
        Target(id="c", quantity="CHOAVLDF", low=20.0, high=25.0),
        Target(id="f", quantity="FIBTG", high=1.5),
        Target(id="r", quantity="energy_from_fat", basis="batch", high=15.0),
    ),
)


def _amounts(recipe: Suggestion) -> dict[str, float]:
    return {line.food_ref.id: line.amount_g for line in recipe.after.variant.lines}


def _names_tell_apart(recipes: Sequence[Suggestion], form: PieceForm) -> None:
    """The main ingredient comes first, and behind it what the recipes before do not have."""
    seen: set[str] = set()
    for recipe in recipes:
        grams = {key: g for key, g in _amounts(recipe).items() if key not in form.always}
        main = max(grams, key=grams.__getitem__)
        told = recipe.after.variant.name.partition(": ")[2].split(", ")
        words = TABLE[main].name.split(", ")
        n_main = next(k for k in range(len(words), 0, -1) if told[:k] == words[:k])
        new = [TABLE[key].name for key in grams.keys() - seen - {main}]
        assert not seen or not new or any(name.startswith(told[n_main]) for name in new), (told, new)
        seen |= grams.keys()


@pytest.mark.parametrize("form", piece_forms().values(), ids=list(piece_forms()))
def test_recipes_keep_the_limits_of_their_form(form: PieceForm) -> None:
    found = suggest(EMPTY, SHELF, form, rows=ROWS)
    assert 2 <= len(found.recipes) <= 3
    assert len({frozenset(_amounts(recipe)) for recipe in found.recipes}) == len(found.recipes)
    _names_tell_apart(found.recipes, form)
    for recipe in found.recipes:
        fresh = evaluated(recipe.edit.project, recipe.variant_id)
        assert fresh.valid
        assert not [problem for problem in fresh.problems if problem.severity != "notice"]
        # Half a percent of room: amounts were rounded to what a scale shows.
        water, salt = fresh.bound("WATER", "per_100g"), fresh.bound("salt", "per_100g")
        assert form.water_low - 0.5 <= water.low <= water.high <= form.water_high + 0.5
        assert form.salt_low - 0.05 <= salt.value <= form.salt_high + 0.05
        assert fresh.bound("SUGAR", "per_100g").value <= form.sugar_high + 0.5
        assert form.piece_low - 0.5 <= fresh.portions.piece_g <= form.piece_high + 0.5
        assert len(_amounts(recipe)) <= form.most_ingredients + len(form.always)
        foods = recipe.edit.project.foods
        for limit in form.limits:
            share = sum(g for key, g in _amounts(recipe).items() if limit.counts(foods[key])) / fresh.finished_g
            assert limit.high is None or 100 * share <= limit.high + 0.5, limit
            if limit.low and any(limit.counts(food) for food in SHELF):
                assert 100 * share >= limit.low - 0.5, limit


@pytest.mark.parametrize("key", ["cooked_grain_square", "pressed_bar"])
def test_targets_are_met_by_the_engines_figures(key: str) -> None:
    found = suggest(EMPTY, SHELF, piece_forms()[key], RACE, rows=ROWS)
    assert found.recipes
    for recipe in found.recipes:
        assert recipe.must_met, recipe.remarks
        assert recipe.after.variant.target_set_id == "race"
        assert [s.id for s in recipe.edit.project.target_sets] == ["race"]


def test_a_target_out_of_reach_is_said_and_not_hidden() -> None:
    impossible = TargetSet(id="x", name="x", targets=(Target(id="p", quantity="PROCNT", low=40.0),))
    found = suggest(EMPTY, SHELF, piece_forms()["pressed_bar"], impossible, rows=ROWS)
    assert found.recipes
    assert not found.recipes[0].must_met
    assert any("short by" in remark for remark in found.recipes[0].remarks)


def test_the_order_of_the_shelf_does_not_matter() -> None:
    form = piece_forms()["rolled_ball"]
    forth, back = (suggest(EMPTY, shelf, form, rows=ROWS) for shelf in (SHELF, SHELF[::-1]))
    assert [_amounts(recipe) for recipe in forth.recipes] == [_amounts(recipe) for recipe in back.recipes]


def test_every_recipe_is_marked_as_a_starting_point() -> None:
    (recipe, *_others) = suggest(EMPTY, SHELF, piece_forms()["gel"], rows=ROWS).recipes
    assert "starting point for a trial" in recipe.after.variant.notes
    assert recipe.trials


def test_what_a_form_does_not_take_is_named() -> None:
    found = suggest(EMPTY, SHELF, piece_forms()["rolled_ball"], rows=ROWS)
    (aside,) = [problem for problem in found.problems if problem.code == "left_aside"]
    assert "rice, white, long-grain, raw" in aside.sentence(), "raw rice is not eaten raw"
    assert all("rice_long_grain" not in _amounts(recipe) for recipe in found.recipes)


@pytest.mark.parametrize(
    ("shelf", "code"),
    [
        ([], "nothing_usable"),
        (["salt"], "nothing_at_hand"),
        (["rice_puffed", "oats_rolled"], "nothing_at_hand"),
        (["oats_rolled", "sugar_white"], "nothing_at_hand"),  # dry sugar wets nothing
        (["oats_rolled", "maple_syrup"], "no_recipe"),  # with enough syrup to bind it is too wet or too sweet
    ],
)
def test_too_little_at_hand_ends_in_words(shelf: list[str], code: str) -> None:
    found = suggest(EMPTY, [TABLE[key] for key in shelf], piece_forms()["pressed_bar"], rows=ROWS)
    assert not found.recipes
    assert code in [problem.code for problem in found.problems]


@pytest.mark.parametrize(("lacks", "code"), [("salt", "no_salt"), ("flavour", "no_flavour")])
def test_a_shelf_without_salt_or_flavour_still_gives_recipes_and_says_so(lacks: str, code: str) -> None:
    shelf = [food for food in SHELF if lacks not in food.roles]
    found = suggest(EMPTY, shelf, piece_forms()["cooked_grain_square"], rows=ROWS)
    assert found.recipes
    assert code in [problem.code for problem in found.problems]


class _Stopping(Progress):
    """Stops after so many steps, as a click on cancel would."""

    def __init__(self, after: int) -> None:
        super().__init__()
        self.left = after

    def shown(self, done: int, total: int | None) -> None:
        assert total is not None
        assert 0 <= done <= total
        self.left -= 1
        self.cancelled = self.left <= 0


@pytest.mark.parametrize("after", [1, 8])
def test_it_can_be_stopped_even_in_the_middle_of_a_search(after: int) -> None:
    with pytest.raises(Cancelled):
        suggest(EMPTY, SHELF, piece_forms()["pressed_bar"], RACE, _Stopping(after), rows=ROWS)


def test_a_food_of_the_project_stands_for_its_namesake() -> None:
    own = replace(TABLE["maple_syrup"], name="syrup of the neighbour")
    project = make_project([own])
    for recipe in suggest(project, SHELF, piece_forms()["gel"], rows=ROWS).recipes:
        assert recipe.edit.project.foods["maple_syrup"].name == "syrup of the neighbour"


def test_what_the_project_avoids_is_left_out_and_named() -> None:
    project = replace(EMPTY, avoid=avoiding(origins=("dairy", "egg"), foods={"dates": "dates"}))
    found = suggest(project, SHELF, piece_forms()["pressed_bar"], rows=ROWS)
    assert found.recipes
    assert all(not {"butter", "egg_whole", "dates"} & _amounts(recipe).keys() for recipe in found.recipes)
    (said,) = [problem.sentence() for problem in found.problems if problem.code == "avoided_at_hand"]
    assert "butter, unsalted (made from milk)" in said


def test_two_recipes_are_no_near_twins() -> None:
    """Two sorts of rice and two syrups make one recipe, not four."""
    shelf = ["rice_long_grain", "rice_medium_grain", "honey", "maple_syrup", "salt", "cinnamon"]
    found = suggest(EMPTY, [TABLE[key] for key in shelf], piece_forms()["cooked_grain_square"], rows=ROWS)
    assert len(found.recipes) == 1
    assert "only_one" in [problem.code for problem in found.problems]
    more = suggest(EMPTY, [TABLE[key] for key in (*shelf, "millet")], piece_forms()["cooked_grain_square"], rows=ROWS)
    assert len(more.recipes) == 2
    first, second = (recipe.after.variant.name for recipe in more.recipes)
    assert ("millet" in first) != ("millet" in second)


def test_a_name_that_is_taken_in_other_letters_gets_a_number() -> None:
    form = piece_forms()["rolled_ball"]
    name = suggest(EMPTY, SHELF, form, rows=ROWS).recipes[0].after.variant.name
    project, _made_id = new_variant(EMPTY, name.upper())
    assert suggest(project.project, SHELF, form, rows=ROWS).recipes[0].after.variant.name == f"{name} 2"


def test_no_bar_is_bound_by_dry_sugar_and_no_gel_is_sugar_alone() -> None:
    bars = suggest(EMPTY, SHELF, piece_forms()["pressed_bar"], rows=ROWS).recipes
    for recipe in bars:
        syrup = sum(g for key, g in _amounts(recipe).items() if key in ("maple_syrup", "glucose_syrup"))
        assert syrup >= 0.08 * recipe.after.finished_g
    for recipe in suggest(EMPTY, SHELF, piece_forms()["gel"], rows=ROWS).recipes:
        assert _amounts(recipe).get("sugar_white", 0.0) <= 0.455 * recipe.after.finished_g
