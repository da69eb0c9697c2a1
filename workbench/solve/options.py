"""Options for one line: exchanges of the kitchen and what is nearest in composition, the nearest ones first."""

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from workbench.base.text import _, number
from workbench.composition.bundled import bundled_foods
from workbench.composition.exchanges import LOSSES, Exchange, Purpose, exchanges_for
from workbench.composition.food import Food
from workbench.composition.textures import same_texture
from workbench.composition.words import split
from workbench.document.avoid import Avoid
from workbench.document.edits import find_line
from workbench.document.project import Project, Variant
from workbench.recipe.food_row import FoodRows
from workbench.recipe.quantities import INDEX, QUANTITIES
from workbench.solve.avoid import reasons
from workbench.solve.exchange import Basket, basket, exchanged
from workbench.solve.nearest import by_composition
from workbench.solve.option_making import COMPUTED_COUNTS, bearable, kitchen_grams, option_of, role_losses
from workbench.solve.substitution import Option, Part

_ORDER_COUNTS = 0.03  # the first of a list of alternatives is the usual one
_ORDER_COUNTS_FOR_PURPOSE = 0.5  # what changes on purpose is not to be near in composition
_SAME_KIND_COUNTS = 0.12  # for each option of the same group before it, so that a list is not six oils
_COMPUTED = 3  # options by composition alone
_OWN_COUNTS = 0.02  # what the user has before what has to be bought
_OWN = 2  # and so many more of them from the user's own foods
_LEFT_OUT_UP_TO = 0.02  # of the raw batch: a flavouring or a leavening that may be left out


def options_for(
    project: Project,
    variant: Variant,
    line_id: str,
    avoid: Avoid | None = None,
    foods: Mapping[str, Food] | None = None,
    rows: FoodRows | None = None,
    most: int = 8,
    purpose: Purpose = "",
) -> tuple[Option, ...]:
    """Ways to replace what a line is made of, the nearest first.

    Parameters
    ----------
    project, variant : Project, Variant
        The recipe.
    line_id : str
        The line.
    avoid : Avoid, optional
        Nothing of this is proposed, nor of what the variant must not hold anyway.
    foods : mapping of str to Food, optional
        What there is to choose from, by id; the bundled table where absent.  A food of the project stands for its
        namesake in the table, as it does in the recipe.
    rows : FoodRows, optional
        Rows computed earlier.
    most : int
        How many options at most.
    purpose : {"", "race", "long_ride"}
        Exchanges for a lighter or a slower version; then nothing is proposed by composition alone.

    Returns
    -------
    tuple of Option
        None where the line is made of another variant, weighs nothing, or nothing is left to choose from.

    Raises
    ------
    KeyError
        If the variant has no such line.
    """
    avoid, rows = (avoid or Avoid()) | project.wish_of(variant), rows or FoodRows()
    inside = basket(project, variant, find_line(variant, line_id), rows)
    if inside is None:
        return ()
    choice = admitted(project, foods, avoid)
    own = [food for food_id, food in choice.items() if food_id not in bundled_foods()]
    found = [
        option
        for k, exchange in enumerate(exchanges_for(inside.food.id, purpose))
        for foods_in in _ways(exchange, choice, own)
        if (option := _usual(inside, exchange, k, foods_in)) is not None
    ]
    if not purpose:
        tried = {frozenset(option.foods) for option in found}
        computed = [o for o in by_composition(inside, choice) if frozenset(o.foods) not in tried]
        found += computed[:_COMPUTED]
        found += [o for o in computed[_COMPUTED:] if o.foods[0] not in bundled_foods()][:_OWN]
        if (left_out := _left_out(inside)) is not None:
            found.append(left_out)
    return tuple(_varied(found)[:most])


def admitted(project: Project, foods: Mapping[str, Food] | None, avoid: Avoid) -> dict[str, Food]:
    """What may come in, by id: nothing that is to be avoided, nothing with a doping risk that is not there already."""
    table = bundled_foods() if foods is None else foods
    return {
        food_id: food
        for food_id in sorted(table)
        if not reasons(food := project.foods.get(food_id, table[food_id]), avoid)
        and not (food.doping and food_id not in project.foods)
    }


# --- exchanges of the kitchen ---------------------------------------------------------------------------------------


