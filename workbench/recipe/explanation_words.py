"""Why this number, in words: the derivation of a figure as sentences and lines."""

import math

from workbench.base.text import _, number
from workbench.composition.derive import RULES
from workbench.recipe.bound import Bound
from workbench.recipe.explanation import Explanation, Input, Term
from workbench.recipe.food_words import source_words
from workbench.recipe.quantities import BASIS_TITLES, QUANTITIES
from workbench.recipe.words import VALUE_KINDS, bound_text, figure_text, quantity_text


def input_text(given: Input) -> str:
    """One value with where it comes from: ``starch 73.3 g, measured, USDA SR26 20422``."""
    quantity = QUANTITIES[given.tag]
    title = _(quantity.title)
    if given.value is None:
        if given.less_than is None:
            return _("{title} not known", title=title)
        limit = f"{figure_text(given.less_than)} {quantity.unit}"
        return _("{title} less than {limit}, from a label", title=title, limit=limit)
    value = given.value
    parts = [f"{title} {figure_text(value.value)} {quantity.unit}", _(VALUE_KINDS[value.kind])]
    if value.rule:
        parts.append(_(RULES[value.rule].title))
    if value.source:
        parts.append(source_words(value.source, value.code))
    if value.note:
        parts.append(_(value.note))
    return ", ".join(parts)


def total_words(explanation: Explanation) -> str:
    """What the sum of the terms is called: where values are missing, it is that of the known ones."""
    inexact = any(term.per_100g_bound().unknown for term in explanation.terms)
    return _("sum of what is known") if inexact else _("sum")


def headline(explanation: Explanation) -> str:
    """The quantity, and what it is per."""
    title = _(explanation.quantity.title)
    if explanation.quantity.kind == "ratio":
        return title
    return _("{title}, {basis}", title=title, basis=_(BASIS_TITLES[explanation.basis]))


def explanation_text(explanation: Explanation) -> str:
    """The derivation as plain text, to print or to copy."""
    return "\n".join(_lines(explanation))


def _lines(e: Explanation) -> list[str]:
    unit = e.quantity.unit
    lines = [f"{e.variant_name}: {headline(e)}: {quantity_text(e.bound, e.quantity.key)}"]
    lines.append(_("How: {formula}", formula=_(e.quantity.formula)))
    for part in e.parts:
        lines += ["", *_lines(part._replace(weights=()))]
    if e.parts:
        lines.append("")
    for term in e.terms:
        if not term.brings_nothing:
            lines += _term_lines(term, unit)
    nothing = [term.name for term in e.terms if term.brings_nothing]
    if nothing:
        lines.append("  " + _("nothing from: {names}", names="; ".join(nothing)))
    if e.terms:
        lines.append(f"  {total_words(e)}: {number(e.total, 3)} {unit}".rstrip())
    lines += [f"  {step.words} = {number(step.result, 4)} {unit}".rstrip() for step in e.steps]
    if e.bound.certainty != "exact":
        lines.append("  " + _("limits: {figure}", figure=limits_text(e.bound, e.quantity.decimals + 1)))
        if e.bound.unknown:
            lines.append("  " + _("because of: {names}", names="; ".join(e.bound.unknown)))
    if e.weights:
        lines += [_("Weights:"), *(f"  {words}" for words in e.weights)]
    return lines


def _term_lines(term: Term, unit: str) -> list[str]:
    as_bought = f" × {figure_text(term.edible_fraction)}" if term.edible_fraction != 1.0 else ""
    per_100g = limits_text(term.per_100g_bound(), 3, f"{unit}/100 g")
    brings = limits_text(term.brings_bound(), 3, unit)
    head = f"  {term.name}: {number(term.amount_g, 1)} g{as_bought} × {per_100g} = {brings}"
    rest = [*map(input_text, term.inputs), *([term.note] if term.note else [])]
    return [head, *(f"      {words}" for words in rest)]


def limits_text(bound: Bound, decimals: int, unit: str = "") -> str:
    """A figure with all that is known of it; an unknown one with its limit, where it has one."""
    if bound.certainty == "not_known":
        return (
            _("at most {high}", high=f"{number(bound.high, decimals)} {unit}".rstrip())
            if math.isfinite(bound.high)
            else _("not known")
        )
    return f"{bound_text(bound, decimals)} {unit}".rstrip()
