"""Worked declarations: order, added water, compound ingredients, percentages, emphasis, what may be said of origin."""

import msgspec
import pytest

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from workbench.base.errors import CalculationError
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.document.project import Stage, Typical, WaterLost, Weighed
from workbench.recipe.allergens import Rules
from workbench.recipe.composite import composite_food
from workbench.recipe.ingredient_list import ingredient_list
from workbench.recipe.list_words import emphasised, plain
from workbench.recipe.pack_statement import PackStatement, pack_statement

WATER = make_food("water", {"WATER": 99.9}, origin="mineral", contains=())
MAIZE = make_food("maize", {"WATER": 11.0}, name="maize meal, fine", origin="plant", contains=(), typical_yield=3.0)
OATS = make_food("oats", {"WATER": 9.0}, origin="plant", contains=("gluten_oats",), may_contain=("gluten_wheat",))
BUTTER = make_food("butter", {"WATER": 16.0}, origin="dairy", contains=("milk",))
SULTANAS = make_food("sultanas", {"WATER": 16.0}, origin="plant", contains=("sulphites",))
SALT = make_food("salt", {"WATER": 0.2}, origin="mineral", contains=())
SYRUP = make_food("syrup", {"WATER": 20.0}, name="wheat glucose syrup", origin="plant", contains=("gluten_wheat",))
COCONUT = make_food(
    "coconut", {"WATER": 3.0}, origin="plant", contains=("coconut",), may_contain=("coconut", "sulphites")
)
UNSAID = make_food("spread", {"WATER": 16.0}, name="spread of one's own")


def said(*parts: tuple[Food, float], weight: object = None, **options: object) -> PackStatement:
    lines = [make_line(food, grams) for food, grams in parts]
    project = make_project([food for food, _g in parts], make_variant(*lines, weight=weight))  # type: ignore[arg-type]
    return pack_statement(project, evaluated(project), **options)  # type: ignore[arg-type]


def names(statement: PackStatement) -> list[str]:
    return [part.name for part in statement.parts]


def test_descending_weight_at_mixing_however_much_cooks_off() -> None:
    statement = said((SALT, 4.0), (MAIZE, 300.0), (SULTANAS, 350.0), weight=WaterLost(amount=60.0))
    assert names(statement) == ["sultanas", "maize meal, fine", "salt"]


@pytest.mark.parametrize(
    ("finished_g", "left_g", "place"),
    [
        (1200.0, 800.0, 0),  # 1200 less 400 g of the others
        (600.0, 200.0, 1),
        (422.0, 22.0, 2),  # 5.2 %: has to be named
        (421.0, None, None),  # 4.99 %: need not be
        (380.0, None, None),  # less than the others weigh: all of it is gone
    ],
)
def test_added_water_counts_by_what_is_left_in_the_finished_food(
    finished_g: float, left_g: float | None, place: int | None
) -> None:
    """Annex VII, part A, 1: the finished weight less the other ingredients; up to 5 % it may be left out."""
    statement = said((WATER, 800.0), (MAIZE, 300.0), (BUTTER, 100.0), weight=Weighed(in_g=1200.0, out_g=finished_g))
    if place is None:
        assert "water" not in names(statement)
    else:
        assert names(statement)[place] == "water"
        assert statement.parts[place].mass_g == pytest.approx(left_g)


def test_water_that_was_taken_up_without_being_entered_is_named() -> None:
    """100 g meal of a typical yield of 3 hold 200 g water in the end."""
    statement = said((MAIZE, 100.0), weight=Typical())
    assert [(part.name, round(part.mass_g)) for part in statement.parts] == [("water", 200), ("maize meal, fine", 100)]


def test_a_compound_ingredient_is_opened_in_its_own_order() -> None:
    """300 g maize and 900 g water boiled to 1000 g; 250 g of it: listed by its weight as used, with its own water."""
    porridge = make_variant(
        make_line(MAIZE, 300.0),
        make_line(WATER, 900.0),
        weight=Weighed(in_g=1200.0, out_g=1000.0),
        id="p",
        name="porridge",
    )
    bar = make_variant(make_line(porridge, 250.0), make_line(OATS, 260.0), make_line(SALT, 5.0), id="bar")
    project = make_project([MAIZE, WATER, OATS, SALT], porridge, bar, title="pieces")
    statement = pack_statement(project, evaluated(project, "bar"), title="oat pieces")
    assert plain(statement.ingredients) == "OATS 50 %; porridge (water; maize meal, fine); salt"
    (inner, _maize) = statement.parts[1].inside
    assert (inner.mass_g, inner.percent) == pytest.approx((700.0, 70.0)), "of the porridge"


def bundled(key: str, **facts: object) -> Food:
    return msgspec.structs.replace(bundled_foods()[key], **facts)


