"""Comparing variants: the command that prints it, and the choices that it shares with ``export --what compare``."""

import argparse
import re
from pathlib import Path

from workbench.base.errors import Place, WorkbenchError
from workbench.base.text import _
from workbench.cli.common import OK, WRONG, Commands, chosen, load, say, valid
from workbench.document.project import Project
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import BASES, HEADLINE
from workbench.recipe.side_by_side import OTHER_RULES, Others, SideBySide, by_rules_of, compared
from workbench.recipe.words import line_change_text, quantity_text, verdict_text
from workbench.report.comparison.grid import change_words, per_words

_FILE = re.compile(r"(?P<file>.*?\.fare)(?::(?P<variant>.+))?", re.IGNORECASE | re.DOTALL)
_NAME, _FIGURE, _CHANGE = 40, 22, 20


def add(commands: Commands) -> None:
    """Add the command of this module."""
    text = _("print what changed between variants, and what it did")
    compare = commands.on_project("compare", _compare, text)
    compare.add_argument(
        "variants", nargs="*", help=_("names or ids, two to six; all of the project where none is named")
    )
    compare.add_argument("--all", action="store_true", help=_("every quantity, not only the main ones"))
    add_choices(compare)


def add_choices(parser: argparse.ArgumentParser) -> None:
    """What figures are per, the reference, and variants of other files."""
    parser.add_argument("--basis", choices=BASES, default="portion", help=_("what figures are per"))
    parser.add_argument("--reference", help=_("name or id of the variant that others are held against; else the first"))
    parser.add_argument(
        "--with",
        dest="others",
        action="append",
        metavar=_("FILE:VARIANT"),
        help=_("a variant of another project file, or all of them without a name; may be repeated"),
    )


def comparison(arguments: argparse.Namespace, project: Project, evaluations: list[Evaluation]) -> SideBySide:
    """These variants and those of other files side by side.

    Raises
    ------
    WorkbenchError
        If there are too few or too many, or one that is named does not exist or has no valid result.
    """
    others = _others(arguments, project)
    reference = _reference(arguments, [*evaluations, *(each for other in others for each in other.evaluations)])
    return compared(project, evaluations, arguments.basis, reference=reference, others=others)


def _others(arguments: argparse.Namespace, project: Project) -> list[Others]:
    """Variants of other files, each file read once."""
    found: dict[Path, Others] = {}
    for text in arguments.others or ():
        path, variant = _file_and_variant(text)
        if path not in found:
            loaded, _notices = load(path)
            measured = by_rules_of(project, loaded)
            if measured is not loaded:
                say(OTHER_RULES.at(Place("file", "", str(path))).sentence())
            found[path] = Others(measured, _called(path, (*found, arguments.file)), ())
        other = found[path]
        known = {each.variant.id for each in other.evaluations}
        try:
            wanted = tuple(each for each in chosen(other.project, variant) if each.id not in known)
        except WorkbenchError as error:
            raise WorkbenchError(error.summary, hint=error.hint, where=str(path)) from error
        evaluations = valid(other.project, wanted)
        if len(evaluations) != len(wanted):
            raise WorkbenchError(
                _("a variant of it has no valid result, so it cannot be compared."),
                hint=_("Mend what is said above, or name another one."),
                where=str(path),
            )
        found[path] = other._replace(evaluations=(*other.evaluations, *evaluations))
    return list(found.values())


def _file_and_variant(text: str) -> tuple[Path, str | None]:
    match = _FILE.fullmatch(text)
    if match is None:
        raise WorkbenchError(
            _("“{text}” names no project file.", text=text),
            hint=_("Write it as other.fare:Race, or other.fare for all of its variants."),
        )
    return Path(match["file"]), match["variant"]


def _called(path: Path, others: tuple[Path, ...]) -> str:
    """What a file is called beside the others: its name, and its folder where another has the same name."""
    return path.stem if all(path.stem != other.stem for other in others) else str(path.with_suffix(""))


def _reference(arguments: argparse.Namespace, columns: list[Evaluation]) -> int:
    """Place of the reference among the variants compared."""
    wanted = arguments.reference
    if wanted is None:
        return 0
    found = [k for k, each in enumerate(columns) if wanted in (each.variant.id, each.variant.name)]
    if len(found) == 1:
        return found[0]
    if not found:
        names = ", ".join(f"“{each.variant.name}”" for each in columns)
        raise WorkbenchError(
            _("“{name}” is not among the variants compared.", name=wanted), hint=_("They are: {names}.", names=names)
        )
    ids = ", ".join(columns[k].variant.id for k in found)
    raise WorkbenchError(
        _("Several of the variants compared are called “{name}”.", name=wanted),
        hint=_("Name one by its id: {ids}.", ids=ids),
    )


# --- printing ---------------------------------------------------------------------------------------------------------


def _compare(arguments: argparse.Namespace) -> int:
    project, _notices = load(arguments.file)
    wanted = {found.id: found for name in arguments.variants or (None,) for found in chosen(project, name)}
    evaluations = valid(project, tuple(wanted.values()))
    if not evaluations:
        return WRONG
    side = comparison(arguments, project, evaluations)
    reference = side.columns[side.reference]
    for k, column in enumerate(side.columns):
        if k != side.reference:
            print(_("{before} → {after}", before=reference.full_title, after=column.full_title))
            changes = [row.changes[k] for row in side.ingredients]
            for change in changes:
                if change is not None:
                    print(f"  {line_change_text(change)}")
            print()
    _print_figures(side, every=arguments.all)
    return OK


def _print_figures(side: SideBySide, *, every: bool) -> None:
    head = [f"  {per_words(side.basis):{_NAME}}"]
    for k, column in enumerate(side.columns):
        head.append(f"{_cut(column.full_title):>{_FIGURE}}")
        head += [f"{_('change'):>{_CHANGE}}"] if k != side.reference else []
    print("".join(head))
    for row in side.rows:
        if not (every or row.quantity.key in HEADLINE or any(row.verdicts)):
            continue
        cells = [f"  {_(row.quantity.title):{_NAME}}"]
        for k, bound in enumerate(row.bounds):
            cells.append(f"{quantity_text(bound, row.quantity.key):>{_FIGURE}}")
            if k != side.reference:
                cells.append(f"{change_words(row.ways[k], row.changes[k], row.quantity.decimals):>{_CHANGE}}")
        print("".join(cells))
    for column, found in zip(side.columns, zip(*(row.verdicts for row in side.rows), strict=True), strict=True):
        for verdict in found:
            if verdict is not None and verdict.state != "met":
                print(f"  {column.full_title}: {verdict_text(verdict)}")


def _cut(name: str) -> str:
    return name if len(name) < _FIGURE else f"{name[: _FIGURE - 2]}…"
