"""Commands that print figures: compute, explain."""

import argparse
from typing import Any

from workbench.base.errors import WorkbenchError
from workbench.base.nearest import nearest
from workbench.base.text import _
from workbench.cli.common import OK, WRONG, Commands, chosen, evaluations, load, print_json, say, valid
from workbench.document.project import Project
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import BASES, BASIS_TITLES, HEADLINE, QUANTITIES
from workbench.recipe.words import portions_text, quantity_text


def add(commands: Commands) -> None:
    """Add the commands of this module."""
    compute = commands.on_project("compute", _compute, _("print what every variant delivers"))
    compute.add_argument("--variant", help=_("only the variant with this name or id"))
    compute.add_argument("--json", action="store_true", help=_("every quantity, for other programs"))

    explain = commands.on_project("explain", _explain, _("print how one figure comes about, with its sources"))
    explain.add_argument("variant", help=_("name or id of a variant"))
    explain.add_argument("key", help=_("a quantity, such as CHOAVLDF or energy_kj"))
    explain.add_argument("--basis", choices=BASES, default="portion")


def _compute(arguments: argparse.Namespace) -> int:
    project, notices = load(arguments.file)
    for notice in notices:
        say(notice.sentence())
    evaluated = list(evaluations(project, chosen(project, arguments.variant)))
    if arguments.json:
        _print_json(project, evaluated)
    else:
        for evaluation in evaluated:
            _print_variant(project, evaluation)
    return OK if all(evaluation.valid for evaluation in evaluated) else WRONG


def _print_json(project: Project, evaluated: list[Evaluation]) -> None:
    from workbench.report.results_json import variant_data
    from workbench.report.substitution_json import avoided_data

    variants = [variant_data(evaluation) | avoided_data(project, evaluation.variant) for evaluation in evaluated]
    data: dict[str, Any] = {"variants": variants}
    print_json(data)


def _print_variant(project: Project, evaluation: Evaluation) -> None:
    from workbench.solve.avoid import offending

    print(evaluation.variant.name)
    for offence in offending(project, evaluation.variant, project.wish_of(evaluation.variant)):
        print(f"  {offence.name}: {offence.marks}")
    for problem in evaluation.problems:
        say(f"  {problem.sentence()}")
    if not evaluation.valid:
        return
    print(f"  {portions_text(evaluation.portions)}")
    print(f"  {'':40}{_(BASIS_TITLES['portion']):>22}{_(BASIS_TITLES['per_100g']):>22}")
    for key in HEADLINE:
        figures = "".join(f"{quantity_text(evaluation.bound(key, b), key):>22}" for b in ("portion", "per_100g"))
        print(f"  {_(QUANTITIES[key].title):40}{figures}")
    print()


def _explain(arguments: argparse.Namespace) -> int:
    from workbench.recipe.explanation import explain
    from workbench.recipe.explanation_words import explanation_text

    if arguments.key not in QUANTITIES:
        keys = nearest(arguments.key, QUANTITIES) or ", ".join(QUANTITIES)
        raise WorkbenchError(_("There is no quantity “{key}”.", key=arguments.key), hint=_("Try: {keys}.", keys=keys))
    project, _notices = load(arguments.file)
    evaluated = valid(project, chosen(project, arguments.variant))
    for evaluation in evaluated:
        print(explanation_text(explain(project, evaluation, arguments.key, arguments.basis)))
    return OK if evaluated else WRONG
