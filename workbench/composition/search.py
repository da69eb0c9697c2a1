"""Finding an ingredient by what a cook types: names and other words, accents and case ignored, small slips forgiven.

Every word typed must be found, whole, at the beginning of a word, or inside one.  Under three letters, names that begin
with them come in alphabetical order; from three, at most ``MOST_RANKED`` foods are ranked by how much the words say
about them.  Only where nothing fits are words of similar spelling tried, found by the trigrams that they share.

This index holds its foods in memory, as suits the bundled table and a project; ``library.index`` searches the library
in the same way, and ``search_all`` both.
"""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator
from heapq import nsmallest
from itertools import islice

from workbench.composition.food import Food
from workbench.composition.plurals import singulars
from workbench.composition.search_filter import SearchFilter
from workbench.composition.search_ranking import (
    BEGINS,
    BUNDLED,
    FIRST_RANKED_LETTERS,
    INSIDE,
    MOST_RANKED,
    MOST_SIMILAR,
    SIMILAR,
    Found,
    Rank,
    Typed,
    forgiving,
    similar_words,
    trigrams_of,
    typed_words,
)
from workbench.composition.search_words import plainness, words_of
from workbench.composition.synonyms import Synonyms, bundled_synonyms
from workbench.composition.words import folded

__all__ = ["MOST_RANKED", "SearchIndex", "folded"]

_END = "\U0010ffff"

