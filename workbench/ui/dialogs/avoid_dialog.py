"""What must not be in a recipe: kinds of animal origin, allergens, what a gut does not bear, and what nobody wants.

It is kept with the project, or with the variant on screen in place of that.
"""

from collections.abc import Iterable, Mapping
from functools import partial
from typing import cast

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QCheckBox,
    QDialog,
    QFrame,
    QGridLayout,
    QLabel,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import _
from workbench.composition.food import ALLERGENS, GUT_FLAGS, WATCHED, Origin
from workbench.document.avoid import ANIMAL, GLUTEN, Avoid, avoiding
from workbench.document.avoid_edits import avoid_in_project, avoid_in_variant
from workbench.document.edits import Edit
from workbench.recipe.words import ALLERGEN_WORDS
from workbench.solve.avoid import avoid_words
from workbench.ui.dialogs.buttons import done_or_cancel
from workbench.ui.dialogs.room import resize_within
from workbench.ui.dialogs.unwanted_foods import UnwantedFoods
from workbench.ui.guard import guarded
from workbench.ui.session import Session

_COLUMNS = 3
_Boxes = Mapping[str, QCheckBox]


def ask_avoid(session: Session, parent: QWidget) -> Edit | None:
    """Ask what to avoid, and where that holds; None if cancelled."""
    dialog = AvoidDialog(session, parent)
    answer = dialog.edit() if dialog.exec() == QDialog.DialogCode.Accepted else None
    dialog.deleteLater()
    return answer


@guarded
class AvoidDialog(QDialog):
    """Boxes to tick, and for whom they count."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("what to avoid"))
        self._session = session
        variant = session.variant
        self.for_project = QRadioButton(_("for every variant that has no wish of its own"), self)
        self.for_variant = QRadioButton(_("for “{name}” alone", name=variant.name.replace("&", "&&")), self)
        self.scope = QButtonGroup(self)
        for choice in (self.for_project, self.for_variant):
            self.scope.addButton(choice)
        (self.for_project if variant.avoid is None else self.for_variant).setChecked(True)
        inside = QWidget(self)
        column = QVBoxLayout(inside)
        self.origins: _Boxes = {key: QCheckBox(avoid_words(Avoid(origins=(key,))), inside) for key in ANIMAL}
        self.allergens: _Boxes = {key: QCheckBox(_(ALLERGEN_WORDS[key]), inside) for key in (*ALLERGENS, *WATCHED)}
        self.animal = QPushButton(_("tick all of animal origin"), inside)
        self.gluten = QPushButton(_("tick all four with gluten"), inside)
        for button in (self.animal, self.gluten):
            button.setAutoDefault(False)
        self.traces = QCheckBox(_("“may contain” counts as contained"), inside)
        self.gut: _Boxes = {key: QCheckBox(avoid_words(Avoid(gut=(key,))), inside) for key in GUT_FLAGS}
        self.unwanted = UnwantedFoods(session, inside)
        _section(column, _("of animal origin"), self.origins)
        column.addWidget(self.animal, 0, Qt.AlignmentFlag.AlignLeft)
        _section(column, _("allergens (an ingredient with none stated counts as a risk)"), self.allergens)
        column.addWidget(self.gluten, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.traces)
        _section(column, _("hard on a gut, or on sleep"), self.gut)
        column.addWidget(_head(_("not wanted")))
        column.addWidget(self.unwanted)
        column.addStretch(1)
        scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        layout = QVBoxLayout(self)
        layout.addWidget(self.for_project)
        layout.addWidget(self.for_variant)
        layout.addWidget(scroll, 1)
        layout.addWidget(done_or_cancel(self))
        self.show_wish(session.project.wish_of(variant))
        self.animal.clicked.connect(partial(_tick, self.origins, ANIMAL))
        self.gluten.clicked.connect(partial(_tick, self.allergens, GLUTEN))
        self.scope.buttonToggled.connect(self._follow_scope)
        em = self.fontMetrics().horizontalAdvance("m")
        resize_within(self, QSize(inside.sizeHint().width() + 6 * em, 56 * em))
        self.origins["dairy"].setFocus()

    def show_wish(self, avoid: Avoid) -> None:
        """Tick what is in a wish."""
        for boxes, ticked in ((self.origins, avoid.origins), (self.allergens, avoid.allergens), (self.gut, avoid.gut)):
            for key, box in boxes.items():
                box.setChecked(key in ticked)
        self.traces.setChecked(avoid.traces)
        self.unwanted.show_foods(avoid.foods)

    @Slot()
    def _follow_scope(self) -> None:
        """Show what holds there already, where nothing was ticked yet."""
        project, variant = self._session.project, self._session.variant
        there = project.avoid, project.wish_of(variant)
        if self.avoid() in there:
            self.show_wish(there[self.for_variant.isChecked()])

    def avoid(self) -> Avoid:
        """What is ticked."""
        return avoiding(
            origins=(cast(Origin, key) for key in _ticked(self.origins)),
            allergens=_ticked(self.allergens),
            traces=self.traces.isChecked(),
            gut=_ticked(self.gut),
            foods=self.unwanted.foods(),
        )

    def edit(self) -> Edit:
        """What is ticked, kept where it is to be kept; what equals the project's wish is no wish of a variant's own."""
        project, variant_id, avoid = self._session.project, self._session.variant_id, self.avoid()
        if self.for_project.isChecked():
            return avoid_in_project(project, avoid, variant_id)
        return avoid_in_variant(project, variant_id, None if avoid == project.avoid else avoid)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if not (enter and self.unwanted.take_first()):
            super().keyPressEvent(event)


def _tick(boxes: _Boxes, keys: Iterable[str], *_checked: bool) -> None:
    for key in keys:
        boxes[key].setChecked(True)


def _ticked(boxes: _Boxes) -> Iterable[str]:
    return (key for key, box in boxes.items() if box.isChecked())


def _head(title: str) -> QLabel:
    head = QLabel(title)
    head.setProperty("muted", True)
    return head


def _section(column: QVBoxLayout, title: str, boxes: _Boxes) -> None:
    """A title and its boxes, down the columns, so that Tab goes as the eye does."""
    column.addWidget(_head(title))
    grid = QGridLayout()
    grid.setContentsMargins(0, 0, 0, 8)
    rows = -(-len(boxes) // _COLUMNS)
    for k, box in enumerate(boxes.values()):
        grid.addWidget(box, k % rows, k // rows)
    column.addLayout(grid)
