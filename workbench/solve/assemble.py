"""From chosen options to a whole variant: lines exchanged, amounts matched, everything about it said in words."""

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from workbench.base.text import N_, _
from workbench.document.avoid import Avoid
from workbench.document.edits import Change, Edit, take_in, with_variant
from workbench.document.project import (
    ByWeight,
    FoodRef,
    Line,
    Project,
    Purpose,
    Target,
    TargetSet,
    Variant,
    new_id,
)
from workbench.document.variant_edits import free_variant_name, new_variant
from workbench.recipe.comparison import differences, line_changes
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.recipe.verdict import verdicts
from workbench.solve import substitution_words as words
from workbench.solve.matching import match
from workbench.solve.option_making import kitchen_grams
from workbench.solve.proposal import AmountChange
from workbench.solve.substitution import Option, Substitution

COMPARED = ("CHOAVLDF", "SUGAR", "FAT", "FIBTG", "residue_organic", "PROCNT", "WATER", "energy_kcal", "salt")
"""What a comparison of proposals shows, per piece."""

_COUNTS = 0.02  # of the batch: a line that makes the recipe what it is
_MOST_TIMES = 5.0  # and how far matching may take it
_SLACK_G = 0.05  # of carbohydrate a piece: what counts as equal


class Plan(NamedTuple):
    """What a new variant is to be called, and what its amounts are matched to."""

    title: str = N_("own choice")  # how the proposal was chosen
    name: str = ""  # of the variant; made from what was replaced where empty
    purpose: Purpose = ""
    targets: TargetSet | None = None  # the variant's own where absent
    equal_carbohydrate: bool = False  # keep the carbohydrate of a piece; the targets were for something else
    reasons: Mapping[str, str] = {}  # line id -> why it had to go
    avoid: Avoid = Avoid()  # what the new variant must not hold from now on, besides what the old one must not
    drop_empty: bool = False  # leave out lines of 0 g, which a slider could bring back


def with_options(
    project: Project,
    variant: Variant,
    chosen: Sequence[Option],
    plan: Plan | None = None,
    rows: FoodRows | None = None,
) -> Substitution:
    """A new variant with these options, at most one a line, its amounts matched to the targets.

    Lines that are replaced lose their lock, limits and links, which were made for what was there.  Without targets the
    other lines stay as they are.

    Parameters
    ----------
    project, variant : Project, Variant
        What it is made from; nothing of it is changed.
    chosen : sequence of Option
        From ``options_for``.
    plan : Plan, optional
        Name, purpose and targets.
    rows : FoodRows, optional
        Rows computed earlier.

    Returns
    -------
    Substitution
        The variant as one undo step, and what is to be known about it.
    """
    plan, rows = plan or Plan(), rows or FoodRows()
    before = evaluate(prepare(project, variant, rows))
    name = free_variant_name(project, plan.name or "; ".join(words.swap(option) for option in chosen))
    added, made_id = new_variant(project, name, variant.id)
    exchanged = _with_lines(added.project, made_id, chosen)
    if plan.drop_empty:
        filled = tuple(line for line in exchanged.variant(made_id).lines if line.amount_g > 0.0)
        exchanged = with_variant(exchanged, replace(exchanged.variant(made_id), lines=filled))
    if plan.targets is not None or plan.equal_carbohydrate:
        exchanged = _using(exchanged, made_id, plan.targets)
    wanted = _wanted(exchanged, exchanged.variant(made_id), plan, before)
    exchanged, resized = _resized(exchanged, made_id, plan, before, rows)
    matched, remarks = _matched(exchanged, made_id, wanted, rows)
    after = evaluate(prepare(matched, matched.variant(made_id), rows))
    trials = words.trials(variant, chosen, after)
    losses = words.losses(chosen, before, after)
    notes = words.notes(chosen, losses, trials, plan.reasons)
    wish = project.wish_of(variant)
    kept = variant.avoid if wish == wish | plan.avoid else wish | plan.avoid
    final = replace(matched.variant(made_id), purpose=plan.purpose, notes=notes, avoid=kept)
    changed = with_variant(matched, final)
    after = evaluate(prepare(changed, final, rows))
    targets = changed.targets_of(final)
    own = verdicts(after, targets) if targets else ()
    uneven = words.unequal(before, after) if plan.equal_carbohydrate else ()
    unknown = dict.fromkeys(word for option in chosen for word in option.unknown)
    return Substitution(
        title=_(plan.title),
        edit=Edit(changed, Change.VARIANTS | Change.FOODS | Change.TARGETS, _("new variant {name}", name=name)),
        variant_id=made_id,
        options=tuple(chosen),
        before=before,
        after=after,
        changes=line_changes(before, after),
        differences=differences(before, after, "portion", COMPARED),
        verdicts_before=verdicts(before, targets) if targets else (),
        verdicts=own,
        losses=losses,
        trials=trials,
        remarks=(*resized, *remarks, *uneven, *words.shortfalls(own), *unknown),
    )


# --- lines ------------------------------------------------------------------------------------------------------------


