"""The sheet of composition: what the tables publish and the rules filled in, and what the calculation takes of it."""

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from workbench.base.text import N_, _
from workbench.composition.components import COMPONENTS
from workbench.composition.derive import fill_gaps
from workbench.composition.food import Food, Kind
from workbench.document.project import Project
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.food_row import rules_in_use
from workbench.recipe.quantities import INDEX, QUANTITIES
from workbench.report.spreadsheet.figures import HOW, NO_LIMIT, decimal_places
from workbench.report.spreadsheet.formula import down, on
from workbench.report.spreadsheet.page import Cell, Content, Page, Row, Section
from workbench.report.spreadsheet.sources import References, sources_sections

_COLUMNS = 11
WIDTHS = (30.0, *(14.0,) * _COLUMNS)
_ALIKE = 1e-12  # per gram; limits that are closer are one figure for the engine as well

_MARKS: dict[Kind, str] = {"assumed_zero": "z", "borrowed": "b", "derived": "d", "label": "l", "typical": "t"}
_LEGEND = N_(
    "d derived by a rule, z zero by nature, b borrowed from a similar food, l from a label, t typical; "
    "no mark: as published. “not known” is not zero."
)
_PUBLISHED = N_("Composition as published, gaps filled by the rules, per 100 g edible part")
_USED = N_("What the calculation uses, per 100 g edible part of each line")
_USED_NOTE = N_(
    "Quantities that are made of others are worked out of the table above, as “Methods” says. Where a value is not "
    "known, what is known of it stands beside: the least and the most that it can be. Losses in the pan are taken off."
)

NOT_PRINTED = N_("Made for the screen: clear the print area of this sheet to print it all the same.")


class Used(NamedTuple):
    """Where a quantity of every line stands: addresses for other sheets; all three the same where all is known."""

    known: str
    least: str
    most: str

    @property
    def exact(self) -> bool:
        return self.known == self.most


class _Column(NamedTuple):
    title: str
    style: str
    cells: list[tuple[Content, str, str]]  # content, style, number format


def fill_composition(
    page: Page, name: str, project: Project, evaluation: Evaluation, keys: Sequence[str]
) -> dict[str, Used]:
    """Write the sheet and say where each quantity stands; ``name`` is that of the sheet."""
    variant = evaluation.variant
    title = _("{name}: composition", name=variant.name or _("without a name"))
    page.head([(Cell(0, title, "title", page.last_column),), (Cell(0, _(NOT_PRINTED), "subtitle", page.last_column),)])
    foods = list(
        {f.id: f for line in variant.lines if (f := _food(project, line.food_ref.kind, line.food_ref.id))}.values()
    )
    tags = [tag for tag in COMPONENTS if any(tag in QUANTITIES[key].inputs for key in keys)]
    rules = rules_in_use(project.assumptions)
    filled = [fill_gaps(food, rules) for food in foods]
    published = [_published(tag, filled) for tag in tags]
    for first in range(0, len(published), _COLUMNS):
        rows = _block(_("ingredient"), [food.name for food in foods], published[first : first + _COLUMNS])
        page.add(Section("" if first else _(_PUBLISHED), rows))
    page.add(Section("", [(Cell(0, _(_LEGEND), "muted", page.last_column),)]))
    used = _fill_used(page, name, evaluation, keys)
    page.add(Section("", [(Cell(0, _(_USED_NOTE), "muted", page.last_column),)]))
    references = References()
    for section in sources_sections(foods, project.assumptions, references, page.last_column):
        page.add(section)
    page.finish(" – ".join((project.title, title)), _("page {page} of {pages}", page="&P", pages="&N"))
    return used


def _food(project: Project, kind: str, food_id: str) -> Food | None:
    return None if kind == "variant" else project.foods[food_id]


def _published(tag: str, foods: list[Food]) -> _Column:
    component = COMPONENTS[tag]
    return _Column(
        f"{_(component.title)}, {component.unit}",
        "head_component",
        [_value(food, tag, component.decimals) for food in foods],
    )


def _value(food: Food, tag: str, decimals: int) -> tuple[Content, str, str]:
    value = food.values.get(tag)
    if value is not None:
        mark = _MARKS.get(value.kind, "")
        return value.value, "filled" if value.rule else "figure", decimal_places(decimals + 1, mark)
    if tag in food.limits:
        return food.limits[tag], "not_known", f'"< "{decimal_places(decimals + 1)}'
    return _(HOW["not_known"]), "not_known", ""


def _block(corner: str, names: Sequence[str], columns: Sequence[_Column]) -> list[Row]:
    """Columns beside each other under a head, one row for each name."""
    head: Row = (Cell(0, corner, "head"), *(Cell(1 + c, col.title, col.style) for c, col in enumerate(columns)))
    rows = [head]
    for k, name in enumerate(names):
        cells = (Cell(1 + c, *_placed(column.cells[k])) for c, column in enumerate(columns))
        rows.append((Cell(0, name, "name"), *cells))
    return rows


def _placed(cell: tuple[Content, str, str]) -> tuple[Content, str, int, str]:
    content, style, number_format = cell
    return content, style, -1, number_format


# --- what the calculation uses ----------------------------------------------------------------------------------------


def _fill_used(page: Page, name: str, evaluation: Evaluation, keys: Sequence[str]) -> dict[str, Used]:
    prepared = evaluation.prepared
    blocks: list[list[tuple[str, list[_Column]]]] = [[]]
    room = _COLUMNS
    for key in keys:
        columns = _used(prepared.row_value, prepared.row_low, prepared.row_high, key)
        if len(columns) > room:
            blocks.append([])
            room = _COLUMNS
        blocks[-1].append((key, columns))
        room -= len(columns)
    places: dict[str, Used] = {}
    for k, block in enumerate(blocks):
        rows = _block(_("ingredient line"), prepared.names, [column for _key, columns in block for column in columns])
        first = page.add(Section("" if k else _(_USED), rows)) + 1
        at = 1
        for key, columns in block:
            spans = [on(name, down(at + c, first, first + len(prepared.names) - 1)) for c in range(len(columns))]
            places[key] = Used(*spans) if len(spans) == 3 else Used(*spans * 3)
            at += len(columns)
    return places


def _used(value: Any, low: Any, high: Any, key: str) -> list[_Column]:
    """One column where all lines are exact, else three."""
    quantity, j = QUANTITIES[key], INDEX[key]
    form = decimal_places(quantity.decimals + 1)
    known, least, most = value[:, j], low[:, j], high[:, j]
    title = f"{_(quantity.title)}, {quantity.unit}" if quantity.unit else _(quantity.title)
    opened = most - least > _ALIKE
    if not opened.any():
        return [_Column(title, "head_component", [(float(100 * v), "figure", form) for v in known])]
    columns = [
        _Column(title, "head_component", []),
        _Column(_("at least"), "head_component", []),
        _Column(_("at most"), "head_component", []),
    ]
    for v, lower, upper, doubtful in zip(known.tolist(), least.tolist(), most.tolist(), opened.tolist(), strict=True):
        if not doubtful:
            for column in columns:
                column.cells.append((100 * v, "figure", form))
            continue
        columns[0].cells.append((100 * v if v else _(HOW["not_known"]), "not_known", form))
        columns[1].cells.append((100 * lower, "not_known", form))
        columns[2].cells.append((100 * upper if np.isfinite(upper) else _(NO_LIMIT), "not_known", form))
    return columns
