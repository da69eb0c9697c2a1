"""Purpose and notes of a variant."""

from typing import NamedTuple

from PySide6.QtWidgets import QComboBox, QDialog, QDialogButtonBox, QFormLayout, QPlainTextEdit, QVBoxLayout, QWidget

from workbench.base.text import _
from workbench.document.project import Purpose, Variant
from workbench.recipe.words import PURPOSES
from workbench.ui.dialogs.buttons import done_or_cancel


class Description(NamedTuple):
    """The answer."""

    purpose: Purpose
    notes: str


def ask_description(variant: Variant, parent: QWidget) -> Description | None:
    """Ask for purpose and notes; None if cancelled."""
    dialog = VariantDialog(variant, parent)
    return dialog.description() if dialog.exec() == QDialog.DialogCode.Accepted else None


class VariantDialog(QDialog):
    """The form."""

    def __init__(self, variant: Variant, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("purpose and notes of “{name}”", name=variant.name))
        self.purpose = QComboBox(self)
        for key, words in PURPOSES.items():
            self.purpose.addItem(_(words), key)
        self.purpose.setCurrentIndex(self.purpose.findData(variant.purpose))
        self.notes = QPlainTextEdit(variant.notes, self)
        self.notes.setTabChangesFocus(True)
        form = QFormLayout()
        form.addRow(_("purpose"), self.purpose)
        form.addRow(_("notes"), self.notes)
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        buttons: QDialogButtonBox = done_or_cancel(self)
        layout.addWidget(buttons)

    def description(self) -> Description:
        """What the form says now."""
        return Description(self.purpose.currentData(), self.notes.toPlainText().strip())
