"""From the pantry: what is at hand, a form and targets give two or three recipes to start a trial from."""

import time
from collections.abc import Sequence
from typing import NamedTuple

from msgspec.structs import replace

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.progress import Progress
from workbench.base.text import N_, _, number
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.composition.piece_forms import PieceForm
from workbench.document.edits import Change, Edit, take_in
from workbench.document.project import (
    ByCount,
    Line,
    Project,
    Stage,
    TargetSet,
    Unchanged,
    Variant,
    WaterLost,
    new_id,
)
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.recipe.verdict import Verdict, verdicts
from workbench.recipe.words import verdict_text
from workbench.solve.options import kitchen_grams
from workbench.solve.pantry_model import Answer, Kitchen, Model, Steps, bears, kitchen
from workbench.solve.wishes import Wishes, read_wishes

PIECES = 12  # of a first trial batch
_MOST = 3  # recipes
_PACE = 3.0  # pieces an hour where nothing else is said
_NAMED = 3  # ingredients in the name of a recipe

STARTING_POINT = N_(
    "starting point for a trial, worked out from composition and usual shares; nobody has made or tasted it"
)

NOTHING_AT_HAND = ProblemKind(
    "nothing_at_hand",
    "error",
    N_("a {form} needs {roles}, and nothing at hand gives it."),
    N_("Add such an ingredient, or choose another form."),
)
NOTHING_USABLE = ProblemKind(
    "nothing_usable",
    "error",
    N_("nothing at hand goes into a {form}."),
    N_("Choose another form, or add ingredients."),
)
NO_RECIPE = ProblemKind(
    "no_recipe",
    "error",
    N_("what is at hand cannot be made into a {form}: moisture, shares, salt and sugar cannot all be kept."),
    N_("Add a binder, something dry or something moist, or change the limits of the form."),
)
NO_SALT = ProblemKind("no_salt", "notice", N_("nothing at hand salts it."))
LEFT_ASIDE = ProblemKind("left_aside", "notice", N_("a {form} does not take these: {foods}."))
NO_FLAVOUR = ProblemKind("no_flavour", "notice", N_("nothing at hand gives it a flavour of its own."))
OUT_OF_TIME = ProblemKind(
    "out_of_time", "notice", N_("the time was up: these are the best recipes found so far."), N_("Give it more time.")
)

_ROLE_WORDS = {
    "bulk_starch": N_("grain, flakes or starch"),
    "sweetener": N_("something sweet"),
    "binder": N_("something that binds"),
    "liquid": N_("liquid"),
    "salt": N_("salt"),
    "flavour": N_("a flavour"),
    "fat": N_("fat"),
    "dried fruit": N_("dried fruit"),
    "sugars and syrups": N_("sugar or syrup"),
}


class Suggestion(NamedTuple):
    """A recipe to start a trial from; ``edit`` adds it as a variant in one undo step."""

    edit: Edit
    variant_id: str
    after: Evaluation
    verdicts: tuple[Verdict, ...]
    remarks: tuple[str, ...]
    trials: tuple[str, ...]

    @property
    def must_met(self) -> bool:
        """Whether the result is valid and meets every target that must be kept."""
        return self.after.valid and all(v.state == "met" for v in self.verdicts if v.target.strength == "must")


class Suggestions(NamedTuple):
    """Recipes to choose from, the best first, and what else is to be known."""

    recipes: tuple[Suggestion, ...]
    problems: tuple[Problem, ...] = ()


def suggest(
    project: Project,
    have: Sequence[Food],
    form: PieceForm,
    targets: TargetSet | None = None,
    progress: Progress | None = None,
    seconds: float = 15.0,
    rows: FoodRows | None = None,
) -> Suggestions:
    """Two or three starting recipes with few ingredients, from what is at hand.

    Parameters
    ----------
    project : Project
        Where the recipes go; its assumptions count, and a food of its own stands for its namesake.
    have : sequence of Food
        What is at hand; water is there where the form needs it.
    form : PieceForm
        The limits to keep, from ``piece_forms``.
    targets : TargetSet, optional
        What the pieces are to deliver.
    progress : Progress, optional
        To watch and to stop it.
    seconds : float
        Time for all of it. [s]

    Returns
    -------
    Suggestions
        Recipes that keep the limits of the form; what they miss of the targets is said.  The same pantry gives the same
        recipes, in whatever order it is listed, unless the time ran out.

    Raises
    ------
    Cancelled
        If ``progress`` was told to stop.
    """
    progress, rows = progress or Progress(), rows or FoodRows()
    place = Place("field", form.key, _(form.title))
    foods = _at_hand(project, have, form)
    at_hand = kitchen(foods, form, project.assumptions, rows)
    problems = _shortages(at_hand, place)
    aside = sorted(food.name for food in foods if not bears(form, food))
    notices = [LEFT_ASIDE.at(place, form=_(form.title), foods="; ".join(aside))] if aside else []
    if any(problem.severity == "error" for problem in problems):
        return Suggestions((), (*problems, *notices))
    wishes = read_wishes(targets) if targets is not None else Wishes((), (), ())
    model = Model(at_hand, wishes, _PACE)
    until = time.monotonic() + seconds
    answers: list[Answer] = []
    late = False
    for k in range(_MOST):
        barred = _barred(at_hand, answers, k)
        if barred is None:
            continue
        model.forbid(barred)
        answer, timed_out = model.solve(Steps(progress, k, _MOST), max(until - time.monotonic(), 0.1))
        model.allow(barred)
        late |= timed_out
        if answer is not None and all(_used(at_hand, answer) != _used(at_hand, other) for other in answers):
            answers.append(answer)
    if not answers:
        return Suggestions((), (NO_RECIPE.at(place, form=_(form.title)), *problems, *notices))
    if late:
        notices.append(OUT_OF_TIME.at(place))
    made = tuple(_suggestion(project, at_hand, answer, targets, rows) for answer in answers)
    return Suggestions(made, (*wishes.problems, *problems, *notices))


