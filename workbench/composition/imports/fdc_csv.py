"""USDA FoodData Central as CSV files: a folder or zip with food.csv, food_nutrient.csv, nutrient.csv and companions.

Columns are found by their headers, whatever their order and number.  ``fdc_values`` reads the long file.
"""

from collections.abc import Iterator
from operator import itemgetter
from typing import NamedTuple

from workbench.base.text import _
from workbench.composition.food import Kind
from workbench.composition.imports import fdc_values, findings, usda
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.figures import Take, number, take_of
from workbench.composition.imports.header_words import FDC_IDS
from workbench.composition.imports.layout import Column, Draft, ImportFailure, Layout
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Header, Meter, Shape, rows, shape_of

_FOODS = frozenset(
    ("foundation_food", "sr_legacy_food", "survey_fndds_food", "branded_food", "experimental_food", "")
)  # fmt: skip
_NEEDED = ("food.csv", "food_nutrient.csv")
_SIGNS = frozenset((*_NEEDED, "nutrient.csv", "food_portion.csv", "branded_food.csv"))
_MILLILITRES = frozenset(("ml", "mlt"))


def find(bundle: Bundle) -> Layout | None:
    """The layout, if these are such files.

    Raises
    ------
    ImportFailure
        If a file that is needed is missing.
    """
    here = _SIGNS.intersection(bundle.names)
    if len(here) < 2 and not (here and bundle.path.is_dir()):
        return None
    missing = [name for name in _NEEDED if name not in bundle.names]
    if missing:
        raise ImportFailure(
            _("The file {name} is missing.", name=missing[0]), where=bundle.path.name,
            hint=_("Take the whole folder or zip as it was published."),
        )  # fmt: skip
    columns = [column for _id, column in _nutrients(bundle, Tally())]
    return Layout("fdc_csv", "USDA FoodData Central", "fdc", tuple(columns), read=tuple(sorted(here)))


def _nutrients(bundle: Bundle, tally: Tally) -> Iterator[tuple[str, Column]]:
    if "nutrient.csv" not in bundle.names:
        known = {column.key: column for column in usda.known_columns()}
        yield from ((fdc_id, known[nbr]) for fdc_id, nbr in FDC_IDS.items() if nbr in known)
        return
    table = _Table(bundle, "nutrient.csv", tally, ("id", "name", "unit_name"), ("nutrient_nbr",))
    for fdc_id, name, unit, nbr in table:
        yield fdc_id, usda.nutrient_column(nbr, name, unit, fdc_id)


class _Table:
    """Chosen cells of a file, by header; "" where a column that may be missing is, or a row is short."""

    def __init__(
        self, bundle: Bundle, name: str, tally: Tally, needed: tuple[str, ...], maybe: tuple[str, ...] = (),
        meter: Meter | None = None,
    ) -> None:  # fmt: skip
        shape = Shape(shape_of(bundle, name, ",").encoding, ",")
        self._rows = rows(bundle, name, shape, tally, meter)
        header = Header(next(self._rows, []), name)
        self._at = (*header.need(*needed), *(header.get(column) for column in maybe))
        self._last = max(self._at)

    def __iter__(self) -> Iterator[tuple[str, ...]]:
        at, last = self._at, self._last
        pick = itemgetter(*at) if min(at) >= 0 else None
        for row in self._rows:
            if pick is not None and len(row) > last:
                yield pick(row)
            elif len(row) > last:
                yield tuple([row[k] if k >= 0 else "" for k in at])
            elif len(row) > 1:
                yield tuple(row[k] if 0 <= k < len(row) else "" for k in at)


class _Head(NamedTuple):
    name: str
    category: str
    kind: Kind


def drafts(
    bundle: Bundle, layout: Layout, source: str, tally: Tally, meter: Meter, comma: bool | None
) -> Iterator[Draft]:
    """Foods in the order of food.csv."""
    del comma  # these files have decimal points
    by_key = {column.key: column for column in layout.columns}
    takes: list[Take] = []
    place_of: dict[str, int] = {}
    for fdc_id, column in _nutrients(bundle, tally):
        take = take_of(by_key.get(column.key, column))
        if take is not None:
            place_of[fdc_id] = len(takes)
            takes.append(take)
    heads, others = _heads(bundle, tally, meter)
    stored = fdc_values.read(bundle, place_of, takes, tally, meter)
    for code, n in stored.codes():
        if code not in heads and code not in others:
            tally.note(findings.UNKNOWN_FOOD, code, count=n)
    for code, tag in stored.twice:
        tally.note(findings.SAME_VALUE, f"{code}, {tag}")
    maker = fdc_values.ValueMaker(stored, _codes(bundle, tally), source)
    groups = _by_id(bundle, "food_category.csv", "description", tally)
    factors = _nitrogen_factors(bundle, tally)
    volumes, brands, servings = _branded(bundle, tally, meter)
    portions = _portions(bundle, tally, meter)
    for code, head in heads.items():
        group = groups.get(head.category, "" if head.category.isdigit() else head.category)
        values = maker.values(code, head.kind)
        brand = brands.get(code, "")
        measures = usda.measures((*portions.get(code, ()), *servings.get(code, ())), source, code, tally, head.name)
        yield Draft(
            code,
            head.name,
            values,
            group=group,
            also=(brand,) if brand else (),
            per_100_ml=code in volumes,
            nitrogen_factor=factors.get(code),
            measures=measures,
            where="" if head.name else _("food {code}", code=code),
            looked_at=code not in stored.doubtful,
        )


