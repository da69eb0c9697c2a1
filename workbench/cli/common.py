"""What the commands share: how they are added, how they read a project, how they say what is wrong."""

import argparse
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from workbench.base.errors import FileError, Problem, WorkbenchError
from workbench.base.files import FileLock
from workbench.base.nearest import nearest
from workbench.base.text import _
from workbench.document.project import Project, TargetSet, Variant
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare

if TYPE_CHECKING:
    from workbench.composition.library.store import Library
    from workbench.storage.structure import Extras

OK, WRONG, FAILED = 0, 1, 2

Run = Callable[[argparse.Namespace], int]


class Commands:
    """The commands of the terminal; each module of this package adds its own."""

    def __init__(self, parser: argparse.ArgumentParser) -> None:
        self._parsers = parser.add_subparsers(metavar=_("command"), required=True)

    def add(self, name: str, run: Run, text: str) -> argparse.ArgumentParser:
        """A command without arguments yet; ``run`` gets what was parsed and returns an exit code."""
        made = self._parsers.add_parser(name, help=text, description=text)
        made.set_defaults(run=run)
        return made

    def on_project(self, name: str, run: Run, text: str) -> argparse.ArgumentParser:
        """A command whose first argument is a project file."""
        made = self.add(name, run, text)
        made.add_argument("file", type=Path, help=_("project file"))
        return made

    def of_window(self, name: str, text: str, what: str, about: str) -> None:
        """A command that is taken before the terminal is reached; it stands here so that --help explains it."""
        made = self._parsers.add_parser(name, help=text, description=text)
        made.add_argument(what, nargs="?", help=about)


def library_named(arguments: argparse.Namespace) -> "Library":
    """The library of ``--library``, else the user's own; what is found on opening is said."""
    from workbench.composition.library.store import Library

    library = Library.open(arguments.library, mend=arguments.library is None)
    for notice in library.notices:
        say(notice)
    return library


def say(text: str) -> None:
    """Say something beside the result."""
    print(text, file=sys.stderr)


def print_json(data: Any) -> None:
    """Print anything that msgspec encodes, for other programs: UTF-8 whatever the terminal takes."""
    import msgspec

    sys.stdout.buffer.write(msgspec.json.format(msgspec.json.encode(data), indent=2) + b"\n")
    sys.stdout.buffer.flush()


def write_project(target: Path, project: Project, extras: "Extras") -> None:
    """Write a project file that nobody has open, and say so.

    Raises
    ------
    FileError
        If a window or another program has it open, or it cannot be written.
    """
    from workbench.storage.project_file import save_project

    lock = FileLock(target)
    if target.parent.is_dir() and lock.acquire() is not None:
        summary = _("“{name}” is open elsewhere.", name=target.name)
        raise FileError(summary, hint=_("Close it there, or name another file with -o."), where=str(target))
    try:
        save_project(target, project, extras)
    finally:
        lock.release()
    say(_("wrote {file}", file=target))


def load(path: Path) -> tuple[Project, tuple[Problem, ...]]:
    """A project, and what reading it gives cause to say."""
    from workbench.storage.project_file import load_project

    loaded = load_project(path)
    return loaded.project, tuple(loaded.problems)


def chosen(project: Project, wanted: str | None) -> tuple[Variant, ...]:
    """The variants with this name or id; all of them where none is named."""
    if wanted is None:
        return project.variants
    found = tuple(v for v in project.variants if wanted in (v.id, v.name))
    if not found:
        names = ", ".join(f"“{v.name}”" for v in project.variants)
        raise WorkbenchError(
            _("The project has no variant “{name}”.", name=wanted), hint=_("It has: {names}.", names=names)
        )
    if len(found) > 1:
        ids = ", ".join(v.id for v in found)
        raise WorkbenchError(
            _("Several variants are called “{name}”.", name=wanted), hint=_("Name one by its id: {ids}.", ids=ids)
        )
    return found


def evaluations(project: Project, variants: tuple[Variant, ...]) -> Iterator[Evaluation]:
    """What each of them gives."""
    rows = FoodRows()
    for variant in variants:
        yield evaluate(prepare(project, variant, rows))


def valid(project: Project, variants: tuple[Variant, ...]) -> list[Evaluation]:
    """Evaluations of variants, or none of them where one has no valid result; problems are said either way."""
    evaluated = list(evaluations(project, variants))
    for evaluation in evaluated:
        for problem in evaluation.problems:
            say(problem.sentence())
    return evaluated if all(evaluation.valid for evaluation in evaluated) else []


def target_set(project: Project, wanted: str) -> TargetSet:
    """The set of targets with this name or id: of the project, kept by the user, or of our own to begin with."""
    from workbench.solve.starting_sets import starting_target_sets
    from workbench.storage.kept_targets import kept_target_sets

    sets = project.target_sets
    found = next((s for s in sets if wanted in (s.id, s.name)), None)
    if found is None:
        sets = (*sets, *kept_target_sets(), *starting_target_sets())
        found = next((s for s in sets if wanted in (s.id, s.name)), None)
    if found is None:
        names = dict.fromkeys(s.name for s in sets)
        like = nearest(wanted, names)
        hint = _("Did you mean “{name}”?", name=like) if like else _("There are: {names}.", names=", ".join(names))
        raise WorkbenchError(_("There is no set of targets “{name}”.", name=wanted), hint=hint)
    return found
