"""The differences of the variant on screen to another one: what changed in the recipe, and what it did."""

import math
from typing import Any

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from workbench.base.text import N_, _, number
from workbench.document.project import Basis
from workbench.recipe.bound import Bound
from workbench.recipe.comparison import Difference, differences, line_changes
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import BASES, BASIS_TITLES
from workbench.recipe.words import bound_text, change_text, line_change_text
from workbench.ui.session import Session
from workbench.ui.side_page import SidePage
from workbench.ui.tables.figure_tree import FigureRow, FigureTree

_KEYS = (
    "CHOAVLDF",
    "glucose_type",
    "fructose_type",
    "fructose_to_glucose",
    "SUGAR",
    "FAT",
    "FASAT",
    "medium_chain",
    "F12D0",
    "FIBTG",
    "FIBSOL",
    "FIBINS",
    "residue_organic",
    "residue_fibre_based",
    "PROCNT",
    "salt",
    "NA",
    "K",
    "WATER",
    "energy_kcal",
    "energy_kj",
    "energy_from_carbohydrate",
    "energy_from_fat",
    "energy_from_protein",
)
_UP, _DOWN, _SAME, _CANNOT_TELL = "▲ {change}", "▼ {change}", N_("= same"), N_("◇ cannot tell")
_SIGNS = {"added": "+", "removed": "−", "replaced": "⇄", "more": "▲", "less": "▼"}


