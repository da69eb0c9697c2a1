"""Widths of the recipe's columns: name, slider, amount and lock always have room, figures where some is left."""

from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QTableView

from workbench.ui.models.recipe_model import RecipeModel
from workbench.ui.models.recipe_rows import AMOUNT, FIGURES, LOCK, NAME, SLIDER
from workbench.ui.tables.recipe_delegate import SLIDER_WIDTH

_LEAST_NAME, _MODEST_NAME = 14, 22  # characters: of a narrow window, and before figures are scrolled
_OF_SLIDER = 0.4  # of what name and slider have together; the name is read, the slider only has to be long enough
_NARROWEST, _BROADEST = 8, 13  # digits of a figure's column


class FigureWindow(NamedTuple):
    """A run of columns: the first in sight, how many, and of how many."""

    first: int
    shown: int
    of: int

    @property
    def hidden(self) -> int:
        """How many have no room; as far as one can scroll."""
        return self.of - self.shown

    def holds(self, k: int) -> bool:
        """Whether a column is in sight."""
        return self.first <= k < self.first + self.shown


def figure_window(widths: list[int], room: int, first: int) -> FigureWindow:
    """As many columns as fit into ``room`` pixels, beginning at ``first`` or as late as needed to fill it."""
    count = len(widths)

    def fitting(start: int) -> int:
        used = 0
        for k in range(start, count):
            used += widths[k]
            if used > room:
                return k - start
        return count - start

    first = min(max(first, 0), max(count - 1, 0))
    while first > 0 and first + fitting(first) == count and fitting(first - 1) == count - first + 1:
        first -= 1
    return FigureWindow(first, fitting(first), count)


class RecipeWidths:
    """Sets the widths of a table's columns, and hides the figures that have no room."""

    def __init__(self, view: QTableView, model: RecipeModel) -> None:
        self._view = view
        self._model = model
        self._widths: dict[int, int] = {}
        self.figures = FigureWindow(0, 0, 0)

    def measure(self) -> None:
        """Widths from the font, so that nothing is cut off at any size."""
        metrics, model = QFontMetrics(self._view.font()), self._model
        digit = metrics.horizontalAdvance("0")
        self._widths = {AMOUNT: 14 * digit, LOCK: 4 * digit, model.remove_column: 4 * digit}
        for section in (AMOUNT, LOCK, *range(FIGURES, model.remove_column)):
            titles = str(model.headerData(section, Qt.Orientation.Horizontal)).split("\n")
            wide = max(map(metrics.horizontalAdvance, titles)) + 14
            least = self._widths.get(section, _NARROWEST * digit)
            most = _BROADEST * digit if section >= FIGURES else wide
            self._widths[section] = max(min(wide, most), least)
        for section, width in self._widths.items():
            self._view.setColumnWidth(section, width)

    def minimum(self) -> int:
        """What the table needs to keep its sliders usable. [px]"""
        return self._fixed() + SLIDER_WIDTH + _LEAST_NAME * self._view.fontMetrics().averageCharWidth()

    def _fixed(self) -> int:
        return sum(self._widths[section] for section in (AMOUNT, LOCK, self._model.remove_column))

    def share(self, first: int) -> None:
        """Figures from ``first`` on get what name and slider can spare, these the rest."""
        if self._model.remove_column not in self._widths:
            return  # other columns were chosen just now, and are measured next
        view = self._view
        width = view.viewport().width() - self._fixed()
        sections = range(FIGURES, self._model.remove_column)
        room = width - SLIDER_WIDTH - _MODEST_NAME * view.fontMetrics().averageCharWidth()
        self.figures = figure_window([self._widths[section] for section in sections], room, first)
        for section in sections:
            seen = self.figures.holds(section - FIGURES)
            view.setColumnHidden(section, not seen)
            width -= self._widths[section] if seen else 0
        slider = max(SLIDER_WIDTH, round(_OF_SLIDER * width))
        view.setColumnWidth(SLIDER, slider)
        view.setColumnWidth(NAME, max(width - slider, 40))
