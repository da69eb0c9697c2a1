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
)
from workbench.document.project import Line, Project, new_id


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
    """Make a line of something else.  It keeps its id, stage, group and limits; what was typed no longer holds."""
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
    words = _("replace {food} by {other}", food=food_name(project, line), other=food_name(changed, new))
    return Edit(changed, Change.LINES | Change.FOODS, words)


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
