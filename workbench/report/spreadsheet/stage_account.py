"""What the stages did to weight and water, figure by figure: the values beside the formulas of the stage table."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from workbench.base.text import _
from workbench.document.project import FinalWater, Project, Stage, Typical, WaterLost, Weighed, WeightChoice
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.flow import fat_kept
from workbench.recipe.quantities import INDEX
from workbench.recipe.words import STAGE_KINDS
from workbench.report.spreadsheet import places as at
from workbench.report.spreadsheet.safe_text import short_name


class StageAccount(NamedTuple):
    """One stage at the amounts of an evaluation. [g]"""

    enters_g: float
    before_g: float
    into_g: float
    water_g: float  # known water before anything happens
    fat_left_g: float
    drained_g: float
    out_g: float
    change_g: float  # water taken up, or lost where negative
    water_most_g: float


def account(evaluation: Evaluation, project: Project) -> list[StageAccount]:
    """The stages of an evaluation; weights in and out are the engine's, the rest follows from them."""
    prepared = evaluation.prepared
    at_stage, edible = np.array(prepared.line_stage), evaluation.edible_g
    own_water = edible * prepared.row_value[:, INDEX["WATER"]]
    of_food = np.array([line.food_ref.kind != "variant" for line in prepared.variant.lines], dtype=bool)
    fat_at_end = np.where(of_food, edible * prepared.row_value[:, INDEX["FAT"]], 0.0)
    made: list[StageAccount] = []
    change = 0.0
    for k, stage in enumerate(prepared.stages):
        into, out = float(evaluation.stage_in_g[k]), float(evaluation.stage_out_g[k])
        inside = at_stage <= k
        kept, after = fat_kept(prepared.stages, k), fat_kept(prepared.stages, k + 1)
        fat_left = float(fat_at_end[inside].sum()) * (1 / kept - 1 / after)
        drained = into * sum(loss.percent for loss in stage.losses if loss.kind == "drained") / 100
        moved = out - into + fat_left
        made.append(
            StageAccount(
                float(edible[at_stage == k].sum()),
                made[-1].out_g if made else 0.0,
                into,
                change + float(own_water[inside].sum()),
                fat_left,
                drained,
                out,
                moved,
                float(evaluation.stage_water_high_g[k]),
            )
        )
        change += moved
    return made


def weight_formula(choice: WeightChoice, here: Callable[[int], str], grains: str) -> str:
    """Weight after a stage as ``recipe.flow`` has it.

    Parameters
    ----------
    choice : WeightChoice
        How the weight is known.
    here : callable
        Address of a column in the row of the stage.
    grains : str
        What the lines of the stage weigh at their typical yields.
    """
    into, fat, lost = here(at.INTO), here(at.FAT_LEFT), f"{here(at.DRAINED)}-{here(at.FAT_LEFT)}"
    first = here(at.FIRST)
    if isinstance(choice, Weighed):
        return f"{into}*{here(at.SECOND)}/{first}"
    if isinstance(choice, FinalWater):
        return f"({into}-{fat}-{here(at.WATER_IN)})/(1-{first}/100)"
    if isinstance(choice, WaterLost) and choice.unit == "%":
        return f"{into}*(1-{first}/100)-{lost}"
    if isinstance(choice, WaterLost):
        return f"{into}-{first}-{lost}"
    if isinstance(choice, Typical):
        return f"{here(at.BEFORE)}+{grains}-{lost}"
    return f"{into}-{lost}"


def stage_title(k: int, stage: Stage) -> str:
    """Number, name and kind of a stage."""
    kind = _(STAGE_KINDS[stage.kind])
    named = stage.name and stage.name != kind
    return f"{k + 1}. {short_name(stage.name)} ({kind})" if named else f"{k + 1}. {kind}"
