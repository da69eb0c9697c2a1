"""One set of quality checks for rows of a composition table, whether bundled, typed in or imported.

``check_food`` looks at one row, ``check_table`` at every row and at rows beside each other, ``check_factors`` at the
energy factors.  A check that lacks a figure says nothing: unknown is not wrong.  Labels as they are printed, with their
rounding, are the task of ``label_findings``; once read, their rows pass here like any other.

``sums`` holds closure and parts, ``fats`` fatty acids, ``energy`` energies and factors, ``kitchen`` densities, waste,
spread and water, ``beside`` duplicates and raw/cooked pairs, ``reviewed`` what somebody looked into and kept, ``words``
everything they can say.
"""

from collections.abc import Iterable, Iterator

from workbench.base.errors import Problem
from workbench.composition.food import Food
from workbench.composition.quality.beside import duplicates, pairs
from workbench.composition.quality.energy import check_factors, energies
from workbench.composition.quality.fats import fats
from workbench.composition.quality.kitchen import kitchen
from workbench.composition.quality.reviewed import with_reviews
from workbench.composition.quality.sums import sums

__all__ = ["check_factors", "check_food", "check_table"]


def check_food(food: Food) -> tuple[Problem, ...]:
    """What is doubtful about one row, as it was published or typed in (before gaps are filled).

    Parameters
    ----------
    food : Food
        Composition per 100 g edible part.

    Returns
    -------
    tuple of Problem
        Each with the food, and often the component, as its place, the likely cause and what to do; of a bundled row
        that was reviewed, a notice with the reason why its figure is kept.
    """
    return tuple(with_reviews({food.id: food}, _row(food)))


def check_table(foods: Iterable[Food]) -> tuple[Problem, ...]:
    """What is doubtful about rows, one by one and beside each other.

    Parameters
    ----------
    foods : iterable of Food
        Compositions per 100 g edible part.
    """
    rows = tuple(foods)
    found = (*(problem for food in rows for problem in _row(food)), *duplicates(rows), *pairs(rows))
    return tuple(with_reviews({food.id: food for food in rows}, found))


def _row(food: Food) -> Iterator[Problem]:
    yield from sums(food)
    yield from fats(food)
    yield from energies(food)
    yield from kitchen(food)
