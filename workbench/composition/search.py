"""Finding an ingredient by what a cook types: names and other words, accents and case ignored, small slips forgiven."""

import unicodedata
from collections.abc import Iterable

from workbench.composition.food import Food

_TYPO_SCORE = 80.0  # rapidfuzz ratio below which two words are different words, found by trying misspellings


def folded(text: str) -> str:
    """Lower case without accents, for comparing."""
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in decomposed if not unicodedata.combining(c))


class SearchIndex:
    """Foods with their words, ready to be searched on every keystroke."""

    def __init__(self, foods: Iterable[Food]) -> None:
        self._foods = sorted(foods, key=lambda food: folded(food.name))
        self._names = [folded(food.name) for food in self._foods]
        # A leading space lets "starts a word" be a plain substring test.
        self._texts = [
            " " + " ".join(folded(word) for word in (food.name, *food.names.values(), *food.also, food.group))
            for food in self._foods
        ]

    def find(self, text: str, limit: int = 200) -> list[Food]:
        """Foods in which every word of ``text`` occurs, best first.

        The whole name comes first, then names that begin with the text, then names with it at the start of a word, then
        other words; shorter names before longer ones.  Where nothing fits, names with a similar spelling are offered.
        """
        wanted = folded(text).split()
        if not wanted:
            return self._foods[:limit]
        phrase = " ".join(wanted)
        hits: list[tuple[int, int, int]] = []
        for k, words in enumerate(self._texts):
            if all(word in words for word in wanted):
                hits.append((self._rank(self._names[k], words, phrase, wanted), len(self._names[k]), k))
        if not hits:
            return self._similar(phrase, limit)
        return [self._foods[k] for _rank, _length, k in sorted(hits)[:limit]]

    @staticmethod
    def _rank(name: str, words: str, phrase: str, wanted: list[str]) -> int:
        if name == phrase:
            return 0
        if name.startswith(phrase):
            return 1
        if all(" " + word in " " + name for word in wanted):
            return 2
        if all(" " + word in words for word in wanted):
            return 3
        return 4

    def _similar(self, phrase: str, limit: int) -> list[Food]:
        from rapidfuzz import fuzz, process

        # Word against word: "desicated" is close to one word of a long name, not to the whole of it.
        scored: list[tuple[float, int]] = []
        for k, words in enumerate(self._texts):
            best = process.extractOne(phrase, words.split(), scorer=fuzz.ratio, score_cutoff=_TYPO_SCORE)
            whole = fuzz.ratio(phrase, self._names[k])
            score = max(best[1] if best else 0.0, whole)
            if score >= _TYPO_SCORE:
                scored.append((-score, k))
        return [self._foods[k] for _score, k in sorted(scored)[:limit]]
