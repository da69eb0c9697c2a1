"""Finding an ingredient by what a cook types: names and other words, accents and case ignored, small slips forgiven.

Every word typed must be found, whole, at the beginning of a word, or inside one.  Under three letters, names that begin
with them come in alphabetical order; from three, at most ``MOST_RANKED`` foods are ranked by how much the words say
about them.  Only where nothing fits are words of similar spelling tried, found by the trigrams that they share.
"""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator
from heapq import nsmallest
from itertools import islice
from typing import NamedTuple

from workbench.composition.derive import fill_gaps
from workbench.composition.food import Food
from workbench.composition.plurals import singulars
from workbench.composition.search_words import plainness, words_of
from workbench.composition.synonyms import Synonyms, bundled_synonyms
from workbench.composition.words import folded, split

__all__ = ["Filters", "SearchIndex", "folded"]

MOST_RANKED = 2_000
FIRST_RANKED_LETTERS = 3
# Added to a word's distance from the food where it is not typed in full: one that only begins with what was typed comes
# after every one that is it.
_BEGINS, _INSIDE, _SIMILAR = 16, 32, 64
_TYPO_SCORE = 72.0  # rapidfuzz ratio below which two words are different words, found by trying misspellings
_TYPO_MARGIN = 10.0  # less than the nearest word by which another is no candidate any more
_MOST_SIMILAR = 6
_END = "\U0010ffff"
_SMALL_WORDS = frozenset(("a", "an", "and", "con", "de", "del", "la", "mit", "of", "or", "the", "und", "with", "y"))
_ANIMAL = frozenset(("crustaceans", "egg", "fish", "milk", "molluscs"))

Hits = dict[int, int]  # place of a food in the order of plainness -> distance of the words from it


class Filters(NamedTuple):
    """What an ingredient must be to be shown.  What is not stated counts as a risk, and what is unknown as missing."""

    plant_only: bool = False
    without: frozenset[str] = frozenset()  # allergens, neither contained nor possible
    role: str = ""
    source: str = ""  # key of a publication that figures come from
    complete_for: frozenset[str] = frozenset()  # components that must be known, gaps filled

    def allows(self, food: Food) -> bool:
        """Whether ``food`` may be shown."""
        contained = set(food.contains or ())
        if self.plant_only and (food.origin not in ("plant", "mineral") or contained & _ANIMAL):
            return False
        if self.without and (food.contains is None or self.without & {*contained, *food.may_contain}):
            return False
        if self.role and self.role not in food.roles:
            return False
        if self.source and all(value.source != self.source for value in food.values.values()):
            return False
        return not self.complete_for or self.complete_for <= _known(food)


def _known(food: Food) -> set[str]:
    known = set(fill_gaps(food).values)
    return known | {"CHOAVLDF"} if {"CHOCDF", "FIBTG"} <= known else known


