"""Weight and water through the stages of a process, for any amounts at once.

Every weight is a straight line in the amounts: a row of one coefficient per line, and a last one for what is added
whatever the amounts (water lost in grams).
"""

import numpy as np
import numpy.typing as npt

from workbench.document.project import FinalWater, Stage, Typical, Variant, WaterLost, Weighed
from workbench.recipe.quantities import INDEX
from workbench.science.yields import weight_at_water

Floats = npt.NDArray[np.float64]

_WATER, _FAT = INDEX["WATER"], INDEX["FAT"]


def fat_kept(stages: tuple[Stage, ...], first: int) -> float:
    """Fraction of its fat that a line entering at stage ``first`` carries out of the last stage."""
    kept = 1.0
    for stage in stages[first:]:
        for loss in stage.losses:
            if loss.kind == "fat_left":
                kept *= 1.0 - loss.percent / 100.0
    return kept


class Flow:
    """Weights of a variant's stages as rows on (amounts as entered, 1).

    Attributes
    ----------
    into, out, water_most : ndarray, shape (n_stages, n_lines + 1)
        Weight in, weight out, and the water that can be there at most after the stage. [g/g]
    water_change : ndarray, shape (n_lines + 1,)
        Water taken up or given off over all stages. [g/g]
    water_taken_up, water_given : ndarray, shape (n_stages, n_lines)
        Water that typical weights take up, and cooking water entered for it. [g/g]
    """

    def __init__(
        self,
        variant: Variant,
        stages: tuple[Stage, ...],
        line_stage: tuple[int, ...],
        edible: Floats,
        yields: Floats,
        value: Floats,
        high: Floats,
    ) -> None:
        n, s = len(edible), len(stages)
        self._stages = stages
        self._at_stage = np.array(line_stage, dtype=np.intp)
        self._edible, self._yields = edible, yields
        self._cooking_water = np.array([line.cooking_water for line in variant.lines], dtype=bool)
        # A variant used as an ingredient keeps its fat (see FAT_OF_VARIANT_STAYS), and the weight of it.
        of_food = np.array([line.food_ref.kind != "variant" for line in variant.lines], dtype=bool)
        self._fat_at_end = np.where(of_food, edible * value[:, _FAT], 0.0)
        self.into, self.out, self.water_most = (np.zeros((s, n + 1)) for _ in range(3))
        self.water_change = np.zeros(n + 1)
        self.water_taken_up, self.water_given = np.zeros((s, n)), np.zeros((s, n))
        own_water = edible * value[:, _WATER]
        own_water_most = edible * np.minimum(high[:, _WATER], 1.0)
        before = np.zeros(n + 1)
        for k, stage in enumerate(stages):
            into = before.copy()
            into[:n] += np.where(self._at_stage == k, edible, 0.0)
            inside = self._at_stage <= k
            water = self.water_change.copy()
            water[:n] += np.where(inside, own_water, 0.0)
            fat_left = self._fat_left(k)
            out = self._weight_out(k, stage, before, into, water, fat_left)
            self.water_change = self.water_change + out - into + fat_left
            self.water_most[k] = self.water_change
            self.water_most[k, :n] += np.where(inside, own_water_most, 0.0)
            self.into[k], self.out[k] = into, out
            before = out

    def _weight_out(
        self, k: int, stage: Stage, before: Floats, into: Floats, water: Floats, fat_left: Floats
    ) -> Floats:
        """Weight after a stage.  What a scale or the water says includes every loss; the other choices do not."""
        choice = stage.weight
        if isinstance(choice, Weighed):
            return into * (choice.out_g / choice.in_g)
        if isinstance(choice, FinalWater):
            return weight_at_water(into - fat_left, water, choice.percent)
        drained = sum(loss.percent for loss in stage.losses if loss.kind == "drained") / 100.0
        lost = into * drained + fat_left
        if isinstance(choice, WaterLost) and choice.unit == "%":
            return into * (1.0 - choice.amount / 100.0) - lost
        if isinstance(choice, WaterLost):
            out = into - lost
            out[-1] -= choice.amount
            return out
        if isinstance(choice, Typical):
            here = self._at_stage == k
            self.water_given[k] = np.where(here & self._cooking_water, self._edible, 0.0)
            grains = np.where(here & ~self._cooking_water, self._edible, 0.0)
            self.water_taken_up[k] = grains * np.maximum(self._yields - 1.0, 0.0)
            out = before - lost
            out[:-1] += grains * self._yields
            return out
        return into - lost

    def _fat_left(self, k: int) -> Floats:
        """Fat that stays behind in a stage.

        Rows hold the fat that is kept to the end; what enters this stage is that, divided by what this stage and those
        after it keep.
        """
        left = np.zeros(len(self._edible) + 1)
        here, after = fat_kept(self._stages, k), fat_kept(self._stages, k + 1)
        if here < after:
            left[:-1] = np.where(self._at_stage <= k, self._fat_at_end / here * (1.0 - here / after), 0.0)
        return left
