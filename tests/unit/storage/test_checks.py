"""What must fit together in a project: ids, references and figures."""

from typing import Any

import pytest

from tests.unit.storage.test_loading import decode, only_sentence, refused, sound
from workbench.composition.bundled import bundled_foods

Plain = dict[str, Any]


def _uses(variant_id: str, line_id: str = "x") -> Plain:
    return {"id": line_id, "stage_id": "mix", "food_ref": {"kind": "variant", "id": variant_id}, "amount_g": 10}


def test_ids_that_stand_twice() -> None:
    project = sound()
    race = project["variants"][0]
    race["lines"] = race["lines"] * 3
    race["stages"] = race["stages"] * 2
    project["variants"].append(dict(project["variants"][1]))
    project["target_sets"] = [{"id": "t", "name": "T", "targets": [{"id": "a", "quantity": "FAT"}] * 2}]
    project["plans"] = [{"id": "p", "name": "P", "hours": 1}] * 2
    project["trials"] = [{"id": "b", "variant_id": "r"}] * 2
    assert [problem.sentence() for problem in refused(project).problems] == [
        "the id “o” stands twice among the variants. Give one of them another id.",
        "the id “p” stands twice among the plans. Give one of them another id.",
        "the id “b” stands twice among the trials. Give one of them another id.",
        "variant “Race”: the id “l1” stands twice among the lines. Give one of them another id.",
        "variant “Race”: the id “mix” stands twice among the stages. Give one of them another id.",
        "targets “T”: the id “a” stands twice among the targets. Give one of them another id.",
    ]


def test_a_line_without_its_stage_and_a_variant_without_any_are_named() -> None:
    project = sound()
    project["variants"][0]["lines"][0]["stage_id"] = "mixx"
    project["variants"][1]["stages"] = []
    assert [problem.sentence() for problem in refused(project).problems] == [
        "variant “Race”, ingredient line “maize meal”: stage_id “mixx” is not a stage of this variant. "
        "Did you mean “mix”?",
        'variant “Original”: there is no stage. Add at least one, for example {"id": "mix", "name": "mix"}.',
    ]


def test_an_unknown_ingredient_is_named_with_the_nearest() -> None:
    project = sound()
    project["variants"][0]["lines"][0]["food_ref"]["id"] = "maele"
    assert only_sentence(project) == (
        "variant “Race”, ingredient line “maele”: the ingredient “maele” is not known. Did you mean “meal”?"
    )
    project["variants"][0]["lines"][0]["food_ref"]["id"] = "something else"
    assert only_sentence(project).endswith("Add it under “foods”, or correct the id.")


def test_a_bundled_ingredient_needs_no_snapshot() -> None:
    food = next(iter(bundled_foods().values()))
    project = sound()
    del project["foods"]
    line = project["variants"][0]["lines"][0]
    line["food_ref"] = {"kind": "bundled", "id": food.id}
    project["variants"][0]["lines"] = [line, {**line, "id": "l2"}]
    loaded = decode(project)
    assert loaded.project.foods == {food.id: food}
    assert [(problem.code, problem.severity) for problem in loaded.problems] == [("food_added", "notice")]
    line["food_ref"]["id"] = food.id + "x"
    project["variants"][0]["lines"] = [line]
    assert f"Did you mean “{food.id}”?" in only_sentence(project)


def test_a_snapshot_beats_the_bundled_table() -> None:
    food = next(iter(bundled_foods().values()))
    project = sound()
    project["foods"] = {food.id: {"id": food.id, "name": "older"}}
    project["variants"][0]["lines"][0]["food_ref"] = {"kind": "bundled", "id": food.id}
    loaded = decode(project)
    assert loaded.project.foods[food.id].name == "older"
    assert loaded.problems == ()


def test_variants_made_of_one_another() -> None:
    project = sound()
    race, original = project["variants"]
    third = {"id": "t", "name": "Third", "stages": [{"id": "mix"}], "lines": [_uses("r"), _uses("t", "y")]}
    project["variants"].append(third)
    race["lines"] += [_uses("o"), _uses("t", "y"), _uses("gone", "z")]
    original["lines"] = [_uses("t")]
    assert [problem.sentence() for problem in refused(project).problems] == [
        "variant “Race”, ingredient line “gone”: the variant “gone” is not in this project. Use one of: “r”, “o”, “t”.",
        "variant “Third”, ingredient line “Race”: variants are made of one another in a ring: "
        "Race → Original → Third → Race. Replace one of these lines by an ingredient.",
        "variant “Third”, ingredient line “Third”: variants are made of one another in a ring: "
        "Third → Third. Replace one of these lines by an ingredient.",
    ]


def test_a_variant_used_twice_is_no_ring() -> None:
    project = sound()
    project["variants"][0]["lines"] += [_uses("o"), _uses("o", "y")]
    both = [_uses("r"), _uses("o", "y")]
    project["variants"].append({"id": "t", "name": "T", "stages": [{"id": "mix"}], "lines": both})
    assert decode(project).problems == ()


