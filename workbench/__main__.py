"""Start of the program: ``python3 -m workbench`` in a checkout, ``pocketfare`` when installed.

With ``demo``, ``open FILE``, a project file or nothing it opens the window; every other argument goes to the terminal
commands.  Only this module knows both, and it imports the one that is asked for.
"""

import sys

OLDEST_PYTHON = (3, 11)


def main(argv: "list[str] | None" = None) -> int:
    """Run the program with ``argv`` (the command line if None) and return its exit code."""
    return _run(sys.argv[1:] if argv is None else argv) if python_is_new_enough() else 2


def python_is_new_enough() -> bool:
    """Say so if the running Python is too old; it must be able to read this file: quoted annotations, old syntax."""
    if sys.version_info >= OLDEST_PYTHON:
        return True
    wanted, found = (".".join(map(str, version[:2])) for version in (OLDEST_PYTHON, sys.version_info))
    print("Pocketfare needs Python %s or newer; this is Python %s." % (wanted, found), file=sys.stderr)
    return False


def _run(argv: "list[str]") -> int:
    from workbench import bootstrap

    from_checkout = __name__ == "__main__"
    try:
        if _wants_window(argv):
            program = "python3 -m workbench" if from_checkout else "pocketfare"
            bootstrap.check_window(program)
            bootstrap.check_display(program)
        if from_checkout:
            bootstrap.prepare_environment()
        bootstrap.lighten_imports()
        if _wants_window(argv):
            from workbench.ui.app import main as run
        else:
            from workbench.cli import main as run
        return run(argv)
    except bootstrap.CannotStart as problem:
        print(problem, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130


def _wants_window(argv: "list[str]") -> bool:
    if not argv or argv[0] in ("demo", "open"):
        return not {"-h", "--help"} & set(argv)
    first = argv[0]
    return not first.startswith("-") and (first.endswith(".fare") or "/" in first or "\\" in first)


if __name__ == "__main__":
    sys.exit(main())
