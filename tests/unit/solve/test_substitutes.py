"""Proposals as a user meets them: one undo step, lines in place, matched targets, plain words where there is none."""

import gettext

import pytest
from msgspec.structs import replace

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from workbench.base import text
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import ALLERGENS, Value
from workbench.document.avoid import PLANT_BASED, Avoid, avoiding
from workbench.document.project import ByWeight, Project, Stage, Target, TargetSet, Weighed
from workbench.solve.assemble import with_options
from workbench.solve.option_making import kitchen_grams
from workbench.solve.options import options_for
from workbench.solve.race_form import other_form
from workbench.solve.substitutes import fewest_allergens, without
from workbench.solve.substitution import Option, Part

TABLE = bundled_foods()
BAKED = (Stage(id="s1", name="bake", kind="bake"),)


def _recipe(*parts: tuple[str, float], **facts: object) -> Project:
    lines = [make_line(TABLE[food_id], grams) for food_id, grams in parts]
    return make_project([TABLE[food_id] for food_id, _g in parts], make_variant(*lines, stages=BAKED, **facts))


SQUARE = _recipe(("maize_meal_fine", 400.0), ("water", 900.0), ("butter", 80.0), ("sugar_white", 100.0))


def _one(project: Project, line_id: str, foods: tuple[str, ...]) -> Option:
    options = options_for(project, project.variants[0], line_id, PLANT_BASED, most=40)
    return next(option for option in options if option.foods == foods)


def test_a_second_ingredient_stands_behind_the_first_in_the_same_stage() -> None:
    project = _recipe(("maize_meal_fine", 400.0), ("butter", 80.0), ("sugar_white", 100.0))
    chosen = _one(project, "butter", ("coconut_oil", "water"))
    made = with_options(project, project.variants[0], [chosen])
    new = made.edit.project.variant(made.variant_id)
    assert [line.food_ref.id for line in new.lines] == ["maize_meal_fine", "coconut_oil", "water", "sugar_white"]
    assert new.lines[1].id == "butter", "the line is still the same line, so that both variants compare"
    assert {line.stage_id for line in new.lines} == {"s1"}
    assert made.edit.project.variants[0] == project.variants[0]
    assert project.variants[0].id == new.parent_id


def test_what_is_in_the_stage_already_goes_into_its_line() -> None:
    made = with_options(SQUARE, SQUARE.variants[0], [_one(SQUARE, "butter", ("coconut_oil", "water"))])
    grams = {line.food_ref.id: line.amount_g for line in made.after.variant.lines}
    assert len(made.after.variant.lines) == 4
    assert grams["water"] == pytest.approx(900 + kitchen_grams(80 * 0.1794))  # USDA SR26 1145


def test_a_lock_and_limits_of_the_old_ingredient_do_not_bind_the_new_one() -> None:
    (variant,) = SQUARE.variants
    lines = tuple(
        replace(x, lock=True, min_g=70.0, max_g=90.0, group="g") if x.id == "butter" else x for x in variant.lines
    )
    project = replace(SQUARE, variants=(replace(variant, lines=lines),))
    made = with_options(project, project.variants[0], [_one(project, "butter", ("coconut_oil",))])
    line = next(x for x in made.after.variant.lines if x.food_ref.id == "coconut_oil")
    assert (line.lock, line.min_g, line.max_g, line.group) == (False, None, None, "")


def test_amounts_are_matched_to_the_targets_and_what_is_claimed_is_what_the_engine_says() -> None:
    carbohydrate = evaluated(SQUARE).bound("CHOAVLDF", "per_100g").value
    band = Target(id="t", quantity="CHOAVLDF", basis="per_100g", low=carbohydrate - 0.3, high=carbohydrate + 0.3)
    fat = Target(id="f", quantity="FAT", basis="per_100g", high=3.0)
    targets = TargetSet(id="set", name="lean", targets=(band, fat))
    project = replace(SQUARE, target_sets=(targets,), variants=(replace(SQUARE.variants[0], target_set_id="set"),))
    found = without(project, project.variants[0], PLANT_BASED)
    assert found.proposals
    for proposal in found.proposals:
        assert proposal.must_met
        fresh = evaluated(proposal.edit.project, proposal.variant_id)
        assert fresh.bound("FAT", "per_100g").value <= 3.05
        assert fresh.bound("CHOAVLDF", "per_100g").value == pytest.approx(carbohydrate, abs=0.35)
        assert any("matched" in remark for remark in proposal.remarks)


