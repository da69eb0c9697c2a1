"""The words that an ingredient is found by, each with how much it says about the food.

A cook's "butter" is the food called butter, not the nut butter that ends in the word, nor the biscuit that has some in
it: the head of a name (what stands before the comma) counts more than what qualifies it.
"""

from collections.abc import Iterator, Mapping
from functools import lru_cache

from workbench.composition.food import Food
from workbench.composition.plurals import singulars
from workbench.composition.synonyms import Synonyms
from workbench.composition.words import spelled_out, split

# The less, the closer the word is to being the food itself.
HEAD_ALONE, HEAD_NOUN, HEAD_PART, QUALIFIER = 0, 2, 4, 6
OTHER_NAME = 1  # added for other languages, other words and synonyms
GROUP = 12

# Of two foods that a word fits equally, a cook means the plainer one.
_LESS_PLAIN = frozenset(
    (
        *("baked", "blanched", "boiled", "brown", "canned", "condensed", "cooked", "dehydrated", "dried", "evaporated"),
        *("flakes", "fried", "frozen", "glutinous", "golden", "ground", "instant", "parboiled", "powder", "powdered"),
        *("puffed", "roasted", "salted", "shredded", "skimmed", "sweetened", "toasted"),
    )
)


def plainness(food: Food) -> tuple[int, int, str]:
    """Sorting key: plain foods before prepared ones, short names before long ones."""
    words = split(food.name)
    return sum(word in _LESS_PLAIN for word in words), len(food.name), " ".join(words)


def words_of(food: Food, synonyms: Synonyms) -> Mapping[str, int]:
    """Every word that ``food`` is found by, with its distance from the food itself."""
    found: dict[str, int] = {}
    phrases = [(food.name, "en", 0), *((text, language, OTHER_NAME) for language, text in food.names.items())]
    phrases += [(text, "", OTHER_NAME) for text in (*food.also, *synonyms.names.get(food.id, ()))]
    for text, language, distance in phrases:
        for word, cost in _of_phrase(text, language, synonyms):
            found[word] = min(cost + distance, found.get(word, GROUP))
    for word in split(food.group):
        found.setdefault(word, GROUP)
    for word, cost in list(found.items()):
        for form in singulars(word):
            found[form] = min(cost, found.get(form, GROUP))
    return found


@lru_cache(maxsize=4_000)  # the foods of a project are indexed again and again; a table must not fill the memory
def _of_phrase(text: str, language: str, synonyms: Synonyms) -> tuple[tuple[str, int], ...]:
    """The words of a name, spelled out too where it has umlauts."""
    plain = spelled_out(text)
    spellings = (text,) if plain == text.casefold() else (text, plain)
    return tuple(word for spelling in spellings for word in _of_spelling(spelling, language, synonyms))


def _of_spelling(text: str, language: str, synonyms: Synonyms) -> Iterator[tuple[str, int]]:
    head, _comma, rest = text.partition(",")
    words = split(head)
    # In Spanish the noun comes first: harina de arroz.
    noun = 0 if language == "es" else len(words) - 1
    for place, word in enumerate(words):
        yield word, HEAD_ALONE if len(words) == 1 else HEAD_NOUN if place == noun else HEAD_PART
    if len(words) == 2:
        yield "".join(words), HEAD_NOUN  # "coconutmilk"
    for start, end, phrase in synonyms.instead(words):
        whole, last = end - start == len(words), end == len(words)
        for place, word in enumerate(phrase):
            is_noun = last and place == len(phrase) - 1
            alone = whole and len(phrase) == 1
            yield word, OTHER_NAME + (HEAD_ALONE if alone else HEAD_NOUN if is_noun else HEAD_PART)
    qualifiers = split(rest)
    for word in qualifiers:
        yield word, QUALIFIER
    for _start, _end, phrase in synonyms.instead(qualifiers):
        for word in phrase:
            yield word, OTHER_NAME + QUALIFIER
