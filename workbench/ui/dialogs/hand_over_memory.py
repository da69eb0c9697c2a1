"""What the form of handing over remembers between runs: paper, law and formats, never words or dates."""

from collections.abc import Mapping
from typing import Any, get_type_hints

import msgspec

from workbench.base.errors import WorkbenchError
from workbench.base.units import System
from workbench.report.labels.sheet import SHEETS, LabelSheet, checked
from workbench.ui.dialogs.hand_over_job import WHAT, HandOver

_KEPT = (
    "what",
    "endings",
    "paper",
    "rules",
    "basis",
    "dated",
    "sheet_name",
    "own_sheet",
    "start",
    "copies",
    "outlines",
)
_TYPES = get_type_hints(HandOver)
_MOST_SHEETS = 30

Sheets = dict[str, LabelSheet]


def first_choice(measures: System) -> HandOver:
    """What to begin with where nothing is remembered: paper and law of the measures."""
    return HandOver(paper="letter", rules="us", sheet_name="letter-30") if measures == "us" else HandOver()


def plain(choice: HandOver) -> dict[str, Any]:
    """The part that is remembered, as the settings keep it."""
    return {key: msgspec.to_builtins(getattr(choice, key)) for key in _KEPT}


def remembered(kept: Mapping[str, Any], measures: System) -> HandOver:
    """The choice that was kept; what cannot be read of it is as if it had never been chosen."""
    choice = first_choice(measures)
    for key in _KEPT:
        if key in kept:
            try:
                choice = choice._replace(**{key: msgspec.convert(kept[key], _TYPES[key])})
            except msgspec.ValidationError:
                continue
    if choice.what not in WHAT:
        choice = choice._replace(what=HandOver().what)
    if choice.sheet_name not in (*SHEETS, ""):
        choice = choice._replace(sheet_name=HandOver().sheet_name)
    known = tuple((what, ending) for what, ending in choice.endings if what in WHAT and ending in WHAT[what].endings)
    return choice._replace(endings=known, start=max(choice.start, 1), copies=max(choice.copies, 0))


def plain_sheets(sheets: Sheets) -> dict[str, list[float]]:
    """Label sheets that the user named, as the settings keep them; of too many the oldest go."""
    return {name: list(sheet) for name, sheet in list(sheets.items())[-_MOST_SHEETS:]}


def known_sheets(kept: Mapping[str, Any]) -> Sheets:
    """The label sheets that were kept and can be printed on."""
    found: Sheets = {}
    for name, figures in kept.items():
        try:
            found[name] = checked(msgspec.convert(figures, LabelSheet, strict=False))
        except (msgspec.ValidationError, WorkbenchError):
            continue
    return found
