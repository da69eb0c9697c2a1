"""The change of a quantity from one evaluation to another, with limits that honour what both have in common.

An ingredient without a value is the same ingredient in both: as much of it in both changes nothing, whatever it holds,
and only the grams by which they differ leave room for doubt.  Limits taken from the two figures alone would be wider.
"""

import math
from collections.abc import Sequence
from functools import cached_property
from typing import Literal

import numpy as np
import numpy.typing as npt

from workbench.document.project import Basis, Line
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import REFERENCE_CARBOHYDRATE_G, Evaluation
from workbench.recipe.flow import fat_kept
from workbench.recipe.prepared import Prepared
from workbench.recipe.quantities import INDEX, QUANTITIES

Floats = npt.NDArray[np.float64]
Span = tuple[list[float], list[float]]  # lower and upper limit of each linear quantity
Way = Literal["up", "down", "same", "cannot_tell"]

CANNOT_TELL = Bound(math.nan, -math.inf, math.inf)
NOTHING = Bound(0.0, 0.0, 0.0)
_TOLERANCE = 1e-9  # relative; below it two sums of floats are the same number
_MOST_KEPT = 64  # pairs; twelve are in use while six variants are compared
_OF_WATER = ("WATER", "weight")


def way(change: Bound, decimals: int) -> Way:
    """Which way a figure went; the same where the whole change is lost in the rounding of what is shown."""
    half = 0.5 * 10.0**-decimals
    if change.low > -half and change.high < half:
        return "same"
    tiny = _TOLERANCE * (1.0 + abs(change.value)) if not math.isnan(change.value) else _TOLERANCE
    if change.low > tiny:
        return "up"
    return "down" if change.high < -tiny else "cannot_tell"


class Changes:
    """What changed from one evaluation to another.

    Parameters
    ----------
    before, after : Evaluation
        Two variants, or one at two sets of amounts; they may belong to two projects.
    """

    def __init__(self, before: Evaluation, after: Evaluation) -> None:
        self.before = before
        self.after = after
        self._spans: dict[Basis, Span | None] = {}
        self._found: dict[tuple[str, Basis], Bound] = {}

    def change(self, key: str, basis: Basis) -> Bound:
        """After less before, in the unit of the quantity; both figures are per the basis.

        Parameters
        ----------
        key : str
            A quantity of the catalogue.
        basis : Basis
            Each evaluation has its own piece, pace and carbohydrate.

        Returns
        -------
        Bound
            The value is NaN where it cannot be told; its limits hold even then.
        """
        held = self._found.get((key, basis))
        if held is None:
            held = self._found[key, basis] = self._change(key, basis)
        return held

    def _change(self, key: str, basis: Basis) -> Bound:
        if not (self.before.valid and self.after.valid) or self._prices_differ(key):
            return CANNOT_TELL
        quotient = QUANTITIES[key].kind == "ratio" or (basis == "per_25g_carbohydrate" and self._span(basis) is None)
        if quotient and self._same_mixture and (key not in _OF_WATER or self._as_much_left):
            return NOTHING
        before, after = self.before.bound(key, basis), self.after.bound(key, basis)
        low, high = after.low - before.high, after.high - before.low
        if math.isnan(low) or math.isnan(high):
            return CANNOT_TELL
        if not quotient and (span := self._span(basis)) is not None:
            k = INDEX[key]
            low, high = max(low, span[0][k]), min(high, span[1][k])
        known = after.value - before.value
        tiny = _TOLERANCE * (1.0 + abs(after.value) + abs(before.value))
        if high - low <= 2.0 * tiny:
            middle = known if low - tiny <= known <= high + tiny else 0.5 * (low + high)
            return Bound(middle, middle, middle)
        value = min(max(known, low), high) if before.known and after.known else math.nan
        return Bound(value, low, high)

    def _prices_differ(self, key: str) -> bool:
        return key == "cost" and self.before.prepared.currency != self.after.prepared.currency

    # --- what both have in common -----------------------------------------------------------------------------------

    @cached_property
    def _lines(self) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp], int]:
        """For every line of both a place: lines of one ingredient with the same row share it; and how many places."""
        old, new = self.before.prepared, self.after.prepared
        first: dict[tuple[object, ...], int] = {}
        at_old = [first.setdefault(_identity(old, k, line), k) for k, line in enumerate(old.variant.lines)]
        n = len(at_old)
        own: dict[tuple[object, ...], int] = {}
        identities = [_identity(new, k, line) for k, line in enumerate(new.variant.lines)]
        there = [first.get(identity, -1) for identity in identities]
        shared = _same_rows(old, new, there)
        at_new = [
            j if same else own.setdefault(identity, n + k)
            for k, (identity, j, same) in enumerate(zip(identities, there, shared, strict=True))
        ]
        return np.array(at_old, np.intp), np.array(at_new, np.intp), n + len(at_new)

    def _moved(self, times_before: float, times_after: float) -> Floats:
        """Grams of each place that are more in the later one; 0 where the difference is only that of rounding."""
        at_old, at_new, n = self._lines
        old, new = np.zeros(n), np.zeros(n)
        np.add.at(old, at_old, self.before.edible_g * times_before)
        np.add.at(new, at_new, self.after.edible_g * times_after)
        moved = new - old
        moved[np.abs(moved) <= _TOLERANCE * (new + old)] = 0.0
        return moved

    @cached_property
    def _same_mixture(self) -> bool:
        """Whether both are made of the same ingredients in the same proportions."""
        if self.before.raw_g <= 0 or self.after.raw_g <= 0:  # water alone may have been taken up
            return self.before.raw_g <= 0 and self.after.raw_g <= 0
        return not self._moved(1.0 / self.before.raw_g, 1.0 / self.after.raw_g).any()

    @cached_property
    def _as_much_left(self) -> bool:
        """Whether as much is left of the raw weight."""
        return math.isclose(self.before.finished_percent, self.after.finished_percent, rel_tol=_TOLERANCE)

    def _span(self, basis: Basis) -> Span | None:
        """Limits of the change of every linear quantity; None where a basis rests on an uncertain figure."""
        if basis not in self._spans:
            factors = [_exact_factor(evaluation, basis) for evaluation in (self.before, self.after)]
            known = [f for f in factors if f is not None]
            self._spans[basis] = self._limits(*known) if len(known) == 2 else None
        return self._spans[basis]

    def _limits(self, times_before: float, times_after: float) -> Span:
        old, new = self.before.prepared, self.after.prepared
        value, low, high = (
            np.vstack(rows)
            for rows in ((old.row_value, new.row_value), (old.row_low, new.row_low), (old.row_high, new.row_high))
        )
        moved = self._moved(times_before, times_after)
        more, less = np.maximum(moved, 0.0), np.maximum(-moved, 0.0)
        unlimited = np.isinf(high)
        up, down = np.where(unlimited, 0.0, high - value), value - low
        known = _known(self.after, times_after) - _known(self.before, times_before)
        least, most = known - (more @ down + less @ up), known + (more @ up + less @ down)
        least[(less > 0) @ unlimited] = -np.inf
        most[(more > 0) @ unlimited] = np.inf
        return least.tolist(), most.tolist()


