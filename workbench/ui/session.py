"""Session: the one open project of a window, its undo stack, and the results of the variant on screen.

Everything on screen follows from ``project`` and ``variant_id``; views never keep a document of their own.  They read
the properties below and listen to its signals:

``documentChanged(project, change)``
    The document on screen is another one; ``change`` (a ``Change``) says what kind of thing differs.  Sent for edits,
    undo, redo, each frame of a preview, and for opening a project (then every kind of change is set).
``variantSwitched(variant_id)``
    Another variant is on screen.  Sent before ``documentChanged`` where both happen.
``evaluated(evaluation)``
    There are new figures for the variant on screen.  Always the last of the three.

Besides, ``proposed()``: other amounts for the variant on screen are proposed, or none any more (``proposal``).  What is
proposed in answer to ``computed()``, just before ``evaluated``, needs no signal of its own: all is shown at once.

Changing something: ``apply(edit)`` makes one undo step at once.  A drag calls ``preview(edit)`` with every move, made
from ``base`` (the document before the drag), and ends with ``commit()`` (one undo step for all of it) or
``cancel_preview()``.  ``project`` shows a preview at once; signals and figures follow once a frame, or at ``flush()``.
"""

import gc
from typing import NamedTuple

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, QEvent, QObject, QTimer, Signal
from PySide6.QtGui import QUndoStack

from workbench.base.text import _
from workbench.document.edits import Change, Edit
from workbench.document.project import Assumptions, Project, Stage, Variant, new_id
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.recipe.prepared import Prepared
from workbench.ui.commands import DocumentCommand, Shown

EVERYTHING = ~Change(0)
_SAME_MATRIX = Change.AMOUNTS | Change.PORTIONS


class _Held(NamedTuple):
    """An evaluation with what it was made from, to know when it is out of date."""

    made_from: tuple[object, ...]
    evaluation: Evaluation


