"""Options for one line: exchanges of the kitchen and what is nearest in composition, the nearest ones first."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from workbench.base.text import _, number
from workbench.composition.bundled import bundled_foods
from workbench.composition.exchanges import LOSSES, Exchange, Purpose, exchanges_for
from workbench.composition.food import Food
from workbench.composition.piece_forms import limits_everywhere
from workbench.document.edits import find_line, food_name
from workbench.document.project import Project, Variant
from workbench.recipe.food_row import FoodRows
from workbench.recipe.quantities import INDEX, QUANTITIES
from workbench.solve.avoid import ANIMAL, Avoid, reasons
from workbench.solve.exchange import Basket, Field, basket, distance, exchanged, role_match
from workbench.solve.substitution import Option, Part

_FURTHEST = 3.0  # distances beyond count alike
_ROLE_COUNTS = 0.6
_COMPUTED_COUNTS = 0.9  # a kitchen has not tried what is only near in composition
_UNKNOWN_COUNTS = 0.1
_ORDER_COUNTS = 0.03  # the first of a list of alternatives is the usual one
_ORDER_COUNTS_FOR_PURPOSE = 0.5  # what changes on purpose is not to be near in composition
_LEAST_ROLE = 0.7  # of what is only near in composition
_SAME_KIND_COUNTS = 0.12  # for each option of the same group before it, so that a list is not six oils
_LEAST_TIMES, _MOST_TIMES = 0.4, 2.5  # of the old weight; beyond, composition says nothing of the texture
_COMPUTED = 3  # options by composition alone
_PAIRED = 6  # foods for which a companion is looked for
_WORTH_A_SECOND = 0.6  # a companion must bring the squared distance down to this
_LEFT_OUT_UP_TO = 0.02  # of the raw batch: a flavouring or a leavening that may be left out

COMPANIONS = ("water", "sugar_white", "cornstarch", "rapeseed_oil")
"""What a second ingredient may be where one alone does not bring enough: water, sweetness, starch or fat."""

_ROLE_LOSSES: Mapping[str, str] = {
    "binder": "binding",
    "sweetener": "sweetness",
    "flavour": "flavour",
    "leavening": "lift",
    "inclusion": "crunch",
    "protein": "protein",
}


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
        Nothing of this is proposed.
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
    avoid, rows = avoid or Avoid(), rows or FoodRows()
    inside = basket(project, variant, find_line(variant, line_id), rows)
    if inside is None:
        return ()
    choice = admitted(project, foods, avoid)
    found = [o for k, e in enumerate(exchanges_for(inside.food.id, purpose)) if (o := _usual(inside, e, k, choice))]
    if not purpose:
        tried = {frozenset(option.foods) for option in found}
        found += [o for o in _by_composition(inside, choice) if frozenset(o.foods) not in tried][:_COMPUTED]
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


def _usual(inside: Basket, exchange: Exchange, order: int, choice: Mapping[str, Food]) -> Option | None:
    if exchange.needs_heat and not inside.heated:
        return None
    if any(food_id not in choice for food_id in exchange.by):
        return None
    foods = [choice[food_id] for food_id in exchange.by]
    grams = exchanged(inside, exchange, foods)
    if grams is None:
        return None
    parts = tuple(Part(food, kitchen_grams(g)) for food, g in zip(foods, grams, strict=True) if kitchen_grams(g) > 0)
    if not parts or not _bearable(inside, parts):
        return None
    trials = [exchange.trial] if exchange.trial else []
    if exchange.up_to_percent is not None:
        trials.append(
            _(
                "The source replaced up to {percent} % of the {food}; here all of it is replaced.",
                percent=number(exchange.up_to_percent, 0),
                food=inside.food.name,
            )
        )
    losses = [_(LOSSES[key]) for key in exchange.loses]
    weight = _ORDER_COUNTS_FOR_PURPOSE if exchange.purpose else _ORDER_COUNTS
    made = _option(inside, parts, _because(inside, exchange, foods), exchange.source, losses, trials, weight * order)
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
        words.append(exchange.note)
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


# --- nearest in composition -----------------------------------------------------------------------------------------


def _by_composition(inside: Basket, choice: Mapping[str, Food]) -> list[Option]:
    """Foods whose first duty is that of the old one, alone or with a companion, by how little the batch moves."""
    alike = [food for food in choice.values() if _alike(inside.food, food)]
    companions = [choice[food_id] for food_id in COMPANIONS if food_id in choice and food_id != inside.food.id]
    field = Field([*alike, *companions], inside.assumptions, inside.rows)
    grams, squares = field.nearest_amounts(inside)
    order = sorted(range(len(alike)), key=lambda k: (squares[k], alike[k].id))
    found: list[Option] = []
    for k in order[: 4 * _PAIRED]:
        found += _computed(inside, [alike[k]], [float(grams[k])])
    for k in order[:_PAIRED]:
        for j in range(len(alike), len(field.foods)):
            pair = field.pair_amounts(inside, k, j)
            if min(pair) <= 0.0 or field.foods[j].id == alike[k].id:
                continue
            left = (np.array(pair) @ field.value[[k, j]] - inside.matters) / inside.scale
            if float(left @ left) <= _WORTH_A_SECOND * squares[k]:
                found += _computed(inside, [alike[k], field.foods[j]], list(pair))
    found.sort(key=lambda option: (option.score, option.foods))
    return found


def _alike(old: Food, new: Food) -> bool:
    """Whether composition may speak: same first duty, no animal for a plant, one kind where it tastes or sets."""
    duty = old.roles[:1]
    if new.id == old.id or new.roles[:1] != duty or role_match(old, [new]) < _LEAST_ROLE:
        return False
    if new.origin in ANIMAL and old.origin not in ANIMAL:
        return False
    alone = duty == ("flavour",) or old.group == "setting agents"  # composition says nothing of either
    return not alone or new.group == old.group


def _computed(inside: Basket, foods: Sequence[Food], grams: Sequence[float]) -> list[Option]:
    parts = tuple(Part(food, kitchen_grams(g)) for food, g in zip(foods, grams, strict=True) if kitchen_grams(g) > 0)
    total = sum(part.amount_g for part in parts) / inside.edible_g
    if len(parts) != len(foods) or not _LEAST_TIMES <= total <= _MOST_TIMES or not _bearable(inside, parts):
        return []
    done = {role for part in parts for role in part.food.roles}
    losses = [_(LOSSES[_ROLE_LOSSES[r]]) for r in inside.food.roles if r in _ROLE_LOSSES and r not in done]
    losses.append(_(LOSSES["flavour"]))
    trials = [_("Chosen by composition alone, no kitchen's practice: make a small batch first.")]
    return [_option(inside, parts, _("nearest in composition"), "", losses, trials, _COMPUTED_COUNTS)]


def _left_out(inside: Basket) -> Option | None:
    """A pinch of flavour or leavening may simply go."""
    if inside.food.roles[:1] not in (("flavour",), ("leavening",)):
        return None
    if inside.edible_g > _LEFT_OUT_UP_TO * inside.raw_g:
        return None
    losses = [_(LOSSES[_ROLE_LOSSES[r]]) for r in inside.food.roles if r in _ROLE_LOSSES]
    return _option(inside, (), _("left out: there is little of it"), "", losses, [], _COMPUTED_COUNTS)


# --- both -------------------------------------------------------------------------------------------------------------


def _option(
    inside: Basket,
    parts: tuple[Part, ...],
    because: str,
    source: str,
    losses: Sequence[str],
    trials: Sequence[str],
    more: float,
) -> Option:
    foods = [part.food for part in parts]
    role = role_match(inside.food, foods)
    far, unknown = distance(inside, foods, [part.amount_g for part in parts])
    score = min(far, _FURTHEST) + _ROLE_COUNTS * (1.0 - role) + _UNKNOWN_COUNTS * len(unknown) + more
    name = food_name(inside.project, inside.line)
    return Option(
        inside.line.id,
        name,
        parts,
        because,
        source,
        tuple(dict.fromkeys(losses)),
        tuple(trials),
        role,
        far,
        unknown,
        score,
    )


def _bearable(inside: Basket, parts: Sequence[Part]) -> bool:
    """Whether the batch bears so much of what comes in; limits count lines that stay as well."""
    batch = inside.raw_g - inside.edible_g + sum(part.amount_g for part in parts)
    for limit in limits_everywhere():
        mine = sum(part.amount_g for part in parts if limit.counts(part.food))
        if mine <= 0.0 or limit.high is None:
            continue
        there = sum(
            line.amount_g
            for line in inside.variant.lines
            if line.id != inside.line.id
            and (food := inside.project.foods.get(line.food_ref.id)) is not None
            and limit.counts(food)
        )
        if 100.0 * (mine + there) > limit.high * batch:
            return False
    return True


def kitchen_grams(grams: float) -> float:
    """Grams as a kitchen scale shows them: whole from 20 g on, halves from 5 g on, tenths below."""
    step = 1.0 if grams >= 20.0 else 0.5 if grams >= 5.0 else 0.1
    return math.floor(grams / step + 0.5) * step if step >= 0.5 else math.floor(grams * 10.0 + 0.5) / 10.0
