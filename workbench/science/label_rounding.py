"""Rounding of nutrition figures as labels print them, what an analysis may find beside them, and printed percentages.

European Union: European Commission, "Guidance document for competent authorities ... with regard to the setting of
tolerances for nutrient values declared on a label", December 2012, tables 1 and 4; the rounding after a laboratory's
summary, the tolerances from memory.  United States: 21 CFR 101.9(c) and (g), after FDA Food Labeling Guide, Appendix H.

Neither text settles halves: they go up.  What is rounded is always the figure itself, never one rounded before.
"""

import math
from typing import Final, Literal, NamedTuple

EuKind = Literal["energy", "fat", "saturates", "grams", "salt"]
"""``grams``: carbohydrate, sugars, polyols, starch, fibre, protein; ``saturates``: also the other fatty acids."""

UsKind = Literal["calories", "fat", "cholesterol", "sodium", "grams"]
"""``fat``: total fat and every fatty acid; ``grams``: carbohydrate, fibre, sugars, protein."""

_NOISE = 1e-9  # sums of floats that should be a half are one


class Printed(NamedTuple):
    """A figure as it is printed: its value, its decimals, and whether it reads "less than"."""

    value: float
    decimals: int
    less_than: bool = False


ZERO: Final = Printed(0.0, 0)


class _Rule(NamedTuple):
    """From ``coarse_from`` on one decimal less than below it; nothing to speak of up to ``negligible``."""

    coarse_from: float
    decimals: int  # from there on; below it one more
    negligible: float
    limit: Printed


_LESS_THAN_HALF = Printed(0.5, 1, less_than=True)
_EU: Final[dict[EuKind, _Rule]] = {
    "fat": _Rule(10.0, 0, 0.5, _LESS_THAN_HALF),
    "grams": _Rule(10.0, 0, 0.5, _LESS_THAN_HALF),
    "saturates": _Rule(10.0, 0, 0.1, Printed(0.1, 1, less_than=True)),
    "salt": _Rule(1.0, 1, 0.0125, Printed(0.01, 2, less_than=True)),
}


def half_up(amount: float, step: float) -> float:
    """``amount``, >= 0, to the nearest multiple of ``step``; halves go up."""
    return step * math.floor(amount / step + 0.5 + _NOISE)


def eu_printed(kind: EuKind, amount: float) -> Printed:
    """A figure as a label of the European Union prints it.

    Parameters
    ----------
    kind : {"energy", "fat", "saturates", "grams", "salt"}
        Which rule holds.
    amount : float
        Unrounded amount, >= 0. [kJ, kcal or g]

    Returns
    -------
    Printed
        Of amounts that the guidance calls negligible "less than", and a plain 0 only of nothing at all.

    References
    ----------
    .. [1] European Commission, guidance on tolerances, December 2012, table 4.
    """
    if kind == "energy":
        return Printed(half_up(amount, 1.0), 0)
    rule = _EU[kind]
    if amount <= _NOISE:
        return ZERO
    if amount <= rule.negligible + _NOISE:
        return rule.limit
    fine = rule.decimals + 1
    rounded = half_up(amount, 10.0**-fine)
    if rounded < rule.coarse_from - _NOISE:
        return Printed(round(rounded, fine), fine)
    return Printed(round(half_up(amount, 10.0**-rule.decimals), rule.decimals), rule.decimals)


def us_printed(kind: UsKind, amount: float) -> Printed:
    """A figure as a label of the United States prints it.

    Parameters
    ----------
    kind : {"calories", "fat", "cholesterol", "sodium", "grams"}
        Which rule holds.
    amount : float
        Unrounded amount, >= 0. [kcal, g; mg of cholesterol and sodium]

    Returns
    -------
    Printed
        The figure.

    References
    ----------
    .. [1] 21 CFR 101.9(c)(1) to (7); FDA Food Labeling Guide, Appendix H.
    """
    amount += _NOISE
    if kind == "grams":
        if 0.5 <= amount < 1.0:
            return Printed(1.0, 0, less_than=True)
        return ZERO if amount < 0.5 else Printed(half_up(amount, 1.0), 0)
    if kind == "fat":
        rounded = 0.0 if amount < 0.5 else half_up(amount, 0.5 if amount < 5.0 else 1.0)
        return Printed(rounded, 0 if rounded == int(rounded) else 1)
    if kind == "cholesterol":
        if 2.0 <= amount <= 5.0 + 2 * _NOISE:
            return Printed(5.0, 0, less_than=True)
        return ZERO if amount < 2.0 else Printed(half_up(amount, 5.0), 0)
    coarse_above = 50.0 if kind == "calories" else 140.0
    if amount < 5.0:
        return ZERO
    return Printed(half_up(amount, 5.0 if amount <= coarse_above + 2 * _NOISE else 10.0), 0)


_ABOVE_40_G: Final = 8.0  # [g]
_EU_BELOW: Final[dict[EuKind, tuple[float, float]]] = {
    # declared amount below which a fixed tolerance holds, and that tolerance [g]
    "fat": (10.0, 1.5),
    "grams": (10.0, 2.0),
    "saturates": (4.0, 0.8),
    "salt": (1.25, 0.375),
}


def eu_tolerance(kind: EuKind, declared: float) -> tuple[float, float] | None:
    """What an analysis may find where so much is declared per 100 g, uncertainty of measurement included.

    Parameters
    ----------
    kind : {"energy", "fat", "saturates", "grams", "salt"}
        Which rule holds.
    declared : float
        The printed amount per 100 g, >= 0. [g]

    Returns
    -------
    tuple of float or None
        Least and most; None for energy, which has no tolerance of its own. [g]

    References
    ----------
    .. [1] European Commission, guidance on tolerances, December 2012, table 1 (from memory).
    """
    if kind == "energy":
        return None
    below, fixed = _EU_BELOW[kind]
    if declared < below:
        off = fixed
    elif kind in ("fat", "grams") and declared > 40.0:
        off = _ABOVE_40_G
    else:
        off = 0.2 * declared
    return max(declared - off, 0.0), declared + off


def us_tolerance(declared: float, *, wanted: bool) -> tuple[float, float]:
    """What an analysis may find where so much is declared in the United States.

    Parameters
    ----------
    declared : float
        The printed amount, >= 0.
    wanted : bool
        Protein, carbohydrate and fibre may not fall below 80 % of it; calories, fats, sugars, cholesterol and sodium
        may not exceed 120 % of it.

    Returns
    -------
    tuple of float
        Least and most; 0 and infinity where there is no limit.

    References
    ----------
    .. [1] 21 CFR 101.9(g)(4)(ii) and (5), for nutrients that the food holds by nature (from memory).
    """
    return (0.8 * declared, math.inf) if wanted else (0.0, 1.2 * declared)


def ingredient_percent(percent: float) -> Printed:
    """The printed percentage of an ingredient: whole from 5 on, else to half a percent, never nothing.

    Parameters
    ----------
    percent : float
        Share of the finished food, > 0. [%]

    References
    ----------
    .. [1] Commission Notice on quantitative ingredients declaration, 2017/C 393/05 (rounding from memory).
    """
    if half_up(percent, 0.5) >= 5.0:
        return Printed(half_up(percent, 1.0), 0)
    if percent < 0.25 - _NOISE:
        return Printed(0.5, 1, less_than=True)
    rounded = half_up(percent, 0.5)
    return Printed(rounded, 0 if rounded == int(rounded) else 1)
