"""The command that writes what is handed over."""

import argparse
from pathlib import Path

from workbench.base.text import _
from workbench.cli.common import OK, WRONG, Commands, chosen, load, valid


def add(commands: Commands) -> None:
    """Add the command of this module."""
    export = commands.on_project("export", _export, _("write a spreadsheet of values to hand over"))
    export.add_argument("-o", "--output", type=Path, required=True, help=_("the .xlsx file to write"))
    export.add_argument("--variant", help=_("only the variant with this name or id"))


def _export(arguments: argparse.Namespace) -> int:
    from workbench.report.sheet import write_sheet

    project, _notices = load(arguments.file)
    evaluations = valid(project, chosen(project, arguments.variant))
    if not evaluations:
        return WRONG
    write_sheet(project, evaluations, arguments.output)
    print(_("wrote {file}", file=arguments.output))
    return OK
