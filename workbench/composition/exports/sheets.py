"""Foods laid out as rows of cells: one row a food, with what differs from the row in a sheet of its own."""

from collections import Counter
from collections.abc import Iterator, Sequence

from workbench.composition.components import COMPONENTS
from workbench.composition.exports.columns import (
    COLUMNS,
    FACTS,
    FOODS,
    LESS_THAN,
    MEASURES,
    NONE,
    PACKS,
    ROW,
    VALUES,
    joined,
)
from workbench.composition.food import Food, Value

Cell = str | float | None
Sheet = Iterator[Sequence[Cell]]


def sheets(foods: Sequence[Food]) -> dict[str, Sheet]:
    """Rows of every sheet by its name, each beginning with its header."""
    tags = [*COMPONENTS, *sorted({tag for food in foods for tag in (*food.values, *food.limits)} - set(COMPONENTS))]
    return {
        FOODS: _foods(foods, tags),
        VALUES: _with_header(VALUES, (row for food in foods for row in _exceptions(food))),
        MEASURES: _with_header(
            MEASURES, ((food.id, m.name, m.grams, m.source, m.code) for food in foods for m in food.measures)
        ),
        PACKS: _with_header(
            PACKS, ((food.id, p.size_g, p.price, p.currency, p.date) for food in foods for p in food.packs)
        ),
    }


def _with_header(name: str, rows: Iterator[Sequence[Cell]]) -> Sheet:
    yield COLUMNS[name]
    yield from rows


def _foods(foods: Sequence[Food], tags: Sequence[str]) -> Sheet:
    yield (*ROW, *tags, *FACTS)
    for food in foods:
        usual = _usual(food)
        amounts = [_amount(food, tag) for tag in tags]
        yield (
            food.id, food.name, food.group, usual.source, usual.code, usual.kind, usual.note, *amounts, *_facts(food)
        )  # fmt: skip


def _usual(food: Food) -> Value:
    """What most values of the food have in common, as a value of zero."""
    common = Counter((v.source, v.code, v.kind, v.note) for v in food.values.values()).most_common(1)
    source, code, kind, note = common[0][0] if common else ("", "", "measured", "")
    return Value(0.0, kind, source, code, note=note)


def _amount(food: Food, tag: str) -> Cell:
    if tag in food.values:
        return food.values[tag].value
    return f"<{food.limits[tag]!r}" if tag in food.limits else None


def _exceptions(food: Food) -> Iterator[Sequence[Cell]]:
    usual = _usual(food)
    for tag, value in food.values.items():
        if Value(value.value, usual.kind, usual.source, usual.code, note=usual.note) != value:
            yield (
                food.id, tag, None, value.source, value.code, value.kind, value.rule, value.n, value.sd, value.note
            )  # fmt: skip
        if tag in food.limits:  # stated beside a value
            yield (food.id, tag, food.limits[tag], "", "", LESS_THAN, "", None, None, "")


def _facts(food: Food) -> Iterator[Cell]:
    taken = food.taken_from
    yield food.digestibility
    yield food.origin
    yield "" if food.contains is None else joined(food.contains) or NONE
    yield joined(food.may_contain)
    yield joined(food.gut)
    yield food.doping
    yield joined(food.roles)
    yield food.density_g_per_ml
    yield food.density_source
    yield food.edible_fraction
    yield food.bought_as
    yield food.storage
    yield food.typical_yield
    yield food.yield_source
    yield food.nitrogen_factor
    yield food.fat_profile
    yield joined(food.cannot_contain)
    yield joined(food.also)
    yield joined(f"{language}={name}" for language, name in food.names.items())
    yield food.made_of
    yield food.note
    yield taken.kind if taken else ""
    yield taken.key if taken else ""
    yield taken.table_version if taken else ""
    yield taken.row_hash if taken else ""
