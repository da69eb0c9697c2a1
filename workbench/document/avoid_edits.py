"""Edits of what a recipe must not hold."""

from msgspec.structs import replace

from workbench.base.text import _
from workbench.document.avoid import Avoid
from workbench.document.edits import Change, Edit, with_variant
from workbench.document.project import Project


def avoid_in_project(project: Project, avoid: Avoid, variant_id: str | None = None) -> Edit:
    """Set what no variant may hold that has no wish of its own; the one with ``variant_id`` gives its own up."""
    changed = replace(project, avoid=avoid)
    if variant_id is not None and project.variant(variant_id).avoid is not None:
        changed = with_variant(changed, replace(project.variant(variant_id), avoid=None))
    return Edit(changed, Change.AVOID, _("set what to avoid") if avoid else _("avoid nothing any more"))


def avoid_in_variant(project: Project, variant_id: str, avoid: Avoid | None) -> Edit:
    """Set what one variant must not hold, in place of what the project says; None goes back to that."""
    changed = with_variant(project, replace(project.variant(variant_id), avoid=avoid))
    return Edit(changed, Change.AVOID, _("set what this variant avoids"))
