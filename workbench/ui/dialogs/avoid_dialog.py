"""What must not be in a recipe: kinds of animal origin, allergens, what a gut does not bear, and what nobody wants."""

from collections.abc import Mapping, Sequence
from typing import cast

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QFrame,
    QGridLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from workbench.base.text import _
from workbench.composition.food import ALLERGENS, GUT_FLAGS, WATCHED, Food, Origin
from workbench.recipe.words import ALLERGEN_WORDS
from workbench.solve.avoid import ANIMAL, GLUTEN, Avoid
from workbench.ui.dialogs.buttons import done_or_cancel

_COLUMNS = 3


def ask_avoid(avoid: Avoid, foods: Sequence[Food], parent: QWidget) -> Avoid | None:
    """Ask what to avoid; ``foods`` are those of the recipe, which may be unwanted.  None if cancelled."""
    dialog = AvoidDialog(avoid, foods, parent)
    answer = dialog.avoid() if dialog.exec() == QDialog.DialogCode.Accepted else None
    dialog.deleteLater()
    return answer


class AvoidDialog(QDialog):
    """Boxes to tick."""

    def __init__(self, avoid: Avoid, foods: Sequence[Food], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("what to avoid"))
        self._before = avoid
        inside = QWidget(self)
        column = QVBoxLayout(inside)
        self.origins = {key: QCheckBox(Avoid(origins=frozenset((key,))).words(), inside) for key in ANIMAL}
        self.allergens = {key: QCheckBox(_(ALLERGEN_WORDS[key]), inside) for key in (*ALLERGENS, *WATCHED)}
        self.gut = {key: QCheckBox(Avoid(gut=frozenset((key,))).words(), inside) for key in GUT_FLAGS}
        self.foods = {food.id: QCheckBox(food.name.replace("&", "&&"), inside) for food in foods}
        self.traces = QCheckBox(_("“may contain” counts as contained"), inside)
        self.gluten = QPushButton(_("tick all four with gluten"), inside)
        self.gluten.setAutoDefault(False)
        self.gluten.clicked.connect(self._tick_gluten)
        self.traces.setChecked(avoid.traces)
        _section(column, _("of animal origin"), self.origins, avoid.origins)
        _section(
            column, _("allergens (an ingredient with none stated counts as a risk)"), self.allergens, avoid.allergens
        )
        column.addWidget(self.gluten, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.traces)
        _section(column, _("hard on a gut, or on sleep"), self.gut, avoid.gut)
        _section(column, _("not wanted, of this recipe"), self.foods, avoid.foods)
        column.addStretch(1)
        scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        layout = QVBoxLayout(self)
        layout.addWidget(scroll, 1)
        layout.addWidget(done_or_cancel(self))
        em = self.fontMetrics().horizontalAdvance("m")
        room = parent.window().size() if parent is not None else self.maximumSize()
        self.resize(QSize(inside.sizeHint().width() + 6 * em, 50 * em).boundedTo(room))
        self.origins["dairy"].setFocus()

    def _tick_gluten(self) -> None:
        for key in GLUTEN:
            self.allergens[key].setChecked(True)

    def avoid(self) -> Avoid:
        """What is ticked; what is unwanted and not of this recipe stays unwanted."""
        return Avoid(
            origins=frozenset(cast(Origin, key) for key in _ticked(self.origins)),
            allergens=frozenset(_ticked(self.allergens)),
            traces=self.traces.isChecked(),
            gut=frozenset(_ticked(self.gut)),
            foods=frozenset((*(self._before.foods - set(self.foods)), *_ticked(self.foods))),
        )


def _ticked(boxes: Mapping[str, QCheckBox] | Mapping[Origin, QCheckBox]) -> list[str]:
    return [key for key, box in boxes.items() if box.isChecked()]


def _section(
    column: QVBoxLayout,
    title: str,
    boxes: Mapping[str, QCheckBox] | Mapping[Origin, QCheckBox],
    ticked: frozenset[str] | frozenset[Origin],
) -> None:
    """A title and its boxes, down the columns, so that Tab goes as the eye does."""
    if not boxes:
        return
    head = QLabel(title)
    head.setProperty("muted", True)
    column.addWidget(head)
    grid = QGridLayout()
    grid.setContentsMargins(0, 0, 0, 8)
    rows = -(-len(boxes) // _COLUMNS)
    for k, (key, box) in enumerate(boxes.items()):
        box.setChecked(key in ticked)
        grid.addWidget(box, k % rows, k // rows)
    column.addLayout(grid)
