"""What a user can change, as pure functions from one project to the next: lines, stages, foods and targets.

``line_edits`` changes many lines at once, ``variant_edits`` whole variants, ``avoid_edits`` what must not be in them.

An ``Edit`` says in words what it did (undo shows it) and what kind of thing changed (views refresh only that).  Nothing
here computes results; the one sum is that of the other lines when the batch weight is held.
"""

import enum
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from workbench.base.text import _, grams_text, plural
from workbench.composition.food import Food
from workbench.document.project import (
    MOST_GRAMS,
    Assumptions,
    FoodRef,
    Line,
    Project,
    Stage,
    TargetSet,
    Variant,
    new_id,
)

_FEW = 3  # names that still make a readable undo step


_TRACE_G = 1e-6  # less than any scale shows


class Change(enum.Flag):
    """What kind of thing an edit changed."""

    AMOUNTS = enum.auto()  # grams only: the prepared matrix still holds
    LINES = enum.auto()  # which lines there are, and what they are made of
    PROCESS = enum.auto()  # stages, weight after cooking
    PORTIONS = enum.auto()  # portioning, pace, what a drag holds
    VARIANTS = enum.auto()  # which variants there are, their names and notes
    TARGETS = enum.auto()
    FOODS = enum.auto()  # the snapshot of foods, and the assumptions that fill its gaps
    AVOID = enum.auto()  # what must not be in the project or a variant
    PROJECT = enum.auto()  # title, measure system, notes


class Edit(NamedTuple):
    """The project after an edit, what kind of thing changed, and the edit in words."""

    project: Project
    change: Change
    words: str


def food_name(project: Project, line: Line) -> str:
    """The name of what a line is made of."""
    if line.food_ref.kind == "variant":
        return next((v.name for v in project.variants if v.id == line.food_ref.id), line.food_ref.id)
    food = project.foods.get(line.food_ref.id)
    return food.name if food else line.food_ref.id


def food_names(project: Project, lines: Sequence[Line]) -> str:
    """The names of a few lines, or how many there are."""
    if len(lines) > _FEW:
        return plural("{n} ingredient", "{n} ingredients", len(lines))
    return ", ".join(food_name(project, line) for line in lines)


def with_variant(project: Project, variant: Variant) -> Project:
    """The project with another state of one of its variants."""
    return replace(project, variants=tuple(variant if v.id == variant.id else v for v in project.variants))


def find_line(variant: Variant, line_id: str) -> Line:
    """The line with this id.

    Raises
    ------
    KeyError
        If there is none.
    """
    for line in variant.lines:
        if line.id == line_id:
            return line
    raise KeyError(line_id)


def change_lines(project: Project, variant_id: str, line_ids: Iterable[str], change: Callable[[Line], Line]) -> Project:
    """The project with some lines changed."""
    variant = project.variant(variant_id)
    chosen = frozenset(line_ids)
    lines = tuple(change(line) if line.id in chosen else line for line in variant.lines)
    return with_variant(project, replace(variant, lines=lines))


# --- lines ------------------------------------------------------------------------------------------------------


def set_amount(project: Project, variant_id: str, line_id: str, amount_g: float, entered: str = "") -> Edit:
    """Set one line's grams; the batch weight or a group's proportion is kept where the user chose so.

    ``entered`` keeps the text as typed.  What else moves is told by ``with_amounts``.
    """
    target = find_line(project.variant(variant_id), line_id)
    changed = with_amounts(project, variant_id, {line_id: amount_g}, {line_id: entered})
    words = _("set {food} to {grams} g", food=food_name(project, target), grams=grams_text(amount_g))
    return Edit(changed, Change.AMOUNTS, words)


