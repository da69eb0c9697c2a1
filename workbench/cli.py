"""The terminal: the same work without a window.  It parses, calls and prints; it computes nothing.

Exit codes: 0 all well, 1 something is wrong with what the project says, 2 it could not be done (file, arguments).
"""

import argparse
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from workbench.base.errors import Problem, WorkbenchError
from workbench.base.nearest import nearest
from workbench.base.text import _
from workbench.document.project import Basis, Project, Variant
from workbench.recipe.evaluation import Evaluation, evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import BASES, BASIS_TITLES, QUANTITIES
from workbench.recipe.words import portions_text, quantity_text

OK, WRONG, FAILED = 0, 1, 2

SUMMARY = (
    "CHOAVLDF",
    "glucose_type",
    "fructose_type",
    "SUGAR",
    "FAT",
    "mct_c6_c10",
    "FIBTG",
    "residue_organic",
    "residue_fibre_based",
    "PROCNT",
    "salt",
    "WATER",
    "energy_kj",
    "energy_kcal",
    "fructose_to_glucose",
)
"""What a table for people shows; ``--json`` has every quantity."""


def main(argv: list[str]) -> int:
    """Run one command.

    Parameters
    ----------
    argv : list of str
        Arguments after the program's name.

    Returns
    -------
    int
        Exit code.
    """
    arguments = _parser().parse_args(argv)
    run: Callable[[argparse.Namespace], int] = arguments.run
    try:
        return run(arguments)
    except WorkbenchError as error:
        for line in error.lines():
            _say(line)
        return FAILED
    except BrokenPipeError:  # the reader has seen enough
        sys.stderr.close()
        return OK
    except Exception as bug:  # noqa: BLE001 - the last stop before a traceback would reach the user
        from workbench.base.crash import write_report

        _say(_("This should not have happened: {error}", error=bug))
        report = write_report(bug)
        if report is not None:
            _say(_("A report for the makers is in {file}.", file=report))
        return FAILED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="pocketfare",
        description=_(
            "Formulate portable endurance food. Without a command, or with a project file, it opens the window."
        ),
    )
    commands = parser.add_subparsers(metavar=_("command"), required=True)

    def command(
        name: str, run: Callable[[argparse.Namespace], int], text: str, n_files: str | None = None
    ) -> argparse.ArgumentParser:
        made = commands.add_parser(name, help=text, description=text)
        made.set_defaults(run=run)
        made.add_argument("file", type=Path, nargs=n_files, help=_("project file"))
        return made

    compute = command("compute", _compute, _("print what every variant delivers"))
    compute.add_argument("--variant", help=_("only the variant with this name or id"))
    compute.add_argument("--json", action="store_true", help=_("every quantity, for other programs"))

    compare = command("compare", _compare, _("print what changed between two variants, and what it did"))
    compare.add_argument("before", help=_("name or id of a variant"))
    compare.add_argument("after", help=_("name or id of another"))
    compare.add_argument("--basis", choices=BASES, default="portion")

    explain = command("explain", _explain, _("print how one figure comes about, with its sources"))
    explain.add_argument("variant", help=_("name or id of a variant"))
    explain.add_argument("key", help=_("a quantity, such as CHOAVLDF or energy_kj"))
    explain.add_argument("--basis", choices=BASES, default="portion")

    export = command("export", _export, _("write a spreadsheet of values to hand over"))
    export.add_argument("-o", "--output", type=Path, required=True, help=_("the .xlsx file to write"))
    export.add_argument("--variant", help=_("only the variant with this name or id"))

    check = command("check", _check, _("list every problem of a project file, or of the composition table"), "?")
    check.add_argument("--composition", action="store_true", help=_("what is doubtful in the bundled table"))
    # The window's commands are taken before this parser is reached; they stand here so that --help names them.
    for name, text in (("demo", _("open a demo in the window")), ("open", _("open a project file in the window"))):
        commands.add_parser(name, help=text)
    return parser


def _say(text: str) -> None:
    print(text, file=sys.stderr)


def _load(path: Path) -> tuple[Project, tuple[Problem, ...]]:
    from workbench.storage.project_file import load_project

    loaded = load_project(path)
    return loaded.project, tuple(loaded.problems)


def _chosen(project: Project, wanted: str | None) -> tuple[Variant, ...]:
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


