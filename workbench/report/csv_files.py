"""Results and declaration as CSV: RFC 4180, UTF-8 with a mark, points as decimal signs in every language.

A text that a spreadsheet program would take for a formula gets an apostrophe before it.
"""

import csv
import io
import math
from collections.abc import Iterable, Sequence

from workbench.base.text import _
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.list_words import plain
from workbench.recipe.pack_statement import PackStatement
from workbench.recipe.quantities import QUANTITIES

Cell = str | float | None

_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_bytes(rows: Iterable[Sequence[Cell]]) -> bytes:
    """Rows as the content of a CSV file."""
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\r\n")
    writer.writerows([_cell(cell) for cell in row] for row in rows)
    return target.getvalue().encode("utf-8-sig", errors="replace")


def _cell(cell: Cell) -> str:
    if cell is None or isinstance(cell, float):
        return f"{cell:.12g}" if cell is not None and math.isfinite(cell) else ""
    return f"'{cell}" if cell.startswith(_FORMULA) else cell


def _figures(bound: Bound) -> tuple[Cell, ...]:
    """Value, limits, certainty, and the ingredients at fault; blank where nothing is known or nothing limits."""
    value = float(bound.value) if bound.known else None
    return value, float(bound.low), float(bound.high), bound.certainty, "; ".join(bound.unknown)


def results_csv(evaluations: Sequence[Evaluation]) -> bytes:
    """Every quantity of every variant on every basis, one a row."""
    rows: list[Sequence[Cell]] = [
        ("variant", "variant_id", "basis", "key", "quantity", "unit", "value", "low", "high", "certainty", "unknown_in")
    ]
    for each in evaluations:
        rows += [
            (each.variant.name, each.variant.id, basis, q.key, _(q.title), q.unit, *_figures(each.bound(q.key, basis)))
            for q in QUANTITIES.values()
            for basis in q.bases
        ]
    return csv_bytes(rows)


def declaration_csv(statements: Sequence[tuple[str, PackStatement]]) -> bytes:
    """What packs of some variants have to say: variant, kind of row, name, and the words or figures."""
    rows: list[Sequence[Cell]] = [("variant", "what", "name", "text", "value", "unit", "least", "most")]
    for variant, said in statements:
        rows += [(variant, "ingredient", part.name, None, float(part.mass_g), "g", None, None) for part in said.parts]
        words = {
            "ingredients": plain(said.ingredients),
            "contains": "; ".join(said.contains),
            "watched": "; ".join(said.watched),
            "not asked for": "; ".join(said.left_out),
            "may contain": "; ".join(said.may_contain),
            "allergens not stated": "; ".join(said.not_stated),
            "not opened": "; ".join(said.closed),
            "exempt": "; ".join(said.exempt),
            "origin": said.origin,
        }
        rows += [(variant, what, None, text, None, None, None, None) for what, text in words.items()]
        for basis, lines in (("per 100 g", said.per_100g), ("per piece", said.per_piece)):
            for line in lines:
                value = line.printed.value if line.printed else None
                limits = line.tolerance or (None, None)
                rows.append((variant, basis, _(line.title), line.text(), value, line.unit, *limits))
    return csv_bytes(rows)
