"""Proposal: amounts that would meet targets, with every figure from the engine; nothing is changed by making one."""

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.base.errors import Problem
from workbench.document.project import TargetSet, Variant
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.prepared import Prepared
from workbench.recipe.verdict import Verdict, verdicts

Floats = npt.NDArray[np.float64]


class Options(NamedTuple):
    """How amounts are looked for."""

    few: bool = False  # change as few ingredients as possible, instead of all of them a little
    hold_batch_weight: bool | None = None  # keep the sum of the amounts as entered; None: as the variant says
    seconds: float = 2.0  # for kitchen-rounding; then the best found so far, and it is said


class AmountChange(NamedTuple):
    """One line that would change. [g as entered]"""

    line_id: str
    name: str
    before_g: float
    after_g: float

    @property
    def change_g(self) -> float:
        """More is positive. [g]"""
        return self.after_g - self.before_g


class Proposal(NamedTuple):
    """Amounts that come as near to the targets as can be, and what they give.

    Attributes
    ----------
    amounts : mapping of str to float
        Line id -> grams as entered, of every line. [g]
    changes : tuple of AmountChange
        The lines that would change, in the order of the recipe.
    before, after : Evaluation
        The variant as it is, and at ``amounts``.
    targets : TargetSet
        What was wished for.
    verdicts : tuple of Verdict
        The targets after, by the engine.
    problems : tuple of Problem
        What is wrong with the targets, what could only be matched on what is known, and other remarks.
    """

    amounts: Mapping[str, float]
    changes: tuple[AmountChange, ...]
    before: Evaluation
    after: Evaluation
    targets: TargetSet
    verdicts: tuple[Verdict, ...]
    problems: tuple[Problem, ...] = ()

    @property
    def verdicts_before(self) -> tuple[Verdict, ...]:
        """The targets before, by the engine."""
        return verdicts(self.before, self.targets)

    @property
    def met(self) -> bool:
        """Whether every target is met."""
        return self.after.valid and all(verdict.state == "met" for verdict in self.verdicts)

    @property
    def must_met(self) -> bool:
        """Whether every target that must be kept is met."""
        return self.after.valid and all(v.state == "met" for v in self.verdicts if v.target.strength == "must")


def propose(
    prepared: Prepared,
    variant: Variant,
    targets: TargetSet,
    amount_g: Floats,
    problems: tuple[Problem, ...] = (),
    before: Evaluation | None = None,
) -> Proposal:
    """A proposal of these amounts, shape (n_lines,), evaluated."""
    before = before or evaluate(prepared, variant)
    after = evaluate(prepared, variant, amount_g)
    amounts = dict(zip((line.id for line in variant.lines), amount_g.tolist(), strict=True))
    changes = tuple(
        AmountChange(line.id, name, line.amount_g, amounts[line.id])
        for line, name in zip(variant.lines, prepared.names, strict=True)
        if amounts[line.id] != line.amount_g
    )
    return Proposal(amounts, changes, before, after, targets, verdicts(after, targets), tuple(problems))
