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
    numerator: str = ""  # for ratios: keys of two linear quantities, and the factor on their quotient
    denominator: str = ""
    scale: float = 1.0

    @property
    def bases(self) -> tuple[Basis, ...]:
        """Bases on which the quantity makes sense; a ratio is the same on all."""
        return ("batch",) if self.kind == "ratio" else BASES


def _linear(key: str, unit: str, decimals: int, title: str, source: str = _BY_SUM) -> Quantity:
    return Quantity(key, unit, decimals, title, "linear", source)


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
    _linear("salt", "g", 2, N_("salt"), _EU),
)


def _ratio(key: str, unit: str, decimals: int, title: str, over: tuple[str, str], scale: float = 1.0) -> Quantity:
    return Quantity(key, unit, decimals, title, "ratio", _BY_SUM, over[0], over[1], scale)


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
