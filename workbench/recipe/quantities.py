"""The one catalogue of quantities: what can be shown, targeted, exported or explained, and on which basis.

A *linear* quantity adds up over ingredients; a *ratio* is made of two linear ones.  Everything outside this package
refers to a quantity only by its key and a basis.
"""

from typing import Literal, NamedTuple, get_args

from workbench.base.text import N_
from workbench.composition.components import COMPONENTS
from workbench.document.project import Basis

BASES: tuple[Basis, ...] = get_args(Basis)

BASIS_TITLES: dict[Basis, str] = {
    "batch": N_("whole batch"),
    "portion": N_("one piece"),
    "per_100g": N_("100 g"),
    "per_25g_carbohydrate": N_("25 g carbohydrate"),
    "per_hour": N_("hour"),
}

Kind = Literal["linear", "ratio"]

_BY_SUM = N_("sum over the ingredients")
_EU = N_("Regulation (EU) No 1169/2011")
_OWN_INDEX = N_("this program's own index; no agreed measure of residue exists")
_MERRILL_WATT = N_("USDA Agriculture Handbook 74, Table 13 coefficients")


class Quantity(NamedTuple):
    """One entry of the catalogue."""

    key: str
    unit: str
    decimals: int
    title: str  # marked for translation
    kind: Kind
    source: str  # marked for translation
    formula: str  # how it is made of its inputs; marked for translation
    inputs: tuple[str, ...] = ()  # components that a linear quantity rests on
    numerator: str = ""  # for ratios: keys of two linear quantities, and the factor on their quotient
    denominator: str = ""
    scale: float = 1.0

    @property
    def bases(self) -> tuple[Basis, ...]:
        """Bases on which the quantity makes sense: a ratio is the same on all, and 100 g always weigh as much."""
        if self.kind == "ratio":
            return ("batch",)
        return tuple(b for b in BASES if b != "per_100g") if self.key == "weight" else BASES


_AVAILABLE = ("CHOAVLDF", "CHOCDF", "FIBTG")
_ENERGY = ("PROCNT", "FAT", *_AVAILABLE, "ALC", "POLYL", "ERYTHL", "OA")
_MEDIUM_CHAIN = ("F6D0", "F8D0", "F10D0")
_MEDIUM_CHAIN_LAURIC = (*_MEDIUM_CHAIN, "F12D0")
_GLUCOSE = ("GLUS", "STARCH", "DEXTN", "MALS", "SUCS", "LACS", "SUGAR")
_FRUCTOSE = ("FRUS", "SUCS", "SUGAR")

