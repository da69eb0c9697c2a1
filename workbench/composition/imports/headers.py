"""What a column is taken for: its words become a target and a unit."""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from workbench.base.errors import WorkbenchError
from workbench.base.nearest import nearest
from workbench.base.text import N_, _
from workbench.base.units import UNITS
from workbench.composition.components import COMPONENTS
from workbench.composition.imports.header_words import (
    CARBOHYDRATE,
    DRY_MATTER,
    ENERGY,
    ENERGY_KJ,
    FACTS,
    PHRASES,
    SALT,
    TAG_ALIASES,
    TARGETS,
    USDA_NUMBERS,
    phrase,
)
from workbench.composition.imports.layout import Column
from workbench.science.energy import KJ_PER_KCAL

_UNIT = r"kj|kcal|kg|mg|mcg|µg|μg|ug|g|%|iu|ie|mmol"
_IN_BRACKETS = re.compile(
    rf"[(\[]\s*(?P<unit>{_UNIT})\s*(?:(?:/|per|pro|por|je|in)\s*100\s*(?P<per>g|ml))?\s*[)\]]", re.IGNORECASE
)
_AT_END = re.compile(
    rf"(?:[,;:/_]\s*|\s+)(?P<unit>{_UNIT})\s*(?:(?:/|per|pro|por|je)\s*100\s*(?P<per>g|ml))?\s*$", re.IGNORECASE
)
_PER = re.compile(r"[(\[,]?\s*(?:/|per|pro|por|je)\s*100\s*(?P<per>g|ml)\s*[)\]]?", re.IGNORECASE)
_SPREAD = re.compile(r"(?P<tag>.+?)(?:_(?P<short>sd|se|n)|\s*[(\[]?\b(?P<long>sd|se)\b[)\]]?)$", re.IGNORECASE)
_SPELLED = {"µg": "µg", "μg": "µg", "ug": "µg", "mcg": "µg", "kj": "kJ", "iu": "IU", "ie": "IU"}
# Units that figures of a target are kept in where it is no component.
_KEPT_IN = {ENERGY_KJ: "kcal", ENERGY: "kcal", CARBOHYDRATE: "g", SALT: "g", DRY_MATTER: "g"}
UNKNOWN_UNIT = N_("the unit does not fit")


class Meaning(NamedTuple):
    """Target, unit and rank of a column; ``per`` is "100ml" where its words say so."""

    target: str
    unit: str = ""
    rank: int = 0
    per: str = ""


NOTHING = Meaning("")


def spelled(unit: str) -> str:
    """A unit as this program writes it."""
    small = unit.strip().casefold().replace("μ", "µ")
    return _SPELLED.get(small, small)


def meaning(text: str, unit: str = "") -> Meaning:
    """What a column, line or component with these words is.

    Parameters
    ----------
    text : str
        Its words: a tagname, a USDA number, or plain words in English, German or Spanish, perhaps with a unit.
    unit : str
        The unit where another cell says it.
    """
    name = " ".join(text.split())
    direct = _by_tag(name)
    if direct is not None:
        return direct._replace(unit=spelled(unit))
    spread = _SPREAD.fullmatch(name)
    if spread is not None:
        about = meaning(spread["tag"])
        if about.target in COMPONENTS:
            return Meaning(f"{(spread['short'] or spread['long']).lower()}:{about.target}", about.unit or spelled(unit))
    found = _IN_BRACKETS.search(name) or _AT_END.search(name)
    rest, per = name, ""
    if found is not None:
        rest, unit, per = name[: found.start()] + " " + name[found.end() :], unit or found["unit"], found["per"] or ""
    elif (said := _PER.search(name)) is not None:
        rest, per = name[: said.start()] + " " + name[said.end() :], said["per"]
    rest = " ".join(rest.split()).strip(" ,;:/_-")
    by_tag = _by_tag(rest)
    target, rank = (by_tag.target, by_tag.rank) if by_tag is not None else (PHRASES.get(phrase(rest), ""), 0)
    unit = spelled(unit)
    if target == ENERGY and unit in ("kJ", "kcal"):
        target = ENERGY_KJ if unit == "kJ" else "ENERC_KCAL"
    return Meaning(target, unit, rank, "100ml" if per.casefold() == "ml" else "") if target else NOTHING


