"""Matching targets: what the solver proposes for the variant on screen, taking it, and holding targets in a drag."""

from typing import TYPE_CHECKING

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal

from workbench.base.errors import WorkbenchError
from workbench.base.text import _
from workbench.document import edits, line_edits, variant_edits
from workbench.document.edits import Edit
from workbench.document.project import TargetSet
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.ui.session import Session
from workbench.ui.targets import TargetWork

if TYPE_CHECKING:
    from workbench.solve.matching import Holder
    from workbench.solve.proposal import Proposal


class Matching(QObject):
    """Proposals for the variant on screen.

    ``changed`` comes when there is another proposal, or a reason why there is none.  The solver is loaded with the
    first proposal.
    """

    changed = Signal()

    def __init__(self, session: Session, targets: TargetWork, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session, self._targets = session, targets
        self._active = False
        self._few = self._kitchen = False
        self._proposal: Proposal | None = None
        self._refusal = self._note = ""
        self._holder: Holder | None = None
        self._held_from: tuple[object, ...] = ()
        self.holding = False
        session.computed.connect(self._follow)

    # --- what is proposed -------------------------------------------------------------------------------------------

    @property
    def proposal(self) -> "Proposal | None":
        """What is proposed now."""
        return self._proposal

    @property
    def refusal(self) -> str:
        """Why nothing can be proposed; "" where something is, or nothing was asked for."""
        return self._refusal

    @property
    def note(self) -> str:
        """What is to be said of the way the proposal was found."""
        return self._note

    @property
    def targets(self) -> TargetSet | None:
        """The targets of the variant on screen; None where there are none."""
        found = self._targets.target_set
        return found if found is not None and found.targets else None

    @property
    def few(self) -> bool:
        """Whether as few ingredients as possible are to change."""
        return self._few

    @property
    def kitchen(self) -> bool:
        """Whether amounts are to be what a scale, a spoon or a pack can do."""
        return self._kitchen

    def choose(self, *, few: bool | None = None, kitchen: bool | None = None) -> None:
        """Look in another way."""
        self._few = self._few if few is None else few
        self._kitchen = self._kitchen if kitchen is None else kitchen
        self.look()

    def begin(self) -> None:
        """Propose from now on, whatever changes."""
        self._active = True
        self._session.commit()
        self.look()

    def begin_with(self, purpose: str) -> None:
        """Give the variant the program's own targets for a purpose, "race" or "long_ride"."""
        from workbench.solve.starting_sets import starting_target_set

        targets, session = starting_target_set(purpose), self._session
        if targets is not None:
            session.apply(edits.put_target_set(session.project, session.variant_id, targets))

    def end(self) -> None:
        """Propose no more."""
        self._active = False
        self._proposal, self._refusal, self._note = None, "", ""
        self._session.propose(None)

    def look(self) -> None:
        """Look for amounts again."""
        proposal, self._refusal, self._note = None, "", ""
        targets = self.targets
        if targets is not None:
            try:
                proposal = self._find(targets)
            except WorkbenchError as error:
                self._refusal = " ".join(error.lines())
        self._offer(proposal)

    def offer(self, proposal: "Proposal", note: str) -> None:
        """Show a proposal that was found elsewhere, until something changes."""
        self._active, self._refusal, self._note = True, "", note
        self._offer(proposal)

    def _offer(self, proposal: "Proposal | None") -> None:
        self._proposal = proposal
        self._session.propose(_shown(proposal) if proposal is not None and proposal.changes else None)
        self.changed.emit()

    def _find(self, targets: TargetSet) -> "Proposal":
        from workbench.solve.matching import match
        from workbench.solve.proposal import Options

        session = self._session
        project, variant, prepared = session.project, session.variant, session.evaluation.prepared
        options = Options(few=self._few)
        found = match(project, variant, targets, options, prepared)
        if not self._kitchen:
            return found
        from workbench.solve.rounding import round_amounts
        from workbench.solve.words import rounding_text

        rounding = round_amounts(project, variant, targets, found.amounts, options, prepared)
        self._note = rounding_text(rounding)
        return rounding.proposal

    def _follow(self) -> None:
        slow = self._few or self._kitchen or self.holding  # these wait until the hand is off the slider
        if self._active and not (slow and self._session.previewing):
            self.look()

    # --- taking it ------------------------------------------------------------------------------------------------

    def accept(self) -> None:
        """Take the proposed amounts: one undo step."""
        if self._proposal is not None and self._proposal.changes:
            session = self._session
            words = _("match the targets")
            session.apply(line_edits.set_amounts(session.project, session.variant_id, self._proposal.amounts, words))

    def accept_as_variant(self) -> None:
        """Take them in a new variant made from this one: one undo step."""
        if self._proposal is None or not self._proposal.changes:
            return
        session, proposal = self._session, self._proposal
        name = _("{name}, matched", name=session.variant.name)
        made, variant_id = variant_edits.new_variant(session.project, name, session.variant_id)
        taken = line_edits.set_amounts(made.project, variant_id, proposal.amounts, made.words)
        session.apply(Edit(taken.project, made.change | taken.change, made.words), variant_id)

    # --- while a hand moves a slider --------------------------------------------------------------------------------

    def hold(self, on: bool) -> None:
        """Let the other amounts move while one is dragged, so that the targets hold."""
        self.holding = on
        self._holder, self._held_from = None, ()

    def edit_for(self, line_id: str, grams: float) -> Edit:
        """The edit that a slider at ``grams`` asks for: this line alone, or with the others where targets are held."""
        session, targets = self._session, self.targets
        alone = edits.set_amount(session.base, session.variant_id, line_id, grams)
        if not self.holding or targets is None:
            return alone
        held_from = (session.base, session.variant_id, line_id, targets)
        if len(self._held_from) != 4 or any(a is not b for a, b in zip(self._held_from, held_from, strict=True)):
            self._held_from, self._holder = held_from, self._make_holder(line_id, targets)
        if self._holder is None:
            return alone
        amounts = self._holder.at(grams).amounts
        return line_edits.set_amounts(session.base, session.variant_id, amounts, alone.words)

    def _make_holder(self, line_id: str, targets: TargetSet) -> "Holder | None":
        from workbench.solve.matching import Holder

        session = self._session
        variant = session.base.variant(session.variant_id)
        try:
            return Holder(session.base, variant, line_id, targets, prepared=session.evaluation.prepared)
        except WorkbenchError:
            return None  # nothing to hold by; the strip says why


def _shown(proposal: "Proposal") -> Evaluation:
    """What is proposed, as a variant of that name to be seen beside the one on screen."""
    variant, amounts = proposal.after.variant, proposal.amounts
    lines = tuple(replace(line, amount_g=amounts[line.id]) for line in variant.lines)
    return evaluate(proposal.after.prepared, replace(variant, name=_("proposed"), lines=lines))
