"""The one undo command: shows the document before or after an edit."""

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtGui import QUndoCommand

from workbench.document.edits import Change, Edit
from workbench.document.project import Project


class Shown(NamedTuple):
    """A document, and the variant on screen with it: undo leads back to where an edit was made."""

    project: Project
    variant_id: str


class DocumentCommand(QUndoCommand):
    """An edit as one undo step.  Both documents are kept whole; they share all that did not change."""

    def __init__(self, show: Callable[[Shown, Change], None], before: Shown, after: Shown, edit: Edit) -> None:
        super().__init__(edit.words)
        self._show = show
        self._before = before
        self._after = after
        self._change = edit.change

    def redo(self) -> None:
        self._show(self._after, self._change)

    def undo(self) -> None:
        self._show(self._before, self._change)
