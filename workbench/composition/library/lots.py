"""What a supplier states of one lot, and the lot as an ingredient of its own."""

import re

import msgspec

from workbench.base.errors import AmountError
from workbench.base.text import _, number
from workbench.composition.components import COMPONENTS, HIGHEST
from workbench.composition.food import Food, Value
from workbench.composition.imports.cells import read_cell
from workbench.composition.imports.figures import take_of
from workbench.composition.imports.headers import factor, meaning
from workbench.composition.imports.layout import Column
from workbench.composition.library.records import Lot

_PART = re.compile(r"(?P<what>\S.*?)\s*[:=]?\s+(?P<figure>\d[\d.,]*)\s*(?P<unit>[a-zµμ%]*)", re.IGNORECASE)


def read_figures(text: str) -> dict[str, float]:
    """Figures as they were typed: ``"water 11.2 g; protein 12,8"``.

    Returns
    -------
    dict of str to float
        By tagname, per 100 g, in the unit of the component.

    Raises
    ------
    AmountError
        If a part of it is no figure of a component.
    """
    found: dict[str, float] = {}
    for part in filter(None, (part.strip() for part in re.split(r"[;\n]", text))):
        tag, amount = _read(part)
        if tag in found:
            raise AmountError(_("“{part}” stands twice.", part=part[:60]), hint=_("Leave one of them out."))
        found[tag] = amount
    return found


def _read(part: str) -> tuple[str, float]:
    match = _PART.fullmatch(part)
    cell = read_cell(match["figure"], comma="," in match["figure"]) if match else None
    if match is None or cell is None or cell.state != "figure":
        raise AmountError(
            _("“{part}” is no figure of a component.", part=part[:60]),
            hint=_("Write it as “water 11.2 g; protein 12.8 g”, per 100 g."),
        )
    what = meaning(match["what"], match["unit"])
    if what.target and factor(what.target, what.unit) is None:
        raise AmountError(
            _("“{unit}” does not fit {what}.", unit=match["unit"], what=match["what"]),
            hint=_("Use g, mg, µg, kJ or kcal."),
        )
    take = take_of(Column(part, what.target, what.unit)) if what.target else None
    if take is None:
        raise AmountError(
            _("It is not clear which component “{what}” is.", what=match["what"][:40]),
            hint=_("Name it as the composition table does, such as “carbohydrate without fibre”."),
        )
    amount = take.amount(cell.amount)
    if not 0.0 <= amount <= HIGHEST[take.tag]:
        raise AmountError(_("“{part}” is more than there can be in 100 g.", part=part[:60]), hint=_("Check the unit."))
    return take.tag, amount


def figures_text(lot: Lot) -> str:
    """Its own figures in words; "" where it has none."""
    return "; ".join(
        _("{title} {amount} {unit}", title=_(c.title), amount=number(lot.figures[tag], c.decimals), unit=c.unit)
        for tag, c in COMPONENTS.items()
        if tag in lot.figures
    )


def ingredient_of(food: Food, lot: Lot, food_id: str) -> Food:
    """The lot as an ingredient: the food with the lot's own figures in place of the usual ones."""
    source = " ".join(filter(None, (_("lot {code}", code=lot.code), lot.supplier, lot.received)))
    own = {tag: Value(amount, "measured", source) for tag, amount in lot.figures.items()}
    return msgspec.structs.replace(
        food,
        id=food_id,
        name=_("{food}, lot {code}", food=food.name, code=lot.code),
        values={**food.values, **own},
        limits={tag: limit for tag, limit in food.limits.items() if tag not in own},
        taken_from=None,
    )