def _evaluations(project: Project, variants: tuple[Variant, ...]) -> Iterator[Evaluation]:
    rows = FoodRows()
    for variant in variants:
        yield evaluate(prepare(project, variant, rows))


def _compute(arguments: argparse.Namespace) -> int:
    project, notices = _load(arguments.file)
    for notice in notices:
        _say(notice.sentence())
    evaluations = list(_evaluations(project, _chosen(project, arguments.variant)))
    if arguments.json:
        _print_json(evaluations)
    else:
        for evaluation in evaluations:
            _print_variant(evaluation)
    return OK if all(evaluation.valid for evaluation in evaluations) else WRONG


def _print_json(evaluations: list[Evaluation]) -> None:
    import msgspec

    from workbench.report.results_json import variant_data

    data: dict[str, Any] = {"variants": [variant_data(evaluation) for evaluation in evaluations]}
    sys.stdout.buffer.write(msgspec.json.format(msgspec.json.encode(data), indent=2) + b"\n")
    sys.stdout.buffer.flush()


def _print_variant(evaluation: Evaluation) -> None:
    print(evaluation.variant.name)
    for problem in evaluation.problems:
        _say(f"  {problem.sentence()}")
    if not evaluation.valid:
        return
    print(f"  {portions_text(evaluation.portions)}")
    print(f"  {'':40}{_(BASIS_TITLES['portion']):>22}{_(BASIS_TITLES['per_100g']):>22}")
    for key in SUMMARY:
        figures = "".join(f"{quantity_text(evaluation.bound(key, b), key):>22}" for b in ("portion", "per_100g"))
        print(f"  {_(QUANTITIES[key].title):40}{figures}")
    print()


def _compare(arguments: argparse.Namespace) -> int:
    from workbench.recipe.comparison import differences, line_changes
    from workbench.recipe.words import change_text, line_change_text

    project, _notices = _load(arguments.file)
    chosen = (*_chosen(project, arguments.before)[:1], *_chosen(project, arguments.after)[:1])
    both = _valid(project, chosen)
    if not both:
        return WRONG
    before, after = both
    print(_("{before} → {after}", before=before.variant.name, after=after.variant.name))
    for change in line_changes(before, after):
        print(f"  {line_change_text(change)}")
    basis: Basis = arguments.basis
    print()
    print(f"  {_(BASIS_TITLES[basis]):40}{before.variant.name:>22}{after.variant.name:>22}{_('change'):>16}")
    for difference in differences(before, after, basis, SUMMARY):
        key = difference.quantity.key
        figures = f"{quantity_text(difference.before, key):>22}{quantity_text(difference.after, key):>22}"
        print(f"  {_(difference.quantity.title):40}{figures}{change_text(difference):>16}")
    return OK


def _explain(arguments: argparse.Namespace) -> int:
    from workbench.recipe.explanation import explain

    if arguments.key not in QUANTITIES:
        keys = nearest(arguments.key, QUANTITIES) or ", ".join(QUANTITIES)
        raise WorkbenchError(_("There is no quantity “{key}”.", key=arguments.key), hint=_("Try: {keys}.", keys=keys))
    project, _notices = _load(arguments.file)
    evaluations = _valid(project, _chosen(project, arguments.variant))
    for evaluation in evaluations:
        print(explain(project, evaluation, arguments.key, arguments.basis).text())
    return OK if evaluations else WRONG


def _valid(project: Project, variants: tuple[Variant, ...]) -> list[Evaluation]:
    """Evaluations of variants, or none of them where one has no valid result; problems are said either way."""
    evaluations = list(_evaluations(project, variants))
    for evaluation in evaluations:
        for problem in evaluation.problems:
            _say(problem.sentence())
    return evaluations if all(evaluation.valid for evaluation in evaluations) else []


def _export(arguments: argparse.Namespace) -> int:
    from workbench.report.sheet import write_sheet

    project, _notices = _load(arguments.file)
    evaluations = _valid(project, _chosen(project, arguments.variant))
    if not evaluations:
        return WRONG
    write_sheet(project, evaluations, arguments.output)
    print(_("wrote {file}", file=arguments.output))
    return OK


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

    project, notices = _load(path)
    own = (food for food in project.foods.values() if food.taken_from is None or food.taken_from.kind != "bundled")
    evaluated = (p for evaluation in _evaluations(project, project.variants) for p in evaluation.problems)
    return [*notices, *evaluated, *check_table(own)]
