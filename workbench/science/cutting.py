"""How a pressed layer is cut into equal pieces: rows, columns, and the size of a piece."""

import math
from typing import Final, NamedTuple

DENSITY_G_PER_ML: Final = 1.1
"""Of moist cooked grain that was pressed: 1.11 to 1.12 by composition (Choi & Okos 1986, parallel model); puffed or
airy mixtures are lighter."""

_FEWEST_PER_TRAY, _MOST_PER_TRAY = 6, 40
_LONGEST = 4  # columns to a row


class CutPattern(NamedTuple):
    """So many trays, each cut into rows and columns."""

    trays: int
    rows: int
    columns: int

    @property
    def pieces(self) -> int:
        """Pieces in all."""
        return self.trays * self.rows * self.columns


def cut_pattern(pieces: int) -> CutPattern | None:
    """Rows and columns that give just so many pieces, as square as they can be.

    Parameters
    ----------
    pieces : int
        Number of pieces, >= 1.

    Returns
    -------
    CutPattern or None
        On the fewest trays of at most 40 pieces; None where only strips would give this number (17, 26, ...).
    """
    fewest = math.ceil(pieces / _MOST_PER_TRAY)
    for trays in range(fewest, max(pieces // _FEWEST_PER_TRAY, fewest) + 1):
        if pieces % trays == 0:
            each = pieces // trays
            rows = max(n for n in range(1, math.isqrt(each) + 1) if each % n == 0)
            if each <= _LONGEST * rows * rows:
                return CutPattern(trays, rows, each // rows)
    return None


def nearest_patterns(pieces: int) -> tuple[CutPattern, ...]:
    """The next smaller and the next larger number of pieces that can be cut evenly, where there are such."""
    around = (range(pieces - 1, 0, -1), range(pieces + 1, 2 * pieces + 2))
    found = (next((p for n in numbers if (p := cut_pattern(n)) is not None), None) for numbers in around)
    return tuple(pattern for pattern in found if pattern is not None)


def square_side_mm(piece_g: float, depth_mm: float, density_g_per_ml: float = DENSITY_G_PER_ML) -> float:
    """Side of a square piece of this weight and depth.

    Parameters
    ----------
    piece_g : float
        Weight, > 0. [g]
    depth_mm : float
        Depth of the layer, > 0. [mm]
    density_g_per_ml : float
        Density, > 0. [g/ml]

    Returns
    -------
    float
        Side. [mm]
    """
    return math.sqrt(piece_g / density_g_per_ml * 1000.0 / depth_mm)
