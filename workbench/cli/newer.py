"""The command that says which ingredients of a project read otherwise in their tables today, and takes them."""

import argparse
from pathlib import Path
from typing import Any

from workbench.base.errors import WorkbenchError
from workbench.base.text import _
from workbench.cli.common import OK, WRONG, Commands, print_json, say, write_project
from workbench.document.edits import take_newer
from workbench.recipe.newer_values import Effect, NewerFood, NewerValues, effects, find_newer_here, taken


def add(commands: Commands) -> None:
    """Add the command of this module."""
    newer = commands.on_project("newer", _newer, _("say which ingredients have newer values, and take them"))
    newer.add_argument("--json", action="store_true", help=_("for other programs"))
    newer.add_argument("--take", action="store_true", help=_("take them into the file, or into the one named by -o"))
    newer.add_argument("--edited", action="store_true", help=_("take those as well that were changed by hand"))
    newer.add_argument("-o", "--output", type=Path, help=_("the project file to write instead"))


def _newer(arguments: argparse.Namespace) -> int:
    """0 where nothing newer is left, 1 where something is."""
    from workbench.storage.project_file import load_project

    if not arguments.take and (arguments.output is not None or arguments.edited):
        raise WorkbenchError(_("Nothing is written without --take."), hint=_("Add --take, or leave -o and --edited."))
    loaded = load_project(arguments.file)
    for notice in loaded.problems:
        say(notice.sentence())
    newer = find_newer_here(loaded.project)
    for problem in newer.problems:
        say(problem.sentence())
    all_ids = [one.mine.id for one in newer.foods]
    foods = taken(newer, None if arguments.take and not arguments.edited else all_ids)
    changed = take_newer(loaded.project, foods).project
    found = effects(loaded.project, changed) if foods else ()
    if arguments.json:
        _print_json(newer, found)
    else:
        _print_words(newer, found)
    if not arguments.take:
        return WRONG if newer else OK
    target: Path = arguments.output or arguments.file
    if foods or arguments.output is not None:
        write_project(target, changed, loaded.extras)
    return WRONG if len(foods) < len(newer.foods) else OK


def _print_words(newer: NewerValues, found: tuple[Effect, ...]) -> None:
    from workbench.recipe.newer_words import effect_texts, food_change_texts, newer_food_text

    for one in newer.foods:
        print(newer_food_text(one))
        for _key, text in food_change_texts(one):
            print(f"  {text}")
    for food in newer.gone:
        print(_("{food}: no longer in its table, so it stays as it is", food=food.name))
    for effect in found:
        print(_("in one piece of {variant}", variant=effect.variant.name))
        for _key, text in effect_texts(effect):
            print(f"  {text}")
    if not newer:
        print(_("nothing newer"))


def _print_json(newer: NewerValues, found: tuple[Effect, ...]) -> None:
    from workbench.report.results_json import bound_data

    data: dict[str, Any] = {
        "foods": [_food_data(one) for one in newer.foods],
        "gone": [{"id": food.id, "name": food.name} for food in newer.gone],
        "variants": [
            {
                "id": effect.variant.id,
                "name": effect.variant.name,
                "valid": {"before": effect.before.valid, "after": effect.after.valid},
                "portion": {
                    change.quantity.key: {"before": bound_data(change.before), "after": bound_data(change.after)}
                    for change in effect.changes
                },
                "targets": [
                    {"id": before.target.id, "before": before.state, "after": after.state}
                    for before, after in effect.verdicts
                ],
            }
            for effect in found
        ],
    }
    print_json(data)


def _food_data(one: NewerFood) -> dict[str, Any]:
    return {
        "id": one.mine.id,
        "name": one.mine.name,
        "edited": one.edited,
        "values": {change.tag: {"before": change.before, "after": change.after} for change in one.values},
        "facts": {change.field: {"before": change.before, "after": change.after} for change in one.facts},
    }
