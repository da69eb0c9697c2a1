"""The bundled composition table: plain CSV in ``ingredient_db``, read once and checked while it is read.

Holds no rules and fills no gaps; see ``derive``.  A blank cell is unknown and gives no value.
"""

from collections.abc import Mapping
from functools import cache, partial
from pathlib import Path
from types import MappingProxyType
from typing import get_args

import msgspec

from workbench.base import paths
from workbench.base.text import _
from workbench.composition.components import COMPONENTS
from workbench.composition.food import (
    ALLERGENS,
    GUT_FLAGS,
    WATCHED,
    Food,
    Kind,
    Measure,
    Origin,
    Storage,
    TakenFrom,
    Value,
)
from workbench.composition.gut import gut_flags
from workbench.composition.sources import (
    Alternative,
    Digestibility,
    FatProfile,
    Review,
    Source,
    read_alternatives,
    read_digestibility,
    read_fat_profiles,
    read_reviews,
    read_sources,
)
from workbench.composition.table import Table
from workbench.composition.table_file import CompositionError, Row, rows

_KINDS = frozenset(get_args(Kind))
_ORIGINS = frozenset(get_args(Origin))
_STORAGES = frozenset(get_args(Storage))
_ALLERGENS = frozenset(ALLERGENS + WATCHED)
_GUT_FLAGS = frozenset(GUT_FLAGS)


def read_foods(folder: Path, version: str) -> Table:
    """Every ingredient of the table in ``folder``, by id, in the order of the file.

    Raises
    ------
    CompositionError
        If a cell cannot be used; the error names file, line and column.
    """
    known = read_sources(folder)
    groups, profiles = read_digestibility(folder), read_fat_profiles(folder)
    heads: dict[str, Row] = {}
    values: dict[str, dict[str, Value]] = {}
    for row in rows(folder, "ingredients.csv", ("id", "name", "group", "source", "code", "kind", "note", *COMPONENTS)):
        food_id = row.required("id")
        if food_id in heads:
            raise row.error("id", _("“{word}” stands here twice.", word=food_id))
        heads[food_id] = row
        values[food_id] = _wide_values(row, known)
    _add_provenance(folder, values, heads, known)
    measures = _read_measures(folder, heads, known)
    foods: dict[str, Food] = {}
    for row in rows(folder, "facts.csv", _FACT_COLUMNS):
        food_id = row.choice("id", heads)
        if food_id in foods:
            raise row.error("id", _("“{word}” stands here twice.", word=food_id))
        foods[food_id] = _food(heads[food_id], row, values[food_id], measures.get(food_id, ()), groups, profiles)
    for food_id, row in heads.items():
        if food_id not in foods:
            raise row.error("id", _("“{word}” has no row in facts.csv.", word=food_id))
    return Table({food_id: foods[food_id] for food_id in heads}, partial(_stamped, version=version))


def _wide_values(row: Row, known: Mapping[str, Source]) -> dict[str, Value]:
    source, code, note = known[row.choice("source", known)], row.required("code"), row.text("note")
    kind: Kind | None = row.choice("kind", _KINDS) if row.text("kind") else None  # type: ignore[assignment]
    found = {
        tag: Value(amount, kind or "measured", source.key, code, note=note)
        for tag, amount in row.numbers(COMPONENTS).items()
    }
    if kind is None:
        for tag in source.calculated:
            if tag in found:
                found[tag] = msgspec.structs.replace(found[tag], kind="calculated")
    return found


def _add_provenance(
    folder: Path, values: dict[str, dict[str, Value]], heads: Mapping[str, Row], known: Mapping[str, Source]
) -> None:
    """Exceptions and additions to the wide file; a blank cell keeps what the wide file says."""
    seen: set[tuple[str, str]] = set()
    for row in rows(folder, "provenance.csv", ("food", "tag", "value", "source", "code", "kind", "n", "sd", "note")):
        food_id, tag = row.choice("food", heads), row.choice("tag", COMPONENTS)
        if (food_id, tag) in seen:
            raise row.error("tag", _("“{word}” stands here twice.", word=f"{food_id}, {tag}"))
        seen.add((food_id, tag))
        old = values[food_id].get(tag)
        amount = row.number("value")
        if amount is None:
            if old is None:
                raise row.error("value", _("There is no value to say this about."))
            amount = old.value
        n, head, cells = row.number("n", low=1), heads[food_id].cells, row.cells
        values[food_id][tag] = Value(
            amount,
            row.choice("kind", _KINDS) if cells["kind"] else old.kind if old else "measured",  # type: ignore[arg-type]
            row.choice("source", known) if cells["source"] else head["source"],
            cells["code"] or head["code"],
            n=None if n is None else int(n),
            sd=row.number("sd"),
            note=cells["note"] or (old.note if old else ""),
        )


def _read_measures(
    folder: Path, heads: Mapping[str, Row], known: Mapping[str, Source]
) -> dict[str, tuple[Measure, ...]]:
    found: dict[str, dict[str, Measure]] = {}
    for row in rows(folder, "measures.csv", ("food", "measure", "grams", "source", "code")):
        mine = found.setdefault(row.choice("food", heads), {})
        name, grams = row.required("measure"), row.number("grams", low=0.001)
        if name in mine:
            raise row.error("measure", _("“{word}” stands here twice.", word=name))
        if grams is None:
            raise row.error("grams", _("The cell is blank."), _("Every row needs a value here."))
        mine[name] = Measure(name, grams, row.choice("source", known), row.text("code"))
    return {food_id: tuple(mine.values()) for food_id, mine in found.items()}