class Session(QObject):
    """One open project; see the module's text for how to use it."""

    documentChanged = Signal(object, object)
    variantSwitched = Signal(str)
    computed = Signal()
    evaluated = Signal(object)
    proposed = Signal()

    def __init__(self, project: Project | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.undo_stack = QUndoStack(self)
        self._rows = FoodRows()
        self._held: dict[str, _Held] = {}
        self._previewed: Edit | None = None
        self._pending = Change(0)
        self._frame = QTimer(self)
        self._frame.setSingleShot(True)
        self._frame.setInterval(0)
        self._frame.timeout.connect(self._show_frame)
        self._previous_id: str | None = None
        self._proposal: Evaluation | None = None
        self._about_to_show = False
        self._project = self._base = _complete(project or empty_project())
        self._variant_id = self._project.variants[0].id
        keep_out_of_collection()

    # --- what is on screen --------------------------------------------------------------------------------------

    @property
    def project(self) -> Project:
        """The document on screen, with the preview of a drag in it."""
        return self._project

    @property
    def base(self) -> Project:
        """The document without the preview; edits of a drag start from it."""
        return self._base

    @property
    def variant_id(self) -> str:
        return self._variant_id

    @property
    def variant(self) -> Variant:
        """The variant on screen."""
        return self._project.variant(self._variant_id)

    @property
    def evaluation(self) -> Evaluation:
        """Figures of the variant on screen; check ``valid`` before showing any."""
        return self.evaluation_of(self._variant_id)

    @property
    def marker_variant_id(self) -> str | None:
        """The variant that figures are compared with: the parent, or else the one viewed before; None if neither."""
        known = {variant.id for variant in self._project.variants} - {self._variant_id}
        parent_id = self.variant.parent_id
        return parent_id if parent_id in known else self._previous_id if self._previous_id in known else None

    @property
    def proposal(self) -> Evaluation | None:
        """What the variant on screen would give with other amounts, shown beside what it gives now; in no document."""
        return self._proposal

    @property
    def previewing(self) -> bool:
        """Whether a drag is under way."""
        return self._previewed is not None

    def evaluation_of(self, variant_id: str) -> Evaluation:
        """Figures of any variant, kept until something they depend on changes."""
        variant = self._project.variant(variant_id)
        made_from = _made_from(self._project, variant)
        held = self._held.get(variant_id)
        if (
            held is None
            or len(held.made_from) != len(made_from)
            or any(a is not b for a, b in zip(held.made_from, made_from, strict=True))
        ):
            held = self._hold(made_from, variant, prepare(self._project, variant, self._rows))
        return held.evaluation

    def trial(self, edit: Edit) -> Evaluation:
        """Figures of the variant on screen as an edit would make them; nothing changes."""
        variant = edit.project.variant(self._variant_id)
        return evaluate(prepare(edit.project, variant, self._rows), variant)

    def propose(self, proposal: Evaluation | None) -> None:
        """Show what other amounts would give, or no longer."""
        if proposal is not self._proposal:
            self._proposal = proposal
            if not self._about_to_show:
                self.proposed.emit()

    # --- changing it ----------------------------------------------------------------------------------------------

    def open(self, project: Project) -> None:
        """Show another project, with nothing to undo."""
        self.undo_stack.clear()
        self._held.clear()
        self._rows = FoodRows()
        self._drop_preview()
        self._previous_id = None
        self._project = self._base = _complete(project)
        self._variant_id = self._project.variants[0].id
        keep_out_of_collection()
        self.propose(None)
        self.variantSwitched.emit(self._variant_id)
        self._announce(EVERYTHING)

    def apply(self, edit: Edit, variant_id: str | None = None) -> None:
        """Make an edit, as one undo step; ``variant_id`` is the variant to show after it (default: the same).

        A drag under way is finished first, as a step of its own; the edit must have been made from ``project``.
        """
        self.commit()
        self._push(edit, variant_id or self._variant_id)

    def preview(self, edit: Edit) -> None:
        """Show an edit made from ``base`` without an undo step."""
        self._previewed = edit
        self._project = edit.project
        self._pending |= edit.change
        if not self._frame.isActive():
            self._frame.start()

    def commit(self) -> None:
        """Turn the preview into one undo step; does nothing without a preview, or where it changed nothing."""
        edit, base = self._previewed, self._base
        if edit is None:
            return
        if edit.project == base:
            self.cancel_preview()
        else:
            self._drop_preview()
            self._push(edit, self._variant_id)

    def cancel_preview(self) -> None:
        """Go back to what was there before the drag."""
        if self._previewed is not None:
            change = self._previewed.change
            self._drop_preview()
            self._project = self._base
            self._announce(change)

    def switch_variant(self, variant_id: str) -> None:
        """Show another variant; not an edit, so not on the undo stack."""
        self.commit()
        if variant_id != self._variant_id:
            self._switch(variant_id)
            self._send_figures()

    def flush(self) -> None:
        """Send what a preview left pending, and let the views paint, now instead of at the next frame."""
        if self._frame.isActive():
            self._frame.stop()
            self._show_frame()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.UpdateRequest)

    # --- inside -----------------------------------------------------------------------------------------------------

    def _push(self, edit: Edit, variant_id: str) -> None:
        before = Shown(self._base, self._variant_id)
        self.undo_stack.push(DocumentCommand(self._show, before, Shown(edit.project, variant_id), edit))

    def _show(self, shown: Shown, change: Change) -> None:
        """Called by the undo stack: show a document, and the variant in which it was edited."""
        self._drop_preview()
        self._project = self._base = shown.project
        if shown.variant_id != self._variant_id:
            self._switch(shown.variant_id)
            change |= Change.LINES  # a view that did not listen to the switch still sees other lines
        self._announce(change)

    def _switch(self, variant_id: str) -> None:
        self._previous_id, self._variant_id = self._variant_id, variant_id
        self.propose(None)
        self.variantSwitched.emit(variant_id)

    def _drop_preview(self) -> None:
        self._previewed = None
        self._pending = Change(0)
        self._frame.stop()

    def _show_frame(self) -> None:
        change, self._pending = self._pending, Change(0)
        self._announce(change)

    def _announce(self, change: Change) -> None:
        if not change & ~_SAME_MATRIX:
            self._evaluate_again()
        self.documentChanged.emit(self._project, change)
        self._send_figures()

    def _send_figures(self) -> None:
        self._about_to_show = True
        self.computed.emit()
        self._about_to_show = False
        self.evaluated.emit(self.evaluation)

    def _evaluate_again(self) -> None:
        """Only amounts or portions changed: the matrix still holds."""
        variant, held = self.variant, self._held.get(self._variant_id)
        if held is None:
            return
        made_from = _made_from(self._project, variant)
        if len(held.made_from) == len(made_from) and all(
            a is b for a, b in zip(held.made_from[1:], made_from[1:], strict=True)
        ):
            self._hold(made_from, variant, held.evaluation.prepared)

    def _hold(self, made_from: tuple[object, ...], variant: Variant, prepared: Prepared) -> _Held:
        held = _Held(made_from, evaluate(prepared, variant))
        self._held[variant.id] = held
        return held


def keep_out_of_collection() -> None:
    """Tell the garbage collector to leave alone what is loaded now and stays: modules, foods, the project.

    Walking through all of it takes 25 to 40 ms, which a drag would show as a stutter.
    """
    gc.freeze()


def _made_from(project: Project, variant: Variant) -> tuple[object, ...]:
    """Everything the figures of a variant depend on: itself first, then foods, assumptions and variants inside it."""
    inside: dict[str, Variant] = {}
    _collect_inside({v.id: v for v in project.variants}, variant, inside)
    return (variant, project.foods, project.assumptions, *inside.values())


def _collect_inside(variants: dict[str, Variant], variant: Variant, found: dict[str, Variant]) -> None:
    for line in variant.lines:
        ref = line.food_ref
        if ref.kind == "variant" and ref.id in variants and ref.id not in found:
            found[ref.id] = variants[ref.id]
            _collect_inside(variants, variants[ref.id], found)


def empty_project() -> Project:
    """A new project: one variant with one stage, and nothing in it."""
    return Project(id=new_id(), title=_("untitled"), assumptions=Assumptions())


def _complete(project: Project) -> Project:
    """At least one variant, and in each at least one stage, so that there is always a place to add an ingredient."""
    variants = project.variants or (Variant(id=new_id(), name=_("original"), purpose="original"),)
    if project.variants and all(variant.stages for variant in variants):
        return project
    variants = tuple(
        v if v.stages else replace(v, stages=(Stage(id=new_id(), name=_("mix"), kind="mix"),)) for v in variants
    )
    return replace(project, variants=variants)
