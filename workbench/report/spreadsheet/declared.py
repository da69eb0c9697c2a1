"""What a pack has to say, worked out live: ingredients by weight, who brings what, and printed nutrition lines.

The order and the rounding are those of ``recipe.declaration`` and ``science.label_rounding``.
"""

from collections.abc import Sequence
from typing import NamedTuple

from workbench.base.text import N_, _
from workbench.composition.food import ALLERGENS, WATCHED, Food, Origin
from workbench.document.project import Basis, Project
from workbench.recipe.allergens import Rules
from workbench.recipe.declaration import declare
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.ingredient_list import is_water
from workbench.recipe.nutrition_lines import NutritionLine, printed_text
from workbench.recipe.preparation import prepare
from workbench.recipe.words import ALLERGEN_WORDS, ORIGINS
from workbench.report.spreadsheet import places as at
from workbench.report.spreadsheet.calculation import Sheet, figure, heads
from workbench.report.spreadsheet.figures import HOW
from workbench.report.spreadsheet.formula import Live, cell, down, fixed, literal, names_where, sentence
from workbench.report.spreadsheet.page import Cell, Page, Row, Section
from workbench.report.spreadsheet.safe_text import short_name

NOT_DECLARABLE = N_("not declarable")
_ANIMAL: tuple[Origin, ...] = ("dairy", "egg", "bee", "animal")


class Part(NamedTuple):
    """A food, and how much of it each line brings, per gram of the edible part of the line."""

    food: Food
    lines: tuple[tuple[int, float], ...]
    grams: float  # at the amounts of the evaluation


class Group(NamedTuple):
    """Foods that bring an allergen, come from animals, or leave something unsaid."""

    label: str
    foods: tuple[int, ...]  # positions among the parts


def parts_of(project: Project, evaluation: Evaluation) -> list[Part]:
    """Foods of a recipe by id, those of variants used as ingredients as well; lines of 0 g are among them."""
    found: dict[str, dict[int, float]] = {}
    for k, line in enumerate(evaluation.prepared.variant.lines):
        if line.food_ref.kind != "variant":
            found.setdefault(line.food_ref.id, {})[k] = 1.0
            continue
        used = evaluate(prepare(project, project.variant(line.food_ref.id)))
        for ingredient in declare(project, used).ingredients:
            found.setdefault(ingredient.food.id, {})[k] = ingredient.mass_g / used.finished_g
    edible = evaluation.edible_g
    return [
        Part(project.foods[id_], tuple(per.items()), float(sum(edible[k] * share for k, share in per.items())))
        for id_, per in sorted(found.items())
    ]


_NOT_LISTED = N_("{name} (not on the EU list)")


def groups_of(parts: Sequence[Part]) -> list[Group]:
    """Allergens in the order of the law, then what is not stated, then animal origin."""

    def words(key: str) -> str:
        name = _(ALLERGEN_WORDS[key]) if key in ALLERGEN_WORDS else key
        return _(_NOT_LISTED, name=name) if key in WATCHED else name

    foods = [part.food for part in parts]
    every = (*ALLERGENS, *WATCHED)

    def group(label: str, chosen: list[bool]) -> Group:
        return Group(label, tuple(k for k, yes in enumerate(chosen) if yes))

    found = [
        group(_("contains {allergen}", allergen=words(a)), [a in (f.contains or ()) for f in foods]) for a in every
    ]
    found += [group(_("may contain {allergen}", allergen=words(a)), [a in f.may_contain for f in foods]) for a in every]
    found.append(group(_("allergens not stated for"), [f.contains is None for f in foods]))
    found += [group(_("animal: {origin}", origin=_(ORIGINS[o])), [f.origin == o for f in foods]) for o in _ANIMAL]
    found.append(group(_("origin not stated for"), [f.origin == "unknown" for f in foods]))
    return [each for each in found if each.foods]


# --- tables -----------------------------------------------------------------------------------------------------------

GRAMS, SHARE_OF, RANK, OF_FINISHED = 2, 3, 4, 5
NAMES = 2  # column of the names in the table of groups
PRINTED = {"per_100g": 4, "portion": 9}  # columns of the printed lines


