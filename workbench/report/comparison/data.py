"""A comparison as plain data: JSON, and one CSV table of quantities and ingredients, one figure a row."""

import math
from collections.abc import Sequence
from typing import Any

from workbench.base.text import _
from workbench.recipe.bound import Bound
from workbench.recipe.comparison import LineChange
from workbench.recipe.descent import Step
from workbench.recipe.ingredient_rows import IngredientRow
from workbench.recipe.side_by_side import Row, SideBySide
from workbench.recipe.verdict import Verdict
from workbench.report.csv_files import Cell, csv_bytes
from workbench.report.results_json import bound_data

_HEAD = (
    "variant", "variant_id", "project", "reference", "what", "basis", "key", "name", "unit", "value", "low", "high",
    "certainty", "unknown_in", "change", "change_low", "change_high", "way", "target_low", "target_high", "verdict",
)  # fmt: skip
_WAYS = {"added": "up", "more": "up", "removed": "down", "less": "down", "replaced": "other"}


def _finite(x: float | None) -> float | None:
    return x if x is not None and math.isfinite(x) else None


# --- JSON -------------------------------------------------------------------------------------------------------------


def comparison_data(side: SideBySide, title: str) -> dict[str, Any]:
    """The whole comparison; ``null`` for what is not known or not limited.  Lists follow the order of ``variants``."""
    return {
        "title": title,
        "basis": side.basis,
        "reference": side.reference,
        "variants": [
            {
                "name": column.title,
                "id": column.evaluation.variant.id,
                "project": column.project or None,
                "purpose": column.evaluation.variant.purpose,
                "parent": column.parent or None,
                "note": column.note,
                "pace_per_hour": column.pace_per_hour,
                "valid": column.evaluation.valid,
                "mass_g": _finite(column.evaluation.mass_g(side.basis).value) if column.evaluation.valid else None,
            }
            for column in side.columns
        ],
        "quantities": [_row_data(row) for row in side.rows],
        "ingredients": [_ingredient_data(row) for row in side.ingredients],
        "descent": [_step_data(step) for step in side.descent],
    }


def _row_data(row: Row) -> dict[str, Any]:
    return {
        "key": row.quantity.key,
        "title": _(row.quantity.title),
        "unit": row.quantity.unit,
        "figures": [bound_data(bound) for bound in row.bounds],
        "changes": [_span_data(change) for change in row.changes],
        "ways": list(row.ways),
        "certain": row.certain,
        "spread": row.weight,
        "targets": [None if verdict is None else _verdict_data(verdict) for verdict in row.verdicts],
    }


def _span_data(change: Bound) -> dict[str, float | None]:
    return {"value": _finite(change.value), "low": _finite(change.low), "high": _finite(change.high)}


def _verdict_data(verdict: Verdict) -> dict[str, Any]:
    target = verdict.target
    asked = {"basis": target.basis, "low": target.low, "high": target.high, "aim": target.aim}
    return {**asked, "strength": target.strength, "state": verdict.state, "by": _finite(verdict.by)}


def _ingredient_data(row: IngredientRow) -> dict[str, Any]:
    return {
        "name": row.name,
        "names": list(row.names),
        "shares": list(row.shares),
        "batch_g": list(row.batch_g),
        "piece_g": [_finite(grams) for grams in row.piece_g],
        "changes": [None if change is None else change.what for change in row.changes],
    }


def _step_data(step: Step) -> dict[str, Any]:
    return {
        "variant": step.variant,
        "project": step.project or None,
        "parent": step.parent or None,
        "note": step.note,
        "compared": step.compared,
        "changes": [_change_data(change) for change in step.changes],
        "effects": [
            {"key": each.quantity.key, "unit": each.quantity.unit, **_span_data(each.change)} for each in step.effects
        ],
    }


def _change_data(change: LineChange) -> dict[str, Any]:
    return {
        "what": change.what,
        "name": change.name,
        "before_name": change.before_name,
        "before_share": change.before_share,
        "after_share": change.after_share,
    }


# --- CSV --------------------------------------------------------------------------------------------------------------


def comparison_csv(side: SideBySide) -> bytes:
    """Every quantity and every ingredient of every variant, one a row, with its change against the reference."""
    rows: list[Sequence[Cell]] = [_HEAD]
    for k, column in enumerate(side.columns):
        variant = column.evaluation.variant
        who: tuple[Cell, ...] = (column.title, variant.id, column.project, "yes" if k == side.reference else "no")
        rows += [(*who, "quantity", side.basis, *_quantity_cells(row, k)) for row in side.rows]
        rows += [(*who, "ingredient", "raw batch", *_ingredient_cells(side, row, k)) for row in side.ingredients]
    return csv_bytes(rows)


def _quantity_cells(row: Row, k: int) -> tuple[Cell, ...]:
    bound, change, band, verdict = row.bounds[k], row.changes[k], row.bands[k], row.verdicts[k]
    return (
        row.quantity.key,
        _(row.quantity.title),
        row.quantity.unit,
        float(bound.value) if bound.known else None,
        float(bound.low),
        float(bound.high),
        bound.certainty,
        "; ".join(bound.unknown),
        *map(float, change[:3]),
        row.ways[k],
        None if band is None else band.low,
        None if band is None else band.high,
        None if verdict is None else verdict.state,
    )


def _ingredient_cells(side: SideBySide, row: IngredientRow, k: int) -> tuple[Cell, ...]:
    """Percent of the raw batch; an ingredient that is not in it is a plain zero."""
    share, before = (100.0 * (each or 0.0) for each in (row.shares[k], row.shares[side.reference]))
    moved = share - before
    what = row.changes[k]
    return (
        "share",
        row.names[k] or row.name,
        "%",
        *(share, share, share),
        "exact",
        None,
        *(moved, moved, moved),
        "same" if what is None else _WAYS[what.what],
        None,
        None,
        None,
    )
