"""The rules that fill gaps in the composition, and what counts as medium-chain fat."""

from PySide6.QtWidgets import QCheckBox, QDialog, QLabel, QVBoxLayout, QWidget

from workbench.base.text import N_, _
from workbench.document.project import Assumptions
from workbench.ui.dialogs.buttons import done_or_cancel

_SWITCHES = (
    ("true_zeros", N_("a component that an ingredient cannot contain is zero")),
    ("starch_by_difference", N_("starch is carbohydrate less fibre and known sugars, where no starch is published")),
    ("medium_chain_from_profile", N_("medium-chain fat follows from the fat and the published profile of that fat")),
    ("lauric_counts", N_("count lauric acid (C12) as medium-chain")),
)


def ask_assumptions(assumptions: Assumptions, parent: QWidget) -> Assumptions | None:
    """Ask which rules hold; None if cancelled."""
    dialog = AssumptionsDialog(assumptions, parent)
    return dialog.assumptions() if dialog.exec() == QDialog.DialogCode.Accepted else None


class AssumptionsDialog(QDialog):
    """The switches."""

    def __init__(self, assumptions: Assumptions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("assumptions"))
        layout = QVBoxLayout(self)
        words = _("Values filled in by a rule are marked as derived. Without the rule they count as not known.")
        text = QLabel(words, self)
        text.setWordWrap(True)
        layout.addWidget(text)
        self.switches: dict[str, QCheckBox] = {}
        for field, words in _SWITCHES:
            switch = QCheckBox(_(words), self)
            switch.setChecked(getattr(assumptions, field))
            layout.addWidget(switch)
            self.switches[field] = switch
        layout.addWidget(done_or_cancel(self))

    def assumptions(self) -> Assumptions:
        """What the switches say now."""
        return Assumptions(**{field: switch.isChecked() for field, switch in self.switches.items()})