_FORMULAS = {
    "CHOAVLDF": (_AVAILABLE, N_("total carbohydrate less fibre, or as on the label")),
    "CHOCDF": (("CHOCDF", "CHOAVLDF", "FIBTG"), N_("by difference, with fibre; from a label: carbohydrate plus fibre")),
    "energy_kj": (
        _ENERGY,
        N_("17 × protein + 37 × fat + 17 × carbohydrate + 8 × fibre; alcohol 29, polyols 10 (erythritol 0), acids 13"),
    ),
    "energy_kcal": (
        _ENERGY,
        N_("4 × protein + 9 × fat + 4 × carbohydrate + 2 × fibre; alcohol 7, polyols 2.4 (erythritol 0), acids 3"),
    ),
    "energy_specific_kcal": (
        ("PROCNT", "FAT", "CHOCDF", "ALC"),
        N_("protein, fat and total carbohydrate, each times the factor of the food's group; alcohol times 6.93"),
    ),
    "energy_medium_chain_kcal": (
        (*_ENERGY, *_MEDIUM_CHAIN),
        N_("energy less 0.6 kcal for each gram of medium-chain fat as oil"),
    ),
    "glucose_type": (_GLUCOSE, N_("glucose + starch + maltodextrin + maltose + half of sucrose and lactose")),
    "fructose_type": (_FRUCTOSE, N_("fructose + half of sucrose")),
    "galactose": (("GALS", "LACS", "SUGAR"), N_("galactose + half of lactose")),
    "other_carbohydrate": (
        (*_AVAILABLE, "GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS", "STARCH", "DEXTN"),
        N_("carbohydrate less glucose-type, fructose-type and galactose, not below zero"),
    ),
    "glucose_hydrolysed": (
        _GLUCOSE,
        N_("glucose + 1.111 × (starch + maltodextrin) + 1.0526 × (maltose + half of sucrose and lactose)"),
    ),
    "fructose_hydrolysed": (_FRUCTOSE, N_("fructose + 1.0526 × half of sucrose")),
    "mct_c6_c10": (_MEDIUM_CHAIN, N_("C6:0 + C8:0 + C10:0")),
    "mct_c6_c12": (_MEDIUM_CHAIN_LAURIC, N_("C6:0 + C8:0 + C10:0 + C12:0")),
    "medium_chain": (_MEDIUM_CHAIN_LAURIC, N_("C6:0 + C8:0 + C10:0, with C12:0 where the project counts it in")),
    "mct_oil": (_MEDIUM_CHAIN, N_("1.109 × C6:0 + 1.088 × C8:0 + 1.074 × C10:0")),
    "other_saturated": (
        ("FASAT", *_MEDIUM_CHAIN_LAURIC),
        N_("saturated fatty acids less C6:0 to C12:0, not below zero"),
    ),
    "unsaturated": (("FAMS", "FAPU"), N_("monounsaturated + polyunsaturated fatty acids")),
    "fat_rest": (
        ("FAT", "FASAT", "FAMS", "FAPU"),
        N_("fat less saturated and unsaturated fatty acids, not below zero"),
    ),
    "fibre_unsplit": (("FIBTG", "FIBSOL", "FIBINS"), N_("fibre less soluble and insoluble fibre, not below zero")),
    "residue_organic": (
        ("PROCNT", "FAT", "CHOCDF"),
        N_("undigested share of protein, fat and total carbohydrate, by the food's group; fibre is inside it"),
    ),
    "residue_fibre_based": (
        ("FIBTG", "PROCNT", "FAT"),
        N_("fibre + undigested share of protein and fat, by the food's group"),
    ),
    "protein_label": (("PROCNT",), N_("nitrogen × 6.25: protein × 6.25 ÷ the table's factor, where that is known")),
    "carbohydrate_label": (
        (*_AVAILABLE, "PROCNT"),
        N_("carbohydrate less what protein gains as nitrogen × 6.25, since it is counted by difference"),
    ),
    "salt": (("NA",), N_("2.5 × sodium")),
    "weight": ((), N_("weight after all stages")),
    "cost": ((), N_("price of the newest pack ÷ its weight, for what is bought of the ingredient")),
}
_ITSELF = N_("as published, or filled in by a rule")


def _linear(key: str, unit: str, decimals: int, title: str, source: str = _BY_SUM) -> Quantity:
    inputs, formula = _FORMULAS.get(key, ((key,), _ITSELF))
    return Quantity(key, unit, decimals, title, "linear", source, formula, inputs)