class DifferencesPage(SidePage):
    """Two variants beside each other."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._other_id: str | None = None
        self._order: tuple[str, ...] = ()
        self._listed: tuple[tuple[str, str], ...] = ()
        self.other = QComboBox(self)
        self.other.setAccessibleName(_("compared with"))
        self.other.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.basis = QComboBox(self)
        self.basis.setAccessibleName(_("per what"))
        for basis in BASES:
            self.basis.addItem(_(BASIS_TITLES[basis]), basis)
        self.basis.setCurrentIndex(self.basis.findData("portion"))
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)  # names are never markup
        self.message.setWordWrap(True)
        columns = (_("figure"), _("before"), _("now"), _("change"))
        self.tree = FigureTree(_("differences"), columns, self)
        self.copy_button = QPushButton(_("copy as text"), self)
        self.copy_button.setAutoDefault(False)
        self._lay_out()
        self.setFocusProxy(self.tree)
        self.other.activated.connect(self._choose)
        self.basis.activated.connect(self._choose)
        self.copy_button.clicked.connect(self.copy)
        self.tree.copyRequested.connect(self.copy)

    def _lay_out(self) -> None:
        from_words = QLabel(_("&from"), self)
        from_words.setBuddy(self.other)
        choice = QHBoxLayout()
        choice.addWidget(from_words)
        choice.addWidget(self.other, 1)
        choice.addWidget(self.basis)
        below = QHBoxLayout()
        below.addStretch(1)
        below.addWidget(self.copy_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 8, 8)
        column.setSpacing(4)
        column.addLayout(choice)
        column.addWidget(self.message)
        column.addWidget(self.tree, 1)
        column.addLayout(below)

    # --- what the panel asks ----------------------------------------------------------------------------------------

    def begin(self, *, other_id: str | None = None, basis: Basis | None = None, **_rest: Any) -> None:
        """Compare with a variant; without one, with the one that was chosen, or the parent."""
        if other_id is not None:
            self._other_id = other_id
        if basis is not None:
            self.basis.setCurrentIndex(self.basis.findData(basis))
        self.follow()

    @Slot()
    def follow(self) -> None:
        """Take up the present figures."""
        session = self._session
        self._list_others()
        other_id = self.other.currentData()
        after = session.evaluation
        before = session.evaluation_of(other_id) if other_id else None
        message = _why_not(before, after)
        for widget in (self.tree, self.copy_button):
            widget.setVisible(not message)
        self.message.setVisible(bool(message))
        self.message.setText(message)
        if before is not None and not message:
            self.tree.show_rows(self._rows(before, after), resting=not session.previewing, opened=True)

    def _list_others(self) -> None:
        session = self._session
        others = tuple((v.id, v.name) for v in session.project.variants if v.id != session.variant_id)
        if others != self._listed:
            self._listed = others
            self.other.clear()
            for variant_id, name in others:
                self.other.addItem(name, variant_id)
        known = {variant_id for variant_id, _name in others}
        wanted = self._other_id if self._other_id in known else session.marker_variant_id
        at = self.other.findData(wanted) if wanted else 0
        if others and at != self.other.currentIndex():
            self.other.setCurrentIndex(max(at, 0))

    @Slot()
    def _choose(self) -> None:
        self._other_id = self.other.currentData()
        self._order = ()
        self.follow()

    # --- what is shown ----------------------------------------------------------------------------------------------

    @property
    def basis_key(self) -> Basis:
        """What the figures are per."""
        return self.basis.currentData()

    def text(self) -> str:
        """What is shown, as plain text."""
        session = self._session
        if self.tree.isHidden():
            return self.message.text()
        title = _(
            "{now} compared with {before}, {basis}",
            now=session.variant.name,
            before=self.other.currentText(),
            basis=_(BASIS_TITLES[self.basis_key]),
        )
        lines = [title]
        for group in self.tree.rows():
            lines += ["", group.cells[0]]
            lines += [f"  {_row_text(row)}" for row in group.children]
        return "\n".join(lines)

    def copy(self) -> None:
        """Put it on the clipboard."""
        QGuiApplication.clipboard().setText(self.text())

    def _rows(self, before: Evaluation, after: Evaluation) -> tuple[FigureRow, ...]:
        changes = line_changes(before, after)
        recipe = tuple(
            _wide(
                f"{change.what} {change.before_name} {change.name}", f"{_SIGNS[change.what]} {line_change_text(change)}"
            )
            for change in changes
        )
        basis = self.basis_key
        found = {d.quantity.key: d for d in differences(before, after, basis, _KEYS)}
        moved = [key for key in _KEYS if _direction(found[key]) != _SAME]
        if not (self._session.previewing and self._order):  # rows do not change places under a hand
            self._order = (*moved, *(key for key in _KEYS if key not in moved))
        weight = _weight_row(before.mass_g(basis), after.mass_g(basis)) if basis != "per_100g" else ()
        figures = (*weight, *(_difference_row(found[key]) for key in self._order))
        nothing = (_wide("nothing", _("no ingredient's share of the batch changed")),)
        return (
            _wide("recipe", _("what changed in the recipe"), bold=True, children=recipe or nothing),
            _wide("figures", _("what it did"), bold=True, children=figures),
        )


def _why_not(before: Evaluation | None, after: Evaluation) -> str:
    if before is None:
        return _(
            "There is one variant so far. Make another from it (Ctrl+Shift+N), change it, and see here what it did."
        )
    for evaluation in (after, before):
        if not evaluation.valid:
            errors = [problem.sentence() for problem in evaluation.problems if problem.severity == "error"]
            head = _("“{name}” has no result to compare.", name=evaluation.variant.name)
            return "\n".join([head, *(f"✕ {error}" for error in errors)])
    return ""


def _direction(difference: Difference) -> str:
    """Which way a figure went, as shown; the same where it stays within its rounding."""
    change, decimals = difference.change, difference.quantity.decimals
    if change.certainty == "not_known":
        return _CANNOT_TELL
    before, after = difference.before, difference.after
    if before[:3] == after[:3]:
        return _SAME
    if change.low < 0.0 < change.high and not _both_exact(before, after):
        return _CANNOT_TELL
    rounded = round(change.value, decimals)
    return _UP if rounded > 0 else _DOWN if rounded < 0 else _SAME


def _marked(way: str, change: str) -> str:
    """A change with a shape that says which way it goes."""
    return _(way, change=change)


def _both_exact(before: Bound, after: Bound) -> bool:
    return before.certainty == after.certainty == "exact"


def _difference_row(difference: Difference) -> FigureRow:
    quantity = difference.quantity
    way = _direction(difference)
    title = f"{_(quantity.title)} {quantity.unit}".rstrip()
    figures = [bound_text(bound, quantity.decimals) for bound in (difference.before, difference.after)]
    return FigureRow(quantity.key, (title, *figures, _marked(way, change_text(difference))), muted=way == _SAME)


def _weight_row(before: Bound, after: Bound) -> tuple[FigureRow, ...]:
    change = after.value - before.value
    texts = [bound_text(bound, 1) for bound in (before, after)]
    if math.isnan(change):
        way = _CANNOT_TELL
    else:
        way = _SAME if texts[0] == texts[1] else _UP if change > 0 else _DOWN
    moved = f"{'+' if change > 0 else '−' if change < 0 else ''}{number(abs(change), 1)}"
    return (FigureRow("weight", (_("weight g"), *texts, _marked(way, moved)), muted=way == _SAME),)


def _row_text(row: FigureRow) -> str:
    if row.wide:
        return row.cells[0]
    title, before, now, change = row.cells
    return f"{title}: {before} → {now}  {change}"


def _wide(key: str, words: str, *, bold: bool = False, children: tuple[FigureRow, ...] = ()) -> FigureRow:
    return FigureRow(key, (words,), wide=True, bold=bold, children=children)