def test_a_target_that_cannot_be_met_is_said() -> None:
    impossible = TargetSet(id="set", name="dry", targets=(Target(id="t", quantity="FAT", low=90.0, basis="per_100g"),))
    project = replace(SQUARE, target_sets=(impossible,), variants=(replace(SQUARE.variants[0], target_set_id="set"),))
    first = without(project, project.variants[0], PLANT_BASED).proposals[0]
    assert not first.must_met
    assert any("short by" in remark for remark in first.remarks)
    assert any("turning the recipe over" in remark for remark in first.remarks)


def test_notes_keep_what_changed_what_it_cost_and_what_to_test() -> None:
    first = without(SQUARE, SQUARE.variants[0], PLANT_BASED).proposals[0]
    new = first.edit.project.variant(first.variant_id)
    assert new.name == "plant-based"
    assert new.purpose == "plant_based"
    assert all(word in new.notes for word in ("Replaced", "made from milk", "Lost", "browns less", "To test"))


def test_names_of_variants_stay_apart() -> None:
    once = without(SQUARE, SQUARE.variants[0], PLANT_BASED).proposals[0].edit.project
    again = without(once, once.variants[0], PLANT_BASED).proposals[0].edit.project
    assert len({variant.name for variant in again.variants}) == 3


def test_a_weighed_stage_is_to_be_weighed_again() -> None:
    (variant,) = SQUARE.variants
    weighed = (replace(variant.stages[0], weight=Weighed(in_g=1480.0, out_g=1400.0)),)
    project = replace(SQUARE, variants=(replace(variant, stages=weighed),))
    first = without(project, project.variants[0], PLANT_BASED).proposals[0]
    assert any("Weigh before and after “bake”" in trial for trial in first.trials)


def test_the_same_recipe_gives_the_same_proposals_whatever_the_order_of_the_table() -> None:
    backwards = dict(reversed(list(TABLE.items())))
    (variant,) = SQUARE.variants
    ways = [
        [proposal.options for proposal in without(SQUARE, variant, PLANT_BASED, foods).proposals]
        for foods in (TABLE, backwards)
    ]
    assert ways[0] == ways[1]


def test_a_food_of_the_project_stands_for_its_namesake_in_the_table() -> None:
    tainted = replace(TABLE["coconut_oil"], contains=("milk",))
    project = replace(SQUARE, foods={**SQUARE.foods, "coconut_oil": tainted})
    for proposal in without(project, project.variants[0], PLANT_BASED).proposals:
        assert all("coconut_oil" not in option.foods for option in proposal.options)


# --- nothing to be done, said plainly ---------------------------------------------------------------------------------


def _codes(project: Project, avoid: Avoid, foods: object = None) -> list[str]:
    return [p.code for p in without(project, project.variants[-1], avoid, foods).problems]  # type: ignore[arg-type]


def test_nothing_left_to_choose_from() -> None:
    assert _codes(SQUARE, PLANT_BASED, {}) == ["no_substitute"]
    assert "no_substitute" in _codes(SQUARE, Avoid(origins=PLANT_BASED.origins, foods=dict.fromkeys(TABLE, "")))


def test_nothing_to_avoid_and_nothing_that_offends() -> None:
    assert _codes(SQUARE, Avoid()) == ["nothing_to_avoid"]
    assert _codes(SQUARE, Avoid(allergens=("peanut",))) == ["nothing_offends"]