def _by_tag(name: str) -> Meaning | None:
    if name == "mg":  # a unit, where magnesium would be "Mg" or "MG"
        return None
    upper = name.upper().replace("-", "").removeprefix("<").removesuffix(">")
    if upper in COMPONENTS:
        return Meaning(upper)
    if upper in TAG_ALIASES:
        return Meaning(TAG_ALIASES[upper][0], rank=TAG_ALIASES[upper][1])
    if name in USDA_NUMBERS:
        return Meaning(USDA_NUMBERS[name][0], rank=USDA_NUMBERS[name][1])
    return None


def factor(target: str, unit: str) -> float | None:
    """What figures in ``unit`` are multiplied by to be in the unit of ``target``; None where the unit does not fit."""
    kept = COMPONENTS[target].unit if target in COMPONENTS else _KEPT_IN.get(target, "")
    unit = spelled(unit)
    if target == ENERGY_KJ and unit in ("", "kJ"):
        return 1.0 / KJ_PER_KCAL
    if not unit or unit == kept:
        return 1.0
    if kept == "kcal":
        return 1.0 / KJ_PER_KCAL if unit == "kJ" else None
    if unit == "%":
        unit = "g"  # of 100 g
    known = UNITS.get(unit)
    return known.factor / UNITS[kept].factor if known is not None and known.kind == "mass" and kept in UNITS else None


def columns(headers: Sequence[str], units: Sequence[str] = ()) -> tuple[list[Column], str]:
    """What each column is taken for, and "100ml" where one says that it is per that.

    A column that has the target and rank of an earlier one is left out.
    """
    found: list[Column] = []
    taken: set[tuple[str, int]] = set()
    keys: dict[str, int] = {}
    per = ""
    for at, text in enumerate(headers):
        key = " ".join(text.split()) or _("column {n}", n=at + 1)
        keys[key] = keys.get(key, 0) + 1
        key = key if keys[key] == 1 else f"{key} ({keys[key]})"
        what = meaning(text, units[at] if at < len(units) else "")
        per = per or what.per
        why = ""
        if what.target and (what.target, what.rank) in taken:
            why = N_("an earlier column is the same")
        elif is_amount(what.target) and factor(what.target, what.unit) is None:
            why = UNKNOWN_UNIT
        else:
            taken.add((what.target, what.rank))
        found.append(Column(key, what.target, what.unit, what.rank, why))
    return found, per


def is_amount(target: str) -> bool:
    """Whether figures of this target are amounts of a component."""
    return bool(target) and target not in FACTS and ":" not in target


def overridden(found: Iterable[Column], chosen: Mapping[str, str]) -> tuple[Column, ...]:
    """Columns with the user's own choices: ``target`` or ``target:unit`` by column, "" to leave one out.

    Raises
    ------
    WorkbenchError
        If there is no such column or target, or the unit does not fit.
    """
    by_key = {column.key: column for column in found}
    for key, text in chosen.items():
        if key not in by_key:
            raise WorkbenchError(
                _("The table has no column “{name}”.", name=key),
                hint=_("Nearest: {name}.", name=nearest(key, by_key) or "–"),
            )
        by_key[key] = _chosen(key, text)
    taken = {(c.target, c.rank) for c in by_key.values() if c.key in chosen}
    return tuple(
        c._replace(why_not=N_("another column was chosen"))
        if c.key not in chosen and c.target and (c.target, c.rank) in taken
        else c
        for c in by_key.values()
    )


def _chosen(key: str, text: str) -> Column:
    target, _sign, unit = text.partition(":")
    if not target:
        return Column(key)
    what = meaning(target)
    wanted = target if target in TARGETS else what.target
    if not wanted:
        raise WorkbenchError(
            _("“{name}” is no component.", name=target),
            hint=_("Nearest: {name}.", name=nearest(target, [*COMPONENTS, *FACTS]) or ", ".join(COMPONENTS)),
        )
    if is_amount(wanted) and factor(wanted, unit) is None:
        raise WorkbenchError(
            _("“{unit}” does not fit {name}.", unit=unit, name=wanted), hint=_("Use g, mg, µg, kJ or kcal.")
        )
    return Column(key, wanted, spelled(unit))
