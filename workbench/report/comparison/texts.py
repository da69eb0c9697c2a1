"""A comparison as text: Markdown for notes and mail, and what a clipboard takes."""

from collections.abc import Iterable
from datetime import date
from html import escape

from workbench.base.cell_text import clean, guarded
from workbench.base.text import _
from workbench.recipe.side_by_side import SideBySide
from workbench.recipe.words import line_change_text
from workbench.report.comparison.grid import (
    SIGNS_EXPLAINED,
    Grid,
    effects_words,
    facts_words,
    ingredient_grid,
    per_words,
    quantity_grid,
    step_title,
)
from workbench.report.markdown import cautions, escaped, heading, joined, table


def comparison_markdown(side: SideBySide, title: str, written: date | None = None) -> str:
    """The whole comparison: variants with their notes, ingredients, every quantity, descent, and the usual cautions."""
    parts = heading(title, _("variants side by side, {per}", per=per_words(side.basis)), written)
    for k, column in enumerate(side.columns):
        name = _("{name}, reference", name=column.full_title) if k == side.reference else column.full_title
        parts.append(f"- **{escaped(name)}**: {escaped(facts_words(side, k))}")
        parts += [f"  {escaped(column.note)}"] if column.note.strip() else []
    for grid in (quantity_grid(side), ingredient_grid(side)):
        rows = [[escaped(cell) for cell in row] for row in grid.rows]
        parts += ["", f"## {grid.title}", "", *table([escaped(cell) for cell in grid.head], rows, grid.names)]
    parts += ["", _(SIGNS_EXPLAINED), "", f"## {_('how they descend')}", ""]
    for step in side.descent:
        parts.append(f"- **{escaped(step_title(step))}**: {escaped(step.note or _('no note'))}")
        parts += [f"  - {escaped(line_change_text(change))}" for change in step.changes]
        parts += [f"  - {escaped(effects_words(step))}"] if step.effects else []
    return joined([*parts, "", *cautions()])


def comparison_tsv(side: SideBySide) -> str:
    """Quantities and ingredients as cells for a spreadsheet, parted by tabs; no text of a user becomes a formula."""
    grids = quantity_grid(side), ingredient_grid(side)
    return "\n".join("\n".join(_tabbed(grid)) + "\n" for grid in grids)


def _tabbed(grid: Grid) -> Iterable[str]:
    for row in (grid.head, *grid.rows):
        yield "\t".join(guarded(" ".join(clean(cell).split())) for cell in row)


def comparison_html(side: SideBySide) -> str:
    """The same tables as HTML, for programs that take a formatted table from a clipboard."""
    return "\n".join(_html(grid) for grid in (quantity_grid(side), ingredient_grid(side)))


def _html(grid: Grid) -> str:
    head = "".join(f'<th scope="col">{_text(cell)}</th>' for cell in grid.head)
    rows = []
    for row in grid.rows:
        names = "".join(f'<th scope="row">{_text(cell)}</th>' for cell in row[: grid.names])
        cells = "".join(f'<td align="right">{_text(cell)}</td>' for cell in row[grid.names :])
        rows.append(f"<tr>{names}{cells}</tr>")
    body = "\n".join(rows)
    return f"<table>\n<caption>{_text(grid.title)}</caption>\n<tr>{head}</tr>\n{body}\n</table>"


def _text(cell: str) -> str:
    return escape(guarded(clean(cell)))
