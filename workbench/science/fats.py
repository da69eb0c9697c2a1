"""Fatty acids and the triglyceride (oil) they are bound in."""

from typing import Final

# Molar masses of the free acids, g/mol, from the atomic masses C 12.011, H 1.008, O 15.999.
MOLAR_MASS: Final = {
    "F4D0": 88.106,
    "F6D0": 116.160,
    "F8D0": 144.214,
    "F10D0": 172.268,
    "F12D0": 200.322,
}
GLYCERYL: Final = 38.048  # glycerol 92.094 less three water 54.045: what one triglyceride adds to three acids, g/mol

MEDIUM_CHAIN: Final = ("F6D0", "F8D0", "F10D0")
MEDIUM_CHAIN_AND_LAURIC: Final = (*MEDIUM_CHAIN, "F12D0")


def oil_per_acid(tag: str) -> float:
    """Grams of triglyceride that hold one gram of a fatty acid.

    Parameters
    ----------
    tag : str
        INFOODS tagname of the acid, a key of ``MOLAR_MASS``.

    Returns
    -------
    float
        Ratio, above 1. [g/g]
    """
    return 1.0 + GLYCERYL / (3.0 * MOLAR_MASS[tag])
