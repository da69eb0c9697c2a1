"""The command that writes what is handed over."""

import argparse
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

from workbench.base.errors import Problem, WorkbenchError
from workbench.base.text import _
from workbench.cli import comparing
from workbench.cli.common import OK, WRONG, Commands, chosen, load, say, valid
from workbench.document.project import Project
from workbench.recipe.allergens import Rules
from workbench.recipe.evaluation import Evaluation

Write = Callable[[argparse.Namespace, Project, list[Evaluation]], tuple[Problem, ...]]


class What(NamedTuple):
    """One thing to hand over: the endings its file may have, and who writes it."""

    endings: tuple[str, ...]
    write: Write


def add(commands: Commands) -> None:
    """Add the command of this module."""
    export = commands.on_project("export", _export, _("write what is handed over: sheet, card, labels, declaration"))
    export.add_argument("-o", "--output", type=Path, required=True, help=_("the file to write; its ending says how"))
    export.add_argument("--what", choices=tuple(WHAT), default="spec", help=_("by default the spec sheet"))
    export.add_argument("--variant", action="append", help=_("only the variant with this name or id; may be repeated"))
    export.add_argument("--rules", choices=("eu", "us"), help=_("whose labelling rules"))
    export.add_argument("--paper", choices=("a4", "letter"), help=_("of the sheet, the card and the comparison"))
    export.add_argument("--title", default="", help=_("what it is, in a word or two; by default the project's title"))
    export.add_argument("--written", type=_day, metavar=_("DATE"), help=_("the date to print, as 2026-05-02"))
    comparing.add_choices(export)
    labels = export.add_argument_group(_("labels"))
    labels.add_argument("--sheet", default="a4-24", help=_("name of a common sheet, or its dimensions in mm"))
    labels.add_argument("--start", type=int, default=1, help=_("position of the first label on a sheet already begun"))
    labels.add_argument("--copies", type=int, help=_("labels of each variant; by default one a piece"))
    labels.add_argument("--outlines", action="store_true", help=_("draw the edges, for plain paper"))
    labels.add_argument("--made", type=_day, metavar=_("DATE"), help=_("day of cooking; a line to fill in by default"))
    labels.add_argument("--use-by", type=_day, metavar=_("DATE"), help=_("by default a day after it was made"))
    labels.add_argument("--lot", default="", help=_("lot of the batch"))


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(_("“{text}” is no date such as 2026-05-02.", text=text)) from error


def _export(arguments: argparse.Namespace) -> int:
    what = WHAT[arguments.what]
    ending = arguments.output.suffix.casefold()
    if ending not in what.endings:
        hint = _("Let its name end in {endings}.", endings=_(" or ").join(what.endings))
        if others := [name for name, other in WHAT.items() if ending in other.endings]:
            hint += " " + _("What can be written as “{ending}”: --what {names}.",
                            ending=ending, names=_(" or ").join(others))  # fmt: skip
        raise WorkbenchError(
            _(
                "A file “{ending}” cannot be written for {what}.",
                ending=ending or arguments.output,
                what=arguments.what,
            ),
            hint=hint,
            where=str(arguments.output),
        )
    project, _notices = load(arguments.file)
    wanted = {found.id: found for name in arguments.variant or (None,) for found in chosen(project, name)}
    evaluations = valid(project, tuple(wanted.values()))
    if not evaluations:
        return WRONG
    for problem in what.write(arguments, project, evaluations):
        say(problem.sentence())
    print(_("wrote {file}", file=arguments.output))
    return OK


def _spec(arguments: argparse.Namespace, project: Project, evaluations: list[Evaluation]) -> tuple[Problem, ...]:
    from workbench.report.handing_over import write_results

    write_results(
        project,
        evaluations,
        arguments.output,
        written=arguments.written,
        paper=arguments.paper,
        rules=arguments.rules,
    )
    return ()


def _compare(arguments: argparse.Namespace, project: Project, evaluations: list[Evaluation]) -> tuple[Problem, ...]:
    from workbench.report.handing_over import write_comparison

    side = comparing.comparison(arguments, project, evaluations)
    return write_comparison(
        project,
        side,
        arguments.output,
        title=arguments.title,
        written=arguments.written,
        paper=arguments.paper,
    )


def _declaration(arguments: argparse.Namespace, project: Project, evaluations: list[Evaluation]) -> tuple[Problem, ...]:
    from workbench.recipe.pack_statement import pack_statement
    from workbench.report.handing_over import write_declaration

    said = [
        (each.variant.name, pack_statement(project, each, rules=arguments.rules or "eu", title=arguments.title))
        for each in evaluations
    ]
    write_declaration(project, said, arguments.output, written=arguments.written)
    return ()


def _card(arguments: argparse.Namespace, project: Project, evaluations: list[Evaluation]) -> tuple[Problem, ...]:
    from workbench.recipe.kitchen_card import kitchen_card
    from workbench.report.card.layout import write_cards

    rules: Rules = arguments.rules or "eu"
    cards = [kitchen_card(project, each, rules=rules, title=arguments.title) for each in evaluations]
    return write_cards(cards, arguments.output, paper=arguments.paper or "a4", written=arguments.written)


def _labels(arguments: argparse.Namespace, project: Project, evaluations: list[Evaluation]) -> tuple[Problem, ...]:
    from workbench.recipe.wrapper_label import wrapper_label
    from workbench.report.labels.layout import write_labels
    from workbench.report.labels.sheet import read_sheet

    labels = []
    for each in evaluations:
        label = wrapper_label(
            project,
            each,
            rules=arguments.rules or "eu",
            title=arguments.title,
            made=arguments.made,
            use_by=arguments.use_by,
            lot=arguments.lot,
        )
        copies = each.portions.whole_pieces if arguments.copies is None else arguments.copies
        labels += [label] * copies
    return write_labels(
        labels,
        read_sheet(arguments.sheet),
        arguments.output,
        start=arguments.start,
        outlines=arguments.outlines,
        written=arguments.written,
    )


WHAT: dict[str, What] = {
    "spec": What((".xlsx", ".csv", ".json", ".md"), _spec),
    "card": What((".pdf",), _card),
    "labels": What((".pdf",), _labels),
    "compare": What((".pdf", ".md", ".csv", ".json", ".xlsx"), _compare),
    "declaration": What((".md", ".csv", ".json"), _declaration),
}