Hits = dict[int, int]  # place of a food in the order of plainness -> distance of the words from it


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
        self._allowed: tuple[SearchFilter, frozenset[int]] = (SearchFilter(), frozenset())

    def find(self, text: str, limit: int = 200, filters: SearchFilter | None = None) -> list[Food]:
        """Foods in which every word of ``text`` occurs, best first.

        Parameters
        ----------
        text : str
            What was typed; nothing typed finds everything, in alphabetical order.
        limit : int
            The most foods to return.
        filters : SearchFilter, optional
            What else the foods must be.
        """
        typed = typed_words(text)
        places = forgiving(
            lambda similar: list(self._places(typed, limit, filters, similar=similar)), lambda: self._knows(typed)
        )
        return [self._foods[place] for place in places]

    def _knows(self, typed: Typed) -> bool:
        return typed.is_short or bool(self._places(typed, 1, None, similar=False))

    def found(self, typed: Typed, limit: int, filters: SearchFilter | None, *, similar: bool) -> list[Found]:
        """The same with their ranks, to be merged with what others find; by similar spelling if ``similar``."""
        places = self._places(typed, limit, filters, similar=similar)
        found = []
        for order, (place, distance) in enumerate(places.items()):
            food = self._foods[place]
            found.append(Found(self._rank(typed, place, distance, order), food.id, food.name, BUNDLED))
        return found

    def food(self, food_id: str) -> Food | None:
        """The food with this id, if it is in this index."""
        place = self._place.get(food_id)
        return None if place is None else self._foods[place]

    def _rank(self, typed: Typed, place: int, distance: int, order: int) -> Rank:
        prepared, length, name = plainness(self._foods[place])
        if distance < 0 or (typed.is_short and distance):
            return Rank(distance, False, order, 0, name)
        return Rank(distance, False, 0, 0, name) if typed.is_short else Rank(distance, False, prepared, length, name)

    def _places(self, typed: Typed, limit: int, filters: SearchFilter | None, *, similar: bool) -> Hits:
        """Places of what is found with their distances, best first."""
        allowed = self._allowed_places(filters)
        if typed.is_short:
            places = iter(()) if similar else self._ordered(typed)
        else:
            places = self._ranked(typed.words, allowed, limit, similar=similar)
        found: Hits = {}
        for place, distance in places:
            if allowed is None or place in allowed:
                found.setdefault(place, distance)
                if len(found) == limit:
                    break
        return found

    def _allowed_places(self, filters: SearchFilter | None) -> frozenset[int] | None:
        """Places of the foods that may be shown; None for all.  Typing on with the same filters asks no food again."""
        if not filters:
            return None
        if self._allowed[0] != filters:
            places = frozenset(k for k, food in enumerate(self._foods) if filters.admits(food))
            self._allowed = (filters, places)
        return self._allowed[1]

    # --- short texts --------------------------------------------------------------------------------------------------

    def _ordered(self, typed: Typed) -> Iterator[tuple[int, int]]:
        text = typed.text
        if text in self._synonyms.first:
            for place in self._meant(text):
                yield place, -1
        start = bisect_left(self._by_name, (text, 0)) if text else 0
        for name, place in self._by_name[start:]:
            if not name.startswith(text):
                break
            yield place, 0
        for word in self._beginning_with(typed.words[-1]) if typed.words else ():
            for place, _distance in self._postings[word]:
                yield place, BEGINS

    def _beginning_with(self, start: str) -> list[str]:
        low = bisect_left(self._vocabulary, start)
        return self._vocabulary[low : bisect_left(self._vocabulary, start + _END, low)]

    # --- ranking ------------------------------------------------------------------------------------------------------

    def _ranked(
        self, words: tuple[str, ...], allowed: frozenset[int] | None, limit: int, *, similar: bool
    ) -> Iterator[tuple[int, int]]:
        meant = [] if similar else self._meant(" ".join(words))
        for place in meant:
            yield place, -1
        if similar:
            hits = self._together([self._hits(word) | self._similar(word) for word in words])
        else:
            hits = self._together([self._hits(word, alone=len(words) == 1 and allowed is None) for word in words])
        if allowed is not None:
            hits = {place: distance for place, distance in hits.items() if place in allowed}
        # Found in the order of full words, beginnings, insides, each plain foods first: the cut takes the last of them.
        candidates = ((distance, place) for place, distance in islice(hits.items(), MOST_RANKED))
        for distance, place in nsmallest(limit + len(meant), candidates):
            yield place, distance

    def _meant(self, text: str) -> list[int]:
        """The foods that a cook means by ``text``, or by words that begin with it."""
        if text in self._synonyms.first:
            called = [text]
        else:
            low = bisect_left(self._called, text)
            begun = self._called[low : bisect_left(self._called, text + _END, low)]
            called = nsmallest(MOST_SIMILAR, (phrase for phrase in begun if " " not in phrase), key=len)
        ids = (self._synonyms.first[phrase] for phrase in called)
        return [self._place[food_id] for food_id in ids if food_id in self._place]

    def _hits(self, word: str, *, alone: bool = False) -> Hits:
        """Foods with a word: that word, one that begins with it, or one that holds it."""
        found: Hits = {}
        self._add(found, (form for form in (word, *singulars(word)) if form in self._postings), 0)
        for more, extra in ((self._beginning_with, BEGINS), (self._holding, INSIDE)):
            if alone and len(found) >= MOST_RANKED:
                break  # whatever came now would rank behind these
            self._add(found, more(word), extra)
        return found

    def _holding(self, part: str) -> list[str]:
        return [word for word in self._vocabulary if part in word] if len(part) >= FIRST_RANKED_LETTERS else []

    def _add(self, found: Hits, words: Iterable[str], extra: int) -> None:
        nowhere = 10 * SIMILAR
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
        found: Hits = {}
        if len(word) < FIRST_RANKED_LETTERS:
            return found
        if self._trigrams is None:
            self._trigrams = {}
            for known in self._vocabulary:
                for trigram in trigrams_of(known):
                    self._trigrams.setdefault(trigram, []).append(known)
        shared = Counter(known for trigram in trigrams_of(word) for known in self._trigrams.get(trigram, ()))
        for known, extra in similar_words(word, [known for known, _n in shared.most_common(MOST_RANKED)]).items():
            self._add(found, (known,), extra)
        return found
