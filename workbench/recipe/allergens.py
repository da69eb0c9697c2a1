"""Allergens as food law lists them: the European groups with their exceptions, and the nine of the United States.

``Food.contains`` says what an ingredient brings; here it is decided what of that a pack has to name, and how.
"""

import re
from typing import Literal

from workbench.base.text import N_
from workbench.composition.food import ALLERGENS, Food

Rules = Literal["eu", "us"]

LEGAL_WORDS: dict[str, tuple[str, ...]] = {
    # The word that a pack prints, and other words of Annex II that name the same.
    "gluten_wheat": (N_("wheat"), "spelt", "khorasan"),
    "gluten_rye": (N_("rye"),),
    "gluten_barley": (N_("barley"),),
    "gluten_oats": (N_("oats"), "oat"),
    "crustaceans": (N_("crustaceans"), "crustacean"),
    "egg": (N_("egg"), "eggs"),
    "fish": (N_("fish"),),
    "peanut": (N_("peanut"), "peanuts"),
    "soya": (N_("soya"), "soy", "soybean", "soybeans"),
    "milk": (N_("milk"),),
    "almond": (N_("almond"), "almonds"),
    "hazelnut": (N_("hazelnut"), "hazelnuts"),
    "walnut": (N_("walnut"), "walnuts"),
    "cashew": (N_("cashew"), "cashews"),
    "pecan": (N_("pecan"), "pecans"),
    "brazil_nut": (N_("Brazil nut"), "Brazil nuts"),
    "pistachio": (N_("pistachio"), "pistachios"),
    "macadamia": (N_("macadamia"), "macadamias"),
    "celery": (N_("celery"),),
    "mustard": (N_("mustard"),),
    "sesame": (N_("sesame"),),
    "sulphites": (N_("sulphites"), "sulphite", "sulphur dioxide"),
    "lupin": (N_("lupin"), "lupins"),
    "molluscs": (N_("molluscs"), "mollusc"),
}

EU_GROUPS: dict[str, tuple[str, tuple[str, ...]]] = {
    # Regulation (EU) No 1169/2011, Annex II, 1 to 14.
    "gluten": (N_("cereals containing gluten"), ("gluten_wheat", "gluten_rye", "gluten_barley", "gluten_oats")),
    "crustaceans": (N_("crustaceans"), ("crustaceans",)),
    "egg": (N_("eggs"), ("egg",)),
    "fish": (N_("fish"), ("fish",)),
    "peanut": (N_("peanuts"), ("peanut",)),
    "soya": (N_("soybeans"), ("soya",)),
    "milk": (N_("milk"), ("milk",)),
    "nuts": (
        N_("nuts"),
        ("almond", "hazelnut", "walnut", "cashew", "pecan", "brazil_nut", "pistachio", "macadamia"),
    ),
    "celery": (N_("celery"), ("celery",)),
    "mustard": (N_("mustard"), ("mustard",)),
    "sesame": (N_("sesame"), ("sesame",)),
    "sulphites": (N_("sulphur dioxide and sulphites"), ("sulphites",)),
    "lupin": (N_("lupin"), ("lupin",)),
    "molluscs": (N_("molluscs"), ("molluscs",)),
}

US_GROUPS: dict[str, tuple[str, tuple[str, ...]]] = {
    # Federal Food, Drug, and Cosmetic Act, section 201(qq), with sesame since 2023.  Coconut left the guidance's list
    # of tree nuts in January 2025 (from memory); other cereals with gluten were never on it.
    "milk": (N_("milk"), ("milk",)),
    "egg": (N_("egg"), ("egg",)),
    "fish": (N_("fish"), ("fish",)),
    "crustaceans": (N_("crustacean shellfish"), ("crustaceans",)),
    "nuts": (N_("tree nuts"), EU_GROUPS["nuts"][1]),
    "wheat": (N_("wheat"), ("gluten_wheat",)),
    "peanut": (N_("peanuts"), ("peanut",)),
    "soya": (N_("soybeans"), ("soya",)),
    "sesame": (N_("sesame"), ("sesame",)),
}

GROUPS = {"eu": EU_GROUPS, "us": US_GROUPS}

_SYRUP_WORDS = frozenset({"glucose", "syrup", "syrups", "dried", "powder", "de", "from", "of"})
_OIL_WORDS = frozenset({"soya", "soy", "soybean", "soybeans", "oil", "fat", "fully", "refined"})

# An exception holds for an ingredient whose name says it and nothing else: a further word may stand for something that
# is not exempt.  Allergens, words of which one must be in the name, all that may be, and what the Annex exempts.
_EXCEPTIONS: tuple[tuple[frozenset[str], tuple[str, ...], frozenset[str], str], ...] = (
    (
        frozenset({"gluten_wheat"}),
        ("glucose syrup", "glucose syrups", "dextrose", "maltodextrin", "maltodextrins"),
        _SYRUP_WORDS | {"wheat", "dextrose", "monohydrate", "maltodextrin", "maltodextrins"},
        N_("Annex II, 1: glucose syrups, dextrose and maltodextrins made of wheat"),
    ),
    (
        frozenset({"gluten_barley"}),
        ("glucose syrup", "glucose syrups"),
        _SYRUP_WORDS | {"barley"},
        N_("Annex II, 1: glucose syrups made of barley"),
    ),
    (
        frozenset({"soya"}),
        ("fully refined",),
        _OIL_WORDS,
        N_("Annex II, 6: fully refined soya oil and fat"),
    ),
    (frozenset({"milk"}), ("lactitol",), frozenset({"lactitol", "powder"}), N_("Annex II, 7: lactitol")),
)


def exception(food: Food, allergen: str) -> str:
    """What of Annex II exempts this ingredient from naming an allergen that it was made of; empty where nothing does.

    The sentence is marked for translation.  Law of the United States has no such list.
    """
    words = re.findall(r"[^\W\d]+", food.name.casefold())
    plain = f" {' '.join(words)} "
    for allergens, one_of, allowed, text in _EXCEPTIONS:
        if allergen in allergens and any(f" {phrase} " in plain for phrase in one_of) and allowed.issuperset(words):
            return text
    return ""


def to_name(food: Food, rules: Rules) -> tuple[str, ...]:
    """Keys of the allergens in an ingredient that a pack has to name, in the order of the law."""
    named = {key for _word, keys in GROUPS[rules].values() for key in keys}
    return tuple(
        key
        for key in ALLERGENS
        if key in (food.contains or ()) and key in named and not (rules == "eu" and exception(food, key))
    )