def with_amounts(project: Project, variant_id: str, wanted: Mapping[str, float], entered: Mapping[str, str]) -> Project:
    """The project with other grams in some lines, and in those that follow them.

    Unlocked lines of the same group follow in proportion.  With the batch weight held, the other unlocked lines share
    the difference in proportion to their own weight.
    """
    variant = project.variant(variant_id)
    grams = {line.id: wanted.get(line.id, line.amount_g) for line in variant.lines}
    set_lines = [line for line in variant.lines if line.id in wanted]
    # A trace has no proportion to keep: its factors would grow beyond all numbers.
    factors = {x.group: wanted[x.id] / x.amount_g for x in reversed(set_lines) if x.group and x.amount_g >= _TRACE_G}
    for line in variant.lines:
        if line.id not in wanted and line.group in factors and not line.lock:
            grams[line.id] = line.amount_g * factors[line.group]
    if variant.hold_batch_weight:
        groups = {line.group for line in set_lines if line.group}
        moved = {line.id for line in variant.lines if line.id in wanted or line.group in groups}
        giving = [line for line in variant.lines if line.id not in moved and not line.lock]
        free = sum(line.amount_g for line in giving)
        excess = min(sum(grams.values()) - sum(line.amount_g for line in variant.lines), free)  # all they have
        if free >= _TRACE_G:
            for line in giving:
                grams[line.id] = line.amount_g * (free - excess) / free
    grams = {key: min(value, MOST_GRAMS) for key, value in grams.items()}
    lines = tuple(
        replace(line, amount_g=grams[line.id], entered=entered.get(line.id, ""))
        if line.id in wanted or grams[line.id] != line.amount_g
        else line
        for line in variant.lines
    )
    return with_variant(project, replace(variant, lines=lines))


def set_lock(project: Project, variant_id: str, line_ids: Iterable[str], lock: bool) -> Edit:
    """Lock amounts, or free them."""
    changed = change_lines(project, variant_id, line_ids, lambda line: replace(line, lock=lock))
    return Edit(changed, Change.LINES, _("lock amount") if lock else _("unlock amount"))


def set_as_bought(project: Project, variant_id: str, line_id: str, as_bought: bool) -> Edit:
    """Say whether a line's amount includes what is trimmed off."""
    changed = change_lines(project, variant_id, [line_id], lambda line: replace(line, as_bought=as_bought))
    return Edit(changed, Change.PROCESS, _("weigh as bought") if as_bought else _("weigh edible part"))


def set_cooking_water(project: Project, variant_id: str, line_id: str, cooking_water: bool) -> Edit:
    """Mark a line as the water that a grain takes up, which its typical weight after cooking includes."""
    changed = change_lines(project, variant_id, [line_id], lambda line: replace(line, cooking_water=cooking_water))
    return Edit(changed, Change.PROCESS, _("mark as cooking water") if cooking_water else _("not cooking water"))


def add_line(project: Project, variant_id: str, stage_id: str, food: Food | str, amount_g: float) -> Edit:
    """Append a line made of ``food``, or of the variant with that id, to a stage; the food joins the snapshot."""
    taken, ref = take_in(project, food)
    line = Line(id=new_id(), stage_id=stage_id, food_ref=ref, amount_g=amount_g)
    changed = with_line(taken, variant_id, line)
    return Edit(changed, Change.LINES | Change.FOODS, _("add {food}", food=food_name(changed, line)))


def take_in(project: Project, what: Food | str) -> tuple[Project, FoodRef]:
    """The project with a food in its snapshot, and the reference to it; a text is the id of another variant."""
    if isinstance(what, str):
        return project, FoodRef(kind="variant", id=what)
    ref = FoodRef(kind=what.taken_from.kind if what.taken_from else "own", id=what.id)
    return project if what.id in project.foods else replace(project, foods={**project.foods, what.id: what}), ref


def with_line(project: Project, variant_id: str, line: Line) -> Project:
    """The project with one more line, after the last of its stage: the list reads in the order of the process."""
    variant = project.variant(variant_id)
    order = {stage.id: k for k, stage in enumerate(variant.stages)}
    at = next(
        (k for k, other in enumerate(variant.lines) if order[other.stage_id] > order[line.stage_id]),
        len(variant.lines),
    )
    return with_variant(project, replace(variant, lines=(*variant.lines[:at], line, *variant.lines[at:])))


def remove_lines(project: Project, variant_id: str, line_ids: Iterable[str]) -> Edit:
    """Take lines out of a variant.  Their foods stay in the snapshot, as other variants or an undo may want them."""
    variant = project.variant(variant_id)
    gone = frozenset(line_ids)
    names = food_names(project, [line for line in variant.lines if line.id in gone])
    lines = tuple(line for line in variant.lines if line.id not in gone)
    changed = with_variant(project, replace(variant, lines=lines))
    return Edit(changed, Change.LINES, _("remove {food}", food=names))


