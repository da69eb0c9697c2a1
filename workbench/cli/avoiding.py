"""The command on what a recipe must not hold: avoid."""

import argparse
from pathlib import Path

from workbench.base.errors import WorkbenchError
from workbench.base.text import _
from workbench.cli.common import OK, WRONG, Commands, chosen, print_json, say, write_project
from workbench.document.project import Project, Variant


def add(commands: Commands) -> None:
    """Add the command."""
    avoid = commands.on_project("avoid", _avoid, _("say which lines hold what is to be avoided, or keep other wishes"))
    avoid.add_argument("variant", nargs="?", help=_("name or id of a variant; all of them where left out"))
    avoid.add_argument(
        "--set", metavar=_("words"), help=_("keep this, with semicolons or commas between; “nothing” for no wish")
    )
    avoid.add_argument("--traces", action="store_true", help=_("with --set: what may be contained counts as well"))
    avoid.add_argument("--json", action="store_true", help=_("for other programs"))
    avoid.add_argument("-o", "--output", type=Path, help=_("with --set: the file to write, if not the project itself"))


def _avoid(arguments: argparse.Namespace) -> int:
    from workbench.storage.project_file import load_project

    loaded = load_project(arguments.file)
    project = loaded.project
    for notice in loaded.problems:
        say(notice.sentence())
    if arguments.set is not None:
        project = _with_wish(project, arguments)
        target = arguments.output or arguments.file
        write_project(target, project, loaded.extras)
    elif arguments.output is not None or arguments.traces:
        raise WorkbenchError(_("There is nothing to keep."), hint=_("Write what to avoid: --set animal,gluten."))
    return _tell(project, chosen(project, arguments.variant), arguments.json)


def _with_wish(project: Project, arguments: argparse.Namespace) -> Project:
    """The project with another wish: its own, or that of the variant which is named."""
    from workbench.composition.kitchen_foods import kitchen_foods
    from workbench.document.avoid import Avoid
    from workbench.document.avoid_edits import avoid_in_project, avoid_in_variant
    from workbench.solve.avoid import avoid_from_text

    nothing = arguments.set.strip().casefold() == _("nothing")
    kitchen = kitchen_foods()
    for problem in kitchen.problems:
        say(problem.sentence())
    foods = {**kitchen.foods, **project.foods}
    avoid = Avoid() if nothing else avoid_from_text(arguments.set, foods, arguments.traces)
    if arguments.variant is None:
        return avoid_in_project(project, avoid).project
    (variant,) = chosen(project, arguments.variant)
    return avoid_in_variant(project, variant.id, avoid).project


def _tell(project: Project, variants: tuple[Variant, ...], as_json: bool) -> int:
    from workbench.solve.avoid import avoid_words, offending

    found = [(variant, offending(project, variant, project.wish_of(variant))) for variant in variants]
    if as_json:
        from workbench.report.substitution_json import avoided_data

        data = {"variants": [{"name": v.name, "id": v.id, **avoided_data(project, v)} for v, _offences in found]}
        print_json(data)
    else:
        for variant, offences in found:
            what = avoid_words(project.wish_of(variant)) or _("nothing")
            print(_("{variant}: avoids {what}", variant=variant.name, what=what))
            for offence in offences:
                print(f"  {offence.name}: {offence.marks}")
    return WRONG if any(offences for _variant, offences in found) else OK
