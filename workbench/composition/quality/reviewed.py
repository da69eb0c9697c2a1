"""Findings about bundled rows that somebody looked into: said with the recorded reason, and no longer a warning."""

from collections.abc import Iterable, Iterator, Mapping

from workbench.base.errors import Problem
from workbench.base.text import N_
from workbench.composition.bundled import reviews, row_hash
from workbench.composition.food import Food
from workbench.composition.sources import Review

KEPT = N_("Looked into and kept: {reason}.")


def with_reviews(foods: Mapping[str, Food], found: Iterable[Problem]) -> Iterator[Problem]:
    """The findings about ``foods`` (by id), those that were reviewed as notices that give the reason.

    A review is of the row as it stands in the table: a copy that was changed since is judged like any other row.
    """
    for problem in found:
        food, *field = problem.where
        reason = reviews().get(Review(food.id, field[0].id if field else "", problem.code))
        if reason is not None and _is_as_bundled(foods[food.id]):
            kind = problem.kind._replace(severity="notice", hint=KEPT)
            yield Problem(kind, problem.where, {**problem.parts, "reason": reason})
        else:
            yield problem


def _is_as_bundled(food: Food) -> bool:
    origin = food.taken_from
    return origin is not None and origin.kind == "bundled" and origin.row_hash == row_hash(food)
