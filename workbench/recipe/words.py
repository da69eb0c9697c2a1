"""Results in words: bounds, quantities, verdicts, weight choices.  Screen, terminal and reports say the same."""

import math

from workbench.base.text import N_, _, number, plural
from workbench.document.project import (
    Basis,
    FinalWater,
    Stage,
    Target,
    Typical,
    WaterLost,
    Weighed,
)
from workbench.recipe.bound import Bound
from workbench.recipe.change import Way
from workbench.recipe.comparison import Difference, LineChange
from workbench.recipe.evaluation import Portions
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.verdict import Verdict

STAGE_KINDS = {
    "mix": N_("mix"),
    "cook": N_("cook"),
    "bake": N_("bake"),
    "fold_in": N_("fold in"),
    "press": N_("press"),
    "cool": N_("cool"),
    "other": N_("other"),
}

PURPOSES = {
    "": N_("no purpose given"),
    "original": N_("original"),
    "plant_based": N_("plant-based"),
    "race": N_("race"),
    "long_ride": N_("long ride"),
}

PER: dict[Basis, str] = {
    "batch": N_("in the whole batch"),
    "portion": N_("per piece"),
    "per_100g": N_("per 100 g"),
    "per_25g_carbohydrate": N_("per 25 g carbohydrate"),
    "per_hour": N_("per hour"),
}

STATES = {"met": N_("met"), "short": N_("short"), "over": N_("over"), "cannot_tell": N_("cannot tell")}

ORIGINS = {
    "plant": N_("plant"),
    "dairy": N_("dairy"),
    "egg": N_("egg"),
    "bee": N_("bee"),
    "animal": N_("other animal"),
    "mineral": N_("mineral"),
    "unknown": N_("origin not stated"),
}

ALLERGEN_WORDS = {
    "gluten_wheat": N_("wheat (gluten)"),
    "gluten_rye": N_("rye (gluten)"),
    "gluten_barley": N_("barley (gluten)"),
    "gluten_oats": N_("oats (gluten)"),
    "crustaceans": N_("crustaceans"),
    "egg": N_("egg"),
    "fish": N_("fish"),
    "peanut": N_("peanut"),
    "soya": N_("soya"),
    "milk": N_("milk"),
    "almond": N_("almond"),
    "hazelnut": N_("hazelnut"),
    "walnut": N_("walnut"),
    "cashew": N_("cashew"),
    "pecan": N_("pecan"),
    "brazil_nut": N_("Brazil nut"),
    "pistachio": N_("pistachio"),
    "macadamia": N_("macadamia"),
    "celery": N_("celery"),
    "mustard": N_("mustard"),
    "sesame": N_("sesame"),
    "sulphites": N_("sulphites"),
    "lupin": N_("lupin"),
    "molluscs": N_("molluscs"),
    "coconut": N_("coconut"),
}

VALUE_KINDS = {
    "measured": N_("measured"),
    "calculated": N_("calculated by the publisher"),
    "assumed_zero": N_("zero by nature"),
    "borrowed": N_("borrowed from a similar food"),
    "derived": N_("derived"),
    "label": N_("from a label"),
    "typical": N_("typical"),
}

CAUTIONS = (
    N_("The figures are estimates from published averages and weighed amounts; nothing was analysed."),
    N_("Allergens are only as good as the labels read, and the kitchen is clean."),
    N_(
        "Moist cooked grain: cool it fast, keep it at 5 °C or below and eat it within 24 hours, "
        "unless a professional's own validated plan says otherwise."
    ),
    N_("Special diets, medical conditions, children and pregnancy need a qualified professional."),
    N_("Supplements, and kitchen foods such as poppy seed and hemp, carry a doping risk."),
    N_("Local food law and the responsible professional decide."),
)
"""The usual cautions, said once wherever figures leave the program."""


def bound_text(bound: Bound, decimals: int) -> str:
    """A figure with what is known of it: ``16.1``, ``at least 4.8``, ``0.6–0.9``, ``not known``."""
    certainty = bound.certainty
    if certainty == "not_known":
        return _("not known")
    if certainty == "exact":
        return number(bound.value, decimals)
    low, high = number(bound.low, decimals), number(bound.high, decimals)
    if certainty == "at_least":
        return _("at least {low}", low=low)
    if certainty == "at_most":
        return _("at most {high}", high=high)
    return low if low == high else _("{low}–{high}", low=low, high=high)


def quantity_text(bound: Bound, key: str) -> str:
    """A figure with its unit, decimals by the catalogue."""
    quantity = QUANTITIES[key]
    text = bound_text(bound, quantity.decimals)
    return f"{text} {quantity.unit}" if quantity.unit and bound.certainty != "not_known" else text


def band_text(low: float | None, high: float | None, decimals: int, aim: float | None = None) -> str:
    """Limits and what is aimed at in words: ``between 20 and 25``, ``at most 1``, ``at least 20, aim 22``."""
    if aim is not None:
        aimed = _("aim {aim}", aim=number(aim, decimals))
        return aimed if low is None and high is None else f"{band_text(low, high, decimals)}, {aimed}"
    if low is not None and high is not None:
        return _("between {low} and {high}", low=number(low, decimals), high=number(high, decimals))
    if low is not None:
        return _("at least {low}", low=number(low, decimals))
    if high is not None:
        return _("at most {high}", high=number(high, decimals))
    return _("no limit")


def target_title(target: Target) -> str:
    """What a target is about: ``carbohydrate per hour``."""
    quantity = QUANTITIES[target.quantity]
    return _(quantity.title) if quantity.kind == "ratio" else f"{_(quantity.title)} {_(PER[target.basis])}"