def _ways(exchange: Exchange, choice: Mapping[str, Food], own: Sequence[Food]) -> Iterator[list[Food]]:
    """The foods of an exchange, and the same with one of the user's own in place of the first."""
    first, *others = exchange.by
    if any(food_id not in choice for food_id in others):
        return
    rest = [choice[food_id] for food_id in others]
    if first in choice:
        yield [choice[first], *rest]
    usual = bundled_foods()[first]
    yield from ([food, *rest] for food in own if _is_a(food, usual))


def _is_a(own: Food, usual: Food) -> bool:
    """Whether a food of one's own is one of this sort: it is called so, does the same, and feels the same."""
    called = _words(usual.name.split(",")[0]) <= _words(own.name)
    return called and own.roles[:1] == usual.roles[:1] and same_texture(own, usual)


@lru_cache(maxsize=4096)
def _words(name: str) -> frozenset[str]:
    return frozenset(split(name))


def _usual(inside: Basket, exchange: Exchange, order: int, foods: Sequence[Food]) -> Option | None:
    if exchange.needs_heat and not inside.heated:
        return None
    grams = exchanged(inside, exchange, foods)
    if grams is None:
        return None
    parts = tuple(Part(food, kitchen_grams(g)) for food, g in zip(foods, grams, strict=True) if kitchen_grams(g) > 0)
    if not parts or not bearable(inside, parts):
        return None
    trials = [_(exchange.trial)] if exchange.trial else []
    if exchange.up_to_percent is not None:
        trials.append(
            _(
                "The source replaced up to {percent} % of the {food}; here all of it is replaced.",
                percent=number(exchange.up_to_percent, 0),
                food=inside.food.name,
            )
        )
    losses = [_(LOSSES[key]) for key in exchange.loses]
    weight = (_ORDER_COUNTS_FOR_PURPOSE if exchange.purpose else _ORDER_COUNTS) * order
    if foods[0].id != exchange.by[0]:
        weight -= _OWN_COUNTS
    made = option_of(inside, parts, _because(inside, exchange, foods), exchange.source, losses, trials, weight)
    return made._replace(unknown=(*_guessed(inside, exchange), *made.unknown))


def _guessed(inside: Basket, exchange: Exchange) -> tuple[str, ...]:
    """What was to be matched and is not known of the old ingredient, so that its known part was."""
    row = inside.rows.row(inside.food, inside.assumptions, {})
    return tuple(
        _("{title} of {food} is not known exactly", title=_(QUANTITIES[key].title), food=inside.food.name)
        for key in exchange.amounts
        if isinstance(key, str) and row.high[INDEX[key]] - row.low[INDEX[key]] > 1e-9
    )


def _because(inside: Basket, exchange: Exchange, foods: Sequence[Food]) -> str:
    """How the amounts were found, in words."""
    kept = [_(QUANTITIES[amount].title) for amount in exchange.amounts if isinstance(amount, str)]
    ratios = [
        _("{grams} g {food}", grams=f"{amount:g}", food=food.name)
        for amount, food in zip(exchange.amounts, foods, strict=True)
        if isinstance(amount, float)
    ]
    words = []
    if ratios:
        words.append(_("{parts} for 100 g {old}", parts=_(" and ").join(ratios), old=inside.food.name))
    if kept:
        grams = number(inside.edible_g, 0)
        what = _(" and ").join(kept)
        words.append(_("as much {what} as in {grams} g {old}", what=what, grams=grams, old=inside.food.name))
    if exchange.note:
        words.append(_(exchange.note))
    if ratios and not exchange.source:
        words.append(_("common practice, no source"))
    return "; ".join(words)


def _varied(found: Sequence[Option]) -> list[Option]:
    """Options the nearest first, those of a group that is there already a little later."""
    waiting = sorted(found, key=lambda o: (o.score, o.foods))
    seen: dict[str, int] = {}
    ordered: list[Option] = []
    while waiting:
        option = min(waiting, key=lambda o: (o.score + _SAME_KIND_COUNTS * seen.get(_group(o), 0), o.foods))
        waiting.remove(option)
        ordered.append(option)
        seen[_group(option)] = seen.get(_group(option), 0) + 1
    return ordered


def _group(option: Option) -> str:
    return option.parts[0].food.group if option.parts else ""


def _left_out(inside: Basket) -> Option | None:
    """A pinch of flavour or leavening may simply go."""
    if inside.food.roles[:1] not in (("flavour",), ("leavening",)):
        return None
    if inside.edible_g > _LEFT_OUT_UP_TO * inside.raw_g:
        return None
    words = _("left out: there is little of it")
    return option_of(inside, (), words, "", role_losses(inside.food, frozenset()), [], COMPUTED_COUNTS)
