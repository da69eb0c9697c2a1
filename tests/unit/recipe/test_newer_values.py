"""Newer values: what a project's copies and today's table do not agree on, and what taking it does.

The older copies are made from today's rows of the bundled table; figures of the rows are those of USDA SR26.
"""

from typing import Any

import pytest
from msgspec.structs import replace

from tests.support import make_food, make_line, make_project, make_variant
from workbench.base import paths
from workbench.composition.bundled import bundled_foods, row_hash
from workbench.composition.food import Food, Pack, TakenFrom, Value
from workbench.composition.library.store import Library
from workbench.document.edits import take_newer
from workbench.document.project import FinalWater, Project, Target, TargetSet
from workbench.recipe.newer_values import effects, find_newer, find_newer_here, taken
from workbench.recipe.newer_words import effect_texts, food_change_texts, newer_food_text, newer_summary

FIGS, OATS = bundled_foods()["figs_dried"], bundled_foods()["oats_rolled"]


def copied(food: Food, *, at: str = "2020.1") -> Food:
    """``food`` as a project keeps it that took it as it is."""
    assert food.taken_from is not None
    return replace(food, taken_from=replace(food.taken_from, table_version=at, row_hash=row_hash(food)))


def older(food: Food, values: dict[str, float | None], **facts: Any) -> Food:
    """A copy from when the table said something else; None = it said nothing."""
    said = {tag: replace(food.values[tag], value=x) for tag, x in values.items() if x is not None}
    kept = {tag: value for tag, value in food.values.items() if tag not in values}
    return copied(replace(food, values=kept | said, **facts))


def texts(project: Project) -> list[str]:
    return [text for one in find_newer(project).foods for _key, text in food_change_texts(one)]


def project_of(*foods: Food, **facts: Any) -> Project:
    return make_project(foods, make_variant(*(make_line(food, 100.0) for food in foods), **facts))


def test_a_copy_of_today_s_row_has_nothing_newer_nor_has_a_food_of_one_s_own() -> None:
    own = make_food("own", {"FAT": 1.0}, taken_from=TakenFrom("own"))
    newer = find_newer(project_of(copied(FIGS), OATS, own, make_food("nowhere", {})))
    assert (newer.foods, newer.gone, bool(newer)) == ((), (), False)


def test_changed_figures_are_named_with_unit_source_and_what_was_not_known() -> None:
    project = project_of(older(FIGS, {"FIBTG": 12.2, "NA": None}))
    (one,) = find_newer(project).foods
    assert texts(project) == [
        "fibre: 12.2 → 9.8 g (USDA SR26 9094)",
        "sodium: not known → 10 mg (USDA SR26 9094)",
    ]
    assert not one.edited and newer_food_text(one) == "figs, dried: 2 figures"
    assert newer_summary(find_newer(project)).startswith("1 ingredient has newer values")


def test_another_source_of_the_same_figure_and_a_figure_that_is_withdrawn() -> None:
    before = dict(FIGS.values)
    before["FAT"] = replace(before["FAT"], code="1", source="my notes")
    before["POLYL"] = Value(3.0, "typical", "my notes")
    (one,) = find_newer(project_of(copied(replace(FIGS, values=before)))).foods
    assert [text for _key, text in food_change_texts(one)] == [
        "fat: 0.93 g (my notes 1 → USDA SR26 9094)",
        "polyols: 3 → not known (my notes → no source)",
    ]
    assert newer_food_text(one) == "figs, dried: 1 figure, 1 source"


def test_allergens_and_other_facts_are_newer_values_too() -> None:
    project = project_of(
        older(FIGS, {}, contains=None, may_contain=("milk",), edible_fraction=0.5, origin="unknown", gut=("lactose",))
    )
    assert texts(project) == [
        "origin: origin not stated → plant",
        "contains: not stated → none",
        "may contain: milk → none",
        "for a sensitive gut or sleep: lactose → none",
        "edible share of the weight as bought: 0.5 → 1",
    ]


def test_a_copy_changed_by_hand_is_newer_only_if_its_row_changed_too_and_is_never_taken_unasked() -> None:
    mine = replace(copied(FIGS), values=FIGS.values | {"FAT": Value(5.0, "label")})
    assert not find_newer(project_of(mine))
    both = older(FIGS, {"FIBTG": 12.2})
    both = replace(both, values=both.values | {"FAT": Value(5.0, "label")})
    newer = find_newer(project_of(both))
    (one,) = newer.foods
    assert one.edited and "changed by hand" in newer_food_text(one)
    assert taken(newer) == ()
    assert [food.values["FAT"].value for food in taken(newer, ["figs_dried"])] == [0.93]
    unstamped = replace(mine, taken_from=TakenFrom("bundled", key="figs_dried"))  # nobody can tell: to be safe
    assert [one.edited for one in find_newer(project_of(unstamped)).foods] == [True]


def test_a_row_that_is_gone_is_named_and_stays() -> None:
    lost = replace(copied(FIGS), taken_from=TakenFrom("bundled", key="no such row", row_hash="0"))
    newer = find_newer(project_of(lost))
    assert (newer.foods, newer.gone, bool(newer)) == ((), (lost,), False)


