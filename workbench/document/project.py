"""The project as data: variants of one recipe, the foods they use, targets, plans and trial batches.

Everything is frozen; an edit makes a new project that shares what did not change.  Ids are random and permanent within
their list; names may repeat.  A line keeps its id when a variant is copied, so that two variants can be compared line
by line.  This is schema version 1, which ``resources/schema`` publishes as JSON Schema; what was added since its first
release (``avoid``, ``nitrogen_factor`` of a food) is left out of older files and has a default.
"""

import os
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from workbench.composition.food import Food
from workbench.document.avoid import Avoid

FORMAT = "pocketfare-project"
SCHEMA_VERSION = 1

MOST_GRAMS = 1_000_000.0  # a tonne; more is a slip of the hand
Grams = Annotated[float, Meta(ge=0, le=MOST_GRAMS)]
Positive = Annotated[float, Meta(gt=0, le=1_000_000)]

Basis = Literal["batch", "portion", "per_100g", "per_25g_carbohydrate", "per_hour"]
StageKind = Literal["mix", "cook", "bake", "fold_in", "press", "cool", "other"]
Purpose = Literal["", "original", "plant_based", "race", "long_ride"]


def new_id() -> str:
    """A random id for a new object."""
    return os.urandom(6).hex()


# --- weight after a stage: one tagged choice --------------------------------------------------------------------


class Weighed(msgspec.Struct, frozen=True, kw_only=True, tag_field="how", tag="weighed"):
    """Weight in and weight out of a batch that was cooked; their ratio is kept when amounts change."""

    in_g: Positive
    out_g: Positive
    amounts: dict[str, Grams] = {}  # line id -> edible grams when it was weighed


class WaterLost(msgspec.Struct, frozen=True, kw_only=True, tag_field="how", tag="water_lost"):
    """Water that leaves the stage, in grams or in percent of the weight going in; negative where water is taken up."""

    amount: Annotated[float, Meta(ge=-1_000_000, le=1_000_000)]
    unit: Literal["g", "%"] = "g"


class FinalWater(msgspec.Struct, frozen=True, kw_only=True, tag_field="how", tag="final_water"):
    """The stage is cooked until its output holds this much water."""

    percent: Annotated[float, Meta(ge=0, lt=100)]


class Typical(msgspec.Struct, frozen=True, kw_only=True, tag_field="how", tag="typical"):
    """Each ingredient gives its typical weight after cooking; lines marked as cooking water are inside it already."""


class Unchanged(msgspec.Struct, frozen=True, kw_only=True, tag_field="how", tag="none"):
    """The weight stays as it is."""


WeightChoice = Weighed | WaterLost | FinalWater | Typical | Unchanged


class Loss(msgspec.Struct, frozen=True, kw_only=True):
    """Something that stays behind besides water given off, in percent.

    ``fat_left``: percent of the fat in the stage stays in the pan.  ``drained``: percent of the weight in is poured off
    as liquid, which is counted as water.
    """

    kind: Literal["fat_left", "drained"]
    percent: Annotated[float, Meta(ge=0, lt=100)]


class Stage(msgspec.Struct, frozen=True, kw_only=True):
    """One step of the process: takes its lines and the output of the stage before it."""

    id: str
    name: str = ""
    kind: StageKind = "mix"
    weight: WeightChoice = Unchanged()
    losses: tuple[Loss, ...] = ()
    minutes: Annotated[float, Meta(ge=0, le=100_000)] | None = None
    temperature_degC: Annotated[float, Meta(ge=-100, le=500)] | None = None
    text: str = ""


# --- lines ------------------------------------------------------------------------------------------------------


class FoodRef(msgspec.Struct, frozen=True, kw_only=True):
    """What a line is made of: a food of the project's snapshot, or another variant of the project."""

    kind: Literal["bundled", "library", "own", "variant"]
    id: str


class Line(msgspec.Struct, frozen=True, kw_only=True):
    """One ingredient line.  ``amount_g`` is the truth; ``entered`` remembers how it was typed."""

    id: str
    stage_id: str
    food_ref: FoodRef
    amount_g: Grams
    entered: str = ""
    as_bought: bool = False  # the amount includes what is trimmed off
    cooking_water: bool = False  # already inside the typical weight after cooking of the grain
    lock: bool = False
    min_g: Grams | None = None
    max_g: Grams | None = None
    step_g: Positive | None = None
    group: str = ""  # lines of one group keep their proportion
    retention: dict[str, Annotated[float, Meta(ge=0, le=2)]] = {}  # component -> fraction kept; 1 where absent
    note: str = ""


# --- portions ---------------------------------------------------------------------------------------------------


