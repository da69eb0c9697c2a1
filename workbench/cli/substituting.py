"""Commands that look for other ingredients: substitute, suggest."""

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from workbench.base.errors import WorkbenchError
from workbench.base.nearest import nearest
from workbench.base.text import _
from workbench.cli.common import OK, WRONG, Commands, chosen, print_json, say, target_set, write_project
from workbench.composition.food import Food
from workbench.document.project import Project, TargetSet, Variant
from workbench.recipe.quantities import QUANTITIES

if TYPE_CHECKING:
    from workbench.composition.piece_forms import PieceForm
    from workbench.document.avoid import Avoid
    from workbench.solve.pantry import Suggestions
    from workbench.solve.substitution import Substitution, Substitutions


def add(commands: Commands) -> None:
    """Add the commands of this module."""
    substitute = commands.on_project("substitute", _substitute, _("propose a variant with other ingredients"))
    substitute.add_argument("variant", help=_("name or id of a variant"))
    wish = substitute.add_mutually_exclusive_group()
    wish.add_argument(
        "--avoid",
        help=_(
            "what must not be in it, with semicolons or commas between: animal, dairy, egg, honey, gluten, nuts, "
            "lactose, soya, …; what the project avoids where left out"
        ),
    )
    wish.add_argument("--for", dest="purpose", choices=("race", "long_ride"), help=_("a lighter or a slower version"))
    substitute.add_argument("--traces", action="store_true", help=_("avoid what may be contained as well"))
    substitute.add_argument("--targets", help=_("with --for: name or id of a set of targets to match"))
    substitute.add_argument("--take", type=int, default=1, metavar="N", help=_("which proposal -o writes; the first"))
    substitute.add_argument("--json", action="store_true", help=_("for other programs"))
    substitute.add_argument("-o", "--output", type=Path, help=_("write the project with the new variant to a file"))
    suggest = commands.on_project("suggest", _suggest, _("propose recipes from what is at hand"))
    suggest.add_argument("--form", required=True, help=_("cooked_grain_square, pressed_bar, rolled_ball, gel"))
    suggest.add_argument(
        "--have", help=_("ids or names of ingredients, with semicolons between; those of the project where left out")
    )
    suggest.add_argument("--targets", help=_("name or id of a set of targets"))
    suggest.add_argument("--take", type=int, default=1, metavar="N", help=_("which proposal -o writes; the first"))
    suggest.add_argument("--json", action="store_true", help=_("for other programs"))
    suggest.add_argument("-o", "--output", type=Path, help=_("write the project with the new variant to a file"))


def _substitute(arguments: argparse.Namespace) -> int:
    from workbench.composition.kitchen_foods import kitchen_foods
    from workbench.report.substitution_json import substitutions_data
    from workbench.solve.avoid import Offence, offending
    from workbench.solve.race_form import other_form
    from workbench.solve.substitutes import without
    from workbench.storage.project_file import load_project

    loaded = load_project(arguments.file)
    project = loaded.project
    for notice in loaded.problems:
        say(notice.sentence())
    (variant,) = chosen(project, arguments.variant)[:1]
    offences: tuple[Offence, ...] = ()
    kitchen = kitchen_foods()
    foods = {**kitchen.foods, **project.foods}
    if arguments.purpose is None:
        if arguments.targets:
            raise WorkbenchError(
                _("--targets goes with --for."), hint=_("What is avoided is matched to the targets of the variant.")
            )
        avoid = _wish(project, variant, arguments, foods)
        offences = offending(project, variant, avoid)
        found = without(project, variant, avoid, foods)
    else:
        targets = target_set(project, arguments.targets) if arguments.targets else None
        found = other_form(project, variant, arguments.purpose, targets, foods=foods)
    found = found._replace(problems=(*found.problems, *kitchen.problems))
    for problem in found.problems:
        say(problem.sentence())
    if arguments.json:
        print_json(substitutions_data(offences, found))
    else:
        for offence in offences:
            print(offence.text)
        _print_proposals(found)
    if arguments.output is not None and found.proposals:
        taken = _taken(found.proposals, arguments.take)
        write_project(arguments.output, taken.edit.project, loaded.extras)
    nothing_wrong = not any(problem.severity == "error" for problem in found.problems)
    return OK if nothing_wrong and all(p.must_met for p in found.proposals[:1]) else WRONG


def _wish(project: Project, variant: Variant, arguments: argparse.Namespace, foods: Mapping[str, Food]) -> "Avoid":
    """What is typed, or else what the project avoids."""
    from workbench.document.avoid import avoiding
    from workbench.solve.avoid import avoid_from_text

    if arguments.avoid is not None:
        return avoid_from_text(arguments.avoid, foods, arguments.traces)
    wish = project.wish_of(variant)
    if not wish:
        raise WorkbenchError(
            _("Nothing is named that should be avoided."),
            hint=_("Write --avoid animal, or --for race, or keep what to avoid in the project."),
        )
    return wish | avoiding(traces=arguments.traces)