def _at_hand(project: Project, have: Sequence[Food], form: PieceForm) -> list[Food]:
    """What is at hand, each once, with what every kitchen has."""
    found = {food.id: food for food in have}
    for food_id in form.always:
        found.setdefault(food_id, bundled_foods()[food_id])
    return [project.foods.get(food_id, food) for food_id, food in sorted(found.items())]


def _shortages(at_hand: Kitchen, place: Place) -> list[Problem]:
    """What the form needs and nothing at hand gives."""
    form, title = at_hand.form, _(at_hand.form.title)
    if all(food.id in form.always for food in at_hand.foods):
        return [NOTHING_USABLE.at(place, form=title)]
    missing = [
        limit.what
        for limit in form.limits
        if limit.low and limit.what not in ("flavour", "salt") and not any(limit.counts(f) for f in at_hand.foods)
    ]
    found = []
    if missing:
        roles = ", ".join(_(_ROLE_WORDS.get(what, what)) for what in dict.fromkeys(missing))
        found.append(NOTHING_AT_HAND.at(place, form=title, roles=roles))
    if not any("flavour" in food.roles for food in at_hand.foods):
        found.append(NO_FLAVOUR.at(place))
    if form.salt_low > 0.0 and not any("salt" in food.roles for food in at_hand.foods):
        found.append(NO_SALT.at(place))
    return found


def _used(at_hand: Kitchen, answer: Answer) -> tuple[str, ...]:
    return tuple(food.id for food, grams in zip(at_hand.foods, answer.grams, strict=True) if grams > 1e-6)


def _barred(at_hand: Kitchen, answers: Sequence[Answer], k: int) -> tuple[str, ...] | None:
    """What the next recipe must do without, so that it is another one: the first or second ingredient of the best."""
    if k == 0:
        return ()
    if not answers:
        return None
    ranked = _ranked(at_hand, answers[0])
    return (ranked[k - 1].id,) if len(ranked) >= k else None


def _ranked(at_hand: Kitchen, answer: Answer) -> list[Food]:
    """Ingredients by weight, without what every kitchen has."""
    pairs = sorted(zip(answer.grams, at_hand.foods, strict=True), key=lambda pair: (-pair[0], pair[1].id))
    return [food for grams, food in pairs if grams > 1e-6 and food.id not in at_hand.form.always]


# --- as a variant -----------------------------------------------------------------------------------------------------


def _suggestion(
    project: Project, at_hand: Kitchen, answer: Answer, targets: TargetSet | None, rows: FoodRows
) -> Suggestion:
    form = at_hand.form
    stages = tuple(_stage(form, k) for k in range(len(form.stages)))
    order = sorted(range(len(at_hand.foods)), key=lambda k: (at_hand.at_stage[k], -answer.grams[k], k))
    lines: list[Line] = []
    for k in order:
        grams = kitchen_grams(float(answer.grams[k]) * PIECES)
        if grams <= 0.0:
            continue
        project, ref = take_in(project, at_hand.foods[k])
        stage_id = stages[at_hand.at_stage[k]].id
        lines.append(Line(id=new_id(), stage_id=stage_id, food_ref=ref, amount_g=grams))
    if targets is not None and all(s.id != targets.id for s in project.target_sets):
        project = replace(project, target_sets=(*project.target_sets, targets))
    trials = _trials(form)
    names = [food.name.split(",")[0] for food in _ranked(at_hand, answer)[:_NAMED]]
    variant = Variant(
        id=new_id(),
        name=_free_name(project, _("{form}: {foods}", form=_(form.title), foods=", ".join(names))),
        lines=tuple(lines),
        stages=stages,
        portioning=ByCount(count=PIECES),
        pace_per_hour=_PACE,
        target_set_id=targets.id if targets is not None else None,
        notes="\n".join((_(STARTING_POINT), _("To test: {trials}", trials=" | ".join(trials)))),
    )
    changed = replace(project, variants=(*project.variants, variant))
    after = evaluate(prepare(changed, variant, rows))
    own = verdicts(after, targets) if targets is not None else ()
    edit = Edit(changed, Change.VARIANTS | Change.FOODS | Change.TARGETS, _("new variant {name}", name=variant.name))
    remarks = tuple(verdict_text(verdict) for verdict in own if verdict.state != "met")
    return Suggestion(edit, variant.id, after, own, (_(STARTING_POINT), *remarks), trials)


def _free_name(project: Project, name: str) -> str:
    taken = {variant.name for variant in project.variants}
    return name if name not in taken else next(x for k in range(2, len(taken) + 3) if (x := f"{name} {k}") not in taken)


def _stage(form: PieceForm, k: int) -> Stage:
    name, kind = form.stages[k]
    lost = form.lost_percent if k == form.lost_at - 1 else 0.0
    weight = WaterLost(amount=lost, unit="%") if lost > 0.0 else Unchanged()
    return Stage(id=new_id(), name=_(name), kind=kind, weight=weight)  # type: ignore[arg-type]


def _trials(form: PieceForm) -> tuple[str, ...]:
    found = [
        _("Make {n} pieces, weigh before and after every step, and enter what the scale says.", n=PIECES),
        _("Bend a cold piece, carry one for an hour, and taste it dry-mouthed."),
    ]
    if form.lost_percent > 0.0:
        name = _(form.stages[form.lost_at - 1][0])
        lost = number(form.lost_percent, 0)
        found.append(_("That “{stage}” loses {lost} % water is a guess until it was weighed.", stage=name, lost=lost))
    return tuple(found)
