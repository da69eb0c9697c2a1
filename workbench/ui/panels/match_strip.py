"""The strip under the recipe that proposes amounts: what they would do, how to look for them, and taking them."""

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QCheckBox, QLabel, QPushButton, QVBoxLayout, QWidget

from workbench.base.text import _, plural
from workbench.solve.proposal import Proposal
from workbench.ui.actions import UserAction
from workbench.ui.guard import guarded
from workbench.ui.matching import Matching
from workbench.ui.wrapping_row import WrappingRow

_MOST_NAMED = 3
_SIGNS = {"short": "▼", "over": "▲", "cannot_tell": "◇"}


@guarded
class MatchStrip(QWidget):
    """Shows what ``matching`` proposes; the amounts themselves stand as diamonds on the sliders.

    ``targetsAsked`` wants targets to be typed, ``helpAsked`` to know why they cannot be met and what would help.
    """

    targetsAsked = Signal()
    helpAsked = Signal()
    closed = Signal()

    def __init__(self, matching: Matching, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._matching = matching
        self.setAccessibleName(_("match targets"))
        self.words = QLabel(self)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.setWordWrap(True)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.few = QCheckBox(_("change &few ingredients"), self)
        self.kitchen = QCheckBox(_("&kitchen figures"), self)
        self.kitchen.setToolTip(_("amounts that a scale, a spoon or a pack can do"))
        self.hold = QCheckBox(_("&hold targets in a drag"), self)
        self.hold.setToolTip(_("while one amount is dragged the others move so that the targets hold"))
        self.accept_button = QPushButton(_("&accept"), self)
        self.variant_button = QPushButton(_("accept as a new &variant"), self)
        self.help_button = QPushButton(_("&what would help"), self)
        self.targets_button = QPushButton(_("&targets …"), self)
        self.close_button = QPushButton(_("&close"), self)
        self.race_button = QPushButton(_("begin with &race targets"), self)
        self.long_button = QPushButton(_("begin with &long-ride targets"), self)
        self._lay_out()
        self.few.toggled.connect(lambda on: matching.choose(few=on))
        self.kitchen.toggled.connect(lambda on: matching.choose(kitchen=on))
        self.hold.toggled.connect(matching.hold)
        self.accept_button.clicked.connect(matching.accept)
        self.variant_button.clicked.connect(matching.accept_as_variant)
        self.help_button.clicked.connect(self.helpAsked)
        self.targets_button.clicked.connect(self.targetsAsked)
        self.close_button.clicked.connect(self.end)
        escape = QShortcut(QKeySequence(Qt.Key.Key_Escape), self)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self.end)
        self.race_button.clicked.connect(lambda: matching.begin_with("race"))
        self.long_button.clicked.connect(lambda: matching.begin_with("long_ride"))
        matching.changed.connect(self._show)
        self.hide()

    def _lay_out(self) -> None:
        row = WrappingRow(gap_px=8)
        for widget in (
            *(self.accept_button, self.variant_button, self.help_button),
            *(self.race_button, self.long_button, self.targets_button, self.close_button),
            *(self.few, self.kitchen, self.hold),
        ):
            row.addWidget(widget)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 6, 8, 4)
        column.setSpacing(4)
        column.addWidget(self.words)
        column.addLayout(row)

    def user_actions(self) -> tuple[UserAction, ...]:
        """What can be done with proposals."""
        return (
            UserAction("targets.match", _("match targets"), self.begin, "Ctrl+Shift+T"),
            UserAction("targets.accept", _("accept the proposed amounts"), self._matching.accept, enabled=self._open),
            UserAction(
                "targets.hold",
                _("hold targets while dragging"),
                partial(self._toggle_hold),
                "Ctrl+Shift+H",
                checked=lambda: self._matching.holding,
            ),
        )

    def _open(self) -> bool:
        proposal = self._matching.proposal
        return proposal is not None and bool(proposal.changes)

    def _toggle_hold(self) -> None:
        self.hold.setChecked(not self.hold.isChecked())

    def begin(self) -> None:
        """Propose, and put the keyboard where the proposal is taken."""
        self._matching.begin()
        best = self.accept_button if self.accept_button.isEnabled() else self.targets_button
        best.setFocus(Qt.FocusReason.OtherFocusReason)

    def end(self) -> None:
        """Propose no more."""
        self._matching.end()
        self.hide()
        self.closed.emit()

    def _show(self) -> None:
        proposal = self._matching.proposal
        self.words.setText(self._text(proposal))
        can = proposal is not None and bool(proposal.changes)
        self.accept_button.setEnabled(can)
        self.variant_button.setEnabled(can)
        self.help_button.setEnabled(proposal is not None)
        without = self._matching.targets is None
        for button in (self.race_button, self.long_button):
            button.setVisible(without)
        for widget in (self.accept_button, self.variant_button, self.help_button, self.few, self.kitchen, self.hold):
            widget.setVisible(not without)
        self.show()

    def _text(self, proposal: Proposal | None) -> str:
        if proposal is None:
            return self._matching.refusal or _("This variant has no targets yet: set some, and amounts are proposed.")
        from workbench.solve.words import change_text, judged_text, proposal_summary

        sign = "✓" if proposal.met else "✕"
        ordered = sorted(proposal.changes, key=lambda c: -abs(c.change_g) / max(c.before_g, 1.0))
        named = [change_text(change) for change in ordered[:_MOST_NAMED]]
        if len(ordered) > len(named):
            named.append(plural("{n} more", "{n} more", len(ordered) - len(named)))
        lines = [f"{sign} {proposal_summary(proposal)}", "; ".join(named)]
        currency = proposal.after.prepared.currency
        lines += [f"{_SIGNS[v.state]} {judged_text(v, currency)}" for v in proposal.verdicts if v.state != "met"]
        lines += [f"• {problem.sentence()}" for problem in proposal.problems]
        return "\n".join(line for line in (*lines, self._matching.note) if line)
