"""The chosen columns of the recipe as cells: texts and bars, written anew only where a figure moved."""

from collections.abc import Sequence

import numpy as np

from workbench.document.project import Basis
from workbench.recipe.columns import Column, Floats, as_bound, cell_text, cell_words, line_figures
from workbench.recipe.evaluation import Evaluation
from workbench.ui.models.recipe_rows import LineRow

BAR_STEPS = 24  # so coarse that a drag repaints few cells


class FigureCells:
    """One column over all lines."""

    def __init__(self, column: Column) -> None:
        self.column = column
        self._figures: Floats = np.empty((3, 0))
        self._bars = np.empty(0, np.int64)
        self._prepared: object = None

    def update(self, evaluation: Evaluation, basis: Basis, rows: Sequence[LineRow], at: int) -> list[int]:
        """Write into column ``at`` of the rows, which are in the order of the lines; says which lines changed."""
        if self.column.kind == "per_100g" and evaluation.prepared is self._prepared:
            return []
        figures = line_figures(evaluation, self.column, basis)
        fresh = evaluation.prepared is not self._prepared or figures.shape != self._figures.shape
        moved = set(range(len(rows))) if fresh else set(np.flatnonzero((figures != self._figures).any(axis=0)).tolist())
        self._figures, self._prepared = figures, evaluation.prepared
        changed = {k for k in moved if self._write(rows[k], k, at)}
        if self.column.kind == "brings":
            bars = _bars(figures[0])
            different = range(len(rows)) if fresh else np.flatnonzero(bars != self._bars).tolist()
            for k in different:
                rows[k].bars[at] = int(bars[k])
            changed.update(different)
            self._bars = bars
        return sorted(changed)

    def _write(self, row: LineRow, k: int, at: int) -> bool:
        """Whether the text is another one."""
        bound = as_bound(self._figures, k)
        text = cell_text(bound, self.column.decimals, estimated=self.column.key in row.estimated and bound.value > 0)
        if text == row.texts[at]:
            return False
        row.texts[at] = text
        return True

    def words(self, row: LineRow, basis: Basis) -> str:
        """The cell in full sentences."""
        value = float(self._figures[0, row.at])
        whole = float(self._figures[0].sum())
        percent = 100.0 * value / whole if self.column.kind == "brings" and whole > 0 and value > 0 else None
        estimated = self.column.key in row.estimated
        return cell_words(as_bound(self._figures, row.at), self.column, basis, estimated=estimated, percent=percent)


def _bars(values: Floats) -> "np.ndarray[tuple[int], np.dtype[np.int64]]":
    whole = values.sum()
    if not whole > 0:
        return np.zeros(len(values), np.int64)
    return np.rint(values * (BAR_STEPS / whole)).astype(np.int64)
