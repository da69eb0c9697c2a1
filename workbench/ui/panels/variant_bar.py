"""The variants of the project as a row of cards; the one on screen is marked."""

from typing import NamedTuple

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, QTimer, Signal
from PySide6.QtGui import QKeySequence, QMouseEvent, QPalette, QShortcut, QShowEvent
from PySide6.QtWidgets import QApplication, QButtonGroup, QFrame, QHBoxLayout, QScrollArea, QToolButton, QWidget

from workbench.base.text import _
from workbench.document import variant_edits
from workbench.document.project import Project, Variant
from workbench.recipe.words import PURPOSES
from workbench.ui.actions import UserAction
from workbench.ui.guard import guarded
from workbench.ui.messages import Messages
from workbench.ui.session import Session

_NUMBERED = 9  # Ctrl+1 to Ctrl+9


class _Taken(NamedTuple):
    """A card in the hand."""

    variant_id: str
    start: QPoint  # on screen
    under_way: bool = False


@guarded
class VariantBar(QWidget):
    """Cards to switch, rename, copy, move and delete variants."""

    menuRequested = Signal(QPoint)  # on screen

    def __init__(self, session: Session, messages: Messages, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._messages = messages
        self._shown: tuple[tuple[str, str, str], ...] = ()
        self._taken: _Taken | None = None
        self.cards: dict[str, QToolButton] = {}
        self._group = QButtonGroup(self)
        self._row = QWidget()
        self._places = QHBoxLayout(self._row)
        self._places.setContentsMargins(0, 0, 0, 0)
        self._gap = QFrame(self._row)  # where a card that is dragged would go
        self._gap.setAutoFillBackground(True)
        self._gap.setBackgroundRole(QPalette.ColorRole.Highlight)
        self._gap.hide()
        self._scroll = QScrollArea(self)
        self._scroll.setWidget(self._row)
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        plus = QToolButton(self)
        plus.setText("+")
        plus.setToolTip(_("new variant from this one (Ctrl+Shift+N)"))
        plus.setAccessibleName(_("new variant from this one"))
        plus.clicked.connect(self.new_from_this)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(8, 4, 8, 4)
        layout.addWidget(self._scroll, 1)
        layout.addWidget(plus)
        for number in range(1, _NUMBERED + 1):
            shortcut = QShortcut(QKeySequence(f"Ctrl+{number}"), self)
            shortcut.activated.connect(lambda at=number - 1: self._switch_to(at))
        session.documentChanged.connect(lambda project, _change: self._show(project))
        session.variantSwitched.connect(lambda _id: self._mark())
        self._show(session.project)

    # --- cards --------------------------------------------------------------------------------------------------

    def _show(self, project: Project) -> None:
        wanted = tuple((variant.id, _card_text(variant), variant.notes) for variant in project.variants)
        if wanted != self._shown:
            self._shown = wanted
            self._build(project)
        self._mark()

    def _build(self, project: Project) -> None:
        self._drop()
        for card in self.cards.values():
            self._group.removeButton(card)
            card.hide()
            card.deleteLater()
        self.cards = {}
        while self._places.count():
            self._places.takeAt(0)
        for number, variant in enumerate(project.variants, 1):
            card = QToolButton(self._row)
            card.setProperty("choice", True)
            card.setCheckable(True)
            card.setText(_card_text(variant).replace("&", "&&"))
            keys = f" (Ctrl+{number})" if number <= _NUMBERED else ""
            card.setToolTip((variant.notes or _("double click renames")) + keys)
            card.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
            card.customContextMenuRequested.connect(lambda at, v=variant.id, c=card: self._menu(v, c.mapToGlobal(at)))
            card.clicked.connect(lambda _checked=False, v=variant.id: self._session.switch_variant(v))
            card.installEventFilter(self)
            self._group.addButton(card)
            self._places.addWidget(card)
            self.cards[variant.id] = card
        self._places.addStretch(1)
        self._fit()

    def _fit(self) -> None:
        """As high as the cards, asked of them: the row itself has no size before they are shown."""
        self._scroll.setFixedHeight(max(card.sizeHint().height() for card in self.cards.values()))

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            QTimer.singleShot(0, self, self._fit)  # when the cards have changed too

    def _mark(self) -> None:
        card = self.cards.get(self._session.variant_id)
        if card is not None:
            card.setChecked(True)
            self._scroll.ensureWidgetVisible(card)

    def _menu(self, variant_id: str, at: QPoint) -> None:
        self._session.switch_variant(variant_id)
        self.menuRequested.emit(at)

    def eventFilter(self, card: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.MouseButtonDblClick:
            self._drop()
            self.rename()
            return True
        if isinstance(event, QMouseEvent) and self._moves_card(card, event):
            return True
        return super().eventFilter(card, event)

    # --- dragging a card ----------------------------------------------------------------------------------------

    def _moves_card(self, card: QObject, event: QMouseEvent) -> bool:
        """Whether the event belongs to a drag, and not to a click."""
        at, kind = event.globalPosition().toPoint(), event.type()
        if kind == QEvent.Type.MouseButtonPress and event.button() == Qt.MouseButton.LeftButton:
            variant_id = next(key for key, other in self.cards.items() if other is card)
            self._taken = _Taken(variant_id, at)
        elif kind == QEvent.Type.MouseMove and self._taken is not None:
            far = (at - self._taken.start).manhattanLength() >= QApplication.startDragDistance()
            self._taken = self._taken._replace(under_way=self._taken.under_way or far)
            if self._taken.under_way:
                self._show_gap(self._place_at(at))
                return True
        elif kind == QEvent.Type.MouseButtonRelease and self._taken is not None:
            taken = self._taken
            self._drop()
            if taken.under_way:
                self.cards[taken.variant_id].setDown(False)
                self._put(taken.variant_id, self._place_at(at, taken.variant_id))
                return True
        return False

    def _place_at(self, at: QPoint, without: str = "") -> int:
        """How many cards are to the left of a point."""
        x = self._row.mapFromGlobal(at).x()
        return sum(card.geometry().center().x() < x for key, card in self.cards.items() if key != without)

    def _show_gap(self, place: int) -> None:
        cards = list(self.cards.values())
        x = cards[place].geometry().left() - 3 if place < len(cards) else cards[-1].geometry().right() + 1
        self._gap.setGeometry(max(x, 0), 0, 3, self._row.height())
        self._gap.raise_()
        self._gap.show()

    def _drop(self) -> None:
        self._taken = None
        self._gap.hide()

    def _put(self, variant_id: str, place: int) -> None:
        session = self._session
        if [variant.id for variant in session.project.variants].index(variant_id) != place:
            session.apply(variant_edits.move_variant(session.project, variant_id, place))

    # --- actions ------------------------------------------------------------------------------------------------

    def user_actions(self) -> tuple[UserAction, ...]:
        """What can be done with variants."""
        return (
            UserAction("variant.new", _("new variant from this one"), self.new_from_this, "Ctrl+Shift+N"),
            UserAction("variant.empty", _("new empty variant"), self.new_empty),
            UserAction("variant.rename", _("rename …"), self.rename, "F2"),
            UserAction("variant.describe", _("purpose and notes …"), self.describe),
            UserAction(
                "variant.left",
                _("move to the left"),
                lambda: self._move(-1),
                "Ctrl+Shift+Left",
                lambda: self._can_move(-1),
            ),
            UserAction(
                "variant.right",
                _("move to the right"),
                lambda: self._move(1),
                "Ctrl+Shift+Right",
                lambda: self._can_move(1),
            ),
            UserAction("variant.delete", _("delete"), self.delete, enabled=self._has_others),
            UserAction("variant.next", _("next variant"), lambda: self._step(1), "Ctrl+PgDown"),
            UserAction("variant.previous", _("previous variant"), lambda: self._step(-1), "Ctrl+PgUp"),
        )

    def _has_others(self) -> bool:
        return len(self._session.project.variants) > 1

    def _can_move(self, by: int) -> bool:
        ids = [variant.id for variant in self._session.project.variants]
        return 0 <= ids.index(self._session.variant_id) + by < len(ids)

    def _move(self, by: int) -> None:
        if self._can_move(by):
            ids = [variant.id for variant in self._session.project.variants]
            self._put(self._session.variant_id, ids.index(self._session.variant_id) + by)

    def new_from_this(self) -> None:
        """A copy of the variant on screen, which is then on screen; the name can be changed at once."""
        session = self._session
        name = variant_edits.free_variant_name(session.project, _("{name}, copy", name=session.variant.name))
        typed = self._messages.ask_text(_("new variant"), _("name of the new variant"), name)
        if typed is not None:
            edit, variant_id = variant_edits.new_variant(session.project, typed, session.variant_id)
            session.apply(edit, variant_id)

    def new_empty(self) -> None:
        """A variant with nothing in it."""
        session = self._session
        typed = self._messages.ask_text(
            _("new variant"),
            _("name of the new variant"),
            variant_edits.free_variant_name(session.project, _("variant")),
        )
        if typed is not None:
            edit, variant_id = variant_edits.new_variant(session.project, typed)
            session.apply(edit, variant_id)

    def rename(self) -> None:
        """Give the variant on screen another name."""
        session = self._session
        typed = self._messages.ask_text(_("rename"), _("name of the variant"), session.variant.name)
        if typed is not None and typed != session.variant.name:
            session.apply(variant_edits.rename_variant(session.project, session.variant_id, typed))

    def describe(self) -> None:
        """Purpose and notes of the variant on screen."""
        from workbench.ui.dialogs.variant_dialog import ask_description

        session = self._session
        answer = ask_description(session.variant, self.window())
        if answer is not None and (answer.purpose, answer.notes) != (session.variant.purpose, session.variant.notes):
            session.apply(
                variant_edits.describe_variant(session.project, session.variant_id, answer.purpose, answer.notes)
            )

    def delete(self) -> None:
        """Delete the variant on screen; undo brings it back."""
        session = self._session
        users = variant_edits.variants_using(session.project, session.variant_id)
        if users:
            names = ", ".join(f"“{variant.name}”" for variant in users)
            self._messages.notice(_("not deleted: it is an ingredient of {names}; remove it there first", names=names))
            return
        ids = [variant.id for variant in session.project.variants]
        at = ids.index(session.variant_id)
        session.apply(variant_edits.remove_variant(session.project, session.variant_id), ids[at - 1] if at else ids[1])

    def _step(self, by: int) -> None:
        ids = [variant.id for variant in self._session.project.variants]
        self._session.switch_variant(ids[(ids.index(self._session.variant_id) + by) % len(ids)])

    def _switch_to(self, at: int) -> None:
        variants = self._session.project.variants
        if at < len(variants):
            self._session.switch_variant(variants[at].id)


def _card_text(variant: Variant) -> str:
    """The name, and the purpose where the name does not say it."""
    purpose = _(PURPOSES[variant.purpose])
    said = not variant.purpose or purpose.casefold() in variant.name.casefold()
    return variant.name if said else f"{variant.name} · {purpose}"