_FACT_COLUMNS = (
    "id",
    "digestibility",
    "origin",
    "contains",
    "may_contain",
    "roles",
    "density_g_per_ml",
    "density_source",
    "edible_fraction",
    "bought_as",
    "storage",
    "typical_yield",
    "yield_source",
    "fat_profile",
    "cannot_contain",
    "gut",
    "doping",
    "also",
    "name_de",
    "name_es",
    "note",
)

ROLES = frozenset(
    ("bulk_starch", "sweetener", "binder", "fat", "inclusion", "protein", "flavour", "liquid", "salt", "leavening")
)


def _food(
    head: Row,
    facts: Row,
    values: dict[str, Value],
    measures: tuple[Measure, ...],
    groups: Mapping[str, Digestibility],
    profiles: Mapping[str, FatProfile],
) -> Food:
    edible = facts.number("edible_fraction", low=0.01, high=1.0)
    contains = facts.words("contains", _ALLERGENS)
    return Food(
        id=head.text("id"),
        name=head.required("name"),
        names={code: name for code in ("de", "es") if (name := facts.text(f"name_{code}"))},
        also=facts.words("also"),
        group=head.required("group"),
        values=values,
        digestibility=facts.choice("digestibility", groups) if facts.text("digestibility") else "",
        origin=facts.choice("origin", _ORIGINS),  # type: ignore[arg-type]
        contains=contains,
        may_contain=facts.words("may_contain", _ALLERGENS),
        gut=gut_flags(values, contains, facts.words("gut", _GUT_FLAGS)),
        doping=facts.text("doping"),
        roles=facts.words("roles", ROLES),
        density_g_per_ml=facts.number("density_g_per_ml", low=0.01, high=3.0),
        density_source=facts.text("density_source"),
        measures=measures,
        edible_fraction=1.0 if edible is None else edible,
        bought_as=facts.text("bought_as"),
        storage=facts.choice("storage", _STORAGES),  # type: ignore[arg-type]
        typical_yield=facts.number("typical_yield", low=0.1, high=20.0),
        yield_source=facts.text("yield_source"),
        fat_profile=facts.choice("fat_profile", profiles) if facts.text("fat_profile") else "",
        cannot_contain=facts.words("cannot_contain", frozenset(COMPONENTS)),
        note=facts.text("note"),
    )


def _stamped(food: Food, version: str) -> Food:
    """``food`` with the note of where it came from, as a project keeps it."""
    origin = TakenFrom("bundled", key=food.id, table_version=version, row_hash=row_hash(food))
    return msgspec.structs.replace(food, taken_from=origin)


def row_hash(food: Food) -> str:
    """Short hash of everything that changes a result or a warning; words, measures and packs do not count."""
    lines: list[str] = []
    ends: dict[tuple[object, ...], str] = {}
    for tag in sorted(food.values):
        v = food.values[tag]
        key = (v.kind, v.source, v.code, v.n, v.sd)  # nearly all values of a food share it
        end = ends.get(key)
        if end is None:
            end = ends[key] = repr([*key])[1:]
        lines.append(f"[{tag!r}, {v.value!r}, {end}")
    facts: list[object] = [
        food.digestibility,
        food.origin,
        None if food.contains is None else sorted(food.contains),
        sorted(food.may_contain),
        food.density_g_per_ml,
        food.edible_fraction,
        food.typical_yield,
        food.fat_profile,
        sorted(food.cannot_contain),
        food.group,
    ]
    if food.gut or food.doping:  # left out where there are none, so that hashes of older projects still hold
        facts += [food.gut, food.doping]
    if food.nitrogen_factor is not None:
        facts.append(food.nitrogen_factor)
    import hashlib  # 4 ms that a start does not need

    content = f"[[{', '.join(lines)}], {repr(facts)[1:]}"
    return hashlib.blake2b(content.encode(), digest_size=8).hexdigest()


@cache
def table_version() -> str:
    """Version of the bundled table, such as ``2026.1``."""
    try:
        return (paths.ingredient_db() / "VERSION").read_text(encoding="utf-8").strip()
    except OSError as error:
        raise CompositionError(
            _("The file cannot be read: {reason}", reason=error),
            where="VERSION",
            hint=_("Take the folder ingredient_db from a fresh copy of the program."),
        ) from error


@cache
def sources() -> Mapping[str, Source]:
    """Publications that the bundled table cites, by key."""
    return MappingProxyType(read_sources(paths.ingredient_db()))


@cache
def digestibility_groups() -> Mapping[str, Digestibility]:
    """Digestibility groups, by key."""
    return MappingProxyType(read_digestibility(paths.ingredient_db()))


@cache
def alternatives() -> Mapping[str, tuple[Alternative, ...]]:
    """What other publications say of a bundled ingredient, where they differ by more than their spread, by food id."""
    return MappingProxyType(read_alternatives(paths.ingredient_db(), bundled_foods(), sources()))


@cache
def reviews() -> Mapping[Review, str]:
    """Why a doubtful figure of a bundled ingredient was looked into and kept."""
    return MappingProxyType(read_reviews(paths.ingredient_db(), bundled_foods()))


@cache
def fat_profiles() -> Mapping[str, FatProfile]:
    """Fat profiles, by key."""
    return MappingProxyType(read_fat_profiles(paths.ingredient_db()))


@cache
def bundled_foods() -> Mapping[str, Food]:
    """Every bundled ingredient, by id; read once, never changed."""
    return read_foods(paths.ingredient_db(), table_version())
