"""Flags of a food for a sensitive gut, from its published values.

Unknown is not zero: a flag that is missing says only that no figure shows it.
"""

from collections.abc import Mapping

from workbench.composition.food import GUT_FLAGS, Value

LACTOSE_G = 0.1  # per 100 g; usual limit of "lactose-free" in Europe (EFSA Journal 2010;8(9):1777, from memory)
POLYOLS_G = 0.5  # per 100 g; cut-off a serving (Varney et al. 2017, J Gastroenterol Hepatol 32 S1:53, from memory)
EXCESS_FRUCTOSE_G = 0.2  # fructose above glucose, per 100 g; 0.15 to 0.4 g a serving (Varney et al., from memory)
CAFFEINE_MG = 0.5  # per 100 g; less rounds to zero


def gut_flags(values: Mapping[str, Value], contains: tuple[str, ...], stated: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Gut flags of a food.

    Parameters
    ----------
    values : mapping of str to Value
        Published components per 100 g edible part.
    contains : tuple of str
        Allergens; milk without a figure for lactose counts as lactose unless its sugars are below the limit.
    stated : tuple of str
        Flags known of the kind of food; they count only where no value decides.

    Returns
    -------
    tuple of str
        In the order of ``GUT_FLAGS``.
    """
    decided: dict[str, bool] = {}
    if "LACS" in values:
        decided["lactose"] = values["LACS"].value > LACTOSE_G
    elif "milk" in contains:
        most = values.get("SUGAR") or values.get("CHOCDF")  # lactose is a part of either
        decided["lactose"] = most is None or most.value > LACTOSE_G
    if "POLYL" in values:
        decided["polyols"] = values["POLYL"].value > POLYOLS_G
    if "FRUS" in values and "GLUS" in values:
        decided["excess_fructose"] = values["FRUS"].value - values["GLUS"].value > EXCESS_FRUCTOSE_G
    if "CAFFN" in values:
        decided["caffeine"] = values["CAFFN"].value > CAFFEINE_MG
    return tuple(flag for flag in GUT_FLAGS if decided.get(flag, flag in stated))
