"""The bars of the results: one for each figure that is charted, on common scales, with targets to take hold of."""

from functools import partial

from PySide6.QtCore import QObject, QPoint, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from workbench.base.text import _
from workbench.document.project import Basis, Target
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.verdict import Verdict
from workbench.recipe.words import quantity_text
from workbench.ui import readings
from workbench.ui.plots.band_edges import Edge
from workbench.ui.plots.reading import Mark, Segment
from workbench.ui.plots.scale import Scale
from workbench.ui.plots.stacked_bar import StackedBar
from workbench.ui.session import Session
from workbench.ui.targets import TargetWork
from workbench.ui.theme import colours


class Bars(QObject):
    """Makes the bars and keeps what they show; the panel lays them out.

    ``ingredientsAsked`` and ``menuAsked`` carry the number of a bar and the key of the part that was pointed at,
    ``whyAsked`` carries a key.
    """

    ingredientsAsked = Signal(int, str)
    menuAsked = Signal(int, str, QPoint)
    whyAsked = Signal(str)

    def __init__(self, session: Session, targets: TargetWork, panel: QWidget) -> None:
        super().__init__(panel)
        self._session, self._targets, self._panel = session, targets, panel
        self._basis: Basis = "portion"
        self._lauric_counts = session.project.assumptions.lauric_counts
        self._scales = {"grams": Scale(5.0), "fine": Scale(0.5)}
        self._context: tuple[object, ...] = ()
        self._other: Evaluation | None = None
        self.blocks = readings.blocks(self._lauric_counts)
        self.all = [self._make(k, block) for k, block in enumerate(self.blocks)]
        self.name()

    def _make(self, index: int, block: readings.Block) -> StackedBar:
        decimals = QUANTITIES[block.key].decimals
        bar = StackedBar(block.key, "g", thin=block.thin, large=block.large, axis=block.axis, decimals=decimals)
        bar.hint_for = self._hint
        bar.segmentActivated.connect(partial(self.ingredientsAsked.emit, index))
        bar.figureAsked.connect(self.whyAsked)
        bar.targetAsked.connect(partial(self.type_target, index))
        bar.menuAsked.connect(partial(self.menuAsked.emit, index))
        bar.edgeMoved.connect(partial(self._move_edge, index))
        bar.edgeReleased.connect(self._targets.release)
        bar.edgeDropped.connect(self._targets.drop)
        return bar

    def name(self) -> None:
        """Name and colour the bars and their parts."""
        look = colours(self._panel)
        for bar, block in zip(self.all, self.blocks, strict=True):
            family: tuple[QColor, ...] = getattr(look, block.family)
            segments = tuple(
                Segment(key, _(words) if words else block.heading(), family[k], readings.PATTERNS[k])
                for k, (key, words) in enumerate(block.parts)
            )
            bar.set_parts(block.heading(), _(block.note) if block.note else "", segments)

    def forget_context(self) -> None:
        """Another variant is shown: work out bands and marker anew."""
        self._context = ()

    # --- figures --------------------------------------------------------------------------------------------------

    def show(self, bounds: readings.Bounds, basis: Basis, judged: tuple[Verdict, ...], *, resting: bool) -> None:
        """Show figures; while a hand is on a slider, scales only grow."""
        self._basis = basis
        if self._session.project.assumptions.lauric_counts != self._lauric_counts:
            self._lauric_counts = not self._lauric_counts
            self.blocks = readings.blocks(self._lauric_counts)
            self.name()
            self._context = ()
        self._show_context()
        needed = dict.fromkeys(self._scales, 0.0)
        for bar, block in zip(self.all, self.blocks, strict=True):
            shown = readings.reading(bounds, block)
            bar.show_reading(shown, self._mark(judged, block))
            needed[block.scale] = max(needed[block.scale], readings.room(shown, bar.band, bar.marker))
        if not any(bar.dragging for bar in self.all):  # an axis that grew under the hand would run away from it
            for name, scale in self._scales.items():
                scale.fit(needed[name], may_shrink=resting)
        for bar, block in zip(self.all, self.blocks, strict=True):
            bar.set_limit(self._scales[block.scale].limit)
            if resting:
                bar.settle()

    def _show_context(self) -> None:
        """Target bands and the marker; worked out again only where something behind them changed.

        The marker stands for what is proposed, or else for another variant.
        """
        session = self._session
        project, variant, other_id = session.project, session.variant, session.marker_variant_id
        self._other = session.proposal or (session.evaluation_of(other_id) if other_id else None)
        context = (project.target_sets, variant.target_set_id, self._basis, self._other)
        if len(self._context) == len(context) and all(a is b for a, b in zip(self._context, context, strict=True)):
            return
        self._context = context
        for index, (bar, block) in enumerate(zip(self.all, self.blocks, strict=True)):
            band = readings.band(self.target(index))
            bar.set_context(band, readings.marker(self._other, block, self._basis))

    def _mark(self, judged: tuple[Verdict, ...], block: readings.Block) -> Mark | None:
        """The verdict on a bar's own target."""
        for verdict in judged:
            if verdict.target.basis == self._basis and verdict.target.quantity in block.keys:
                return readings.mark(verdict)
        return None

    def _hint(self, key: str) -> str:
        """Words for the tooltip of a bar or a part of it."""
        evaluation = self._session.evaluation
        if not evaluation.valid:
            return _("no result: see the error above.")
        bound = evaluation.bound(key, self._basis)
        said = [f"{_(QUANTITIES[key].title)}: {quantity_text(bound, key)}"]
        if self._other is not None and self._other.valid:
            said.append(f"{self._other.variant.name}: {quantity_text(self._other.bound(key, self._basis), key)}")
        if bound.unknown:
            said.append(_("not exactly known for {foods}.", foods=", ".join(bound.unknown)))
        said.append(_("click or Enter: which ingredients make it; Ctrl+click or Ctrl+E: why this number"))
        said.append(_("Alt+arrow moves the low edge of the target, Alt+Shift+arrow the high edge, T types it"))
        return "\n".join(said)

    # --- targets --------------------------------------------------------------------------------------------------

    def target(self, index: int) -> Target | None:
        """The target of a bar."""
        return self._targets.find(self.blocks[index].keys, self._basis)

    def type_target(self, index: int) -> None:
        """Ask for the target of a bar."""
        target = self.target(index)
        self._targets.edit(target, None if target else (self.blocks[index].key, self._basis))

    def _move_edge(self, index: int, edge: Edge, value: float) -> None:
        self._targets.move_edge(self.blocks[index].keys, self._basis, edge, value)