def test_traces_that_were_let_pass_are_named() -> None:
    project = _recipe(("buckwheat_groats_roasted", 200.0), ("honey", 50.0))
    gluten = Avoid(allergens=("gluten_wheat",))
    assert _codes(project, gluten) == ["nothing_offends", "traces"]
    first = without(
        project, project.variants[0], Avoid(origins=PLANT_BASED.origins, allergens=gluten.allergens)
    ).proposals[0]
    assert any("buckwheat" in remark for remark in first.remarks)


def test_a_locked_amount_stays_to_the_digit() -> None:
    (variant,) = SQUARE.variants
    lines = tuple(
        replace(x, amount_g=100.3, lock=True, entered="100.3") if x.id == "sugar_white" else x for x in variant.lines
    )
    lean = TargetSet(id="set", name="lean", targets=(Target(id="f", quantity="FAT", basis="per_100g", high=2.0),))
    variant = replace(variant, lines=lines, target_set_id="set")
    project = replace(SQUARE, target_sets=(lean,), variants=(variant,))
    proposals = without(project, variant, PLANT_BASED).proposals
    assert any("matched" in remark for proposal in proposals for remark in proposal.remarks)
    for proposal in proposals:
        sugar = next(line for line in proposal.after.variant.lines if line.id == "sugar_white")
        assert (sugar.amount_g, sugar.entered, sugar.lock) == (100.3, "100.3", True)


def test_an_ingredient_whose_allergens_nobody_stated_has_not_the_fewest() -> None:
    stated = Option(
        "l", "butter", (Part(make_food("almond", {}, contains=("almond",)), 80.0),), "", "", (), (), 1.0, 1.0, (), 1.0
    )
    silent = stated._replace(parts=(Part(make_food("mystery", {}, contains=None), 80.0),), score=0.5)
    assert fewest_allergens([(silent, stated)], SQUARE) == (stated,)


def test_a_recipe_of_one_ingredient() -> None:
    project = _recipe(("honey", 100.0))
    found = without(project, project.variants[0], PLANT_BASED)
    assert [option.name for option in found.proposals[0].options] == ["honey"]


def test_everything_avoided_at_once_ends_in_words() -> None:
    everything = Avoid(origins=PLANT_BASED.origins, allergens=ALLERGENS, traces=True)
    found = without(SQUARE, SQUARE.variants[0], everything)
    assert found.proposals or found.problems


def test_another_variant_inside_must_be_changed_first() -> None:
    butter = TABLE["butter"]
    inner = make_variant(make_line(butter, 10.0), id="dough", name="dough")
    outer = make_variant(make_line(inner, 50.0, "a"), make_line(TABLE["rice_long_grain"], 50.0, "b"), id="o", name="o")
    project = make_project([butter, TABLE["rice_long_grain"]], inner, outer)
    assert _codes(project, PLANT_BASED) == ["made_of_variant"]


def test_an_ingredient_that_the_project_lost() -> None:
    foods = {key: food for key, food in SQUARE.foods.items() if key != "butter"}
    assert _codes(replace(SQUARE, foods=foods), PLANT_BASED) == ["food_not_held"]


def test_what_nobody_stated_is_replaced_and_named() -> None:
    mystery = replace(TABLE["honey"], id="mystery", name="syrup from the market", origin="unknown")
    variant = make_variant(make_line(TABLE["maize_meal_fine"], 100.0), make_line(mystery, 50.0), stages=BAKED)
    project = make_project([TABLE["maize_meal_fine"], mystery], variant)
    found = without(project, variant, PLANT_BASED)
    assert [problem.code for problem in found.problems] == ["not_stated"]
    assert "syrup from the market" in found.problems[0].sentence()
    assert found.proposals


def test_empty_food_rows_and_zero_batch() -> None:
    empty = make_food("nothing", {}, origin="dairy")
    project = make_project([empty], make_variant(make_line(empty, 5.0)))
    found = without(project, project.variants[0], PLANT_BASED)
    assert found.proposals or found.problems


# --- race and long ride -----------------------------------------------------------------------------------------------


