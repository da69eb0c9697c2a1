"""Cost: what a pack costs, per gram that is eaten, and never nothing where no price is known."""

import pytest

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from workbench.composition.food import Food, Pack
from workbench.document.project import ByCount, Line, Project
from workbench.recipe.cost import project_currency
from workbench.recipe.words import quantity_text


def priced(name: str, *packs: Pack, **facts: object) -> Food:
    return make_food(name, {"WATER": 100.0}, packs=packs, **facts)


def project_of_lines(foods: list[Food], *lines: Line) -> Project:
    return make_project(foods, make_variant(*lines, portioning=ByCount(count=4)))


def test_the_newest_pack_counts() -> None:
    old, new = Pack(500.0, 2.0, "EUR", "2026-01-31"), Pack(1000.0, 5.0, "EUR", "2026-02-01")
    rice = priced("rice", new, old, Pack(250.0))  # a pack without a price says nothing
    result = evaluated(project_of_lines([rice], make_line(rice, 400.0)))
    assert result.bound("cost", "batch").value == pytest.approx(2.0)
    assert result.bound("cost").value == pytest.approx(0.5)
    assert result.bound("cost", "batch").certainty == "exact"


def test_what_is_trimmed_off_is_paid_for() -> None:
    """A kilogram for 3.20 of which 64 % are eaten: 3.20 as bought, 5.00 for a kilogram of what is eaten."""
    banana = priced("banana", Pack(1000.0, 3.2, "EUR"), edible_fraction=0.64)
    bought = project_of_lines([banana], make_line(banana, 1000.0, as_bought=True))
    eaten = project_of_lines([banana], make_line(banana, 1000.0))
    assert evaluated(bought).bound("cost", "batch").value == pytest.approx(3.2)
    assert evaluated(eaten).bound("cost", "batch").value == pytest.approx(5.0)


def test_an_unknown_price_is_not_nothing() -> None:
    rice, salt = priced("rice", Pack(1000.0, 2.0, "EUR")), make_food("salt", {})
    bound = evaluated(project_of_lines([rice, salt], make_line(rice, 500.0), make_line(salt, 5.0))).bound(
        "cost", "batch"
    )
    assert bound.certainty == "at_least" and bound.unknown == ("salt",)
    assert quantity_text(bound, "cost") == "at least 1.00"
    alone = evaluated(project_of_lines([salt], make_line(salt, 5.0))).bound("cost", "batch")
    assert quantity_text(alone, "cost") == "not known"


def test_prices_in_another_currency_do_not_add_up_and_one_notice_says_so() -> None:
    foods = [
        priced("rice", Pack(1000.0, 2.0, "EUR")),
        priced("oats", Pack(1000.0, 1.0, "EUR"), Pack(500.0, 1.0, "CHF", "2026-05-01")),
        priced("figs", Pack(500.0, 6.0, "CHF")),
        priced("dates", Pack(500.0, 6.0, "USD")),
    ]
    project = project_of_lines(foods, *(make_line(food, 100.0) for food in foods))
    assert project_currency(project) in ("CHF", "EUR") and project_currency(project) == "CHF", "alphabet among equals"
    result = evaluated(project)
    assert result.prepared.currency == "CHF"
    assert set(result.bound("cost", "batch").unknown) == {"rice", "dates"}
    said = [problem for problem in result.problems if problem.code == "other_currency"]
    assert [(p.severity, p.parts["foods"]) for p in said] == [("notice", "rice, dates")]


def test_a_batch_without_prices_says_nothing_about_currencies() -> None:
    rice = make_food("rice", {"WATER": 10.0})
    result = evaluated(project_of_lines([rice], make_line(rice, 100.0)))
    assert result.prepared.currency == "" and not result.problems
