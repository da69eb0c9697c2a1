"""Messages: the only place that tells or asks the user something.  Tests put another object in its place."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QInputDialog, QMessageBox, QStatusBar, QWidget

from workbench.base.errors import Problem, WorkbenchError
from workbench.base.text import N_, _, plural

if TYPE_CHECKING:
    from workbench.composition.amounts import ParsedAmount

SaveAnswer = Literal["save", "discard", "cancel"]
RecoveryAnswer = Literal["recover", "discard", "later"]
_SEVERITIES = {"error": N_("✕ error"), "warning": N_("▲ warning"), "notice": N_("• note")}
_SHOWN_FOR_MS = 8000
_FILTER = N_("Pocketfare projects (*.fare)")


def severity_words(problem: Problem) -> str:
    """Sign and word of a problem's severity."""
    return _(_SEVERITIES[problem.severity])


class Messages:
    """Dialogs and the status line of one window."""

    def __init__(self, window: QWidget, status: QStatusBar) -> None:
        self._window = window
        self._status = status

    # --- telling ------------------------------------------------------------------------------------------------

    def notice(self, text: str) -> None:
        """A line at the bottom of the window, gone after a while."""
        self._status.showMessage(text, _SHOWN_FOR_MS)

    def error(self, error: WorkbenchError) -> None:
        """Something the user can mend, with every finding behind it."""
        head, *rest = error.lines()
        self._box(QMessageBox.Icon.Warning, head, rest).exec()

    def problems(self, summary: str, problems: Iterable[Problem]) -> None:
        """Findings that did not stop the work."""
        lines = [f"{severity_words(problem)}: {problem.sentence()}" for problem in problems]
        self._box(QMessageBox.Icon.Information, summary, lines).exec()

    def bug(self, report: str) -> None:
        """A mistake of the program: what happened, to be copied and sent."""
        words = _(
            "Something in the program went wrong. Your project is still open; save it under a new name to be safe."
        )
        box = self._box(QMessageBox.Icon.Critical, words, ())
        box.setDetailedText(report)
        box.exec()

    # --- asking -------------------------------------------------------------------------------------------------

    def ask_save(self, name: str) -> SaveAnswer:
        """What to do with changes that are not saved."""
        box = self._box(QMessageBox.Icon.Question, _("“{name}” has changes that are not saved.", name=name), ())
        save = box.addButton(_("save"), QMessageBox.ButtonRole.AcceptRole)
        discard = box.addButton(_("discard changes"), QMessageBox.ButtonRole.DestructiveRole)
        box.setEscapeButton(box.addButton(_("cancel"), QMessageBox.ButtonRole.RejectRole))
        box.setDefaultButton(save)
        box.exec()
        answers: dict[object, SaveAnswer] = {save: "save", discard: "discard"}
        return answers.get(box.clickedButton(), "cancel")

    def ask_recovery(self, text: str, discard_words: str) -> RecoveryAnswer:
        """What to do with a recovery copy; Escape decides nothing."""
        box = self._box(QMessageBox.Icon.Question, text, ())
        recover = box.addButton(_("open the copy"), QMessageBox.ButtonRole.AcceptRole)
        discard = box.addButton(discard_words, QMessageBox.ButtonRole.DestructiveRole)
        box.setEscapeButton(box.addButton(_("decide later"), QMessageBox.ButtonRole.RejectRole))
        box.setDefaultButton(recover)
        box.exec()
        answers: dict[object, RecoveryAnswer] = {recover: "recover", discard: "discard"}
        return answers.get(box.clickedButton(), "later")

    def confirm(self, question: str, yes: str, no: str) -> bool:
        """A question with two answers, both in words; Escape means no."""
        box = self._box(QMessageBox.Icon.Question, question, ())
        agreed = box.addButton(yes, QMessageBox.ButtonRole.AcceptRole)
        box.setEscapeButton(box.addButton(no, QMessageBox.ButtonRole.RejectRole))
        box.setDefaultButton(agreed)
        box.exec()
        return box.clickedButton() is agreed

    def ask_reading(self, question: str, readings: Sequence["ParsedAmount"]) -> "ParsedAmount | None":
        """Which of several readings of an amount is meant; None to type again."""
        box = self._box(QMessageBox.Icon.Question, question, ())
        buttons = [(box.addButton(r.entered, QMessageBox.ButtonRole.AcceptRole), r) for r in readings]
        box.setEscapeButton(box.addButton(_("type again"), QMessageBox.ButtonRole.RejectRole))
        box.exec()
        return next((reading for button, reading in buttons if button is box.clickedButton()), None)

    def ask_text(self, title: str, label: str, text: str) -> str | None:
        """One line of text; None if cancelled or empty."""
        answer, accepted = QInputDialog.getText(self._window, title, label, text=text)
        return answer.strip() or None if accepted else None

    def ask_open(self, folder: str) -> str | None:
        """A project file to open."""
        path, _chosen = QFileDialog.getOpenFileName(self._window, _("open a project"), folder, _(_FILTER))
        return path or None

    def ask_save_as(self, suggested: str, kinds: str = "") -> str | None:
        """Where to save; asks before an existing file is replaced."""
        path, _chosen = QFileDialog.getSaveFileName(self._window, _("save as"), suggested, kinds or _(_FILTER))
        return path or None

    # --- inside -------------------------------------------------------------------------------------------------

    def _box(self, icon: QMessageBox.Icon, text: str, lines: Sequence[str], shown: int = 12) -> QMessageBox:
        box = QMessageBox(self._window)
        box.setIcon(icon)
        box.setWindowTitle("Pocketfare")
        box.setTextFormat(Qt.TextFormat.PlainText)  # a file's words are never markup
        box.setText(text)
        if lines:
            more = len(lines) - shown
            listed = [*lines[:shown], plural("and {n} more", "and {n} more", more)] if more > 0 else lines
            box.setInformativeText("\n".join(listed))
            if more > 0:
                box.setDetailedText("\n".join(lines))
        return box
