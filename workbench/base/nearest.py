"""The known word that a mistyped one most resembles, for every message that asks "did you mean"."""

from collections.abc import Iterable


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that is nearest to ``word``, whatever its case; empty if none is near."""
    from rapidfuzz import fuzz, process, utils  # loaded only once something is mistyped

    found = process.extractOne(word, list(known), scorer=fuzz.ratio, processor=utils.default_process, score_cutoff=65)
    return found[0] if found else ""
