"""One row a value: food, component, value, and perhaps unit, samples and spread."""

from collections.abc import Iterator

import msgspec

from workbench.base.text import _
from workbench.composition.food import Value
from workbench.composition.imports import findings
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.figures import FigureReader, Take, number, take_of
from workbench.composition.imports.grid import Grid, rows
from workbench.composition.imports.headers import UNKNOWN_UNIT, factor, is_amount, meaning, spelled
from workbench.composition.imports.layout import Column, Draft, Layout
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Meter
from workbench.composition.imports.usda import spread
from workbench.composition.imports.wide import key_of

_HEADER_WITHIN = 40
_FACTS = ("name", "code", "group", "component", "value", "unit", "n", "sd", "se")


def _header(grid: Grid) -> tuple[int, dict[str, int]]:
    """Place of the header row, and of the columns by what they are; -1 where the sheet is no such table."""
    for k, row in enumerate(grid.first[:_HEADER_WITHIN]):
        at: dict[str, int] = {}
        for place, cell in enumerate(row):
            target = meaning(cell).target if cell else ""
            if cell.strip().casefold() in ("n", "sd", "se"):
                target = cell.strip().casefold()
            if target in _FACTS:
                at.setdefault(target, place)
        if {"component", "value"} <= set(at) and {"name", "code"} & set(at):
            return k, at
    return -1, {}


def find(bundle: Bundle, grid: Grid) -> Layout | None:
    """The layout, if the sheet is such a table; its columns are the components it names."""
    at, places = _header(grid)
    if at < 0:
        return None
    found: dict[str, Column] = {}
    for line, row in enumerate(rows(bundle, grid.name, grid.sheet, Tally())):
        if line > at and len(row) > max(places["component"], places["value"]):
            name, unit = " ".join(row[places["component"]].split()), _cell(row, places, "unit")
            if name and name not in found:
                found[name] = _column(name, unit)
    return Layout(
        "long", bundle.title, key_of(bundle.title), tuple(found.values()),
        read=(grid.name,), sheet=grid.sheet, skip=at + 1,
    )  # fmt: skip


def _column(name: str, unit: str) -> Column:
    what = meaning(name, unit)
    if not is_amount(what.target):
        return Column(name)
    fits = factor(what.target, what.unit) is not None
    return Column(name, what.target, what.unit, what.rank, "" if fits else UNKNOWN_UNIT)


def _cell(row: list[str], places: dict[str, int], key: str) -> str:
    at = places.get(key, -1)
    return row[at] if 0 <= at < len(row) else ""


class _Food(msgspec.Struct):
    draft: Draft
    values: dict[str, Value]  # those of the draft
    ranks: dict[str, int]


def drafts(
    bundle: Bundle, layout: Layout, source: str, tally: Tally, meter: Meter, comma: bool | None
) -> Iterator[Draft]:
    """Foods in the order in which they first appear; their values may stand anywhere."""
    takes = {column.key: take_of(column, layout.kind) for column in layout.columns}
    reader = FigureReader(source, tally, comma)
    foods: dict[str, _Food] = {}
    places: dict[str, int] = {}
    for line, row in enumerate(rows(bundle, layout.read[0], layout.sheet, tally, meter), 1):
        if line == layout.skip:
            places = _header(Grid("", "", (row,)))[1]
        if line <= layout.skip or not any(row):
            continue
        name, component = (
            " ".join(_cell(row, places, "name").split()),
            " ".join(_cell(row, places, "component").split()),
        )
        code = _cell(row, places, "code") or name
        if not code:
            tally.note(findings.NO_NAME, _("line {n}", n=line))
            continue
        food = foods.get(code)
        if food is None:
            tally.rows += 1
            values: dict[str, Value] = {}
            group, where = _cell(row, places, "group"), _("line {n}", n=line)
            draft = Draft(code, name or code, values, {}, group=group, where=where)
            food = foods[code] = _Food(draft, values, {})
        take = takes.get(component)
        if take is None:
            tally.note(findings.UNKNOWN_COMPONENT, component[:40])
            continue
        _put(food, take, row, places, reader, line)
    yield from (food.draft for food in foods.values())


def _put(food: _Food, take: Take, row: list[str], places: dict[str, int], reader: FigureReader, line: int) -> None:
    draft, values, tag = food.draft, food.values, take.tag
    where = _("line {n}", n=line)
    rank = food.ranks.get(tag)
    if rank is not None and rank <= take.rank:
        if rank == take.rank:
            reader.tally.note(findings.SAME_VALUE, f"{where}: {draft.name[:40]}, {tag}")
        return
    unit = spelled(_cell(row, places, "unit"))
    old = (values.pop(tag, None), draft.limits.pop(tag, None))
    reader.put(values, draft.limits, take, _cell(row, places, "value"), draft.code, where, unit)
    if tag not in values and tag not in draft.limits:  # nothing better after all
        if old[0] is not None:
            values[tag] = old[0]
        if old[1] is not None:
            draft.limits[tag] = old[1]
        return
    food.ranks[tag] = take.rank
    if tag in values:
        n, sd, se = (number(_cell(row, places, key), reader.comma) for key in ("n", "sd", "se"))
        samples = int(n) if n and n >= 1 else None
        deviation = sd * take.factor if sd else spread(se * take.factor if se else None, samples)
        if samples or deviation:
            values[tag] = msgspec.structs.replace(values[tag], n=samples, sd=deviation or values[tag].sd)
