"""What a project's own copies of ingredients and today's tables no longer agree on, and what taking today's would do.

A project computes with the copies inside it, so that its figures never move by themselves.  Here it is told which rows
of the bundled table or of the library read otherwise today, and what the library's packs cost.  A copy that somebody
changed by hand differs as well, but that is no newer value: it is reported only where the row changed too, and said to
be edited.
"""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from msgspec.structs import replace

from workbench.base import paths
from workbench.base.errors import Problem, WorkbenchError
from workbench.composition.bundled import bundled_foods, row_hash
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food, Pack, Value
from workbench.composition.kitchen_foods import WITHOUT_LIBRARY
from workbench.document.project import Basis, Project, Variant
from workbench.recipe.bound import Bound
from workbench.recipe.comparison import Difference, differences
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.recipe.verdict import Verdict, verdicts
from workbench.recipe.words import bound_text

Lookup = Callable[[str], Food | None]
"""Today's row by its key; None where there is none any more."""

_PATIENCE_S = 0.1  # a window waits for the answer, and an import may write for minutes

FACTS = (
    "group",
    "origin",
    "contains",
    "may_contain",
    "gut",
    "doping",
    "digestibility",
    "fat_profile",
    "cannot_contain",
    "edible_fraction",
    "density_g_per_ml",
    "typical_yield",
    "nitrogen_factor",
)
"""Fields of a food, besides its values, that change a result or a warning."""

SHOWN = (
    "CHOAVLDF",
    "glucose_type",
    "fructose_type",
    "SUGAR",
    "FAT",
    "FASAT",
    "medium_chain",
    "FIBTG",
    "residue_organic",
    "residue_fibre_based",
    "PROCNT",
    "salt",
    "WATER",
    "energy_kcal",
    "energy_kj",
    "cost",
)
_SETS = ("contains", "may_contain", "cannot_contain", "gut")


class ValueChange(NamedTuple):
    """One component that reads otherwise; None = not known."""

    tag: str
    before: Value | None
    after: Value | None

    @property
    def moved(self) -> bool:
        """Whether the figure differs, and not only where it is from."""
        return (self.before and self.before.value) != (self.after and self.after.value)


class FactChange(NamedTuple):
    """A field of ``FACTS``, or the packs, that reads otherwise."""

    field: str
    before: object
    after: object


class NewerFood(NamedTuple):
    """One ingredient whose row reads otherwise today."""

    mine: Food  # as the project has it
    today: Food  # as it would be taken
    edited: bool  # the copy is not as it was taken: somebody changed it by hand, which taking today's row would undo
    values: tuple[ValueChange, ...]
    facts: tuple[FactChange, ...]


class NewerValues(NamedTuple):
    """What a project's copies and today's tables no longer agree on."""

    foods: tuple[NewerFood, ...]
    gone: tuple[Food, ...]  # copies of rows that there are no more; they stay as they are
    problems: tuple[Problem, ...] = ()  # why the library could not be asked

    def __bool__(self) -> bool:
        return bool(self.foods)


class Effect(NamedTuple):
    """What taking newer values does to one variant."""

    variant: Variant
    before: Evaluation
    after: Evaluation
    changes: tuple[Difference, ...]  # of ``SHOWN``, those that are written otherwise afterwards
    verdicts: tuple[tuple[Verdict, Verdict], ...]  # targets that are met or missed otherwise afterwards


def find_newer_here(project: Project) -> NewerValues:
    """Newer rows of the bundled table and of the user's own library, and prices kept there.

    Where there is no library only the bundled table is asked; one that cannot be read is named as well.
    """
    path = paths.library()
    if not path.exists():
        return find_newer(project)
    from workbench.composition.library.store import Library

    try:
        with Library.open(path, readonly=True, patience_s=_PATIENCE_S) as library:
            return find_newer(project, library.food)
    except WorkbenchError as error:
        return find_newer(project)._replace(problems=(WITHOUT_LIBRARY.at(why=" ".join(error.lines())),))


