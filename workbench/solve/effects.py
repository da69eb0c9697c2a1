"""Effects: what one gram more of an ingredient does to everything, which ingredients help a target, and break-even.

A gram more means what a slider does: linked lines follow, and with a held batch weight the others give way.  Figures
are exact derivatives by the matrix, of known parts, with the change of weight after cooking inside them.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.document.edits import with_amounts
from workbench.document.project import MOST_GRAMS, Project, Target, Variant
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import evaluate
from workbench.recipe.preparation import prepare
from workbench.recipe.prepared import Prepared
from workbench.recipe.quantities import QUANTITIES
from workbench.solve.fractions import Fraction, Straight, Straights
from workbench.solve.wishes import Pair

Floats = npt.NDArray[np.float64]

_NOTHING = 1e-12


class Effects(NamedTuple):
    """What 1 g more of each line does to each quantity.

    Attributes
    ----------
    line_ids, names : tuple of str
        Lines in the order of the recipe.
    pairs : tuple
        Quantity keys with their bases.
    per_gram : ndarray, shape (n_lines, n_pairs)
        Change per gram as entered, of known parts; NaN where the quantity has no value now. [unit/g]
    known : ndarray of bool, shape (n_lines, n_pairs)
        False where the ingredient's share is not exactly known, so that the truth may differ.
    low, high : ndarray, shape (n_lines, n_pairs)
        Between what the truth lies, whatever the missing values are; infinite where nothing limits it. [unit/g]
    """

    line_ids: tuple[str, ...]
    names: tuple[str, ...]
    pairs: tuple[Pair, ...]
    per_gram: Floats
    known: npt.NDArray[np.bool_]
    low: Floats
    high: Floats


class Helper(NamedTuple):
    """An ingredient that moves a target the right way.

    ``per_gram`` is positive where more of the ingredient helps; ``grams`` more (or less, negative) of it alone meet the
    target, None where they cannot, or where it is met.  ``side_effects`` are the changes of the other targets for each
    gram that way, in their order.
    """

    line_id: str
    name: str
    per_gram: float
    grams: float | None
    side_effects: tuple[float, ...]


class BreakEven(NamedTuple):
    """Grams of a line at which a quantity reaches a limit, and the quantity there by the engine."""

    grams: float
    bound: Bound


def effects(project: Project, variant: Variant, pairs: Sequence[Pair], prepared: Prepared | None = None) -> Effects:
    """What one gram more of each line does to quantities on their bases.

    Raises
    ------
    KeyError
        If the catalogue has no such quantity.
    """
    prepared = prepared or prepare(project, variant)
    n = len(variant.lines)
    x = np.array([line.amount_g for line in variant.lines])
    ways = np.array([_way(project, variant, line.id) for line in variant.lines]).reshape(n, n)
    known = np.ones((n, len(pairs)), dtype=bool)
    per_gram = np.full((n, len(pairs)), np.nan)
    low, high = np.full((n, len(pairs)), -np.inf), np.full((n, len(pairs)), np.inf)
    straights = Straights(prepared, np.arange(n))
    for k, pair in enumerate(pairs):
        known_fraction = straights.fraction(straights.places(variant, *pair))
        per_gram[:, k] = ways @ _gradient(known_fraction, x)
        known[:, k] = ~_uncertain(known_fraction)
        low[:, k], high[:, k] = _limits(known_fraction, ways, x)
    ids = tuple(line.id for line in variant.lines)
    return Effects(ids, prepared.names, tuple(pairs), per_gram, known, low, high)


def _way(project: Project, variant: Variant, line_id: str) -> Floats:
    """Grams that every line moves when this one gets a gram more, as the slider does it. [g/g]"""
    now = {line.id: line.amount_g for line in variant.lines}
    moved = with_amounts(project, variant.id, {line_id: now[line_id] + 1.0}, {}).variant(variant.id)
    return np.array([line.amount_g - now[line.id] for line in moved.lines])


def _gradient(known: Fraction, x: Floats) -> Floats:
    """Derivative of a quotient by every amount; NaN where it has no value."""
    top, bottom = known.top.value, known.bottom.value
    above, below = float(top[:-1] @ x + top[-1]), float(bottom[:-1] @ x + bottom[-1])
    if below <= 0:
        return np.full(len(x), np.nan)
    result: Floats = known.scale * (top[:-1] * below - above * bottom[:-1]) / below**2
    return result


def _limits(known: Fraction, ways: Floats, x: Floats) -> tuple[Floats, Floats]:
    """Least and greatest derivative along each way, shape (n_lines,), by plain interval arithmetic.

    The derivative is ``scale * (top' - quotient * bottom') / bottom``.
    """
    top, bottom = (_along(line, ways) for line in (known.top, known.bottom))
    above, below = ([float(end[0]) for end in _along(line, x[None], always=True)] for line in (known.top, known.bottom))
    if not below[0] > 0:
        return np.full(len(x), -np.inf), np.full(len(x), np.inf)
    quotients = np.array([[above[0] / below[1]], [above[1] / below[0]]])
    taken = np.concatenate([_product(quotients, side) for side in bottom])
    ends = np.concatenate(
        [
            _product(known.scale / np.array(below)[:, None], end)
            for end in (top[0] - taken.max(axis=0), top[1] - taken.min(axis=0))
        ]
    )
    return ends.min(axis=0), ends.max(axis=0)


def _along(line: Straight, ways: Floats, *, always: bool = False) -> tuple[Floats, Floats]:
    """Least and greatest sum of a straight line over each row of ways, with what is there whatever the amounts are."""
    least, most = line.low[:-1], np.where(line.open, np.inf, line.high[:-1])
    up, down = np.maximum(ways, 0.0), np.minimum(ways, 0.0)
    rest = (line.low[-1], line.high[-1]) if always else (0.0, 0.0)
    low = _product(up, least).sum(axis=1) + _product(down, most).sum(axis=1) + rest[0]
    return low, _product(up, most).sum(axis=1) + _product(down, least).sum(axis=1) + rest[1]


def _product(a: Floats, b: Floats) -> Floats:
    """The product, nought wherever one side is."""
    with np.errstate(invalid="ignore"):
        return np.where((a == 0.0) | (b == 0.0), 0.0, a * b)


def _uncertain(known: Fraction) -> npt.NDArray[np.bool_]:
    """Lines whose share in either part is not exactly known."""
    found = known.top.open | known.bottom.open
    for line in (known.top, known.bottom):
        found = found | ((line.high - line.low)[:-1] > _NOTHING)
    return found


def helpers(
    project: Project, variant: Variant, target: Target, others: Sequence[Target] = (), prepared: Prepared | None = None
) -> tuple[Helper, ...]:
    """Unlocked ingredients that move a target the right way, the strongest per gram first.

    The way is up where the figure is below the target, down where it is above, and towards the aim or the middle of
    the band otherwise; with one limit only and kept, it is away from the limit.
    """
    prepared = prepared or prepare(project, variant)
    pairs: list[Pair] = [(t.quantity, t.basis) for t in (target, *others) if t.quantity in QUANTITIES]
    if target.quantity not in QUANTITIES:
        return ()
    found = effects(project, variant, pairs, prepared)
    value = evaluate(prepared, variant).bound(*pairs[0]).value
    goal = _goal(target, value)
    sign = 1.0 if goal > value else -1.0
    result = []
    for k, line in enumerate(variant.lines):
        per_gram = float(found.per_gram[k, 0])
        if line.lock or not abs(per_gram) > _NOTHING:
            continue
        way = sign if per_gram > 0 else -sign
        if way < 0 and line.amount_g <= (line.min_g or 0.0):
            continue  # there is nothing to take away
        met = goal not in (target.low, target.high) and (target.low, target.high) != (None, None)
        reached = None if met else break_even(project, variant, line.id, *pairs[0], goal, prepared)
        grams = reached.grams - line.amount_g if reached is not None else None
        side = tuple(way * float(x) for x in found.per_gram[k, 1:])
        result.append(Helper(line.id, found.names[k], way * abs(per_gram), grams, side))
    return tuple(sorted(result, key=lambda h: (-abs(h.per_gram), h.line_id)))


def _goal(target: Target, value: float) -> float:
    low, high = target.low, target.high
    if low is not None and value < low:
        return low
    if high is not None and value > high:
        return high
    if target.aim is not None:
        return target.aim
    if low is not None and high is not None:
        return 0.5 * (low + high)
    return np.inf if low is not None else -np.inf


def break_even(
    project: Project,
    variant: Variant,
    line_id: str,
    key: str,
    basis: str,
    limit: float,
    prepared: Prepared | None = None,
) -> BreakEven | None:
    """How much of a line until a quantity reaches a limit, the others as a slider moves them.

    Returns
    -------
    BreakEven or None
        Grams as entered, and what the quantity is there; None where no amount from nothing to a tonne does it.

    Raises
    ------
    KeyError
        If the catalogue has no such quantity, or the variant no such line.
    """
    prepared = prepared or prepare(project, variant)
    x = np.array([line.amount_g for line in variant.lines])
    way = _way(project, variant, line_id)
    straights = Straights(prepared, np.arange(len(x)))
    known = straights.fraction(straights.places(variant, key, basis))  # type: ignore[arg-type]
    top, bottom = known.top.value, known.bottom.value
    slope = known.scale * float(top[:-1] @ way) - limit * float(bottom[:-1] @ way)
    rest = known.scale * float(top[:-1] @ x + top[-1]) - limit * float(bottom[:-1] @ x + bottom[-1])
    if abs(slope) <= _NOTHING * max(1.0, abs(rest)):
        return None
    now = next(line.amount_g for line in variant.lines if line.id == line_id)
    grams = now - rest / slope
    if not 0.0 <= grams <= MOST_GRAMS:
        return None
    moved = with_amounts(project, variant.id, {line_id: grams}, {}).variant(variant.id)
    result = evaluate(prepared, moved)
    bound = result.bound(key, basis)  # type: ignore[arg-type]
    # Where the others have nothing left to give, the straight line ends before.
    if not result.valid or not np.isclose(bound.value, limit, rtol=1e-6, atol=1e-9):
        return None
    return BreakEven(grams, bound)
