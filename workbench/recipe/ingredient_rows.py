"""Ingredients of several variants side by side, one a row."""

from collections.abc import Sequence
from typing import NamedTuple

from workbench.recipe.comparison import LineChange, line_change
from workbench.recipe.evaluation import Evaluation


class IngredientRow(NamedTuple):
    """One ingredient, matched through the columns by its line, else by what it is made of.

    Attributes
    ----------
    name : str
        As the reference calls it, else the first column that has it.
    names : tuple of str or None
        What each column has in its place; None where it has none, as in the next three.
    shares : tuple of float or None
        Of the raw batch, 0 to 1.
    batch_g, piece_g : tuple of float or None
        Grams of the edible part as it goes in, in the batch and for one piece; NaN where there is no valid piece. [g]
    changes : tuple of LineChange or None
        Against the reference; None where its share is the same, or in neither.
    """

    name: str
    names: tuple[str | None, ...]
    shares: tuple[float | None, ...]
    batch_g: tuple[float | None, ...]
    piece_g: tuple[float | None, ...]
    changes: tuple[LineChange | None, ...]

    @property
    def changed(self) -> bool:
        """Whether any column differs from the reference."""
        return any(change is not None for change in self.changes)


def ingredient_rows(columns: Sequence[Evaluation], reference: int) -> tuple[IngredientRow, ...]:
    """Those of the reference in its order, then what others have besides; lines of 0 g are not there."""
    places: list[list[int | None]] = []  # for each row, which line of each column
    by_line: dict[str, list[int | None]] = {}
    by_food: dict[str, list[list[int | None]]] = {}
    n = len(columns)
    for c in (reference, *(c for c in range(n) if c != reference)):
        evaluation = columns[c]
        there = [k for k, grams in enumerate(evaluation.edible_g) if grams > 0]
        lines = evaluation.prepared.variant.lines
        rest = []
        for k in there:
            row = by_line.get(lines[k].id)
            if row is not None and row[c] is None:
                row[c] = k
            else:
                rest.append(k)
        for k in rest:
            row = next((row for row in by_food.get(lines[k].food_ref.id, ()) if row[c] is None), None)
            if row is None:
                row = [None] * n
                places.append(row)
            row[c] = k
            by_line.setdefault(lines[k].id, row)
        for k in there:
            row = next(row for row in places if row[c] == k)
            known = by_food.setdefault(lines[k].food_ref.id, [])
            if not any(row is each for each in known):
                known.append(row)
    return tuple(_ingredient(columns, reference, row) for row in places)


def _ingredient(columns: Sequence[Evaluation], reference: int, places: list[int | None]) -> IngredientRow:
    names: list[str | None] = []
    shares: list[float | None] = []
    batch_g: list[float | None] = []
    piece_g: list[float | None] = []
    changes: list[LineChange | None] = []
    before = columns[reference]
    for each, k in zip(columns, places, strict=True):
        grams = None if k is None else float(each.edible_g[k])
        names.append(None if k is None else each.prepared.names[k])
        shares.append(None if grams is None else grams / each.raw_g)
        batch_g.append(grams)
        piece_g.append(None if grams is None else grams * each.factor("portion"))
        changes.append(line_change(before, each, places[reference], k))
    name = names[reference] or next(name for name in names if name is not None)
    return IngredientRow(name, tuple(names), tuple(shares), tuple(batch_g), tuple(piece_g), tuple(changes))
