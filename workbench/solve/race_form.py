"""The race version from the long-ride version, and back: other forms of the same foods at equal carbohydrate.

Whole grain to refined, dried fruit to syrup, nut to oil, and the other way round.  What it costs is data.
"""

from collections.abc import Mapping, Sequence
from typing import Literal

from workbench.base.errors import Place, ProblemKind
from workbench.base.text import N_, _
from workbench.composition.food import ALLERGENS, WATCHED, Food, Origin
from workbench.document.avoid import ANIMAL, Avoid, avoiding
from workbench.document.project import Project, TargetSet, Variant
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import INDEX
from workbench.solve.assemble import Plan
from workbench.solve.exchange import edible_g
from workbench.solve.options import options_for
from workbench.solve.substitutes import WITHOUT_RESULT, Pick, closest, other_ingredients, proposals
from workbench.solve.substitution import Option, Substitution, Substitutions

_GENTLE = 0.6  # of the fibre that all swaps together move: what the gentle version is content with

NOTHING_TO_SWAP = {
    "race": ProblemKind(
        "nothing_to_lighten",
        "notice",
        N_("no ingredient has a lighter form here, or none lowers fibre."),
        N_("Lower the amounts of what brings fibre, or add exchanges to the data."),
    ),
    "long_ride": ProblemKind(
        "nothing_to_slow",
        "notice",
        N_("no ingredient has a slower form here, or none raises fibre."),
        N_("Add whole grain, dried fruit or nuts by hand, or add exchanges to the data."),
    ),
}


def _few_swaps(project: Project, variant: Variant, rows: FoodRows) -> Pick:
    """Picks the swaps that move most fibre, until most of it is done."""
    ids = [line.id for line in variant.lines]

    def pick(choices: Sequence[tuple[Option, ...]], _project: Project) -> tuple[Option, ...]:
        moved = sorted(
            ((abs(_fibre(project, variant, options[0], rows).value), options[0]) for options in choices),
            key=lambda pair: (-pair[0], pair[1].line_id),
        )
        wanted = _GENTLE * sum(fibre for fibre, _option in moved)
        chosen, done = [], 0.0
        for fibre, option in moved:
            if done >= wanted:
                break
            chosen.append(option)
            done += fibre
        return tuple(sorted(chosen, key=lambda option: ids.index(option.line_id)))

    return pick


def other_form(
    project: Project,
    variant: Variant,
    purpose: Literal["race", "long_ride"],
    targets: TargetSet | None = None,
    rows: FoodRows | None = None,
    foods: Mapping[str, Food] | None = None,
) -> Substitutions:
    """Lighter or slower versions of a variant with as much carbohydrate in a piece.

    Nothing comes in that brings an allergen or an animal origin which the recipe does not have.

    Parameters
    ----------
    project, variant : Project, Variant
        What it is made from.
    purpose : {"race", "long_ride"}
        ``race``: less fibre and a lower undigested estimate.  ``long_ride``: more.
    targets : TargetSet, optional
        Targets to match instead of the carbohydrate of a piece; the new variant then uses them.
    rows : FoodRows, optional
        Rows computed earlier.
    foods : mapping of str to Food, optional
        What there is to choose from, by id; the bundled table where absent.

    Returns
    -------
    Substitutions
        Up to three versions; each moves fibre the right way, and where it is for a race the organic undigested estimate
        too.
    """
    rows = rows or FoodRows()
    place = Place("variant", variant.id, variant.name)
    before = evaluate(prepare(project, variant, rows))
    if not before.valid:
        return Substitutions((), (WITHOUT_RESULT.at(place),))
    avoid = _nothing_new(project, variant)
    choices = []
    for line in variant.lines:
        options = options_for(project, variant, line.id, avoid, foods, rows, purpose=purpose)
        useful = tuple(o for o in options if _moves_fibre(project, variant, o, rows, purpose))
        if useful:
            choices.append(useful)
    if not choices:
        return Substitutions((), (NOTHING_TO_SWAP[purpose].at(place),))
    plan = Plan(
        name=_("race") if purpose == "race" else _("long ride"),
        purpose=purpose,
        targets=targets,
        equal_carbohydrate=targets is None,
    )

    picks: tuple[tuple[str, Pick], ...] = (
        (N_("every swap"), closest),
        (N_("few swaps"), _few_swaps(project, variant, rows)),
        (N_("other ingredients"), other_ingredients),
    )
    made = proposals(project, variant, choices, picks, plan, rows)
    kept = tuple(p for p in made if _holds(p, purpose))
    return Substitutions(kept, () if kept else (NOTHING_TO_SWAP[purpose].at(place),))


def _sign(purpose: Literal["race", "long_ride"]) -> float:
    return -1.0 if purpose == "race" else 1.0


def _nothing_new(project: Project, variant: Variant) -> Avoid:
    """Whatever the recipe does not bring already; a variant among the ingredients may bring anything."""
    foods = [project.foods[x.food_ref.id] for x in variant.lines if x.amount_g > 0 and x.food_ref.id in project.foods]
    allergens = {key for food in foods for key in (*(food.contains or ()), *food.may_contain)}
    origins: set[Origin] = {food.origin for food in foods}
    return avoiding(origins=frozenset(ANIMAL) - origins, allergens=frozenset((*ALLERGENS, *WATCHED)) - allergens)


def _moves_fibre(
    project: Project, variant: Variant, option: Option, rows: FoodRows, purpose: Literal["race", "long_ride"]
) -> bool:
    """Whether a swap certainly moves fibre the right way, whatever is not known of it."""
    added = _fibre(project, variant, option, rows)
    return added.high < 0.0 if purpose == "race" else added.low > 0.0


def _fibre(project: Project, variant: Variant, option: Option, rows: FoodRows) -> Bound:
    """How much fibre a swap adds to the batch. [g]"""
    column = INDEX["FIBTG"]
    line = next(line for line in variant.lines if line.id == option.line_id)
    food = project.foods[line.food_ref.id]
    edible = edible_g(line, food)
    old = [edible * per_gram[column] for per_gram in rows.row(food, project.assumptions, {})[:3]]
    comes = [(part.amount_g, rows.row(part.food, project.assumptions, {})) for part in option.parts]
    new = [sum(grams * row[k][column] for grams, row in comes) for k in range(3)]
    return Bound(float(new[0] - old[0]), float(new[1] - old[2]), float(new[2] - old[1]))


def _holds(proposal: Substitution, purpose: Literal["race", "long_ride"]) -> bool:
    """Whether the engine agrees that it is lighter, or slower."""
    keys = ("FIBTG", "residue_organic") if purpose == "race" else ("FIBTG",)
    if not proposal.after.valid:
        return False
    for key in keys:
        was, now = proposal.before.bound(key), proposal.after.bound(key)
        if was.known and now.known and (now.value - was.value) * _sign(purpose) <= 0.0:
            return False
    return True
