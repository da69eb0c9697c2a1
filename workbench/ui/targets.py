"""Work on targets: what typing, dragging an edge and removing a target do to the project."""

from msgspec.structs import replace
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from workbench.base.text import N_, _, number
from workbench.document import edits
from workbench.document.project import Basis, Target, TargetSet, new_id
from workbench.recipe.bound import Bound
from workbench.recipe.prepared import Prepared
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.words import quantity_text
from workbench.ui.actions import UserAction
from workbench.ui.plots.band_edges import Edge
from workbench.ui.session import Session

_MOVED: dict[Edge, str] = {
    "low": N_("set {title} to at least {figure}"),
    "aim": N_("aim at {figure} {title}"),
    "high": N_("set {title} to at most {figure}"),
}


def cost_text(text: str, bound: Bound, prepared: Prepared) -> str:
    """A cost with its currency, and what stands in the way of a whole figure."""
    if not prepared.currency:
        return _("not known: no ingredient has a pack with a price")
    said = [f"{text} {prepared.currency}" if bound.known else text]
    if bound.unknown:
        said.append(_("no price in {currency}: {names}", currency=prepared.currency, names=", ".join(bound.unknown)))
    return "; ".join(said)


class TargetWork(QObject):
    """The targets of the variant on screen."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._new_ids = new_id(), new_id()  # of a set and a target that a drag may make

    def user_actions(self) -> tuple[UserAction, ...]:
        """What can be done with targets."""
        return (UserAction("targets.edit", _("targets …"), self.edit, "Ctrl+T"),)

    @property
    def target_set(self) -> TargetSet | None:
        """The set that the variant uses."""
        return self._session.project.targets_of(self._session.variant)

    def find(self, keys: tuple[str, ...], basis: Basis) -> Target | None:
        """The target on one of these quantities and a basis."""
        targets = self.target_set.targets if self.target_set else ()
        return next((t for t in targets if t.quantity in keys and t.basis == basis), None)

    # --- by hand ------------------------------------------------------------------------------------------------

    def move_edge(self, keys: tuple[str, ...], basis: Basis, edge: Edge, value: float) -> None:
        """Show an edge of a target at ``value``; a target, and a set, are made where there is none."""
        set_id, target_id = self._new_ids
        target = self.find(keys, basis) or Target(id=target_id, quantity=keys[0], basis=basis)
        moved = replace(target, **{edge: value})
        targets = self.target_set or TargetSet(id=set_id, name=self._session.variant.name)
        if any(t.id == moved.id for t in targets.targets):
            changed = tuple(moved if t.id == moved.id else t for t in targets.targets)
        else:
            changed = (*targets.targets, moved)
        quantity = QUANTITIES[moved.quantity]
        words = _(
            _MOVED[edge],
            title=_(quantity.title),
            figure=f"{number(value, quantity.decimals)} {quantity.unit}".rstrip(),
        )
        session = self._session
        edit = edits.put_target_set(session.base, session.variant_id, replace(targets, targets=changed), words)
        session.preview(edit)

    def release(self) -> None:
        """The hand is off the edge: one undo step."""
        self._new_ids = new_id(), new_id()
        self._session.commit()

    def drop(self) -> None:
        """The edge goes back to where it was."""
        self._session.cancel_preview()

    def remove(self, target: Target) -> None:
        """Take a target out of its set."""
        session, targets = self._session, self.target_set
        if targets is not None:
            left = replace(targets, targets=tuple(t for t in targets.targets if t.id != target.id))
            words = _("remove the target on {title}", title=_(QUANTITIES[target.quantity].title))
            session.apply(edits.put_target_set(session.project, session.variant_id, left, words))

    # --- by typing ----------------------------------------------------------------------------------------------

    def edit(self, target: Target | None = None, wanted: tuple[str, Basis] | None = None) -> None:
        """Ask for the targets; begin at ``target``, or at a new one on the quantity and basis that are ``wanted``."""
        from workbench.ui.dialogs.target_dialog import ask_targets  # made when it is first used

        session = self._session
        session.commit()
        parent = self.parent()
        assert parent is None or isinstance(parent, QWidget)
        answer = ask_targets(
            session.project, session.variant_id, self.figure, parent, target.id if target else "", wanted
        )
        if answer is None:
            return
        edit = edits.choose_targets(session.project, session.variant_id, answer.target_sets, answer.target_set_id)
        if edit.project != session.project:
            session.apply(edit)

    def figure(self, quantity: str, basis: Basis) -> str:
        """What the recipe gives now; empty where it gives nothing.  A cost says its currency, and what has no price."""
        result = self._session.evaluation
        if not result.valid:
            return ""
        bound = result.bound(quantity, basis)
        text = quantity_text(bound, quantity)
        return text if quantity != "cost" else cost_text(text, bound, result.prepared)
