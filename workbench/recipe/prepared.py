"""Prepared: a variant made ready for evaluation, as plain arrays."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from workbench.base.errors import Problem
from workbench.document.project import Stage, Variant

Floats = npt.NDArray[np.float64]


class Prepared(NamedTuple):
    """A variant made ready for ``evaluate``.

    ``matrix`` has shape (n_lines, 4 * n_linear + 3 * n_stages) and is per gram as entered; ``constant`` is what is
    added whatever the amounts (water lost in grams).
    """

    variant: Variant
    names: tuple[str, ...]
    matrix: Floats
    constant: Floats
    row_value: Floats  # (n_lines, n_linear), per gram of edible part, as are the two limits
    row_low: Floats
    row_high: Floats
    unknown: npt.NDArray[np.bool_]  # (n_lines, n_linear)
    edible_fraction: Floats  # (n_lines,); 1 where the amount is edible already
    stages: tuple[Stage, ...]
    line_stage: tuple[int, ...]
    water_taken_up: Floats  # (n_stages, n_lines): g water taken up per g as entered, typical weights only
    water_given: Floats  # (n_stages, n_lines): 1 for cooking water, typical weights only
    problems: tuple[Problem, ...]
    currency: str = ""  # that costs are counted in; "" where nothing is priced

    @property
    def broken(self) -> bool:
        """Whether a problem forbids showing any figure."""
        return any(problem.severity == "error" for problem in self.problems)

    def typical_water(self, stage: int, amount_g: Floats) -> tuple[float, float]:
        """Water that the typical weights of a stage take up, and cooking water entered for it. [g]"""
        return float(self.water_taken_up[stage] @ amount_g), float(self.water_given[stage] @ amount_g)
