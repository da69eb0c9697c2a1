"""The terminal: the same work without a window.  It parses, calls and prints; it computes nothing.

Exit codes: 0 all well, 1 something is wrong with what the project says, 2 it could not be done (file, arguments).
"""

import argparse
import errno
import gc
import sys

from workbench.base.errors import WorkbenchError
from workbench.base.text import _
from workbench.cli import (
    avoiding,
    checking,
    comparing,
    figures,
    handing_over,
    importing,
    library,
    newer,
    solving,
    substituting,
)
from workbench.cli.common import FAILED, OK, Commands, Run, say

_NO_ROOM = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))


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
    gc.enable()  # it rested while all this was imported
    arguments = _parser().parse_args(argv)
    run: Run = arguments.run
    try:
        code = run(arguments)
        sys.stdout.flush()
        return code
    except WorkbenchError as error:
        for line in error.lines():
            say(line)
        return FAILED
    except BrokenPipeError:  # the reader has seen enough
        sys.stderr.close()
        return OK
    except OSError as error:
        if error.errno not in _NO_ROOM:
            return _bug(error)
        say(_("The disk is full: not all that was to be printed could be written. Free some space and try again."))
        return FAILED
    except Exception as bug:  # noqa: BLE001 - the last stop before a traceback would reach the user
        return _bug(bug)


def _bug(bug: Exception) -> int:
    from workbench.base.crash import write_report

    say(_("This should not have happened: {error}", error=bug))
    report = write_report(bug)
    if report is not None:
        say(_("A report for the makers is in {file}.", file=report))
    return FAILED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="pocketfare",
        description=_(
            "Formulate portable endurance food. Without a command, or with a project file, it opens the window."
        ),
    )
    commands = Commands(parser)
    for module in (
        figures,
        comparing,
        solving,
        handing_over,
        checking,
        newer,
        library,
        importing,
        substituting,
        avoiding,
    ):
        module.add(commands)
    commands.of_window("demo", _("open a demo in the window"), "name", _("name of a demo; the first if left out"))
    commands.of_window("open", _("open a project file in the window"), "file", _("project file"))
    return parser
