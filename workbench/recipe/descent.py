"""From whom variants descend: each step with its note, what changed in the recipe, and the most that it did."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from workbench.document.project import Basis, Project, Variant
from workbench.recipe.change import KeptChanges
from workbench.recipe.comparison import Difference, LineChange, differences, line_changes
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import HEADLINE

_EFFECTS = 3

Member = tuple[Evaluation, str]  # a variant, and what its project is called


class Step(NamedTuple):
    """One variant and what was done to its parent.

    Attributes
    ----------
    variant, project, parent, note : str
        Titles and the variant's note; ``parent`` is empty where it descends from none that is known.
    compared : bool
        Whether the variant is one of those compared, not only a forebear.
    changes : tuple of LineChange
        Against the parent.
    effects : tuple of Difference
        The largest certain differences to the parent among the headline figures; at most three.
    """

    variant: str
    project: str
    parent: str
    note: str
    compared: bool
    changes: tuple[LineChange, ...] = ()
    effects: tuple[Difference, ...] = ()


def forebears(project: Project, variants: Iterable[Variant]) -> tuple[Variant, ...]:
    """Variants of a project that these descend from and that are not among them."""
    known = {variant.id: variant for variant in project.variants}
    begun = {variant.id for variant in variants}
    found: dict[str, Variant] = {}
    for variant_id in begun:
        parent_id = known[variant_id].parent_id if variant_id in known else None
        while parent_id in known and parent_id not in begun and parent_id not in found:
            found[parent_id] = known[parent_id]
            parent_id = known[parent_id].parent_id
    return tuple(variant for variant in project.variants if variant.id in found)


def descent(
    compared: Sequence[Member], family: Sequence[Member], basis: Basis, kept: KeptChanges | None = None
) -> tuple[Step, ...]:
    """Steps from the oldest known forebear to the variants compared, each behind its parent.

    Parameters
    ----------
    compared, family : sequence of (Evaluation, str)
        Those compared, and others of the same projects; each with what its project is called.
    basis : Basis
        What effects are per.
    kept : KeptChanges, optional
        Changes worked out before.
    """
    known = {(project, each.variant.id): each for each, project in (*family, *compared)}
    wanted = {(project, each.variant.id) for each, project in compared}
    found: dict[tuple[str, str], Step] = {}

    def add(project: str, each: Evaluation, path: tuple[str, ...]) -> None:
        variant = each.variant
        at = project, variant.id
        if at in found or variant.id in path:
            return
        parent = known.get((project, variant.parent_id or ""))
        if parent is None:
            found[at] = Step(variant.name, project, "", variant.notes, at in wanted)
            return
        add(project, parent, (*path, variant.id))
        changes = line_changes(parent, each)
        effects = _largest(differences(parent, each, basis, HEADLINE, kept))
        found[at] = Step(variant.name, project, parent.variant.name, variant.notes, at in wanted, changes, effects)

    for each, project in compared:
        add(project, each, ())
    return tuple(found.values())


def _largest(found: Sequence[Difference]) -> tuple[Difference, ...]:
    certain = [each for each in found if each.way in ("up", "down")]
    return tuple(sorted(certain, key=_relative, reverse=True)[:_EFFECTS])


def _relative(difference: Difference) -> float:
    """How much of the larger figure the change is, by the limit nearest to nothing."""
    low, high = difference.change.low, difference.change.high
    least = max(low, -high, 0.0)
    larger = max(difference.before.value, difference.after.value)
    return least / larger if larger > 0 else 0.0
