"""Why this number: the whole derivation of one figure, which follows the slider while it is in sight."""

from typing import Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from workbench.base.text import N_, _, number
from workbench.document.project import Basis
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.explanation import Explanation, Term, explain
from workbench.recipe.explanation_words import explanation_text, headline, input_text, limits_text, total_words
from workbench.recipe.quantities import BASES, BASIS_TITLES, QUANTITIES
from workbench.recipe.words import figure_text, quantity_text
from workbench.ui.plots.lines import Headline
from workbench.ui.readings import ASKED_MOST
from workbench.ui.session import Session
from workbench.ui.side_page import SidePage
from workbench.ui.tables.figure_tree import FigureRow, FigureTree

_COLUMNS = (N_("ingredient"), N_("g"), N_("× edible"), N_("per 100 g"), N_("brings"), N_("share"))


class ExplanationPage(SidePage):
    """One figure and all it is made of.  ``quantityChosen(key, basis)`` tells of another choice made here."""

    quantityChosen = Signal(str, str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._variant_id: str | None = None  # None: whatever is on screen
        self._explanation: Explanation | None = None
        self.quantity = QComboBox(self)
        self.quantity.setAccessibleName(_("which figure"))
        self.quantity.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.quantity.setMaxVisibleItems(20)
        for key in dict.fromkeys((*ASKED_MOST, *QUANTITIES)):
            if key == ASKED_MOST[-1]:
                self.quantity.addItem(_(QUANTITIES[key].title), key)
                self.quantity.insertSeparator(self.quantity.count())
            else:
                self.quantity.addItem(_title(key), key)
        self.basis = QComboBox(self)
        self.basis.setAccessibleName(_("per what"))
        for basis in BASES:
            self.basis.addItem(_(BASIS_TITLES[basis]), basis)
        self.headline = Headline(self)
        self.headline.setAccessibleName(_("the figure"))
        self.formula = QLabel(self)
        self.formula.setWordWrap(True)
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)  # names are never markup
        self.message.setWordWrap(True)
        self.tree = FigureTree(_("where the figure comes from"), tuple(_(words) for words in _COLUMNS), self)
        self.copy_button = QPushButton(_("copy as text"), self)
        self.copy_button.setAutoDefault(False)
        self._lay_out()
        self.setFocusProxy(self.tree)
        self.quantity.activated.connect(self._choose)
        self.basis.activated.connect(self._choose)
        self.copy_button.clicked.connect(self.copy)
        self.tree.copyRequested.connect(self.copy)

    def _lay_out(self) -> None:
        choice = QHBoxLayout()
        choice.addWidget(self.quantity, 1)
        choice.addWidget(self.basis)
        below = QHBoxLayout()
        below.addStretch(1)
        below.addWidget(self.copy_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 8, 8)
        column.setSpacing(4)
        column.addLayout(choice)
        column.addWidget(self.headline)
        column.addWidget(self.formula)
        column.addWidget(self.message)
        column.addWidget(self.tree, 1)
        column.addLayout(below)

    # --- what the panel asks ----------------------------------------------------------------------------------------

    def begin(self, *, key: str = "", basis: Basis | None = None, variant_id: str | None = None, **_other: Any) -> None:
        """Explain a quantity on a basis, of one variant or of whatever is on screen; what is left out stays."""
        if key:
            self.quantity.setCurrentIndex(self.quantity.findData(key))
        if basis is not None or self._explanation is None:
            self.basis.setCurrentIndex(self.basis.findData(basis or "portion"))
        self._variant_id = variant_id if variant_id != self._session.variant_id else None
        self.follow()

    @Slot()
    def follow(self) -> None:
        """Take up the present figures."""
        evaluation = self._evaluation()
        ratio = QUANTITIES[self.key].kind == "ratio"
        self.basis.setEnabled(not ratio)
        self._explanation = (
            explain(self._session.project, evaluation, self.key, self.basis_key) if evaluation.valid else None
        )
        known = self._explanation is not None
        for widget in (self.formula, self.tree, self.copy_button):
            widget.setVisible(known)
        self.message.setVisible(not known)
        if self._explanation is not None:
            self._show(self._explanation)
            return
        self.headline.show_headline(_("no result"), (("", evaluation.variant.name),))
        errors = [problem.sentence() for problem in evaluation.problems if problem.severity == "error"]
        self.message.setText("✕ " + "\n✕ ".join(errors))

    # --- what is shown ----------------------------------------------------------------------------------------------

    @property
    def key(self) -> str:
        """The quantity that is explained."""
        return str(self.quantity.currentData())

    @property
    def basis_key(self) -> Basis:
        """What it is per."""
        return self.basis.currentData()

    def text(self) -> str:
        """The derivation as plain text; "" where there is none."""
        return explanation_text(self._explanation) if self._explanation is not None else ""

    def copy(self) -> None:
        """Put the derivation on the clipboard."""
        QGuiApplication.clipboard().setText(self.text())

    def _evaluation(self) -> Evaluation:
        known = {variant.id for variant in self._session.project.variants}
        chosen = self._variant_id if self._variant_id in known else None
        return self._session.evaluation_of(chosen or self._session.variant_id)

    @Slot()
    def _choose(self) -> None:
        self.follow()
        self.quantityChosen.emit(self.key, self.basis_key)

    def _show(self, e: Explanation) -> None:
        resting = not self._session.previewing
        per = "" if e.quantity.kind == "ratio" else _(BASIS_TITLES[e.basis])
        about = " · ".join(filter(None, (per, e.variant_name)))
        self.headline.show_headline(quantity_text(e.bound, e.quantity.key), (("", about),))
        formula = f"{_(e.quantity.title)}: {_(e.quantity.formula)}"
        if formula != self.formula.text():
            self.formula.setText(formula)
        self.tree.show_rows(_rows(e), resting=resting)


