"""Importing a table into the library, in four steps: choose it, say what is what, look it over, take it in.

Everything that reads or writes runs on a thread of its own and can be stopped; what is wrong stands in the dialog.
"""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from workbench.base.errors import WorkbenchError
from workbench.base.progress import Progress
from workbench.base.settings import SettingsFile
from workbench.base.text import N_, _
from workbench.composition.imports.detection import ImportPlan
from workbench.composition.imports.layout import Layout
from workbench.composition.imports.running import Report, dry_run
from workbench.ui.background import Background, Outcome
from workbench.ui.dialogs.import_looking import Looked, look, look_again, look_so, take_in
from workbench.ui.dialogs.import_pages import ChoosePage, FindingsPage, SummaryPage, WhatPage
from workbench.ui.dialogs.import_words import counts_words, findings_text, found_words, summary_words
from workbench.ui.dialogs.room import resize_within
from workbench.ui.guard import guarded
from workbench.ui.library_opening import Notices, told

_STEPS = (N_("choose the table"), N_("what is what"), N_("look it over"), N_("in the library"))
_NEXT = (N_("look at it"), N_("try it"), N_("import"), N_("close"))
_CHOOSE, _COLUMNS, _FINDINGS, _SUMMARY = range(4)
_WAIT_S = 10.0  # for an import to take back what it has begun, when the dialog is forced to close


