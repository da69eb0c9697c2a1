"""What the import does beside the window's thread: looking at a table, again as the user says, and taking it in."""

import datetime
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from workbench.base.progress import Progress
from workbench.base.settings import SettingsFile
from workbench.composition.food import Food
from workbench.composition.imports.detection import MAPPED, ImportPlan, make_plan, ways
from workbench.composition.imports.layout import Conventions, Layout
from workbench.composition.imports.remembering import recall, recall_way, remember, remember_way
from workbench.composition.imports.running import Report, preview, run
from workbench.composition.imports.tally import Tally
from workbench.ui.library_opening import Notices, opened

_PREVIEWED = 10  # foods


class Looked(NamedTuple):
    """What a look at a table gave."""

    ways: tuple[Layout, ...]  # in which it can be read, the likeliest first
    layout: Layout  # the one of them that is meant
    plan: ImportPlan
    mapping: Mapping[str, str]
    fresh: bool  # the table is looked at so for the first time
    foods: tuple[Food, ...] = ()
    tally: Tally | None = None

    def remember(self, mapping: Mapping[str, str], settings: SettingsFile) -> None:
        """Take a table of this kind the same way next time."""
        remember_way(self.ways, self.layout, settings)
        if mapping:
            remember(self.layout, mapping, settings)


def look(path: Path, settings: SettingsFile, progress: Progress) -> Looked:
    """Look at a table for the first time; such a table that was imported before is taken as the user said then."""
    found = ways(path)
    return look_so(path, found, recall_way(found, settings), settings, progress)


def look_so(
    path: Path, found: tuple[Layout, ...], layout: Layout, settings: SettingsFile, progress: Progress
) -> Looked:
    """Look at the table as laid out so."""
    looked = look_again(path, found, layout, Conventions(), recall(layout, settings), progress)
    return looked._replace(fresh=True)


def look_again(
    path: Path,
    found: tuple[Layout, ...],
    layout: Layout,
    chosen: Conventions,
    mapping: Mapping[str, str],
    _progress: Progress,
) -> Looked:
    """Look at it with other choices."""
    mapping = mapping if layout.name in MAPPED else {}
    plan = make_plan(path, layout, chosen, mapping)
    looked = Looked(found, layout, plan, mapping, fresh=False)
    if plan.questions:
        return looked
    foods, tally = preview(plan, _PREVIEWED)
    return looked._replace(foods=foods, tally=tally)


def take_in(plan: ImportPlan, about: Mapping[str, str], notices: Notices, progress: Progress) -> Report:
    """Import the table into the user's library."""
    with opened(notices) as library:
        today = datetime.date.today().isoformat()  # noqa: DTZ011 - the user's own calendar
        return run(plan, library, progress, imported=today, **about)
