"""Comparing: which variants are compared, of this project and of other project files, and their present figures."""

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QObject, Signal

from workbench.base.errors import WorkbenchError
from workbench.base.settings import SettingsFile
from workbench.base.text import _
from workbench.document.project import Assumptions, Basis, Project, Variant
from workbench.recipe.change import KeptChanges
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.preparation import prepare
from workbench.recipe.side_by_side import MOST, Column, SideBySide, by_rules_of, column_of, side_by_side
from workbench.storage.project_file import load_project
from workbench.ui.session import Session

_PROJECTS_KEPT = 40
_BETWEEN = "\n"  # a path holds anything else


class Chosen(NamedTuple):
    """One variant: of the open project, or of the file at ``path``."""

    variant_id: str
    path: str = ""


class OtherFile(NamedTuple):
    """Another project file as it was last read; without a project ``problem`` says why."""

    project: Project | None
    problem: str
    stamp: tuple[int, int]  # time and size, to know when it has to be read again


class Compared(NamedTuple):
    """One variant with its figures."""

    chosen: Chosen
    project: Project
    evaluation: Evaluation
    file_name: str = ""  # of the other file; "" for the open project

    @property
    def variant(self) -> Variant:
        return self.evaluation.variant

    @property
    def column(self) -> Column:
        return column_of(self.project, self.evaluation, self.file_name)


class Whole(NamedTuple):
    """All that is compared, the reference first, as it is now; it holds nothing of the window."""

    columns: tuple[Column, ...]
    family: tuple[Column, ...]  # not compared, but some that are descend from them
    problems: tuple[str, ...]  # one sentence for each file that cannot be read

    def side(self, basis: Basis, kept: KeptChanges | None = None) -> SideBySide:
        """The comparison per ``basis``."""
        return side_by_side(self.columns, 0, basis, family=self.family, kept=kept)