def _title(key: str) -> str:
    quantity = QUANTITIES[key]
    title = _(quantity.title)
    twin = any(q.title == quantity.title and q.key != key for q in QUANTITIES.values())
    return f"{title} ({quantity.unit})" if twin else title


# --- rows --------------------------------------------------------------------------------------------------------


def _rows(e: Explanation) -> tuple[FigureRow, ...]:
    """Terms, their sum, the steps to the figure, its limits, and the weights."""
    rows: list[FigureRow] = []
    for part in e.parts:
        figure = quantity_text(part.bound, part.quantity.key)
        inside = _rows(part._replace(weights=()))
        rows.append(_wide(f"part {part.quantity.key}", headline(part), figure, bold=True, children=inside))
    rows += [_term_row(term, e) for term in e.terms if not term.brings_nothing]
    nothing = [term.name for term in e.terms if term.brings_nothing]
    if nothing:
        rows.append(_wide("nothing", _("nothing from: {names}", names="; ".join(nothing)), muted=True))
    if e.terms:
        rows.append(_wide("sum", total_words(e), _figure(e.total, e, 3)))
    for k, step in enumerate(e.steps):
        rows.append(_wide(f"step {k}", step.words, "= " + _figure(step.result, e, 4)))
    rows.append(_wide("rounded", headline(e), quantity_text(e.bound, e.quantity.key), bold=True))
    if e.bound.certainty != "exact":
        rows.append(_wide("limits", _limits_words(e.bound, e)))
    if e.weights:
        weights = tuple(_wide(f"weight {k}", words) for k, words in enumerate(e.weights))
        rows.append(_wide("weights", _("weights in and out"), children=weights))
    return tuple(rows)


def _wide(
    key: str,
    words: str,
    figure: str = "",
    *,
    muted: bool = False,
    bold: bool = False,
    children: tuple[FigureRow, ...] = (),
) -> FigureRow:
    return FigureRow(key, (words,), wide=True, figure=figure, muted=muted, bold=bold, children=children)


def _term_row(term: Term, e: Explanation) -> FigureRow:
    share = term.brings / e.total if e.total > 0 else 0.0
    decimals = e.quantity.decimals + 1
    edible = "" if term.edible_fraction == 1.0 else f"× {figure_text(term.edible_fraction)}"
    inputs = tuple(_wide(given.tag, input_text(given), muted=given.value is None) for given in term.inputs)
    if term.note:
        inputs = (*inputs, _wide("note", term.note, muted=True))
    return FigureRow(
        term.line_id,
        (
            term.name,
            number(term.amount_g, 1),
            edible,
            limits_text(term.per_100g_bound(), decimals),
            limits_text(term.brings_bound(), decimals),
            _("{percent} %", percent=number(100.0 * share, 0)),
        ),
        share=share,
        children=inputs,
    )


def _figure(amount: float, e: Explanation, decimals: int) -> str:
    return f"{number(amount, decimals)} {e.quantity.unit}".rstrip()


def _limits_words(bound: Bound, e: Explanation) -> str:
    """The limits, and who is at fault."""
    words = limits_text(bound, e.quantity.decimals + 1, e.quantity.unit)
    if not bound.unknown:
        return _("◇ the truth: {limits}", limits=words)
    return _("◇ the truth: {limits}; not exactly known for {names}", limits=words, names="; ".join(bound.unknown))
