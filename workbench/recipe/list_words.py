"""The list of ingredients in words: the names, their percentages, compound ones opened, allergens emphasised.

Emphasis is data (``Segment``), so that a page sets it bold and plain text sets it in capitals.
"""

import re
from collections.abc import Iterable
from typing import NamedTuple

from workbench.base.text import _
from workbench.composition.compounds import listed_inside
from workbench.recipe.allergens import LEGAL_WORDS, Rules, to_name
from workbench.recipe.ingredient_list import Listed
from workbench.recipe.nutrition_lines import printed_text
from workbench.science.label_rounding import ingredient_percent


class Segment(NamedTuple):
    """A run of text; a strong one names an allergen."""

    text: str
    strong: bool = False


def plain(segments: Iterable[Segment]) -> str:
    """Segments as plain text, allergens in capitals."""
    return "".join(segment.text.upper() if segment.strong else segment.text for segment in segments)


def in_words(parts: tuple[Listed, ...], chosen: frozenset[str], rules: Rules) -> tuple[Segment, ...]:
    """The list as it is printed.

    Parameters
    ----------
    parts : tuple of Listed
        The ingredients in their order.
    chosen : frozenset of str
        Ids of those that get a percentage.
    rules : {"eu", "us"}
        Whose allergens are emphasised; in the United States the small ones are collected at the end.
    """
    last = [part for part in parts if part.small and rules == "us"]
    found = _row([part for part in parts if part not in last], chosen, rules)
    if last:
        found += [Segment("; " * bool(found) + _("contains 2 % or less of: ")), *_row(last, chosen, rules)]
    return _joined(found)


def _row(parts: Iterable[Listed], chosen: frozenset[str], rules: Rules) -> list[Segment]:
    found: list[Segment] = []
    for k, part in enumerate(parts):
        found += [Segment("; ")] * (k > 0) + _part(part, chosen, rules)
    return found


def _part(part: Listed, chosen: frozenset[str], rules: Rules) -> list[Segment]:
    allergens = to_name(part.food, rules) if part.food else ()
    typed = listed_inside(part.food) if part.food else ""
    segments, named = _mentioned(part.name, allergens)
    inside, more = _mentioned(typed, allergens)
    segments += _in_brackets([key for key in allergens if key not in named | more])
    if part.id in chosen:
        segments.append(Segment(f" {percent_text(part.percent)}"))
    if part.inside:
        inside = _row(part.inside, chosen, rules)
    return [*segments, Segment(" ("), *inside, Segment(")")] if part.inside or typed else segments


def percent_text(percent: float) -> str:
    """The printed percentage; above 100 % the law asks for grams in 100 g of the finished food."""
    if percent > 100.0:
        return _("({grams} g per 100 g)", grams=printed_text(ingredient_percent(percent)))
    return _("{percent} %", percent=printed_text(ingredient_percent(percent)))


def emphasised(name: str, allergens: tuple[str, ...]) -> list[Segment]:
    """A name with its allergens strong; one that the name does not mention follows in brackets."""
    segments, named = _mentioned(name, allergens)
    return segments + _in_brackets([key for key in allergens if key not in named])


def mentioned(text: str, allergens: Iterable[str]) -> frozenset[str]:
    """Keys of the allergens that a text names by a word of the law."""
    return _mentioned(text, tuple(allergens))[1]


def _mentioned(text: str, allergens: tuple[str, ...]) -> tuple[list[Segment], frozenset[str]]:
    words = {word.casefold(): key for key in allergens for word in (*LEGAL_WORDS[key], _(LEGAL_WORDS[key][0]))}
    segments: list[Segment] = []
    found: set[str] = set()
    at = 0
    if words:
        longest_first = sorted(words, key=len, reverse=True)
        pattern = rf"\b(?:{'|'.join(map(re.escape, longest_first))})\b"
        for match in re.finditer(pattern, text, re.IGNORECASE):
            segments += [Segment(text[at : match.start()]), Segment(match.group(), strong=True)]
            found.add(words[match.group().casefold()])
            at = match.end()
    return [*segments, Segment(text[at:])], frozenset(found)


def _in_brackets(allergens: list[str]) -> list[Segment]:
    segments: list[Segment] = []
    for k, key in enumerate(allergens):
        segments += [Segment(", " if k else " ("), Segment(_(LEGAL_WORDS[key][0]), strong=True)]
    return [*segments, Segment(")")] if allergens else []


def _joined(segments: Iterable[Segment]) -> tuple[Segment, ...]:
    """Neighbours of one kind as one run."""
    found: list[Segment] = []
    for segment in segments:
        if found and found[-1].strong == segment.strong:
            found[-1] = Segment(found[-1].text + segment.text, segment.strong)
        elif segment.text:
            found.append(segment)
    return tuple(found)
