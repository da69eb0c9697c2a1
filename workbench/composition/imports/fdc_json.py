"""USDA FoodData Central as JSON: one food after the other, so that a release of 200 MB needs the memory of one food."""

import codecs
import json
import re
from collections.abc import Iterator, Mapping
from itertools import islice
from typing import Any

from workbench.base.text import _
from workbench.composition.food import Kind, Value
from workbench.composition.imports import findings, usda
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.figures import Take, take_of
from workbench.composition.imports.layout import Column, Draft, ImportFailure, Layout
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Meter, encoding_of

_LONGEST_FOOD = 32_000_000  # characters
_LONGEST_STRING = 1_000_000
_LOOKED_AT = 60  # foods, for the list of nutrients
_LIST = re.compile(r'\s*(?:\{\s*"(?P<key>[^"]{1,60})"\s*:\s*)?\[')
_SPACE = re.compile(r"[\s,]*")
_LISTS = re.compile(r"(foods|.*foods)", re.IGNORECASE)

Plain = Mapping[str, Any]


def find(bundle: Bundle) -> Layout | None:
    """The layout, if this is such a file."""
    names = [name for name in bundle.names if name.endswith(".json")]
    if len(names) != 1:
        return None
    columns: dict[str, Column] = {}
    seen = 0
    for food in islice(_foods(bundle, names[0]), _LOOKED_AT):
        for nutrient in _nutrients(food):
            column = _column(nutrient)
            if column is not None:
                columns.setdefault(column.key, column)
        seen += "foodNutrients" in food
    if not seen and len(bundle.names) > 1:
        return None  # a file that describes the package, beside the table
    if not seen:
        raise ImportFailure(
            _("This JSON holds no list of foods with foodNutrients."), where=names[0],
            hint=_("Take a JSON download of FoodData Central, or save the table as CSV or XLSX."),
        )  # fmt: skip
    return Layout("fdc_json", "USDA FoodData Central", "fdc", tuple(columns.values()), read=(names[0],))


def _foods(bundle: Bundle, name: str, meter: Meter | None = None) -> Iterator[Plain]:
    """Every object of the list, decoded on its own."""
    with bundle.open(name) as stream:
        size = 1 << 17
        head = stream.read(size)
        encoding = encoding_of(head, name)
        decoder = codecs.getincrementaldecoder(encoding)(errors="replace")
        text, at_end = decoder.decode(head), False
        found = _LIST.match(text)
        single = found is None or (found["key"] is not None and _LISTS.fullmatch(found["key"]) is None)
        at = 0 if found is None or single else found.end()
        decode = json.JSONDecoder().raw_decode
        while True:
            space = _SPACE.match(text, at)
            at = space.end() if space is not None else at
            if at < len(text) and text[at] in "]}":
                return
            try:
                food, at = decode(text, at)
            except RecursionError:
                raise _broken(name, _("it is nested too deeply")) from None
            except json.JSONDecodeError as error:
                if at_end and at >= len(text.rstrip()):
                    return
                if at_end or error.pos < len(text) - _LONGEST_STRING or len(text) - at > _LONGEST_FOOD:
                    raise _broken(name, str(error)) from None
                block = stream.read(max(size, len(text) - at))
                text, at, at_end = text[at:] + decoder.decode(block, final=not block), 0, not block
                if meter is not None:
                    meter.add(len(block))
                continue
            if not isinstance(food, dict):
                raise _broken(name, _("the list holds something that is no food"))
            yield food
            if single:
                return


def _broken(name: str, reason: str) -> ImportFailure:
    return ImportFailure(
        _("The JSON cannot be read: {reason}", reason=reason), where=name,
        hint=_("It may be cut off; fetch it again."),
    )  # fmt: skip


def _nutrients(food: Plain) -> Iterator[Plain]:
    found = food.get("foodNutrients")
    return (nutrient for nutrient in found if isinstance(nutrient, dict)) if isinstance(found, list) else iter(())


def _column(nutrient: Plain) -> Column | None:
    """The nutrient in any of the three shapes: full, abridged, from a search."""
    inner = nutrient.get("nutrient")
    said = inner if isinstance(inner, dict) else nutrient
    number = said.get("number") or said.get("nutrientNumber")
    name, unit = said.get("name") or said.get("nutrientName"), said.get("unitName")
    if number is None or name is None:
        return None
    fdc_id = said.get("id") or said.get("nutrientId") or ""
    return usda.nutrient_column(str(number), str(name), str(unit or ""), str(fdc_id))


