"""Weight after cooking, from composition: dry matter stays, water moves."""

from typing import TypeVar

import numpy as np
import numpy.typing as npt

from workbench.base.errors import CalculationError
from workbench.base.text import _


def yield_from_dry_matter(water_raw_percent: float, water_cooked_percent: float) -> float:
    """Weight after cooking as a multiple of the raw weight, when only water moves.

    Parameters
    ----------
    water_raw_percent, water_cooked_percent : float
        Water per 100 g before and after, below 100. [%]

    Returns
    -------
    float
        Yield factor. [g/g]

    Raises
    ------
    CalculationError
        If the cooked food were all water.
    """
    dry = 100.0 - water_cooked_percent
    if dry <= 0:
        raise CalculationError(_("A cooked food cannot be all water."))
    return (100.0 - water_raw_percent) / dry


T = TypeVar("T", float, npt.NDArray[np.float64])


def weight_at_water(weight_g: T, water_g: T, target_percent: float) -> T:
    """Finished weight at which a batch holds a given share of water.

    Parameters
    ----------
    weight_g, water_g : float or ndarray
        Weight and water going in. [g]
    target_percent : float
        Water in the finished batch, below 100. [%]

    Returns
    -------
    float or ndarray
        Finished weight. [g]
    """
    return (weight_g - water_g) / (1.0 - target_percent / 100.0)
