"""What is to be avoided, and which ingredients of a recipe stand in the way of it.

What nobody stated (origin, allergens) is a risk and counts as an offence, with words that say so.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from workbench.base.errors import WorkbenchError
from workbench.base.nearest import nearest
from workbench.base.text import N_, _
from workbench.composition.food import ALLERGENS, GUT_FLAGS, WATCHED, Food, Origin
from workbench.document.avoid import ANIMAL, GLUTEN, GLUTEN_FREE, PLANT_BASED, Avoid, avoiding
from workbench.document.edits import food_name
from workbench.document.project import Line, Project, Variant
from workbench.recipe.words import ALLERGEN_WORDS

_ORIGIN_OF_ALLERGEN: Mapping[str, Origin] = {
    "milk": "dairy",
    "egg": "egg",
    "fish": "animal",
    "crustaceans": "animal",
    "molluscs": "animal",
}
"""An ingredient that contains one of these is of that origin, whatever its own row says (chocolate with milk)."""

_FROM: Mapping[Origin, str] = {
    "dairy": N_("made from milk"),
    "egg": N_("made from egg"),
    "bee": N_("made by bees"),
    "animal": N_("of animal origin"),
}
_GUT: Mapping[str, str] = {
    "lactose": N_("holds lactose"),
    "polyols": N_("holds polyols"),
    "excess_fructose": N_("holds more fructose than glucose"),
    "caffeine": N_("holds caffeine"),
}
_SHORT: Mapping[Origin, str] = {
    "dairy": N_("dairy"),
    "egg": N_("egg"),
    "bee": N_("honey"),
    "animal": N_("other animal"),
}
_GUT_SHORT: Mapping[str, str] = {
    "lactose": N_("lactose"),
    "polyols": N_("polyols"),
    "excess_fructose": N_("excess fructose"),
    "caffeine": N_("caffeine"),
}


def avoid_words(avoid: Avoid) -> str:
    """What is avoided, in words, such as ``animal, gluten``; empty where nothing is."""
    origins, allergens = frozenset(avoid.origins), frozenset(avoid.allergens)
    animal = [_("animal")] if origins >= frozenset(ANIMAL) else [_(_SHORT[key]) for key in ANIMAL if key in origins]
    gluten = [_("gluten")] if allergens >= frozenset(GLUTEN) else []
    named = [
        _(ALLERGEN_WORDS[key]) for key in (*ALLERGENS, *WATCHED) if key in allergens and not (gluten and key in GLUTEN)
    ]
    gut = [_(_GUT_SHORT[key]) for key in GUT_FLAGS if key in avoid.gut]
    words = ", ".join([*animal, *gluten, *named, *gut, *avoid.foods.values()])
    return _("{what}, not even traces", what=words) if avoid.traces and words else words


SURE, RISK = "⊘", "△"
"""The shapes before what is surely to be avoided, and before what only may be."""


class Reason(NamedTuple):
    """Why an ingredient is avoided; ``certain`` is False where it only may be, or nobody stated it."""

    code: str  # origin, allergen, traces, gut, unwanted, origin_not_stated, allergens_not_stated, missing
    key: str  # which origin, allergen or flag
    certain: bool
    text: str  # in words


class Offence(NamedTuple):
    """One line of a recipe that brings what is to be avoided."""

    line_id: str
    name: str
    reasons: tuple[Reason, ...]

    @property
    def certain(self) -> bool:
        """Whether it surely brings it; else it is a risk: the pack may say otherwise."""
        return any(reason.certain for reason in self.reasons)

    @property
    def text(self) -> str:
        """The line and the reasons, in words, behind the shape that tells what is in it from what only may be."""
        return f"{SURE if self.certain else RISK} {self.name}: {', '.join(reason.text for reason in self.reasons)}"

    @property
    def marks(self) -> str:
        """The reasons behind a shape and a word."""
        return marks(self.reasons)


def marks(found: Sequence[Reason]) -> str:
    """Reasons behind a shape and a word: one for what is surely in it, another for what only may be; "" for none."""
    sure, risks = [r.text for r in found if r.certain], [r.text for r in found if not r.certain]
    parts = [_("{sign} avoid: {why}", sign=SURE, why=", ".join(sure))] if sure else []
    parts += [_("{sign} a risk: {why}", sign=RISK, why=", ".join(risks))] if risks else []
    return "  ".join(parts)


def reasons(food: Food, avoid: Avoid) -> tuple[Reason, ...]:
    """Why a food is to be avoided; none where it may be eaten.

    Parameters
    ----------
    food : Food
        The ingredient.
    avoid : Avoid
        What must not be in it.

    Returns
    -------
    tuple of Reason
        In the order origin, allergens, gut, unwanted.
    """
    found: list[Reason] = []
    contained = food.contains or ()
    if food.origin in avoid.origins:
        found.append(Reason("origin", food.origin, True, _(_FROM[food.origin])))
    elif avoid.origins and food.origin == "unknown":
        found.append(Reason("origin_not_stated", "", False, _("nobody stated whether it is of animal origin")))
    for key in (*ALLERGENS, *WATCHED):
        wanted = key in avoid.allergens
        animal = _ORIGIN_OF_ALLERGEN.get(key) in avoid.origins
        if not (wanted or animal):
            continue
        words = _(ALLERGEN_WORDS[key])
        if key in contained and (wanted or food.origin != _ORIGIN_OF_ALLERGEN[key]):
            found.append(Reason("allergen", key, True, _("contains {allergen}", allergen=words)))
        elif key not in contained and avoid.traces and key in food.may_contain:
            found.append(Reason("traces", key, False, _("may contain {allergen}", allergen=words)))
    if avoid.allergens and food.contains is None:
        found.append(Reason("allergens_not_stated", "", False, _("nobody stated its allergens")))
    flags = (flag for flag in GUT_FLAGS if flag in avoid.gut and flag in food.gut)
    found += [Reason("gut", flag, True, _(_GUT[flag])) for flag in flags]
    if "lactose" in avoid.gut and "lactose" not in food.gut and food.contains is None:
        found.append(Reason("allergens_not_stated", "milk", False, _("nobody stated whether it contains milk")))
    if food.id in avoid.foods:
        found.append(Reason("unwanted", food.id, True, _("not wanted")))
    return tuple(found)


def offending(project: Project, variant: Variant, avoid: Avoid) -> tuple[Offence, ...]:
    """Lines of a variant with weight that bring what is to be avoided, in their order.

    A line made of another variant offends if any line of that variant does.
    """
    return tuple(
        Offence(line.id, food_name(project, line), found)
        for line in variant.lines
        if line.amount_g > 0 and (found := line_reasons(project, line, avoid))
    )


def line_reasons(project: Project, line: Line, avoid: Avoid, path: tuple[str, ...] = ()) -> tuple[Reason, ...]:
    """Why what a line is made of is to be avoided."""
    missing = (Reason("missing", line.food_ref.id, False, _("the project does not hold this ingredient")),)
    if line.food_ref.kind != "variant":
        food = project.foods.get(line.food_ref.id)
        return missing if food is None else reasons(food, avoid)
    if line.food_ref.id in path:  # a ring of variants adds nothing that was not seen
        return ()
    used = next((v for v in project.variants if v.id == line.food_ref.id), None)
    if used is None:
        return missing
    path = (*path, used.id)
    return tuple(
        reason._replace(text=f"{food_name(project, inner)}: {reason.text}")
        for inner in used.lines
        if inner.amount_g > 0
        for reason in line_reasons(project, inner, avoid, path)
    )


# --- typed wishes -----------------------------------------------------------------------------------------------------

_WISHES: Mapping[str, Avoid] = {
    "animal": PLANT_BASED,
    "dairy": avoiding(origins=("dairy",)),
    "milk": avoiding(allergens=("milk",)),
    "egg": avoiding(origins=("egg",), allergens=("egg",)),
    "honey": avoiding(origins=("bee",)),
    "gluten": GLUTEN_FREE,
    "nuts": avoiding(
        allergens=("almond", "hazelnut", "walnut", "cashew", "pecan", "brazil_nut", "pistachio", "macadamia")
    ),
    **{key: avoiding(gut=(key,)) for key in GUT_FLAGS},
}


def avoid_from_text(text: str, foods: Mapping[str, Food], traces: bool = False) -> Avoid:
    """What a typed line asks to avoid: words with semicolons between, or commas where every part is a known word.

    Parameters
    ----------
    text : str
        ``animal, gluten`` or ``animal; butter, unsalted``; a name that holds a comma may also stand alone.
    foods, traces
        As for ``avoid_from_words``.

    Raises
    ------
    WorkbenchError
        As from ``avoid_from_words``; where a name with a comma can be meant, the hint shows the semicolons.
    """
    if ";" in text:
        return avoid_from_words([word for word in text.split(";") if word.strip()], foods, traces)
    parts = [part.strip() for part in text.split(",")]
    means = _meanings(_wishes(), foods)
    if all(means(part) is not None for part in parts):
        return avoid_from_words(parts, foods, traces)
    whole = _whole_names(parts, means)
    if len(whole) == 1:
        return avoid_from_words(whole, foods, traces)
    if whole:
        hint = _("Names hold commas, so write semicolons between: {words}", words="; ".join(whole))
        raise WorkbenchError(_("“{words}” is not clear.", words=text.strip()), hint=hint)
    return avoid_from_words(parts, foods, traces)


def _whole_names(parts: Sequence[str], means: Callable[[str], Avoid | None]) -> list[str]:
    """Words at commas, put together again to those that mean something, the longest first; none where some do not."""
    words: list[str] = []
    at = 0
    while at < len(parts):
        longest_first = ((end, ", ".join(parts[at:end])) for end in range(len(parts), at, -1))
        found = next(((end, word) for end, word in longest_first if means(word) is not None), None)
        if found is None:
            return []
        at = found[0]
        words.append(found[1])
    return words


def _wishes() -> dict[str, Avoid]:
    named = {key: avoiding(allergens=(key,)) for key in (*ALLERGENS, *WATCHED) if key not in _WISHES}
    return {**_WISHES, **named}


def _meanings(wishes: Mapping[str, Avoid], foods: Mapping[str, Food]) -> Callable[[str], Avoid | None]:
    """What one word asks to avoid; None where it means nothing."""
    by_name = {food.name.casefold(): food.id for food in foods.values()}

    def means(word: str) -> Avoid | None:
        plain = word.strip().casefold()
        wish = wishes.get(plain) or wishes.get(plain.replace(" ", "_"))
        if wish is not None:
            return wish
        food_id = next((key for key in (word.strip(), plain) if key in foods), by_name.get(plain))
        return None if food_id is None else avoiding(foods={food_id: foods[food_id].name})

    return means


def avoid_from_words(words: Iterable[str], foods: Mapping[str, Food], traces: bool = False) -> Avoid:
    """What typed words ask to avoid.

    Parameters
    ----------
    words : iterable of str
        ``animal``, ``dairy``, ``egg``, ``honey``, ``gluten``, ``nuts``, ``lactose``, an allergen, a gut flag, or the
        id or name of an ingredient.
    foods : mapping of str to Food
        Ingredients that may be named.
    traces : bool
        Whether "may contain" counts.

    Raises
    ------
    WorkbenchError
        If a word is none of these; the error says what is near, or that there is nothing to avoid.
    """
    wishes = _wishes()
    means = _meanings(wishes, foods)
    avoid = avoiding(traces=traces)
    for word in words:
        wish = means(word)
        if wish is not None:
            avoid |= wish
        else:
            names = (food.name.casefold() for food in foods.values())
            near = nearest(word.strip().casefold(), [*wishes, *foods, *names])
            hint = _("Did you mean “{word}”?", word=near) if near else _("Known: {words}.", words=", ".join(wishes))
            raise WorkbenchError(_("“{word}” is nothing that can be avoided here.", word=word), hint=hint)
    if not avoid:
        raise WorkbenchError(
            _("Nothing is named that should be avoided."), hint=_("Try: {words}.", words=", ".join(_WISHES))
        )
    return avoid
