"""Every finding of an evaluation: when it is made, when it is not, and what it says."""

import pytest

from tests.support import NO_RULES, evaluated, evaluation_of, make_food, make_line, make_project, make_variant, without
from workbench.base.errors import Problem
from workbench.document.project import (
    ByWeight,
    FinalWater,
    Loss,
    Stage,
    Typical,
    Variant,
    WaterLost,
    Weighed,
)

RICE = make_food("rice", {"WATER": 13.0, "FAT": 0.5, "CHOCDF": 80.0}, typical_yield=2.8)
WATER = make_food("water", {"WATER": 100.0})
BUTTER = make_food("butter", {"WATER": 16.0, "FAT": 80.0, "PROCNT": 1.0})


def codes(problems: tuple[Problem, ...]) -> list[str]:
    return [problem.code for problem in problems]


def test_a_sound_recipe_has_none() -> None:
    assert evaluation_of([(100.0, RICE), (200.0, WATER)], Weighed(in_g=300.0, out_g=270.0)).problems == ()


def test_more_water_leaves_than_is_there() -> None:
    result = evaluation_of([(100.0, RICE)], WaterLost(amount=13.5))
    assert codes(result.problems) == ["negative_water"]
    sentence = result.problems[0].sentence()
    assert sentence.startswith("variant “test”, stage “cook”: 0.5 g more water leaves than is there.")
    assert not result.valid


def test_a_later_stage_cannot_make_good_for_it() -> None:
    stages = (Stage(id="s1", name="toast", weight=WaterLost(amount=20.0)), Stage(id="s2", name="soak"))
    variant = make_variant(make_line(RICE, 100.0), make_line(WATER, 100.0, stage_id="s2"), stages=stages)
    result = evaluated(make_project([RICE, WATER], variant))
    assert not result.valid
    assert [problem.where[-1].name for problem in result.problems] == ["toast"]


def test_a_stage_without_a_name_goes_by_its_number() -> None:
    variant = make_variant(make_line(RICE, 100.0), stages=(Stage(id="s1", weight=WaterLost(amount=50.0)),))
    result = evaluated(make_project([RICE], variant))
    assert result.problems[0].place == "variant “test”, stage “1”"


def test_unknown_water_may_be_enough() -> None:
    """A food whose water is not known may be all water: that is no error yet."""
    result = evaluation_of([(100.0, without(RICE, "WATER"))], WaterLost(amount=50.0))
    assert result.valid
    assert result.bound("WATER", "batch").low == 0.0


@pytest.mark.parametrize("parts", [[], [(0.0, RICE)], [(100.0, WATER)]])
def test_nothing_is_left(parts: list) -> None:  # type: ignore[type-arg]
    result = evaluation_of(parts, WaterLost(amount=100.0, unit="%"))
    assert "no_weight" in codes(result.problems)
    assert not result.valid


def test_final_water_needs_the_water_of_every_ingredient_with_weight() -> None:
    blank = make_food("paste", {"FAT": 10.0})
    result = evaluation_of([(100.0, RICE), (50.0, blank)], FinalWater(percent=50.0))
    assert codes(result.problems) == ["water_unknown"]
    assert "that of paste is not known" in result.problems[0].sentence()
    assert not result.valid
    assert evaluation_of([(100.0, RICE), (0.0, blank)], FinalWater(percent=50.0)).valid, "a line of 0 g does not count"


def test_final_water_looks_only_at_what_is_in_the_pot() -> None:
    blank = make_food("paste", {"FAT": 10.0})
    stages = (Stage(id="s1", weight=FinalWater(percent=60.0)), Stage(id="s2"))
    variant = make_variant(make_line(RICE, 100.0), make_line(blank, 50.0, stage_id="s2"), stages=stages)
    assert evaluated(make_project([RICE, blank], variant)).valid


def test_weighed_at_other_amounts() -> None:
    def weighed(rice_g: float, water_g: float, then: dict[str, float] | None = None) -> list[str]:
        amounts = then or {"rice": 100.0, "water": 200.0}
        choice = Weighed(in_g=300.0, out_g=270.0, amounts=amounts)
        variant = make_variant(make_line(RICE, rice_g), make_line(WATER, water_g), weight=choice)
        return [p.message for p in evaluated(make_project([RICE, WATER], variant)).problems]

    assert weighed(100.0, 200.0) == weighed(250.0, 500.0) == [], "a bigger batch is the same batch"
    assert weighed(103.0, 197.0) == [], "less than a tenth"
    assert weighed(150.0, 150.0) == ["weighed at other amounts: rice was 33 % of the batch then and is 50 % now."]
    assert weighed(100.0, 200.0, {"rice": 100.0, "water": 200.0, "gone": 100.0}) == [
        "weighed at other amounts: an ingredient that is gone was 25 % of the batch then and is 0 % now."
    ]


