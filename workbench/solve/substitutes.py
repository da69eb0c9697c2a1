"""A whole recipe without something: two or three complete variants that differ, and how."""

from collections.abc import Callable, Mapping, Sequence

from msgspec.structs import replace

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.text import N_, _, number
from workbench.composition.food import ALLERGENS, WATCHED, Food
from workbench.document.avoid import ANIMAL, Avoid
from workbench.document.project import Project, Purpose, Variant
from workbench.recipe.evaluation import evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.recipe.words import ALLERGEN_WORDS
from workbench.solve.assemble import Plan, with_options
from workbench.solve.avoid import Offence, avoid_words, offending
from workbench.solve.options import options_for
from workbench.solve.substitution import Option, Substitution, Substitutions

_MOST = 3  # proposals
_LOOKED_AT = 12  # options a line
_NEW_FOOD_COUNTS = 1.0  # an ingredient that has to be bought

NOTHING_TO_AVOID = ProblemKind(
    "nothing_to_avoid", "notice", N_("nothing is chosen that should be avoided."), N_("Choose what to avoid.")
)
NOTHING_OFFENDS = ProblemKind("nothing_offends", "notice", N_("already holds nothing to be avoided ({what})."))
TRACES = ProblemKind(
    "traces",
    "notice",
    N_("traces do not count here, and there may be some: {foods}."),
    N_("Let traces count, or read the packs."),
)
NO_SUBSTITUTE = ProblemKind(
    "no_substitute",
    "error",
    N_("nothing is left that could take the place of {food} without {what}."),
    N_("Avoid less, add an ingredient that may be eaten, or rework the recipe by hand."),
)
MADE_OF_VARIANT = ProblemKind(
    "made_of_variant",
    "error",
    N_("{food} is another variant that holds it: {why}."),
    N_("Make that variant without it first, then use the new one here."),
)
FOOD_NOT_HELD = ProblemKind(
    "food_not_held",
    "error",
    N_("the project does not hold {food}, so nothing can be said about it."),
    N_("Replace the line, or add the ingredient to the project."),
)
NOT_STATED = ProblemKind(
    "not_stated",
    "notice",
    N_("{food} is replaced as a risk: {why}."),
    N_("Read its pack; if it is free of it, say so on the ingredient and it stays."),
)
WITHOUT_RESULT = ProblemKind(
    "without_result", "error", N_("the variant has no valid result to start from."), N_("Mend its problems first.")
)

Pick = Callable[[Sequence[tuple[Option, ...]], Project], tuple[Option, ...]]


def without(
    project: Project,
    variant: Variant,
    avoid: Avoid,
    foods: Mapping[str, Food] | None = None,
    rows: FoodRows | None = None,
) -> Substitutions:
    """Complete variants without what is to be avoided, the nearest first.

    Parameters
    ----------
    project, variant : Project, Variant
        The recipe.
    avoid : Avoid
        What must not be in it.  What nobody stated counts as a risk, is replaced too, and is said.
    foods : mapping of str to Food, optional
        What there is to choose from; the bundled table where absent.
    rows : FoodRows, optional
        Rows computed earlier.

    Returns
    -------
    Substitutions
        Up to three proposals, none of which holds what is avoided; and why there are none, or what was left open.
    """
    place = Place("variant", variant.id, variant.name)
    if not avoid:
        return Substitutions((), (NOTHING_TO_AVOID.at(place),))
    found = offending(project, variant, avoid)
    if not found:
        return Substitutions(
            (), (NOTHING_OFFENDS.at(place, what=avoid_words(avoid)), *_traces(project, variant, avoid))
        )
    rows = rows or FoodRows()
    if not evaluate(prepare(project, variant, rows)).valid and not _missing(found):
        return Substitutions((), (WITHOUT_RESULT.at(place),))
    choices = [options_for(project, variant, offence.line_id, avoid, foods, rows, most=_LOOKED_AT) for offence in found]
    stuck = [
        _stuck(variant, offence, avoid_words(avoid | project.wish_of(variant)), place)
        for offence, options in zip(found, choices, strict=True)
        if not options
    ]
    if stuck:
        return Substitutions((), tuple(stuck))
    risks = tuple(
        NOT_STATED.at(place, food=o.name, why=", ".join(r.text for r in o.reasons)) for o in found if not o.certain
    )
    plan = Plan(
        name=_("plant-based")
        if frozenset(avoid.origins) >= frozenset(ANIMAL)
        else _("without {what}", what=avoid_words(avoid)),
        purpose=_purpose(variant, avoid),
        drop_empty=True,
        avoid=avoid,
        reasons={offence.line_id: ", ".join(r.text for r in offence.reasons) for offence in found},
    )
    made = tuple(_told_traces(p, avoid) for p in proposals(project, variant, choices, _PICKS, plan, rows))
    return Substitutions(made, risks)


def _traces(project: Project, variant: Variant, avoid: Avoid) -> tuple[Problem, ...]:
    """What may be in it in traces, where traces are let pass."""
    place = Place("variant", variant.id, variant.name)
    found = offending(project, variant, replace(avoid, traces=True)) if not avoid.traces else ()
    return (TRACES.at(place, foods="; ".join(offence.text for offence in found)),) if found else ()


def _told_traces(proposal: Substitution, avoid: Avoid) -> Substitution:
    project = proposal.edit.project
    found = _traces(project, project.variant(proposal.variant_id), avoid)
    return proposal._replace(remarks=(*proposal.remarks, *(problem.message for problem in found)))


