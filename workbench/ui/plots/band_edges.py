"""Band edges: which edge of a target a hand has taken, and where it may put it.  Plain sums, no painting."""

from typing import Literal, get_args

from workbench.ui.plots.reading import Band
from workbench.ui.plots.scale import round_step

Edge = Literal["low", "aim", "high"]
EDGES: tuple[Edge, ...] = get_args(Edge)  # in the order in which they lie
_STEPS_PER_TICK = 20


def edge_step(limit: float, finest: float) -> float:
    """How far one key press moves an edge on an axis that ends at ``limit``; no finer than figures are shown."""
    return max(round_step(limit) / _STEPS_PER_TICK, finest)


def edge_value(band: Band | None, edge: Edge) -> float | None:
    """Where an edge is; None where the target has none."""
    return None if band is None else (band.low, band.aim, band.high)[EDGES.index(edge)]


def placed(band: Band | None, edge: Edge, value: float, step: float) -> float:
    """``value`` on the grid of steps, not below zero, and not past the neighbouring edges."""
    at = EDGES.index(edge)
    below = [v for other in EDGES[:at] if (v := edge_value(band, other)) is not None]
    above = [v for other in EDGES[at + 1 :] if (v := edge_value(band, other)) is not None]
    on_grid = round(round(value / step) * step, 6)
    return min([max([0.0, *below, on_grid]), *above])


def edge_near(band: Band | None, places: dict[Edge, int], x: int, reach: int) -> Edge | None:
    """The edge within ``reach`` pixels of ``x``; where several lie there, the one that can be moved away. [px]"""
    near = [e for e in EDGES if edge_value(band, e) is not None and abs(places[e] - x) <= reach]
    if not near:
        return None
    closest = min(abs(places[e] - x) for e in near)
    tied = [e for e in near if abs(places[e] - x) == closest]
    return tied[0] if x <= places[tied[0]] else tied[-1]
