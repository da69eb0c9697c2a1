"""The command that looks for amounts: solve."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from workbench.base.errors import WorkbenchError
from workbench.base.text import _
from workbench.cli.common import OK, WRONG, Commands, chosen, print_json, say, target_set, write_project
from workbench.document.line_edits import set_amounts
from workbench.document.project import Project, TargetSet, Variant

if TYPE_CHECKING:
    from workbench.solve.clash import Clash
    from workbench.solve.proposal import Proposal
    from workbench.solve.rounding import Rounding


def add(commands: Commands) -> None:
    """Add the command of this module."""
    solve = commands.on_project("solve", _solve, _("find amounts that meet targets, with the smallest change"))
    solve.add_argument("variant", help=_("name or id of a variant"))
    solve.add_argument("--targets", help=_("name or id of a set, of the project or a kept one; else the variant's own"))
    solve.add_argument("--round", action="store_true", help=_("in steps that a kitchen can do"))
    solve.add_argument("--few", action="store_true", help=_("change as few ingredients as possible"))
    solve.add_argument("--json", action="store_true", help=_("for other programs"))
    solve.add_argument("-o", "--output", type=Path, help=_("write the project with these amounts to a file"))


def _target_set(project: Project, variant: Variant, wanted: str | None) -> TargetSet:
    """The set that is named, wherever it is; without a name that of the variant."""
    if wanted is not None:
        return target_set(project, wanted)
    own = project.targets_of(variant)
    if own is None:
        raise WorkbenchError(
            _("The variant “{name}” has no targets.", name=variant.name), hint=_("Name a set with --targets.")
        )
    return own


def _solve(arguments: argparse.Namespace) -> int:
    from workbench.recipe.preparation import prepare
    from workbench.solve.clash import why_not
    from workbench.solve.matching import match
    from workbench.solve.proposal import Options
    from workbench.solve.rounding import round_amounts
    from workbench.storage.project_file import load_project

    loaded = load_project(arguments.file)
    project = loaded.project
    for notice in loaded.problems:
        say(notice.sentence())
    (variant,) = chosen(project, arguments.variant)
    targets = _target_set(project, variant, arguments.targets)
    prepared = prepare(project, variant)
    options = Options(few=arguments.few)
    proposal = match(project, variant, targets, options, prepared)
    rounding = None
    if arguments.round:
        rounding = round_amounts(project, variant, targets, proposal.amounts, options, prepared)
        proposal = rounding.proposal
    clash = None if proposal.met else why_not(project, variant, targets, options, prepared)
    for problem in dict.fromkeys(
        (*(p.sentence() for p in proposal.problems), *(p.sentence() for p in proposal.after.problems))
    ):
        say(problem)
    if arguments.json:
        from workbench.report.solution_json import solution_data

        print_json(solution_data(proposal, targets, rounding, clash))
    else:
        _print_words(variant, targets, proposal, rounding, clash)
    if arguments.output is not None:
        edit = set_amounts(project, variant.id, proposal.amounts, _("match targets"))
        write_project(arguments.output, edit.project, loaded.extras)
    return OK if proposal.met else WRONG


def _print_words(
    variant: Variant, targets: TargetSet, proposal: "Proposal", rounding: "Rounding | None", clash: "Clash | None"
) -> None:
    from workbench.solve.words import change_text, clash_lines, judged_text, proposal_summary, rounding_text

    currency = proposal.after.prepared.currency
    print(
        _(
            "{variant}, targets “{targets}”: {summary}",
            variant=variant.name,
            targets=targets.name,
            summary=proposal_summary(proposal),
        )
    )
    for change in proposal.changes:
        print(f"  {change_text(change)}")
    if rounding is not None:
        print(f"  {rounding_text(rounding)}")
    print(_("before:"))
    for verdict in proposal.verdicts_before:
        print(f"  {judged_text(verdict, currency)}")
    if proposal.changes:
        print(_("after:"))
        for verdict in proposal.verdicts:
            print(f"  {judged_text(verdict, currency)}")
    for line in clash_lines(clash, currency) if clash is not None else ():
        print(line)