def fill_declared(
    page: Page,
    sheet: Sheet,
    parts: Sequence[Part],
    groups: Sequence[Group],
    lines: Sequence[tuple[NutritionLine, NutritionLine]],
) -> None:
    """Ingredients by weight, groups, and nutrition lines as printed."""
    page.add(Section(_("9. Ingredients by weight at mixing"), _foods(sheet, parts)))
    if groups:
        rows: list[Row] = [(*heads((_("what"), "")), Cell(NAMES, _("brought by"), "head_words", page.last_column))]
        page.add(Section(_("10. Allergens and origin"), rows + _groups(sheet, parts, groups, page.last_column)))
    titles = [_("line"), _("unit")]
    for basis in (_("100 g"), _("piece")):
        titles += [_("{basis}: least, printed", basis=basis), _("most, printed"), _("printed"), "", ""]
    rows = [heads(titles)]
    for k, pair in enumerate(lines):
        cells = [Cell(0, _(pair[0].title), "name"), Cell(1, pair[0].unit, "unit")]
        for line, basis, column in zip(pair, _BASES, (2, 7), strict=True):
            cells += _label_cells(sheet, sheet.places.labels + k, line, basis, column)
        rows.append(tuple(cells))
    page.add(Section(_("11. Nutrition lines, rounded for a label"), rows))


def _water(parts: Sequence[Part]) -> list[int]:
    return [k for k, part in enumerate(parts) if is_water(part.food)]


def finished_percents(evaluation: Evaluation, parts: Sequence[Part]) -> list[float]:
    """What a list of ingredients may print of each part, unrounded; the first water stands for what is left of all."""
    water = _water(parts)
    grams = [0.0 if k in water else part.grams for k, part in enumerate(parts)]
    if water:
        grams[water[0]] = max(evaluation.finished_g - sum(grams), 0.0)
    return [100 * each / evaluation.finished_g for each in grams]


def _foods(sheet: Sheet, parts: Sequence[Part]) -> list[Row]:
    places = sheet.places
    grams = down(GRAMS, places.foods, places.foods + len(parts) - 1)
    total = sum(part.grams for part in parts)
    order = sorted(range(len(parts)), key=lambda k: (-parts[k].grams, k))
    rows = [heads((_("ingredient"), "", _("g edible"), _("% of all"), _("place in the list"), _("% of finished")))]
    finished, percents = places.portion("finished_g"), finished_percents(sheet.evaluation, parts)
    water = _water(parts)
    others = "-".join([f"SUM({grams})", *(cell(places.foods + k, GRAMS) for k in water)])
    for k, part in enumerate(parts):
        row = places.foods + k
        here = cell(row, GRAMS)
        brought = "+".join(
            places.line(j, at.EDIBLE) if share == 1.0 else f"{places.line(j, at.EDIBLE)}*{share:.15g}"
            for j, share in part.lines
        )
        rank = f"SUMPRODUCT(--({grams}>{here}))+1"
        if k:
            rank += f"+SUMPRODUCT(--({down(GRAMS, places.foods, row - 1)}={here}))"
        named = here if k not in water else f"{finished}-({others})" if k == water[0] else "0"
        rows.append(
            (
                Cell(0, short_name(part.food.name), "name", 1),
                figure(GRAMS, Live(brought, part.grams)),
                figure(
                    SHARE_OF, Live(f"IF(SUM({grams})>0,100*{here}/SUM({grams}),0)", 100 * part.grams / total), "0.0"
                ),
                figure(RANK, Live(rank, order.index(k) + 1), "0"),
                figure(OF_FINISHED, Live(f"IF({finished}>0,100*MAX({named},0)/{finished},0)", percents[k]), "0.0"),
            )
        )
    return rows


def _groups(sheet: Sheet, parts: Sequence[Part], groups: Sequence[Group], last: int) -> list[Row]:
    first = sheet.places.foods
    rows: list[Row] = []
    for group in groups:
        formula = names_where([(cell(first + k, 0), [cell(first + k, GRAMS)]) for k in group.foods])
        rows.append(
            (Cell(0, group.label, "name", 1), Cell(NAMES, Live(formula, brought_by(parts, group)), "words", last))
        )
    return rows


def brought_by(parts: Sequence[Part], group: Group) -> str:
    """Names of the foods of a group that are really there."""
    return "; ".join(short_name(parts[k].food.name) for k in group.foods if parts[k].grams > 0)


# --- nutrition lines --------------------------------------------------------------------------------------------------