class ByCount(msgspec.Struct, frozen=True, kw_only=True, tag_field="by", tag="count"):
    """The batch is cut into this many pieces."""

    count: Annotated[int, Meta(ge=1, le=100_000)]
    trimmings_percent: Annotated[float, Meta(ge=0, lt=100)] = 0.0


class ByWeight(msgspec.Struct, frozen=True, kw_only=True, tag_field="by", tag="weight"):
    """Pieces of this weight are formed until the batch is used up."""

    piece_g: Positive
    trimmings_percent: Annotated[float, Meta(ge=0, lt=100)] = 0.0


Portioning = ByCount | ByWeight


class Variant(msgspec.Struct, frozen=True, kw_only=True):
    """One version of the recipe."""

    id: str
    name: str
    purpose: Purpose = ""
    parent_id: str | None = None
    lines: tuple[Line, ...] = ()
    stages: tuple[Stage, ...] = ()
    portioning: Portioning = ByCount(count=1)
    hold_batch_weight: bool = False  # a drag makes the other unlocked lines give way
    pace_per_hour: Annotated[float, Meta(ge=0, le=100)] = 3.0
    target_set_id: str | None = None
    notes: str = ""
    avoid: Avoid | None = None  # what must not be in it; absent: what the project says


# --- targets, plans, trials ---------------------------------------------------------------------------------------


class Target(msgspec.Struct, frozen=True, kw_only=True):
    """A wish for one quantity on one basis."""

    id: str
    quantity: str
    basis: Basis = "portion"
    low: float | None = None
    high: float | None = None
    aim: float | None = None
    strength: Literal["must", "prefer"] = "must"
    source: str = ""


class TargetSet(msgspec.Struct, frozen=True, kw_only=True):
    """Targets under one name, usable by several variants."""

    id: str
    name: str
    targets: tuple[Target, ...] = ()


class PlanItem(msgspec.Struct, frozen=True, kw_only=True):
    """So many pieces of a variant, eaten from this hour on."""

    variant_id: str
    hour: Annotated[float, Meta(ge=0, le=1000)]
    pieces: Annotated[float, Meta(ge=0, le=10_000)]


class Plan(msgspec.Struct, frozen=True, kw_only=True):
    """Fuelling of one event."""

    id: str
    name: str
    hours: Annotated[float, Meta(gt=0, le=1000)]
    resupply_hours: tuple[Annotated[float, Meta(ge=0, le=1000)], ...] = ()
    items: tuple[PlanItem, ...] = ()
    riders: Annotated[int, Meta(ge=1, le=10_000)] = 1
    notes: str = ""


class StageWeights(msgspec.Struct, frozen=True, kw_only=True):
    """What the scale said before and after a stage of a trial batch."""

    stage_id: str
    in_g: Positive | None = None
    out_g: Positive | None = None


class Trial(msgspec.Struct, frozen=True, kw_only=True):
    """A batch that was really made."""

    id: str
    variant_id: str
    date: str = ""  # ISO 8601
    amounts: dict[str, Grams] = {}  # line id -> grams
    stages: tuple[StageWeights, ...] = ()
    piece_weights_g: tuple[Positive, ...] = ()
    notes: str = ""


class Assumptions(msgspec.Struct, frozen=True, kw_only=True):
    """The switches that fill gaps and name what is shown; every one is visible and can be turned off."""

    true_zeros: bool = True
    starch_by_difference: bool = True
    medium_chain_from_profile: bool = True
    lauric_counts: bool = False  # count C12:0 into medium-chain fat


class Project(msgspec.Struct, frozen=True, kw_only=True):
    """A whole project file."""

    format: Literal["pocketfare-project"] = "pocketfare-project"
    schema_version: Literal[1] = 1
    id: str
    title: str
    measures: Literal["metric", "us"] = "metric"
    assumptions: Assumptions = Assumptions()
    foods: dict[str, Food] = {}
    target_sets: tuple[TargetSet, ...] = ()
    variants: tuple[Variant, ...] = ()
    plans: tuple[Plan, ...] = ()
    trials: tuple[Trial, ...] = ()
    notes: str = ""
    avoid: Avoid = Avoid()  # what must not be in any variant that has no wish of its own

    def variant(self, variant_id: str) -> Variant:
        """The variant with this id.

        Raises
        ------
        KeyError
            If there is none.
        """
        for variant in self.variants:
            if variant.id == variant_id:
                return variant
        raise KeyError(variant_id)

    def targets_of(self, variant: Variant) -> TargetSet | None:
        """The set of targets that a variant uses; None where it uses none, or one that is gone."""
        return next((targets for targets in self.target_sets if targets.id == variant.target_set_id), None)

    def wish_of(self, variant: Variant) -> Avoid:
        """What a variant must not hold: its own wish, or else that of the project."""
        return self.avoid if variant.avoid is None else variant.avoid
