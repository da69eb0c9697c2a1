"""Everything a pack or a rider has to be told of a variant: ingredients with percentages, allergens, origin, nutrition.

``declaration`` says what is inside; here it is put into the words and the order of food law.
"""

from collections.abc import Iterable
from typing import NamedTuple

from workbench.base.text import N_, _, number
from workbench.composition.food import ALLERGENS, WATCHED
from workbench.composition.nitrogen import LABEL_FACTOR, SPECIFIC_FACTORS, nitrogen_factor
from workbench.document.project import Project
from workbench.recipe.allergens import GROUPS, LEGAL_WORDS, Rules, exception, to_name
from workbench.recipe.declaration import Declaration, declare
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.ingredient_list import Listed, characterising, ingredient_list
from workbench.recipe.list_words import Segment, in_words
from workbench.recipe.nutrition_lines import NOTES, NutritionLine, nutrition_lines
from workbench.recipe.opening import opening
from workbench.recipe.words import ALLERGEN_WORDS, ORIGINS


class PackStatement(NamedTuple):
    """What has to be said, ready to be laid out.

    Attributes
    ----------
    title : str
        Name of the food.
    parts : tuple of Listed
        The ingredients in their order, compound ones opened.
    ingredients : tuple of Segment
        The list in words.
    named : tuple of str
        Keys of the allergens that the chosen law wants named, in its order.
    contains : tuple of str
        The same in words, grouped where the law groups them.
    watched, left_out, may_contain : tuple of str
        Watched beside the law (coconut); allergens inside that the law does not ask for; what ingredients may contain.
    exempt : tuple of str
        Exceptions of the law that were made use of.
    closed : tuple of str
        Compound ingredients whose own ingredients nobody entered, so that they could not be opened.
    not_stated : tuple of str
        Ingredients whose allergens nobody entered: a risk.
    origin : str
        What may be said of animal origin.
    per_100g, per_piece : tuple of NutritionLine
        Nutrition lines.
    piece_g : float
        Weight of a piece. [g]
    notes : tuple of str
        How figures were rounded and counted.
    """

    title: str
    rules: Rules
    parts: tuple[Listed, ...]
    ingredients: tuple[Segment, ...]
    named: tuple[str, ...]
    contains: tuple[str, ...]
    watched: tuple[str, ...]
    left_out: tuple[str, ...]
    may_contain: tuple[str, ...]
    exempt: tuple[str, ...]
    closed: tuple[str, ...]
    not_stated: tuple[str, ...]
    origin: str
    per_100g: tuple[NutritionLine, ...]
    per_piece: tuple[NutritionLine, ...]
    piece_g: float
    notes: tuple[str, ...]

    @property
    def contains_each(self) -> tuple[str, ...]:
        """Every allergen by its short word, what is watched beside the law too: for a label or a card."""
        return (*(_(ALLERGEN_WORDS[key]) for key in self.named), *self.watched)

    @property
    def none_named(self) -> str:
        """What is said where there is no allergen to name."""
        return _(_NONE_NAMED[self.rules])


