"""A table that this program wrote (``exports``): read back as it was, line by line."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import get_args

import msgspec

from workbench.base.cell_text import unguarded
from workbench.base.text import _
from workbench.composition.components import COMPONENTS
from workbench.composition.exports.columns import FACTS, FOODS, LESS_THAN, MEASURES, NONE, PACKS, ROW, VALUES, parted
from workbench.composition.food import (
    ALLERGENS,
    POSSIBLE,
    WATCHED,
    Food,
    Kind,
    Measure,
    Origin,
    Pack,
    Storage,
    TakenFrom,
    Value,
)
from workbench.composition.imports import findings, text_rows, workbook
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.layout import Column, Draft, Layout, food_of
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Meter, Shape

_ALLOWED = {
    "kind": frozenset(get_args(Kind)),
    "origin": frozenset(get_args(Origin)),
    "storage": frozenset(get_args(Storage)),
    "taken_kind": frozenset(("bundled", "library", "own")),
}
_ALLERGENS = frozenset((*ALLERGENS, *WATCHED))
_USUAL = {"kind": "measured", "origin": "unknown", "storage": "unknown", "taken_kind": ""}
_SIGNS = frozenset((*ROW, "digestibility", "origin"))
Cells = Mapping[str, str]


def find(bundle: Bundle) -> Layout | None:
    """The layout, if these files were written by this program."""
    books = [name for name in bundle.names if name.endswith(workbook.ENDINGS)]
    if f"{FOODS}.csv" in bundle.names:
        book = ""
    elif len(books) == 1:
        workbook.look(bundle, books[0], Tally())
        book = books[0]
        if FOODS not in workbook.sheets(bundle, book):
            return None
    else:
        return None
    read = _raw(bundle, book, FOODS, Tally(), None)
    header, first = next(read, []), next(read, [])
    if not set(header) >= _SIGNS:
        return None
    columns = tuple(Column(text, text if text in COMPONENTS else "") for text in header if text not in (*ROW, *FACTS))
    key = first[0].partition(":")[0] if first and ":" in first[0] else "table"
    return Layout("exported", bundle.title, key, columns, read=(book,))


def _raw(bundle: Bundle, book: str, name: str, tally: Tally, meter: Meter | None) -> Iterator[list[str]]:
    if book:
        if name in workbook.sheets(bundle, book):
            yield from workbook.rows(bundle, book, name, tally, meter)
    elif f"{name}.csv" in bundle.names:
        for row in text_rows.rows(bundle, f"{name}.csv", Shape("utf-8-sig", ","), tally, meter):
            yield [unguarded(cell) for cell in row]


def _table(
    bundle: Bundle, book: str, name: str, tally: Tally, meter: Meter | None = None
) -> Iterator[tuple[int, Cells]]:
    read = _raw(bundle, book, name, tally, meter)
    header = next(read, [])
    for line, row in enumerate(read, 2):
        if any(row):
            yield line, defaultdict(str, zip(header, row, strict=False))  # somebody may have deleted a column


class _Reader:
    """Cells as typed values; what does not fit is counted and left at its usual value."""

    def __init__(self, tally: Tally) -> None:
        self._tally = tally

    def number(self, cells: Cells, key: str, where: str) -> float | None:
        text = cells.get(key, "")
        if not text:
            return None
        try:
            found = float(text)
        except ValueError:
            found = math.nan
        low, high = POSSIBLE.get(key, (0.0, math.inf))
        if math.isfinite(found) and low <= found <= high:
            return found
        self._tally.note(findings.UNREADABLE, f"{where}, {key}: {text[:30]}")
        return None

    def allergens(self, cells: Cells, where: str) -> tuple[tuple[str, ...] | None, tuple[str, ...]]:
        """What is contained, and what may be; a list with an unknown word is not whole, so that nothing is stated."""
        found: dict[str, tuple[str, ...]] = {}
        for key in ("contains", "may_contain"):
            words = () if cells[key] == NONE else parted(cells[key])
            found[key] = tuple(word for word in words if word in _ALLERGENS)
            for word in words:
                if word not in _ALLERGENS:
                    self._tally.note(findings.UNREADABLE, f"{where}, {key}: {word[:30]}")
        contains, may_contain = found.values()
        if cells["contains"] and (cells["contains"] == NONE or contains == parted(cells["contains"])):
            return contains, may_contain
        return None, tuple(dict.fromkeys((*contains, *may_contain)))

    def choice(self, cells: Cells, key: str, where: str) -> str:
        text = cells.get(key, "")
        if text in _ALLOWED[key] or not text:
            return text or _USUAL[key]
        self._tally.note(findings.UNREADABLE, f"{where}, {key}: {text[:30]}")
        return _USUAL[key]


def drafts(
    bundle: Bundle, layout: Layout, source: str, tally: Tally, meter: Meter, comma: bool | None
) -> Iterator[Draft]:
    """Foods exactly as they were; they cite what they cited, and need no convention."""
    del source, comma
    book, reader = layout.read[0], _Reader(tally)
    details: dict[str, list[Cells]] = {}
    for _line, cells in _table(bundle, book, VALUES, tally, meter):
        details.setdefault(cells["food"], []).append(cells)
    measures: dict[str, list[Measure]] = {}
    for line, cells in _table(bundle, book, MEASURES, tally, meter):
        grams = reader.number(cells, "grams", _("measures, line {n}", n=line))
        if grams is None:
            tally.note(findings.NO_GRAMS, f"{cells['food'][:40]}: {cells['measure'][:30]}")
        else:
            found = Measure(cells["measure"], grams, cells["source"], cells["code"])
            measures.setdefault(cells["food"], []).append(found)
    packs: dict[str, list[Pack]] = {}
    for line, cells in _table(bundle, book, PACKS, tally, meter):
        where = _("packs, line {n}", n=line)
        size = reader.number(cells, "size_g", where)
        if size is not None:
            price = reader.number(cells, "price", where)
            packs.setdefault(cells["food"], []).append(Pack(size, price, cells["currency"], cells["date"]))
    tags = [column.target for column in layout.columns if column.target]
    seen: set[str] = set()
    for line, cells in _table(bundle, book, FOODS, tally, meter):
        tally.rows += 1
        food_id, where = cells["id"], _("line {n}", n=line)
        if not food_id or not cells["name"]:
            tally.note(findings.NO_NAME, where)
            continue
        if food_id in seen:
            tally.note(findings.SAME_CODE, f"{food_id} {cells['name'][:40]}")
            continue
        seen.add(food_id)
        food = _food(cells, tags, details.get(food_id, []), reader, where)
        food = msgspec.structs.replace(
            food, measures=tuple(measures.get(food_id, ())), packs=tuple(packs.get(food_id, ()))
        )
        yield Draft(food_id, food.name, {}, where=where, whole=food)


def _food(cells: Cells, tags: list[str], details: list[Cells], reader: _Reader, where: str) -> Food:
    values, limits = _values(cells, tags, details, reader, where)
    taken_kind, (contains, may_contain) = reader.choice(cells, "taken_kind", where), reader.allergens(cells, where)
    edible = reader.number(cells, "edible_fraction", where)
    return food_of(
        id=cells["id"], name=cells["name"], group=cells["group"], values=values, limits=limits,
        names=dict(word.split("=", 1) for word in parted(cells["names"]) if "=" in word), also=parted(cells["also"]),
        digestibility=cells["digestibility"], origin=reader.choice(cells, "origin", where),
        contains=contains, may_contain=may_contain, gut=parted(cells["gut"]), doping=cells["doping"],
        roles=parted(cells["roles"]), density_g_per_ml=reader.number(cells, "density_g_per_ml", where),
        density_source=cells["density_source"], edible_fraction=1.0 if edible is None else edible,
        bought_as=cells["bought_as"], storage=reader.choice(cells, "storage", where),
        typical_yield=reader.number(cells, "typical_yield", where), yield_source=cells["yield_source"],
        nitrogen_factor=reader.number(cells, "nitrogen_factor", where),
        fat_profile=cells["fat_profile"], cannot_contain=parted(cells["cannot_contain"]), note=cells["food_note"],
        made_of=cells["made_of"],
        taken_from=TakenFrom(taken_kind, cells["taken_key"], cells["taken_version"], cells["taken_hash"])  # type: ignore[arg-type]
        if taken_kind
        else None,
    )  # fmt: skip


def _values(
    cells: Cells, tags: list[str], details: list[Cells], reader: _Reader, where: str
) -> tuple[dict[str, Value], dict[str, float]]:
    values: dict[str, Value] = {}
    limits: dict[str, float] = {}
    kind = reader.choice(cells, "kind", where)
    for tag in tags:
        text = cells[tag]
        if text.startswith("<"):
            limit = reader.number({tag: text[1:]}, tag, where)
            if limit is not None:
                limits[tag] = limit
        elif text and (amount := reader.number(cells, tag, where)) is not None:
            values[tag] = Value(amount, kind, cells["source"], cells["code"], note=cells["note"])  # type: ignore[arg-type]
    for said in details:
        tag, amount = said["tag"], reader.number(said, "value", where)
        if said["kind"] == LESS_THAN and amount is not None:
            limits[tag] = amount
        elif tag in values:
            n = reader.number(said, "n", where)
            values[tag] = Value(
                values[tag].value if amount is None else amount, reader.choice(said, "kind", where),  # type: ignore[arg-type]
                said["source"], said["code"], said["rule"], None if n is None else int(n),
                reader.number(said, "sd", where), said["note"],
            )  # fmt: skip
    return values, limits
