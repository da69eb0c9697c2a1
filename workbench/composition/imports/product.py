"""A supplier's sheet of one product: one line a value, per 100 g or 100 ml, as on a label or a technical data sheet."""

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from workbench.base.text import _
from workbench.composition.food import Value
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.cells import read_cell
from workbench.composition.imports.figures import FigureReader, in_order, take_of
from workbench.composition.imports.grid import Grid, rows
from workbench.composition.imports.header_words import ENERGY, ENERGY_KJ
from workbench.composition.imports.headers import UNKNOWN_UNIT, factor, is_amount, meaning, spelled
from workbench.composition.imports.layout import Column, Conventions, Draft, Layout
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Meter
from workbench.composition.imports.wide import key_of

_MOST_LINES = 300
_FEWEST = 3  # lines that must be known
_PER = re.compile(r"100\s*(?P<per>g|ml)\b", re.IGNORECASE)
_ENERGIES = re.compile(r"(?P<number>\d[\d.,’' ]*)\s*(?P<unit>kj|kcal)\b", re.IGNORECASE)
_UNITS = frozenset(("g", "mg", "µg", "kJ", "kcal", "%"))


class _Line(NamedTuple):
    """One line of the sheet: its words, the text of its value, the unit if a cell of its own says it."""

    words: str
    text: str
    unit: str


def find(bundle: Bundle, grid: Grid) -> Layout | None:
    """The layout, if the sheet is such a one."""
    if len(grid.first) > _MOST_LINES:
        return None
    lines, per = _lines(grid.first)
    found: dict[str, Column] = {}
    known: set[str] = set()
    for line in lines:
        what = meaning(line.words, line.unit)
        if is_amount(what.target) and read_cell(line.text).state == "unreadable":
            continue
        per = per or what.per
        fits = not is_amount(what.target) or factor(what.target, what.unit) is not None
        column = Column(line.words, what.target, what.unit, what.rank, "" if fits else UNKNOWN_UNIT)
        if found.setdefault(line.words, column) is column and is_amount(what.target) and fits:
            known.add(what.target)
    if len(known) < _FEWEST:
        return None
    settled = Conventions(per="100ml" if per == "100ml" else "100g" if per else "")
    return Layout(
        "product",
        bundle.title,
        key_of(bundle.title),
        tuple(found.values()),
        settled,
        (grid.name,),
        grid.sheet,
        kind="label",
    )


def _lines(sheet: Sequence[list[str]]) -> tuple[list[_Line], str]:
    """Lines with a value, and "100g" or "100ml" where the sheet says what they are per."""
    at, per = -1, ""
    found: list[_Line] = []
    words = ""
    for row in sheet:
        named = [(k, said["per"].casefold()) for k, cell in enumerate(row) if (said := _PER.search(cell))]
        figures = [k for k, cell in enumerate(row[1:], 1) if cell and read_cell(cell).state in ("figure", "limit")]
        if named and not figures:
            first, per = (named[0][0], f"100{named[0][1]}") if not per else (at, per)
            at = first if first > 0 and at < 0 else at
            continue
        words = row[0] if row and row[0] else words
        found += _line(words, row, at)
    return found, per


def _line(words: str, row: list[str], at: int) -> Iterator[_Line]:
    rest = [(k, cell) for k, cell in enumerate(row[1:], 1) if cell]
    if not words or not rest:
        return
    unit = next((spelled(cell) for _k, cell in rest if spelled(cell) in _UNITS), "")
    values = [(k, cell) for k, cell in rest if spelled(cell) not in _UNITS]
    text = next((cell for k, cell in values if k == at), values[0][1] if values else "")
    both = list(_ENERGIES.finditer(text))
    if both and meaning(words).target in (ENERGY, ENERGY_KJ, "ENERC_KCAL"):
        for energy in both:
            yield _Line(f"{_bare(words)} ({spelled(energy['unit'])})", energy["number"].strip(), "")
    elif text:
        yield _Line(words, text, unit)


def _bare(words: str) -> str:
    return re.sub(r"[(\[].*?[)\]]", "", words).split(",")[0].strip()


def drafts(
    bundle: Bundle, layout: Layout, source: str, tally: Tally, meter: Meter, comma: bool | None
) -> Iterator[Draft]:
    """The one product."""
    lines, _per = _lines(list(rows(bundle, layout.read[0], layout.sheet, tally, meter)))
    tally.rows += 1
    reader = FigureReader(source, tally, comma)
    by_key = {column.key: column for column in layout.columns}
    texts = {line.words: line for line in reversed(lines)}
    facts = {
        column.target: texts[key].text
        for key, column in reversed(by_key.items())
        if column.target in ("name", "code", "group", "density") and key in texts
    }
    name = " ".join(facts.get("name", bundle.title).split())
    code = facts.get("code") or name
    values: dict[str, Value] = {}
    limits: dict[str, float] = {}
    each = [(k, take) for k, column in enumerate(by_key.values()) if (take := take_of(column, "label"))]
    for _k, take in in_order(each):
        line = texts.get(take.column.key)
        if line is not None:
            reader.put(values, limits, take, line.text, code, _("line “{words}”", words=line.words[:30]))
    density = read_cell(facts.get("density", ""), comma)
    yield Draft(
        code, name, values, limits, group=facts.get("group", ""),
        density_g_per_ml=density.amount if density.state == "figure" else None,
    )  # fmt: skip