def verdict_text(verdict: Verdict) -> str:
    """One target in words: ``fibre per piece: 0.7 g, at most 1.0: met``."""
    target = verdict.target
    quantity = QUANTITIES[target.quantity]
    parts = {
        "title": target_title(target),
        "figure": quantity_text(verdict.bound, quantity.key),
        "band": band_text(target.low, target.high, quantity.decimals, target.aim),
        "by": f"{number(verdict.by, quantity.decimals)} {quantity.unit}".rstrip(),
    }
    if verdict.state == "met":
        return _("{title}: {figure}, {band}: met", **parts)
    if verdict.state == "short":
        return _("{title}: {figure}, {band}: short by {by}", **parts)
    if verdict.state == "over":
        return _("{title}: {figure}, {band}: over by {by}", **parts)
    unknown = ", ".join(verdict.bound.unknown) or _("no result")
    return _("{title}: {figure}, {band}: cannot tell ({unknown})", unknown=unknown, **parts)


def weight_text(stage: Stage) -> str:
    """How the weight after a stage is known."""
    choice = stage.weight
    if isinstance(choice, Weighed):
        ratio = 100 * choice.out_g / choice.in_g
        return _(
            "weighed {into} g in, {out} g out: {ratio} %",
            into=number(choice.in_g, 0),
            out=number(choice.out_g, 0),
            ratio=number(ratio, 0),
        )
    if isinstance(choice, WaterLost):
        return _("water lost {amount} {unit}", amount=number(choice.amount, 0), unit=choice.unit)
    if isinstance(choice, FinalWater):
        return _("cooked to {percent} % water", percent=number(choice.percent, 0))
    if isinstance(choice, Typical):
        return _("typical weight after cooking")
    return _("weight unchanged")


def losses_text(stage: Stage) -> str:
    """What stays behind in a stage besides water given off; empty where nothing does."""
    sentences = {
        "fat_left": N_("{percent} % of the fat stays in the pan"),
        "drained": N_("{percent} % of the weight in is poured off"),
    }
    return ", ".join(_(sentences[loss.kind], percent=number(loss.percent, 0)) for loss in stage.losses)


def portions_text(portions: Portions) -> str:
    """Pieces in words: ``20 pieces of 70 g`` and what is left over or trimmed."""
    parts = [
        plural(
            "{n} piece of {grams} g",
            "{n} pieces of {grams} g",
            portions.whole_pieces,
            grams=number(portions.piece_g, 0 if portions.piece_g >= 20 else 1),
        )
    ]
    if portions.left_over_g >= 0.5:
        parts.append(_("{grams} g left over", grams=number(portions.left_over_g, 0)))
    if portions.trimmings_g >= 0.5:
        parts.append(_("{grams} g trimmings", grams=number(portions.trimmings_g, 0)))
    return ", ".join(parts)


def line_change_text(change: LineChange) -> str:
    """One changed ingredient in words, with its share of the batch before and after."""
    parts = {
        "name": change.name,
        "before_name": change.before_name,
        "before": number(100 * change.before_share, 1),
        "after": number(100 * change.after_share, 1),
    }
    sentences = {
        "added": _("added: {name}, {after} % of the batch", **parts),
        "removed": _("removed: {name}, {before} % of the batch", **parts),
        "replaced": _("replaced: {before_name} ({before} %) by {name} ({after} %)", **parts),
        "more": _("more {name}: {before} % → {after} %", **parts),
        "less": _("less {name}: {before} % → {after} %", **parts),
    }
    return sentences[change.what]


def change_text(difference: Difference) -> str:
    """A difference with its sign; a dash where it cannot be told."""
    change = difference.change
    decimals = difference.quantity.decimals
    if change.certainty == "not_known":
        return number(None)
    uncertain = "" if change.certainty == "exact" else "~"
    return f"{uncertain}{signed(change.value, decimals)}"


CHANGE_SIGNS = {"added": "+", "removed": "−", "replaced": "⇄", "more": "▲", "less": "▼"}
WAY_SIGNS: dict[Way, str] = {"up": "▲", "down": "▼", "same": "=", "cannot_tell": "◇"}


def signed(x: float, decimals: int) -> str:
    """A change with its sign; none before one that rounds to nothing."""
    rounded = round(x, decimals)
    sign = "+" if rounded > 0 else "−" if rounded < 0 else ""
    return f"{sign}{number(abs(x), decimals)}"


def span_text(change: Bound, decimals: int) -> str:
    """A change with all that is known of it: ``+1.2``, ``+0.2 to +1.3``, ``at least +0.8``, ``cannot tell``."""
    low, high = signed(change.low, decimals), signed(change.high, decimals)
    if math.isfinite(change.low) and math.isfinite(change.high):
        return low if low == high else _("{low} to {high}", low=low, high=high)
    if math.isfinite(change.low):
        return _("at least {low}", low=low)
    return _("at most {high}", high=high) if math.isfinite(change.high) else _("cannot tell")


def span_cell(change: Bound, decimals: int) -> str:
    """The same where there is no room for words: ``+1.2``, ``+0.2…+1.3``, ``≥ +0.8``, ``?``."""
    low, high = signed(change.low, decimals), signed(change.high, decimals)
    if math.isfinite(change.low) and math.isfinite(change.high):
        return low if low == high else f"{low}…{high}"
    if math.isfinite(change.low):
        return f"≥ {low}"
    return f"≤ {high}" if math.isfinite(change.high) else "?"


def figure_text(value: float) -> str:
    """A published figure with the digits it has, at most six."""
    text = f"{value:.6g}"
    return number(value, 0 if "e" in text else len(text.partition(".")[2]))