def test_race_keeps_the_carbohydrate_of_a_piece_of_fixed_weight() -> None:
    project = _recipe(
        ("oats_rolled", 200.0), ("figs_dried", 150.0), ("almonds", 50.0), portioning=ByWeight(piece_g=50.0)
    )
    found = other_form(project, project.variants[0], "race")
    assert found.proposals
    for proposal in found.proposals:
        now, was = proposal.after.bound("CHOAVLDF").value, proposal.before.bound("CHOAVLDF").value
        assert now == pytest.approx(was, abs=0.1)
        assert proposal.after.bound("FIBTG").value < proposal.before.bound("FIBTG").value


def test_a_line_of_nothing_is_not_taken_up_to_meet_a_target() -> None:
    """It may hold an allergen, and the new variant would claim to bring none."""
    project = _recipe(
        ("maize_grits_white", 0.0), ("oats_rolled", 0.0), ("linseed_ground", 12.0), ("maize_grits_yellow", 0.0)
    )
    (proposal, *_more) = other_form(project, project.variants[0], "race").proposals
    grams = {line.food_ref.id: line.amount_g for line in proposal.after.variant.lines}
    assert grams["oats_rolled"] == 0.0


def test_there_and_back_again_moves_fibre_both_ways() -> None:
    project = _recipe(("rice_long_grain", 300.0), ("water", 600.0), ("maple_syrup", 100.0))
    slow = other_form(project, project.variants[0], "long_ride").proposals[0]
    back = other_form(slow.edit.project, slow.after.variant, "race").proposals[0]
    fibre = [e.bound("FIBTG").value for e in (slow.before, slow.after, back.after)]
    assert fibre[1] > 2 * fibre[0]
    assert fibre[2] < 0.6 * fibre[1]


def test_a_food_of_unknown_fibre_is_no_lighter_form() -> None:
    project = _recipe(("buckwheat_whole", 200.0), ("sugar_white", 50.0))
    rice = TABLE["rice_long_grain"]
    mine = replace(rice, id="mine", name=f"{rice.name}, of the farm")
    (first, *_more) = other_form(project, project.variants[0], "race", foods={"mine": mine}).proposals
    assert first.options[0].foods == ("mine",)
    available = Value(rice.values["CHOCDF"].value - rice.values["FIBTG"].value)
    others = {tag: value for tag, value in rice.values.items() if tag not in ("FIBTG", "CHOCDF")}
    silent = replace(mine, values={**others, "CHOAVLDF": available})
    found = other_form(project, project.variants[0], "race", foods={"mine": silent})
    assert [problem.code for problem in found.problems] == ["nothing_to_lighten"]


def test_a_recipe_without_a_lighter_form_says_so() -> None:
    project = _recipe(("sugar_white", 100.0), ("water", 50.0))
    assert [p.code for p in other_form(project, project.variants[0], "race").problems] == ["nothing_to_lighten"]


def test_targets_of_the_other_purpose_are_let_go() -> None:
    targets = TargetSet(id="set", name="long", targets=(Target(id="t", quantity="FIBTG", low=2.0),))
    project = _recipe(("oats_rolled", 200.0), ("figs_dried", 150.0))
    project = replace(project, target_sets=(targets,), variants=(replace(project.variants[0], target_set_id="set"),))
    race = other_form(project, project.variants[0], "race").proposals[0]
    assert race.after.variant.target_set_id is None
    assert race.after.variant.purpose == "race"
    named = other_form(project, project.variants[0], "race", TargetSet(id="own", name="race piece")).proposals[0]
    assert named.after.variant.target_set_id == "own"


# --- what composition may not decide ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "never"),
    [
        ("parmesan", {"lemon_juice", "lime_juice"}),  # composition says nothing of taste
        ("cocoa_powder", {"caraway", "cinnamon", "anise"}),
        ("chocolate_milk", {"tomatoes_sun_dried"}),
        ("peanut_butter", {"egg_powder", "butter", "whey_protein_concentrate"}),  # no animal comes in for a plant
        ("couscous", {"lentils", "soybeans_cooked"}),
        ("gelatine", {"pumpkin_butter", "tahini"}),
        ("soya_drink", {"lime_juice", "milk_whole"}),
    ],
)
def test_options_that_no_cook_would_take(old: str, never: set[str]) -> None:
    project = _recipe((old, 60.0), ("maize_meal_fine", 400.0), ("water", 600.0))
    options = options_for(project, project.variants[0], old, avoiding(foods={old: old}), most=40)
    assert not never & {food_id for option in options for food_id in option.foods}


