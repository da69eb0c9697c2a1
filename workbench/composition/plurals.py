"""What the singular of an English word may be; enough to match "2 figs" with a row "fig"."""

from functools import lru_cache


@lru_cache(maxsize=4_000)
def singulars(word: str) -> frozenset[str]:
    """``word`` in lower case and what it may be the plural of; some of these are no words, which does no harm."""
    word = word.casefold()
    forms = {word}
    if not word.endswith("s"):
        return frozenset(forms)
    for ending, singular in (("s", ""), ("es", ""), ("ies", "y"), ("ves", "f"), ("ves", "fe")):
        if word.endswith(ending) and len(word) > len(ending) + 1:
            forms.add(word[: -len(ending)] + singular)
    return frozenset(forms)
