"""A food beside its kind, put into what chart and table show.  It words and picks figures, and computes none."""

from workbench.base.text import N_, _, number
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food
from workbench.composition.similar import MOST_NEAREST, Kin, Standing
from workbench.recipe.food_words import ROLE_WORDS
from workbench.ui.plots.dot_strips import Dot, Strip
from workbench.ui.tables.figure_tree import FigureRow

COMPARED = ("CHOAVLDF", "SUGAR", "FIBTG", "FAT", "PROCNT", "WATER", "NA")
_SHORT = {"CHOAVLDF": N_("carbohydrate")}


def kind_words(kin: Kin) -> str:
    """What the food is compared with."""
    kind = _(ROLE_WORDS.get(kin.kind, kin.kind)) if kin.by == "role" else kin.kind
    if not kin.by:
        return _("no similar ingredients to compare with")
    return _("beside {n} similar: {kind}", n=len(kin.foods), kind=kind)


def legend_words(kin: Kin) -> str:
    """What the signs of the chart mean."""
    rest = len(kin.foods) - len(kin.nearest)
    words = _("◆ this one  ○ the {n} made most like it", n=len(kin.nearest))
    return words + (_("  | the other {n} (▷ off the scale)", n=rest) if rest else "") + _("  ? not known")


def standing_words(standing: Standing) -> str:
    """Where the food stands: "more than 14 of 15"; how many are not known is added."""
    n, missing = len(standing.known), len(standing.others) - len(standing.known)
    if standing.amount is None or not n:
        words = ""
    elif not standing.above and not standing.below:
        words = _("the same as {n}", n=n)
    elif not standing.below:
        words = _("less than {k} of {n}", k=standing.above, n=n)
    else:
        words = _("more than {k} of {n}", k=standing.below, n=n)
    return "  ".join(filter(None, (words, _("{n} ?", n=missing) if missing else "")))


def strips(food: Food, kin: Kin, standings: tuple[Standing, ...]) -> tuple[Strip, ...]:
    """The strips of the chart."""
    return tuple(_strip(food, kin, standing) for standing in standings)


def _strip(food: Food, kin: Kin, standing: Standing) -> Strip:
    component = COMPONENTS[standing.tag]

    def dot(name: str, amount: float | None) -> Dot:
        return Dot(name, amount, _figure(standing.tag, amount))

    near = tuple(
        dot(other.name, amount) for other, amount in zip(kin.nearest, standing.others[:MOST_NEAREST], strict=True)
    )
    rest = tuple(amount for amount in standing.others[MOST_NEAREST:] if amount is not None)
    title = _(_SHORT.get(standing.tag, component.title))
    strip = Strip(title, dot(food.name, standing.amount), near, rest, standing_words(standing), "")
    return strip._replace(limit_text=f"{strip.limit:g}")


def rows(kin: Kin, standings: tuple[Standing, ...]) -> tuple[FigureRow, ...]:
    """The same as rows of a table: a quantity, and below it each food that is named."""
    found = []
    for standing in standings:
        named = zip(kin.nearest, standing.others[:MOST_NEAREST], strict=True)
        children = tuple(
            FigureRow(other.id, (other.name,), wide=True, figure=_figure(standing.tag, amount), muted=amount is None)
            for other, amount in named
        )
        title, missing = _(COMPONENTS[standing.tag].title), len(standing.others) - len(standing.known)
        words = standing_words(standing._replace(others=standing.known))
        if missing:
            words = ", ".join(filter(None, (words, _("{n} not known", n=missing))))
        cells = (title, _figure(standing.tag, standing.amount), "", words)
        found.append(FigureRow(standing.tag, cells, muted=standing.amount is None, children=children))
    return tuple(found)


def _figure(tag: str, amount: float | None) -> str:
    component = COMPONENTS[tag]
    return _("not known") if amount is None else f"{number(amount, component.decimals)} {component.unit}"
