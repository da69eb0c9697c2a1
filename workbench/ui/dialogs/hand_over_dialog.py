"""Handing over: what, of which variants and how; a look at what goes out; and the file."""

import os
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from workbench.base.errors import Problem, WorkbenchError
from workbench.base.text import _
from workbench.report.labels.sheet import LabelSheet
from workbench.report.pdf.fonts import width_mm
from workbench.ui.background import Background, Outcome
from workbench.ui.dialogs import hand_over_job
from workbench.ui.dialogs.hand_over_job import ENDINGS, WHAT, HandOver, Material
from workbench.ui.dialogs.hand_over_options import HandOverOptions, left_out_words
from workbench.ui.dialogs.hand_over_preview import HandOverPreview
from workbench.ui.dialogs.room import resize_within
from workbench.ui.guard import guarded
from workbench.ui.messages import severity_words

_AFTER_MS = 200  # a preview waits until the hand rests
_UNSAFE = str.maketrans(dict.fromkeys('/\\:*?"<>|\0', " "))
_LONGEST_NAME = 100  # characters


@guarded
class HandOverDialog(QDialog):
    """The form.

    Parameters
    ----------
    material : Material
        The open project, its variants in their order, and what is compared.
    choice : HandOver
        What to begin with.
    folder, stem : Path, str
        Where files go, and how their names begin.
    ask_file : callable
        Asks for a file by its suggested path and the words of its kind; None if cancelled.
    sheets : dict of str to LabelSheet, optional
        Label sheets that the user named.
    """

    def __init__(
        self,
        material: Material,
        choice: HandOver,
        folder: Path,
        stem: str,
        ask_file: Callable[[str, str], str | None],
        parent: QWidget | None = None,
        *,
        sheets: dict[str, LabelSheet] | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("hand over"))
        self._material = material
        self._folder, self._stem = folder, stem
        self._ask_file = ask_file
        self._named = False  # whether the user gave the file a name
        self._problems: tuple[Problem, ...] = ()
        self._error: WorkbenchError | None = None
        self._written: Path | None = None
        self._left_out = [left_out_words(each) for each in material.evaluations if not each.valid]
        self.options = HandOverOptions(choice, material, sheets or {}, self)
        self.preview = HandOverPreview(self)
        self.file = QLineEdit(self)
        self.file_note = QLabel(self)
        self.file_note.setTextFormat(Qt.TextFormat.PlainText)
        self.report = QPlainTextEdit(self)
        self._lay_out()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_AFTER_MS)
        self._timer.timeout.connect(self.look)
        self.options.changed.connect(self._follow)
        self.preview.positionClicked.connect(self.options.labels.start.setValue)
        self.file.textEdited.connect(self._name_typed)
        self.file.textChanged.connect(self._say_file)
        self._suggest()
        self._making = Background(self)
        self._making.ended.connect(self._made)
        self._wanted, self._under_way, self._shown = 1, 0, 0  # previews, counted
        self.report.hide()
        self.preview.show_text(_("a moment …"), "", markdown=False)
        QTimer.singleShot(0, self, self.look)  # the form is there before the first preview
        self._loading = Background(self)
        self._loading.start(lambda _progress: width_mm("", 1.0))  # half a second, before a page is asked for
        self.options.what.setFocus()

    def _lay_out(self) -> None:
        left = QScrollArea(self)
        left.setWidget(self.options)
        left.setWidgetResizable(True)
        left.setFrameShape(QFrame.Shape.NoFrame)
        left.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        left.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        left.setMinimumWidth(self.options.minimumSizeHint().width() + 20)
        both = QSplitter(Qt.Orientation.Horizontal, self)
        both.setChildrenCollapsible(False)
        both.addWidget(left)
        both.addWidget(self.preview)
        both.setStretchFactor(1, 1)
        self.report.setReadOnly(True)
        self.report.setTabChangesFocus(True)
        self.report.setAccessibleName(_("what could not be set as it was given, and what was written"))
        label = QLabel(_("file"), self)
        label.setBuddy(self.file)
        choose = QPushButton(_("choose …"), self)
        choose.setAutoDefault(False)
        choose.clicked.connect(self._choose_file)
        row = QHBoxLayout()
        row.addWidget(label)
        row.addWidget(self.file, 1)
        row.addWidget(choose)
        buttons = QDialogButtonBox(self)
        self.write_button = buttons.addButton(_("write"), QDialogButtonBox.ButtonRole.ApplyRole)
        self.write_button.setDefault(True)
        buttons.addButton(_("close"), QDialogButtonBox.ButtonRole.RejectRole)
        buttons.rejected.connect(self.reject)
        self.write_button.clicked.connect(self.write)
        last = QHBoxLayout()
        last.addWidget(self.file_note, 1)
        last.addWidget(buttons)
        layout = QVBoxLayout(self)
        layout.addWidget(both, 1)
        layout.addWidget(self.report)
        layout.addLayout(row)
        layout.addLayout(last)
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(90 * em, 52 * em))

    # --- what the form says -------------------------------------------------------------------------------------

    def choice(self) -> HandOver:
        """What the form says now."""
        return self.options.choice()

    def _chosen(self) -> Material:
        return self._material._replace(evaluations=self.options.chosen())

    @property
    def folder(self) -> Path:
        """Where the last file went, or would go."""
        return self._folder

    def _follow(self) -> None:
        self._suggest()
        self._written = None
        self._wanted += 1
        self._timer.start()

    def look(self) -> None:
        """Show what goes out as soon as it is made; what is shown stays until then."""
        self._timer.stop()
        if self._making.running:  # ``_made`` begins again
            return
        material, choice, today = self._chosen(), self.choice(), _today()
        self._under_way = self._wanted
        self._making.start(lambda _progress: hand_over_job.preview_of(material, choice, today))

    def _made(self, outcome: Outcome) -> None:
        if self._under_way == self._wanted:
            self._show(outcome)
        elif self._shown != self._wanted:
            self.look()

    def refresh(self) -> None:
        """Show what goes out, or why nothing can, before anything else is done."""
        self._timer.stop()
        self._wanted += 1  # what is under way comes too late
        try:
            found = hand_over_job.preview_of(self._chosen(), self.choice(), _today())
        except WorkbenchError as error:
            self._show(Outcome(error=error), at_once=True)
        else:
            self._show(Outcome(found), at_once=True)

    def _show(self, outcome: Outcome, *, at_once: bool = False) -> None:
        self._shown = self._wanted
        self._error = outcome.error
        found = hand_over_job.Preview() if outcome.error else outcome.value
        self._problems = found.problems
        if outcome.error:
            self.preview.show_nothing()
        elif found.pages:
            self.preview.show_pages(found.pages, found.caption, found.sheet, found.taken)
        else:
            self.preview.show_text(found.text, found.caption, markdown=found.markdown, at_once=at_once)
        self._say()

    def _say(self) -> None:
        lines = [_("✓ written: {file}", file=self._written)] if self._written else []
        if self._error is not None:
            head, *rest = self._error.lines()
            lines += [_("✕ error") + f": {head}", *rest]
        if self.choice().what == "compare":
            lines += [f"✕ {problem}" for problem in self._material.whole.problems]
        else:
            lines += self._left_out
        lines += [f"{severity_words(problem)}: {problem.sentence()}" for problem in self._problems]
        rows = min(len(lines) + 1, 4)  # one may take two
        self.report.setFixedHeight(round((rows + 1) * self.fontMetrics().lineSpacing()))
        self.report.setPlainText("\n".join(lines))
        self.report.setVisible(bool(lines))
        self._say_file()

    # --- the file -----------------------------------------------------------------------------------------------

    def _suggest(self) -> None:
        """A name that says what it is; a name of the user's keeps all but its ending."""
        choice = self.choice()
        if self._named:
            path = self.path()
            known = path.suffix.casefold() in ENDINGS
            path = path.with_suffix(choice.ending) if known else path
        else:
            name = f"{self._stem} {_(WHAT[choice.what].title)}".translate(_UNSAFE)[:_LONGEST_NAME].strip(" .")
            path = self._folder / f"{name}{choice.ending}"
        self.file.setText(str(path))

    def _name_typed(self) -> None:
        self._named = bool(self.file.text().strip())

    def path(self) -> Path:
        """The file that was typed, in the usual folder where none was typed."""
        return self._folder / os.path.expanduser(self.file.text().strip().replace("\0", ""))

    def target(self) -> Path:
        """``path`` with the ending that says how it is written."""
        path, ending = self.path(), self.choice().ending
        return path if path.suffix.casefold() == ending else path.with_name(path.name + ending)

    def _say_file(self) -> None:
        named = bool(self.file.text().strip()) and bool(self.path().name)
        there = named and os.path.isfile(self.target())  # unlike Path.is_file, it takes a name that is too long
        self.write_button.setEnabled(self._error is None and named)
        self.write_button.setText(_("replace") if there else _("write"))
        if not named:
            words = _("type a name for the file")
        elif self.target() == self._written:
            words = _("“{name}” was written just now", name=self._written.name)
        elif there:
            words = _("▲ “{name}” is there already and will be replaced", name=self.target().name)
        else:
            words = _("a new file: “{name}”", name=self.target().name)
        self.file_note.setText(words)

    def _choose_file(self) -> None:
        ending = self.choice().ending
        answer = self._ask_file(str(self.target()), _(ENDINGS[ending]).replace(f"({ending})", f"(*{ending})"))
        if answer is not None:
            self._named = True
            self.file.setText(answer)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter writes from the file's name and from the button; elsewhere it only ends a number or a word."""
        ends = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if ends and self.focusWidget() is not self.file and not isinstance(self.focusWidget(), QPushButton):
            self.look()
        else:
            super().keyPressEvent(event)

    def write(self) -> None:
        """Write the file, and say so or why not; the form stays for the next one."""
        if self._shown != self._wanted:
            self.refresh()
        if not self.write_button.isEnabled():
            return
        path = self.target()
        try:
            self._problems = hand_over_job.write(self._chosen(), self.choice(), path, _today())
        except WorkbenchError as error:
            self._written = None
            self._error = error
            self._say()
            self._error = None  # another name may do; what goes out is sound
            self.write_button.setEnabled(True)
            return
        self._folder = path.parent
        self._written = path
        self._say()
        self.report.moveCursor(self.report.textCursor().MoveOperation.Start)


def _today() -> date:
    return datetime.now().astimezone().date()
