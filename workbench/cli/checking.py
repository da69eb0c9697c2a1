"""The command that looks for what is wrong or doubtful."""

import argparse
from pathlib import Path

from workbench.base.errors import Problem, WorkbenchError
from workbench.base.text import _
from workbench.cli.common import OK, WRONG, Commands, evaluations, load


def add(commands: Commands) -> None:
    """Add the command of this module."""
    check = commands.add("check", _check, _("list every problem of a project file, or of the composition table"))
    check.add_argument("file", type=Path, nargs="?", help=_("project file"))
    check.add_argument("--composition", action="store_true", help=_("what is doubtful in the bundled table"))


def _check(arguments: argparse.Namespace) -> int:
    if arguments.file is None and not arguments.composition:
        raise WorkbenchError(
            _("There is nothing to check."), hint=_("Name a project file, or --composition for the bundled table.")
        )
    found = list(_table_problems()) if arguments.composition else []
    found += _project_problems(arguments.file) if arguments.file is not None else []
    for problem in found:
        print(f"{problem.severity}: {problem.sentence()}")
    if not found:
        print(_("no problems found"))
    return WRONG if any(problem.severity in ("error", "warning") for problem in found) else OK


def _table_problems() -> tuple[Problem, ...]:
    from workbench.composition.bundled import bundled_foods
    from workbench.composition.quality import check_factors, check_table

    return (*check_factors(), *check_table(bundled_foods().values()))


def _project_problems(path: Path) -> list[Problem]:
    """What loading, calculation and the project's own ingredients give cause to say."""
    from workbench.composition.quality import check_table

    project, notices = load(path)
    own = (food for food in project.foods.values() if food.taken_from is None or food.taken_from.kind != "bundled")
    evaluated = (p for evaluation in evaluations(project, project.variants) for p in evaluation.problems)
    return [*notices, *evaluated, *check_table(own)]
