"""Edits of whole variants: how they are cut and eaten, their names and order, new ones and deleted ones."""

from msgspec.structs import replace

from workbench.base.text import _
from workbench.document.edits import Change, Edit, with_variant
from workbench.document.names import free_name
from workbench.document.project import Portioning, Project, Purpose, Stage, Variant, new_id


def set_portioning(project: Project, variant_id: str, portioning: Portioning, hold_batch_weight: bool) -> Edit:
    """Choose how the batch becomes pieces and what a drag holds."""
    variant = replace(project.variant(variant_id), portioning=portioning, hold_batch_weight=hold_batch_weight)
    return Edit(with_variant(project, variant), Change.PORTIONS, _("change portions"))


def set_pace(project: Project, variant_id: str, pace_per_hour: float) -> Edit:
    """Set how many pieces are eaten in an hour."""
    variant = replace(project.variant(variant_id), pace_per_hour=pace_per_hour)
    return Edit(with_variant(project, variant), Change.PORTIONS, _("set pace"))


def new_variant(project: Project, name: str, parent_id: str | None = None) -> tuple[Edit, str]:
    """Add a variant, copied from ``parent_id`` or empty, behind its parent.

    Returns
    -------
    tuple of Edit and str
        The edit, and the id of the new variant.
    """
    made_id = new_id()
    if parent_id is None:
        made = Variant(id=made_id, name=name, stages=(Stage(id=new_id(), name=_("mix")),))
        at = len(project.variants)
    else:
        parent = project.variant(parent_id)
        made = replace(parent, id=made_id, name=name, parent_id=parent_id, purpose="")
        at = project.variants.index(parent) + 1
    variants = (*project.variants[:at], made, *project.variants[at:])
    return Edit(replace(project, variants=variants), Change.VARIANTS, _("new variant {name}", name=name)), made_id


def free_variant_name(project: Project, name: str) -> str:
    """A name for a new variant that no other has."""
    return free_name(name, (variant.name for variant in project.variants))


def rename_variant(project: Project, variant_id: str, name: str) -> Edit:
    """Give a variant another name."""
    changed = with_variant(project, replace(project.variant(variant_id), name=name))
    return Edit(changed, Change.VARIANTS, _("rename variant to {name}", name=name))


def describe_variant(project: Project, variant_id: str, purpose: Purpose, notes: str) -> Edit:
    """Set a variant's purpose and notes."""
    changed = with_variant(project, replace(project.variant(variant_id), purpose=purpose, notes=notes))
    return Edit(changed, Change.VARIANTS, _("describe variant"))


def move_variant(project: Project, variant_id: str, position: int) -> Edit:
    """Put a variant behind ``position`` of the others."""
    moving = project.variant(variant_id)
    variants = [variant for variant in project.variants if variant.id != variant_id]
    variants.insert(position, moving)
    words = _("move variant {name}", name=moving.name)
    return Edit(replace(project, variants=tuple(variants)), Change.VARIANTS, words)


def variants_using(project: Project, variant_id: str) -> tuple[Variant, ...]:
    """The variants that have this one among their ingredients."""
    return tuple(
        v
        for v in project.variants
        if any(line.food_ref.kind == "variant" and line.food_ref.id == variant_id for line in v.lines)
    )


def remove_variant(project: Project, variant_id: str) -> Edit:
    """Delete a variant with its trial batches and its place in plans; its children become those of its parent.

    Raises
    ------
    ValueError
        If another variant uses it as an ingredient (``variants_using`` names them).
    """
    if variants_using(project, variant_id):
        raise ValueError("the variant is an ingredient of another one")
    gone = project.variant(variant_id)
    variants = tuple(
        replace(v, parent_id=gone.parent_id) if v.parent_id == variant_id else v
        for v in project.variants
        if v.id != variant_id
    )
    plans = tuple(
        replace(plan, items=tuple(item for item in plan.items if item.variant_id != variant_id))
        for plan in project.plans
    )
    trials = tuple(trial for trial in project.trials if trial.variant_id != variant_id)
    changed = replace(project, variants=variants, plans=plans, trials=trials)
    return Edit(changed, Change.VARIANTS, _("delete variant {name}", name=gone.name))
