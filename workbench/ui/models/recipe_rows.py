"""Rows of the recipe table: what is painted in a stage and in an ingredient line, made once per change and kept."""

from collections.abc import Iterable, Sequence

from workbench.base.text import N_, _, grams_text, number
from workbench.composition.food import Food
from workbench.document.project import Line, Stage, Variant
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.words import ALLERGEN_WORDS, ORIGINS, STAGE_KINDS, weight_text
from workbench.solve.avoid import Reason, marks
from workbench.ui.models.slider_scale import SliderScale

NAME, SLIDER, AMOUNT, LOCK, FIGURES = range(5)  # from FIGURES on the chosen columns, and behind them the remove sign
TITLES = {NAME: N_("ingredient"), SLIDER: N_("drag"), AMOUNT: N_("amount"), LOCK: N_("lock")}
WATCHED = ("CHOAVLDF", "SUGAR", "fructose_type", "FAT", "medium_chain", "FIBTG", "PROCNT", "NA", "WATER")


class StageRow:
    """A row that names a stage; ``texts`` holds its title, the weights and how they are known."""

    __slots__ = ("id", "texts")

    def __init__(self, stage_id: str) -> None:
        self.id = stage_id
        self.texts: tuple[str, str, str] = ("", "", "")


class LineRow:
    """A row with an ingredient line and everything painted in it."""

    __slots__ = (
        *("at", "bars", "estimated", "food", "id", "line", "marks", "marks_of", "name", "offence", "proposed"),
        *("scale", "sure", "texts", "tip"),
    )

    def __init__(self, line: Line, at: int, n_columns: int) -> None:
        self.id = line.id
        self.line = line
        self.at = at  # among the lines of the variant
        self.food: Food | None = None
        self.name = ""
        self.marks = ""
        self.offence = ""  # why it is not to be in the recipe
        self.sure = False  # whether it surely is not; else it is a risk
        self.tip = ""
        self.scale = SliderScale(0.0, 100.0, 1.0)
        self.proposed: float | None = None  # another amount that is proposed [g]
        self.texts: list[str] = [""] * n_columns
        self.bars: list[int] = [0] * n_columns  # how much of its column the line brings, in steps of BAR_STEPS
        self.estimated: frozenset[str] = frozenset()  # quantities that rest on derived or borrowed values
        self.marks_of: tuple[object, ...] = ()  # what the marks were made from


Row = StageRow | LineRow


def proposed_text(amount_g: float) -> str:
    """Another amount that is proposed, in words."""
    return _("proposed: {grams} g", grams=grams_text(amount_g))


def typed_text(line: Line) -> str:
    """What stands in the field when an amount is typed."""
    return line.entered or f"{number(line.amount_g, 2).rstrip('0').rstrip('.,')} g"


def stage_title(stage: Stage, k: int) -> str:
    """Number and name of a stage."""
    return _("stage {n}  {name}", n=k + 1, name=stage.name or _(STAGE_KINDS[stage.kind]))


def stage_texts(evaluation: Evaluation, stage: Stage, k: int) -> tuple[str, str, str]:
    """Title, weights, and how they are known."""
    into, out = float(evaluation.stage_in_g[k]), float(evaluation.stage_out_g[k])
    weights = _("{into} g in → {out} g out", into=number(into, 0), out=number(out, 0))
    return stage_title(stage, k), weights, weight_text(stage)


def mark(row: LineRow, blank: list[str], companions: Iterable[str], avoided: Sequence[Reason]) -> None:
    """Write a row's marks and the words behind them.

    ``companions`` are the lines that keep their proportion to it; ``avoided`` is why it must not be in the recipe.
    """
    names = tuple(companions)
    row.offence, row.sure = marks(avoided), any(reason.certain for reason in avoided)
    row.marks = "  ".join(_marks(row, blank, names))
    row.tip = "\n".join(_tips(row, blank, names))