def move_lines(project: Project, variant_id: str, line_ids: Iterable[str], stage_id: str, position: int) -> Edit:
    """Put lines into a stage, behind ``position`` of the lines that are there and do not move."""
    variant = project.variant(variant_id)
    chosen = frozenset(line_ids)
    moving = [replace(line, stage_id=stage_id) for line in variant.lines if line.id in chosen]
    by_stage = {s.id: [x for x in variant.lines if x.stage_id == s.id and x.id not in chosen] for s in variant.stages}
    by_stage[stage_id][position:position] = moving
    lines = tuple(x for stage in variant.stages for x in by_stage[stage.id])
    changed = with_variant(project, replace(variant, lines=lines))
    return Edit(changed, Change.LINES, _("move {food}", food=food_names(project, moving)))


# --- stages -----------------------------------------------------------------------------------------------------


def add_stage(project: Project, variant_id: str, stage: Stage) -> Edit:
    """Append a stage."""
    variant = project.variant(variant_id)
    changed = with_variant(project, replace(variant, stages=(*variant.stages, stage)))
    return Edit(changed, Change.PROCESS, _("add stage"))


def set_stage(project: Project, variant_id: str, stage: Stage) -> Edit:
    """Replace the stage with the same id."""
    variant = project.variant(variant_id)
    stages = tuple(stage if s.id == stage.id else s for s in variant.stages)
    return Edit(with_variant(project, replace(variant, stages=stages)), Change.PROCESS, _("change stage"))


def remove_stage(project: Project, variant_id: str, stage_id: str) -> Edit:
    """Remove a stage; its lines go to the stage before it, or after it where it was the first.

    Raises
    ------
    ValueError
        If it is the only stage.
    """
    variant = project.variant(variant_id)
    ids = [stage.id for stage in variant.stages]
    if len(ids) == 1:
        raise ValueError("a variant keeps at least one stage")
    at = ids.index(stage_id)
    heir = ids[at - 1] if at else ids[1]
    lines = tuple(replace(line, stage_id=heir) if line.stage_id == stage_id else line for line in variant.lines)
    stages = tuple(stage for stage in variant.stages if stage.id != stage_id)
    changed = with_variant(project, replace(variant, lines=lines, stages=stages))
    return Edit(changed, Change.PROCESS | Change.LINES, _("remove stage"))


# --- project --------------------------------------------------------------------------------------------------------


def set_title(project: Project, title: str) -> Edit:
    """Rename the project."""
    return Edit(replace(project, title=title), Change.PROJECT, _("rename project"))


def put_food(project: Project, food: Food) -> Edit:
    """Put a food into the snapshot in place of the one with its id; every line made of it follows."""
    foods = {**project.foods, food.id: food}
    return Edit(replace(project, foods=foods), Change.FOODS, _("change {food}", food=food.name))


def take_newer(project: Project, foods: Sequence[Food]) -> Edit:
    """Put today's rows of some foods into the snapshot, all in one step; every line made of them follows."""
    words = plural("take newer values of {n} ingredient", "take newer values of {n} ingredients", len(foods))
    if len(foods) == 1:
        words = _("take newer values of {food}", food=foods[0].name)
    return Edit(replace(project, foods={**project.foods, **{food.id: food for food in foods}}), Change.FOODS, words)


def set_assumptions(project: Project, assumptions: Assumptions) -> Edit:
    """Switch the rules that fill gaps, and what counts as medium-chain fat."""
    return Edit(replace(project, assumptions=assumptions), Change.FOODS, _("change assumptions"))


def put_target_set(project: Project, variant_id: str, target_set: TargetSet, words: str = "") -> Edit:
    """Add or replace a set of targets, and let the variant use it; ``words`` say it better where only one changed."""
    if any(s.id == target_set.id for s in project.target_sets):
        sets = tuple(target_set if s.id == target_set.id else s for s in project.target_sets)
    else:
        sets = (*project.target_sets, target_set)
    return choose_targets(project, variant_id, sets, target_set.id, words)


def choose_targets(
    project: Project, variant_id: str, target_sets: tuple[TargetSet, ...], target_set_id: str | None, words: str = ""
) -> Edit:
    """Replace the sets of targets, and say which one the variant uses; None for none."""
    changed = replace(project, target_sets=target_sets)
    variant = project.variant(variant_id)
    if variant.target_set_id != target_set_id:  # else it stays the same object, and its figures stay too
        changed = with_variant(changed, replace(variant, target_set_id=target_set_id))
    return Edit(changed, Change.TARGETS, words or _("set targets"))
