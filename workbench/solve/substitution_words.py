"""What a change of ingredients comes to, in words: losses, what to test, and the notes that stay with the variant."""

from collections.abc import Mapping, Sequence

from workbench.base.text import _
from workbench.document.edits import find_line
from workbench.document.project import Variant, Weighed
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.verdict import Verdict
from workbench.recipe.words import quantity_text, verdict_text
from workbench.solve.substitution import Option

_WETTER = 2.0  # g more water in 100 g: keeps less long
_EQUAL_G = 0.15  # of carbohydrate a piece: less is the same


def swap(option: Option) -> str:
    """What is replaced by what."""
    new = " + ".join(part.food.name for part in option.parts) or _("left out")
    return _("{old} → {new}", old=option.name, new=new)


def losses(chosen: Sequence[Option], before: Evaluation, after: Evaluation) -> tuple[str, ...]:
    """What is lost, line by line, and what the whole keeps less of."""
    found = [
        _("{old}: {losses}", old=swap(option), losses=", ".join(option.losses)) for option in chosen if option.losses
    ]
    if before.valid and after.valid:
        was, now = before.bound("WATER", "per_100g"), after.bound("WATER", "per_100g")
        if was.known and now.known and now.value > was.value + _WETTER:
            text = _(
                "Keeps less long: {now} % water instead of {was} %.", now=f"{now.value:.0f}", was=f"{was.value:.0f}"
            )
            found.append(text)
    return tuple(found)


def trials(variant: Variant, chosen: Sequence[Option], after: Evaluation) -> tuple[str, ...]:
    """What to test in a trial batch."""
    found = [trial for option in chosen for trial in option.trials]
    weighed = {stage.id: stage for stage in variant.stages if isinstance(stage.weight, Weighed)}
    order = [stage.id for stage in variant.stages]
    touched = [order.index(line.stage_id) for o in chosen if (line := find_line(variant, o.line_id)).stage_id in order]
    for stage_id, stage in weighed.items():
        if touched and min(touched) <= order.index(stage_id):
            name = stage.name or str(order.index(stage_id) + 1)
            found.append(
                _("Weigh before and after “{stage}”: the weight after it was measured with the old recipe.", stage=name)
            )
    found += [problem.sentence() for problem in after.problems if problem.severity == "error"]
    return tuple(dict.fromkeys(found))


def shortfalls(own: Sequence[Verdict]) -> tuple[str, ...]:
    """Targets that are not met."""
    return tuple(verdict_text(verdict) for verdict in own if verdict.state != "met")


def notes(chosen: Sequence[Option], losses: Sequence[str], trials: Sequence[str], reasons: Mapping[str, str]) -> str:
    """What stays with the variant: what was replaced and why, what it cost, what to test."""
    changed = []
    for option in chosen:
        why = reasons.get(option.line_id, "")
        changed.append(f"{swap(option)} ({'; '.join(x for x in (why, option.because, option.source) if x)})")
    blocks = [(_("Replaced"), changed), (_("Lost"), losses), (_("To test"), trials)]
    return "\n".join(f"{title}: {' | '.join(lines)}" for title, lines in blocks if lines)


def unequal(before: Evaluation, after: Evaluation) -> tuple[str, ...]:
    """Said where the carbohydrate of a piece was to stay and did not."""
    was, now = before.bound("CHOAVLDF"), after.bound("CHOAVLDF")
    if abs(now.value - was.value) <= _EQUAL_G:
        return ()
    figures = {"now": quantity_text(now, "CHOAVLDF"), "was": quantity_text(was, "CHOAVLDF")}
    return (_("Carbohydrate could not be kept: {now} instead of {was} a piece.", **figures),)
