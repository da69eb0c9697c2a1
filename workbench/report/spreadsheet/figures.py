"""A result in cells: formulas for its words and limits, and the same words for viewers that do not calculate."""

from workbench.base.text import N_, _
from workbench.recipe.bound import Bound, Certainty
from workbench.report.spreadsheet.formula import fixed, fixed_text, literal, sentence
from workbench.report.spreadsheet.places import Figure

GRAMS = "[>=20]0;0.0"  # weights of pieces and batches
FEW_GRAMS = "[>=20]0;[>=1]0.0;0.00"  # weights of ingredients
PERCENT = "0.0"
SHARE = '0.0" %"'
ANY = "0.0###"  # a figure with all that is known of it

HOW: dict[Certainty, str] = {
    "exact": N_("exact"),
    "at_least": N_("at least"),
    "at_most": N_("at most"),
    "between": N_("between"),
    "not_known": N_("not known"),
}
_NOTHING = 1e-9
_LIMITS: tuple[Certainty, ...] = ("at_least", "at_most", "between")
NO_LIMIT = N_("no limit")
NOT_VALID = N_("no result")
SIGNS = N_("≥ at least, ≤ at most, ~ may be more or less; “not known” is not zero.")

_AT_LEAST, _AT_MOST = N_("at least {figure}"), N_("at most {figure}")
_BETWEEN = N_("between {low} and {high}")
_MISSING = N_("not known: {names}")
_MANY = N_("{n} ingredients")
FEW = 3  # so many names stand beside a figure


def decimal_places(decimals: int, mark: str = "") -> str:
    """Number format with a fixed number of decimals and a mark behind the number."""
    digits = f"0.{'0' * decimals}" if decimals else "0"
    return f'{digits}" {mark}"' if mark else digits


def _tolerance(value: str) -> str:
    return f"1E-9*(1+{value})"


# --- how sure ---------------------------------------------------------------------------------------------------------


def certainty(bound: Bound, decimals: int) -> Certainty:
    """Certainty of a figure as it is shown: limits that are written alike are one figure."""
    found = bound.certainty
    if found == "between" and not bound.at_least and bound.low <= _NOTHING:
        return "at_most"  # whatever the order of a sum leaves of a zero
    if found == "between" and fixed_text(bound.low, decimals) == fixed_text(bound.high, decimals):
        return "exact"
    return found


def how_formula(value: str, least: str, most: str, uncertain: str, decimals: int) -> str:
    """``certainty`` as a formula; where there is no figure at all, the words that stand in its place."""
    word = {key: literal(_(text)) for key, text in HOW.items()}
    alike = f"ROUND({least},{decimals})=ROUND({most},{decimals})"
    between = f"IF({alike},{word['exact']},{word['between']})"
    more = f"OR(ISTEXT({most}),{most}>{value}+{_tolerance(value)})"
    less = f"{least}<{value}-{_tolerance(value)}"
    below = f"IF({less},IF({least}>{_NOTHING:g},{between},{word['at_most']}),{word['exact']})"
    known = f"IF({more},IF(ISTEXT({most}),{word['at_least']},{between}),{below})"
    nothing = f"AND({uncertain}>0,{value}=0,{more})"
    return f"IF(ISTEXT({value}),{value},IF({nothing},{word['not_known']},{known}))"


# --- a figure on a sheet that is handed over ----------------------------------------------------------------------


def sign(bound: Bound, decimals: int) -> str:
    """The sign before a figure that is only a limit."""
    if certainty(bound, decimals) in ("exact", "not_known"):
        return ""
    return "~" if bound.at_least and bound.at_most else "≥" if bound.at_least else "≤"


def sign_formula(figure: Figure) -> str:
    """``sign`` as a formula."""
    value, least, most, how, _sign = figure
    limits = ",".join(f"{how}={literal(_(HOW[key]))}" for key in _LIMITS)
    more = f"OR(ISTEXT({most}),{most}>{value}+{_tolerance(value)})"
    less = f"{least}<{value}-{_tolerance(value)}"
    return f'IF(OR({limits}),IF({more},IF({less},"~","≥"),"≤"),"")'


def shown(bound: Bound) -> float | str:
    """The figure, or the words in its place."""
    return bound.value if bound.certainty != "not_known" else _(HOW["not_known"])


def shown_formula(figure: Figure) -> str:
    """``shown`` as a formula."""
    word = literal(_(HOW["not_known"]))
    return f"IF({figure.how}={word},{word},{figure.value})"


# --- in words -----------------------------------------------------------------------------------------------------


def range_words(bound: Bound, decimals: int) -> str:
    """``16.1``, ``at least 4.8``, ``between 0.6 and 0.9``, ``not known``."""
    found = certainty(bound, decimals)
    if found == "at_least":
        return _(_AT_LEAST, figure=fixed_text(bound.low, decimals))
    if found == "at_most":
        return _(_AT_MOST, figure=fixed_text(bound.high, decimals))
    if found == "between":
        return _(_BETWEEN, low=fixed_text(bound.low, decimals), high=fixed_text(bound.high, decimals))
    return _(HOW["not_known"]) if found == "not_known" else fixed_text(bound.value, decimals)


def range_formula(figure: Figure, decimals: int) -> str:
    """``range_words`` as a formula."""
    value, least, most, how, _sign = figure
    low, high = fixed(least, decimals), fixed(most, decimals)
    at_most = f"IF({how}={literal(_(HOW['at_most']))},{sentence(_AT_MOST, figure=high)},{how})"
    between = f"IF({how}={literal(_(HOW['between']))},{sentence(_BETWEEN, low=low, high=high)},{at_most})"
    at_least = f"IF({how}={literal(_(HOW['at_least']))},{sentence(_AT_LEAST, figure=low)},{between})"
    return f"IF({how}={literal(_(HOW['exact']))},{fixed(value, decimals)},{at_least})"


def doubt_words(bound: Bound, decimals: int, names: list[str]) -> str:
    """What is known, and which ingredients are at fault; empty where the figure is exact."""
    found = certainty(bound, decimals)
    if found == "exact":
        return ""
    if not names:
        return _(HOW[found])
    missing = _(_MISSING, names="; ".join(names) if len(names) <= FEW else _(_MANY, n=len(names)))
    return missing if found == "not_known" else f"{range_words(bound, decimals)}; {missing}"


def doubt_formula(figure: Figure, decimals: int, count: str, names: str) -> str:
    """``doubt_words`` as a formula."""
    how = figure.how
    missing = sentence(_MISSING, names=f"IF({count}>{FEW},{sentence(_MANY, n=count)},{names})")
    limits = f'{range_formula(figure, decimals)}&"; "&{missing}'
    said = f"IF({how}={literal(_(HOW['not_known']))},{missing},{limits})"
    silent = f"OR({count}=0,{how}={literal(_(NOT_VALID))})"
    return f'IF({how}={literal(_(HOW["exact"]))},"",IF({silent},{how},{said}))'