SINGLE = bundled("maize_meal_fine")
SPREAD = make_food(
    "spread",
    {"WATER": 1.0},
    name="cocoa spread",
    origin="plant",
    contains=("hazelnut", "milk", "soya"),
    made_of=" sugar, palm oil, hazelnuts 13 %,\n skimmed milk powder, emulsifier (lecithin). ",
)


def test_a_compound_ingredient_is_opened_as_its_pack_lists_it_with_allergens_where_they_are_named() -> None:
    """Annex VII, part E, 1, and Article 21(1)(b); soya is named nowhere in the list, so it follows the name."""
    statement = said((OATS, 200.0), (SPREAD, 40.0))
    spread = "cocoa spread (SOYA) (sugar, palm oil, HAZELNUTS 13 %, skimmed MILK powder, emulsifier (lecithin))"
    assert plain(statement.ingredients) == f"OATS; {spread}"
    assert statement.closed == ("oats",), "it came from a pack too, and nobody typed its list"


@pytest.mark.parametrize(
    ("key", "grams", "rules", "exempt"),
    [
        ("chocolate_dark", 1.9, "eu", True),
        ("chocolate_dark", 2.0, "eu", False),  # of 100 g: not less than 2 %
        ("chocolate_dark", 1.9, "us", False),  # 21 CFR 101.4(b)(2) knows no lower limit
        ("baking_powder", 1.0, "eu", False),  # no act lays its composition down
        ("jam_apricot", 1.0, "eu", True),  # Directive 2001/113/EC
    ],
)
def test_below_two_percent_a_composition_laid_down_by_law_need_not_be_opened(
    key: str, grams: float, rules: Rules, exempt: bool
) -> None:
    food = bundled(key)
    statement = said((SINGLE, 100.0 - grams), (food, grams), rules=rules)
    assert statement.closed == (() if exempt else (food.name,))
    assert any(text.startswith(food.name) and "2 %" in text for text in statement.exempt) is exempt
    opened = said((SINGLE, 100.0 - grams), (msgspec.structs.replace(food, made_of="a, b"), grams), rules=rules)
    assert "(a, b)" in plain(opened.ingredients) and opened.closed == ()


def test_a_food_from_a_pack_may_be_compound_until_its_list_is_entered() -> None:
    own = make_food("own", {"CHOAVLDF": 60.0}, name="fig syrup", contains=())  # values from a label
    assert said((own, 10.0)).closed == ("fig syrup",)
    alone = said((msgspec.structs.replace(own, made_of="Fig syrup."), 10.0))
    assert alone.closed == () and plain(alone.ingredients) == "fig syrup"


@pytest.mark.parametrize(
    ("made_of", "named"),
    [("sugar, whey powder (milk), wheat starch", "wheat, milk"), ("sugar, coconut milk, buckwheat, cocoa butter", "")],
)
def test_an_allergen_that_only_the_typed_list_names_is_told(made_of: str, named: str) -> None:
    statement = said((msgspec.structs.replace(SPREAD, contains=(), made_of=made_of), 40.0))
    doubts = [note for note in statement.notes if note.startswith("Check “cocoa spread”")]
    assert doubts == ([f"Check “cocoa spread”: its list names {named}, its allergens do not."] if named else [])


def test_a_composite_opens_by_the_lines_of_its_variant() -> None:
    jam = make_variant(make_line(SULTANAS, 60.0), make_line(BUTTER, 5.0), make_line(SALT, 1.0), id="j", name="jam")
    project = make_project([SULTANAS, BUTTER, SALT], jam)
    food = composite_food(project, project.variant("j"), "own-jam")
    statement = said((OATS, 100.0), (food, 50.0))
    assert plain(statement.ingredients) == "OATS; jam (sultanas (SULPHITES); butter (MILK); salt)"


def test_inside_a_variant_the_same_law_holds() -> None:
    """Oats are no allergen of US law, inside a compound ingredient either."""
    base = make_variant(make_line(OATS, 10.0), make_line(BUTTER, 5.0), id="b", name="base")
    bar = make_variant(make_line(base, 50.0), make_line(MAIZE, 60.0), id="bar")
    project = make_project([OATS, BUTTER, MAIZE], base, bar)
    statement = pack_statement(project, evaluated(project, "bar"), rules="us")
    assert plain(statement.ingredients) == "maize meal, fine; base (oats; butter (MILK))"


def test_below_two_percent_means_of_the_whole_food() -> None:
    """Half of the bar is a base of which 3 % is jam: 1.5 % of the bar.  Directive 2001/113/EC lays jam down."""
    jam = bundled("jam_apricot")
    base = make_variant(make_line(OATS, 97.0), make_line(jam, 3.0), id="b", name="base")
    for grams, exempt in ((100.0, True), (20.0, False)):
        bar = make_variant(make_line(base, 100.0), make_line(MAIZE, grams), id="bar")
        project = make_project([OATS, jam, MAIZE], base, bar)
        statement = pack_statement(project, evaluated(project, "bar"), rules="eu")
        assert any(text.startswith(jam.name) for text in statement.exempt) is exempt
        assert (jam.name in statement.closed) is not exempt