class Comparing(QObject):
    """The choice for the open project, kept in the settings.  Its first is the reference.

    ``changed`` comes when the choice is another one.  Without a choice of the user's the variants of the project are
    compared, as many as may be.  A variant that is gone is passed over, and comes back with undo.
    """

    changed = Signal()

    def __init__(self, session: Session, settings: SettingsFile, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session, self._settings = session, settings
        self._files: dict[str, OtherFile] = {}
        self._figures: dict[Chosen, tuple[Project, Evaluation]] = {}
        self._measured: dict[str, tuple[Project, Project, Assumptions]] = {}

    # --- the choice ---------------------------------------------------------------------------------------------------

    @property
    def chosen(self) -> tuple[Chosen, ...]:
        """What the user chose, or what is usual; the reference first."""
        kept = self._settings.settings.compared.get(self._session.project.id, ())
        return tuple(_read(text) for text in kept) or self._usual()

    def _usual(self) -> tuple[Chosen, ...]:
        """The first variants of the project, and the one on screen in any case."""
        ids = [variant.id for variant in self._session.project.variants]
        kept = ids[:MOST]
        if self._session.variant_id not in kept:
            kept[-1] = self._session.variant_id
        return tuple(map(Chosen, kept))

    def choose(self, chosen: Iterable[Chosen]) -> None:
        """Compare these; the first is the reference."""
        kept = dict(self._settings.settings.compared)
        kept.pop(self._session.project.id, None)
        texts = [_written(one) for one in dict.fromkeys(chosen)][:MOST]
        latest = list(kept.items())[-_PROJECTS_KEPT + 1 :]
        self._settings.change(compared=dict([*latest, (self._session.project.id, texts)]))
        self.changed.emit()

    def make_reference(self, one: Chosen) -> None:
        """Compare the others with this one."""
        self.choose([one, *(other for other in self.chosen if other != one)])

    def leave_out(self, one: Chosen) -> None:
        """Compare the others only."""
        self.choose([other for other in self.chosen if other != one])

    def add(self, one: Chosen) -> None:
        """Compare this one too."""
        self.choose([*self.chosen, one])

    # --- other files --------------------------------------------------------------------------------------------------

    def file(self, path: str) -> OtherFile:
        """Another project file, read when it is new or has changed."""
        try:
            state = Path(path).stat()
            stamp = state.st_mtime_ns, state.st_size
        except OSError:
            stamp = 0, -1
        held = self._files.get(path)
        if held is None or held.stamp != stamp:
            held = self._files[path] = _load(path, stamp)
        return held

    def paths(self) -> list[str]:
        """Other files that were asked for since the window was opened, or are chosen."""
        return list(dict.fromkeys([*self._files, *(one.path for one in self.chosen if one.path)]))

    def look_again(self) -> None:
        """Take up what has changed in other files."""
        for path in dict.fromkeys(one.path for one in self.chosen if one.path):
            self.file(path)

    # --- figures ------------------------------------------------------------------------------------------------------

    def compared(self) -> list[Compared]:
        """The variants that are there, the reference first."""
        found = []
        chosen = self.chosen
        names = _file_names({one.path for one in chosen if one.path})
        for one in chosen:
            project = self._project_of(one)
            if project is not None and any(variant.id == one.variant_id for variant in project.variants):
                found.append(Compared(one, project, self._evaluation_of(one, project), names.get(one.path, "")))
        return found

    def whole(self) -> Whole:
        """All that is compared, to be taken along."""
        compared = self.compared()
        family = self.forebears(compared)
        return Whole(tuple(one.column for one in compared), tuple(one.column for one in family), tuple(self.problems()))

    def forebears(self, compared: Iterable[Compared]) -> list[Compared]:
        """Variants that are not compared, but from which one of those descends."""
        present = list(compared)
        known = {one.chosen for one in present}
        found: dict[Chosen, Compared] = {}
        for one in present:
            variants = {variant.id: variant for variant in one.project.variants}
            parent_id = one.variant.parent_id
            while parent_id in variants:
                chosen = one.chosen._replace(variant_id=parent_id)
                if chosen in known or chosen in found:
                    break
                evaluation = self._evaluation_of(chosen, one.project)
                found[chosen] = Compared(chosen, one.project, evaluation, one.file_name)
                parent_id = variants[parent_id].parent_id
        return list(found.values())

    def problems(self) -> list[str]:
        """One sentence for each file that cannot be read."""
        paths = dict.fromkeys(one.path for one in self.chosen if one.path)
        return [self._files[path].problem for path in paths if path in self._files and self._files[path].problem]

    def _project_of(self, one: Chosen) -> Project | None:
        if not one.path:
            return self._session.project
        project = (self._files.get(one.path) or self.file(one.path)).project
        return None if project is None else self._measured_alike(one.path, project)

    def _measured_alike(self, path: str, project: Project) -> Project:
        """Another project by the rules of the open one; the same object until either changes."""
        rules, held = self._session.project.assumptions, self._measured.get(path)
        if held is None or held[1] is not project or held[2] != rules:
            held = self._measured[path] = by_rules_of(self._session.project, project), project, rules
        return held[0]

    def _evaluation_of(self, one: Chosen, project: Project) -> Evaluation:
        if not one.path:
            return self._session.evaluation_of(one.variant_id)
        held = self._figures.get(one)
        if held is None or held[0] is not project:
            variant = project.variant(one.variant_id)
            held = self._figures[one] = project, evaluate(prepare(project, variant))
        return held[1]


def _file_names(paths: set[str]) -> dict[str, str]:
    """What files are called: by their names, or by their whole paths where two have the same name."""
    names = {path: Path(path).name for path in paths}
    taken = list(names.values())
    return {path: name if taken.count(name) == 1 else path for path, name in names.items()}


def _load(path: str, stamp: tuple[int, int]) -> OtherFile:
    try:
        return OtherFile(load_project(path).project, "", stamp)
    except WorkbenchError as error:
        words = _("“{name}” is not compared: {reason}", name=Path(path).name, reason=error.summary)
        return OtherFile(None, f"{words} {error.hint}".rstrip(), stamp)


def _written(one: Chosen) -> str:
    return one.variant_id + (_BETWEEN + one.path if one.path else "")


def _read(text: str) -> Chosen:
    variant_id, _between, path = text.partition(_BETWEEN)
    return Chosen(variant_id, path)
