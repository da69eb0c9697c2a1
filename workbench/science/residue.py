"""Undigested estimates.  There is no agreed measure of residue: these are this program's own index, named as such."""

from typing import NamedTuple

from workbench.science.interval import A


class Digestibility(NamedTuple):
    """Apparent digestibility of protein, fat and total carbohydrate, as fractions from 0 to 1."""

    protein: float
    fat: float
    carbohydrate: float


def undigested_organic(protein_g: A, fat_g: A, total_carbohydrate_g: A, d: Digestibility) -> A:
    """Apparent undigested organic matter.

    Fibre is inside the carbohydrate term; it must not be added again.

    Parameters
    ----------
    protein_g, fat_g, total_carbohydrate_g : float or Interval
        Grams; carbohydrate includes fibre. [g]
    d : Digestibility
        Apparent digestibility of the food's group.

    Returns
    -------
    float or Interval
        Undigested matter. [g]

    References
    ----------
    .. [1] Coefficients: Merrill & Watt, USDA Agriculture Handbook 74, rev. 1973, Table 13.
    """
    return protein_g * (1 - d.protein) + fat_g * (1 - d.fat) + total_carbohydrate_g * (1 - d.carbohydrate)


def undigested_with_fibre(protein_g: A, fat_g: A, fibre_g: A, d: Digestibility) -> A:
    """Fibre, plus the undigested part of protein and fat.

    Parameters
    ----------
    protein_g, fat_g, fibre_g : float or Interval
        Grams. [g]
    d : Digestibility
        Apparent digestibility of the food's group; its carbohydrate part is not used.

    Returns
    -------
    float or Interval
        Undigested matter. [g]
    """
    return fibre_g + protein_g * (1 - d.protein) + fat_g * (1 - d.fat)
