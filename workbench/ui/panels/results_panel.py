"""The results panel: what one piece, 100 g, 25 g carbohydrate, an hour or the batch delivers, while amounts change."""

from functools import partial

from PySide6.QtCore import QEvent, QPoint, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QColor, QKeyEvent
from PySide6.QtWidgets import QFrame, QMenu, QScrollArea, QToolButton, QVBoxLayout, QWidget

from workbench.base.text import N_, _
from workbench.document.project import Basis, Target
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.recipe.verdict import Verdict, verdicts
from workbench.recipe.words import quantity_text
from workbench.ui import readings
from workbench.ui.about_figures import AboutFigures
from workbench.ui.actions import UserAction
from workbench.ui.basis_choice import BasisChoice
from workbench.ui.guard import guarded
from workbench.ui.plots.band_edges import Edge
from workbench.ui.plots.lines import Figure, Figures, Headline, MarkedLine, MarkedLines, RankedLines
from workbench.ui.plots.reading import Mark, Segment
from workbench.ui.plots.scale import Scale
from workbench.ui.plots.stacked_bar import StackedBar
from workbench.ui.session import Session
from workbench.ui.targets import TargetWork
from workbench.ui.theme import colours

_NOTHING = N_("Nothing to show yet: add an ingredient to the recipe, and what one piece delivers stands here.")
_NO_TARGETS = N_("No targets yet: T on a bar sets one there, Ctrl+T opens all of them.")


