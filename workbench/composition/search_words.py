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
        plain = text if text.isascii() else spelled_out(text)
        for spelling in (text,) if plain in (text, text.casefold()) else (text, plain):
            head, _comma, rest = spelling.partition(",")
            for word, cost in (*_of_head(head, language, synonyms), *_of_rest(rest, synonyms)):
                if cost + distance < found.get(word, GROUP):
                    found[word] = cost + distance
    for word in _of_group(food.group):
        found.setdefault(word, GROUP)
    for word, cost in [each for each in found.items() if each[0].endswith("s")]:
        for form in singulars(word):
            found[form] = min(cost, found.get(form, GROUP))
    return found


# The parts of a name recur, in a table and where the foods of a project are indexed again and again; the memory that
# they take is bounded.


@lru_cache(maxsize=2_000)
def _of_head(text: str, language: str, synonyms: Synonyms) -> tuple[tuple[str, int], ...]:
    """The words before the comma."""
    return tuple(_head_words(split(text), language, synonyms))


def _head_words(words: tuple[str, ...], language: str, synonyms: Synonyms) -> Iterator[tuple[str, int]]:
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


@lru_cache(maxsize=2_000)
def _of_rest(text: str, synonyms: Synonyms) -> tuple[tuple[str, int], ...]:
    """The words behind it, which qualify the food."""
    words = split(text)
    others = (word for _start, _end, phrase in synonyms.instead(words) for word in phrase)
    return (*((word, QUALIFIER) for word in words), *((word, OTHER_NAME + QUALIFIER) for word in others))


@lru_cache(maxsize=500)
def _of_group(text: str) -> tuple[str, ...]:
    return split(text)