class KeptChanges:
    """Changes worked out once for each pair of evaluations.

    A window keeps one of these while something is dragged, so that what rests costs nothing.
    """

    def __init__(self) -> None:
        self._kept: dict[tuple[int, int], Changes] = {}

    def between(self, before: Evaluation, after: Evaluation) -> Changes:
        """The changes from one to the other."""
        pair = id(before), id(after)
        held = self._kept.pop(pair, None)  # it holds both evaluations, so that their ids stay their own
        if held is None:
            held = Changes(before, after)
            if len(self._kept) >= _MOST_KEPT:
                del self._kept[next(iter(self._kept))]
        self._kept[pair] = held  # the last one used stands last
        return held


def _identity(prepared: Prepared, k: int, line: Line) -> tuple[object, ...]:
    """What makes two lines bring the same of everything per gram, known or not."""
    kept = fat_kept(prepared.stages, prepared.line_stage[k])
    return line.food_ref.kind, line.food_ref.id, kept, *sorted(line.retention.items())


def _same_rows(old: Prepared, new: Prepared, there: Sequence[int]) -> list[bool]:
    """Whether rows of ``new`` are those of ``old`` at these places, of which -1 is none.

    Rows of one ingredient differ where its values were edited.
    """
    if not old.names or not there:
        return [False] * len(there)
    places = np.array(there, np.intp)
    same = places >= 0
    for a, b in ((old.row_value, new.row_value), (old.row_low, new.row_low), (old.row_high, new.row_high)):
        same &= (a[places] == b).all(axis=1)
    return [bool(each) for each in same]


def _exact_factor(evaluation: Evaluation, basis: Basis) -> float | None:
    """What batch content is multiplied with; None where that is itself uncertain."""
    if basis != "per_25g_carbohydrate":
        return evaluation.factor(basis)
    carbohydrate = evaluation.bound("CHOAVLDF", "batch")
    certain = carbohydrate.certainty == "exact" and carbohydrate.value > 0
    return REFERENCE_CARBOHYDRATE_G / carbohydrate.value if certain else None


def _known(evaluation: Evaluation, times: float) -> Floats:
    """Known part of every linear quantity, without the floor of zero that figures have."""
    sums: Floats = evaluation.values("batch") * times
    return sums
