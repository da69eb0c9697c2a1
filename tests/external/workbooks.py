"""Workbooks for the outside check of the formulas: made, changed as a recipient would, recalculated, read back."""

import random
import re
import subprocess
import zipfile
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from pathlib import Path
from typing import NamedTuple
from xml.etree import ElementTree

import msgspec
import openpyxl

from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.document.project import (
    Assumptions,
    ByCount,
    ByWeight,
    FinalWater,
    FoodRef,
    Line,
    Loss,
    Project,
    Stage,
    Target,
    TargetSet,
    Typical,
    Unchanged,
    Variant,
    WaterLost,
    Weighed,
    WeightChoice,
)
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.preparation import prepare
from workbench.report.sheet import sheet_bytes

# LibreOffice keeps the values of files that other programs wrote, unless it is told to work everything out again.
_ALWAYS_RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">
<value>0</value></prop></item></oor:items>"""

Value = float | str
Cells = dict[tuple[str, str], Value]  # sheet and address


def recalculate(soffice: str, files: dict[str, bytes], folder: Path) -> dict[str, bytes]:
    """Every file as LibreOffice saves it after working it out; two LibreOffices share the work."""
    names = list(files)
    with ThreadPoolExecutor(2) as both:
        for done in [both.submit(_recalculate, soffice, files, names[k::2], folder / f"{k}") for k in range(2)]:
            done.result()
    return {name: (folder / f"{k % 2}" / "out" / f"{name}.xlsx").read_bytes() for k, name in enumerate(names)}


def _recalculate(soffice: str, files: dict[str, bytes], names: Sequence[str], folder: Path) -> None:
    profile = folder / "profile"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(_ALWAYS_RECALCULATE, "utf-8")
    paths = [folder / f"{name}.xlsx" for name in names]
    for name, path in zip(names, paths, strict=True):
        path.write_bytes(files[name])
    command = [soffice, f"-env:UserInstallation={profile.as_uri()}", "--headless", "--convert-to", "xlsx"]
    command += ["--outdir", str(folder / "out"), *map(str, paths)]
    if paths:
        subprocess.run(command, check=True, capture_output=True, timeout=60 + 10 * len(paths))


class Book(NamedTuple):
    """What the cells show, empty ones left out, and the formulas behind them."""

    values: Cells
    formulas: dict[tuple[str, str], str]


_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_LINK = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"


def read(content: bytes) -> Book:
    """Read a workbook as ECMA-376 Part 1 has it; openpyxl would take twenty times as long."""
    shown: Cells = {}
    behind: dict[tuple[str, str], str] = {}
    with zipfile.ZipFile(BytesIO(content)) as packed:
        parts = {link.get("Id"): link.get("Target") for link in _xml(packed, "xl/_rels/workbook.xml.rels")}
        shared = _xml(packed, "xl/sharedStrings.xml") if "xl/sharedStrings.xml" in packed.namelist() else ()
        texts = ["".join(t.text or "" for t in item.iter(f"{_MAIN}t")) for item in shared]
        for sheet in _xml(packed, "xl/workbook.xml").iter(f"{_MAIN}sheet"):
            name = str(sheet.get("name"))
            for cell in _xml(packed, f"xl/{parts[sheet.get(_LINK)]}").iter(f"{_MAIN}c"):
                place = (name, str(cell.get("r")))
                formula, text = cell.findtext(f"{_MAIN}f"), cell.findtext(f"{_MAIN}v")
                if formula is not None:
                    behind[place] = formula
                if text:
                    kind = cell.get("t", "n")
                    shown[place] = texts[int(text)] if kind == "s" else float(text) if kind == "n" else text
    return Book({place: value for place, value in shown.items() if value != ""}, behind)


def _xml(packed: zipfile.ZipFile, part: str) -> ElementTree.Element:
    return ElementTree.fromstring(packed.read(part))


class Comparison(NamedTuple):
    """How far two workbooks differ: largest relative deviation of their numbers, and the cells that do not agree."""

    deviation: float
    n_numbers: int
    apart: list[str]


def compare(expected: Cells, found: Cells, where: set[tuple[str, str]]) -> Comparison:
    """Numbers within a millionth, of those near zero a millionth of a thousandth; texts letter by letter."""
    deviation, n_numbers, apart = 0.0, 0, []
    for place in sorted(where):
        one, other = expected.get(place, ""), found.get(place, "")
        if isinstance(one, int | float) and isinstance(other, int | float):
            n_numbers += 1
            off = abs(one - other) / max(abs(one), 1e-3)
            deviation = max(deviation, off)
            if off <= 1e-6:
                continue
        elif one == other:
            continue
        apart.append(f"{place[0]}!{place[1]}: {one!r} expected, {other!r} found")
    return Comparison(deviation, n_numbers, apart)


def with_inputs(content: bytes, changes: dict[tuple[str, str], float]) -> bytes:
    """The workbook with other numbers in these cells, and nothing else touched: what was worked out is now stale."""
    names = openpyxl.load_workbook(BytesIO(content), read_only=True).sheetnames
    out = BytesIO()
    with zipfile.ZipFile(BytesIO(content)) as packed, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as written:
        for part in packed.namelist():
            data = packed.read(part)
            for (sheet, address), number in changes.items():
                if part == f"xl/worksheets/sheet{names.index(sheet) + 1}.xml":
                    pattern = rf'(<c r="{address}"[^>]*><v>)[^<]*(</v>)'
                    data, n = re.subn(pattern.encode(), rb"\g<1>%r\g<2>" % number, data)
                    assert n == 1, f"{sheet}!{address} holds no number"
            written.writestr(part, data)
    return out.getvalue()


def named(content: bytes, sheet: str) -> dict[str, str]:
    """Addresses by the names that a sheet gives them, without dollar signs."""
    with zipfile.ZipFile(BytesIO(content)) as packed:
        book = _xml(packed, "xl/workbook.xml")
    place = [str(one.get("name")) for one in book.iter(f"{_MAIN}sheet")].index(sheet)
    found = [name for name in book.iter(f"{_MAIN}definedName") if name.get("localSheetId") == str(place)]
    return {str(name.get("name")): str(name.text).rsplit("!", 1)[1].replace("$", "") for name in found}


# --- recipes ----------------------------------------------------------------------------------------------------------


def written(project: Project) -> bytes:
    """The workbook of all variants of a project."""
    return sheet_bytes(project, evaluations(project))


def evaluations(project: Project) -> list[Evaluation]:
    return [evaluate(prepare(project, variant)) for variant in project.variants]


def _weight(chance: random.Random) -> WeightChoice:
    choices: tuple[WeightChoice, ...] = (
        Weighed(in_g=chance.uniform(500, 2000), out_g=chance.uniform(500, 1500)),
        WaterLost(amount=chance.uniform(-80, 60)),
        WaterLost(amount=chance.uniform(-20, 12), unit="%"),
        FinalWater(percent=chance.uniform(10, 60)),
        Typical(),
        Unchanged(),
    )
    return chance.choice(choices)


_TARGETED = ("CHOAVLDF", "FIBTG", "FAT", "energy_kcal", "fructose_to_glucose", "K", "energy_from_fat", "SUGAR", "CAFFN")
_BASES = ("batch", "portion", "per_100g", "per_25g_carbohydrate", "per_hour")


def _targets(chance: random.Random) -> TargetSet:
    def one(k: int) -> Target:
        low, high = sorted((chance.uniform(0, 30), chance.uniform(0, 60)))
        shape = chance.choice(({"low": low}, {"high": high}, {"low": low, "high": high}, {"aim": low}))
        return Target(id=f"t{k}", quantity=chance.choice(_TARGETED), basis=chance.choice(_BASES), **shape)

    return TargetSet(id="targets", name="some", targets=tuple(one(k) for k in range(chance.randint(1, 6))))


def _forgetful(chance: random.Random, food: Food) -> Food:
    """A food of which some values are not known."""
    if chance.random() < 0.6:
        return food
    kept = {tag: value for tag, value in food.values.items() if chance.random() < 0.8}
    return msgspec.structs.replace(food, values=kept)


def random_project(seed: int) -> Project:
    """Two variants of bundled foods with gaps, in one to three stages; the second may hold the first."""
    chance = random.Random(seed)
    foods = {food.id: _forgetful(chance, food) for food in chance.sample(list(bundled_foods().values()), 10)}
    variants: list[Variant] = []
    for name in ("first", "second"):
        stages = []
        for k in range(chance.randint(1, 3)):
            losses = [Loss(kind=kind, percent=chance.uniform(1, 9)) for kind in ("fat_left", "drained")]
            stages.append(
                Stage(id=f"s{k}", weight=_weight(chance), losses=tuple(losses[: chance.choice((0, 0, 1, 2))]))
            )
        lines = [_line(chance, k, chance.choice(list(foods)), stages) for k in range(chance.randint(1, 8))]
        if variants and chance.random() < 0.5:
            lines.append(msgspec.structs.replace(lines[0], id="of", food_ref=FoodRef(kind="variant", id="first")))
        stages = [_remembering(stage, k, lines) for k, stage in enumerate(stages)]
        trimmings = chance.choice((0.0, 4.0))
        portioning = chance.choice(
            (
                ByCount(count=chance.randint(1, 40), trimmings_percent=trimmings),
                ByWeight(piece_g=60, trimmings_percent=trimmings),
            )
        )
        variants.append(
            Variant(
                id=name,
                name=name,
                lines=tuple(lines),
                stages=tuple(stages),
                portioning=portioning,
                pace_per_hour=chance.choice((0.0, 2.5, 3.0)),
                target_set_id="targets",
            )
        )
    return Project(
        id="p",
        title=f"recipe {seed}",
        foods=foods,
        variants=tuple(variants),
        target_sets=(_targets(chance),),
        measures=chance.choice(("metric", "us")),
        assumptions=Assumptions(starch_by_difference=chance.random() < 0.8, lauric_counts=chance.random() < 0.3),
    )


def _line(chance: random.Random, k: int, food_id: str, stages: Sequence[Stage]) -> Line:
    return Line(
        id=f"l{k}",
        stage_id=chance.choice(stages).id,
        food_ref=FoodRef(kind="bundled", id=food_id),
        amount_g=chance.choice((0.0, chance.uniform(1, 500), chance.uniform(50, 500))),
        as_bought=chance.random() < 0.4,
        cooking_water=chance.random() < 0.1,
        retention=chance.choice(({}, {"K": 0.8, "FAT": 0.9})),
    )


def _remembering(stage: Stage, k: int, lines: Sequence[Line]) -> Stage:
    """A weighed stage that remembers about what went into it."""
    if not isinstance(stage.weight, Weighed):
        return stage
    inside = {line.id: 1.05 * line.amount_g for line in lines if line.stage_id <= stage.id}
    return msgspec.structs.replace(stage, weight=msgspec.structs.replace(stage.weight, amounts=inside))


# --- what a recipient changes -----------------------------------------------------------------------------------------


class Change(NamedTuple):
    """Other numbers in inputs of the first variant with a result, and the project in which they are the document's."""

    project: Project
    cells: dict[tuple[str, str], float]