class SearchIndex:
    """Foods with their words, ready to be searched on every keystroke."""

    def __init__(self, foods: Iterable[Food], synonyms: Synonyms | None = None) -> None:
        self._synonyms = bundled_synonyms() if synonyms is None else synonyms
        self._foods = sorted(foods, key=plainness)
        self._place = {food.id: k for k, food in enumerate(self._foods)}
        self._by_name = sorted((folded(food.name), k) for k, food in enumerate(self._foods))
        self._postings: dict[str, list[tuple[int, int]]] = {}
        for k, food in enumerate(self._foods):
            for word, distance in words_of(food, self._synonyms).items():
                self._postings.setdefault(word, []).append((k, distance))
        self._vocabulary = sorted(self._postings)
        self._called = sorted(self._synonyms.first)
        self._trigrams: dict[str, list[str]] | None = None
        self._allowed: tuple[Filters, frozenset[int]] = (Filters(), frozenset())

    def find(self, text: str, limit: int = 200, filters: Filters | None = None) -> list[Food]:
        """Foods in which every word of ``text`` occurs, best first.

        Parameters
        ----------
        text : str
            What was typed; nothing typed finds everything, in alphabetical order.
        limit : int
            The most foods to return.
        filters : Filters, optional
            What else the foods must be.
        """
        typed = split(text)
        words = tuple(word for word in typed if word not in _SMALL_WORDS) or typed
        allowed = self._allowed_places(filters)
        short = sum(map(len, words)) < FIRST_RANKED_LETTERS
        places = self._ordered(words) if short else self._ranked(words, allowed, limit)
        found: dict[int, None] = {}
        for place in places:
            if allowed is None or place in allowed:
                found[place] = None
                if len(found) == limit:
                    break
        return [self._foods[place] for place in found]

    def _allowed_places(self, filters: Filters | None) -> frozenset[int] | None:
        """Places of the foods that may be shown; None for all.  Typing on with the same filters asks no food again."""
        if filters is None or filters == Filters():
            return None
        if self._allowed[0] != filters:
            places = frozenset(k for k, food in enumerate(self._foods) if filters.allows(food))
            self._allowed = (filters, places)
        return self._allowed[1]

    # --- short texts --------------------------------------------------------------------------------------------------

    def _ordered(self, words: tuple[str, ...]) -> Iterator[int]:
        text = " ".join(words)
        if text in self._synonyms.first:
            yield from self._meant(text)
        start = bisect_left(self._by_name, (text, 0)) if text else 0
        for name, place in self._by_name[start:]:
            if not name.startswith(text):
                break
            yield place
        for word in self._beginning_with(words[-1]) if words else ():
            for place, _distance in self._postings[word]:
                yield place

    def _beginning_with(self, start: str) -> list[str]:
        low = bisect_left(self._vocabulary, start)
        return self._vocabulary[low : bisect_left(self._vocabulary, start + _END, low)]

    # --- ranking ------------------------------------------------------------------------------------------------------

    def _ranked(self, words: tuple[str, ...], allowed: frozenset[int] | None, limit: int) -> Iterator[int]:
        meant = self._meant(" ".join(words))
        yield from meant
        hits = self._together([self._hits(word, alone=len(words) == 1 and allowed is None) for word in words])
        if not hits:
            hits = self._together([self._hits(word) | self._similar(word) for word in words])
        if allowed is not None:
            hits = {place: distance for place, distance in hits.items() if place in allowed}
        # Found in the order of full words, beginnings, insides, each plain foods first: the cut takes the last of them.
        candidates = ((distance, place) for place, distance in islice(hits.items(), MOST_RANKED))
        for _distance, place in nsmallest(limit + len(meant), candidates):
            yield place

    def _meant(self, text: str) -> list[int]:
        """The foods that a cook means by ``text``, or by words that begin with it."""
        if text in self._synonyms.first:
            called = [text]
        else:
            low = bisect_left(self._called, text)
            begun = self._called[low : bisect_left(self._called, text + _END, low)]
            called = nsmallest(_MOST_SIMILAR, (phrase for phrase in begun if " " not in phrase), key=len)
        ids = (self._synonyms.first[phrase] for phrase in called)
        return [self._place[food_id] for food_id in ids if food_id in self._place]

    def _hits(self, word: str, *, alone: bool = False) -> Hits:
        """Foods with a word: that word, one that begins with it, or one that holds it."""
        found: Hits = {}
        self._add(found, (form for form in (word, *singulars(word)) if form in self._postings), 0)
        for more, extra in ((self._beginning_with, _BEGINS), (self._holding, _INSIDE)):
            if alone and len(found) >= MOST_RANKED:
                break  # whatever came now would rank behind these
            self._add(found, more(word), extra)
        return found

    def _holding(self, part: str) -> list[str]:
        return [word for word in self._vocabulary if part in word] if len(part) >= FIRST_RANKED_LETTERS else []

    def _add(self, found: Hits, words: Iterable[str], extra: int) -> None:
        nowhere = 10 * _SIMILAR
        for word in words:
            for place, distance in self._postings[word]:
                if distance + extra < found.get(place, nowhere):
                    found[place] = distance + extra

    @staticmethod
    def _together(hits: list[Hits]) -> Hits:
        """Foods in all of them, their distances added."""
        first, *others = sorted(hits, key=len)
        for other in others:
            first = {place: distance + other[place] for place, distance in first.items() if place in other}
        return first

    # --- slips --------------------------------------------------------------------------------------------------------

    def _similar(self, word: str) -> Hits:
        """Foods with a word of similar spelling."""
        from rapidfuzz import fuzz, process

        found: Hits = {}
        if len(word) < FIRST_RANKED_LETTERS:
            return found
        if self._trigrams is None:
            self._trigrams = {}
            for known in self._vocabulary:
                for trigram in _trigrams_of(known):
                    self._trigrams.setdefault(trigram, []).append(known)
        shared = Counter(known for trigram in _trigrams_of(word) for known in self._trigrams.get(trigram, ()))
        candidates = [known for known, _n in shared.most_common(MOST_RANKED)]
        close = process.extract(word, candidates, scorer=fuzz.ratio, score_cutoff=_TYPO_SCORE, limit=_MOST_SIMILAR)
        for known, score, _index in close:
            if score >= close[0][1] - _TYPO_MARGIN:
                self._add(found, (known,), _SIMILAR + round(100.0 - score))
        return found


def _trigrams_of(word: str) -> set[str]:
    """Its trigrams, and its first letter: "mlik" and "milk" share nothing else."""
    padded = f" {word} "
    return {padded[:2], *(padded[k : k + 3] for k in range(len(padded) - 2))}