def _taken(proposals: Any, wanted: int) -> Any:
    if not 1 <= wanted <= len(proposals):
        raise WorkbenchError(
            _("There is no proposal {n}.", n=wanted), hint=_("There are {n}.", n=len(proposals)), where="--take"
        )
    return proposals[wanted - 1]


def _print_proposals(found: "Substitutions") -> None:
    from workbench.recipe.words import change_text, line_change_text, quantity_text, verdict_text

    for n, proposal in enumerate(found.proposals, start=1):
        print()
        print(_("{n}. {name}, {title}", n=n, name=proposal.after.variant.name, title=proposal.title))
        _print_options(proposal)
        for change in proposal.changes:
            print(f"   {line_change_text(change)}")
        for difference in proposal.differences:
            key = difference.quantity.key
            figures = f"{quantity_text(difference.before, key):>20}{quantity_text(difference.after, key):>20}"
            print(f"   {_(difference.quantity.title):40}{figures}{change_text(difference):>10}")
        for verdict in proposal.verdicts:
            print(f"   {verdict_text(verdict)}")
        for title, lines in (
            (_("differs"), proposal.differs),
            (_("lost"), proposal.losses),
            (_("to test"), proposal.trials),
            (_("note"), proposal.remarks),
        ):
            for line in lines:
                print(f"   {title}: {line}")


def _print_options(proposal: "Substitution") -> None:
    for option in proposal.options:
        parts = " + ".join(f"{part.amount_g:g} g {part.food.name}" for part in option.parts) or _("left out")
        because = "; ".join(x for x in (option.because, option.source) if x)
        print(f"   {option.name} → {parts} ({because})")


def _suggest(arguments: argparse.Namespace) -> int:
    from workbench.report.substitution_json import suggestions_data
    from workbench.solve.pantry import suggest
    from workbench.storage.project_file import load_project

    loaded = load_project(arguments.file)
    project = loaded.project
    for notice in loaded.problems:
        say(notice.sentence())
    form = _form(arguments.form)
    have = list(project.foods.values()) if arguments.have is None else _foods(project, arguments.have)
    targets: TargetSet | None = None
    if arguments.targets is not None:
        targets = target_set(project, arguments.targets)
    found = suggest(project, have, form, targets)
    for problem in found.problems:
        say(problem.sentence())
    if arguments.json:
        print_json(suggestions_data(found))
    else:
        _print_recipes(found)
    if arguments.output is not None and found.recipes:
        taken = _taken(found.recipes, arguments.take)
        write_project(arguments.output, taken.edit.project, loaded.extras)
    return OK if found.recipes and found.recipes[0].must_met else WRONG


def _form(key: str) -> "PieceForm":
    from workbench.composition.piece_forms import piece_forms

    forms = piece_forms()
    if key not in forms:
        hint = _("There are: {names}.", names=", ".join(forms))
        raise WorkbenchError(_("There is no form “{name}”.", name=key), hint=hint)
    return forms[key]


def _foods(project: Project, text: str) -> list[Food]:
    from workbench.composition.kitchen_foods import kitchen_foods

    kitchen = kitchen_foods()
    for problem in kitchen.problems:
        say(problem.sentence())
    known = {**kitchen.foods, **project.foods}
    by_name = {food.name.casefold(): food for food in known.values()}
    found = []
    for word in (part.strip() for part in text.split(";")):
        food = known.get(word) or by_name.get(word.casefold())
        if food is None:
            near = nearest(word, [*known, *by_name])
            hint = _("Did you mean “{word}”?", word=near) if near else ""
            raise WorkbenchError(_("There is no ingredient “{name}”.", name=word), hint=hint)
        found.append(food)
    return found


def _print_recipes(found: "Suggestions") -> None:
    from workbench.recipe.words import portions_text, quantity_text, verdict_text

    for n, recipe in enumerate(found.recipes, start=1):
        evaluation = recipe.after
        print()
        print(_("{n}. {name}", n=n, name=evaluation.variant.name))
        for line, name in zip(evaluation.variant.lines, evaluation.prepared.names, strict=True):
            print(f"   {line.amount_g:8g} g  {name}")
        print(f"   {portions_text(evaluation.portions)}")
        for key in ("CHOAVLDF", "FAT", "FIBTG"):
            print(f"   {quantity_text(evaluation.bound(key), key):>14}  {_(QUANTITIES[key].title)}")
        for verdict in recipe.verdicts:
            print(f"   {verdict_text(verdict)}")
        for title, lines in ((_("note"), recipe.remarks), (_("to test"), recipe.trials)):
            for text in lines:
                print(f"   {title}: {text}")
