"""Matching one ingredient to another: how much of the new one brings as much of a quantity as the old one did."""

from workbench.base.errors import CalculationError
from workbench.base.text import _
from workbench.document.project import MOST_GRAMS
from workbench.recipe.prepared import Prepared
from workbench.recipe.quantities import INDEX, QUANTITIES


def matching_grams(before: Prepared, after: Prepared, line: int, amount_g: float, key: str) -> float:
    """Grams of what a line is made of after, that bring what ``amount_g`` of it brought before.

    Parameters
    ----------
    before, after : Prepared
        The variant with the old and with the new ingredient in the line.
    line : int
        Which line.
    amount_g : float
        Grams of the old ingredient, as entered. [g]
    key : str
        A linear quantity.

    Returns
    -------
    float
        Grams as entered. [g]

    Raises
    ------
    CalculationError
        If either does not hold a known amount of the quantity, or too much would be needed.
    """
    title = _(QUANTITIES[key].title)
    per_gram: list[float] = []
    for prepared in (before, after):
        name = prepared.names[line]
        if prepared.unknown[line, INDEX[key]]:
            raise CalculationError(
                _("{title} of {food} is not known exactly.", title=title, food=name), hint=_other_quantity()
            )
        per_gram.append(float(prepared.row_value[line, INDEX[key]] * prepared.edible_fraction[line]))
        if per_gram[-1] <= 0.0:
            raise CalculationError(_("{food} holds no {title}.", title=title, food=name), hint=_other_quantity())
    if amount_g <= 0.0:
        raise CalculationError(_("There is 0 g of it now, so there is nothing to match."), hint=_("Keep the grams."))
    grams = amount_g * per_gram[0] / per_gram[1]
    if grams > MOST_GRAMS:
        raise CalculationError(
            _("It would take {kg} kg of {food}.", kg=f"{grams / 1000:.0f}", food=after.names[line]),
            hint=_other_quantity(),
        )
    return grams


def _other_quantity() -> str:
    return _("Match another quantity, or keep the grams.")