def test_options_by_composition_alone_come_after_the_kitchens_and_say_so() -> None:
    options = options_for(SQUARE, SQUARE.variants[0], "butter", PLANT_BASED, most=40)
    computed = [k for k, option in enumerate(options) if option.because == "nearest in composition"]
    assert computed
    assert min(computed) > 2
    assert all("no kitchen's practice" in options[k].trials[0] for k in computed)


def test_nothing_with_a_doping_risk_comes_in() -> None:
    project = _recipe(("sunflower_kernels", 60.0), ("maize_meal_fine", 400.0))
    options = options_for(
        project, project.variants[0], "sunflower_kernels", avoiding(foods={"sesame_whole": ""}), most=60
    )
    assert all(not part.food.doping for option in options for part in option.parts)


# --- what plays the same part to hand and tooth -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "never"),
    [
        ("buckwheat_groats_roasted", {"popcorn", "rice_puffed", "buckwheat_flour", "corn_flakes"}),  # boiled grain
        ("oats_rolled", {"buckwheat_flour", "rice_flour_white", "popcorn", "semolina"}),
        ("rice_puffed", {"rice_long_grain", "rice_flour_white", "cornstarch"}),
        ("vanilla_extract", {"vinegar_cider", "black_pepper"}),
        ("egg_whole", {"egg_boiled"}),
        ("cornstarch", {"wheat_flour_whole", "rice_long_grain"}),
    ],
)
def test_composition_alone_never_brings_another_texture_where_there_is_one_like_it(old: str, never: set[str]) -> None:
    project = _recipe((old, 200.0), ("maple_syrup", 100.0), ("water", 200.0))
    options = options_for(project, project.variants[0], old, avoiding(foods={old: ""}), most=40)
    assert not never & {food_id for option in options for food_id in option.foods}


def test_a_second_ingredient_comes_only_to_what_can_be_stirred() -> None:
    project = _recipe(("sunflower_kernels", 60.0), ("milk_whole", 300.0), ("maize_meal_fine", 400.0))
    pairs = {
        line_id: [o.foods for o in options_for(project, project.variants[0], line_id, most=40) if len(o.foods) > 1]
        for line_id in ("sunflower_kernels", "milk_whole")
    }
    assert not pairs["sunflower_kernels"], "nuts and a spoon of starch are no seeds"
    assert ("milk_skimmed", "rapeseed_oil") in pairs["milk_whole"]


def test_another_texture_stands_last_and_says_so() -> None:
    only = {key: TABLE[key] for key in ("rice_flour_white", "maize_flour")}
    project = _recipe(("tapioca_pearl", 100.0), ("water", 300.0))
    (first, *_more) = options_for(project, project.variants[0], "tapioca_pearl", foods=only)
    assert first.score > 2.0
    assert any("another texture: flour instead of starch pearls" in loss for loss in first.losses)


def test_a_food_of_the_library_is_offered_and_one_whose_texture_is_not_known_says_so() -> None:
    mine = replace(TABLE["oat_drink"], id="mine", name="oat drink of the farm", contains=("gluten_oats",))
    strange = replace(TABLE["soya_drink"], id="strange", name="white stuff", group="", contains=())
    project = _recipe(("milk_whole", 300.0), ("maize_meal_fine", 400.0))
    choice = {**TABLE, "mine": mine, "strange": strange}
    options = options_for(project, project.variants[0], "milk_whole", PLANT_BASED, choice, most=60)
    found = {option.foods: option for option in options}
    assert any(foods[0] == "mine" for foods in found)
    of_strange = [option for foods, option in found.items() if foods[0] == "strange"]
    assert of_strange
    assert all("it is not known whether it feels the same" in option.losses for option in of_strange)
    assert min(option.score for option in of_strange) > max(o.score for k, o in found.items() if k[0] == "mine")


