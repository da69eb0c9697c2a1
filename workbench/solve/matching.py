"""Matching: the smallest change of amounts that meets targets, once or while a hand moves one of them."""

import numpy as np
import numpy.typing as npt
from msgspec.structs import replace

from workbench.base.errors import Place, Problem
from workbench.document.project import Project, TargetSet, Variant
from workbench.recipe.evaluation import evaluate
from workbench.recipe.preparation import prepare
from workbench.recipe.prepared import Prepared
from workbench.solve.fewest import fewest
from workbench.solve.programme import NO_ROOM, Programme
from workbench.solve.proposal import Options, Proposal, propose

Floats = npt.NDArray[np.float64]

_ROUNDS = 12  # after which aims that exclude each other are left where they are


def match(
    project: Project,
    variant: Variant,
    targets: TargetSet,
    options: Options | None = None,
    prepared: Prepared | None = None,
) -> Proposal:
    """Amounts nearest to today's that meet the targets, or come as near as can be.

    Parameters
    ----------
    project : Project
        Holds the foods.
    variant : Variant
        Its amounts are the start; locks, limits, links and what is held are kept.
    targets : TargetSet
        What is wished for; what must be kept comes before what is preferred.
    options : Options, optional
        How to look.
    prepared : Prepared, optional
        From ``prepare`` for this variant, where it is at hand.

    Returns
    -------
    Proposal
        Amounts and what they give; the amounts of today where nothing can be made.

    Raises
    ------
    CalculationError
        If the variant has nothing to start from, or cannot be computed whatever its amounts.
    """
    options = options or Options()
    prepared = prepared or prepare(project, variant)
    programme, answer = Programme(prepared, variant, targets, options).solve()
    if answer is None:
        problems = (*programme.problems(), NO_ROOM.at(Place("variant", variant.id, variant.name)))
        return propose(prepared, variant, targets, _amounts(variant), problems)
    amount_g = programme.space.amounts(fewest(programme, answer) if options.few else answer.y)
    for _round in range(_ROUNDS):
        if options.few or not answer.aims_short:
            break
        # A second match from there may find more of the aims: it is made now, so that it finds nothing later.
        _programme, answer = Programme(prepared, _with_amounts(variant, amount_g), targets, options).solve()
        if answer is None or not answer.y.any():
            break
        amount_g = _programme.space.amounts(answer.y)
    return propose(prepared, variant, targets, amount_g, programme.problems())


def _amounts(variant: Variant) -> Floats:
    return np.array([line.amount_g for line in variant.lines])


def _with_amounts(variant: Variant, amount_g: Floats) -> Variant:
    pairs = zip(variant.lines, amount_g.tolist(), strict=True)
    return replace(variant, lines=tuple(replace(line, amount_g=grams) for line, grams in pairs))


class Holder:
    """Holds targets while a hand moves one line: made when it is taken, asked at every move.

    Parameters
    ----------
    project, variant, targets, options, prepared
        As for ``match``; the variant as it was when the line was taken.
    line_id : str
        The line in the hand; lines that are linked to it follow.
    """

    def __init__(
        self,
        project: Project,
        variant: Variant,
        line_id: str,
        targets: TargetSet,
        options: Options | None = None,
        prepared: Prepared | None = None,
    ) -> None:
        self._targets, self._line_id = targets, line_id
        self._prepared = prepared or prepare(project, variant)
        self._programme = Programme(self._prepared, variant, targets, options or Options(), line_id)
        self._before = evaluate(self._prepared, variant)

    def at(self, grams: float) -> Proposal:
        """The other lines moved as little as can be, with so much of this one. [g as entered]"""
        programme, answer = self._programme.solve(grams)
        if answer is None:  # the hand goes where it wants; nothing else can help
            amount_g = programme.space.amounts(np.zeros(programme.space.spread.shape[1]), grams)
            problems: tuple[Problem, ...] = (
                *programme.problems(),
                NO_ROOM.at(Place("variant", programme.variant.id, programme.variant.name)),
            )
        else:
            amount_g = programme.space.amounts(answer.y, grams)
            problems = programme.problems()
        return propose(self._prepared, programme.variant, self._targets, amount_g, problems, self._before)


def follow(
    project: Project,
    variant: Variant,
    line_id: str,
    grams: float,
    targets: TargetSet,
    options: Options | None = None,
    prepared: Prepared | None = None,
) -> Proposal:
    """One line set to so many grams, the others moved as little as can be so that the targets hold; see ``Holder``."""
    return Holder(project, variant, line_id, targets, options, prepared).at(grams)
