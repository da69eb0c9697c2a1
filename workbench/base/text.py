"""Every word of the program passes here: translation and the writing of numbers.

``N_`` marks a word where it is defined, ``_`` translates it where it is shown.  Sentences use named placeholders
(``_("{n} g short", n=...)``) so that a translation may reorder them.  Numbers are written with the locale's signs; the
signs are read once per language, so that writing a number stays cheap enough for a drag.
"""

import gettext
import math
from pathlib import Path

from workbench.base.paths import resources

_catalogue: gettext.NullTranslations = gettext.NullTranslations()
_decimal = "."
_group = ""
UNKNOWN = "–"


def N_(message: str) -> str:
    """Mark ``message`` for translation and return it as it is."""
    return message


def _(message: str, **parts: object) -> str:
    """Translate ``message`` and fill in its named placeholders."""
    text = _catalogue.gettext(message)
    return text.format(**parts) if parts else text


def plural(one: str, many: str, n: int, **parts: object) -> str:
    """Translate with the form that the language uses for ``n``; ``{n}`` is filled in."""
    return _catalogue.ngettext(one, many, n).format(n=n, **parts)


def use_language(language: str, folder: Path | None = None) -> None:
    """Switch words and number signs to ``language`` (a locale code such as ``en`` or ``de_AT``)."""
    global _catalogue, _decimal, _group
    from babel import Locale, UnknownLocaleError
    from babel.numbers import get_decimal_symbol, get_group_symbol

    try:
        locale = Locale.parse(language.replace("-", "_"))
    except (UnknownLocaleError, ValueError):
        locale = Locale.parse("en")
    _catalogue = gettext.translation(
        "pocketfare", str(folder or resources() / "translations"), [str(locale)], fallback=True
    )
    _decimal = get_decimal_symbol(locale)
    _group = get_group_symbol(locale)


def decimal_sign() -> str:
    """The decimal sign of the language in use."""
    return _decimal


def number(value: float | None, decimals: int = 1) -> str:
    """Write ``value`` with a fixed number of decimals; an unknown value is a dash, never a zero."""
    if value is None or math.isnan(value):
        return UNKNOWN
    text = f"{value:.{decimals}f}"
    if text.startswith("-") and not text.strip("-0."):
        text = text[1:]  # no minus sign before a rounded zero
    return text if _decimal == "." else text.replace(".", _decimal)


def grams_text(amount_g: float) -> str:
    """Grams of an ingredient with as many decimals as a kitchen scale shows."""
    return number(amount_g, 0 if amount_g >= 100 or amount_g == round(amount_g) else 1 if amount_g >= 10 else 2)
