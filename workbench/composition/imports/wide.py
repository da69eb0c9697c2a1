"""One row a food, one column a component: tables with INFOODS tagnames or plain names, and the IFCT of 2017."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import msgspec

from workbench.base.text import N_, _
from workbench.composition.food import Value
from workbench.composition.imports import findings
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.figures import FigureReader, Take, in_order, number, take_of
from workbench.composition.imports.grid import Grid, rows
from workbench.composition.imports.headers import columns, is_amount, meaning, spelled
from workbench.composition.imports.layout import Column, Conventions, Draft, Layout
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Meter

_HEADER_WITHIN = 40  # rows; titles and remarks stand above
_FEWEST = 2  # columns of components
_OF_LONG_TABLES = frozenset(("n", "sd", "se", "component", "value", "unit"))  # "N" is nitrogen here, "Se" selenium
_UNITS = frozenset(("g", "mg", "µg", "kJ", "kcal", "%", "IU"))

# The electronic edition of the Indian Food Composition Tables 2017: every amount in g, energy in kJ, columns named
# "Protein; protcnt", standard deviations "…_e", blanks written as zero, acids of oils in percent of all acids.
_IFCT_SIGNS = frozenset(("code", "scie", "regn", "enerc", "choavldf", "protcnt"))
_IFCT_NAMES = {"CHO": "CHOAVL", "SCIE": "scientific name", "REGN": "samples", "GRUP": "group", "SE": "selenium"}
_IFCT = Conventions(zeros="blank", fatty_acids="of_fatty_acids_in_oils", decimal="point", carbohydrate="without_fibre")


def header_row(first: Sequence[list[str]]) -> int:
    """Place of the row that names most components; -1 where none names enough."""
    best, at = _FEWEST - 1, -1
    for k, row in enumerate(first[:_HEADER_WITHIN]):
        known = {what.target for cell in row if cell and (what := meaning(cell)).target}
        n_amounts = sum(map(is_amount, known))
        if n_amounts > best and known & {"name", "code"}:
            best, at = n_amounts, k
    return at


def find(bundle: Bundle, grid: Grid) -> Layout | None:
    """The layout, if the sheet is such a table."""
    short = [cell.rpartition(";")[2].strip().casefold() for cell in (grid.first[0] if grid.first else ())]
    if set(short) >= _IFCT_SIGNS:
        return _ifct(grid, short)
    at = header_row(grid.first)
    if at < 0:
        return None
    units: list[str] = []
    below = grid.first[at + 1] if at + 1 < len(grid.first) else []
    filled = [cell for cell in below if cell]
    if filled and sum(spelled(cell.strip("()[]")) in _UNITS for cell in filled) >= len(filled) / 2:
        units = [unit if (unit := spelled(cell.strip("()[]"))) in _UNITS else "" for cell in below]
    found, per = columns(grid.first[at], units)
    found = [column._replace(target="") if column.target in _OF_LONG_TABLES else column for column in found]
    named = any(column.target == "name" for column in found)
    if not named:  # a table of codes alone: the code is all there is to call a food by
        found = [column._replace(target="name") if column.target == "code" else column for column in found]
    return Layout(
        "wide", bundle.title, key_of(bundle.title), tuple(found),
        Conventions(per="100ml") if per else Conventions(),
        (grid.name,), grid.sheet, at + 1 + bool(units),
    )  # fmt: skip


def key_of(title: str) -> str:
    """A short name for a table that only has that of its file."""
    return "_".join("".join(c if c.isalnum() else " " for c in title.casefold()).split())[:40] or "table"


def _ifct(grid: Grid, short: list[str]) -> Layout:
    names = []
    for name in short:
        upper = name.upper()
        names.append(f"{upper[:-2]}_SD" if upper.endswith("_E") else _IFCT_NAMES.get(upper, upper))
    found, _per = columns(names, ["kJ" if name.startswith("ENERC") else "g" for name in names])
    keyed = tuple(column._replace(key=" ".join(key.split())) for column, key in zip(found, grid.first[0], strict=True))
    said = (
        N_("every amount is in g and energy in kJ, as that edition has them"),
        N_("zero stands for a blank there, so zeros are taken as not stated"),
        N_("acids of oils are percent of fatty acids there; they become g in 100 g (FAO 2003, table A5.1)"),
    )
    return Layout(
        "wide", "Indian Food Composition Tables 2017", "ifct2017", keyed, _IFCT, (grid.name,), grid.sheet, 1, said=said
    )


class _Places(NamedTuple):
    """Where everything stands in a row."""

    takes: list[tuple[int, Take]]
    facts: dict[str, int]
    spreads: list[tuple[int, str, str, float]]  # place, "sd" or "n" or "se", tag, factor


def _places(found: Sequence[Column], layout: Layout) -> _Places:
    takes: list[tuple[int, Take]] = []
    facts: dict[str, int] = {}
    spreads: list[tuple[int, str, str, float]] = []
    for at, column in enumerate(found):
        if column.why_not or not column.target:
            continue
        about, sign, tag = column.target.partition(":")
        if sign:
            like = take_of(Column(column.key, tag, column.unit))
            if like is not None:
                spreads.append((at, about, tag, like.factor))
        elif (take := take_of(column, layout.kind)) is not None:
            takes.append((at, take))
        else:
            facts.setdefault(column.target, at)
    return _Places(in_order(takes), facts, spreads)


def drafts(
    bundle: Bundle, layout: Layout, source: str, tally: Tally, meter: Meter, comma: bool | None
) -> Iterator[Draft]:
    """Foods in the order of the rows."""
    places = _places(layout.columns, layout)
    reader = FigureReader(source, tally, comma)
    seen: set[str] = set()
    for line, row in enumerate(rows(bundle, layout.read[0], layout.sheet, tally, meter), 1):
        if line <= layout.skip or not any(row):
            continue
        draft = _draft(row, line, places, layout, reader)
        if not draft.name and not draft.values and not draft.limits:
            continue
        tally.rows += 1
        if draft.code in seen and (draft.values or draft.limits):
            tally.note(findings.SAME_CODE, f"{draft.code} {draft.name[:40]}")
            continue
        seen.add(draft.code)
        yield draft


def _draft(row: list[str], line: int, places: _Places, layout: Layout, reader: FigureReader) -> Draft:
    def fact(key: str) -> str:
        at = places.facts.get(key, -1)
        return row[at] if 0 <= at < len(row) else ""

    where = _("line {n}", n=line)
    name = " ".join(fact("name").split())
    code = fact("code") or fact("id") or name or str(line)
    values: dict[str, Value] = {}
    limits: dict[str, float] = {}
    blank_before = reader.tally.blanks
    for at, take in places.takes:
        reader.put(values, limits, take, row[at] if at < len(row) else "", code, where)
    if not values and not limits:
        reader.tally.blanks = blank_before  # a heading or an empty row: its blanks are no values
    _add_spread(row, values, places, fact("n"), reader.comma)
    refuse, edible = number(fact("refuse_percent"), reader.comma), number(fact("edible_percent"), reader.comma)
    if edible is not None and edible > 1.0:
        edible /= 100.0
    words = fact("refuse_words")
    return Draft(
        code, name, values, limits, group=fact("group"), also=(fact("also"),) if fact("also") else (),
        density_g_per_ml=number(fact("density"), reader.comma) or None,
        nitrogen_factor=number(fact("nitrogen_factor"), reader.comma) or None,
        fatty_acid_factor=number(fact("fatty_acid_factor"), reader.comma) or None,
        edible_fraction=1.0 - refuse / 100.0 if refuse else edible,
        bought_as=_("with {waste}", waste=words) if words else "", where=where,
    )  # fmt: skip


def _add_spread(row: list[str], values: dict[str, Value], places: _Places, samples: str, comma: bool | None) -> None:
    """Standard deviations and numbers of samples, from columns of their own."""
    n_of_food = number(samples, comma)
    for at, about, tag, factor in places.spreads:
        found = number(row[at], comma) if at < len(row) else None
        if found is None or tag not in values:
            continue
        value = values[tag]
        if about == "n" and found >= 1.0:
            values[tag] = msgspec.structs.replace(value, n=int(found))
        elif about == "sd" and found > 0.0:
            n = int(n_of_food) if n_of_food and n_of_food > 1 else value.n
            values[tag] = msgspec.structs.replace(value, sd=found * factor, n=n)