def test_copies_from_a_library_are_compared_only_with_a_library_at_hand() -> None:
    row = make_food("jam", {"WATER": 30.0}, taken_from=TakenFrom("library", key="jam", row_hash="0"))
    copy = replace(row, taken_from=TakenFrom("library", key="jam", row_hash=row_hash(row)))
    today = make_food("jam", {"WATER": 33.0})
    project = project_of(copy)
    assert find_newer(project) == ((), (), ())
    assert [one.values[0].after for one in find_newer(project, {"jam": today}.get).foods] == [today.values["WATER"]]
    assert find_newer(project, {}.get).gone == (copy,)


def test_taking_keeps_id_and_prices_and_is_the_table_s_row_in_all_else() -> None:
    pack = Pack(500.0, 4.0, "EUR", "2026-03-01")
    mine = replace(older(FIGS, {"FIBTG": 12.2}), id="f1", packs=(pack,))
    project = project_of(mine)
    (food,) = taken(find_newer(project))
    assert food == replace(FIGS, id="f1", packs=(pack,))
    edit = take_newer(project, (food,))
    assert edit.words == "take newer values of figs, dried"
    assert edit.project == replace(project, foods={"f1": food})
    assert not find_newer(edit.project)
    assert take_newer(project, (food, OATS)).words == "take newer values of 2 ingredients"


def test_a_price_kept_in_the_library_reaches_what_the_project_has_already() -> None:
    """500 g of figs for 4 EUR: 100 g cost 0.80 EUR."""
    pack = Pack(500.0, 4.0, "EUR", "2026-03-01")
    mine = replace(copied(FIGS), values=FIGS.values | {"FAT": Value(5.0, "label")})
    project = project_of(mine)
    with Library.open() as library:
        library.put(replace(FIGS, packs=(pack,)))
    (one,) = find_newer_here(project).foods
    assert newer_food_text(one) == "figs, dried: price"
    assert [text for _key, text in food_change_texts(one)] == ["packs and prices: none → 500 g   4.00 EUR   2026-03-01"]
    edit = take_newer(project, taken(find_newer_here(project)))
    assert edit.project.foods == {mine.id: replace(mine, packs=(pack,))}, "what was changed by hand stays"
    (effect,) = effects(project, edit.project)
    assert dict(effect_texts(effect)) == {"cost": "cost: not known → 0.80 EUR"}
    assert not find_newer_here(edit.project)


def test_effects_are_worked_out_for_the_variants_that_hold_it_at_any_depth() -> None:
    """A batch of 100 g figs: 12.2 g fibre before, 9.8 g after; the third variant holds none."""
    mine = older(FIGS, {"FIBTG": 12.2})
    target = Target(id="t", quantity="FIBTG", high=10.0)
    first = make_variant(make_line(mine, 100.0), id="first", name="Original", target_set_id="set")
    second = make_variant(make_line(first, 100.0), id="second", name="Layered")
    third = make_variant(make_line(OATS, 100.0), id="third", name="Race")
    project = make_project(
        [mine, OATS], first, second, third, target_sets=(TargetSet(id="set", name="low", targets=(target,)),)
    )
    found = effects(project, take_newer(project, taken(find_newer(project))).project)
    assert [effect.variant.name for effect in found] == ["Original", "Layered"]
    words = dict(effect_texts(found[0]))
    assert words["FIBTG"] == "fibre: 12.2 g → 9.8 g"
    assert words["target t"] == "target fibre per piece: over → met"
    assert "FAT" not in words
    assert dict(effect_texts(found[1]))["FIBTG"] == "fibre: 12.2 g → 9.8 g"


def test_figures_that_stay_as_they_are_written_are_no_effect() -> None:
    mine = older(FIGS, {"FIBTG": FIGS.values["FIBTG"].value + 0.001})
    project = project_of(mine)
    newer = find_newer(project)
    assert newer
    assert effects(project, take_newer(project, taken(newer)).project) == ()


@pytest.mark.parametrize("back", [False, True])
def test_a_result_that_comes_or_goes_is_an_effect(back: bool) -> None:
    """A stage with a final water cannot be worked out without the water of an ingredient."""
    mine = older(FIGS, {"WATER": None})
    project = project_of(mine, weight=FinalWater(percent=10.0))
    after = take_newer(project, taken(find_newer(project))).project
    (effect,) = effects(after, project) if back else effects(project, after)
    ((_key, words),) = effect_texts(effect)
    assert ("figs" in words and words.startswith("✕")) if back else words.startswith("there is a result then")


def test_the_user_s_own_library_is_asked_for_what_was_taken_from_it() -> None:
    with Library.open() as library:
        library.put(make_food("seed_butter", {"FAT": 50.0}))
        taken_in = library.food("seed_butter")
        assert taken_in is not None
        project = project_of(taken_in)
        assert not find_newer_here(project)
        library.put(make_food("seed_butter", {"FAT": 54.0}))
    (newer,) = find_newer_here(project).foods
    assert newer.today.values["FAT"].value == 54.0
    paths.library().write_bytes(b"this is no library")
    unread = find_newer_here(project)
    assert not unread, "what cannot be read says nothing of newer values"
    assert [problem.code for problem in unread.problems] == ["without_library"]