def test_a_pinch_more_salt_is_not_another_batch() -> None:
    salt = make_food("salt", {"WATER": 0.0})
    then = Weighed(in_g=302.0, out_g=270.0, amounts={"rice": 100.0, "water": 200.0, "salt": 2.0})
    variant = make_variant(make_line(RICE, 100.0), make_line(WATER, 200.0), make_line(salt, 4.0), weight=then)
    assert evaluated(make_project([RICE, WATER, salt], variant)).problems == ()


def test_cooking_water_that_does_not_fit_what_the_grain_takes_up() -> None:
    def typical(water_g: float) -> list[str]:
        lines = make_line(RICE, 100.0), make_line(WATER, water_g, cooking_water=True)
        return [
            p.message for p in evaluated(make_project([RICE, WATER], make_variant(*lines, weight=Typical()))).problems
        ]

    assert typical(180.0) == typical(170.0) == typical(230.0) == []
    assert typical(400.0) == [
        "400 g cooking water are entered, the typical weights take up 180 g; the rest counts as boiled off."
    ]
    assert typical(100.0) == ["the typical weights take up 180 g water, 100 g cooking water are entered."]


def test_a_piece_heavier_than_the_batch() -> None:
    heavy = evaluation_of([(100.0, RICE)], portioning=ByWeight(piece_g=150.0))
    assert codes(heavy.problems) == ["piece_heavier_than_batch"]
    assert heavy.valid, "a warning: per 100 g is still true"
    assert heavy.portions.whole_pieces == 0
    assert evaluation_of([(100.0, RICE)], portioning=ByWeight(piece_g=100.0)).problems == ()


def test_an_ingredient_that_the_project_does_not_hold() -> None:
    result = evaluated(make_project([RICE], make_variant(make_line(RICE, 100.0), make_line(BUTTER, 10.0))))
    assert codes(result.problems) == ["food_missing"]
    assert result.problems[0].place == "variant “test”, ingredient line “butter”"
    assert not result.valid


def test_a_variant_that_the_project_does_not_hold() -> None:
    result = evaluated(make_project([], make_variant(make_line(Variant(id="gone", name="gone"), 10.0))))
    assert codes(result.problems) == ["food_missing"]


def test_a_line_of_a_stage_that_does_not_exist() -> None:
    result = evaluated(make_project([RICE], make_variant(make_line(RICE, 100.0, stage_id="fry"))))
    assert codes(result.problems) == ["stage_missing"]


def test_variants_in_a_ring_are_named() -> None:
    first = make_variant(make_line(Variant(id="two", name=""), 50.0), id="one", name="bar")
    second = make_variant(make_line(Variant(id="one", name=""), 50.0), id="two", name="filling")
    result = evaluated(make_project([], first, second), "one")
    assert not result.valid
    assert "variants are made of each other in a ring: bar → filling → bar." in result.problems[0].message
    alone = evaluated(make_project([], make_variant(make_line(Variant(id="v", name=""), 50.0), name="bar")))
    assert "variants are made of each other in a ring: bar → bar." in alone.problems[0].message


def test_a_variant_without_a_valid_result_makes_its_user_invalid() -> None:
    dry = make_variant(make_line(RICE, 100.0), weight=WaterLost(amount=50.0), id="dry", name="dry")
    user = make_variant(make_line(dry, 40.0), make_line(WATER, 10.0), id="user")
    result = evaluated(make_project([RICE, WATER], dry, user), "user")
    assert codes(result.problems) == ["variant_invalid"]
    assert result.problems[0].place == "variant “test”, ingredient line “dry”"


def test_fat_of_a_variant_stays_and_so_does_its_weight() -> None:
    dough = make_variant(make_line(BUTTER, 100.0), make_line(RICE, 100.0), id="dough", name="dough")
    fried = (Stage(id="s1", name="fry", losses=(Loss(kind="fat_left", percent=10.0),)),)
    user = make_variant(make_line(dough, 200.0), make_line(BUTTER, 50.0), stages=fried, id="user")
    result = evaluated(make_project([BUTTER, RICE], dough, user), "user")
    assert codes(result.problems) == ["fat_of_variant_stays"]
    assert result.finished_g == pytest.approx(250.0 - 4.0), "10 % of the 40 g fat that come as butter"
    assert result.bound("FAT", "batch").value == pytest.approx(80.5 + 36.0)


def test_errors_come_first() -> None:
    blank = make_food("paste", {})
    lines = [make_line(RICE, 100.0), make_line(blank, 20.0)]
    stages = (Stage(id="s1", weight=Typical()), Stage(id="s2", weight=FinalWater(percent=50.0)))
    variant = make_variant(*lines, stages=stages)
    result = evaluated(make_project([RICE, blank], variant, assumptions=NO_RULES))
    assert [problem.severity for problem in result.problems] == ["error", "notice"]
