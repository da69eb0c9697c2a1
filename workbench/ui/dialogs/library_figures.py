"""The figures of one food of the library, each with what it is from; a dash where it is not known."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTreeWidget, QTreeWidgetItem, QWidget

from workbench.base.text import _
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food
from workbench.recipe.food_words import source_words
from workbench.ui.dialogs.import_words import figure_words


class FoodFigures(QTreeWidget):
    """A line for each component, per 100 g of the edible part."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(_("figures of the food, per 100 g of the edible part"))
        self.setHeaderLabels([_("per 100 g"), _("figure"), "", _("from")])
        self.setRootIsDecorated(False)
        self.setUniformRowHeights(True)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setMinimumHeight(8 * self.fontMetrics().lineSpacing())
        header = self.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(3, QHeaderView.ResizeMode.Stretch)

    def show_food(self, food: Food) -> None:
        """Show another food, what is known first."""
        self.clear()
        known = [tag for tag in COMPONENTS if tag in food.values or tag in food.limits]
        for tag in (*known, *(tag for tag in COMPONENTS if tag not in known)):
            component, value = COMPONENTS[tag], food.values.get(tag)
            source = source_words(value.source, value.code) if value is not None else ""
            item = QTreeWidgetItem(self, [_(component.title), figure_words(food, tag), component.unit, source])
            item.setTextAlignment(1, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            item.setToolTip(0, _(component.title))
            item.setToolTip(3, source)