def _marks(row: LineRow, blank: list[str], companions: tuple[str, ...]) -> list[str]:
    """A shape and a word each: origin, allergens, values that are not known, and how the amount is meant."""
    marks: list[str] = []
    food = row.food
    if row.line.food_ref.kind == "variant":
        marks.append(_("↺ variant of this project"))
    if food is not None:
        if food.origin not in ("plant", "mineral"):
            marks.append(f"◆ {_(ORIGINS[food.origin])}")
        if food.contains is None:
            marks.append(_("▲ allergens not stated"))
        elif food.contains:
            marks.append("▲ " + ", ".join(_(ALLERGEN_WORDS[allergen]) for allergen in food.contains))
    if row.line.as_bought:
        marks.append(_("as bought"))
    if row.line.cooking_water:
        marks.append(_("cooking water"))
    if companions:
        marks.append(_("∝ in proportion"))
    if blank:
        marks.append(_("? {n} not known", n=len(blank)))
    estimated = [key for key in WATCHED if key in row.estimated]
    if estimated:
        marks.append(_("≈ {n} derived", n=len(estimated)))
    return marks


def _tips(row: LineRow, blank: list[str], companions: tuple[str, ...]) -> list[str]:
    tips = [row.name, *([row.offence] if row.offence else [])]
    food = row.food
    if food is not None:
        tips.append(_("origin: {origin}", origin=_(ORIGINS[food.origin])))
        if food.contains:
            tips.append(_("contains: {names}", names=", ".join(_(ALLERGEN_WORDS[a]) for a in food.contains)))
        elif food.contains is None:
            tips.append(_("allergens are not stated, which is a risk and never “none”"))
        if food.may_contain:
            tips.append(_("may contain: {names}", names=", ".join(_(ALLERGEN_WORDS[a]) for a in food.may_contain)))
        if row.line.as_bought:
            tips.append(_("as bought: {percent} % is eaten", percent=number(100 * food.edible_fraction, 0)))
    if companions:
        tips.append(_("keeps its proportion to: {names}", names=", ".join(companions)))
    if blank:
        tips.append(_("not known exactly: {names}", names=", ".join(blank)))
    estimated = [_(QUANTITIES[key].title) for key in WATCHED if key in row.estimated]
    if estimated:
        tips.append(_("derived by a rule, or borrowed from a similar food: {names}", names=", ".join(estimated)))
    return tips


def line_tip(row: LineRow, column: int) -> str | None:
    """What is said of a cell that shows no figure; the last column removes the line."""
    if column == NAME:
        return row.tip
    if column in (SLIDER, AMOUNT) and row.proposed is not None:
        return proposed_text(row.proposed)
    if column == AMOUNT:
        entered = row.line.entered
        return _("entered as {text}", text=entered) if entered else _("type an amount, with its unit")
    if column == LOCK:
        return _("locked: click to free the amount") if row.line.lock else _("click to lock the amount")
    return _("remove {food}", food=row.name) if column >= FIGURES else None


def line_spoken(row: LineRow, column: int) -> str | None:
    """What a screen reader says of name, slider, amount and lock."""
    if column == NAME:
        return ", ".join(filter(None, (row.name, row.offence, row.marks)))
    if column == SLIDER:
        most = grams_text(row.scale.maximum)
        now = _("{food}: {grams} g of {most} g", food=row.name, grams=grams_text(row.line.amount_g), most=most)
        return now if row.proposed is None else f"{now}, {proposed_text(row.proposed)}"
    if column == LOCK:
        return _("locked") if row.line.lock else _("not locked")
    return row.texts[AMOUNT] if column == AMOUNT else None


def lines_by_stage(variant: Variant) -> dict[str, list[int]]:
    """Places of the lines of each stage."""
    found: dict[str, list[int]] = {stage.id: [] for stage in variant.stages}
    for k, line in enumerate(variant.lines):
        found.get(line.stage_id, found[variant.stages[0].id]).append(k)  # a lost line shows in the first one
    return found


def companions(lines: tuple[Line, ...], line: Line) -> list[int]:
    """The other lines of a line's group."""
    return [k for k, other in enumerate(lines) if line.group and other.group == line.group and other.id != line.id]


def runs(rows: list[int]) -> list[tuple[int, int]]:
    """Rows next to each other as first and last; each run is repainted on its own."""
    found: list[tuple[int, int]] = []
    for row in rows:
        if found and row <= found[-1][1] + 1:
            found[-1] = (found[-1][0], row)
        else:
            found.append((row, row))
    return found