def proposals(
    project: Project,
    variant: Variant,
    choices: Sequence[tuple[Option, ...]],
    picks: Sequence[tuple[str, Pick]],
    plan: Plan,
    rows: FoodRows,
) -> tuple[Substitution, ...]:
    """One proposal for each way to pick that gives something new, and how each differs from the first."""
    found: list[Substitution] = []
    seen: set[tuple[tuple[str, ...], ...]] = set()
    for title, pick in picks:
        chosen = pick(choices, project)
        key = tuple(option.foods for option in chosen)
        if len(found) == _MOST or not chosen or key in seen:
            continue
        seen.add(key)
        proposal = with_options(project, variant, chosen, plan._replace(title=title), rows)
        found.append(proposal._replace(differs=_differs(found[0], proposal)) if found else proposal)
    return tuple(found)


def _missing(found: Sequence[Offence]) -> bool:
    return any(reason.code == "missing" for offence in found for reason in offence.reasons)


def _stuck(variant: Variant, offence: Offence, what: str, place: Place) -> Problem:
    line = next(line for line in variant.lines if line.id == offence.line_id)
    at = (place, Place("line", line.id, offence.name))
    if offence.reasons[0].code == "missing":
        return FOOD_NOT_HELD.at(*at, food=offence.name)
    if line.food_ref.kind == "variant":
        return MADE_OF_VARIANT.at(*at, food=offence.name, why=", ".join(r.text for r in offence.reasons))
    return NO_SUBSTITUTE.at(*at, food=offence.name, what=what)


def _purpose(variant: Variant, avoid: Avoid) -> Purpose:
    if variant.purpose in ("race", "long_ride"):
        return variant.purpose
    return "plant_based" if frozenset(avoid.origins) >= frozenset(ANIMAL) else ""


# --- ways to pick -----------------------------------------------------------------------------------------------------


def closest(choices: Sequence[tuple[Option, ...]], _project: Project) -> tuple[Option, ...]:
    """The first option of each line."""
    return tuple(options[0] for options in choices)


def fewest_new(choices: Sequence[tuple[Option, ...]], project: Project) -> tuple[Option, ...]:
    """As few ingredients as possible that the project does not have yet, or that are not bought for another line."""
    held = set(project.foods) | {"water"}
    chosen = []
    for options in choices:
        best = min(options, key=lambda o: (o.score + _NEW_FOOD_COUNTS * len(set(o.foods) - held), o.foods))
        held |= set(best.foods)
        chosen.append(best)
    return tuple(chosen)


def fewest_allergens(choices: Sequence[tuple[Option, ...]], _project: Project) -> tuple[Option, ...]:
    """As few allergens as possible, traces included; what nobody stated comes last, as it may hold any."""
    return tuple(
        min(options, key=lambda o: (not _is_stated(o), _n_allergens(o), o.score, o.foods)) for options in choices
    )


def other_ingredients(choices: Sequence[tuple[Option, ...]], _project: Project) -> tuple[Option, ...]:
    """For every line the nearest option that begins with another ingredient of another kind."""
    chosen = []
    for options in choices:
        first = options[0].parts[0].food if options[0].parts else None
        others = [o for o in options if first is None or (o.parts and o.parts[0].food.group != first.group)]
        others = others or [o for o in options[1:] if o.foods[:1] != options[0].foods[:1]]
        chosen.append((others or options)[0])
    return tuple(chosen)


def _is_stated(option: Option) -> bool:
    return all(part.food.contains is not None for part in option.parts)


def _n_allergens(option: Option) -> int:
    return len({key for part in option.parts for key in (*(part.food.contains or ()), *part.food.may_contain)})


_PICKS: tuple[tuple[str, Pick], ...] = (
    (N_("closest"), closest),
    (N_("fewest further allergens"), fewest_allergens),
    (N_("fewest new ingredients"), fewest_new),
    (N_("other ingredients"), other_ingredients),
)


# --- how they differ --------------------------------------------------------------------------------------------------

_TOLD = ("CHOAVLDF", "FAT", "FIBTG", "PROCNT", "WATER")
_PLAIN = 0.05  # a difference of this share, and of at least the least that is shown, is told


def _differs(first: Substitution, other: Substitution) -> tuple[str, ...]:
    """How a proposal differs from the first one, in words."""
    words = []
    mine = {option.line_id: option for option in other.options}
    for option in first.options:
        theirs = mine.get(option.line_id)
        if theirs is None or theirs.foods != option.foods:
            old = " + ".join(p.food.name for p in option.parts) or _("left out")
            new = " + ".join(p.food.name for p in theirs.parts) or _("left out") if theirs else option.name
            words.append(_("{new} instead of {old}", new=new, old=old))
    before = {d.quantity.key: d for d in first.differences}
    for difference in other.differences:
        key, quantity = difference.quantity.key, difference.quantity
        was, now = before[key].after, difference.after
        if key not in _TOLD or not (was.known and now.known):
            continue
        moved = abs(now.value - was.value)
        if moved >= max(_PLAIN * was.value, 1.5 * 10.0**-quantity.decimals):
            figures = {"now": number(now.value, quantity.decimals), "was": number(was.value, quantity.decimals)}
            words.append(
                _(
                    "{title} {now} instead of {was} {unit} per piece",
                    title=_(quantity.title),
                    unit=quantity.unit,
                    **figures,
                )
            )
    had, has = _allergens(first), _allergens(other)
    if had - has and all(map(_is_stated, other.options)):
        words.append(_("without {allergens}", allergens=_allergen_words(had - has)))
    if has - had:
        words.append(_("with {allergens}", allergens=_allergen_words(has - had)))
    return tuple(words)


def _allergens(proposal: Substitution) -> set[str]:
    return {key for option in proposal.options for part in option.parts for key in part.food.contains or ()}


def _allergen_words(keys: set[str]) -> str:
    return ", ".join(_(ALLERGEN_WORDS[key]) for key in (*ALLERGENS, *WATCHED) if key in keys)
