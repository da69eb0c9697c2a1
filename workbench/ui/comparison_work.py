"""The comparison of variants as actions of the window: choosing what to compare, and taking it along."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QMimeData, QObject, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QSplitter, QWidget

from workbench.base.errors import WorkbenchError
from workbench.base.settings import SettingsFile
from workbench.base.text import N_, _
from workbench.document.project import Basis
from workbench.ui.actions import UserAction
from workbench.ui.comparing import Comparing, Whole
from workbench.ui.documents import Documents
from workbench.ui.messages import Messages, severity_words
from workbench.ui.session import Session

if TYPE_CHECKING:
    from workbench.ui.dialogs.compare_choice import CompareChoice
    from workbench.ui.panels.comparison_page import ComparisonPage

_W = TypeVar("_W", bound=QWidget)
_KINDS = (
    N_("page to print (*.pdf)"),
    N_("text for notes and mail (*.md)"),
    N_("table for other programs (*.csv)"),
    N_("data for other programs (*.json)"),
)
_ENDINGS = (".pdf", ".md", ".csv", ".json")
_RECIPE_SHARE = 0.42  # of the width, left to the recipe where the comparison has more room


class ComparisonWork(QObject):
    """Makes the page when it is first needed.

    ``shown`` asks for the page to be brought into sight; ``figureActivated`` carries key and basis of a figure whose
    derivation is asked for.
    """

    shown = Signal()
    figureActivated = Signal(str, str)

    def __init__(
        self, session: Session, settings: SettingsFile, messages: Messages, documents: Documents, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._session, self._messages, self._documents, self._window = session, messages, documents, parent
        self.comparing = Comparing(session, settings, self)
        self._page: ComparisonPage | None = None
        self._narrow: tuple[list[int], int] | None = None  # widths before the comparison got more room

    def user_actions(self) -> tuple[UserAction, ...]:
        """What can be done with the comparison."""
        return (
            UserAction("compare.choose", _("choose variants to compare …"), self.choose, "Ctrl+Shift+D"),
            UserAction("compare.table", _("copy the comparison as a table"), self.copy_table),
            UserAction("compare.picture", _("copy the comparison as a picture"), self.copy_picture),
            UserAction("compare.save", _("save the comparison …"), self.save),
            UserAction("compare.room", _("more room for the comparison"), self.give_room, "Ctrl+Shift+X"),
        )

    def page(self) -> "ComparisonPage":
        """The page, made on first use."""
        if self._page is None:
            from workbench.ui.panels.comparison_page import ComparisonPage

            page = self._page = ComparisonPage(self._session, self.comparing)
            page.figureActivated.connect(self.figureActivated)
            page.choiceAsked.connect(self.choose)
            page.tableAsked.connect(self.copy_table)
            page.pictureAsked.connect(self.copy_picture)
            page.fileAsked.connect(self.save)
            page.roomAsked.connect(self.give_room)
        return self._page

    def _page_in_sight(self) -> "ComparisonPage":
        page = self.page()
        if not page.isVisible():
            self.shown.emit()
        return page

    # --- what is compared ---------------------------------------------------------------------------------------------

    def choice_dialog(self) -> "CompareChoice":
        """The form that asks what to compare."""
        from workbench.ui.dialogs.compare_choice import CompareChoice

        comparing = self.comparing
        present = [one.chosen for one in comparing.compared()]
        return CompareChoice(
            self._session.project,
            present,
            comparing.paths(),
            comparing.file,
            self._messages.ask_open,
            str(self._documents.folder),
            self._window,
        )

    def choose(self) -> None:
        """Ask what to compare, and show it."""
        self._page_in_sight()
        dialog = self.choice_dialog()
        if dialog.exec() == QDialog.DialogCode.Accepted:
            self.comparing.choose(dialog.choice())
        dialog.deleteLater()

    def at_hand(self) -> tuple[Whole, Basis | None]:
        """What is compared, with what other files hold now, and what figures are per on the page, if it was made."""
        self.comparing.look_again()
        return self.comparing.whole(), None if self._page is None else self._page.basis

    # --- taking it along ----------------------------------------------------------------------------------------------

    def copy_table(self) -> None:
        """Put the comparison on the clipboard, as cells for a spreadsheet and as a table for a text."""
        side = self._page_in_sight().whole()
        if side is None:
            return
        from workbench.report.comparison.texts import comparison_html, comparison_tsv

        data = QMimeData()
        data.setText(comparison_tsv(side))
        data.setHtml(comparison_html(side))
        QGuiApplication.clipboard().setMimeData(data)
        self._messages.notice(_("copied as a table"))

    def copy_picture(self) -> None:
        """Put the comparison on the clipboard as it looks."""
        picture = self._page_in_sight().picture()
        if picture is not None:
            QGuiApplication.clipboard().setPixmap(picture)
            self._messages.notice(_("copied as a picture"))

    def save(self) -> None:
        """Write the comparison as one page to print, or as text, table or data; the ending says which."""
        side = self._page_in_sight().whole()
        if side is None:
            return
        documents, kinds = self._documents, ";;".join(_(kind) for kind in _KINDS)
        suggested = documents.folder / f"{documents.stem} {_('comparison')}.pdf"
        chosen = self._messages.ask_save_as(str(suggested), kinds)
        if chosen is None:
            return
        from workbench.report.handing_over import write_comparison

        path = Path(chosen)
        path = path if path.suffix.casefold() in _ENDINGS else path.with_name(f"{path.name}.pdf")
        try:
            problems = write_comparison(self._session.project, side, path, written=datetime.now().astimezone().date())
        except WorkbenchError as error:
            self._messages.error(error)
            return
        self._messages.notice(_("written: “{name}”", name=path.name))
        self.page().say(f"{severity_words(problem)}: {problem.sentence()}" for problem in problems)

    # --- room ---------------------------------------------------------------------------------------------------------

    def give_room(self) -> None:
        """Make the page wide and the recipe narrow, or both as they were; the sliders stay in sight."""
        from workbench.ui.panels.side_panel import SidePanel

        page = self._page_in_sight()
        panel, splitter = _above(page, SidePanel), _above(page, QSplitter)
        if panel is None or splitter is None:
            return
        if self._narrow is None:
            sizes = splitter.sizes()
            self._narrow = sizes, panel.kept_width
            recipe = round(_RECIPE_SHARE * sum(sizes))
            splitter.setSizes([recipe, sum(sizes) - recipe])
            panel.set_kept_width(sum(sizes))
        else:
            sizes, width = self._narrow
            self._narrow = None
            splitter.setSizes(sizes)
            panel.set_kept_width(width)
        page.say_room(wide=self._narrow is not None)


def _above(widget: QWidget, kind: type[_W]) -> _W | None:
    found = widget.parentWidget()
    while found is not None and not isinstance(found, kind):
        found = found.parentWidget()
    return found
