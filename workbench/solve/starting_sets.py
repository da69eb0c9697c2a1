"""Starting sets: targets of our own to begin with, read from ``resources/starting_targets.csv`` with their sources.

Every target says where its figures come from, or that they are common practice without a source.
"""

import csv
from functools import cache

from workbench.base.errors import WorkbenchError
from workbench.base.paths import resources
from workbench.base.text import N_, _
from workbench.document.project import Project, Target, TargetSet, new_id

_NAMES = (N_("race piece"), N_("long-ride piece"))  # in the file; marked here for translation


def starting_target_sets() -> tuple[TargetSet, ...]:
    """The sets, with new ids: what a project takes in is its own from then on."""
    return tuple(_read_set(name) for name in dict.fromkeys(row["set"] for row in _rows()))


def sets_on_offer(project: Project) -> tuple[TargetSet, ...]:
    """The sets of a project, then those of our own whose names it has not: a project's "race piece" stands for ours."""
    names = {one.name for one in project.target_sets}
    return (*project.target_sets, *(one for one in starting_target_sets() if one.name not in names))


def starting_target_set(purpose: str) -> TargetSet | None:
    """The set for a purpose of a variant, "race" or "long_ride"; None where there is none."""
    name = next((row["set"] for row in _rows() if row["purpose"] == purpose), None)
    return _read_set(name) if name is not None else None


@cache
def _rows() -> tuple[dict[str, str], ...]:
    file = resources() / "starting_targets.csv"
    try:
        with file.open(encoding="utf-8", newline="") as handle:
            return tuple(csv.DictReader(handle))
    except OSError as error:
        raise WorkbenchError(_("The starting targets cannot be read."), where=str(file)) from error


def _read_set(name: str) -> TargetSet:
    def figure(text: str) -> float | None:
        return float(text) if text else None

    targets = tuple(
        Target(
            id=new_id(),
            quantity=row["quantity"],
            basis=row["basis"],  # type: ignore[arg-type]
            low=figure(row["low"]),
            high=figure(row["high"]),
            aim=figure(row["aim"]),
            strength=row["strength"],  # type: ignore[arg-type]
            source=row["source"],
        )
        for row in _rows()
        if row["set"] == name
    )
    return TargetSet(id=new_id(), name=_(name), targets=targets)