def _with_lines(project: Project, variant_id: str, chosen: Sequence[Option]) -> Project:
    """Lines with the options in their places; what is in the same stage already goes into the line that is there."""
    options = {option.line_id: option for option in chosen}
    lines: list[Line] = []
    more: dict[str, float] = {}  # line id -> grams that come to it
    old = project.variant(variant_id).lines
    for line in old:
        option = options.get(line.id)
        if option is None:
            lines.append(line)
            continue
        first = True
        for part in option.parts:
            project, ref = take_in(project, part.food)
            there = next((x for x in old if x.id not in options and _takes(x, ref, line)), None)
            if there is not None:
                more[there.id] = more.get(there.id, 0.0) + part.amount_g
                continue
            line_id = line.id if first else new_id()
            first = False
            lines.append(Line(id=line_id, stage_id=line.stage_id, food_ref=ref, amount_g=part.amount_g, note=line.note))
    lines = [
        replace(line, amount_g=line.amount_g + more[line.id], entered="") if line.id in more else line for line in lines
    ]
    return with_variant(project, replace(project.variant(variant_id), lines=tuple(lines)))


def _takes(there: Line, ref: FoodRef, line: Line) -> bool:
    """Whether a line can simply take more: the same food in the same stage, free to move."""
    free = not (there.lock or there.as_bought or there.cooking_water or there.group or there.retention)
    unlimited = there.min_g is None and there.max_g is None
    return free and unlimited and there.amount_g > 0 and there.food_ref.id == ref.id and there.stage_id == line.stage_id


# --- amounts ----------------------------------------------------------------------------------------------------------


def _using(project: Project, variant_id: str, targets: TargetSet | None) -> Project:
    """The variant with another set of targets, or none; the set is taken into the project if it is not there."""
    if targets is not None and all(s.id != targets.id for s in project.target_sets):
        project = replace(project, target_sets=(*project.target_sets, targets))
    target_set_id = targets.id if targets else None
    return with_variant(project, replace(project.variant(variant_id), target_set_id=target_set_id))


def _wanted(project: Project, variant: Variant, plan: Plan, before: Evaluation) -> TargetSet | None:
    if not plan.equal_carbohydrate:
        return project.targets_of(variant)
    carbohydrate = before.bound("CHOAVLDF")
    if not carbohydrate.known:
        return None
    low, high = carbohydrate.low - _SLACK_G, carbohydrate.high + _SLACK_G
    if not math.isfinite(high):
        return None
    return TargetSet(id="", name="", targets=(Target(id="", quantity="CHOAVLDF", low=low, high=high),))


def _resized(
    project: Project, variant_id: str, plan: Plan, before: Evaluation, rows: FoodRows
) -> tuple[Project, tuple[str, ...]]:
    """Pieces of a set weight made as heavy as they have to be for as much carbohydrate."""
    variant = project.variant(variant_id)
    portioning = variant.portioning
    if not plan.equal_carbohydrate or not isinstance(portioning, ByWeight):
        return project, ()
    now, was = evaluate(prepare(project, variant, rows)).bound("CHOAVLDF"), before.bound("CHOAVLDF")
    if not (now.known and was.known and now.value > 0.0 and was.value > 0.0):
        return project, ()
    piece_g = round(portioning.piece_g * was.value / now.value, 1)
    if piece_g <= 0.0 or piece_g == portioning.piece_g:
        return project, ()
    told = _(
        "A piece weighs {now} g instead of {was} g for as much carbohydrate.",
        now=f"{piece_g:g}",
        was=f"{portioning.piece_g:g}",
    )
    sized = replace(variant, portioning=replace(portioning, piece_g=piece_g))
    return with_variant(project, sized), (told,)


def _matched(
    project: Project, variant_id: str, targets: TargetSet | None, rows: FoodRows
) -> tuple[Project, tuple[str, ...]]:
    """Amounts matched and, where that costs no target, rounded to what a scale shows."""
    variant = project.variant(variant_id)
    prepared = prepare(project, variant, rows)
    if targets is None or not targets.targets or prepared.broken or not evaluate(prepared).valid:
        return project, ()
    # A line of 0 g is not in the recipe, and what it is made of must not come in unasked.
    held = tuple(line if line.amount_g > 0 else replace(line, lock=True) for line in variant.lines)
    found = match(project, replace(variant, lines=held), targets, prepared=prepared)
    if not found.changes:
        return project, ()
    if any(_turned_over(change, found.before.raw_g) for change in found.changes):
        return project, (_("The targets could only be met by turning the recipe over; the amounts were left."),)
    exact = _at(variant, found.amounts)
    rounded = _at(variant, {**found.amounts, **{c.line_id: kitchen_grams(c.after_g) for c in found.changes}})
    states = [verdict.state for verdict in found.verdicts]
    kept = [v.state for v in verdicts(evaluate(prepared, rounded), targets)] == states
    moved = ", ".join(
        _("{food} {before} → {after} g", food=c.name, before=f"{c.before_g:g}", after=f"{kitchen_grams(c.after_g):g}")
        for c in found.changes
        if kitchen_grams(c.after_g) != kitchen_grams(c.before_g)
    )
    remarks = (_("Amounts were matched: {moved}.", moved=moved),) if moved else ()
    return with_variant(project, rounded if kept else exact), remarks


def _turned_over(change: AmountChange, batch_g: float) -> bool:
    """Whether a line that counts would all but vanish, or become something else altogether."""
    counts = max(change.before_g, change.after_g) >= _COUNTS * batch_g
    return counts and not change.before_g / _MOST_TIMES <= change.after_g <= change.before_g * _MOST_TIMES


def _at(variant: Variant, amounts: Mapping[str, float]) -> Variant:
    lines = tuple(
        line if amounts[line.id] == line.amount_g else replace(line, amount_g=amounts[line.id], entered="")
        for line in variant.lines
    )
    return replace(variant, lines=lines)
