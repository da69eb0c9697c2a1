"""Forms a piece can have, and how much of each role a form bears: data, common practice marked as such."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Literal, cast, get_args

import msgspec

from workbench.base import paths
from workbench.base.text import _
from workbench.composition.bundled import ROLES, bundled_foods
from workbench.composition.food import Food
from workbench.composition.table_file import Row, rows
from workbench.composition.textures import texture_of, textures

GrainState = Literal["raw", "ready", "none"]
LimitKind = Literal["role", "any_role", "group", "texture", "food"]

_STAGE_KINDS = frozenset(("mix", "cook", "bake", "fold_in", "press", "cool", "other"))


class RoleLimit(msgspec.Struct, frozen=True):
    """How much of a role, group or food 100 g of finished pieces hold; None = no limit. [g per 100 g]

    ``role`` counts foods whose first role it is, ``any_role`` all that have it.
    """

    kind: LimitKind
    what: str
    low: float | None
    typical: float | None
    high: float | None
    source: str  # publication; empty: common practice, no source
    note: str

    def counts(self, food: Food) -> bool:
        """Whether a food counts towards this limit."""
        if self.kind == "food":
            return food.id == self.what
        if self.kind == "group":
            return food.group == self.what
        if self.kind == "texture":
            texture = texture_of(food)
            return texture is not None and texture.key == self.what
        return self.what in (food.roles if self.kind == "any_role" else food.roles[:1])


class PieceForm(msgspec.Struct, frozen=True):
    """A form of piece: its steps, its moisture, and what it bears."""

    key: str
    title: str
    piece_g: float  # usual weight, and from what to what it may move [g]
    piece_low: float
    piece_high: float
    stages: tuple[tuple[str, str], ...]  # name and kind
    first: tuple[str, ...]  # roles that go into the first stage, the others into the second; "*" = all
    grain: GrainState  # raw: grain is cooked here; ready: only what is eaten as it is; none: no grain
    lost_percent: float  # water that leaves a stage, in percent of its weight
    lost_at: int  # which stage, from 1
    water_low: float  # of the finished piece [%]
    water_high: float
    salt_low: float  # [g per 100 g]
    salt_high: float
    sugar_high: float
    most_ingredients: int
    always: tuple[str, ...]  # foods that every kitchen has
    source: str
    note: str
    limits: tuple[RoleLimit, ...]


_LIMIT_COLUMNS = ("form", "kind", "what", "low", "typical", "high", "source", "note")
_FORM_COLUMNS = (
    "key",
    "title",
    "piece_g",
    "piece_low",
    "piece_high",
    "stages",
    "first",
    "grain",
    "lost_percent",
    "lost_at",
    "water_low",
    "water_high",
    "salt_low",
    "salt_high",
    "sugar_high",
    "most_ingredients",
    "always",
    "source",
    "note",
)


def read_role_limits(folder: Path, foods: Mapping[str, Food]) -> dict[str, tuple[RoleLimit, ...]]:
    """Limits by key of the form; those under "" hold in every form.

    Raises
    ------
    CompositionError
        If a cell cannot be used; the error names file, line and column.
    """
    groups = frozenset(food.group for food in foods.values())
    known: Mapping[str, frozenset[str]] = {
        "role": ROLES,
        "any_role": ROLES,
        "group": groups,
        "texture": frozenset(texture.key for texture in textures()),
        "food": frozenset(foods),
    }
    found: dict[str, list[RoleLimit]] = {}
    for row in rows(folder, "role_limits.csv", _LIMIT_COLUMNS):
        kind = cast(LimitKind, row.choice("kind", frozenset(get_args(LimitKind))))
        low, typical, high = (row.number(column, high=100.0) for column in ("low", "typical", "high"))
        given = [x for x in (low, typical, high) if x is not None]
        if given != sorted(given):
            raise row.error("high", _("The limits are not in rising order."))
        what = row.check("what", row.required("what"), known[kind])
        limit = RoleLimit(kind, what, low, typical, high, row.text("source"), row.text("note"))
        found.setdefault(row.text("form"), []).append(limit)
    return {form: tuple(limits) for form, limits in found.items()}


def read_forms(folder: Path, foods: Mapping[str, Food]) -> dict[str, PieceForm]:
    """Forms by key, in the order of the file.

    Raises
    ------
    CompositionError
        If a cell cannot be used; the error names file, line and column.
    """
    limits = read_role_limits(folder, foods)
    found: dict[str, PieceForm] = {}
    for row in rows(folder, "forms.csv", _FORM_COLUMNS):
        key = row.required("key")
        if key in found:
            raise row.error("key", _("“{word}” stands here twice.", word=key))
        always = row.words("always", frozenset(foods))
        stages = _stages(row)
        found[key] = PieceForm(
            key=key,
            title=row.required("title"),
            piece_g=_number(row, "piece_g", 1.0, 1000.0),
            piece_low=_number(row, "piece_low", 1.0, 1000.0),
            piece_high=_number(row, "piece_high", 1.0, 1000.0),
            stages=stages,
            first=row.words("first", ROLES | {"*"}),
            grain=cast(GrainState, row.choice("grain", frozenset(get_args(GrainState)))),
            lost_percent=_number(row, "lost_percent", 0.0, 90.0),
            lost_at=int(_number(row, "lost_at", 1.0, float(len(stages)))),
            water_low=_number(row, "water_low", 0.0, 100.0),
            water_high=_number(row, "water_high", 0.0, 100.0),
            salt_low=_number(row, "salt_low", 0.0, 10.0),
            salt_high=_number(row, "salt_high", 0.0, 10.0),
            sugar_high=_number(row, "sugar_high", 0.0, 100.0),
            most_ingredients=int(_number(row, "most_ingredients", 1.0, 30.0)),
            always=always,
            source=row.text("source"),
            note=row.text("note"),
            limits=(*limits.get(key, ()), *limits.get("", ())),
        )
    unused = limits.keys() - found.keys() - {""}
    if unused:
        for row in rows(folder, "role_limits.csv", _LIMIT_COLUMNS):
            row.check("form", row.text("form"), frozenset((*found, "")))
    return found


def _number(row: Row, column: str, low: float, high: float) -> float:
    value = row.number(column, low, high)
    if value is None:
        raise row.error(column, _("The cell is blank."), _("Every row needs a value here."))
    return value


def _stages(row: Row) -> tuple[tuple[str, str], ...]:
    found = []
    for cell in row.required("stages").split(";"):
        name, _colon, kind = cell.partition(":")
        found.append((name, row.check("stages", kind, _STAGE_KINDS)))
    return tuple(found)


@cache
def piece_forms() -> Mapping[str, PieceForm]:
    """Forms of the bundled data, by key."""
    return read_forms(paths.ingredient_db(), bundled_foods())


@cache
def limits_everywhere() -> tuple[RoleLimit, ...]:
    """Limits that hold in every form."""
    return read_role_limits(paths.ingredient_db(), bundled_foods()).get("", ())
