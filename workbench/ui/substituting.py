"""Other ingredients for the variant on screen: what is asked for, what is found, and how it reads as rows."""

from collections.abc import Iterator, Mapping
from typing import Literal, NamedTuple

from workbench.base.errors import Problem
from workbench.base.progress import Progress
from workbench.base.text import _, plural
from workbench.composition.food import Food
from workbench.composition.kitchen_foods import kitchen_foods
from workbench.document.avoid import Avoid
from workbench.document.project import Project, TargetSet, Variant
from workbench.recipe.food_row import FoodRows
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.words import (
    ALLERGEN_WORDS,
    CAUTIONS,
    line_change_text,
    portions_text,
    quantity_text,
    verdict_text,
)
from workbench.solve.avoid import Offence, offending
from workbench.solve.options import options_for
from workbench.solve.pantry import Suggestion
from workbench.solve.race_form import other_form
from workbench.solve.substitutes import without
from workbench.solve.substitution import Option, Substitution, Substitutions
from workbench.ui.tables.figure_tree import FigureRow

WHOLE, LINE, IN_THE_WAY = "whole", "line", "in the way"  # keys of rows at the top
_PROPOSAL = "proposal"
_OPTION = "option"
_TOLD = ("energy_kcal", "CHOAVLDF", "FAT", "FIBTG", "PROCNT", "salt")  # of a recipe from the pantry

Options = Mapping[str, tuple[Option, ...]]  # by id of the line


class Wish(NamedTuple):
    """What is asked for."""

    avoid: Avoid = Avoid()  # what must not be in it
    form: Literal["", "race", "long_ride"] = ""  # a lighter or a slower version instead
    targets: TargetSet | None = None  # of that version; where absent it keeps the carbohydrate of a piece


class Found(NamedTuple):
    """What was found for one variant."""

    project: Project
    variant: Variant
    wish: Wish
    offences: tuple[Offence, ...]
    whole: Substitutions
    options: Options
    problems: tuple[Problem, ...] = ()  # of all of it


def find(project: Project, variant: Variant, wish: Wish, progress: Progress) -> Found:
    """Whole variants, and options for every line.  Runs on any thread."""
    rows, kitchen = FoodRows(), kitchen_foods()
    foods = {**kitchen.foods, **project.foods}
    steps = len(variant.lines) + 1
    if wish.form:
        offences: tuple[Offence, ...] = ()
        whole = other_form(project, variant, wish.form, wish.targets, rows, foods)
    else:
        offences = offending(project, variant, wish.avoid)
        whole = without(project, variant, wish.avoid, foods, rows)
    options: dict[str, tuple[Option, ...]] = {}
    for k, line in enumerate(variant.lines, 1):
        progress.step(k, steps)
        options[line.id] = options_for(project, variant, line.id, wish.avoid, foods, rows)
    return Found(project, variant, wish, offences, whole, options, (*whole.problems, *kitchen.problems))


# --- as rows ----------------------------------------------------------------------------------------------------------


def found_rows(found: Found, line_id: str) -> tuple[FigureRow, ...]:
    """Everything found, with the options of one more line behind it ("" for none), and the caution on allergens."""
    rows = []
    if found.offences:
        head = plural("{n} ingredient in the way", "{n} ingredients in the way", len(found.offences))
        lines = tuple(
            FigureRow(o.line_id, (o.text,), wide=True, children=_option_rows(found.options[o.line_id]))
            for o in found.offences
        )
        rows.append(FigureRow(IN_THE_WAY, (head,), wide=True, bold=True, children=lines))
    proposals = tuple(_proposal_row(k, proposal) for k, proposal in enumerate(found.whole.proposals))
    if proposals:
        head = plural("{n} way to do the whole recipe", "{n} ways to do the whole recipe", len(proposals))
        rows.append(FigureRow(WHOLE, (head,), wide=True, bold=True, children=proposals))
    if line_id in found.options and all(o.line_id != line_id for o in found.offences):
        rows.append(_line_row(found, line_id))
    rows.append(FigureRow("caution", (_(CAUTIONS[1]),), wide=True, muted=True))
    return tuple(rows)


def option_at(found: Found, path: tuple[str, ...]) -> Option | None:
    """The option for one line that a row belongs to; None where it belongs to none."""
    if path[:1] == (IN_THE_WAY,):
        path = path[1:]
    elif path and path[0].startswith(LINE):
        path = (path[0].removeprefix(f"{LINE} "), *path[1:])
    else:
        return None
    return found.options[path[0]][int(path[1].removeprefix(_OPTION))] if len(path) > 1 else None


def proposal_at(found: Found, path: tuple[str, ...]) -> Substitution | None:
    """The whole variant that a row belongs to; None where it belongs to none."""
    if len(path) < 2 or path[0] != WHOLE:
        return None
    return found.whole.proposals[int(path[1].removeprefix(_PROPOSAL))]


def option_text(option: Option) -> str:
    """What comes instead, with its grams in the batch."""
    return " + ".join(f"{part.amount_g:g} g {marked_name(part.food)}" for part in option.parts) or _("left out")


def marked_name(food: Food) -> str:
    """A name, with where it comes from if that is the user's own library."""
    taken = food.taken_from
    return _("{name} ▤ your library", name=food.name) if taken and taken.kind == "library" else food.name


