"""Commands that print figures: compute, compare, explain."""

import argparse
import sys
from typing import Any

from workbench.base.errors import WorkbenchError
from workbench.base.nearest import nearest
from workbench.base.text import _
from workbench.cli.common import OK, WRONG, Commands, chosen, evaluations, load, say, valid
from workbench.document.project import Basis
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import BASES, BASIS_TITLES, QUANTITIES
from workbench.recipe.words import portions_text, quantity_text

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


def add(commands: Commands) -> None:
    """Add the commands of this module."""
    compute = commands.on_project("compute", _compute, _("print what every variant delivers"))
    compute.add_argument("--variant", help=_("only the variant with this name or id"))
    compute.add_argument("--json", action="store_true", help=_("every quantity, for other programs"))

    compare = commands.on_project("compare", _compare, _("print what changed between two variants, and what it did"))
    compare.add_argument("before", help=_("name or id of a variant"))
    compare.add_argument("after", help=_("name or id of another"))
    compare.add_argument("--basis", choices=BASES, default="portion")

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
        _print_json(evaluated)
    else:
        for evaluation in evaluated:
            _print_variant(evaluation)
    return OK if all(evaluation.valid for evaluation in evaluated) else WRONG


def _print_json(evaluated: list[Evaluation]) -> None:
    import msgspec

    from workbench.report.results_json import variant_data

    data: dict[str, Any] = {"variants": [variant_data(evaluation) for evaluation in evaluated]}
    sys.stdout.buffer.write(msgspec.json.format(msgspec.json.encode(data), indent=2) + b"\n")
    sys.stdout.buffer.flush()


def _print_variant(evaluation: Evaluation) -> None:
    print(evaluation.variant.name)
    for problem in evaluation.problems:
        say(f"  {problem.sentence()}")
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

    project, _notices = load(arguments.file)
    both = valid(project, (*chosen(project, arguments.before)[:1], *chosen(project, arguments.after)[:1]))
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
    project, _notices = load(arguments.file)
    evaluated = valid(project, chosen(project, arguments.variant))
    for evaluation in evaluated:
        print(explain(project, evaluation, arguments.key, arguments.basis).text())
    return OK if evaluated else WRONG
