"""Results as plain data for other programs: the layout that ``pocketfare compute --json`` prints."""

import math
from typing import Any

from workbench.base.errors import Problem
from workbench.document.project import Basis
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import QUANTITIES

SHOWN: tuple[Basis, ...] = ("batch", "portion", "per_100g")


def _finite(x: float) -> float | None:
    return x if math.isfinite(x) else None


def bound_data(bound: Bound) -> dict[str, Any]:
    """A bound with ``null`` for what is not known or not limited.

    ``at_least``: the truth may be above ``value``; ``at_most``: it may be below; both: it lies between ``low`` and
    ``high`` on either side of ``value``.
    """
    return {
        "value": _finite(bound.value) if bound.known else None,
        "low": _finite(bound.low),
        "high": _finite(bound.high),
        "at_least": bound.at_least or not bound.known,
        "at_most": bound.at_most,
        "unknown": list(bound.unknown),
    }


def problem_data(problem: Problem) -> dict[str, str]:
    """A finding in words, with its stable code."""
    return {
        "severity": problem.severity,
        "code": problem.code,
        "where": problem.place,
        "message": problem.message,
        "hint": problem.hint,
    }


def _basis_data(evaluation: Evaluation, basis: Basis) -> dict[str, Any]:
    data: dict[str, Any] = {"mass_g": _finite(evaluation.mass_g(basis).value)}
    if basis == "portion":
        portions = evaluation.portions
        data |= {
            "count": portions.pieces,
            "whole_pieces": portions.whole_pieces,
            "left_over_g": portions.left_over_g,
        }
    data["components"] = {key: bound_data(evaluation.bound(key, basis)) for key in QUANTITIES}
    return data


def variant_data(evaluation: Evaluation) -> dict[str, Any]:
    """One variant; its bases are ``null`` where it has no valid result, and ``problems`` says why."""
    variant = evaluation.variant
    data: dict[str, Any] = {"name": variant.name, "id": variant.id, "purpose": variant.purpose}
    data |= {basis: _basis_data(evaluation, basis) if evaluation.valid else None for basis in SHOWN}
    data["problems"] = [problem_data(problem) for problem in evaluation.problems]
    return data