def drafts(
    bundle: Bundle, layout: Layout, source: str, tally: Tally, meter: Meter, comma: bool | None
) -> Iterator[Draft]:
    """Foods in the order of the file."""
    del comma  # JSON has decimal points
    by_key = {column.key: column for column in layout.columns}
    takes: dict[str, Take | None] = {}
    seen: set[str] = set()
    for food in _foods(bundle, layout.read[0], meter):
        tally.rows += 1
        code, name = str(food.get("fdcId", "")), " ".join(str(food.get("description") or "").split())
        if code in seen or not code:
            tally.note(findings.SAME_CODE, f"{code} {name[:40]}")
            continue
        seen.add(code)
        usual: Kind = "label" if str(food.get("dataType", "")).casefold() == "branded" else "measured"
        values: dict[str, Value] = {}
        ranks: dict[str, int] = {}
        for nutrient in _nutrients(food):
            column = _column(nutrient)
            if column is None:
                continue
            if column.key not in takes:
                takes[column.key] = take_of(by_key.get(column.key, column))
            take = takes[column.key]
            if take is not None:
                _put(values, ranks, take, nutrient, usual, source, code, name, tally)
        yield Draft(
            code, name, values, group=_group(food), also=(str(food["brandOwner"]),) if food.get("brandOwner") else (),
            per_100_ml=str(food.get("servingSizeUnit", "")).casefold() in ("ml", "mlt"),
            nitrogen_factor=_nitrogen_factor(food), measures=usda.measures(_portions(food), source, code, tally, name),
            where=_("food {code}", code=code),
        )  # fmt: skip


def _put(
    values: dict[str, Value], ranks: dict[str, int], take: Take, nutrient: Plain, usual: Kind, source: str, code: str,
    name: str, tally: Tally,
) -> None:  # fmt: skip
    amount = nutrient.get("amount", nutrient.get("value"))
    if amount is None:
        tally.blanks += 1
        return
    if not isinstance(amount, int | float) or isinstance(amount, bool):
        tally.note(findings.UNREADABLE, f"{name[:40]}, {take.tag}: {str(amount)[:30]}")
        return
    if take.tag in values:
        if ranks[take.tag] == take.rank:
            tally.note(findings.SAME_VALUE, f"{name[:40]}, {take.tag}")
        if ranks[take.tag] <= take.rank:
            return
    derivation = nutrient.get("foodNutrientDerivation")
    derived = derivation.get("code") if isinstance(derivation, dict) else nutrient.get("derivationCode")
    kind = usda.kind_of(str(derived), usual) if derived else usual
    n = nutrient.get("dataPoints")
    ranks[take.tag] = take.rank
    values[take.tag] = Value(
        take.amount(float(amount)), take.kind if kind == "measured" else kind, source, code, "",
        int(n) if isinstance(n, int | float) and n > 0 else None, None, take.note,
    )  # fmt: skip


def _group(food: Plain) -> str:
    for key in ("foodCategory", "wweiaFoodCategory", "brandedFoodCategory"):
        found = food.get(key)
        text = (
            found.get("description") or found.get("wweiaFoodCategoryDescription") if isinstance(found, dict) else found
        )
        if isinstance(text, str):
            return text
    return ""


def _nitrogen_factor(food: Plain) -> float | None:
    found = food.get("nutrientConversionFactors")
    for factor in found if isinstance(found, list) else ():
        if isinstance(factor, dict) and "Protein" in str(factor.get("type")):
            value = factor.get("value")
            return float(value) if isinstance(value, int | float) and value > 0 else None
    return None


def _portions(food: Plain) -> Iterator[tuple[str, float | None, float | None]]:
    found = food.get("foodPortions")
    for portion in found if isinstance(found, list) else ():
        if not isinstance(portion, dict):
            continue
        unit = portion.get("measureUnit")
        name = str(unit.get("name") or "") if isinstance(unit, dict) else ""
        words = str(portion.get("portionDescription") or portion.get("modifier") or "")
        amount, grams = portion.get("amount", portion.get("value")), portion.get("gramWeight")
        yield (
            " ".join(part for part in ("" if name == "undetermined" else name, words) if part),
            float(amount) if isinstance(amount, int | float) else None,
            float(grams) if isinstance(grams, int | float) else None,
        )
