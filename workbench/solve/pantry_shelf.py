"""What is at hand for recipes from a pantry: what may be used, what is there anyway, and what is missing."""

from collections.abc import Sequence

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.text import N_, _
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.composition.piece_forms import PieceForm
from workbench.document.project import Project
from workbench.solve.avoid import reasons
from workbench.solve.pantry_model import Kitchen

NOTHING_AT_HAND = ProblemKind(
    "nothing_at_hand",
    "error",
    N_("needs {roles}, and nothing at hand gives it."),
    N_("Add such an ingredient, or choose another form."),
)
NOTHING_USABLE = ProblemKind(
    "nothing_usable",
    "error",
    N_("nothing at hand goes into it."),
    N_("Choose another form, or add ingredients."),
)
NO_SALT = ProblemKind("no_salt", "notice", N_("nothing at hand salts it."))
LEFT_ASIDE = ProblemKind("left_aside", "notice", N_("does not take {foods}."))
NO_FLAVOUR = ProblemKind("no_flavour", "notice", N_("nothing at hand gives it a flavour of its own."))
AVOIDED_AT_HAND = ProblemKind("avoided_at_hand", "notice", N_("left out because it is to be avoided: {foods}."))

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
    "syrup": N_("syrup"),
}


def allowed(project: Project, have: Sequence[Food]) -> tuple[list[Food], list[str]]:
    """What the project does not avoid; and what it does, with the reasons, in words."""
    kept: list[Food] = []
    avoided: list[str] = []
    for food in have:
        why = reasons(project.foods.get(food.id, food), project.avoid)
        if why:
            avoided.append(f"{food.name} ({', '.join(reason.text for reason in why)})")
        else:
            kept.append(food)
    return kept, sorted(avoided)


def at_hand_of(project: Project, have: Sequence[Food], form: PieceForm) -> list[Food]:
    """What is at hand, each once, with what every kitchen has."""
    found = {food.id: food for food in have}
    for food_id in form.always:
        found.setdefault(food_id, bundled_foods()[food_id])
    return [project.foods.get(food_id, food) for food_id, food in sorted(found.items())]


def shortages(at_hand: Kitchen, place: Place) -> list[Problem]:
    """What the form needs and nothing at hand gives."""
    form = at_hand.form
    if all(food.id in form.always for food in at_hand.foods):
        return [NOTHING_USABLE.at(place)]
    missing = [
        limit.what
        for limit in form.limits
        if limit.low and limit.what not in ("flavour", "salt") and not any(limit.counts(f) for f in at_hand.foods)
    ]
    found = []
    if missing:
        roles = ", ".join(_(_ROLE_WORDS.get(what, what)) for what in dict.fromkeys(missing))
        found.append(NOTHING_AT_HAND.at(place, roles=roles))
    if not any("flavour" in food.roles for food in at_hand.foods):
        found.append(NO_FLAVOUR.at(place))
    if form.salt_low > 0.0 and not any("salt" in food.roles for food in at_hand.foods):
        found.append(NO_SALT.at(place))
    return found
