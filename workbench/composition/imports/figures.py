"""From the cells of one food to its values: which column wins, what its unit makes of a figure, what "less than" is."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from workbench.base.text import N_
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Kind, Value
from workbench.composition.imports import findings
from workbench.composition.imports.cells import Cell, read_cell
from workbench.composition.imports.header_words import DRY_MATTER, ENERGY, ENERGY_KJ, SALT, UNSETTLED
from workbench.composition.imports.headers import factor, is_amount, spelled
from workbench.composition.imports.layout import Column
from workbench.composition.imports.tally import Tally
from workbench.science.energy import salt_g

# By difference, or from other figures, in the tables of the USDA and in IFCT 2017 alike.
COMPUTED_BY_THE_PUBLISHER = frozenset(("CHOCDF", "CHOAVLDF", "ENERC_KCAL"))
_FROM = {
    ENERGY_KJ: ("ENERC_KCAL", N_("the table states kJ: 1 kcal is 4.184 kJ")),
    SALT: ("NA", N_("from salt: sodium is salt / 2.5")),
    DRY_MATTER: ("WATER", N_("100 g less dry matter")),
}
_AFTER_THE_DIRECT = 10  # added to the rank of a column that a figure has to be computed from


class Take(NamedTuple):
    """What one column gives: ``tag`` is amount x ``factor``, or 100 less that."""

    column: Column
    tag: str
    factor: float
    rank: int
    kind: Kind
    note: str = ""

    @property
    def from_whole(self) -> bool:
        return self.column.target == DRY_MATTER

    def amount(self, figure: float) -> float:
        """A figure of the column in the unit of the component."""
        return 100.0 - figure * self.factor if self.from_whole else figure * self.factor


def take_of(column: Column, kind: Kind = "measured") -> Take | None:
    """What a column gives; None where it is left out or holds no amounts."""
    target = column.target
    if column.why_not or not is_amount(target) or target in UNSETTLED:
        return None
    times = factor(target, column.unit)
    if times is None:
        return None
    tag, note = _FROM.get(target, (target, ""))
    if target == SALT:
        times *= 1.0 / salt_g(1.0)
    computed = bool(note) or tag in COMPUTED_BY_THE_PUBLISHER
    rank = column.rank + (_AFTER_THE_DIRECT if note else 0)
    return Take(column, tag, times, rank, "calculated" if computed and kind == "measured" else kind, note)


def settled(columns: Iterable[Column], carbohydrate: str, energy: str) -> tuple[Column, ...]:
    """Columns whose meaning had to be asked or looked up, with that meaning; ``carbohydrate`` may also turn a tag."""
    means = {"with_fibre": "CHOCDF", "without_fibre": "CHOAVLDF"}.get(carbohydrate, "")
    found = []
    for column in columns:
        if column.target == ENERGY and energy:
            column = column._replace(target=ENERGY_KJ if energy == "kJ" else "ENERC_KCAL", unit="")
        elif (
            means
            and column.target not in (means, "")
            and column.target in (*UNSETTLED - {ENERGY}, "CHOCDF", "CHOAVLDF")
        ):
            column = column._replace(target=means)
        found.append(column)
    return tuple(found)


class FigureReader:
    """Reads the cells of one food after the other."""

    def __init__(self, source: str, tally: Tally, comma: bool | None) -> None:
        self.source, self.tally, self.comma = source, tally, comma

    def put(
        self,
        values: dict[str, Value],
        limits: dict[str, float],
        take: Take,
        text: str,
        code: str,
        where: str,
        unit: str = "",
    ) -> None:
        """Read one cell into ``values`` or ``limits``; an earlier figure of the same component stays."""
        if take.tag in values or take.tag in limits:
            return
        cell = read_cell(text, self.comma)
        if cell.state == "blank":
            self.tally.blanks += 1
            return
        own = spelled(cell.unit or unit)
        if own and own != spelled(take.column.unit):
            times = take_of(take.column._replace(unit=own))
            if times is None:
                self.tally.note(findings.UNIT_DOES_NOT_FIT, f"{where}, {take.column.key}: {text[:30]} {unit}".rstrip())
                return
            take = take._replace(factor=times.factor)
        if cell.state in ("figure", "estimate"):
            if cell.state == "estimate":
                self.tally.note(findings.ESTIMATES, f"{where}, {take.column.key}: {text[:30]}")
            values[take.tag] = self._value(take, cell, code)
        elif cell.state == "limit" and not take.from_whole:
            limits[take.tag] = take.amount(cell.amount)
        elif cell.state == "trace" and not take.from_whole:
            limits[take.tag] = 10.0 ** -COMPONENTS[take.tag].decimals
            self.tally.note(findings.TRACES, f"{where}, {take.column.key}")
        else:
            kind = findings.AMBIGUOUS if cell.state == "ambiguous" else findings.UNREADABLE
            self.tally.note(kind, f"{where}, {take.column.key}: {text[:30]}")

    def _value(self, take: Take, cell: Cell, code: str) -> Value:
        kind: Kind = "borrowed" if cell.state == "estimate" else take.kind
        sd = None if cell.sd is None else cell.sd * take.factor
        return Value(take.amount(cell.amount), kind, self.source, code, "", None, sd, take.note)


@lru_cache(maxsize=2_000)  # weights and amounts of portions recur
def number(text: str, comma: bool | None = None) -> float | None:
    """A plain figure of a fact column; None where there is none."""
    cell = read_cell(text.strip(), comma)
    return cell.amount if cell.state in ("figure", "estimate") else None


def in_order(takes: Sequence[tuple[int, Take]]) -> list[tuple[int, Take]]:
    """Takes with their places, those that win first."""
    return sorted(takes, key=lambda found: found[1].rank)
