"""The two buttons under every form."""

from PySide6.QtWidgets import QDialog, QDialogButtonBox

from workbench.base.text import _


def done_or_cancel(dialog: QDialog) -> QDialogButtonBox:
    """Buttons that accept or reject ``dialog``."""
    buttons = QDialogButtonBox(dialog)
    done = buttons.addButton(_("done"), QDialogButtonBox.ButtonRole.AcceptRole)
    done.setDefault(True)
    buttons.addButton(_("cancel"), QDialogButtonBox.ButtonRole.RejectRole)
    buttons.accepted.connect(dialog.accept)
    buttons.rejected.connect(dialog.reject)
    return buttons
