"""Two variants beside each other: what changed in the recipe, and what it did."""

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from workbench.composition.food import Food
from workbench.document.project import Line
from workbench.recipe.comparison import differences, line_changes
from workbench.recipe.words import change_text, line_change_text

BUTTER = make_food("butter", {"FAT": 81.0, "CHOAVLDF": 0.1})
OIL = make_food("coconut oil", {"FAT": 100.0, "CHOAVLDF": 0.0})
MAIZE = make_food("maize meal", {"FAT": 2.0, "CHOAVLDF": 75.0, "FIBTG": 4.0})
RICE = make_food("rice", {"FAT": 0.5, "CHOCDF": 79.0})


def changes(before: list[Line], after: list[Line]) -> list[str]:
    project = make_project(
        [BUTTER, OIL, MAIZE, RICE], make_variant(*before, id="before"), make_variant(*after, id="after")
    )
    one, other = evaluated(project, "before"), evaluated(project, "after")
    return [line_change_text(change) for change in line_changes(one, other)]


def line(food: Food, grams: float, line_id: str) -> Line:
    return make_line(food, grams, line_id)


def test_a_bigger_batch_changes_nothing() -> None:
    before = [line(MAIZE, 300.0, "a"), line(BUTTER, 100.0, "b")]
    assert changes(before, [line(MAIZE, 600.0, "a"), line(BUTTER, 200.0, "b")]) == []


def test_replaced_more_and_added() -> None:
    before = [line(MAIZE, 300.0, "a"), line(BUTTER, 100.0, "b")]
    after = [line(MAIZE, 300.0, "a"), line(OIL, 60.0, "b"), line(RICE, 40.0, "c")]
    assert changes(before, after) == [
        "replaced: butter (25.0 %) by coconut oil (15.0 %)",
        "added: rice, 10.0 % of the batch",
    ]
    assert changes(after, before) == [
        "replaced: coconut oil (15.0 %) by butter (25.0 %)",
        "removed: rice, 10.0 % of the batch",
    ]


def test_the_same_ingredient_on_another_line_is_the_same_ingredient() -> None:
    before = [line(MAIZE, 300.0, "a"), line(OIL, 100.0, "b")]
    assert changes(before, [line(OIL, 200.0, "x"), line(MAIZE, 200.0, "y")]) == [
        "more coconut oil: 25.0 % → 50.0 %",
        "less maize meal: 75.0 % → 50.0 %",
    ]


def test_a_line_of_nothing_is_not_there() -> None:
    maize, oil, no_oil = line(MAIZE, 300.0, "a"), line(OIL, 100.0, "b"), line(OIL, 0.0, "b")
    assert changes([maize], [maize, no_oil]) == []
    assert changes([maize, no_oil], [maize]) == []
    less = "less maize meal: 100.0 % → 75.0 %"
    assert changes([maize, no_oil], [maize, oil]) == [less, "added: coconut oil, 25.0 % of the batch"]
    more = "more maize meal: 75.0 % → 100.0 %"
    assert changes([maize, oil], [maize, no_oil]) == [more, "removed: coconut oil, 25.0 % of the batch"]
    by_no_butter = [maize, line(BUTTER, 0.0, "b")]
    assert changes([maize, oil], by_no_butter) == [more, "removed: coconut oil, 25.0 % of the batch"]


def test_differences_carry_what_is_not_known() -> None:
    project = make_project(
        [MAIZE, RICE],
        make_variant(line(MAIZE, 100.0, "a"), id="before"),
        make_variant(line(RICE, 100.0, "a"), id="after"),
    )
    one, other = evaluated(project, "before"), evaluated(project, "after")
    carbohydrate, fibre, fat = differences(one, other, "batch", ("CHOAVLDF", "FIBTG", "FAT"))
    assert (carbohydrate.change.low, carbohydrate.change.value, carbohydrate.change.high) == (-75.0, 4.0, 4.0)
    assert change_text(carbohydrate) == "~+4.0"
    assert fibre.change.certainty == "not_known"
    assert change_text(fibre) == "–"
    assert (fat.change.certainty, change_text(fat)) == ("exact", "−1.5")


def test_no_sign_before_a_change_that_rounds_to_nothing() -> None:
    project = make_project([MAIZE], make_variant(line(MAIZE, 100.0, "a"), id="v"))
    (same,) = differences(evaluated(project), evaluated(project), "batch", ("FAT",))
    assert change_text(same) == "0.0"
