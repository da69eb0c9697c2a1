"""Where everything stands on the sheet that calculates a variant, known before a cell of it is written.

The spec sheet shows results of the calculation, and the calculation reads the inputs of the spec sheet: each has to
know where the other keeps things.
"""

from collections.abc import Sequence
from typing import NamedTuple

from workbench.document.project import Basis, ByCount, FinalWater, Variant, WaterLost, Weighed, WeightChoice
from workbench.report.spreadsheet.formula import cell, down, on

HEAD_ROWS = 2
PORTIONS = (
    "raw_g",
    "finished_g",
    "finished_percent",
    "trimmings_percent",
    "trimmings_g",
    "usable_g",
    "entered",
    "pieces",
    "whole_pieces",
    "piece_g",
    "left_over_g",
    "pace",
    "complete",
    "valid",
    "changed",
    "per_100g",
    "portion",
    "per_hour",
)
"""Rows of the portions, from the raw batch to the factors of the bases; figures stand in column ``VALUE``."""

VALUE, WRITTEN = 2, 3  # columns of the portions
NAME, STAGE, AMOUNT, FRACTION, EDIBLE, SHARE, AS_WRITTEN = range(7)  # columns of the lines
YIELD, COOKING_WATER, OWN_WATER, MOST_WATER, OPEN_WATER, FAT = range(7, 13)
SHARE_THEN = 13  # and to the right of it: one column for each weighed stage
ENTERS, BEFORE, INTO, WATER_IN, FAT_LEFT, DRAINED, FIRST, SECOND = range(2, 10)  # columns of the stages
OUT, CHANGE, WATER_MOST, FIRST_WRITTEN = range(10, 14)
SECOND_WRITTEN, MOVED = 14, 15

_SIDES: dict[str, tuple[str, int]] = {
    "per_100g": ("eaten", 2),
    "portion": ("eaten", 7),
    "per_25g_carbohydrate": ("hour", 2),
    "per_hour": ("hour", 7),
}
WORDS = 12  # column of the eaten table and the ratios: one piece in words


class Figure(NamedTuple):
    """Addresses of a result: its figure and limits, and (but for the whole batch) how sure it is and a sign."""

    value: str
    least: str
    most: str
    how: str
    sign: str


class Inputs(NamedTuple):
    """Addresses of the cells that may be changed, on the sheet that they are on."""

    amounts: tuple[str, ...]
    stages: tuple[tuple[str, ...], ...]  # the figures of each stage's weight choice
    entered: str  # piece count or piece weight
    trimmings: str
    pace: str
    targets: tuple[tuple[str, str], ...]  # at least, at most


def stage_inputs(choice: WeightChoice) -> tuple[float, ...]:
    """Figures that say what a batch weighs after a stage; none where nothing has to be said."""
    if isinstance(choice, Weighed):
        return choice.in_g, choice.out_g
    if isinstance(choice, WaterLost):
        return (choice.amount,)
    return (choice.percent,) if isinstance(choice, FinalWater) else ()


def entered(variant: Variant) -> float:
    """Piece count, or piece weight where the batch is divided by weight."""
    portioning = variant.portioning
    return portioning.count if isinstance(portioning, ByCount) else portioning.piece_g


class Places:
    """Rows of the calculation of one variant.

    Attributes
    ----------
    lines, stages, portions, batch, eaten, hour, ratios, targets, foods, groups, labels, bars : int
        First row of each table, counted from 0.
    """

    def __init__(
        self,
        sheet: str,
        keys: Sequence[str],
        ratios: Sequence[str],
        *,
        n_lines: int,
        n_stages: int,
        n_targets: int,
        n_foods: int,
        n_groups: int,
        n_labels: int,
    ) -> None:
        self.sheet = sheet
        self.n_lines = n_lines
        self.n_foods = n_foods
        self.keys = {key: k for k, key in enumerate(keys)}
        self.ratio_keys = {key: k for k, key in enumerate(ratios)}
        self._row = HEAD_ROWS
        self.lines = self._table(n_lines)
        self.stages = self._table(n_stages)
        self.portions = self._table(len(PORTIONS))
        self.batch = self._table(len(keys))
        self.eaten = self._table(len(keys))
        self.hour = self._table(len(keys))
        self.ratios = self._table(len(ratios))
        self.targets = self._table(n_targets)
        self.foods = self._table(n_foods)
        self.groups = self._table(n_groups)
        self.labels = self._table(n_labels)
        self.bars = self._row + 3

    def _table(self, n: int) -> int:
        """First row of a table of ``n`` rows, below a gap, its title and its head; there is none without rows."""
        first = self._row + 3
        if n:
            self._row = first + n
        return first

    # --- addresses on the sheet itself --------------------------------------------------------------------------

    def line(self, k: int, column: int) -> str:
        return cell(self.lines + k, column)

    def line_column(self, column: int) -> str:
        return down(column, self.lines, self.lines + self.n_lines - 1)

    def portion(self, name: str) -> str:
        return cell(self.portions + PORTIONS.index(name), VALUE)

    def batch_row(self, key: str) -> int:
        return self.batch + self.keys[key]

    def figure(self, key: str, basis: Basis) -> Figure:
        """Addresses of a quantity on a basis."""
        if key in self.ratio_keys:
            row, column = self.ratios + self.ratio_keys[key], 2
        elif basis == "batch":
            row, column = self.batch_row(key), 2
            return Figure(cell(row, 2), cell(row, 3), cell(row, 4), "", "")
        else:
            table, column = _SIDES[basis]
            row = (self.eaten if table == "eaten" else self.hour) + self.keys[key]
        return Figure(*(cell(row, column + k) for k in range(5)))

    def doubt(self, key: str) -> tuple[str, str]:
        """Addresses of how many ingredients leave a quantity open, and of their names."""
        if key in self.ratio_keys:
            row = self.ratios + self.ratio_keys[key]
            return cell(row, 7), cell(row, 8)
        return cell(self.batch_row(key), 6), cell(self.batch_row(key), 7)

    def words(self, key: str) -> str:
        """Address of what is known of a quantity in one piece, in words."""
        if key in self.ratio_keys:
            return cell(self.ratios + self.ratio_keys[key], WORDS)
        return cell(self.eaten + self.keys[key], WORDS)

    # --- addresses from elsewhere -------------------------------------------------------------------------------

    def there(self, address: str) -> str:
        """An address of this sheet as other sheets write it."""
        return on(self.sheet, address) if address else ""

    def figure_there(self, key: str, basis: Basis) -> Figure:
        """``figure``, for other sheets."""
        return Figure(*map(self.there, self.figure(key, basis)))