@guarded
class ImportDialog(QDialog):
    """The steps.  ``imported(report)`` tells that the library has a table more, or a newer edition of one."""

    imported = Signal(object)

    def __init__(self, settings: SettingsFile, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self.setWindowTitle(_("import a table"))
        self._looked: Looked | None = None
        self._then: Callable[[Outcome], None] = self._show_look
        self._notices: Notices = []
        self._asked_from: QWidget | None = None  # where the keyboard was when work was asked for
        self.background = Background(self)
        self.background.progressed.connect(self._progressed)
        self.background.ended.connect(self._ended)
        self._lay_out()
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(84 * em, 46 * em))
        self._go_to(_CHOOSE)
        self.path.setFocus()

    def _lay_out(self) -> None:
        self.where = QLabel(self)
        self._make_pages()
        below = self._make_below()
        layout = QVBoxLayout(self)
        layout.addWidget(self.where)
        layout.addWidget(self.pages, 1)
        layout.addWidget(self.message)
        layout.addLayout(below)

    def _make_pages(self) -> None:
        self.pages = QStackedWidget(self)
        self.choose = ChoosePage(self)
        self.path = self.choose.path
        self.path.textEdited.connect(lambda _text: self._say(""))
        self.choose.chosen.connect(self.look_at)
        what = WhatPage(self)
        self.found, self.ways, self.columns = what.found, what.ways, what.columns
        self.choices, self.sample = what.choices, what.sample
        self.ways.chosen.connect(self.look_so)
        self.columns.changed.connect(self._look_again)
        self.choices.changed.connect(self._look_again)
        found = FindingsPage(self)
        self.counts, self.findings = found.counts, found.findings
        self.summary = SummaryPage(self)
        for page in (self.choose, what, found, self.summary):
            self.pages.addWidget(page)

    def _make_below(self) -> QHBoxLayout:
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)  # a file's words are never markup
        self.message.setWordWrap(True)
        self.bar = QProgressBar(self)
        self.bar.setAccessibleName(_("progress"))
        self.bar.hide()
        self.back_button = QPushButton(_("back"), self)
        self.next_button = QPushButton(self)
        self.next_button.setDefault(True)
        self.cancel_button = QPushButton(self)
        self.back_button.setAutoDefault(False)
        self.cancel_button.setAutoDefault(False)
        below = QHBoxLayout()
        below.addWidget(self.cancel_button)
        below.addWidget(self.bar, 1)
        below.addStretch(0)
        below.addWidget(self.back_button)
        below.addWidget(self.next_button)
        self.back_button.clicked.connect(self.back)
        self.next_button.clicked.connect(self.forward)
        self.cancel_button.clicked.connect(self.reject)
        return below

    # --- going from step to step ------------------------------------------------------------------------------------

    @property
    def step(self) -> int:
        """The step on screen, from 0."""
        return self.pages.currentIndex()

    def _go_to(self, step: int) -> None:
        self.pages.setCurrentIndex(step)
        steps = [_("{n} {words}", n=k, words=_(words)) for k, words in enumerate(_STEPS, 1)]
        steps[step] = f"<b>▸ {steps[step]}</b>"
        self.where.setText("&nbsp;&nbsp;&nbsp;&nbsp;&nbsp;".join(steps))
        self.where.setAccessibleName(
            _("step {n} of {all}: {words}", n=step + 1, all=len(_STEPS), words=_(_STEPS[step]))
        )
        self.next_button.setText(_(_NEXT[step]))
        self._say("")

    def _say(self, words: str, busy: bool = False) -> None:
        """Show words below the page, and what can be pressed now."""
        self.message.setText(words)
        self.bar.setVisible(busy)
        self.bar.setRange(0, 0)
        step = self.step
        self.pages.setEnabled(not busy)
        self.back_button.setVisible(step != _SUMMARY)
        self.back_button.setEnabled(not busy and step in (_COLUMNS, _FINDINGS))
        self.cancel_button.setText(_("stop") if busy else _("cancel"))
        self.cancel_button.setVisible(busy or step != _SUMMARY)
        asked = bool(self._looked and self._looked.plan.questions)
        ready = {_CHOOSE: bool(self.path.text().strip()), _COLUMNS: self._looked is not None and not asked}
        self.next_button.setEnabled(not busy and ready.get(step, True))

    def _run(self, words: str, work: Callable[[Progress], object], then: Callable[[Outcome], None]) -> None:
        self._then, self._asked_from = then, self.focusWidget()
        self.background.start(work)
        self._say(words, busy=True)
        self.cancel_button.setFocus()

    def _progressed(self, percent: int) -> None:
        self.bar.setRange(0, 100 if percent >= 0 else 0)
        self.bar.setValue(max(percent, 0))

    def _ended(self, outcome: Outcome) -> None:
        self._say("" if outcome.error is None else "▲ " + "\n".join(outcome.error.lines()))
        self.next_button.setFocus()
        self._then(outcome)

    def back(self) -> None:
        """To the step before."""
        self._go_to(self.step - 1)

    def forward(self) -> None:
        """Do what the step's button says."""
        if self.step == _SUMMARY:
            self.accept()
        elif self.step == _CHOOSE:
            self.look_at(Path(self.path.text().strip()).expanduser())
        elif self._looked is not None:
            try:
                plan = self._named_plan()
            except WorkbenchError as error:
                self._say("▲ " + "\n".join(error.lines()))
                return
            if self.step == _COLUMNS:
                self._run(_("reading everything; nothing is written …"), partial(dry_run, plan), self._show_findings)
            else:
                self._notices.clear()
                work = partial(take_in, plan, self.choices.about(), self._notices)
                self._run(_("importing …"), work, self._show_summary)

    def _named_plan(self) -> ImportPlan:
        assert self._looked is not None
        title, key = self.choices.title.text().strip(), self.choices.key.text().strip()
        plan = self._looked.plan
        if not title or not key:
            raise WorkbenchError(_("The table needs a title and a short name."), hint=_("Fill them in."))
        if any(sign in key for sign in ":;") or not key.isprintable():
            summary = _("“{key}” cannot be the short name of a table.", key=key)
            raise WorkbenchError(summary, hint=_("Use letters, digits and _."))
        return plan._replace(title=title, key="_".join(key.split()))

    def reject(self) -> None:
        """Stop what is under way; without anything under way, close."""
        if self.background.running:
            self.background.cancel()
            self.message.setText(_("stopping …"))
            if self.step in (_CHOOSE, _COLUMNS):  # a look writes nothing: nobody has to wait for it
                self.background.wait(0.0)
                self._say(_("stopped"))
        else:
            super().reject()

    def done(self, result: int) -> None:
        self.background.wait(_WAIT_S)
        super().done(result)

    # --- choosing and looking ---------------------------------------------------------------------------------------

    def look_at(self, path: Path) -> None:
        """Find out how a table is laid out."""
        self._looked = None
        self.choices.begin()
        work = partial(look, path, self._settings)
        self._run(_("looking at {name} …", name=path.name), work, self._show_look)

    def _look_again(self) -> None:
        if self._looked is not None and not self.background.running:
            looked = self._looked
            chosen, mapping = self.choices.chosen(), dict(self.columns.mapping)
            work = partial(look_again, looked.plan.path, looked.ways, looked.layout, chosen, mapping)
            self._run(_("looking again …"), work, self._show_look)

    def look_so(self, layout: Layout) -> None:
        """Read another sheet, or the sheet as laid out otherwise; the choices begin anew."""
        if self._looked is not None and not self.background.running:
            self.choices.begin()
            work = partial(look_so, self._looked.plan.path, self._looked.ways, layout, self._settings)
            self._run(_("looking at it so …"), work, self._show_look)

    def _show_look(self, outcome: Outcome) -> None:
        if outcome.error is not None:
            return
        looked = self._looked = outcome.value
        again = self.step == _COLUMNS
        self._go_to(_COLUMNS)
        words = found_words(looked.plan)
        if looked.fresh:
            self.columns.begin(looked.mapping)
            words += "\n• " + _("the columns are taken as you chose last time") if looked.mapping else ""
        self.found.setText(words)
        self.ways.show_ways(looked.ways, looked.layout)
        self.columns.show_plan(looked.plan)
        self.choices.show_plan(looked.plan, looked.tally)
        self.sample.show_foods(looked.foods)
        self.sample.setVisible(bool(looked.foods))
        if looked.plan.questions:
            self._say("▲ " + " ".join(_(question.words) for question in looked.plan.questions))
            self.choices.boxes[looked.plan.questions[0].field].setFocus()
        elif again and self._asked_from is not None and self._asked_from.isVisible():
            self._asked_from.setFocus()

    # --- trying and taking ------------------------------------------------------------------------------------------

    def _show_findings(self, outcome: Outcome) -> None:
        if outcome.error is not None:
            return
        self._go_to(_FINDINGS)
        self.counts.setText(counts_words(outcome.value))
        self.findings.setPlainText(findings_text(outcome.value))
        if not outcome.value.foods:
            self._say("▲ " + _("There is no food to import. Go back and say what the columns are."))
            self.next_button.setEnabled(False)

    def _show_summary(self, outcome: Outcome) -> None:
        notices = told(self._notices)
        if outcome.error is not None:
            self._say("\n".join((*notices, self.message.text())))
            return
        report: Report = outcome.value
        self._go_to(_SUMMARY)
        assert self._looked is not None
        self._looked.remember(self.columns.mapping, self._settings)
        assert report.summary is not None
        words = _("✓ “{title}” is in the library.", title=self.choices.title.text().strip())
        closing = _(
            "Its foods are found where ingredients are added, marked with its short name. In the library, role, origin "
            "and allergens of many can be stated at once, and the import undone."
        )
        self.summary.words.setText("\n\n".join((words, summary_words(report.summary), *notices, closing)))
        self.imported.emit(report)
