"""Words as searches compare them: lower case, without accents, split at everything that is no letter or digit."""

import re
import unicodedata

_WORD = re.compile(r"[^\W_]+")
_SPELLED_OUT = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})


def folded(text: str) -> str:
    """Lower case without accents, for comparing."""
    if text.isascii():
        return text.lower()
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in decomposed if not unicodedata.combining(c))


def split(text: str) -> tuple[str, ...]:
    """The folded words of ``text``."""
    return tuple(_WORD.findall(folded(text)))


def spelled_out(text: str) -> str:
    """``text`` as a keyboard without umlauts writes it: "Öl" is "oel"."""
    return unicodedata.normalize("NFC", text.casefold()).translate(_SPELLED_OUT)
