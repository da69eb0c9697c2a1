"""Everything a pack or a rider has to be told of a variant: ingredients with percentages, allergens, origin, nutrition.

``declaration`` says what is inside; here it is put into the words and the order of food law.  Emphasis is data
(``Segment``), so that a page sets it bold and plain text sets it in capitals.
"""

import re
from collections.abc import Iterable
from typing import NamedTuple

from workbench.base.text import N_, _
from workbench.composition.food import ALLERGENS, WATCHED
from workbench.document.project import Project
from workbench.recipe.allergens import GROUPS, LEGAL_WORDS, Rules, exception, to_name
from workbench.recipe.declaration import Declaration, declare
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.ingredient_list import Listed, characterising, ingredient_list
from workbench.recipe.nutrition_lines import NOTES, NutritionLine, nutrition_lines, printed_text
from workbench.recipe.words import ALLERGEN_WORDS, ORIGINS
from workbench.science.label_rounding import ingredient_percent


class Segment(NamedTuple):
    """A run of text; a strong one names an allergen."""

    text: str
    strong: bool = False


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
    watched, may_contain : tuple of str
        Watched beside the law (coconut); what ingredients may contain.
    exempt : tuple of str
        Exceptions of the law that were made use of.
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
    may_contain: tuple[str, ...]
    exempt: tuple[str, ...]
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
    named = {key for food in foods for key in to_name(food, rules)}
    watched = [key for key in WATCHED if key in declared.contains]
    return PackStatement(
        name,
        rules,
        parts,
        _in_words(parts, chosen, rules),
        tuple(key for key in ALLERGENS if key in named),
        _grouped(named, rules),
        tuple(_(ALLERGEN_WORDS[key]) for key in watched),
        tuple(_(ALLERGEN_WORDS[key]) for key in declared.may_contain if key not in named and key not in watched),
        exempt,
        declared.not_stated,
        origin_text(declared),
        nutrition_lines(evaluation, rules, "per_100g"),
        nutrition_lines(evaluation, rules, "portion"),
        evaluation.portions.piece_g,
        (*(_(text) for text in _LIST_NOTES[rules]), *(_(text) for text in NOTES[rules])),
    )


_LIST_NOTES: dict[Rules, tuple[str, ...]] = {
    "eu": (
        N_("Ingredients by weight at mixing; added water by what is left of it, not named up to 5 % of the food."),
        N_("Percentages: weight at mixing in percent of the finished weight."),
    ),
    "us": (N_("Ingredients by weight at mixing; added water by what is left of it."),),
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


# --- the list in words ------------------------------------------------------------------------------------------------


def plain(segments: Iterable[Segment]) -> str:
    """Segments as plain text, allergens in capitals."""
    return "".join(segment.text.upper() if segment.strong else segment.text for segment in segments)


def _in_words(parts: tuple[Listed, ...], chosen: frozenset[str], rules: Rules) -> tuple[Segment, ...]:
    last = [part for part in parts if part.small and rules == "us"]
    found: list[Segment] = []
    for k, part in enumerate(part for part in parts if part not in last):
        found += [Segment("; ")] * (k > 0) + _part(part, chosen, rules)
    if last:
        found.append(Segment("; " * bool(found) + _("contains 2 % or less of: ")))
        for k, part in enumerate(last):
            found += [Segment("; ")] * (k > 0) + _part(part, chosen, rules)
    return _joined(found)


def _part(part: Listed, chosen: frozenset[str], rules: Rules) -> list[Segment]:
    segments = emphasised(part.name, to_name(part.food, rules) if part.food else ())
    if part.id in chosen:
        segments.append(Segment(f" {percent_text(part.percent)}"))
    if part.inside:
        segments += [Segment(" ("), *_in_words(part.inside, chosen, "eu"), Segment(")")]
    return segments


def percent_text(percent: float) -> str:
    """The printed percentage; above 100 % the law asks for grams in 100 g of the finished food."""
    if percent > 100.0:
        return _("({grams} g per 100 g)", grams=printed_text(ingredient_percent(percent)))
    return _("{percent} %", percent=printed_text(ingredient_percent(percent)))


def emphasised(name: str, allergens: tuple[str, ...]) -> list[Segment]:
    """A name with its allergens strong; one that the name does not mention follows in brackets."""
    words = {word.casefold(): key for key in allergens for word in (*LEGAL_WORDS[key], _(LEGAL_WORDS[key][0]))}
    segments: list[Segment] = []
    mentioned: set[str] = set()
    rest = name
    if words:
        longest_first = sorted(words, key=len, reverse=True)
        pattern = re.compile(rf"\b(?:{'|'.join(map(re.escape, longest_first))})\b", re.IGNORECASE)
        while found := pattern.search(rest):
            segments += [Segment(rest[: found.start()]), Segment(found.group(), strong=True)]
            mentioned.add(words[found.group().casefold()])
            rest = rest[found.end() :]
    segments.append(Segment(rest))
    if unnamed := [key for key in allergens if key not in mentioned]:
        segments.append(Segment(" ("))
        for k, key in enumerate(unnamed):
            segments += [Segment(", ")] * (k > 0) + [Segment(_(LEGAL_WORDS[key][0]), strong=True)]
        segments.append(Segment(")"))
    return segments


def _joined(segments: Iterable[Segment]) -> tuple[Segment, ...]:
    """Neighbours of one kind as one run."""
    found: list[Segment] = []
    for segment in segments:
        if found and found[-1].strong == segment.strong:
            found[-1] = Segment(found[-1].text + segment.text, segment.strong)
        elif segment.text:
            found.append(segment)
    return tuple(found)
