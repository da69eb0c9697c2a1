"""What a change of ingredients comes to: options for one line, and whole variants with everything said about them.

Nothing is changed by making one: a window pushes ``Substitution.edit`` as its one undo step and shows the variant
``Substitution.variant_id``.
"""

from typing import NamedTuple

from workbench.base.errors import Problem
from workbench.composition.food import Food
from workbench.document.edits import Edit
from workbench.recipe.comparison import Difference, LineChange
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.verdict import Verdict


class Part(NamedTuple):
    """An ingredient that comes in, and how much of it. [g of the edible part]"""

    food: Food
    amount_g: float


class Option(NamedTuple):
    """One way to replace what a line is made of; no parts means that the line is left out.

    Attributes
    ----------
    line_id, name : str
        The line, and what it is made of now.
    parts : tuple of Part
        What comes instead; the first one takes the place of the line.
    because : str
        How the amounts were found, in words.
    source : str
        The publication behind the exchange; empty for common practice and for what was computed from composition.
    losses, trials : tuple of str
        What is lost, and what to test in a trial batch, in words.
    role : float
        How much of what the old ingredient does the new one does too, from 0 to 1.
    distance : float
        How far the batch moves in water, sugars, starch, fat, protein and fibre, each against what the batch holds of
        it; 0 where nothing moves.
    unknown : tuple of str
        What is not known about the new ingredients and would count, in words.
    score : float
        For ranking; smaller is nearer.
    """

    line_id: str
    name: str
    parts: tuple[Part, ...]
    because: str
    source: str
    losses: tuple[str, ...]
    trials: tuple[str, ...]
    role: float
    distance: float
    unknown: tuple[str, ...]
    score: float

    @property
    def foods(self) -> tuple[str, ...]:
        """Ids of what comes in."""
        return tuple(part.food.id for part in self.parts)


class Substitution(NamedTuple):
    """A variant with other ingredients, ready to be taken in one undo step.

    Attributes
    ----------
    title : str
        How this proposal was chosen, in words, such as ``closest``.
    edit : Edit
        Adds the variant behind its parent.
    variant_id : str
        The new variant in ``edit.project``.
    options : tuple of Option
        What was replaced by what.
    before, after : Evaluation
        The variant it was made from, and the new one; every figure is the engine's.
    changes : tuple of LineChange
    differences : tuple of Difference
        Per piece.
    verdicts_before, verdicts : tuple of Verdict
        Of the targets of the variant; empty where it has none.
    losses, trials, remarks, differs : tuple of str
        What is lost, what to test, what else is to be known, and how it differs from the first proposal, in words.
    """

    title: str
    edit: Edit
    variant_id: str
    options: tuple[Option, ...]
    before: Evaluation
    after: Evaluation
    changes: tuple[LineChange, ...]
    differences: tuple[Difference, ...]
    verdicts_before: tuple[Verdict, ...]
    verdicts: tuple[Verdict, ...]
    losses: tuple[str, ...]
    trials: tuple[str, ...]
    remarks: tuple[str, ...]
    differs: tuple[str, ...] = ()

    @property
    def must_met(self) -> bool:
        """Whether the result is valid and meets every target that must be kept."""
        return self.after.valid and all(v.state == "met" for v in self.verdicts if v.target.strength == "must")


class Substitutions(NamedTuple):
    """Whole variants to choose from, and why there are none or fewer."""

    proposals: tuple[Substitution, ...]
    problems: tuple[Problem, ...] = ()