def _marked(option: Option) -> str:
    """What comes instead, with the allergens it brings, marked as in the recipe."""
    contained = {key for part in option.parts for key in part.food.contains or ()}
    marks = [_(words) for key, words in ALLERGEN_WORDS.items() if key in contained]
    return f"{option_text(option)}  ▲\N{NO-BREAK SPACE}{', '.join(marks)}" if marks else option_text(option)


def _line_row(found: Found, line_id: str) -> FigureRow:
    options = found.options[line_id]
    names = [option.name for option in options]
    if not names:
        words = _("nothing else fits in the place of the line chosen in the recipe")
        return FigureRow(LINE, (words,), wide=True, muted=True)
    head = _("instead of {food}, the line chosen in the recipe", food=names[0])
    return FigureRow(f"{LINE} {line_id}", (head,), wide=True, bold=True, children=_option_rows(options))


def _option_rows(options: tuple[Option, ...]) -> tuple[FigureRow, ...]:
    return tuple(
        FigureRow(f"{_OPTION}{k}", (_marked(option),), wide=True, children=tuple(_option_details(option)))
        for k, option in enumerate(options)
    )


def _option_details(option: Option) -> Iterator[FigureRow]:
    for title, lines in (
        (_("why so much"), ["; ".join(filter(None, (option.because, option.source)))]),
        (_("lost"), list(option.losses)),
        (_("to test"), list(option.trials)),
        (_("may contain"), [_may_contain(option)]),
        (_("allergens not stated"), [", ".join(p.food.name for p in option.parts if p.food.contains is None)]),
        (_("not known"), list(option.unknown)),
    ):
        for k, line in enumerate(filter(None, lines)):
            yield FigureRow(f"{title} {k}", (f"{title}: {line}",), wide=True, muted=True)


def _may_contain(option: Option) -> str:
    possible = {key for part in option.parts for key in part.food.may_contain}
    return ", ".join(_(words) for key, words in ALLERGEN_WORDS.items() if key in possible)


def _proposal_row(k: int, proposal: Substitution) -> FigureRow:
    said = proposal.differs or [option_text(option) for option in proposal.options]
    head = _("{n}. {title}: {what}", n=k + 1, title=proposal.title, what="; ".join(said))
    return FigureRow(f"{_PROPOSAL}{k}", (head,), wide=True, children=tuple(_proposal_parts(proposal)))


def _proposal_parts(proposal: Substitution) -> Iterator[FigureRow]:
    """What changed, what it did, what is lost, what to test and what else is to be known; nothing that is empty."""
    swaps = (_("{old} → {new}", old=o.name, new=_marked(o)) for o in proposal.options)
    yield from _group("changed", _("what changed"), [*swaps])
    did = tuple(
        FigureRow(
            d.quantity.key,
            (_(d.quantity.title), quantity_text(d.before, d.quantity.key), quantity_text(d.after, d.quantity.key)),
        )
        for d in proposal.differences
    )
    if did:
        yield FigureRow("did", (_("what it did to one piece"),), wide=True, muted=True, children=did)
    yield from _group("targets", _("targets"), [verdict_text(verdict) for verdict in proposal.verdicts])
    yield from _group("lost", _("what is lost"), proposal.losses)
    yield from _group("trials", _("what to test in a trial batch"), proposal.trials)
    yield from _group("remarks", _("also to know"), proposal.remarks)
    yield from _group("amounts", _("all amounts"), [line_change_text(change) for change in proposal.changes])


def _group(key: str, title: str, lines: list[str] | tuple[str, ...]) -> Iterator[FigureRow]:
    if lines:
        children = tuple(FigureRow(f"{key} {k}", (line,), wide=True) for k, line in enumerate(lines))
        yield FigureRow(key, (title,), wide=True, muted=True, children=children)


def recipe_row(k: int, recipe: Suggestion) -> FigureRow:
    """A recipe from the pantry: what it is, its amounts, what a piece brings, targets and what to test."""
    evaluation = recipe.after
    amounts = tuple(
        FigureRow(line.id, (name, f"{line.amount_g:g} g"))
        for line, name in zip(evaluation.variant.lines, evaluation.prepared.names, strict=True)
    )
    figures = tuple(
        FigureRow(key, (_(QUANTITIES[key].title), quantity_text(evaluation.bound(key), key))) for key in _TOLD
    )
    verdicts = tuple(verdict_text(verdict) for verdict in recipe.verdicts)
    remarks = (remark for remark in recipe.remarks if remark not in verdicts)
    groups = [
        *(FigureRow(f"remark {j}", (remark,), wide=True, muted=True) for j, remark in enumerate(remarks)),
        FigureRow("amounts", (portions_text(evaluation.portions),), wide=True, muted=True, children=amounts),
        FigureRow("figures", (_("one piece brings"),), wide=True, muted=True, children=figures),
    ]
    for key, title, lines in (
        ("targets", _("targets"), verdicts),
        ("trials", _("what to test in a trial batch"), recipe.trials),
    ):
        children = tuple(FigureRow(f"{key} {j}", (line,), wide=True) for j, line in enumerate(lines))
        if children:
            groups.append(FigureRow(key, (title,), wide=True, muted=True, children=children))
    head = _("{n}. {name}", n=k + 1, name=evaluation.variant.name)
    return FigureRow(f"recipe{k}", (head,), wide=True, bold=True, children=tuple(groups))