def test_percentages_by_weight_at_mixing_in_percent_of_the_finished_food() -> None:
    """A county's advice to bakers: 800 g dough and 200 g sultanas weigh 800 g when baked, so 25 % sultanas."""
    dough = make_food("dough", {"WATER": 40.0}, origin="plant", contains=("gluten_wheat",))
    statement = said((dough, 800.0), (SULTANAS, 200.0), weight=Weighed(in_g=1000.0, out_g=800.0), title="sultana cake")
    assert plain(statement.ingredients) == "dough (WHEAT); sultanas (SULPHITES) 25 %"


def test_above_a_hundred_percent_grams_are_printed() -> None:
    """Annex VIII, 3(a): 118 g fruit dried into 100 g food."""
    statement = said((SULTANAS, 118.0), weight=Weighed(in_g=118.0, out_g=100.0), percent_of=["sultanas"])
    assert plain(statement.ingredients) == "sultanas (SULPHITES) (118 g per 100 g)"


def test_percentages_only_where_chosen() -> None:
    statement = said((MAIZE, 300.0), (BUTTER, 100.0), title="maize squares", percent_of=["butter"])
    assert plain(statement.ingredients) == "maize meal, fine; butter (MILK) 25 %"


@pytest.mark.parametrize(
    ("name", "allergens", "shown"),
    [
        ("oats, rolled", ("gluten_oats",), "OATS, rolled"),
        ("buckwheat flour", ("gluten_wheat",), "buckwheat flour (WHEAT)"),  # another plant inside the word
        ("butter", ("milk",), "butter (MILK)"),
        ("peanut butter", ("peanut",), "PEANUT butter"),
        ("soy sauce (soya and wheat)", ("gluten_wheat", "soya"), "SOY sauce (SOYA and WHEAT)"),
        ("coconut milk", (), "coconut milk"),
        ("pesto", ("cashew", "milk"), "pesto (CASHEW, MILK)"),
    ],
)
def test_allergens_stand_out_in_the_name_or_follow_it(name: str, allergens: tuple[str, ...], shown: str) -> None:
    assert plain(emphasised(name, allergens)) == shown


def test_what_is_exempt_is_said_and_not_emphasised() -> None:
    statement = said((SYRUP, 100.0), (OATS, 50.0))
    assert plain(statement.ingredients) == "wheat glucose syrup; OATS"
    assert statement.contains == ("cereals containing gluten (oats)",)
    assert statement.may_contain == ("wheat (gluten)",), "the oats may still hold wheat"
    assert len(statement.exempt) == 1 and "wheat glucose syrup" in statement.exempt[0]


def test_the_united_states_name_wheat_and_not_oats_and_collect_the_small_ones() -> None:
    statement = said((SYRUP, 100.0), (OATS, 50.0), (SALT, 1.0), (COCONUT, 60.0), rules="us")
    assert plain(statement.ingredients) == "WHEAT glucose syrup; coconut; oats; contains 2 % or less of: salt"
    assert statement.contains == ("wheat",)
    assert statement.watched == ("coconut",)
    assert statement.left_out == ("oats (gluten)",)
    assert "coconut" not in statement.may_contain


def test_origin_is_only_claimed_where_all_of_it_is_stated() -> None:
    assert said((MAIZE, 100.0), (SALT, 1.0)).origin == "no animal ingredient entered"
    unsure = said((MAIZE, 100.0), (UNSAID, 10.0))
    assert unsure.origin == "origin not stated for: spread of one's own"
    assert unsure.not_stated == ("spread of one's own",)
    assert "butter" in said((BUTTER, 1.0)).origin


def test_a_recipe_with_gaps_has_no_declaration() -> None:
    lost = make_project([], make_variant(make_line(MAIZE, 100.0)))
    with pytest.raises(CalculationError, match="cannot be listed"):
        pack_statement(lost, evaluated(lost))


def test_without_a_valid_result_allergens_are_still_named() -> None:
    """More water cooked out than there is: no list by weight, no figures, but what is inside is known."""
    statement = said((BUTTER, 100.0), weight=WaterLost(amount=90.0))
    assert statement.parts == ()
    assert statement.contains == ("milk",)
    assert all(line.printed is None for line in statement.per_100g)


def test_lines_of_one_food_in_two_stages_are_one_ingredient() -> None:
    stages = (Stage(id="s1"), Stage(id="s2"))
    lines = [make_line(MAIZE, 60.0), make_line(BUTTER, 100.0), make_line(MAIZE, 70.0, "again")]
    lines[2] = msgspec.structs.replace(lines[2], stage_id="s2")
    project = make_project([MAIZE, BUTTER], make_variant(*lines, stages=stages))
    assert [(p.name, p.mass_g) for p in ingredient_list(project, evaluated(project))] == [
        ("maize meal, fine", 130.0),
        ("butter", 100.0),
    ]