def pack_statement(
    project: Project,
    evaluation: Evaluation,
    *,
    rules: Rules = "eu",
    title: str = "",
    percent_of: Iterable[str] | None = None,
) -> PackStatement:
    """Put together what a pack has to say of a variant.

    Parameters
    ----------
    project : Project
        Holds the foods and variants.
    evaluation : Evaluation
        A valid one.
    rules : {"eu", "us"}
        Regulation (EU) No 1169/2011, or the rules of the United States for the same lines.
    title : str
        Name of the food; the project's title where empty.
    percent_of : iterable of str, optional
        Ids of the ingredients that get a percentage; where absent, those that the title or the variant's name mention.

    Raises
    ------
    CalculationError
        If an ingredient is missing or variants form a ring: a list with gaps would hide allergens.
    """
    declared = declare(project, evaluation)
    name = title or project.title
    parts = ingredient_list(project, evaluation) if evaluation.valid else ()
    chosen = characterising(parts, name, evaluation.variant.name) if percent_of is None else frozenset(percent_of)
    foods = [ingredient.food for ingredient in declared.ingredients]
    exempt = tuple(
        _("{name}: {exception}", name=food.name, exception=_(text))
        for food in foods
        for key in (food.contains or () if rules == "eu" else ())
        if (text := exception(food, key))
    )
    opened = opening(parts, rules)
    how = (*(_(text) for text in (*_LIST_NOTES[rules], *NOTES[rules])), *_protein_notes(declared, evaluation, rules))
    named = {key for food in foods for key in to_name(food, rules)}
    watched = [key for key in WATCHED if key in declared.contains]
    asked_for = {key for _word, keys in GROUPS[rules].values() for key in keys}
    left_out = tuple(_(ALLERGEN_WORDS[key]) for key in declared.contains if key not in {*asked_for, *watched})
    return PackStatement(
        name,
        rules,
        parts,
        in_words(parts, chosen, rules),
        tuple(key for key in ALLERGENS if key in named),
        _grouped(named, rules),
        tuple(_(ALLERGEN_WORDS[key]) for key in watched),
        left_out,
        tuple(_(ALLERGEN_WORDS[key]) for key in declared.may_contain if key not in named and key not in watched),
        (*exempt, *opened.exempt),
        opened.closed,
        declared.not_stated,
        origin_text(declared),
        nutrition_lines(evaluation, rules, "per_100g"),
        nutrition_lines(evaluation, rules, "portion"),
        evaluation.portions.piece_g,
        (*opened.doubts, *how),
    )


_LIST_NOTES: dict[Rules, tuple[str, ...]] = {
    "eu": (
        N_("Ingredients by weight at mixing; added water by what is left of it, not named up to 5 % of the food."),
        N_("Percentages: weight at mixing in percent of the finished weight."),
        N_("Compound ingredients are opened as their packs were typed; additives by class and number are not checked."),
    ),
    "us": (
        N_("Ingredients by weight at mixing; added water by what is left of it."),
        N_("Compound ingredients are opened as their packs were typed, by 21 CFR 101.4(b)(2)."),
    ),
}


def _protein_notes(declared: Declaration, evaluation: Evaluation, rules: Rules) -> tuple[str, ...]:
    """How far nitrogen × 6.25 may be from the protein of foods whose nitrogen factor nobody states."""
    grams = {
        part.food.name: part.mass_g * part.food.values["PROCNT"].value / evaluation.finished_g
        for part in declared.ingredients
        if rules == "eu" and "PROCNT" in part.food.values and nitrogen_factor(part.food) is None
    }
    least, most = ((LABEL_FACTOR / factor - 1.0) * sum(grams.values()) for factor in reversed(SPECIFIC_FACTORS))
    if most < 0.05:  # nothing that a line would show
        return ()
    text = _(
        "Protein of {names} stands as published: with nitrogen × 6.25, 100 g may have {less} g less to {more} g more.",
        names="; ".join(grams),
        less=number(-least, 1),
        more=number(most, 1),
    )
    return (text,)


_NONE_NAMED: dict[Rules, str] = {
    "eu": N_("none of the watched allergens was entered"),
    "us": N_("none of the nine allergens of US law was entered"),
}


# --- allergens and origin ---------------------------------------------------------------------------------------------


def _grouped(named: set[str], rules: Rules) -> tuple[str, ...]:
    """Words of the law for these allergens: ``cereals containing gluten (wheat, oats)``, ``milk``."""
    found = []
    for word, keys in GROUPS[rules].values():
        here = [_(LEGAL_WORDS[key][0]) for key in keys if key in named]
        if here:
            found.append(_("{group} ({names})", group=_(word), names=", ".join(here)) if len(keys) > 1 else _(word))
    return tuple(found)


def origin_text(declared: Declaration) -> str:
    """What may be said of animal origin: only where every origin is stated, and nothing of an animal was entered."""
    if declared.plant_based:
        return _("no animal ingredient entered")
    parts = [
        _("{origin}: {names}", origin=_(ORIGINS[origin]), names="; ".join(names))
        for origin, names in declared.animal.items()
    ]
    sentences = [_("animal ingredients: {groups}", groups=" – ".join(parts))] if parts else []
    if declared.origin_not_stated:
        sentences.append(_("origin not stated for: {names}", names="; ".join(declared.origin_not_stated)))
    return "; ".join(sentences)