def find_newer(project: Project, library: Lookup | None = None) -> NewerValues:
    """Ingredients of a project whose rows read otherwise today.

    Parameters
    ----------
    project : Project
        Its ingredients say in ``taken_from`` which row they were copied from.
    library : callable, optional
        Today's food of the user's library by its key; without it copies from a library are left alone.  Its packs are
        newer for whatever has the same id, from the bundled table too: that is how an ingredient gets its price.

    Returns
    -------
    NewerValues
        In the order of the project's ingredients.
    """
    found: list[NewerFood] = []
    gone: list[Food] = []
    lookups: dict[str, Lookup | None] = {"bundled": bundled_foods().get, "library": library}
    for mine in project.foods.values():
        origin = mine.taken_from
        if origin is None:
            continue
        lookup = lookups.get(origin.kind) if origin.key else None
        today = lookup(origin.key) if lookup is not None else None
        if lookup is not None and today is None:
            gone.append(mine)
        shelf = library(origin.key or mine.id) if library is not None else None
        packs = shelf.packs if shelf is not None and shelf.packs else mine.packs
        here = row_hash(mine)
        if today is not None and row_hash(today) not in (origin.row_hash, here):
            found.append(_newer(mine, today, packs, edited=here != origin.row_hash))
        elif set(packs) != set(mine.packs):
            found.append(_newer(mine, mine, packs, edited=False))
    return NewerValues(tuple(found), tuple(gone))


def _newer(mine: Food, today: Food, packs: tuple[Pack, ...], *, edited: bool) -> NewerFood:
    values = tuple(
        ValueChange(tag, mine.values.get(tag), today.values.get(tag))
        for tag in COMPONENTS
        if _stated(mine.values.get(tag)) != _stated(today.values.get(tag))
    )
    facts = tuple(
        FactChange(field, getattr(mine, field), getattr(today, field))
        for field in FACTS
        if _fact(mine, field) != _fact(today, field)
    )
    if set(packs) != set(mine.packs):
        facts = (*facts, FactChange("packs", mine.packs, packs))
    # Packs and prices are the user's own, and so is the id that lines refer to.
    return NewerFood(mine, replace(today, id=mine.id, packs=packs), edited, values, facts)


def _stated(value: Value | None) -> tuple[object, ...] | None:
    return None if value is None else (value.value, value.kind, value.source, value.code, value.n, value.sd)


def _fact(food: Food, field: str) -> object:
    fact = getattr(food, field)
    return sorted(fact) if field in _SETS and fact is not None else fact


def effects(before: Project, after: Project, basis: Basis = "portion") -> tuple[Effect, ...]:
    """What differs in each variant that a change of ingredients moves; a variant that it leaves alone is not named.

    Parameters
    ----------
    before, after : Project
        The same variants with other ingredients.
    basis : Basis
        What the figures are per; targets keep their own.
    """
    rows = FoodRows()
    both = (
        (evaluate(prepare(before, old, rows)), evaluate(prepare(after, new, rows)))
        for old, new in zip(before.variants, after.variants, strict=True)
    )
    found = (_effect(before, old, new, basis) for old, new in both)
    return tuple(effect for effect in found if effect is not None)


def _effect(project: Project, before: Evaluation, after: Evaluation, basis: Basis) -> Effect | None:
    variant = before.variant
    if not (before.valid and after.valid):
        same = before.valid == after.valid and before.problems == after.problems
        return None if same else Effect(variant, before, after, (), ())
    found = differences(before, after, basis, SHOWN)
    changes = tuple(d for d in found if _written(d, d.before) != _written(d, d.after))
    targets = project.targets_of(variant)
    pairs = zip(verdicts(before, targets), verdicts(after, targets), strict=True) if targets is not None else ()
    turned = tuple((old, new) for old, new in pairs if old.state != new.state)
    return Effect(variant, before, after, changes, turned) if changes or turned else None


def _written(difference: Difference, bound: Bound) -> str:
    return bound_text(bound, difference.quantity.decimals)


def taken(newer: NewerValues, food_ids: Iterable[str] | None = None) -> tuple[Food, ...]:
    """The foods to take: those chosen by id, or all that were not edited by hand where none are named."""
    if food_ids is None:
        return tuple(one.today for one in newer.foods if not one.edited)
    chosen = frozenset(food_ids)
    return tuple(one.today for one in newer.foods if one.mine.id in chosen)
