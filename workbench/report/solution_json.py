"""Amounts from targets as plain data for other programs: the layout that ``pocketfare solve --json`` prints."""

import math
from typing import Any

from workbench.document.project import TargetSet
from workbench.recipe.verdict import Verdict
from workbench.report.results_json import bound_data, problem_data
from workbench.solve.clash import Clash, Member
from workbench.solve.proposal import Proposal
from workbench.solve.rounding import Rounding
from workbench.solve.words import member_text, relief_text


def solution_data(
    proposal: Proposal, targets: TargetSet, rounding: Rounding | None = None, clash: Clash | None = None
) -> dict[str, Any]:
    """A proposal with its verdicts before and after, what rounding cost, and what clashes."""
    variant = proposal.after.variant
    currency = proposal.after.prepared.currency
    data: dict[str, Any] = {
        "currency": currency or None,
        "variant": {"name": variant.name, "id": variant.id},
        "targets": {"name": targets.name, "id": targets.id},
        "met": proposal.met,
        "amounts_g": dict(proposal.amounts),
        "changes": [change._asdict() for change in proposal.changes],
        "before": [_verdict(v) for v in proposal.verdicts_before],
        "after": [_verdict(v) for v in proposal.verdicts],
        "problems": [problem_data(p) for p in (*proposal.problems, *proposal.after.problems)],
        "rounding": None,
        "clash": None,
    }
    if rounding is not None:
        data["rounding"] = {
            "steps_g": {line_id: step.grams for line_id, step in rounding.steps.items()},
            "mean_relative_change": rounding.change,
            "lost": list(rounding.lost),
            "out_of_time": rounding.out_of_time,
        }
    if clash is not None:
        data["clash"] = {
            "members": [_member(m, currency) for m in clash.members],
            "reliefs": [
                {
                    **_member(r.member, currency),
                    "words": relief_text(r, currency),
                    "figure": None if r.bound is None else bound_data(r.bound),
                    "grams": r.grams,
                    "all_hold": r.all_hold,
                }
                for r in clash.reliefs
            ],
        }
    return data


def _verdict(verdict: Verdict) -> dict[str, Any]:
    target = verdict.target
    return {
        "id": target.id,
        "quantity": target.quantity,
        "basis": target.basis,
        "strength": target.strength,
        "state": verdict.state,
        "by": verdict.by if math.isfinite(verdict.by) else None,
        "figure": bound_data(verdict.bound),
    }


def _member(member: Member, currency: str) -> dict[str, Any]:
    return {
        "kind": member.kind,
        "id": member.id,
        "side": None if member.limit is None else member.limit.side,
        "words": member_text(member, currency),
    }
