"""What stands on the wrapper of one piece."""

from datetime import date, timedelta
from typing import NamedTuple

from workbench.base.text import _, number
from workbench.document.project import Project
from workbench.recipe.allergens import Rules
from workbench.recipe.bound import Bound
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.pack_statement import pack_statement
from workbench.science.keeping import KEEP_HOURS


class WrapperLabel(NamedTuple):
    """One label in words; dates and lot are as given, empty where they are written by hand."""

    title: str
    variant: str
    purpose: str
    carbohydrate: str
    piece: str
    allergens: str
    may_contain: str
    made: str
    use_by: str
    lot: str


def wrapper_label(
    project: Project,
    evaluation: Evaluation,
    *,
    rules: Rules = "eu",
    title: str = "",
    made: date | None = None,
    use_by: date | None = None,
    lot: str = "",
) -> WrapperLabel:
    """Put together the label of a variant.

    Parameters
    ----------
    project : Project
        Holds the foods and variants.
    evaluation : Evaluation
        What was computed.
    rules : {"eu", "us"}
        Whose law says which allergens are named.
    title : str
        What it is, in a word or two; the project's title where empty.
    made : date, optional
        Day of cooking; a line to fill in where absent.
    use_by : date, optional
        Last day; by default the cautious one, a day after it was made.
    lot : str
        Lot of the batch.

    Raises
    ------
    CalculationError
        If the ingredients cannot be listed.
    """
    said = pack_statement(project, evaluation, rules=rules, title=title)
    last = use_by or (made + timedelta(hours=KEEP_HOURS) if made else None)
    if said.contains_each:
        allergens = _("contains {names}", names=", ".join(said.contains_each).upper())
    else:
        allergens = "" if said.not_stated else said.none_named
    if said.not_stated:
        risk = _("allergens of {names} not stated", names="; ".join(said.not_stated))
        allergens = f"{allergens}; {risk}" if allergens else risk
    return WrapperLabel(
        said.title,
        evaluation.variant.name,
        evaluation.variant.purpose,
        carbohydrate_words(evaluation.bound("CHOAVLDF", "portion")),
        _("{grams} g", grams=number(evaluation.portions.piece_g, 0)),
        allergens,
        _("may contain {names}", names=", ".join(said.may_contain)) if said.may_contain else "",
        made.isoformat() if made else "",
        last.isoformat() if last else "",
        lot.strip(),
    )


def carbohydrate_words(bound: Bound) -> str:
    """Carbohydrate of a piece in whole grams, as a rider counts it, with what is known of it."""
    certainty = bound.certainty
    if certainty == "not_known":
        return _("? g carbohydrate")
    low, high = number(bound.low, 0), number(bound.high, 0)
    if low == high or certainty == "exact":
        return _("{grams} g carbohydrate", grams=number(bound.value, 0))
    if certainty == "at_least":
        return _("at least {low} g carbohydrate", low=low)
    if certainty == "at_most":
        return _("at most {high} g carbohydrate", high=high)
    return _("{low}–{high} g carbohydrate", low=low, high=high)
