"""What happens to a bug: its traceback goes into a file that can be sent along, and the user gets one sentence."""

import datetime
import platform
import traceback
from pathlib import Path

from workbench import __version__
from workbench.base.paths import user_state


def write_report(error: BaseException) -> Path | None:
    """Write a report of an error that should not have happened.

    Returns
    -------
    Path or None
        The report, or None where even that could not be written.
    """
    now = datetime.datetime.now(datetime.UTC)
    folder = user_state() / "reports"
    path = folder / f"{now:%Y%m%dT%H%M%S%f}.txt"
    head = (
        f"Pocketfare {__version__}, Python {platform.python_version()}, {platform.platform()}, {now:%Y-%m-%d %H:%M}\n\n"
    )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path.write_text(head + "".join(traceback.format_exception(error)), encoding="utf-8")
    except OSError:
        return None
    return path
