"""Food: one ingredient as the program knows it, and the provenance of each of its values.

Plain frozen data.  A component that is absent from ``Food.values`` is unknown; it is never read as zero.
"""

from collections.abc import Mapping
from typing import Literal

import msgspec

Kind = Literal[
    "measured",  # analysed, or published as such
    "calculated",  # computed by the publisher from other analyses
    "assumed_zero",  # zero because the food cannot contain it
    "borrowed",  # taken from a similar food, named in the note
    "derived",  # computed here by the named rule
    "label",  # read from a pack
    "typical",  # a typical specification or a standard's limit
]

Origin = Literal["plant", "dairy", "egg", "bee", "animal", "mineral", "unknown"]
"""Where an ingredient comes from; ``mineral`` is water and salt, ``unknown`` counts as a risk."""

Storage = Literal["dry", "cool", "fridge", "freezer", "unknown"]

ALLERGENS: tuple[str, ...] = (
    # Regulation (EU) 1169/2011, Annex II, in its order; cereals and nuts are named singly as the law asks.
    "gluten_wheat",
    "gluten_rye",
    "gluten_barley",
    "gluten_oats",
    "crustaceans",
    "egg",
    "fish",
    "peanut",
    "soya",
    "milk",
    "almond",
    "hazelnut",
    "walnut",
    "cashew",
    "pecan",
    "brazil_nut",
    "pistachio",
    "macadamia",
    "celery",
    "mustard",
    "sesame",
    "sulphites",
    "lupin",
    "molluscs",
)

WATCHED: tuple[str, ...] = ("coconut",)
"""Not on the EU list, but asked for often enough to carry a flag of its own."""

POSSIBLE: Mapping[str, tuple[float, float]] = {
    "edible_fraction": (0.001, 1.0),
    "density_g_per_ml": (0.01, 25.0),
    "typical_yield": (0.01, 50.0),
    "nitrogen_factor": (3.0, 8.0),
    "n": (1, 1_000_000),
    "grams": (0.001, 1_000_000.0),
    "size_g": (0.001, 1_000_000.0),
    "price": (0.0, 1_000_000.0),
}
"""The least and the most that facts of a food can be, by field; a project file that says otherwise is refused."""

GUT_FLAGS: tuple[str, ...] = ("lactose", "polyols", "excess_fructose", "caffeine")
"""What a sensitive gut or a sleepless night may be due to; rules in ``gut``."""


class Value(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """One component of one food, per 100 g edible part, in the unit of the column dictionary."""

    value: float
    kind: Kind = "measured"
    source: str = ""  # key of a row in ingredient_db/sources.csv, or free text for a food of one's own
    code: str = ""  # the food's code in that source
    rule: str = ""  # for kind "derived" or "assumed_zero": the rule's key
    n: int | None = None  # number of samples
    sd: float | None = None  # standard deviation, same unit
    note: str = ""


class Measure(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """A household measure of this food: one ``name`` weighs ``grams``."""

    name: str
    grams: float
    source: str = ""
    code: str = ""


class Pack(msgspec.Struct, frozen=True, omit_defaults=True):
    """A pack as it is bought."""

    size_g: float
    price: float | None = None
    currency: str = ""
    date: str = ""  # ISO 8601


class TakenFrom(msgspec.Struct, frozen=True, omit_defaults=True):
    """Where a project's copy of a food came from."""

    kind: Literal["bundled", "library", "own"]
    key: str = ""
    table_version: str = ""
    row_hash: str = ""


class Food(msgspec.Struct, frozen=True, omit_defaults=True, kw_only=True):
    """An ingredient with its composition per 100 g edible part and everything the kitchen needs to know of it."""

    id: str
    name: str
    names: dict[str, str] = {}  # language code -> name
    also: tuple[str, ...] = ()  # other words a cook may search for
    group: str = ""
    values: Mapping[str, Value] = {}
    limits: dict[str, float] = {}  # components of which only "less than" is stated; the value itself stays unknown
    digestibility: str = ""  # key of a row in ingredient_db/digestibility.csv; "" = unknown
    origin: Origin = "unknown"
    contains: tuple[str, ...] | None = None  # allergens; None = not stated, which is a risk and never "none"
    may_contain: tuple[str, ...] = ()
    gut: tuple[str, ...] = ()  # of GUT_FLAGS; a missing flag says only that no figure shows it
    doping: str = ""  # why an athlete under doping control should think twice
    roles: tuple[str, ...] = ()
    density_g_per_ml: float | None = None
    density_source: str = ""
    measures: tuple[Measure, ...] = ()
    edible_fraction: float = 1.0  # of the food as bought
    bought_as: str = ""
    packs: tuple[Pack, ...] = ()
    storage: Storage = "unknown"
    typical_yield: float | None = None  # weight after cooking / raw weight
    yield_source: str = ""
    nitrogen_factor: float | None = None  # grams of protein that its table counted for a gram of nitrogen
    fat_profile: str = ""  # key of a row in ingredient_db/fat_profiles.csv
    cannot_contain: tuple[str, ...] = ()  # components that are zero by nature
    made_of: str = ""  # ingredients of a compound food, as its pack lists them
    note: str = ""
    taken_from: TakenFrom | None = None
