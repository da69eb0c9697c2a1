"""The column dictionary: every component the program knows, by INFOODS tagname, with unit, decimals and words.

It holds no values.  All amounts everywhere in the program are per 100 g edible part in the unit given here.
Tagnames: Klensin et al., "Identification of Food Components for INFOODS Data Interchange", UNU Press, 1989; ``ERYTHL``,
erythritol, is this program's own.
"""

from typing import NamedTuple

from workbench.base.text import N_


class Component(NamedTuple):
    """One column of a composition table."""

    tag: str
    unit: str
    decimals: int
    title: str  # marked for translation here, translated where it is shown


COMPONENTS: dict[str, Component] = {
    c.tag: c
    for c in (
        Component("WATER", "g", 1, N_("water")),
        Component("ENERC_KCAL", "kcal", 0, N_("energy as published")),
        Component("PROCNT", "g", 1, N_("protein")),
        Component("FAT", "g", 1, N_("fat")),
        Component("CHOCDF", "g", 1, N_("total carbohydrate (with fibre)")),
        Component("CHOAVLDF", "g", 1, N_("carbohydrate (without fibre)")),
        Component("FIBTG", "g", 1, N_("fibre")),
        Component("FIBSOL", "g", 1, N_("soluble fibre")),
        Component("FIBINS", "g", 1, N_("insoluble fibre")),
        Component("SUGAR", "g", 1, N_("sugars")),
        Component("GLUS", "g", 1, N_("glucose")),
        Component("FRUS", "g", 1, N_("fructose")),
        Component("GALS", "g", 1, N_("galactose")),
        Component("SUCS", "g", 1, N_("sucrose")),
        Component("LACS", "g", 1, N_("lactose")),
        Component("MALS", "g", 1, N_("maltose")),
        Component("STARCH", "g", 1, N_("starch")),
        Component("DEXTN", "g", 1, N_("maltodextrin")),
        Component("POLYL", "g", 1, N_("polyols")),
        Component("ERYTHL", "g", 1, N_("erythritol")),
        Component("OA", "g", 1, N_("organic acids")),
        Component("ALC", "g", 1, N_("alcohol")),
        Component("ASH", "g", 1, N_("ash")),
        Component("FASAT", "g", 1, N_("saturated fatty acids")),
        Component("FAMS", "g", 1, N_("monounsaturated fatty acids")),
        Component("FAPU", "g", 1, N_("polyunsaturated fatty acids")),
        Component("FATRN", "g", 1, N_("trans fatty acids")),
        Component("F4D0", "g", 2, N_("butyric acid C4:0")),
        Component("F6D0", "g", 2, N_("caproic acid C6:0")),
        Component("F8D0", "g", 2, N_("caprylic acid C8:0")),
        Component("F10D0", "g", 2, N_("capric acid C10:0")),
        Component("F12D0", "g", 2, N_("lauric acid C12:0")),
        Component("F14D0", "g", 2, N_("myristic acid C14:0")),
        Component("F16D0", "g", 2, N_("palmitic acid C16:0")),
        Component("F18D0", "g", 2, N_("stearic acid C18:0")),
        Component("CHOLE", "mg", 0, N_("cholesterol")),
        Component("NA", "mg", 0, N_("sodium")),
        Component("K", "mg", 0, N_("potassium")),
        Component("MG", "mg", 0, N_("magnesium")),
        Component("CA", "mg", 0, N_("calcium")),
        Component("FE", "mg", 1, N_("iron")),
        Component("P", "mg", 0, N_("phosphorus")),
        Component("ZN", "mg", 1, N_("zinc")),
        Component("CAFFN", "mg", 0, N_("caffeine")),
    )
}

_IN_100_G = {"g": 100.5, "mg": 100_500.0, "kcal": 1000.0}
HIGHEST: dict[str, float] = {tag: _IN_100_G[component.unit] for tag, component in COMPONENTS.items()}
"""The most that can be in 100 g: the whole of it and rounding; in kcal, pure fat has 902."""
