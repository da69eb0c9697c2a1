"""FoldHeading: a heading that shows or hides what stands below it."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSizePolicy, QToolButton, QWidget

from workbench.base.text import _


class FoldHeading(QToolButton):
    """The heading of a widget, or of what listens.  ``folded(opened)`` is sent where it was opened or closed."""

    folded = Signal(bool)

    def __init__(
        self, words: str, below: QWidget | None, parent: QWidget | None = None, *, opened: bool = True
    ) -> None:
        super().__init__(parent)
        self._words, self._below, self._opened, self._plain = words, below, opened, False
        self.setProperty("choice", True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.clicked.connect(lambda: self.set_opened(not self._opened))
        if below is not None:
            below.setVisible(opened)
        self.set_words(words)

    @property
    def opened(self) -> bool:
        """Whether what is below is shown."""
        return self._opened

    def set_words(self, words: str) -> None:
        """Give it other words."""
        self._words = words
        self.setText(words if self._plain else f"{'▾' if self._opened else '▸'} {words}")
        self.setAccessibleName(_("{words}, shown", words=words) if self._opened else _("{words}, hidden", words=words))

    def be_plain(self) -> None:
        """For a picture, where nothing can be opened: only words, and none over what is hidden."""
        self._plain = True
        self.set_words(self._words)
        self.setVisible(self._opened and self._below is not None)

    def set_opened(self, opened: bool) -> None:
        """Show or hide what is below."""
        if opened != self._opened:
            self._opened = opened
            if self._below is not None:
                self._below.setVisible(opened)
            self.set_words(self._words)
            self.folded.emit(opened)
