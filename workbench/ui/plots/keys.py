"""The key that asks where a figure comes from, the same on every chart and figure."""

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent


def asks_why(event: QKeyEvent) -> bool:
    """Whether a key press is Ctrl+E."""
    return event.key() == Qt.Key.Key_E and event.modifiers() == Qt.KeyboardModifier.ControlModifier


def claims_why(event: QEvent) -> bool:
    """Keep Ctrl+E for the focused figure, before a menu takes it; call it from ``QWidget.event``."""
    if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and asks_why(event):
        event.accept()
        return True
    return False
