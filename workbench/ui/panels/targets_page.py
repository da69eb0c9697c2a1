"""What would help: why targets cannot all hold, which ingredients move each, and the best trade-off between two.

Beside it, for every ingredient, what one gram more of it does to everything.
"""

import math
from typing import Any

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QScrollArea, QToolButton, QVBoxLayout, QWidget

from workbench.base.errors import WorkbenchError
from workbench.base.text import N_, _, number, plural
from workbench.document.project import Basis, Target, TargetSet
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.verdict import verdicts
from workbench.recipe.words import quantity_text, target_title
from workbench.solve.clash import why_not
from workbench.solve.effects import Helper, effects, helpers
from workbench.solve.front import Axis, Front, trade_off
from workbench.solve.words import clash_lines, grams_text, judged_text
from workbench.ui.basis_choice import BasisChoice
from workbench.ui.matching import Matching
from workbench.ui.plots.front_chart import FrontChart, Place
from workbench.ui.readings import ASKED_MOST
from workbench.ui.session import Session
from workbench.ui.side_page import SidePage
from workbench.ui.tables.effects_table import EffectsTable
from workbench.ui.tables.figure_tree import FigureRow, FigureTree
from workbench.ui.wrapping_row import WrappingRow

_BETTER_LESS = frozenset(("FAT", "FASAT", "FIBTG", "residue_organic", "residue_fibre_based", "salt", "NA", "cost"))
_BESIDE = ("energy_kcal", "PROCNT", "salt", "WATER", "cost")  # columns after those of the targets and the charts
_VIEWS = (("help", N_("what would help")), ("gram", N_("what 1 g more does")))
_MARKS = N_("S or a click on a title sorts; … stands between limits, ? for what cannot be told")
_NOT_VALID = N_("The recipe gives no valid figures; mend what the charts say first.")
_POINTS = 11
_LEAST_LINES = 11  # of the tree, before the chart below it gives way
_LEAST_FELT = 0.0005  # less a gram is shown as nothing


