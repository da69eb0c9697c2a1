"""Sets of targets that come from elsewhere: another project, the user's kept sets, a copy."""

from collections.abc import Iterable

from msgspec.structs import replace

from workbench.document.names import free_name
from workbench.document.project import TargetSet, new_id


def taken_over(targets: TargetSet, beside: Iterable[TargetSet] = (), name: str = "") -> TargetSet:
    """The set with new ids, under a name that none beside it has: what a project takes in is its own from then on."""
    free = free_name(name or targets.name, (other.name for other in beside))
    own = tuple(replace(target, id=new_id()) for target in targets.targets)
    return TargetSet(id=new_id(), name=free, targets=own)
