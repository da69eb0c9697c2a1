"""The bundled table under the program's own quality checks: whatever they find was looked into."""

import msgspec

from workbench.composition.bundled import bundled_foods, reviews
from workbench.composition.food import Food, Value
from workbench.composition.quality import check_factors, check_food, check_table
from workbench.composition.sources import Review

FOODS = bundled_foods()


def test_nothing_is_found_but_what_was_looked_into() -> None:
    found = {
        Review(problem.where[0].id, problem.where[1].id if problem.where[1:] else "", problem.code): problem
        for problem in check_table(FOODS.values())
    }
    new = [problem.sentence() for key, problem in found.items() if key not in reviews()]
    assert not new, "\n".join(new)
    assert set(reviews()) <= set(found), "looked into, but no longer found: take it out of reviews.csv"
    for key, problem in found.items():
        assert problem.severity == "notice", problem.sentence()
        assert reviews()[key] in problem.sentence()


def oil_as(food: Food) -> list[tuple[str, str]]:
    return [(problem.code, problem.severity) for problem in check_food(food)]


def test_a_review_holds_for_the_bundled_row_only() -> None:
    """SR26 4582 lists 98.8 g of acids; whoever enters the same, or changes the row, is warned all the same."""
    oil = FOODS["rapeseed_oil"]
    assert oil_as(oil) == [("table_fatty_acid_basis", "notice")]
    own = msgspec.structs.replace(oil, taken_from=None)
    assert oil_as(own) == [("table_fatty_acid_basis", "warning")]
    changed = msgspec.structs.replace(oil, values={**oil.values, "FAMS": Value(64.0, source="sr26", code="4582")})
    assert oil_as(changed) == [("table_fatty_acid_basis", "warning")]


def test_energy_factors_are_within_the_published_ranges() -> None:
    assert check_factors() == ()
