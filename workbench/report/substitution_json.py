"""Proposals of other ingredients as plain data for other programs: what ``substitute`` and ``suggest`` print."""

from typing import Any

import msgspec

from workbench.document.project import Project, Variant
from workbench.recipe.verdict import Verdict
from workbench.recipe.words import line_change_text
from workbench.report.results_json import bound_data, problem_data, variant_data
from workbench.solve.avoid import Offence, offending
from workbench.solve.pantry import Suggestions
from workbench.solve.substitution import Option, Substitution, Substitutions


def offence_data(offence: Offence) -> dict[str, Any]:
    """A line that brings what is avoided, with the reasons."""
    return {
        "line": offence.line_id,
        "name": offence.name,
        "certain": offence.certain,
        "reasons": [{"code": r.code, "key": r.key, "certain": r.certain, "text": r.text} for r in offence.reasons],
    }


def avoided_data(project: Project, variant: Variant) -> dict[str, Any]:
    """What a variant must not hold, and the lines that do."""
    wish = project.wish_of(variant)
    return {
        "avoid": msgspec.to_builtins(wish),
        "offending": [offence_data(offence) for offence in offending(project, variant, wish)],
    }


def option_data(option: Option) -> dict[str, Any]:
    """One way to replace a line; grams are of the edible part."""
    return {
        "line": option.line_id,
        "name": option.name,
        "by": [{"food": p.food.id, "name": p.food.name, "grams": p.amount_g} for p in option.parts],
        "because": option.because,
        "source": option.source,
        "losses": list(option.losses),
        "trials": list(option.trials),
        "role": option.role,
        "distance": option.distance,
        "unknown": list(option.unknown),
    }


def substitutions_data(offences: tuple[Offence, ...], found: Substitutions) -> dict[str, Any]:
    """Offending lines, proposals, and what is to be known about both."""
    return {
        "offending": [offence_data(offence) for offence in offences],
        "proposals": [_proposal(proposal) for proposal in found.proposals],
        "problems": [problem_data(problem) for problem in found.problems],
    }


def _proposal(proposal: Substitution) -> dict[str, Any]:
    return {
        "title": proposal.title,
        "replaced": [option_data(option) for option in proposal.options],
        "changes": [line_change_text(change) for change in proposal.changes],
        "per_piece": {
            d.quantity.key: {"before": bound_data(d.before), "after": bound_data(d.after)} for d in proposal.differences
        },
        "targets": [_verdict(verdict) for verdict in proposal.verdicts],
        "losses": list(proposal.losses),
        "trials": list(proposal.trials),
        "remarks": list(proposal.remarks),
        "differs": list(proposal.differs),
        "variant": variant_data(proposal.after),
    }


def suggestions_data(found: Suggestions) -> dict[str, Any]:
    """Recipes from the pantry."""
    return {
        "recipes": [
            {
                "lines": [
                    {"food": line.food_ref.id, "grams": line.amount_g, "stage": line.stage_id}
                    for line in recipe.after.variant.lines
                ],
                "targets": [_verdict(verdict) for verdict in recipe.verdicts],
                "remarks": list(recipe.remarks),
                "trials": list(recipe.trials),
                "variant": variant_data(recipe.after),
            }
            for recipe in found.recipes
        ],
        "problems": [problem_data(problem) for problem in found.problems],
    }


def _verdict(verdict: Verdict) -> dict[str, Any]:
    target = verdict.target
    return {
        "quantity": target.quantity,
        "basis": target.basis,
        "low": target.low,
        "high": target.high,
        "strength": target.strength,
        "state": verdict.state,
        "result": bound_data(verdict.bound),
    }
