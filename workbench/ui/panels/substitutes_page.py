"""Substitutes: what to avoid or which form to make, what stands in the way, and variants that do without it."""

from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtCore import QSignalBlocker, Qt, Slot
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from workbench.base.errors import WorkbenchError
from workbench.base.text import _
from workbench.document.avoid import GLUTEN_FREE, PLANT_BASED, Avoid
from workbench.document.edits import Edit
from workbench.solve.assemble import with_options
from workbench.solve.avoid import avoid_words
from workbench.solve.starting_sets import sets_on_offer
from workbench.solve.substitution import Substitution
from workbench.ui.background import Background, Outcome
from workbench.ui.dialogs.avoid_dialog import ask_avoid
from workbench.ui.session import Session
from workbench.ui.side_page import SidePage
from workbench.ui.substituting import WHOLE, Found, Wish, find, found_rows, option_at, option_text, proposal_at
from workbench.ui.tables.figure_tree import FigureTree


class SubstitutesPage(SidePage):
    """A wish at the top, what was found for it below, and one button that makes what is chosen a new variant.

    It looks on a thread of its own; ``busy`` says whether it still does.

    Parameters
    ----------
    session : Session
    current_line_id : callable
        Gives the id of the line chosen in the recipe, whose substitutes are listed too; "" where none is.
    """

    def __init__(self, session: Session, current_line_id: Callable[[], str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._current_line_id = session, current_line_id
        self.found: Found | None = None
        self._made_from: tuple[object, ...] = ()
        self._background = Background(self)
        self.wish = QComboBox(self)
        self.wish.setAccessibleName(_("what to look for"))
        for title, wish in (
            (_("plant-based"), Wish(PLANT_BASED)),
            (_("without gluten"), Wish(GLUTEN_FREE)),
            (_("without lactose"), Wish(Avoid(gut=("lactose",)))),
            (_("for a race, lighter"), Wish(form="race")),
            (_("for a long ride, slower"), Wish(form="long_ride")),
        ):
            self.wish.addItem(title, wish)
        self._kept = False  # whether the first of them is what the variant must not hold anyway
        self.avoid_button = QPushButton(_("avoid …"), self)
        self.keeping = QComboBox(self)
        self.keeping.setAccessibleName(_("what the version keeps"))
        self.keeping.setToolTip(self.keeping.accessibleName())
        self.message, self.chosen = QLabel(self), QLabel(self)
        for label in (self.message, self.chosen):
            label.setTextFormat(Qt.TextFormat.PlainText)  # names are never markup
            label.setWordWrap(True)
        self.tree = FigureTree(_("proposals"), (_("proposals"), _("now"), _("then")), self)
        self.take_button = QPushButton(_("make it a new variant"), self)
        for button in (self.avoid_button, self.take_button):
            button.setAutoDefault(False)
        self._lay_out()
        self.setFocusProxy(self.wish)
        self.wish.currentIndexChanged.connect(self._look)
        self.keeping.activated.connect(self._look)
        self.avoid_button.clicked.connect(self.choose_avoid)
        self.take_button.clicked.connect(self.take)
        self.tree.currentItemChanged.connect(self._offer)
        self._background.ended.connect(self._ended)

    def _lay_out(self) -> None:
        top, below = QHBoxLayout(), QHBoxLayout()
        top.addWidget(self.wish, 1)
        top.addWidget(self.avoid_button)
        below.addWidget(self.chosen, 1)
        below.addWidget(self.take_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 8, 8)
        column.setSpacing(4)
        column.addLayout(top)
        column.addWidget(self.keeping)
        column.addWidget(self.message)
        column.addWidget(self.tree, 1)
        column.addLayout(below)

    # --- what the panel asks ------------------------------------------------------------------------------------------

    def begin(self, **_what: Any) -> None:
        """Take up the variant on screen."""
        self.follow()

    @Slot()
    def follow(self) -> None:
        """Look again where something differs; a drag is left to its end."""
        session = self._session
        if session.previewing:
            return
        made_from = (session.project, session.variant)
        if len(self._made_from) == 2 and all(a is b for a, b in zip(made_from, self._made_from, strict=True)):
            self.show_line()
        else:
            self._look()

    @Slot()
    def show_line(self) -> None:
        """List the substitutes of the line that is chosen now."""
        if self.found is not None:
            self.tree.show_rows(found_rows(self.found, self._current_line_id()))

    # --- looking ------------------------------------------------------------------------------------------------------

    @property
    def busy(self) -> bool:
        """Whether it is looking."""
        return self._background.running

    @Slot()
    def choose_avoid(self) -> None:
        """Ask what to avoid, keep that in one undo step, and look for it."""
        edit = ask_avoid(self._session, self)
        if edit is not None:
            self.keep(edit)

    def keep(self, edit: Edit) -> None:
        """Keep what is to be avoided, and look for variants without it."""
        if edit.project != self._session.project:
            self._session.apply(edit)
        if self._kept:
            self.wish.setCurrentIndex(0)

    def _show_kept(self) -> None:
        """What the variant must not hold anyway stands first, as long as there is something."""
        kept = self._session.project.wish_of(self._session.variant)
        had, self._kept = self._kept, bool(kept)
        with QSignalBlocker(self.wish):
            if had and not kept:
                self.wish.removeItem(0)
            elif kept and not had:
                self.wish.insertItem(0, "")
                self.wish.setCurrentIndex(0)
            if kept:
                self.wish.setItemText(0, _("kept here: without {what}", what=avoid_words(kept)))
                self.wish.setItemData(0, Wish(kept))

    def _asked(self) -> Wish:
        """What the fields ask for; only a version for a race or a long ride can go by another set of targets."""
        wish: Wish = self.wish.currentData()
        self.keeping.setVisible(bool(wish.form))
        if not wish.form:
            return wish
        chosen = self.keeping.currentText()
        with QSignalBlocker(self.keeping):
            self.keeping.clear()
            self.keeping.addItem(_("as much carbohydrate in a piece as now"), None)
            for targets in sets_on_offer(self._session.project):
                self.keeping.addItem(_("by the targets “{name}”", name=targets.name), targets)
            self.keeping.setCurrentIndex(max(self.keeping.findText(chosen), 0))
        return wish._replace(targets=self.keeping.currentData())

    @Slot()
    def _look(self) -> None:
        self._show_kept()
        session, wish = self._session, self._asked()
        self._background.wait(0.0)  # what it was looking for is not wanted any more
        self._made_from = (session.project, session.variant)
        self.found = None
        self.tree.show_rows(())
        self._say(_("looking …"))
        self._offer()
        self._background.start(partial(find, session.project, session.variant, wish))

    @Slot(object)
    def _ended(self, outcome: Outcome) -> None:
        if outcome.error is not None:
            self._say("▲ " + " ".join(outcome.error.lines()))
            return
        self.found = found = outcome.value
        self._say(
            "\n".join(("▲ " if problem.severity == "error" else "") + problem.sentence() for problem in found.problems)
        )
        self.show_line()
        self._open_proposals()
        self._offer()

    def _open_proposals(self) -> None:
        """The first one is chosen; whoever opens a proposal sees all that is to be known of it."""
        proposals = next((row.children for row in self.tree.rows() if row.key == WHOLE), ())
        for row in reversed(proposals):
            for part in row.children:
                self.tree.item_of(WHOLE, row.key, part.key).setExpanded(part.key != "amounts")
            self.tree.setCurrentItem(self.tree.item_of(WHOLE, row.key))
        self.tree.scrollToTop()

    def _say(self, words: str) -> None:
        self.message.setText(words)
        self.message.setVisible(bool(words))

    # --- taking it ----------------------------------------------------------------------------------------------------

    def _path(self) -> tuple[str, ...]:
        """Keys of the current row, from the top."""
        index, numbers = self.tree.currentIndex(), []
        while index.isValid():
            numbers.append(index.row())
            index = index.parent()
        rows, keys = self.tree.rows(), []
        for number in reversed(numbers):
            if number >= len(rows):  # the tree is being made anew
                return ()
            keys.append(rows[number].key)
            rows = rows[number].children
        return tuple(keys)

    @Slot()
    def _offer(self) -> None:
        """Say beside the button what it would make."""
        found, words = self.found, ""
        if found is not None:
            path = self._path()
            proposal, option = proposal_at(found, path), option_at(found, path)
            if proposal is not None:
                words = _("chosen: {what}", what=proposal.title)
            elif option is not None:
                words = _("chosen: {old} → {new}", old=option.name, new=option_text(option))
        self.chosen.setText(words or (_("choose a proposal or a substitute above") if self.tree.rows() else ""))
        self.take_button.setEnabled(bool(words))

    @Slot()
    def take(self) -> None:
        """Make what is chosen a new variant: one undo step."""
        found = self.found
        if found is None:
            return
        try:
            chosen = self._chosen(found)
        except WorkbenchError as error:
            self._say("▲ " + " ".join(error.lines()))
            return
        if chosen is not None:
            self._session.apply(chosen.edit, chosen.variant_id)

    def _chosen(self, found: Found) -> Substitution | None:
        path = self._path()
        option = option_at(found, path)
        if option is not None:
            return with_options(found.project, found.variant, (option,))
        return proposal_at(found, path)
