"""Two variants beside each other: what changed in the recipe, and what it did."""

from typing import Literal, NamedTuple

from workbench.document.project import Basis, Line
from workbench.recipe.bound import Bound
from workbench.recipe.change import KeptChanges, Way, way
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import QUANTITIES, Quantity


class LineChange(NamedTuple):
    """One ingredient that differs; grams are edible grams of the whole batch, shares are of the raw batch weight.

    A line of 0 g counts as one that is not there.
    """

    what: Literal["added", "removed", "replaced", "more", "less"]
    name: str
    before_name: str
    before_g: float
    after_g: float
    before_share: float
    after_share: float


class Difference(NamedTuple):
    """One quantity of both variants on one basis, and after less before (see ``change.Changes``)."""

    quantity: Quantity
    before: Bound
    after: Bound
    change: Bound

    @property
    def way(self) -> Way:
        """Which way the figure went, as shown."""
        return way(self.change, self.quantity.decimals)


def _share(evaluation: Evaluation, k: int) -> float:
    return float(evaluation.edible_g[k]) / evaluation.raw_g if evaluation.raw_g > 0 else 0.0


def line_changes(before: Evaluation, after: Evaluation) -> tuple[LineChange, ...]:
    """Ingredients that were added, removed, replaced, or whose share of the batch moved.

    A batch that is only bigger changes nothing, so shares are compared, not grams; a share counts as moved from a tenth
    of a percent of the batch on.
    """
    changes = (line_change(before, after, j, k) for j, k in matched_lines(before, after))
    return tuple(change for change in changes if change is not None)


def matched_lines(before: Evaluation, after: Evaluation) -> tuple[tuple[int | None, int | None], ...]:
    """Which line of one is which of the other: those of the later one in their order, then those that are gone.

    A line that kept its id is the same line; else lines made of the same ingredient are matched.
    """
    old = {line.id: k for k, line in enumerate(before.prepared.variant.lines)}
    by_food: dict[str, list[int]] = {}
    for k, line in enumerate(before.prepared.variant.lines):
        by_food.setdefault(line.food_ref.id, []).append(k)
    new_lines: tuple[Line, ...] = after.prepared.variant.lines
    matches = [old.get(line.id) for line in new_lines]
    used = {j for j in matches if j is not None}
    for k, line in enumerate(new_lines):
        if matches[k] is None:
            j = next((x for x in by_food.get(line.food_ref.id, ()) if x not in used), None)
            if j is not None:
                used.add(j)
                matches[k] = j
    gone = ((j, None) for j in range(len(old)) if j not in used)
    return (*((j, k) for k, j in enumerate(matches)), *gone)


def line_change(before: Evaluation, after: Evaluation, j: int | None, k: int | None) -> LineChange | None:
    """What changed in one line: ``j`` in the earlier variant, ``k`` in the later one; None where nothing did."""
    before_name = before.prepared.names[j] if j is not None else ""
    after_name = after.prepared.names[k] if k is not None else ""
    before_g = float(before.edible_g[j]) if j is not None else 0.0
    after_g = float(after.edible_g[k]) if k is not None else 0.0
    before_share = _share(before, j) if j is not None else 0.0
    after_share = _share(after, k) if k is not None else 0.0
    what: Literal["added", "removed", "replaced", "more", "less"]
    if before_g <= 0 and after_g <= 0:
        return None
    if j is None or before_g <= 0:
        what = "added"
    elif k is None or after_g <= 0:
        what = "removed"
    elif before.prepared.variant.lines[j].food_ref != after.prepared.variant.lines[k].food_ref:
        what = "replaced"
    elif abs(after_share - before_share) < 0.001:
        return None
    else:
        what = "more" if after_share > before_share else "less"
    name = before_name if what == "removed" else after_name
    return LineChange(what, name, before_name, before_g, after_g, before_share, after_share)


def differences(
    before: Evaluation, after: Evaluation, basis: Basis, keys: tuple[str, ...], kept: KeptChanges | None = None
) -> tuple[Difference, ...]:
    """Chosen quantities of both variants on one basis; ``kept`` spares what was worked out before."""
    changes = (kept or KeptChanges()).between(before, after)
    return tuple(
        Difference(QUANTITIES[key], before.bound(key, basis), after.bound(key, basis), changes.change(key, basis))
        for key in keys
    )