class TargetsPage(SidePage):
    """Follows the recipe while it is in sight; a point of the trade-off becomes the proposal of ``matching``."""

    def __init__(self, session: Session, matching: Matching, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._matching = session, matching
        self._front: Front | None = None
        self._listed: tuple[tuple[str, str], ...] = ()
        self.message = QLabel(self)
        self.message.setWordWrap(True)
        self._basis: Basis = "portion"
        self.views = {key: self._view_button(key, words) for key, words in _VIEWS}
        self.bases = BasisChoice(self._basis, self)
        self.bases.chosen.connect(self._take_basis)
        self.effects = EffectsTable(self)
        self.marks = QLabel(_(_MARKS), self)
        self.marks.setWordWrap(True)
        columns = (_("ingredient"), _("each gram"), _("enough alone"), _("besides"))
        self.tree = FigureTree(_("what would help"), columns, self)
        self.tree.setMinimumHeight(_LEAST_LINES * self.tree.fontMetrics().height())
        self.first, self.second = QComboBox(self), QComboBox(self)
        self.first.setAccessibleName(_("trade-off between"))
        self.second.setAccessibleName(_("trade-off with"))
        for box in (self.first, self.second):
            box.currentTextChanged.connect(box.setToolTip)  # where there is no room for all of it
        self.chart = FrontChart(_("best trade-off"), self)
        self.point = QLabel(self)
        self.point.setWordWrap(True)
        self._lay_out()
        self.setFocusProxy(self.tree)
        self.first.activated.connect(self._draw)
        self.second.activated.connect(self._draw)
        self.chart.chosen.connect(self._choose)

    def _view_button(self, key: str, words: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(_(words))
        button.setCheckable(True)
        button.setAutoExclusive(True)
        button.setProperty("choice", True)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        button.setChecked(key == "help")
        button.clicked.connect(self.follow)
        return button

    def _lay_out(self) -> None:
        choice = WrappingRow()
        for button in self.views.values():
            choice.addWidget(button)
        axes = QHBoxLayout()
        self.trade_off_label = QLabel(_("best &trade-off"), self)
        self.trade_off_label.setBuddy(self.first)
        axes.addWidget(self.trade_off_label)
        axes.addWidget(self.first, 1)
        axes.addWidget(self.second, 1)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 8, 8)
        column.setSpacing(4)
        column.addLayout(choice)
        column.addWidget(self.bases)
        column.addWidget(self.message)
        column.addWidget(self.effects, 1)
        column.addWidget(self.marks)
        column.addWidget(self.tree, 1)
        column.addLayout(axes)
        column.addWidget(self.chart)
        column.addWidget(self.point)
        scroll = QScrollArea(self)  # where tree, chart and words have no room together
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.addWidget(scroll)

    # --- what the panel asks ------------------------------------------------------------------------------------------

    def begin(self, **_what: Any) -> None:
        """Take up the targets of the variant on screen."""
        self.follow()

    @Slot()
    def follow(self) -> None:
        """Take up the present figures; while a hand is on a slider the page waits."""
        if self._session.previewing:
            return
        targets, message = self._matching.targets, ""
        by_gram = self.views["gram"].isChecked()
        if by_gram:
            message = self._show_effects()
        elif targets is None:
            message = _("This variant has no targets yet (Ctrl+T).")
        elif not self._session.evaluation.valid:
            message = _(_NOT_VALID)
        else:
            try:
                rows = self._rows(targets)
            except WorkbenchError as error:
                message = " ".join(error.lines())
            else:
                self.tree.show_rows(rows, opened=True)
                self._list_axes(targets)
                self._draw()
        self.message.setText(message)
        self.message.setVisible(bool(message))
        for widget in (self.tree, self.first, self.second, self.trade_off_label, self.chart, self.point):
            widget.setVisible(not message and not by_gram)
        for beside in (self.bases, self.effects, self.marks):
            beside.setVisible(not message and by_gram)
        self.setFocusProxy(self.effects if by_gram else self.tree)

    # --- why not, and what would help ---------------------------------------------------------------------------------

    def _rows(self, targets: TargetSet) -> tuple[FigureRow, ...]:
        session = self._session
        project, variant, evaluation = session.project, session.variant, session.evaluation
        currency = evaluation.prepared.currency
        rows: list[FigureRow] = []
        clash = why_not(project, variant, targets, prepared=evaluation.prepared)
        if clash is not None:
            head, *rest = clash_lines(clash, currency)
            said = tuple(FigureRow(f"clash {k}", (line,), wide=True) for k, line in enumerate(rest))
            rows.append(FigureRow("clash", (head,), wide=True, bold=True, children=said))
        for verdict in verdicts(evaluation, targets):
            others = tuple(t for t in targets.targets if t.id != verdict.target.id and t.quantity in QUANTITIES)
            found = helpers(project, variant, verdict.target, others, evaluation.prepared)
            felt = (helper for helper in found if abs(helper.per_gram) >= _LEAST_FELT)
            children = tuple(_helper_row(helper, verdict.target, others) for helper in felt)
            rows.append(
                FigureRow(verdict.target.id, (judged_text(verdict, currency),), wide=True, bold=True, children=children)
            )
        return tuple(rows)

    # --- what a gram does ---------------------------------------------------------------------------------------------

    def _take_basis(self, basis: Basis) -> None:
        self._basis = basis
        self.follow()

    def _show_effects(self) -> str:
        """Fill the table; what stands in the way of it, "" if nothing does."""
        session, targets = self._session, self._matching.targets
        evaluation = session.evaluation
        if not evaluation.valid:
            return _(_NOT_VALID)
        wanted = [target.quantity for target in targets.targets] if targets is not None else []
        keys = [key for key in dict.fromkeys((*wanted, *ASKED_MOST, *_BESIDE)) if key in QUANTITIES]
        pairs = [(key, self._basis) for key in keys if self._basis in QUANTITIES[key].bases]
        pairs += [(key, "batch") for key in keys if QUANTITIES[key].kind == "ratio"]
        currency = evaluation.prepared.currency
        shown = [pair for pair in dict.fromkeys(pairs) if pair[0] != "cost" or currency]
        self.effects.show_effects(effects(session.project, session.variant, shown, evaluation.prepared), currency)
        return ""

    # --- trade-off ----------------------------------------------------------------------------------------------------

    def _list_axes(self, targets: TargetSet) -> None:
        """The quantities of the targets; the first two are what the chart begins with."""
        axes = tuple(dict.fromkeys((t.quantity, t.basis) for t in targets.targets if t.quantity in QUANTITIES))
        if len(axes) == 1:
            axes = (*axes, ("energy_kcal" if axes[0][0] != "energy_kcal" else "CHOAVLDF", axes[0][1]))
        if axes == self._listed:
            return
        self._listed = axes
        fat = next((k for k, (key, _basis_) in enumerate(axes) if key == "FAT" and k > 0), 1)
        for box, at in ((self.first, 0), (self.second, fat)):
            box.clear()
            for key, basis in axes:
                box.addItem(target_title(Target(id="", quantity=key, basis=_basis(basis))), (key, basis))
            box.setCurrentIndex(at)

    @Slot()
    def _draw(self) -> None:
        session, targets = self._session, self._matching.targets
        first, second = self.first.currentData(), self.second.currentData()
        self._front = None
        if targets is not None and first != second:
            evaluation = session.evaluation
            self._front = trade_off(
                session.project,
                session.variant,
                targets,
                _axis(first),
                _axis(second),
                _POINTS,
                None,
                evaluation.prepared,
            )
        front = self._front
        if front is None or not front.points:
            self.chart.show_front((), None, ("", ""))
            self.point.setText(_("choose two different figures") if front is None else _("nothing can move here"))
            return
        places = tuple(_place(front, point.first, point.second) for point in front.points)
        self.chart.show_front(places, _place(front, *front.now), (_axis_title(front.first), _axis_title(front.second)))
        self.point.setText(_("✕ is the recipe now; choose a point with the arrows to see its amounts on the sliders"))

    @Slot(int)
    def _choose(self, k: int) -> None:
        if self._front is not None:
            words = self.chart.places[k].words
            self.point.setText(words)
            self._matching.offer(self._front.points[k].proposal, _("chosen on the trade-off: {figures}", figures=words))


def _helper_row(helper: Helper, target: Target, others: tuple[Target, ...]) -> FigureRow:
    quantity = QUANTITIES[target.quantity]
    way = _("more") if helper.per_gram > 0 else _("less")
    per_gram = f"{way}: {number(abs(helper.per_gram), 3)} {quantity.unit}".rstrip()
    enough = "–"
    if helper.grams is not None:
        enough = f"{'+' if helper.grams > 0 else '−'}{grams_text(abs(helper.grams))}"
    besides = "; ".join(
        f"{_(QUANTITIES[other.quantity].title)} {_signed(side)}"
        for other, side in zip(others, helper.side_effects, strict=True)
        if other.quantity != target.quantity and abs(side) >= _LEAST_FELT
    )
    words = _("each gram {way}: {figures}", way=way, figures=besides)
    children = (FigureRow(f"{helper.line_id} besides", (words,), wide=True, muted=True),) if besides else ()
    count = plural("{n} other", "{n} others", besides.count(";") + 1) if besides else ""
    return FigureRow(helper.line_id, (helper.name, per_gram, enough, count), children=children)


def _signed(value: float) -> str:
    if not math.isfinite(value):
        return _("not known")
    return f"{'+' if value > 0 else '−' if value < 0 else ''}{number(abs(value), 3)}"


def _basis(text: str) -> Basis:
    return text  # type: ignore[return-value]  # it came from a target


def _axis(data: tuple[str, str]) -> Axis:
    key, basis = data
    return Axis(key, _basis(basis), "less" if key in _BETTER_LESS else "more")


def _axis_title(axis: Axis) -> str:
    title = target_title(Target(id="", quantity=axis.key, basis=axis.basis))
    return f"{title}, {QUANTITIES[axis.key].unit}".rstrip(", ")


def _place(front: Front, first: Any, second: Any) -> Place:
    words = "; ".join(
        f"{_(QUANTITIES[axis.key].title)} {quantity_text(bound, axis.key)}"
        for axis, bound in ((front.first, first), (front.second, second))
    )
    return Place(first.value, second.value, words)
