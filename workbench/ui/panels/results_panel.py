"""The results panel: what one piece, 100 g, 25 g carbohydrate, an hour or the batch delivers, while amounts change."""

from functools import partial

from PySide6.QtCore import QEvent, QPoint, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QMenu, QScrollArea, QToolButton, QVBoxLayout, QWidget

from workbench.base.text import N_, _
from workbench.document.project import Basis, Target
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.recipe.verdict import Verdict, verdicts
from workbench.ui import readings
from workbench.ui.about_figures import AboutFigures
from workbench.ui.actions import UserAction
from workbench.ui.bars import Bars
from workbench.ui.basis_choice import BasisChoice
from workbench.ui.guard import guarded
from workbench.ui.plots.lines import Figure, Figures, Headline, MarkedLine, MarkedLines, RankedLines
from workbench.ui.plots.stacked_bar import StackedBar
from workbench.ui.session import Session
from workbench.ui.targets import TargetWork

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
        self._bars = Bars(session, self.targets, self)
        self._bars.ingredientsAsked.connect(self._toggle_ingredients)
        self._bars.whyAsked.connect(self._ask_why)
        self._bars.menuAsked.connect(self._pop_up)
        self._opened: tuple[int, str] | None = None  # bar and key whose ingredients are listed
        self._texts: dict[str, str] = {}
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
        for bar in self._bars.all:
            if bar.key == key:
                return bar.figure_text()
        return self._texts[key]

    def bar(self, key: str) -> StackedBar:
        """The bar of a quantity."""
        return next(bar for bar in self._bars.all if bar.key == key)

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

    def _build(self) -> None:
        inside = QWidget()
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(8, 0, 8, 8)
        self._column.setSpacing(4)
        for bar in self._bars.all:
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

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_ranked"):
            self._bars.name()
            self._show(self._session.evaluation)
        super().changeEvent(event)

    # --- figures --------------------------------------------------------------------------------------------------

    @Slot(str)
    def _start_over(self, _variant_id: str) -> None:
        self._bars.forget_context()

    @Slot()
    def _show_proposal(self) -> None:
        self._show(self._session.evaluation)

    @Slot(object)
    def _show(self, evaluation: Evaluation) -> None:
        """Show figures; while a hand is on a slider, scales and lines only grow."""
        resting = not self._session.previewing
        targets = self.targets.target_set
        judged = self._judged = verdicts(evaluation, targets) if targets and evaluation.valid else ()
        bounds = readings.Bounds(evaluation, self._basis)
        self._bars.show(bounds, self._basis, judged, resting=resting)
        self._headline.show_headline(*readings.headline(bounds))
        self._show_figures(bounds)
        self._show_sentences(bounds, judged, resting)
        self._show_ingredients(evaluation, resting)

    def _show_figures(self, bounds: readings.Bounds) -> None:
        texts = []
        for key, _words, unit in readings.FIGURES:
            text = readings.figure_text(bounds, key)
            texts.append(text)
            self._texts[key] = f"{text} {unit}".rstrip()
        self._figures.show_texts(tuple(texts))

    def _show_sentences(self, bounds: readings.Bounds, judged: tuple[Verdict, ...], resting: bool) -> None:
        errors: list[MarkedLine] = []
        findings: list[MarkedLine] = []
        for problem in bounds.evaluation.problems:
            (errors if problem.severity == "error" else findings).append(readings.problem_line(problem))
        if not self._session.variant.lines:
            errors = [MarkedLine("point", "muted", _(_NOTHING))]
        if bounds.evaluation.valid:
            findings += [MarkedLine("ask", "near", text) for text in readings.blanks(bounds, self._bars.blocks)]
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
        self._column.insertWidget(self._column.indexOf(self._bars.all[index]) + 1, self._ranked)
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

    def _pop_up(self, index: int, key: str, at: QPoint) -> None:
        """What can be done with a bar or a part of it."""
        menu = QMenu(self)
        menu.addAction(_("which ingredients make it"), partial(self._toggle_ingredients, index, key))
        menu.addAction(_("why this number\tCtrl+E"), partial(self._ask_why, key))
        menu.addSeparator()
        target = self._bars.target(index)
        words = _("change the target …\tT") if target else _("set a target …\tT")
        menu.addAction(words, partial(self._bars.type_target, index))
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
