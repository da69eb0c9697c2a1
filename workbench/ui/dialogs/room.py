"""How large a dialog opens."""

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QDialog


def room_of(dialog: QDialog) -> QSize:
    """How large it may become: as its window, or without one as the screen. [px]"""
    parent = dialog.parentWidget()
    return dialog.screen().availableSize() if parent is None else parent.window().size()


def resize_within(dialog: QDialog, wanted: QSize) -> None:
    """Give a dialog the size it would like, up to that of its window: large text must not push buttons off the screen.

    Parameters
    ----------
    dialog : QDialog
    wanted : QSize
        [px]
    """
    dialog.resize(wanted.boundedTo(room_of(dialog)))
