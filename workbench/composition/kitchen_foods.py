"""What a recipe can be made of: the bundled table, and those foods of the library of which a role is stated.

A food without a role says nothing of what it does in a dough or a mash, so it is found by the search only.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from workbench.base import paths
from workbench.base.errors import Problem, ProblemKind, WorkbenchError
from workbench.base.text import N_
from workbench.composition.bundled import ROLES, bundled_foods
from workbench.composition.food import Food

MOST_OF_A_ROLE = 60
"""Foods of the library for each role; a whole imported table would only slow everything down."""

_PATIENCE_S = 0.5

WITHOUT_LIBRARY = ProblemKind("without_library", "notice", N_("the library could not be looked into: {why}"))
LIBRARY_CUT = ProblemKind(
    "library_cut",
    "notice",
    N_("the library holds more than {n} foods of one role; {n} of them were looked at, your own first."),
)


class KitchenFoods(NamedTuple):
    """Foods by id, and why some may be missing."""

    foods: Mapping[str, Food]
    problems: tuple[Problem, ...] = ()


def kitchen_foods(library: Path | None = None) -> KitchenFoods:
    """The bundled table and the library, whose foods stand for their namesakes in the table.

    Parameters
    ----------
    library : Path, optional
        Another library file than the user's own; it need not exist.

    Returns
    -------
    KitchenFoods
        The same whenever table and library are the same.  A library that cannot be read is left out and named.
    """
    path = paths.library() if library is None else library
    if not path.exists():
        return KitchenFoods(bundled_foods())
    from workbench.composition.library.store import Library

    try:
        with Library.open(path, readonly=True, patience_s=_PATIENCE_S) as opened:
            found, cut = opened.with_roles(sorted(ROLES), MOST_OF_A_ROLE)
    except WorkbenchError as error:
        return KitchenFoods(bundled_foods(), (WITHOUT_LIBRARY.at(why=" ".join(error.lines())),))
    problems = (LIBRARY_CUT.at(n=MOST_OF_A_ROLE),) if cut else ()
    return KitchenFoods({**bundled_foods(), **{food.id: food for food in found}}, problems)