@guarded
class ResultsPanel(QWidget):
    """Charts, verdicts and findings of the variant on screen.

    ``segmentActivated`` carries the key of the quantity whose ingredients are asked for, ``figureActivated`` key and
    basis of the figure whose derivation is.
    """

    segmentActivated = Signal(str)
    figureActivated = Signal(str, str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.targets = TargetWork(session, self)
        self._judged: tuple[Verdict, ...] = ()
        self._basis: Basis = "portion"
        self._lauric_counts = session.project.assumptions.lauric_counts
        self._blocks = readings.blocks(self._lauric_counts)
        self._scales = {"grams": Scale(5.0), "fine": Scale(0.5)}
        self._bars = [self._make_bar(k, block) for k, block in enumerate(self._blocks)]
        self._opened: tuple[int, str] | None = None  # bar and key whose ingredients are listed
        self._texts: dict[str, str] = {}
        self._context: tuple[object, ...] = ()
        self._other: Evaluation | None = None
        self._headline = Headline()
        self._errors = MarkedLines(_("errors"))
        self._verdicts = MarkedLines(_("targets"))
        self._figures = Figures(_("further figures"))
        self._findings = MarkedLines(_("notes on these figures"))
        self._about = AboutFigures()
        self._choice = BasisChoice(self._basis)
        self._choice.chosen.connect(self.set_basis)
        self._ranked = RankedLines()
        self._build()
        self._name_bars()
        session.evaluated.connect(self._show)
        session.variantSwitched.connect(self._start_over)
        session.proposed.connect(self._show_proposal)
        self._show(session.evaluation)

    # --- what others ask ------------------------------------------------------------------------------------------

    @property
    def basis(self) -> Basis:
        """What the figures are per."""
        return self._basis

    def set_basis(self, basis: Basis) -> None:
        """Show the figures per something else."""
        if basis != self._basis:
            self._basis = basis
            self._choice.buttons[basis].setChecked(True)
            self._show(self._session.evaluation)

    def figure_text(self, key: str) -> str:
        """A figure as shown, with its unit; ``headline`` is the first line.

        Raises
        ------
        KeyError
            If the panel shows no such figure.
        """
        if key == "headline":
            return self._headline.text()
        for bar in self._bars:
            if bar.key == key:
                return bar.figure_text()
        return self._texts[key]

    def bar(self, key: str) -> StackedBar:
        """The bar of a quantity."""
        return next(bar for bar in self._bars if bar.key == key)

    def user_actions(self) -> tuple[UserAction, ...]:
        """What can be done with targets."""
        return self.targets.user_actions()

    def choice_buttons(self) -> tuple[QToolButton, ...]:
        """All buttons that choose a basis."""
        return tuple(self._choice.buttons.values())

    def choice_button(self, basis: Basis) -> QToolButton:
        """The button that chooses a basis."""
        return self._choice.buttons[basis]

    @property
    def verdicts(self) -> MarkedLines:
        """The targets in words."""
        return self._verdicts

    @property
    def figures(self) -> Figures:
        """The short list below the bars."""
        return self._figures

    @property
    def errors(self) -> MarkedLines:
        """What stands in the way of a valid result."""
        return self._errors

    @property
    def ingredients(self) -> RankedLines:
        """The list of ingredients below the bar that was activated."""
        return self._ranked

    # --- building ---------------------------------------------------------------------------------------------------

    def _make_bar(self, index: int, block: readings.Block) -> StackedBar:
        decimals = QUANTITIES[block.key].decimals
        bar = StackedBar(block.key, "g", thin=block.thin, large=block.large, axis=block.axis, decimals=decimals)
        bar.hint_for = self._hint
        bar.segmentActivated.connect(partial(self._toggle_ingredients, index))
        bar.figureAsked.connect(self._ask_why)
        bar.targetAsked.connect(partial(self._type_target, index))
        bar.menuAsked.connect(partial(self._pop_up, index))
        bar.edgeMoved.connect(partial(self._move_edge, index))
        bar.edgeReleased.connect(self.targets.release)
        bar.edgeDropped.connect(self.targets.drop)
        return bar

    def _build(self) -> None:
        inside = QWidget()
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(8, 0, 8, 8)
        self._column.setSpacing(4)
        for bar in self._bars:
            self._column.addWidget(bar)
        for lines in (self._verdicts, self._figures, self._findings):
            self._column.addSpacing(4)
            self._column.addWidget(lines)
        self._column.addWidget(self._about)
        self._column.addStretch(1)
        self._about.opened.connect(partial(self._bring_into_sight, self._about))
        self._connect_lines()
        self._ranked.hide()
        self._errors.hide()
        self._scroll = QScrollArea()
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setWidget(inside)
        outside = QVBoxLayout(self)
        outside.setContentsMargins(0, 0, 0, 0)
        outside.setSpacing(2)
        head = QVBoxLayout()
        head.setContentsMargins(8, 4, 8, 0)
        head.addWidget(self._headline)
        head.addWidget(self._choice)
        head.addWidget(self._errors)
        outside.addLayout(head)
        outside.addWidget(self._scroll, 1)
        self._figures.set_figures(tuple(Figure(key, _(words), unit) for key, words, unit in readings.FIGURES))

    def _connect_lines(self) -> None:
        """Figures can be asked why, and targets be changed, wherever they stand in words."""
        self._headline.setAccessibleName(_("weight and energy"))
        for lines in (self._headline, self._verdicts, self._figures):
            lines.make_choosable()
        self._headline.clicked.connect(self._ask_headline)
        self._headline.activated.connect(self._ask_headline)
        self._headline.figureAsked.connect(self._ask_headline)
        for signal in (self._figures.clicked, self._figures.activated, self._figures.figureAsked):
            signal.connect(lambda k: self._ask_why(readings.FIGURES[k][0]))
        self._verdicts.activated.connect(self._edit_verdict)
        self._verdicts.figureAsked.connect(self._ask_verdict)
        self._verdicts.menuAsked.connect(self._pop_up_verdict)

    def _bring_into_sight(self, widget: QWidget) -> None:
        QTimer.singleShot(0, self, partial(self._scroll.ensureWidgetVisible, widget, 0, 8))

    def _name_bars(self) -> None:
        look = colours(self)
        for bar, block in zip(self._bars, self._blocks, strict=True):
            family: tuple[QColor, ...] = getattr(look, block.family)
            segments = tuple(
                Segment(key, _(words) if words else block.heading(), family[k], readings.PATTERNS[k])
                for k, (key, words) in enumerate(block.parts)
            )
            bar.set_parts(block.heading(), _(block.note) if block.note else "", segments)

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_ranked"):
            self._name_bars()
            self._show(self._session.evaluation)
        super().changeEvent(event)

    # --- figures --------------------------------------------------------------------------------------------------

    @Slot(str)
    def _start_over(self, _variant_id: str) -> None:
        self._context = ()

    @Slot()
    def _show_proposal(self) -> None:
        self._show(self._session.evaluation)

    @Slot(object)
    def _show(self, evaluation: Evaluation) -> None:
        """Show figures; while a hand is on a slider, scales and lines only grow."""
        resting = not self._session.previewing
        if self._session.project.assumptions.lauric_counts != self._lauric_counts:
            self._lauric_counts = not self._lauric_counts
            self._blocks = readings.blocks(self._lauric_counts)
            self._name_bars()
            self._context = ()
        self._show_context()
        targets = self.targets.target_set
        judged = self._judged = verdicts(evaluation, targets) if targets and evaluation.valid else ()
        bounds = readings.Bounds(evaluation, self._basis)
        needed = dict.fromkeys(self._scales, 0.0)
        for bar, block in zip(self._bars, self._blocks, strict=True):
            shown = readings.reading(bounds, block)
            bar.show_reading(shown, self._mark(judged, block))
            needed[block.scale] = max(needed[block.scale], readings.room(shown, bar.band, bar.marker))
        if not any(bar.dragging for bar in self._bars):  # an axis that grew under the hand would run away from it
            for name, scale in self._scales.items():
                scale.fit(needed[name], may_shrink=resting)
        for bar, block in zip(self._bars, self._blocks, strict=True):
            bar.set_limit(self._scales[block.scale].limit)
            if resting:
                bar.settle()
        self._headline.show_headline(*readings.headline(bounds))
        self._show_figures(bounds)
        self._show_sentences(bounds, judged, resting)
        self._show_ingredients(evaluation, resting)

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
        for bar, block in zip(self._bars, self._blocks, strict=True):
            target = self.targets.find(block.keys, self._basis)
            bar.set_context(readings.band(target), readings.marker(self._other, block, self._basis))

    def _show_figures(self, bounds: readings.Bounds) -> None:
        texts = []
        for key, _words, unit in readings.FIGURES:
            text = readings.figure_text(bounds, key)
            texts.append(text)
            self._texts[key] = f"{text} {unit}".rstrip()
        self._figures.show_texts(tuple(texts))

    def _mark(self, judged: tuple[Verdict, ...], block: readings.Block) -> Mark | None:
        """The verdict on a bar's own target."""
        for verdict in judged:
            if verdict.target.basis == self._basis and verdict.target.quantity in block.keys:
                return readings.mark(verdict)
        return None

    def _show_sentences(self, bounds: readings.Bounds, judged: tuple[Verdict, ...], resting: bool) -> None:
        errors: list[MarkedLine] = []
        findings: list[MarkedLine] = []
        for problem in bounds.evaluation.problems:
            (errors if problem.severity == "error" else findings).append(readings.problem_line(problem))
        if not self._session.variant.lines:
            errors = [MarkedLine("point", "muted", _(_NOTHING))]
        if bounds.evaluation.valid:
            findings += [MarkedLine("ask", "near", text) for text in readings.blanks(bounds, self._blocks)]
        self._errors.show_lines(tuple(errors), may_shrink=resting)
        said = tuple(map(readings.verdict_line, judged))
        if not judged and bounds.evaluation.valid:
            said = (MarkedLine("point", "muted", _(_NO_TARGETS)),)
        self._verdicts.show_lines(said, may_shrink=resting)
        self._findings.show_lines(tuple(findings), may_shrink=resting)

    # --- where a figure comes from ------------------------------------------------------------------------------------

    def _toggle_ingredients(self, index: int, key: str) -> None:
        """List the ingredients that make a quantity below its bar, or close the list."""
        self.segmentActivated.emit(key)
        if self._opened == (index, key):
            self._close_ingredients()
            return
        self._opened = index, key
        self._column.removeWidget(self._ranked)
        self._column.insertWidget(self._column.indexOf(self._bars[index]) + 1, self._ranked)
        self._ranked.show()
        self._show_ingredients(self._session.evaluation, resting=True)
        self._bring_into_sight(self._ranked)

    def _close_ingredients(self) -> None:
        self._opened = None
        self._ranked.hide()

    def _show_ingredients(self, evaluation: Evaluation, resting: bool) -> None:
        if self._opened is None:
            return
        key = self._opened[1]
        if not evaluation.valid:
            self._close_ingredients()
            return
        title = _("{title}, {basis}: brought by", title=_(QUANTITIES[key].title), basis=_(BASIS_TITLES[self._basis]))
        shares = readings.shares(evaluation, key, self._basis)
        self._ranked.show_shares(title, shares, readings.closing(evaluation, key, len(shares)), may_shrink=resting)

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

    # --- why, and targets -----------------------------------------------------------------------------------------

    def _ask_why(self, key: str) -> None:
        basis: Basis = "per_100g" if key == "WATER" else self._basis  # as it is shown
        self.figureActivated.emit(key, basis)

    def _ask_headline(self, k: int) -> None:
        key = readings.headline_key(self._basis, k)
        if key:
            self._ask_why(key)

    def _ask_verdict(self, k: int) -> None:
        if k < len(self._judged):
            self.figureActivated.emit(self._judged[k].target.quantity, self._judged[k].target.basis)

    def _edit_verdict(self, k: int) -> None:
        self.targets.edit(self._judged[k].target if k < len(self._judged) else None)

    def _move_edge(self, index: int, edge: Edge, value: float) -> None:
        self.targets.move_edge(self._blocks[index].keys, self._basis, edge, value)

    def _type_target(self, index: int) -> None:
        block = self._blocks[index]
        target = self.targets.find(block.keys, self._basis)
        self.targets.edit(target, None if target else (block.key, self._basis))

    def _pop_up(self, index: int, key: str, at: QPoint) -> None:
        """What can be done with a bar or a part of it."""
        menu = QMenu(self)
        menu.addAction(_("which ingredients make it"), partial(self._toggle_ingredients, index, key))
        menu.addAction(_("why this number\tCtrl+E"), partial(self._ask_why, key))
        menu.addSeparator()
        target = self.targets.find(self._blocks[index].keys, self._basis)
        words = _("change the target …\tT") if target else _("set a target …\tT")
        menu.addAction(words, partial(self._type_target, index))
        self._finish_menu(menu, target, at)

    def _pop_up_verdict(self, k: int, at: QPoint) -> None:
        menu = QMenu(self)
        if k < len(self._judged):
            menu.addAction(_("why this number\tCtrl+E"), partial(self._ask_verdict, k))
        menu.addAction(_("targets …"), partial(self._edit_verdict, k))
        self._finish_menu(menu, self._judged[k].target if k < len(self._judged) else None, at)

    def _finish_menu(self, menu: QMenu, target: Target | None, at: QPoint) -> None:
        if target is not None:
            menu.addAction(_("remove the target"), partial(self.targets.remove, target))
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(at)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self._opened is not None:
            self._close_ingredients()
        else:
            super().keyPressEvent(event)