def change(project: Project, content: bytes, seed: int) -> Change | None:
    """Other amounts, weights after every stage, piece count or weight, trimmings and pace, all at once."""
    chance = random.Random(seed)
    found = next(
        ((v, e) for v, e in zip(project.variants, evaluations(project), strict=True) if e.valid and e.raw_g > 0), None
    )
    if found is None:
        return None
    variant = found[0]
    names = named(content, variant.name)
    cells: dict[str, float] = {}
    first, last = names["amounts_g"].split(":") if ":" in names["amounts_g"] else (names["amounts_g"],) * 2
    column, top = re.fullmatch(r"([A-Z]+)(\d+)", first).groups()  # type: ignore[union-attr]  # it is an address
    lines = list(variant.lines)
    for k in {chance.randrange(len(lines)), chance.randrange(len(lines))}:
        lines[k] = msgspec.structs.replace(
            lines[k], amount_g=round(lines[k].amount_g * chance.choice((0.0, 0.7, 1.31)), 3)
        )
        cells[f"{column}{int(top) + k}"] = lines[k].amount_g
    assert f"{column}{int(top) + len(lines) - 1}" == last
    stages = list(variant.stages)
    for k, stage in enumerate(stages):
        changed = _changed_weight(stage.weight)
        stages[k] = msgspec.structs.replace(stage, weight=changed)
        for field, name in (
            ("in_g", "weighed_in_g"),
            ("out_g", "weighed_out_g"),
            ("amount", "water"),
            ("percent", "water"),
        ):
            if hasattr(changed, field):
                cells[names[f"stage_{k + 1}_{name}"]] = getattr(changed, field)
    portioning = variant.portioning
    if isinstance(portioning, ByCount):
        portioning = msgspec.structs.replace(portioning, count=portioning.count + 3, trimmings_percent=2.5)
        cells[names["piece_count"]] = portioning.count
    else:
        portioning = msgspec.structs.replace(portioning, piece_g=portioning.piece_g + 7.5, trimmings_percent=2.5)
        cells[names["piece_weight_g"]] = portioning.piece_g
    cells[names["trimmings_percent"]] = 2.5
    cells[names["pieces_per_hour"]] = 1.75
    after = msgspec.structs.replace(
        variant, lines=tuple(lines), stages=tuple(stages), portioning=portioning, pace_per_hour=1.75
    )
    variants = tuple(after if v.id == variant.id else v for v in project.variants)
    return Change(
        msgspec.structs.replace(project, variants=variants),
        {(variant.name, address): number for address, number in cells.items()},
    )


def _changed_weight(choice: WeightChoice) -> WeightChoice:
    if isinstance(choice, Weighed):
        return msgspec.structs.replace(choice, in_g=choice.in_g + 11, out_g=0.97 * choice.out_g)
    if isinstance(choice, WaterLost):
        return msgspec.structs.replace(choice, amount=choice.amount - 1.25)
    return FinalWater(percent=choice.percent + 2.5) if isinstance(choice, FinalWater) else choice


def following(before: bytes, after: bytes, sheets: set[str]) -> set[tuple[str, str]]:
    """Cells that follow the inputs: the same formula stands in both, and it does not ask what was changed."""
    one, other = read(before).formulas, read(after).formulas
    return {
        place
        for place, formula in one.items()
        if place[0] in sheets and other.get(place) == formula and not _ASKS.search(formula)
    }


_ASKS = re.compile(r"no longer (as|hold)|^SUMPRODUCT\(--\('.*<>")
