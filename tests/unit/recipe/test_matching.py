"""Replacing an ingredient so that it brings the same amount of something, or a plain reason why that cannot be."""

import pytest

from tests.support import NO_RULES, bundled_by_code, evaluated, make_food, make_line, make_project, make_variant
from workbench.base.errors import CalculationError
from workbench.composition.food import Food
from workbench.document.line_edits import replace_food
from workbench.document.project import Project
from workbench.recipe.matching import matching_grams
from workbench.recipe.preparation import prepare

FIRM = make_food("firm", {"WATER": 16, "FAT": 80, "PROCNT": 1, "CHOAVLDF": 0, "FIBTG": 0})
SOFT = make_food("soft", {"WATER": 60, "FAT": 20, "CHOAVLDF": 0, "FIBTG": 0})
PIT = make_food("pit", {"WATER": 50, "FAT": 40}, edible_fraction=0.5)


def matched(food: Food, key: str, grams: float = 50.0, **facts: object) -> tuple[float, Project]:
    project = make_project([FIRM], make_variant(make_line(FIRM, grams, "a", **facts)), assumptions=NO_RULES)
    edit = replace_food(project, "v", "a", food, grams)
    before, after = (prepare(p, p.variants[0]) for p in (project, edit.project))
    found = matching_grams(before, after, 0, grams, key)
    return found, replace_food(project, "v", "a", food, found).project


def test_the_other_ingredient_brings_the_same() -> None:
    grams, project = matched(SOFT, "FAT")
    assert grams == pytest.approx(50 * 80 / 20)
    assert evaluated(project).bound("FAT", "batch").value == pytest.approx(40)


def test_the_part_that_is_eaten_counts() -> None:
    """Half of it is trimmed off, so twice as much is bought; common practice, no source."""
    grams, project = matched(PIT, "FAT", as_bought=True)
    assert grams == pytest.approx(50 * 80 / (40 * 0.5))
    assert evaluated(project).bound("FAT", "batch").value == pytest.approx(40)


def test_butter_and_rapeseed_oil_by_fat() -> None:
    """USDA SR26: butter without salt (1145) holds 81.11 g fat in 100 g, canola oil (4582) 100 g."""
    butter, oil = bundled_by_code("1145"), bundled_by_code("4582")
    project = make_project([butter], make_variant(make_line(butter, 100.0, "a")))
    after = replace_food(project, "v", "a", oil, 100.0).project
    before = prepare(project, project.variants[0])
    grams = matching_grams(before, prepare(after, after.variants[0]), 0, 100.0, "FAT")
    assert grams == pytest.approx(81.11)


@pytest.mark.parametrize(
    ("food", "key", "grams", "reason"),
    [
        (SOFT, "PROCNT", 50.0, "protein of soft is not known exactly"),
        (SOFT, "CHOAVLDF", 50.0, "firm holds no carbohydrate"),
        (make_food("thin", {"FAT": 0.001}), "FAT", 50_000.0, "It would take 4000000 kg of thin"),
        (make_food("lean", {"FAT": 0}), "FAT", 50.0, "lean holds no fat"),
        (SOFT, "FAT", 0.0, "nothing to match"),
        (SOFT, "K", 50.0, "potassium of firm is not known exactly"),
    ],
)
def test_a_plain_reason_where_nothing_can_be_matched(food: Food, key: str, grams: float, reason: str) -> None:
    with pytest.raises(CalculationError, match=reason) as raised:
        matched(food, key, grams)
    assert raised.value.hint
