"""Exchanges of one ingredient for others, as kitchens do them: data with sources, common practice marked as such."""

from collections.abc import Mapping
from functools import cache
from itertools import product
from pathlib import Path
from typing import Literal, cast, get_args

import msgspec

from workbench.base import paths
from workbench.base.text import N_, _
from workbench.composition.bundled import bundled_foods
from workbench.composition.table_file import Row, rows

Purpose = Literal["", "race", "long_ride"]

LOSSES: Mapping[str, str] = {
    "binding": N_("holds together less well"),
    "lift": N_("rises less"),
    "browning": N_("browns less"),
    "flavour": N_("tastes different"),
    "sweetness": N_("less sweet"),
    "keeping": N_("keeps less long"),
    "chew": N_("less chewy"),
    "crunch": N_("less bite"),
    "smoothness": N_("less smooth"),
    "protein": N_("less protein"),
}
"""What an exchange can cost, and the words for it."""

MATCHED: tuple[str, ...] = ("FAT", "WATER", "CHOAVLDF", "PROCNT")
"""Components whose amount an exchange may keep."""


class Exchange(msgspec.Struct, frozen=True):
    """One way to replace an ingredient.

    ``amounts`` has one entry for each food of ``by``: grams for 100 g of what is replaced, or the component that it
    brings as much of as was there, less what the foods before it bring already.
    """

    key: str
    replaces: tuple[str, ...]
    by: tuple[str, ...]
    amounts: tuple[float | str, ...]
    purpose: Purpose
    needs_heat: bool  # does its work only where it is cooked
    up_to_percent: float | None  # how much of the ingredient the source replaced, where that was not all of it
    loses: tuple[str, ...]  # of LOSSES
    trial: str  # what to test
    source: str  # publication; empty: common practice, no source
    note: str

    @property
    def by_composition(self) -> bool:
        """Whether all amounts follow from the composition of the foods, so that no ratio has to be believed."""
        return all(isinstance(amount, str) for amount in self.amounts)


_COLUMNS = (
    "key",
    "replaces",
    "by",
    "amounts",
    "purpose",
    "needs_heat",
    "up_to_percent",
    "loses",
    "trial",
    "source",
    "note",
)


def read_exchanges(folder: Path, foods: Mapping[str, object]) -> tuple[Exchange, ...]:
    """Exchanges in the order of ``exchanges.csv``; alternatives (``a|b``) are written out, the first one first.

    Parameters
    ----------
    folder : Path
        Where the file is.
    foods : mapping
        Ids that may be named.

    Raises
    ------
    CompositionError
        If a cell cannot be used; the error names file, line and column.
    """
    found: list[Exchange] = []
    keys: set[str] = set()
    for row in rows(folder, "exchanges.csv", _COLUMNS):
        key = row.required("key")
        if key in keys:
            raise row.error("key", _("“{word}” stands here twice.", word=key))
        keys.add(key)
        for by in product(*(part.split("|") for part in row.required("by").split(";"))):
            for food_id in by:
                row.check("by", food_id, foods)
            found.append(_exchange(row, key, by, foods))
    return tuple(found)


def _exchange(row: Row, key: str, by: tuple[str, ...], foods: Mapping[str, object]) -> Exchange:
    row.required("replaces")
    replaces = row.words("replaces")
    for food_id in replaces:
        row.check("replaces", food_id, foods)
    return Exchange(
        key,
        replaces,
        by,
        _amounts(row, len(by)),
        cast(Purpose, row.choice("purpose", frozenset(get_args(Purpose)))),
        row.choice("needs_heat", frozenset(("", "yes"))) == "yes",
        row.number("up_to_percent", low=1.0, high=100.0),
        row.words("loses", frozenset(LOSSES)),
        row.text("trial"),
        row.text("source"),
        row.text("note"),
    )


def _amounts(row: Row, wanted: int) -> tuple[float | str, ...]:
    cells = row.required("amounts").split(";")
    if len(cells) != wanted:
        raise row.error("amounts", _("{n} amounts where {wanted} foods are named.", n=len(cells), wanted=wanted))
    found: list[float | str] = []
    for cell in cells:
        if cell.startswith("="):
            found.append(row.check("amounts", cell[1:], frozenset(MATCHED)))
            continue
        try:
            grams = float(cell)
        except ValueError:
            grams = -1.0
        if not 0.0 < grams <= 1000.0:
            raise row.error(
                "amounts",
                _("“{text}” is no amount.", text=cell),
                _("Write grams for 100 g of what is replaced, or =FAT to bring as much fat."),
            )
        found.append(grams)
    return tuple(found)


@cache
def exchanges() -> tuple[Exchange, ...]:
    """Exchanges of the bundled table."""
    return read_exchanges(paths.ingredient_db(), bundled_foods())


@cache
def exchanges_for(food_id: str, purpose: Purpose = "") -> tuple[Exchange, ...]:
    """Exchanges that replace an ingredient, in the order of the file; those that would put it back are left out."""
    return tuple(
        exchange
        for exchange in exchanges()
        if exchange.purpose == purpose and food_id in exchange.replaces and food_id not in exchange.by
    )