_DERIVED = (
    _linear("energy_kj", "kJ", 0, N_("energy"), _EU),
    _linear("energy_kcal", "kcal", 0, N_("energy"), _EU),
    _linear("energy_specific_kcal", "kcal", 0, N_("energy by food-specific factors"), _MERRILL_WATT),
    _linear(
        "energy_medium_chain_kcal",
        "kcal",
        0,
        N_("energy with medium-chain fat at 8.4 kcal/g"),
        N_("Drug and Therapeutics Bulletin 1981;19(17):67"),
    ),
    _linear("glucose_type", "g", 1, N_("glucose-type carbohydrate")),
    _linear("fructose_type", "g", 1, N_("fructose-type carbohydrate")),
    _linear("galactose", "g", 1, N_("galactose")),
    _linear("other_carbohydrate", "g", 1, N_("other or unsplit carbohydrate")),
    _linear("glucose_hydrolysed", "g", 1, N_("glucose after digestion")),
    _linear("fructose_hydrolysed", "g", 1, N_("fructose after digestion")),
    _linear("mct_c6_c10", "g", 2, N_("medium-chain fat C6–C10")),
    _linear("mct_c6_c12", "g", 2, N_("medium-chain fat C6–C12")),
    _linear("medium_chain", "g", 2, N_("medium-chain fat as chosen")),
    _linear("mct_oil", "g", 2, N_("medium-chain fat C6–C10 as oil")),
    _linear("other_saturated", "g", 1, N_("other saturated fat")),
    _linear("unsaturated", "g", 1, N_("unsaturated fat")),
    _linear("fat_rest", "g", 1, N_("rest of fat (glycerol, unlisted)")),
    _linear("fibre_unsplit", "g", 1, N_("fibre, not split")),
    _linear("residue_organic", "g", 1, N_("undigested estimate, organic matter"), _OWN_INDEX),
    _linear("residue_fibre_based", "g", 1, N_("undigested estimate, fibre-based"), _OWN_INDEX),
    _linear("protein_label", "g", 1, N_("protein as an EU label counts it"), _EU),
    _linear("carbohydrate_label", "g", 1, N_("carbohydrate as an EU label counts it"), _EU),
    _linear("salt", "g", 2, N_("salt"), _EU),
    _linear("weight", "g", 1, N_("weight")),
    _linear("cost", "", 2, N_("cost"), N_("prices of packs, as entered")),
)


def _ratio(key: str, unit: str, decimals: int, title: str, over: tuple[str, str], scale: float = 1.0) -> Quantity:
    formula = N_("the quotient of the two")
    return Quantity(
        key, unit, decimals, title, "ratio", _BY_SUM, formula, numerator=over[0], denominator=over[1], scale=scale
    )


_RATIOS = (
    _ratio("fructose_to_glucose", "", 2, N_("fructose to glucose, by mass"), ("fructose_type", "glucose_type")),
    _ratio(
        "fructose_to_glucose_hydrolysed",
        "",
        2,
        N_("fructose to glucose, after digestion"),
        ("fructose_hydrolysed", "glucose_hydrolysed"),
    ),
    _ratio("energy_from_fat", "%", 0, N_("energy from fat"), ("FAT", "energy_kj"), 3700.0),
    _ratio("energy_from_carbohydrate", "%", 0, N_("energy from carbohydrate"), ("CHOAVLDF", "energy_kj"), 1700.0),
    _ratio("energy_from_protein", "%", 0, N_("energy from protein"), ("PROCNT", "energy_kj"), 1700.0),
)

_PUBLISHED_ENERGY = "ENERC_KCAL"  # energy is always computed from grams; the published figure only checks a row

LINEAR: tuple[Quantity, ...] = (
    *(_linear(c.tag, c.unit, c.decimals, c.title) for c in COMPONENTS.values() if c.tag != _PUBLISHED_ENERGY),
    *_DERIVED,
)
QUANTITIES: dict[str, Quantity] = {q.key: q for q in (*LINEAR, *_RATIOS)}
INDEX: dict[str, int] = {q.key: k for k, q in enumerate(LINEAR)}
"""Column of each linear quantity in the prepared matrix."""

HEADLINE: tuple[str, ...] = (
    "CHOAVLDF",
    "glucose_type",
    "fructose_type",
    "fructose_to_glucose",
    "SUGAR",
    "FAT",
    "mct_c6_c10",
    "FIBTG",
    "residue_organic",
    "residue_fibre_based",
    "PROCNT",
    "salt",
    "WATER",
    "energy_kj",
    "energy_kcal",
)
"""What a table for people shows where not every quantity has room."""