_BASES: tuple[Basis, Basis] = ("per_100g", "portion")
_EU_KINDS = {"energy_kj": "energy", "energy_kcal": "energy", "FAT": "fat", "FASAT": "saturates", "salt": "salt"}
_EU_RULES = {"fat": (10, 0, 0.5), "grams": (10, 0, 0.5), "saturates": (10, 0, 0.1), "salt": (1, 1, 0.0125)}
_EU_LIMITS = {"fat": "0.5", "grams": "0.5", "saturates": "0.1", "salt": "0.01"}
_US_KINDS = {"energy_kcal": "calories", "CHOLE": "cholesterol", "NA": "sodium"}
_US_FATS = ("FAT", "FASAT", "FATRN")


def _half_up(amount: str, step: float) -> str:
    return f"{step:g}*INT({amount}/{step:g}+0.5+1E-9)"


def printed_formula(rules: Rules, key: str, amount: str) -> str:
    """A figure as a label prints it, as a formula; see ``science.label_rounding``."""
    return _eu(_EU_KINDS.get(key, "grams"), amount) if rules == "eu" else _us(key, f"({amount}+1E-9)")


def _eu(kind: str, amount: str) -> str:
    if kind == "energy":
        return fixed(_half_up(amount, 1), 0)
    coarse_from, decimals, negligible = _EU_RULES[kind]
    fine, coarse = (_half_up(amount, 10.0**-n) for n in (decimals + 1, decimals))
    rounded = f"IF({fine}<{coarse_from}-1E-9,{fixed(fine, decimals + 1)},{fixed(coarse, decimals)})"
    less = sentence(N_("< {limit}"), limit=fixed(_EU_LIMITS[kind], 2 if kind == "salt" else 1))
    return f'IF({amount}<=1E-9,"0",IF({amount}<={negligible:g}+1E-9,{less},{rounded}))'


def _us(key: str, amount: str) -> str:
    whole = fixed(_half_up(amount, 1), 0)
    less = N_("less than {limit}")
    if key in _US_FATS:
        half = _half_up(amount, 0.5)
        halves = f"IF({half}=INT({half}),{fixed(half, 0)},{fixed(half, 1)})"
        return f'IF({amount}<0.5,"0",IF({amount}<5,{halves},{whole}))'
    kind = _US_KINDS.get(key, "grams")
    fives = fixed(_half_up(amount, 5), 0)
    if kind == "grams":
        return f'IF({amount}<0.5,"0",IF({amount}<1,{sentence(less, limit=literal("1"))},{whole}))'
    if kind == "cholesterol":
        return f'IF({amount}<2,"0",IF({amount}<=5+2E-9,{sentence(less, limit=literal("5"))},{fives}))'
    coarse_above = 50 if kind == "calories" else 140
    return f'IF({amount}<5,"0",IF({amount}<={coarse_above}+2E-9,{fives},{fixed(_half_up(amount, 10), 0)}))'


def _label_cells(sheet: Sheet, row: int, line: NutritionLine, basis: Basis, column: int) -> list[Cell]:
    value, least, most, how, _sign = sheet.places.figure(line.key, basis)
    low, high = cell(row, column), cell(row, column + 1)
    known = f"AND(ISNUMBER({value}),ISNUMBER({most}),{how}<>{literal(_(HOW['not_known']))})"
    no = literal(_(NOT_DECLARABLE))
    unit = literal(f" {line.unit}")
    # Where a figure is not printed its limits are not worked out twice: the cells stay empty.
    least_text, most_text = _printed_limits(line)
    low_formula = f'IF({known},{printed_formula(line.rules, line.key, least)},"")'
    high_formula = f'IF({known},{printed_formula(line.rules, line.key, most)},"")'
    text = f"{printed_text(line.printed, line.rules)} {line.unit}" if line.printed else _(NOT_DECLARABLE)
    said = f'IF(AND({low}={high},{low}<>""),{low}&{unit},{no})'
    return [
        figure(column, Live(low_formula, least_text)),
        figure(column + 1, Live(high_formula, most_text)),
        Cell(column + 2, Live(said, text), "figure", column + 4),
    ]


def _printed_limits(line: NutritionLine) -> tuple[str, str]:
    from math import isfinite

    from workbench.science.label_rounding import eu_printed, us_printed

    if not (line.bound.known and isfinite(line.bound.high)):
        return "", ""

    def one(amount: float) -> str:
        if line.rules == "eu":
            return printed_text(eu_printed(_EU_KINDS.get(line.key, "grams"), amount), "eu")  # type: ignore[arg-type]
        kind = "fat" if line.key in _US_FATS else _US_KINDS.get(line.key, "grams")
        return printed_text(us_printed(kind, amount), "us")  # type: ignore[arg-type]

    return one(line.bound.low), one(line.bound.high)
