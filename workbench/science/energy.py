"""Food energy from grams: the factors of food law, specific factors, and the allowance for medium-chain fat."""

from typing import Final, NamedTuple

from workbench.science.interval import A

KJ_PER_KCAL: Final = 4.184  # thermochemical; Merrill & Watt, USDA Agriculture Handbook 74 (rev. 1973), preface


class Factors(NamedTuple):
    """Energy per gram of each constituent; available carbohydrate stands without polyols and organic acids.

    Polyols stand without erythritol.
    """

    protein: float
    fat: float
    carbohydrate: float
    fibre: float
    alcohol: float
    polyols: float
    organic_acids: float
    erythritol: float


# Regulation (EU) No 1169/2011, Annex XIV.  kJ and kcal are rounded separately by the law: compute each from grams.
EU_KJ: Final = Factors(17.0, 37.0, 17.0, 8.0, 29.0, 10.0, 13.0, 0.0)
EU_KCAL: Final = Factors(4.0, 9.0, 4.0, 2.0, 7.0, 2.4, 3.0, 0.0)

FAT_KCAL: Final = 9.0
ALCOHOL_KCAL: Final = 6.93  # Merrill & Watt, from memory
MEDIUM_CHAIN_KCAL: Final = (
    8.4  # Drug and Therapeutics Bulletin 1981;19(17):67, calorific value of medium-chain triglyceride
)


def energy(
    factors: Factors,
    *,
    protein_g: A,
    fat_g: A,
    carbohydrate_g: A,
    fibre_g: A,
    alcohol_g: A,
    polyols_g: A,
    organic_acids_g: A,
    erythritol_g: A,
) -> A:
    """Energy of a mixture from its constituents.

    Parameters
    ----------
    factors : Factors
        Energy per gram; ``EU_KJ`` or ``EU_KCAL``. [kJ/g or kcal/g]
    protein_g, fat_g, fibre_g, alcohol_g : float or Interval
        Grams. [g]
    carbohydrate_g : float or Interval
        Available carbohydrate, with the polyols and organic acids that it includes. [g]
    polyols_g, organic_acids_g : float or Interval
        Those parts of ``carbohydrate_g`` that have factors of their own. [g]
    erythritol_g : float or Interval
        The part of ``polyols_g`` that gives no energy. [g]

    Returns
    -------
    float or Interval
        Energy. [kJ or kcal]

    References
    ----------
    .. [1] Regulation (EU) No 1169/2011, Annex XIV.
    """
    return (
        protein_g * factors.protein
        + fat_g * factors.fat
        + carbohydrate_g * factors.carbohydrate
        + fibre_g * factors.fibre
        + alcohol_g * factors.alcohol
        + polyols_g * (factors.polyols - factors.carbohydrate)
        + organic_acids_g * (factors.organic_acids - factors.carbohydrate)
        + erythritol_g * (factors.erythritol - factors.polyols)
    )


def specific_energy_kcal(
    protein_g: A,
    fat_g: A,
    carbohydrate_g: A,
    alcohol_g: A,
    kcal_per_g: tuple[float, float, float],
) -> A:
    """Energy by food-specific factors on protein, fat and total carbohydrate (with fibre), and by one for alcohol.

    Parameters
    ----------
    protein_g, fat_g, carbohydrate_g, alcohol_g : float or Interval
        Grams; carbohydrate is by difference and includes fibre. [g]
    kcal_per_g : tuple of float
        Factors for protein, fat and carbohydrate. [kcal/g]

    Returns
    -------
    float or Interval
        Energy. [kcal]

    References
    ----------
    .. [1] Merrill & Watt, "Energy value of foods", USDA Agriculture Handbook 74, rev. 1973, Table 13.
    """
    by_food = protein_g * kcal_per_g[0] + fat_g * kcal_per_g[1] + carbohydrate_g * kcal_per_g[2]
    return by_food + alcohol_g * ALCOHOL_KCAL


def medium_chain_allowance_kcal(oil_g: A) -> A:
    """Energy that the law's fat factor counts too much for medium-chain triglyceride.

    Parameters
    ----------
    oil_g : float or Interval
        Medium-chain fat as triglyceride. [g]

    Returns
    -------
    float or Interval
        Allowance to subtract. [kcal]
    """
    return oil_g * (FAT_KCAL - MEDIUM_CHAIN_KCAL)


def salt_g(sodium_mg: A) -> A:
    """Salt as food law defines it: sodium times 2.5 (Regulation (EU) No 1169/2011, Annex I).

    Parameters
    ----------
    sodium_mg : float or Interval
        Sodium. [mg]

    Returns
    -------
    float or Interval
        Salt. [g]
    """
    return sodium_mg * 0.0025
