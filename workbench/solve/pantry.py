"""From the pantry: what is at hand, a form and targets give two or three recipes to start a trial from."""

import time
from collections.abc import Sequence
from typing import NamedTuple

from msgspec.structs import replace

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.progress import Progress
from workbench.base.text import N_, _, number
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
from workbench.document.variant_edits import free_variant_name
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.recipe.verdict import Verdict, verdicts
from workbench.recipe.words import verdict_text
from workbench.solve.option_making import kitchen_grams
from workbench.solve.pantry_choice import ATTEMPTS, held_back, really_other, recipe_names
from workbench.solve.pantry_model import Answer, Kitchen, Model, Steps, bears, kitchen
from workbench.solve.pantry_shelf import AVOIDED_AT_HAND, LEFT_ASIDE, allowed, at_hand_of, shortages
from workbench.solve.wishes import Wishes, read_wishes

PIECES = 12  # of a first trial batch
_MOST = 3  # recipes
_PACE = 3.0  # pieces an hour where nothing else is said

STARTING_POINT = N_(
    "starting point for a trial, worked out from composition and usual shares; nobody has made or tasted it"
)

NO_RECIPE = ProblemKind(
    "no_recipe",
    "error",
    N_("cannot be made of what is at hand: moisture, shares, salt and sugar cannot all be kept."),
    N_("Add a binder, something dry or something moist, or change the limits of the form."),
)
ONLY_ONE = ProblemKind(
    "only_one",
    "notice",
    N_("only one recipe comes of this: every other would be nearly the same."),
    N_("Add another grain, sweetener or binder."),
)
OUT_OF_TIME = ProblemKind(
    "out_of_time", "notice", N_("the time was up: these are the best recipes found so far."), N_("Give it more time.")
)


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
    kept, avoided = allowed(project, have)
    foods = at_hand_of(project, kept, form)
    at_hand = kitchen(foods, form, project.assumptions, rows)
    problems = shortages(at_hand, place)
    aside = sorted(food.name for food in foods if not bears(form, food))
    notices = [AVOIDED_AT_HAND.at(place, foods="; ".join(avoided))] if avoided else []
    notices += [LEFT_ASIDE.at(place, foods="; ".join(aside))] if aside else []
    if any(problem.severity == "error" for problem in problems):
        return Suggestions((), (*problems, *notices))
    wishes = read_wishes(targets) if targets is not None else Wishes((), (), ())
    model = Model(at_hand, wishes, _PACE)
    until = time.monotonic() + seconds
    search = _Search(project, at_hand, targets, rows)
    late = False
    for k in range(ATTEMPTS):
        held = held_back(at_hand, search.answers, k)
        if held is None or len(search.made) == _MOST:
            continue
        model.hold(held)
        answer, timed_out = model.solve(Steps(progress, k, ATTEMPTS), max(until - time.monotonic(), 0.1))
        late |= timed_out
        if answer is not None:
            search.take(answer)
    if not search.made:
        return Suggestions((), (NO_RECIPE.at(place), *problems, *notices))
    if late:
        notices.append(OUT_OF_TIME.at(place))
    if len(search.made) == 1:
        notices.append(ONLY_ONE.at(place))
    return Suggestions(tuple(search.made), (*wishes.problems, *problems, *notices))


class _Search:
    """Recipes found so far, each another one, and none that misses what the first one keeps."""

    def __init__(self, project: Project, at_hand: Kitchen, targets: TargetSet | None, rows: FoodRows) -> None:
        self._parts = project, at_hand, targets, rows
        self.answers: list[Answer] = []
        self.made: list[Suggestion] = []

    def take(self, answer: Answer) -> None:
        """Keep an answer if it is another recipe and as good."""
        project, at_hand, targets, rows = self._parts
        if not all(really_other(at_hand, answer, other) for other in self.answers):
            return
        name = recipe_names(at_hand, [*self.answers, answer])[-1]
        made = _suggestion(project, at_hand, answer, name, targets, rows)
        if not self.made or made.must_met or not self.made[0].must_met:
            self.answers.append(answer)
            self.made.append(made)


# --- as a variant -----------------------------------------------------------------------------------------------------


def _suggestion(
    project: Project, at_hand: Kitchen, answer: Answer, name: str, targets: TargetSet | None, rows: FoodRows
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
    variant = Variant(
        id=new_id(),
        name=free_variant_name(project, name),
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
