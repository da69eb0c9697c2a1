"""What every reader of a foreign table shares: its columns, its choices, and a food before the choices are applied."""

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

import msgspec

from workbench.base.text import N_
from workbench.composition.food import Food, Measure, Value
from workbench.composition.table_file import CompositionError

LayoutName = Literal["fdc_csv", "fdc_json", "standard_reference", "wide", "long", "product", "exported"]

LAYOUTS: Mapping[str, str] = {
    "fdc_csv": N_("USDA FoodData Central, CSV files"),
    "fdc_json": N_("USDA FoodData Central, JSON"),
    "standard_reference": N_("USDA standard reference, text files with carets"),
    "wide": N_("one row a food, one column a component"),
    "long": N_("one row a value"),
    "product": N_("one product, one line a value"),
    "exported": N_("a table this program wrote"),
}


class ImportFailure(CompositionError):
    """The table cannot be imported; nothing was written."""


class Column(NamedTuple):
    """One column, nutrient or line of the foreign table, and what it is taken for.

    ``target`` is a tagname, one of the names of ``header_words`` or "" where it is left out; ``unit`` is the one its
    figures are in, "" for the usual one.
    """

    key: str  # as it is named in the table; unique
    target: str = ""
    unit: str = ""
    rank: int = 0  # where a food has several of one target, the lowest wins
    why_not: str = ""  # why a column with a target is left out all the same, marked for translation


class Conventions(msgspec.Struct, frozen=True, omit_defaults=True):
    """The choices a table leaves open; "" or None is what the table itself says or what was found by looking.

    ``density_g_per_ml`` stands for foods without one of their own, ``nitrogen_factor`` and ``fatty_acid_factor``
    likewise; ``protein_factor`` restates protein as nitrogen times that factor.
    """

    per: Literal["", "100g", "100ml"] = ""
    density_g_per_ml: float | None = None
    carbohydrate: Literal["", "with_fibre", "without_fibre"] = ""
    protein_factor: float | None = None
    nitrogen_factor: float | None = None
    fatty_acids: Literal["", "per_100g", "of_fatty_acids", "of_fat", "of_fatty_acids_in_oils"] = ""
    fatty_acid_factor: float | None = None
    energy: Literal["", "kJ", "kcal"] = ""
    decimal: Literal["", "point", "comma"] = ""
    zeros: Literal["", "stated", "blank"] = ""


class Draft(msgspec.Struct):
    """A food as the table says it, in our units and before the choices are applied."""

    code: str
    name: str
    values: Mapping[str, Value]
    limits: dict[str, float] = {}
    group: str = ""
    also: tuple[str, ...] = ()
    per_100_ml: bool = False
    density_g_per_ml: float | None = None
    nitrogen_factor: float | None = None
    fatty_acid_factor: float | None = None
    edible_fraction: float | None = None
    bought_as: str = ""
    measures: tuple[Measure, ...] = ()
    where: str = ""  # "line 12", for findings
    looked_at: bool = False  # every value can be, and they stand in the order of the column dictionary
    whole: Food | None = None  # a food this program wrote, which needs no choice


_USUAL = {field.name: field.default for field in msgspec.structs.fields(Food)}


def food_of(**facts: Any) -> Food:
    """A food for which only what is unusual is said: equal foods are packed alike then."""
    return Food(**{name: fact for name, fact in facts.items() if fact != _USUAL[name]})


class Layout(NamedTuple):
    """What was found in a table: how it is laid out, its columns, and the choices it settles by itself."""

    name: LayoutName
    title: str
    key: str  # proposed name of the table where its values are cited
    columns: tuple[Column, ...]
    settled: Conventions = Conventions()
    read: tuple[str, ...] = ()  # names of the files that hold it
    sheet: str = ""  # the worksheet, in a workbook
    skip: int = 0  # rows above the first food
    kind: Literal["measured", "label"] = "measured"
    said: tuple[str, ...] = ()  # what was looked up or decided, in words