def test_lost_links_are_mended_with_a_warning() -> None:
    project = sound()
    race, original = project["variants"]
    race |= {"target_set_id": "gone", "parent_id": "gone too"}
    original["parent_id"] = "t"
    project["variants"] += [
        {"id": "t", "name": "T", "stages": [{"id": "mix"}], "parent_id": "o"},
        {"id": "u", "name": "U", "stages": [{"id": "mix"}], "parent_id": "u"},
        {"id": "w", "name": "W", "stages": [{"id": "mix"}], "parent_id": "t"},
    ]
    project["plans"] = [{"id": "p", "name": "Loop", "hours": 1, "items": [{"variant_id": "x", "hour": 0, "pieces": 1}]}]
    project["trials"] = [{"id": "b", "variant_id": "x"}]
    loaded = decode(project)
    assert [(problem.place, problem.code, problem.severity) for problem in loaded.problems] == [
        ("plan “Loop”", "gone_variant", "warning"),
        ("trial batch “b”", "gone_variant", "warning"),
        ("variant “Race”", "gone_targets", "warning"),
        ("variant “Race”", "gone_parent", "warning"),
        ("variant “Original”", "parent_ring", "warning"),
        ("variant “U”", "parent_ring", "warning"),
    ]
    assert [(v.parent_id, v.target_set_id) for v in loaded.project.variants] == [
        (None, None),
        (None, None),
        ("o", None),
        (None, None),
        ("t", None),
    ]


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"id": "other"}, "its id “other” differs from its key “meal”. Make the two the same."),
        (
            {"values": {"FAT": {"value": 100.6}}},
            "values.FAT.value is 100.6; it must be between 0 and 100.5. Correct the number.",
        ),
        (
            {"values": {"FAT": {"value": -0.1}}},
            "values.FAT.value is -0.1; it must be between 0 and 100.5. Correct the number.",
        ),
        (
            {"values": {"NA": {"value": 2e5}}},
            "values.NA.value is 200000; it must be between 0 and 100500. Correct the number.",
        ),
        (
            {"values": {"FAT": {"value": 1, "sd": -1}}},
            "values.FAT.sd is -1; it must be between 0 and 100.5. Correct the number.",
        ),
        ({"limits": {"FIBTG": -1}}, "limits.FIBTG is -1; it must be between 0 and 100.5. Correct the number."),
        ({"edible_fraction": 0}, "edible_fraction is 0; it must be between 0.001 and 1. Correct the number."),
        (
            {"measures": [{"name": "cup", "grams": 0}]},
            "measures[no. 1].grams is 0; it must be between 0.001 and 1000000. Correct the number.",
        ),
        (
            {"packs": [{"size_g": 500, "price": -1}]},
            "packs[no. 1].price is -1; it must be between 0 and 1000000. Correct the number.",
        ),
        ({"contains": ["mlik"]}, "contains: “mlik” is not a known allergen. Did you mean “milk”?"),
    ],
)
def test_figures_that_no_food_can_have(change: Plain, sentence: str) -> None:
    project = sound()
    project["foods"]["meal"] |= change
    assert only_sentence(project) == f"ingredient “maize meal”: {sentence}"


def test_pure_fat_and_pure_salt_are_foods() -> None:
    """SR26 4047: fat 100 g, 862 kcal; 2047: sodium 38 758 mg."""
    project = sound()
    project["foods"]["meal"]["values"] = {
        "FAT": {"value": 100},
        "ENERC_KCAL": {"value": 902},
        "NA": {"value": 38758},
        "CAFFN": {"value": 100000},
    }
    assert decode(project).problems == ()


def test_an_unknown_component_is_kept_with_a_warning() -> None:
    project = sound()
    project["foods"]["meal"]["values"]["FIBTGG"] = {"value": 1}
    project["foods"]["meal"]["cannot_contain"] = ["CHOLE", "XYZ"]
    project["variants"][0]["lines"][0]["retention"] = {"VITX": 0.5}
    loaded = decode(project)
    assert [problem.place for problem in loaded.problems if problem.code == "unknown_component"] == [
        "ingredient “maize meal”",
        "ingredient “maize meal”",
        "variant “Race”, ingredient line “maize meal”",
    ]
    assert "Did you mean “FIBTG”?" in loaded.problems[0].sentence()
    assert loaded.project.foods["meal"].values["FIBTGG"].value == 1


def test_what_is_avoided_is_named_by_known_words() -> None:
    project = sound()
    project["avoid"] = {"allergens": ["milk", "peanuts"]}
    project["variants"][0]["avoid"] = {"gut": ["lactos"], "origins": ["diary"]}
    said = [problem.sentence() for problem in refused(project).problems]
    assert len(said) == 1
    assert said[0].startswith("variant “Race”: avoid.origins[no. 1] is “diary”, which is not known.")
    assert "Did you mean “dairy”?" in said[0]
    project["variants"][0]["avoid"] = {"gut": ["lactos"]}
    said = [problem.sentence() for problem in refused(project).problems]
    assert said == [
        "avoid.allergens[no. 2]: “peanuts” is not a known allergen. Did you mean “peanut”?",
        "variant “Race”: avoid.gut[no. 1] is “lactos”, which is not known. Did you mean “lactose”?",
    ]
