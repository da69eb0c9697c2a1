"""What the composition table refers to: publications, digestibility groups, fat profiles, other figures, reviews."""

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

import msgspec

from workbench.base.text import _
from workbench.composition.components import COMPONENTS
from workbench.composition.table_file import Row, keyed, rows

PROFILE_ACIDS = ("F4D0", "F6D0", "F8D0", "F10D0", "F12D0")


class Source(msgspec.Struct, frozen=True):
    """A publication that values are cited from."""

    key: str
    short: str  # how it is named beside a food code
    citation: str
    licence: str
    calculated: tuple[str, ...]  # components that the publisher computes in every food
    note: str


class Digestibility(msgspec.Struct, frozen=True):
    """Apparent digestibility and specific energy factors of a food group; ``None`` = the source has none.

    ``d_...`` are fractions from 0 to 1, ``kcal_...`` are kcal per gram.
    """

    key: str
    name: str
    d_protein: float | None
    d_fat: float | None
    d_carbohydrate: float | None
    kcal_protein: float | None
    kcal_fat: float | None
    kcal_carbohydrate: float | None
    source: str
    code: str
    note: str


class FatProfile(msgspec.Struct, frozen=True):
    """Short- and medium-chain fatty acids of a kind of fat, g per 100 g fat; an acid that is absent is unknown."""

    key: str
    name: str
    acids: Mapping[str, float]
    source: str
    code: str


class Alternative(msgspec.Struct, frozen=True):
    """What another publication says of one component of a food, in the table's own unit and convention."""

    tag: str
    value: float
    source: str
    code: str
    note: str  # how it was converted, and why the two may differ


class Review(NamedTuple):
    """A finding of the quality checks about a bundled row that somebody looked into."""

    food: str
    tag: str  # "" for a finding about the row as a whole
    finding: str  # code of the finding, as in ``quality.words``


def read_sources(folder: Path) -> dict[str, Source]:
    """Publications by key."""

    def make(row: Row) -> Source:
        calculated = row.words("calculated", frozenset(COMPONENTS))
        return Source(
            row.text("key"),
            row.required("short"),
            row.required("citation"),
            row.text("licence"),
            calculated,
            row.text("note"),
        )

    return keyed(rows(folder, "sources.csv", Source.__struct_fields__), make)


def read_digestibility(folder: Path) -> dict[str, Digestibility]:
    """Digestibility groups by key."""
    known = read_sources(folder)

    def make(row: Row) -> Digestibility:
        return Digestibility(
            key=row.text("key"),
            name=row.required("name"),
            d_protein=row.number("d_protein", high=1.0),
            d_fat=row.number("d_fat", high=1.0),
            d_carbohydrate=row.number("d_carbohydrate", high=1.0),
            kcal_protein=row.number("kcal_protein", high=10.0),
            kcal_fat=row.number("kcal_fat", high=10.0),
            kcal_carbohydrate=row.number("kcal_carbohydrate", high=10.0),
            source=row.choice("source", known),
            code=row.text("code"),
            note=row.text("note"),
        )

    return keyed(rows(folder, "digestibility.csv", Digestibility.__struct_fields__), make)


def read_fat_profiles(folder: Path) -> dict[str, FatProfile]:
    """Fat profiles by key."""
    known = read_sources(folder)

    def make(row: Row) -> FatProfile:
        amounts = ((acid, row.number(acid, high=100.0)) for acid in PROFILE_ACIDS)
        acids = MappingProxyType({acid: amount for acid, amount in amounts if amount is not None})
        return FatProfile(row.text("key"), row.required("name"), acids, row.choice("source", known), row.text("code"))

    return keyed(rows(folder, "fat_profiles.csv", ("key", "name", *PROFILE_ACIDS, "source", "code")), make)


def read_alternatives(
    folder: Path, foods: Mapping[str, object], known: Mapping[str, Source]
) -> dict[str, tuple[Alternative, ...]]:
    """Figures of other publications by food id."""
    found: dict[str, list[Alternative]] = {}
    for row in rows(folder, "alternatives.csv", ("food", "tag", "value", "source", "code", "note")):
        value = row.number("value")
        if value is None:
            raise row.error("value", _("The cell is blank."), _("Every row needs a value here."))
        tag, source, code = row.choice("tag", COMPONENTS), row.choice("source", known), row.required("code")
        other = Alternative(tag, value, source, code, row.text("note"))
        found.setdefault(row.choice("food", foods), []).append(other)
    return {food_id: tuple(others) for food_id, others in found.items()}


def read_reviews(folder: Path, foods: Mapping[str, object]) -> dict[Review, str]:
    """Reasons to keep a doubtful figure, by finding."""
    found: dict[Review, str] = {}
    for row in rows(folder, "reviews.csv", ("food", "tag", "finding", "reason")):
        tag = row.choice("tag", COMPONENTS) if row.text("tag") else ""
        review = Review(row.choice("food", foods), tag, row.required("finding"))
        if review in found:
            raise row.error("finding", _("“{word}” stands here twice.", word=", ".join(filter(None, review))))
        found[review] = row.required("reason")
    return found