def _heads(bundle: Bundle, tally: Tally, meter: Meter) -> tuple[dict[str, _Head], set[str]]:
    heads: dict[str, _Head] = {}
    others: set[str] = set()
    for code, name, kind, category in _Table(
        bundle, "food.csv", tally, ("fdc_id", "description"), ("data_type", "food_category_id"), meter
    ):
        if kind not in _FOODS:
            others.add(code)
        elif code in heads:
            tally.rows += 1
            tally.note(findings.SAME_CODE, f"{code} {name[:40]}")
        else:
            tally.rows += 1
            heads[code] = _Head(" ".join(name.split()), category, "label" if kind == "branded_food" else "measured")
    if others:
        tally.note(findings.NOT_FOODS, count=len(others))
    return heads, others


def _codes(bundle: Bundle, tally: Tally) -> dict[int, str]:
    found = _by_id(bundle, "food_nutrient_derivation.csv", "code", tally)
    return {int(key): code for key, code in found.items() if key.isdigit()}


def _by_id(bundle: Bundle, name: str, column: str, tally: Tally) -> dict[str, str]:
    """One column of a small companion by id; nothing where the file is missing."""
    if name not in bundle.names:
        return {}
    return {row[0]: row[1] for row in _Table(bundle, name, tally, ("id", column))}


def _nitrogen_factors(bundle: Bundle, tally: Tally) -> dict[str, float]:
    of_food = _by_id(bundle, "food_nutrient_conversion_factor.csv", "fdc_id", tally)
    name = "food_protein_conversion_factor.csv"
    if not of_food or name not in bundle.names:
        return {}
    found = {}
    for key, text in _Table(bundle, name, tally, ("food_nutrient_conversion_factor_id", "value")):
        factor = number(text)
        if key in of_food and factor:
            found[of_food[key]] = factor
    return found


_Portion = tuple[str, float | None, float | None]


def _branded(
    bundle: Bundle, tally: Tally, meter: Meter
) -> tuple[frozenset[str], dict[str, str], dict[str, list[_Portion]]]:
    """Foods given per 100 ml, makers, and servings in grams."""
    volumes: set[str] = set()
    brands: dict[str, str] = {}
    servings: dict[str, list[_Portion]] = {}
    if "branded_food.csv" not in bundle.names:
        return frozenset(), brands, servings
    maybe = ("brand_owner", "serving_size", "serving_size_unit", "household_serving_fulltext")
    for code, brand, size, unit, words in _Table(bundle, "branded_food.csv", tally, ("fdc_id",), maybe, meter):
        if unit.strip().casefold() in _MILLILITRES:
            volumes.add(code)
        elif words and (grams := number(size)):
            servings[code] = [(words, 1.0, grams)]
        if brand:
            brands[code] = " ".join(brand.split())
    return frozenset(volumes), brands, servings


def _portions(bundle: Bundle, tally: Tally, meter: Meter) -> dict[str, list[_Portion]]:
    if "food_portion.csv" not in bundle.names:
        return {}
    units = _by_id(bundle, "measure_unit.csv", "name", tally)
    found: dict[str, list[_Portion]] = {}
    names: dict[tuple[str, str], str] = {}
    maybe = ("amount", "measure_unit_id", "portion_description", "modifier")
    for code, grams, amount, unit_id, words, modifier in _Table(
        bundle, "food_portion.csv", tally, ("fdc_id", "gram_weight"), maybe, meter
    ):
        key = (unit_id, words or modifier)
        name = names.get(key)
        if name is None:
            unit = units.get(unit_id, "")
            name = names[key] = f"{'' if unit == 'undetermined' else unit} {words or modifier}".strip()
        found.setdefault(code, []).append((name, number(amount), number(grams)))
    return found