def test_a_food_called_so_of_another_texture_is_not_taken_for_the_usual_one() -> None:
    dried = replace(TABLE["maple_syrup"], id="dried", name="maple syrup, dried to a powder")
    liquid = replace(TABLE["maple_syrup"], id="liquid", name="maple syrup of the neighbour")
    project = _recipe(("honey", 100.0), ("maize_meal_fine", 400.0))
    choice = {**TABLE, "dried": dried, "liquid": liquid}
    usual = {o.foods[0]: o for o in options_for(project, project.variants[0], "honey", None, choice, most=60)[::-1]}
    assert "thinner" in " ".join(usual["liquid"].trials).casefold()
    assert "dried" not in usual or "thinner" not in " ".join(usual["dried"].trials).casefold()


def test_the_first_options_are_not_all_of_one_kind() -> None:
    project = _recipe(("milk_whole", 100.0), ("maize_meal_fine", 400.0))
    options = options_for(project, project.variants[0], "milk_whole", most=3)
    assert len({option.parts[0].food.group for option in options}) > 1, "three plant drinks would be nearest"


def test_what_thickens_already_counts_with_what_comes_in() -> None:
    """Of 1000 g batch 30 g husk at most; 200 g egg become 12 g husk, and 25 g are there already."""
    without_husk = (("maize_meal_fine", 775.0), ("egg_whole", 200.0))
    for more, offered in (((), True), ((("psyllium_husk", 25.0),), False)):
        project = _recipe(*without_husk, *more)
        options = options_for(project, project.variants[0], "egg_whole", most=60)
        assert (("psyllium_husk", "water") in [option.foods for option in options]) is offered


# --- what is to be avoided stays with the variant ---------------------------------------------------------------------


def test_of_two_alike_the_one_whose_allergens_are_stated_is_nearer() -> None:
    stated = replace(TABLE["oat_drink"], id="b_stated", name="drink one", contains=())
    silent = replace(stated, id="a_silent", name="drink two", contains=None)
    project = _recipe(("oat_drink", 300.0), ("maize_meal_fine", 400.0))
    options = options_for(
        project, project.variants[0], "oat_drink", foods={"a_silent": silent, "b_stated": stated}, most=9
    )
    assert [option.foods for option in options] == [("b_stated",), ("a_silent",)]


def test_what_was_taken_out_is_watched_in_the_new_variant() -> None:
    first = without(SQUARE, SQUARE.variants[0], PLANT_BASED).proposals[0]
    assert first.after.variant.avoid == PLANT_BASED
    kept = replace(SQUARE, avoid=PLANT_BASED)
    again = without(kept, kept.variants[0], PLANT_BASED).proposals[0]
    assert again.after.variant.avoid is None, "the project says it already"


def test_nothing_comes_in_that_the_project_avoids_anyway() -> None:
    kept = replace(SQUARE, avoid=avoiding(allergens=("coconut",), foods={"rapeseed_oil": "rapeseed oil"}))
    for proposal in without(kept, kept.variants[0], PLANT_BASED).proposals:
        coming = {part.food.id for option in proposal.options for part in option.parts}
        assert not coming & {"coconut_oil", "coconut_cream", "rapeseed_oil"}


def test_sentences_of_the_data_are_translated(monkeypatch: pytest.MonkeyPatch) -> None:
    class Louder(gettext.NullTranslations):
        def gettext(self, message: str) -> str:
            return message.upper() if "{" not in message else message

    monkeypatch.setattr(text, "_catalogue", Louder())
    option = next(
        o
        for o in options_for(SQUARE, SQUARE.variants[0], "butter", PLANT_BASED, most=40)
        if o.foods == ("coconut_oil",)
    )
    assert option.trials[0].startswith("CHILL ONE PIECE AND LEAVE ONE WARM")
    assert "TASTES DIFFERENT" in option.losses
