"""Words for what an ingredient is, and for what a search asks of one."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from workbench.base.text import N_, _, number
from workbench.composition.bundled import sources
from workbench.composition.food import Pack
from workbench.composition.search_filter import SearchFilter
from workbench.recipe.words import ALLERGEN_WORDS

ROLE_WORDS = {
    "bulk_starch": N_("starchy base"),
    "sweetener": N_("sweetener"),
    "binder": N_("binder"),
    "fat": N_("fat"),
    "inclusion": N_("inclusion"),
    "protein": N_("protein"),
    "flavour": N_("flavour"),
    "liquid": N_("liquid"),
    "salt": N_("salt"),
    "leavening": N_("leavening"),
}

GUT_WORDS = {
    "lactose": N_("lactose"),
    "polyols": N_("polyols"),
    "excess_fructose": N_("more fructose than glucose"),
    "caffeine": N_("caffeine"),
}


def named(keys: Iterable[str], words: Mapping[str, str]) -> str:
    """Keys in words, or "none"."""
    return ", ".join(_(words[key]) if key in words else key for key in keys) or _("none")


def source_words(source: str, code: str) -> str:
    """Short name of a publication, or free text, with the food's code."""
    known = sources().get(source)
    return " ".join(filter(None, (known.short if known else source, code)))


def pack_text(pack: Pack) -> str:
    """A pack in words."""
    size = _("{grams} g", grams=f"{pack.size_g:g}")
    price = _("no price") if pack.price is None else f"{number(pack.price, 2)} {pack.currency}".rstrip()
    return "   ".join(filter(None, (size, price, pack.date)))


# --- the filter of a search -------------------------------------------------------------------------------------------


class KnownFigures(NamedTuple):
    """Figures that belong together, and the components they need."""

    title: str  # marked for translation
    tags: tuple[str, ...]


KNOWN_FIGURES = (
    KnownFigures(N_("carbohydrate, fat and fibre"), ("CHOAVLDF", "FAT", "FIBTG")),
    KnownFigures(N_("glucose-type and fructose-type"), ("GLUS", "FRUS", "SUCS", "LACS", "MALS", "STARCH")),
    KnownFigures(N_("medium-chain fat"), ("F6D0", "F8D0", "F10D0", "F12D0")),
    KnownFigures(N_("protein, sugars, sodium and water"), ("PROCNT", "SUGAR", "NA", "WATER")),
)
"""What the charts show, and the figures below them."""


def filter_text(wanted: SearchFilter) -> str:
    """What is asked for as a list in words; "" where nothing is."""
    parts = [_("plant only")] if wanted.plant_only else []
    parts += [_("without {allergen}", allergen=_(ALLERGEN_WORDS[key])) for key in wanted.without]
    if wanted.role:
        parts.append(_("as {role}", role=_(ROLE_WORDS[wanted.role])))
    if wanted.source:
        parts.append(_("from {source}", source=source_words(wanted.source, "")))
    titles = [_(figures.title) for figures in KNOWN_FIGURES if set(figures.tags) <= set(wanted.known)]
    parts += [_("known: {figures}", figures=title) for title in titles]
    return ", ".join(parts)
