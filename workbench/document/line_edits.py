"""Edits of several ingredient lines at once, and of what a line is made of; the others are in ``edits``."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from workbench.base.text import _, plural
from workbench.composition.food import Food
from workbench.document.edits import (
    Change,
    Edit,
    change_lines,
    find_line,
    food_name,
    food_names,
    take_in,
    with_amounts,
    with_line,
    with_variant,
)
from workbench.document.project import Line, Project, Stage, Weighed, new_id

_NOTABLE = 0.01  # of the batch, as for shares that moved since a stage was weighed


class NewLine(NamedTuple):
    """A line to be added; ``what`` is a food, or the id of another variant of the project."""

    what: Food | str
    stage_id: str
    amount_g: float
    entered: str = ""
    as_bought: bool = False


def scale_lines(project: Project, variant_id: str, line_ids: Iterable[str], factor: float) -> Edit:
    """Multiply the amounts of lines; locked ones stay, groups and a held batch weight follow as in a drag."""
    chosen = frozenset(line_ids)
    lines = [line for line in project.variant(variant_id).lines if line.id in chosen and not line.lock]
    changed = with_amounts(project, variant_id, {line.id: line.amount_g * factor for line in lines}, {})
    words = _("scale {food} × {factor}", food=food_names(project, lines), factor=f"{factor:.4g}")
    return Edit(changed, Change.AMOUNTS, words)


def group_lines(project: Project, variant_id: str, line_ids: Iterable[str], *, together: bool) -> Edit:
    """Keep the proportion of these lines when one of them changes, or let each go its own way again."""
    group = new_id() if together else ""
    changed = change_lines(project, variant_id, line_ids, lambda line: replace(line, group=group))
    return Edit(changed, Change.LINES, _("keep in proportion") if together else _("free from proportion"))


def replace_food(project: Project, variant_id: str, line_id: str, what: Food | str, amount_g: float) -> Edit:
    """Make a line of something else.  It keeps its id, stage, group and limits; what was typed no longer holds.

    Where the water in it differs enough to change what a weighed stage gives off, it counts as not weighed there.
    """
    line = find_line(project.variant(variant_id), line_id)
    taken, ref = take_in(project, what)
    new = replace(
        line,
        food_ref=ref,
        amount_g=amount_g,
        entered="",
        as_bought=line.as_bought and ref.kind != "variant",
        retention={},  # it was of the other food
    )
    changed = change_lines(taken, variant_id, [line_id], lambda _line: new)
    wetter = _water_gap(taken.foods.get(line.food_ref.id), taken.foods.get(ref.id))
    variant = changed.variant(variant_id)
    stages = tuple(_weighed_without(stage, line_id, wetter) for stage in variant.stages)
    if stages != variant.stages:
        changed = with_variant(changed, replace(variant, stages=stages))
    words = _("replace {food} by {other}", food=food_name(project, line), other=food_name(changed, new))
    return Edit(changed, Change.LINES | Change.FOODS, words)


def _water_gap(old: Food | None, new: Food | None) -> float:
    """Difference of the water in two foods, as a fraction; 1 where it is not known of one of them."""
    water = [food.values["WATER"].value if food and "WATER" in food.values else None for food in (old, new)]
    return 1.0 if water[0] is None or water[1] is None else abs(water[0] - water[1]) / 100.0


def _weighed_without(stage: Stage, line_id: str, water_gap: float) -> Stage:
    """The stage, with none of a line in what was weighed if its water moves the batch by more than one percent."""
    weight = stage.weight
    if not isinstance(weight, Weighed) or line_id not in weight.amounts:
        return stage
    if weight.amounts[line_id] * water_gap <= _NOTABLE * sum(weight.amounts.values()):
        return stage
    return replace(stage, weight=replace(weight, amounts={**weight.amounts, line_id: 0.0}))


def paste_lines(project: Project, variant_id: str, new_lines: Sequence[NewLine]) -> Edit:
    """Add lines, each after the last of its stage."""
    for new in new_lines:
        project, ref = take_in(project, new.what)
        line = Line(
            id=new_id(),
            stage_id=new.stage_id,
            food_ref=ref,
            amount_g=new.amount_g,
            entered=new.entered,
            as_bought=new.as_bought and ref.kind != "variant",
        )
        project = with_line(project, variant_id, line)
    words = plural("paste {n} ingredient", "paste {n} ingredients", len(new_lines))
    return Edit(project, Change.LINES | Change.FOODS, words)


def set_amounts(project: Project, variant_id: str, amounts: Mapping[str, float], words: str) -> Edit:
    """Set grams of several lines at once, exactly as given: nothing follows, as what proposes amounts has seen to it.

    Lines whose grams stay keep what was typed.
    """
    moved = {x.id for x in project.variant(variant_id).lines if amounts.get(x.id, x.amount_g) != x.amount_g}
    changed = change_lines(
        project, variant_id, moved, lambda line: replace(line, amount_g=amounts[line.id], entered="")
    )
    return Edit(changed, Change.AMOUNTS, words)
