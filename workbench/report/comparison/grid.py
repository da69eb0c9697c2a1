"""A comparison as tables of words: one set of cells for Markdown, for a clipboard and for reading.

The page to print words its cells with the same functions.
"""

from typing import NamedTuple

from workbench.base.text import N_, _, number
from workbench.document.project import Basis
from workbench.recipe.bound import Bound
from workbench.recipe.change import Way
from workbench.recipe.descent import Step
from workbench.recipe.ingredient_rows import IngredientRow
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.side_by_side import Row, SideBySide
from workbench.recipe.verdict import Verdict
from workbench.recipe.words import (
    CHANGE_SIGNS,
    PER,
    STATES,
    WAY_SIGNS,
    bound_text,
    portions_text,
    span_cell,
    span_text,
)

SIGNS_EXPLAINED = N_(
    "▲ more, ▼ less than the reference, = the same, ≈ apart by less than is shown, ◇ cannot tell; ✓ target met, "
    "✕ missed, ○ missed but only preferred, ? cannot tell; ⇄ another in its place, + added, − not in it. Limits of a "
    "difference know that an ingredient without a value is the same in both."
)


class Grid(NamedTuple):
    """A table of words; the first ``names`` columns name a row."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    names: int = 1


def per_words(basis: Basis) -> str:
    """What figures are per; an hour is at each one's pace."""
    return _("per hour, at each one's pace") if basis == "per_hour" else _(PER[basis])


def change_words(way: Way, change: Bound, decimals: int) -> str:
    """A change with the sign of its way: ``▲ +1.2``, ``◇ −0.3 to +0.4``, ``= same``."""
    if way == "same":
        return same_words(change)
    return f"{WAY_SIGNS[way]} {span_text(change, decimals)}"


def same_words(change: Bound) -> str:
    """That two figures are the same, or apart by less than is shown."""
    return f"{'=' if change.low == change.high == 0.0 else '≈'} {_('same')}"


def verdict_words(verdict: Verdict, basis: Basis) -> str:
    """A verdict with its sign, and what its target is per where that is not the basis: ``✕ short by 1.2 per hour``."""
    target, quantity = verdict.target, QUANTITIES[verdict.target.quantity]
    missed = "✕" if target.strength == "must" else "○"
    sign = {"met": "✓", "short": missed, "over": missed, "cannot_tell": "?"}[verdict.state]
    said = _(STATES[verdict.state])
    if verdict.state in ("short", "over"):
        said = _("{state} by {by}", state=said, by=number(verdict.by, quantity.decimals))
    per = "" if target.basis == basis or quantity.kind == "ratio" else _(PER[target.basis])
    return f"{sign} {said} {per}".rstrip()


def quantity_grid(side: SideBySide) -> Grid:
    """Every quantity: figures of each variant, changes against the reference, and verdicts where there are any."""
    judged = [any(row.verdicts[k] is not None for row in side.rows) for k in range(len(side.columns))]
    head = [per_words(side.basis), _("unit")]
    for k, column in enumerate(side.columns):
        head.append(_("{name}, reference", name=column.full_title) if k == side.reference else column.full_title)
        head += [_("change: {name}", name=column.full_title)] if k != side.reference else []
        head += [_("target: {name}", name=column.full_title)] if judged[k] else []
    return Grid(_("what it did"), tuple(head), tuple(_quantity_cells(side, row, judged) for row in side.rows), 2)


def _quantity_cells(side: SideBySide, row: Row, judged: list[bool]) -> tuple[str, ...]:
    quantity = row.quantity
    cells = [_(quantity.title), quantity.unit]
    for k, bound in enumerate(row.bounds):
        cells.append(bound_text(bound, quantity.decimals))
        if k != side.reference:
            cells.append(change_words(row.ways[k], row.changes[k], quantity.decimals))
        if judged[k]:
            verdict = row.verdicts[k]
            cells.append("" if verdict is None else verdict_words(verdict, side.basis))
    return tuple(cells)


def ingredient_grid(side: SideBySide) -> Grid:
    """Every ingredient with its share of the raw batch, and how that differs from the reference."""
    head = (_("% of the raw batch"), *(column.full_title for column in side.columns))
    rows = tuple((row.name, *(share_words(row, k) for k in range(len(side.columns)))) for row in side.ingredients)
    return Grid(_("what changed in the recipe"), head, rows)


def share_words(row: IngredientRow, k: int) -> str:
    """One ingredient of one variant: ``20.6 ▲``, ``3.1 ⇄ coconut oil``, ``−`` where it was taken out, else a dot."""
    share, change, name = row.shares[k], row.changes[k], row.names[k]
    sign = CHANGE_SIGNS[change.what] if change is not None else ""
    if share is None:
        return sign or "·"
    other = name if name is not None and name != row.name else ""
    return " ".join(part for part in (number(100.0 * share, 1), sign, other) if part)


def facts_words(side: SideBySide, k: int) -> str:
    """Pieces, pace, and how much is eaten per what is compared; that there is no valid result, where there is none."""
    column = side.columns[k]
    evaluation = column.evaluation
    if not evaluation.valid:
        return _("✕ no valid result")
    parts = [portions_text(evaluation.portions), _("{pace} an hour", pace=f"{column.pace_per_hour:g}")]
    if side.basis in ("per_25g_carbohydrate", "per_hour"):
        grams = bound_text(evaluation.mass_g(side.basis), 0)
        parts.append(_("{grams} g {per}", grams=grams, per=_(PER[side.basis])))
    return ", ".join(parts)


def step_title(step: Step) -> str:
    """From which variant to which."""
    title = _("{before} → {after}", before=step.parent, after=step.variant) if step.parent else step.variant
    if step.project:
        title = _("{name} ({file})", name=title, file=step.project)
    return title


def changed_in_short(step: Step) -> str:
    """What changed in the recipe, the most telling first: ``milk ⇄ soya drink; + syrup; − egg; ▲ water``."""
    shares = [
        (
            ("replaced", "added", "removed", "more", "less").index(each.what),
            -max(each.before_share, each.after_share),
            each,
        )
        for each in step.changes
    ]
    said = []
    for _what, _share, each in sorted(shares, key=lambda found: found[:2]):
        sign = CHANGE_SIGNS[each.what]
        said.append(f"{each.before_name} {sign} {each.name}" if each.what == "replaced" else f"{sign} {each.name}")
    return "; ".join(said)


def effects_words(step: Step) -> str:
    """The most that a step did."""
    effects = ((each.quantity, span_cell(each.change, each.quantity.decimals)) for each in step.effects)
    return "; ".join(f"{_(quantity.title)} {span} {quantity.unit}".rstrip() for quantity, span in effects)
