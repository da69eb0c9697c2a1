"""What the searches in memory and in the library share: how typed words are taken, and how far a food is from them.

The nearest come first; of equally near ones those of the program and one's own before imported ones, and plain foods
before prepared ones.
"""

from collections.abc import Callable, Iterable
from typing import NamedTuple, TypeVar

from workbench.composition.words import split

_T = TypeVar("_T")
MOST_RANKED = 2_000
FIRST_RANKED_LETTERS = 3
# Added to a word's distance from the food where it is not typed in full: one that only begins with what was typed comes
# after every one that is it.
BEGINS, INSIDE, SIMILAR = 16, 32, 64
MOST_SIMILAR = 6
_TYPO_SCORE = 72.0  # rapidfuzz ratio below which two words are different words, found by trying misspellings
_TYPO_MARGIN = 10.0  # less than the nearest word by which another is no candidate any more
_SMALL_WORDS = frozenset(("a", "an", "and", "con", "de", "del", "la", "mit", "of", "or", "the", "und", "with", "y"))

BUNDLED = "bundled"


class Rank(NamedTuple):
    """What results are sorted by."""

    distance: int  # of the typed words from the food; below zero where a cook means exactly this food
    imported: bool
    prepared: int  # words of the name that make it less plain
    length: int  # of the name
    name: str  # folded


class Found(NamedTuple):
    """A food that was found; the food itself is read when it is chosen."""

    rank: Rank
    id: str
    name: str
    source: str  # "bundled", the key of an imported table, or "" for a food of one's own


class Typed(NamedTuple):
    """What was typed, as words."""

    words: tuple[str, ...]

    @property
    def is_short(self) -> bool:
        """Whether it says too little to rank by."""
        return sum(map(len, self.words)) < FIRST_RANKED_LETTERS

    @property
    def text(self) -> str:
        """The words as one."""
        return " ".join(self.words)


def typed_words(text: str) -> Typed:
    """The words of ``text`` that say something; all of them where none does."""
    every = split(text)
    return Typed(tuple(word for word in every if word not in _SMALL_WORDS) or every)


def forgiving(find: Callable[[bool], list[_T]], knows: Callable[[], bool]) -> list[_T]:
    """What ``find`` gives for the words as typed; for words of similar spelling only where nobody knows them as typed.

    Parameters
    ----------
    find : callable
        Is told whether words of similar spelling count.
    knows : callable
        Whether the words are found as typed, filters aside: a filter that leaves nothing is no slip.
    """
    return find(False) or ([] if knows() else find(True))


def trigrams_of(word: str) -> set[str]:
    """Three letters each, two blanks before the word and one after: "mlik" and "milk" share nothing but the first."""
    padded = f"  {word} "
    return {padded[k : k + 3] for k in range(len(padded) - 2)}


def similar_words(word: str, candidates: Iterable[str]) -> dict[str, int]:
    """Words of similar spelling, with what their distance grows by."""
    from rapidfuzz import fuzz, process

    if len(word) < FIRST_RANKED_LETTERS:
        return {}
    close = process.extract(word, candidates, scorer=fuzz.ratio, score_cutoff=_TYPO_SCORE, limit=MOST_SIMILAR)
    return {
        known: SIMILAR + round(100.0 - score) for known, score, _index in close if score >= close[0][1] - _TYPO_MARGIN
    }
