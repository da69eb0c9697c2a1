"""Newer values in words: what differs in an ingredient, and what taking it does to a variant."""

from collections.abc import Iterator

from workbench.base.text import N_, _, plural
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Value
from workbench.recipe.bound import Bound
from workbench.recipe.food_words import GUT_WORDS, named, pack_text, source_words
from workbench.recipe.newer_values import Effect, FactChange, NewerFood, NewerValues, ValueChange
from workbench.recipe.words import ALLERGEN_WORDS, ORIGINS, STATES, figure_text, quantity_text, target_title

_FACT_TITLES = {
    "group": N_("group"),
    "origin": N_("origin"),
    "contains": N_("contains"),
    "may_contain": N_("may contain"),
    "gut": N_("for a sensitive gut or sleep"),
    "doping": N_("doping caution"),
    "digestibility": N_("digestibility group"),
    "fat_profile": N_("kind of fat"),
    "cannot_contain": N_("cannot contain"),
    "edible_fraction": N_("edible share of the weight as bought"),
    "density_g_per_ml": N_("grams per ml"),
    "packs": N_("packs and prices"),
    "typical_yield": N_("typical weight after cooking, times the raw weight"),
    "nitrogen_factor": N_("protein for each gram of nitrogen"),
}


def newer_summary(newer: NewerValues) -> str:
    """How many ingredients differ."""
    return plural(
        "{n} ingredient has newer values in its table",
        "{n} ingredients have newer values in their tables",
        len(newer.foods),
    )


def newer_food_text(one: NewerFood) -> str:
    """An ingredient with how much of it differs."""
    n = sum(change.moved for change in one.values)
    other = len(one.values) - n
    parts = [plural("{n} figure", "{n} figures", n)] if n else []
    if other:
        parts.append(plural("{n} source", "{n} sources", other))
    properties = sum(change.field != "packs" for change in one.facts)
    if properties:
        parts.append(plural("{n} property", "{n} properties", properties))
    if properties < len(one.facts):
        parts.append(_("price"))
    if one.edited:
        parts.append(_("▲ changed by hand, which this would undo"))
    return _("{food}: {parts}", food=one.mine.name, parts=", ".join(parts))


def food_change_texts(one: NewerFood) -> Iterator[tuple[str, str]]:
    """What differs in an ingredient: key, and a sentence per 100 g of the edible part."""
    for value in one.values:
        yield value.tag, _value_text(value)
    for fact in one.facts:
        yield fact.field, _fact_text(fact)


def _value_text(change: ValueChange) -> str:
    component = COMPONENTS[change.tag]
    before, after = change.before, change.after
    if change.moved:
        old, new = _figure(before, short=True), _figure(after, short=True)
        if old == new:
            old, new = _figure(before), _figure(after)
        title = _("{title}: {before} → {after}", title=_(component.title), before=old, after=new)
        figure = title if after is None else f"{title} {component.unit}"
    else:
        figure = f"{_(component.title)}: {_figure(after)} {component.unit}"
    was, now = _origin(before), _origin(after)
    if was == now or not was:
        return _("{figure} ({source})", figure=figure, source=now) if now else figure
    return _("{figure} ({was} → {now})", figure=figure, was=was, now=now or _("no source"))


def _figure(value: Value | None, *, short: bool = False) -> str:
    """A figure; ``short`` leaves a computed one three digits, for it has more than anybody measured."""
    if value is None:
        return _("not known")
    x = value.value
    if short and value.kind == "calculated":
        x = float(f"{x:.3g}") if abs(x) < 1000 else round(x)
    return figure_text(x)


def _origin(value: Value | None) -> str:
    return "" if value is None else source_words(value.source, value.code)


def _fact_text(change: FactChange) -> str:
    before, after = (_fact(change.field, fact) for fact in (change.before, change.after))
    return _("{title}: {before} → {after}", title=_(_FACT_TITLES[change.field]), before=before, after=after)


def _fact(field: str, fact: object) -> str:
    if fact is None:
        return _("not stated") if field == "contains" else _("not known")
    if isinstance(fact, float | int):
        return figure_text(fact)
    if field == "packs" and isinstance(fact, tuple):
        return "; ".join(pack_text(pack) for pack in fact) or _("none")
    if isinstance(fact, tuple):
        components = {tag: component.title for tag, component in COMPONENTS.items()}
        return named(fact, {"gut": GUT_WORDS, "cannot_contain": components}.get(field, ALLERGEN_WORDS))
    return _(ORIGINS[str(fact)]) if field == "origin" else str(fact) or _("none")


def effect_texts(effect: Effect) -> Iterator[tuple[str, str]]:
    """What newer values do to a variant: key, and a sentence."""
    if not (effect.before.valid and effect.after.valid):
        problems = [p.sentence() for p in effect.after.problems if p.severity == "error"]
        yield "result", " ".join(["✕", *problems]) if problems else _("there is a result then, which there is not now")
    for before, after in effect.verdicts:
        states = {"before": _(STATES[before.state]), "after": _(STATES[after.state])}
        title = target_title(before.target)
        yield f"target {before.target.id}", _("target {title}: {before} → {after}", title=title, **states)
    for change in effect.changes:
        key = change.quantity.key
        texts = {
            "before": _result(change.before, key, effect.before.prepared.currency),
            "after": _result(change.after, key, effect.after.prepared.currency),
        }
        yield key, _("{title}: {before} → {after}", title=_(change.quantity.title), **texts)


def _result(bound: Bound, key: str, currency: str) -> str:
    text = quantity_text(bound, key)
    return f"{text} {currency}".rstrip() if key == "cost" and bound.known else text
