"""The comparison: who came from whom, what changed in the recipe, and what it did, of two to six variants."""

from collections.abc import Iterable
from functools import partial
from typing import Any

from PySide6.QtCore import QPoint, Qt, Signal, Slot
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QFrame, QLabel, QMenu, QPushButton, QScrollArea, QVBoxLayout, QWidget

from workbench.base.text import _
from workbench.document.project import Basis
from workbench.recipe.change import KeptChanges
from workbench.recipe.side_by_side import FEWEST, MOST, SideBySide, side_by_side
from workbench.report.comparison.grid import per_words
from workbench.ui.basis_choice import BasisChoice
from workbench.ui.comparing import Chosen, Compared, Comparing
from workbench.ui.comparison_sheet import ComparisonSheet
from workbench.ui.models import comparison_model as model
from workbench.ui.plots.badges import Badge
from workbench.ui.session import Session
from workbench.ui.side_page import SidePage
from workbench.ui.wrapping_row import WrappingRow


class ComparisonPage(SidePage):
    """Follows the slider; only what is in sight is worked out and painted.

    ``figureActivated`` carries key and basis of the figure whose derivation is asked for.  ``choiceAsked``,
    ``tableAsked``, ``pictureAsked``, ``fileAsked`` and ``roomAsked`` are sent by the buttons.
    """

    figureActivated = Signal(str, str)
    choiceAsked = Signal()
    tableAsked = Signal()
    pictureAsked = Signal()
    fileAsked = Signal()
    roomAsked = Signal()

    def __init__(self, session: Session, comparing: Comparing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._comparing = session, comparing
        self._basis: Basis = "portion"
        self._compared: list[Compared] = []
        self._badges: tuple[Badge, ...] = ()
        self._side: SideBySide | None = None  # while a hand is on a slider only of what is in sight
        self._kept = KeptChanges()
        self.message, self.notice = QLabel(self), QLabel(self)
        for label in (self.message, self.notice):
            label.setTextFormat(Qt.TextFormat.PlainText)  # names are never markup
            label.setWordWrap(True)
        self.add_button = QPushButton(_("compare it too"), self)
        self.add_button.setAutoDefault(False)
        self.basis_choice = BasisChoice(self._basis, self)
        self.sheet, self.area = ComparisonSheet(), QScrollArea(self)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setWidget(self.sheet)
        self.buttons = self._make_buttons()  # after the sheet, so that Tab comes to them after it
        self._lay_out()
        self._connect()
        self.setFocusProxy(self.sheet.descent)

    # --- building -----------------------------------------------------------------------------------------------------

    def _make_buttons(self) -> dict[str, QPushButton]:
        words = {
            "choice": (_("variants …"), self.choiceAsked),
            "picture": (_("copy picture"), self.pictureAsked),
            "table": (_("copy table"), self.tableAsked),
            "file": (_("save …"), self.fileAsked),
            "room": (_("more room"), self.roomAsked),
        }
        made = {}
        for key, (text, signal) in words.items():
            button = QPushButton(text, self)
            button.setAutoDefault(False)
            button.clicked.connect(signal)
            made[key] = button
        return made

    def _lay_out(self) -> None:
        below = WrappingRow(gap_px=4)
        for button in self.buttons.values():
            below.addWidget(button)
        outside = QVBoxLayout(self)
        outside.setContentsMargins(0, 0, 0, 8)
        outside.setSpacing(4)
        outside.addWidget(self.basis_choice)
        outside.addWidget(self.notice)
        outside.addWidget(self.add_button, 0, Qt.AlignmentFlag.AlignLeft)
        outside.addWidget(self.message, 1, Qt.AlignmentFlag.AlignTop)
        outside.addWidget(self.area, 1)
        outside.addLayout(below)

    def _connect(self) -> None:
        sheet = self.sheet
        self.basis_choice.chosen.connect(self.set_basis)
        self._comparing.changed.connect(self.follow)
        self.add_button.clicked.connect(lambda: self._comparing.add(Chosen(self._session.variant_id)))
        sheet.descent.activated.connect(self._edit)
        sheet.descent.referenceAsked.connect(lambda k: self._comparing.make_reference(self._line(k).chosen))
        sheet.descent.removalAsked.connect(self._leave_out)
        sheet.descent.menuAsked.connect(self._pop_up)
        sheet.shares.hint_for = self._share_words
        sheet.shares.strode.connect(partial(self._bring_into_sight, sheet.shares))
        for which, charts in enumerate((sheet.charts, sheet.other_charts)):
            charts.hint_for = partial(self._chart_words, which)
            charts.strode.connect(partial(self._bring_into_sight, charts))
            for signal in (charts.activated, charts.figureAsked):
                signal.connect(partial(self._ask_why, which))

    # --- what the panel asks ------------------------------------------------------------------------------------------

    def begin(self, *, basis: Basis | None = None, **_what: Any) -> None:
        """Show the comparison, with what other files hold now."""
        self._comparing.look_again()
        if basis is not None and basis != self._basis:
            self.set_basis(basis)
        else:
            self.follow()

    def set_basis(self, basis: Basis) -> None:
        """Show the figures per something else."""
        if basis != self._basis:
            self._basis = basis
            self.basis_choice.buttons[basis].setChecked(True)
            self.follow()

    @Slot()
    def follow(self) -> None:
        """Take up the present figures; nothing changes its place while a hand is on a slider."""
        moving = self._session.previewing and self._side is not None
        if moving:
            self._compared = [self._fresh(one) for one in self._compared]
        else:
            self._compared = self._comparing.compared()
            self._show_messages()
        if len(self._compared) < FEWEST:
            self._side = None
            return
        columns = [one.column for one in self._compared]
        order = self.sheet.keys_in_sight() if moving else None
        side = self._side = side_by_side(columns, 0, self._basis, order=order, kept=self._kept)
        self._badges = model.badges(side, self._edited())
        if not moving:
            self.sheet.title.setText(self._title(side))
            self.sheet.descent.show_lines(model.variant_lines(self._compared, self._badges, self._basis))
        self.sheet.show_side(side, self._badges, resting=not moving)

    def _fresh(self, one: Compared) -> Compared:
        """A variant with the figures of this frame."""
        session = self._session
        if one.chosen.path:
            return one
        return one._replace(project=session.project, evaluation=session.evaluation_of(one.variant.id))

    # --- what is shown ------------------------------------------------------------------------------------------------

    @property
    def basis(self) -> Basis:
        """What the figures are per."""
        return self._basis

    def whole(self) -> SideBySide | None:
        """The whole comparison, with forebears that are not compared; None where there is nothing to compare."""
        return None if self._side is None else self._comparing.whole().side(self._basis, self._kept)

    def _edited(self) -> int:
        """Which variant is the one on screen; -1 if none."""
        wanted = Chosen(self._session.variant_id)
        return next((k for k, one in enumerate(self._compared) if one.chosen == wanted), -1)

    def say(self, lines: Iterable[str]) -> None:
        """Show lines that are too long for the bottom of the window, until the comparison is another one."""
        self._show_messages(lines)

    def _show_messages(self, said: Iterable[str] = ()) -> None:
        session, few = self._session, len(self._compared) < FEWEST
        problems = [f"✕ {problem}" for problem in self._comparing.problems()]
        message = ""
        if few and len(session.project.variants) < FEWEST:
            message = _(
                "There is one variant so far. Make another from it (Ctrl+Shift+N), or add one of another project."
            )
        elif few:
            message = _("Choose two variants or more to compare (Ctrl+Shift+D).")
        left_out = not few and self._edited() < 0
        if left_out:
            problems.append(_("“{name}”, which is being edited, is not compared here.", name=session.variant.name))
        for label, text in ((self.message, message), (self.notice, "\n".join([*problems, *said]))):
            label.setText(text)
            label.setVisible(bool(text))
        self.add_button.setVisible(left_out and len(self._compared) < MOST)
        self.area.setVisible(not few)
        for key in ("picture", "table", "file"):
            self.buttons[key].setEnabled(not few)

    def _title(self, side: SideBySide) -> str:
        reference = self._badges[side.reference]
        return _(
            "{title}, {basis}: against {letter} {name}",
            title=self._session.project.title,
            basis=per_words(self._basis),
            letter=reference.letter,
            name=reference.name,
        )

    def _chart_words(self, which: int, k: int) -> str:
        side, rows = self._side, self.sheet.rows[which]
        return model.chart_words(side, self._badges, rows[k]) if side is not None and k < len(rows) else ""

    def _share_words(self, k: int) -> str:
        side, rows = self._side, self.sheet.shares.rows
        return model.share_words(side, self._badges, rows[k].key) if side is not None and k < len(rows) else ""

    def _bring_into_sight(self, widget: QWidget, top: int, height: int) -> None:
        at = widget.mapTo(self.sheet, QPoint(0, top + height // 2))
        self.area.ensureVisible(at.x(), at.y(), 0, height // 2 + 8)

    def say_room(self, *, wide: bool) -> None:
        """Word the button that asks for more room."""
        self.buttons["room"].setText(_("less room") if wide else _("more room"))

    # --- what is asked ------------------------------------------------------------------------------------------------

    def _line(self, k: int) -> Compared:
        """The variant of a line of the descent, whose lines stand in another order."""
        letter = self.sheet.descent.lines[k].badge.letter
        return self._compared[[badge.letter for badge in self._badges].index(letter)]

    def _edit(self, k: int) -> None:
        one = self._line(k)
        if not one.chosen.path:
            self._session.switch_variant(one.variant.id)

    def _leave_out(self, k: int) -> None:
        if len(self._compared) > FEWEST:
            self._comparing.leave_out(self._line(k).chosen)

    def _pop_up(self, k: int, at: QPoint) -> None:
        one = self._line(k)
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.addAction(_("edit it"), partial(self._edit, k)).setEnabled(not one.chosen.path)
        menu.addAction(_("hold the others against it (R)"), partial(self._comparing.make_reference, one.chosen))
        menu.addAction(_("leave it out (Delete)"), partial(self._leave_out, k)).setEnabled(len(self._compared) > FEWEST)
        menu.popup(at)

    def _ask_why(self, which: int, k: int) -> None:
        self.figureActivated.emit(self.sheet.rows[which][k].quantity.key, self._basis)

    def picture(self) -> QPixmap | None:
        """What is compared, as it looks where there is room; None where that is nothing."""
        side = self._side
        if side is None:
            return None
        return self.sheet.picture_of(self._title(side), self.sheet.descent.lines, side, self._badges)
