"""The USDA's older text files: FOOD_DES, NUT_DATA, NUTR_DEF, WEIGHT and FD_GROUP, carets between, tildes around.

Fields stand in the order of "Composition of Foods: Documentation and User Guide", Release 26, 2013.
"""

from collections.abc import Iterator

from workbench.base.text import _
from workbench.composition.food import Kind, Value
from workbench.composition.imports import findings, usda
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.figures import Take, number, take_of
from workbench.composition.imports.layout import Column, Draft, ImportFailure, Layout
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Meter, Shape, rows

_SHAPE = Shape("iso-8859-1", "^")
_FOOD, _DATA, _DEFINITION, _WEIGHT, _GROUP = (
    "food_des.txt",
    "nut_data.txt",
    "nutr_def.txt",
    "weight.txt",
    "fd_group.txt",
)
# Source codes (Src_Cd) that are not analyses; 4 is imputed, from the food in Ref_NDB_No if there is one.
_KINDS: dict[str, Kind] = {"4": "calculated", "5": "label", "7": "assumed_zero", "8": "label", "9": "label"}


def find(bundle: Bundle) -> Layout | None:
    """The layout, if these are such files.

    Raises
    ------
    ImportFailure
        If a file that is needed is missing.
    """
    here = [name for name in (_FOOD, _DATA, _DEFINITION, _WEIGHT, _GROUP) if name in bundle.names]
    if not here:
        return None
    missing = [name for name in (_FOOD, _DATA, _DEFINITION) if name not in here]
    if missing:
        raise ImportFailure(
            _("The file {name} is missing.", name=missing[0].upper()), where=bundle.path.name,
            hint=_("Take the whole folder or zip as it was published."),
        )  # fmt: skip
    columns = tuple(column for _number, column in _nutrients(bundle))
    return Layout("standard_reference", "USDA standard reference", "sr", columns, read=tuple(here))


def _read(bundle: Bundle, name: str, least: int, tally: Tally, meter: Meter | None = None) -> Iterator[list[str]]:
    for row in rows(bundle, name, _SHAPE, tally, meter, "~"):
        if len(row) >= least:
            yield row
        elif row and row != [""]:
            tally.note(findings.UNREADABLE, f"{name.upper()}: {'^'.join(row)[:50]}")


def _nutrients(bundle: Bundle) -> Iterator[tuple[str, Column]]:
    for row in _read(bundle, _DEFINITION, 4, Tally()):
        yield row[0], usda.nutrient_column(row[0], row[3], row[1])


def drafts(
    bundle: Bundle, layout: Layout, source: str, tally: Tally, meter: Meter, comma: bool | None
) -> Iterator[Draft]:
    """Foods in the order of FOOD_DES."""
    del comma  # these files have decimal points
    by_key = {column.key: column for column in layout.columns}
    takes: dict[str, Take] = {}
    for nbr, column in _nutrients(bundle):
        take = take_of(by_key.get(column.key, column))
        if take is not None:
            takes[nbr] = take
    foods: dict[str, list[str]] = {}
    for row in _read(bundle, _FOOD, 3, tally, meter):
        tally.rows += 1
        if row[0] in foods:
            tally.note(findings.SAME_CODE, f"{row[0]} {row[2][:40]}")
        else:
            foods[row[0]] = row
    stored = _values(bundle, foods, takes, source, tally, meter)
    groups = {row[0]: row[1] for row in _read(bundle, _GROUP, 2, tally)} if _GROUP in bundle.names else {}
    portions: dict[str, list[tuple[str, float | None, float | None]]] = {}
    for row in _read(bundle, _WEIGHT, 5, tally, meter) if _WEIGHT in bundle.names else ():
        portions.setdefault(row[0], []).append((row[3], number(row[2]), number(row[4])))
    for code, row in foods.items():
        row = row + [""] * (14 - len(row))
        refuse = number(row[8])
        yield Draft(
            code, row[2], stored.pop(code, {}), group=groups.get(row[1], ""),
            also=tuple(text for text in (row[4], row[9]) if text), nitrogen_factor=number(row[10]) or None,
            edible_fraction=1.0 - refuse / 100.0 if refuse else None,
            bought_as=_("with {waste}", waste=row[7]) if row[7] else "",
            measures=usda.measures(portions.get(code, ()), source, code, tally, row[2]),
            where=_("food {code}", code=code),
        )  # fmt: skip


def _values(
    bundle: Bundle, foods: dict[str, list[str]], takes: dict[str, Take], source: str, tally: Tally, meter: Meter
) -> dict[str, dict[str, Value]]:
    found: dict[str, dict[str, Value]] = {}
    ranks: dict[tuple[str, str], int] = {}
    for row in _read(bundle, _DATA, 3, tally, meter):
        take, code = takes.get(row[1]), row[0]
        if take is None:
            continue
        if code not in foods:
            tally.note(findings.UNKNOWN_FOOD, code)
            continue
        amount = number(row[2])
        if amount is None:
            tally.note(findings.UNREADABLE, f"{code}, {take.column.key}: {row[2][:30]}")
            continue
        values = found.setdefault(code, {})
        if take.tag in values:
            if ranks[code, take.tag] == take.rank:
                tally.note(findings.SAME_VALUE, f"{code}, {take.tag}")
            if ranks[code, take.tag] <= take.rank:
                continue
        ranks[code, take.tag] = take.rank
        values[take.tag] = _value(row + [""] * (12 - len(row)), take, amount, source, code)
    return found


def _value(row: list[str], take: Take, amount: float, source: str, code: str) -> Value:
    n = number(row[3])
    samples = int(n) if n else None
    sd = usda.spread(number(row[4]), samples, number(row[10]), number(row[11]))
    kind = _KINDS.get(row[5], "measured")
    if kind == "calculated" and row[7]:
        kind = "borrowed"
    note = _("from food {code}", code=row[7]) if kind == "borrowed" else take.note
    return Value(
        take.amount(amount), take.kind if kind == "measured" else kind, source, code, "", samples,
        sd * take.factor if sd is not None else None, note,
    )  # fmt: skip
