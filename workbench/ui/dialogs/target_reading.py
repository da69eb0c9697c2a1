"""Targets as they are typed and listed: reading a limit, and the words of a target."""

from workbench.base.errors import AmountError
from workbench.base.text import N_, _, decimal_sign
from workbench.composition.amounts import AmbiguousAmount, parse_amount
from workbench.document.project import Basis, Target
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.words import band_text, target_title

LIMITS = (("low", N_("at least")), ("high", N_("at most")), ("aim", N_("aim")))


def read_limit(text: str, quantity: str, currency: str = "") -> float | None:
    """A figure as typed, in the unit of the quantity; None where the field is empty.

    Raises
    ------
    AmountError
        If it cannot be read, or can be read in two ways.
    """
    unit = unit_of(quantity, currency)
    typed = text.strip()
    bare = typed.removesuffix(unit).strip() if unit else typed
    if not bare:
        return None
    hint = _("Type a figure, such as 20 or 1.5, or leave the field empty.")
    try:
        if any(sign.isalpha() for sign in bare):
            raise AmountError("")
        return parse_amount(bare, None, "metric").grams  # without a unit a gram is one
    except AmbiguousAmount as error:
        raise AmountError(error.summary, hint=_("Write it without a sign between thousands.")) from None
    except AmountError:
        words = _("“{text}” is not a figure in {unit}.", text=typed, unit=unit) if unit else ""
        raise AmountError(words or _("“{text}” is not a figure.", text=typed), hint=hint) from None


def plain_limit(limit: float | None, quantity: str) -> str:
    """A limit to be typed over: no more zeros than it needs."""
    if limit is None:
        return ""
    decimals = QUANTITIES[quantity].decimals if quantity in QUANTITIES else 1
    text = f"{limit:.{max(decimals, 3)}f}".rstrip("0").rstrip(".")
    return text.replace(".", decimal_sign())


def unit_of(quantity: str, currency: str = "") -> str:
    """The unit of a quantity; that of cost is the project's currency."""
    if quantity == "cost":
        return currency
    return QUANTITIES[quantity].unit if quantity in QUANTITIES else ""


def basis_of(quantity: str, wanted: Basis) -> Basis:
    """The basis that is wanted, or the first that the quantity has."""
    known = QUANTITIES.get(quantity)
    return wanted if known is None or wanted in known.bases else known.bases[0]


def quantity_title(key: str) -> str:
    """A quantity as a choice."""
    quantity = QUANTITIES[key]
    title = _(quantity.title)
    return f"{title}, {quantity.unit}" if key.startswith("energy_k") else title


def title(target: Target) -> str:
    """What a target is about; of a quantity that this version does not know, its key."""
    return target_title(target) if target.quantity in QUANTITIES else target.quantity


def target_line(target: Target, currency: str = "") -> str:
    """A target as a line of the list."""
    quantity = QUANTITIES.get(target.quantity)
    limits = band_text(target.low, target.high, quantity.decimals if quantity else 1, target.aim)
    words = f"{title(target)}: {limits} {unit_of(target.quantity, currency)}".rstrip()
    return _("{target} (preferred)", target=words) if target.strength == "prefer" else words


def fault_of(target: Target) -> str:
    """What is wrong with the limits of a target, "" if nothing is."""
    limits = [limit for limit in (target.low, target.aim, target.high) if limit is not None]
    if not limits:
        return _("{target}: type a figure in one of the three fields.", target=title(target))
    if limits != sorted(limits):
        return _("{target}: at least, aim and at most must rise in this order.", target=title(target))
    return ""
