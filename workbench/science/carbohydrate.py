"""What sugars and starch are made of: glucose-type, fructose-type and galactose."""

from typing import Final, NamedTuple


class Split(NamedTuple):
    """Shares of a carbohydrate, by mass of the carbohydrate itself; they add up to 1."""

    glucose: float
    fructose: float
    galactose: float


# Disaccharides are halved by mass, so that the parts of a food add up to its carbohydrate.
BY_MASS: Final = {
    "GLUS": Split(1.0, 0.0, 0.0),
    "FRUS": Split(0.0, 1.0, 0.0),
    "GALS": Split(0.0, 0.0, 1.0),
    "SUCS": Split(0.5, 0.5, 0.0),
    "LACS": Split(0.5, 0.0, 0.5),
    "MALS": Split(1.0, 0.0, 0.0),
    "STARCH": Split(1.0, 0.0, 0.0),
    "DEXTN": Split(1.0, 0.0, 0.0),
}

# Grams of monosaccharide from one gram on hydrolysis, from molar masses: 2 x 180.16 / 342.30 and 180.16 / 162.14.
HYDROLYSED: Final = {"SUCS": 1.0526, "LACS": 1.0526, "MALS": 1.0526, "STARCH": 1.111, "DEXTN": 1.111}


def hydrolysed(tag: str) -> Split:
    """Monosaccharides that one gram of a carbohydrate gives when it is digested.

    Parameters
    ----------
    tag : str
        INFOODS tagname, a key of ``BY_MASS``.

    Returns
    -------
    Split
        Grams of glucose, fructose and galactose; they add up to 1 or more. [g/g]
    """
    factor = HYDROLYSED.get(tag, 1.0)
    return Split(*(share * factor for share in BY_MASS[tag]))
