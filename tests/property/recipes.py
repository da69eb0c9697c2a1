"""Foods and recipes for property tests: complete foods whose parts add up to 100 g, and recipes made of them.

A complete food plays the truth: nothing in it is unknown, so that a test can blank some of it and look whether the
limits still hold the truth.
"""

from typing import NamedTuple

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy, composite

from tests.support import make_food, make_line, make_project, make_variant
from workbench.composition.bundled import digestibility_groups
from workbench.composition.food import Food, Pack
from workbench.document.project import (
    ByCount,
    ByWeight,
    FinalWater,
    Loss,
    Project,
    Stage,
    Typical,
    Unchanged,
    WaterLost,
    Weighed,
    WeightChoice,
)

SUGARS = ("GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS")
OTHER_CARBOHYDRATE = ("STARCH", "DEXTN", "POLYL", "OA")
ACIDS = ("F4D0", "F6D0", "F8D0", "F10D0", "F12D0", "F14D0", "F16D0", "F18D0")
_CONSTITUENTS = ("WATER", "PROCNT", "FAT", "FIBSOL", "FIBINS", *SUGARS, *OTHER_CARBOHYDRATE, "unnamed", "ASH", "ALC")
_FAT_PARTS = (*ACIDS, "unnamed acid", "FAMS", "FAPU", "glycerol")
_MILLIGRAMS = ("NA", "K", "MG", "CA", "FE", "P", "ZN", "CAFFN", "CHOLE")
_WHOLE_GROUPS = sorted(
    key for key, d in digestibility_groups().items() if None not in (d.d_protein, d.d_fat, d.d_carbohydrate)
)

_share = st.integers(0, 60)
_FREE = (Pack(size_g=1000.0, price=0.0),)  # water from the tap
_name = st.sampled_from(("oats", "figs", "syrup", "coconut", "rice"))


def _parts(draw: DrawFn, names: tuple[str, ...], whole: float) -> dict[str, float]:
    """``whole`` cut up among the names; many of them get nothing."""
    shares = [draw(_share) * draw(st.booleans()) for _ in names]
    if not any(shares):
        shares[0] = 1
    return {name: whole * share / sum(shares) for name, share in zip(names, shares, strict=True)}


@composite
def complete_foods(draw: DrawFn, food_id: str = "food", unnamed: bool = True) -> Food:
    """A food of which everything is known and consistent: constituents add up to 100 g, parts to their wholes."""
    names = _CONSTITUENTS if unnamed else tuple(name for name in _CONSTITUENTS if name != "unnamed")
    amounts = _parts(draw, names, 100.0)
    fat = _parts(draw, _FAT_PARTS, amounts["FAT"])
    amounts |= {tag: fat[tag] for tag in (*ACIDS, "FAMS", "FAPU")}
    amounts["FASAT"] = sum(fat[tag] for tag in (*ACIDS, "unnamed acid"))
    amounts["FATRN"] = fat["FAMS"] * draw(st.sampled_from((0.0, 0.1)))
    amounts["ERYTHL"] = amounts["POLYL"] * draw(st.sampled_from((0.0, 0.4)))
    amounts["FIBTG"] = amounts["FIBSOL"] + amounts["FIBINS"]
    amounts["SUGAR"] = sum(amounts[tag] for tag in SUGARS)
    rest = amounts.pop("unnamed", 0.0)
    amounts["CHOAVLDF"] = amounts["SUGAR"] + sum(amounts[tag] for tag in OTHER_CARBOHYDRATE) + rest
    amounts["CHOCDF"] = amounts["CHOAVLDF"] + amounts["FIBTG"]
    amounts |= {tag: float(draw(st.integers(0, 500))) for tag in _MILLIGRAMS}
    facts = {
        "digestibility": draw(st.sampled_from(_WHOLE_GROUPS)),
        "edible_fraction": draw(st.sampled_from((1.0, 0.64))),
        "typical_yield": draw(st.sampled_from((None, 1.0, 2.8))),
        "packs": (Pack(size_g=500.0, price=float(draw(st.integers(0, 9)))),),
    }
    return make_food(food_id, amounts, **facts)


class Truth(NamedTuple):
    """A complete food, and the components to be forgotten."""

    food: Food
    blanks: frozenset[str]


@composite
def foods_with_blanks(draw: DrawFn) -> Truth:
    """A complete food and what to forget of it."""
    food = draw(complete_foods())
    return Truth(food, draw(st.frozensets(st.sampled_from(sorted(food.values)), min_size=1, max_size=30)))


grams: SearchStrategy[float] = st.integers(1, 900).map(float)

_losses = st.lists(
    st.builds(Loss, kind=st.sampled_from(("fat_left", "drained")), percent=st.sampled_from((2.0, 5.0))), max_size=2
).map(tuple)

# Weights that scale with the batch: all of them but water lost in grams.
proportional_weights: SearchStrategy[WeightChoice] = st.one_of(
    st.just(Unchanged()),
    st.just(Typical()),
    st.builds(WaterLost, amount=st.sampled_from((-20.0, 5.0, 15.0)), unit=st.just("%")),
    st.builds(Weighed, in_g=st.just(1000.0), out_g=st.sampled_from((800.0, 950.0, 1300.0))),
    st.builds(FinalWater, percent=st.sampled_from((20.0, 45.0, 70.0))),
)
all_weights: SearchStrategy[WeightChoice] = proportional_weights | st.builds(
    WaterLost, amount=st.sampled_from((-30.0, 10.0, 40.0)), unit=st.just("g")
)


@composite
def recipes(draw: DrawFn, weights: SearchStrategy[WeightChoice] = all_weights, losses: bool = True) -> Project:
    """A project with one variant "v": one to four complete foods in one to three stages, always with some water."""
    n = draw(st.integers(1, 4))
    foods = [draw(complete_foods(f"food{k}")) for k in range(n)]
    water = make_food(
        "water", dict.fromkeys(foods[0].values, 0.0) | {"WATER": 100.0}, digestibility="none", packs=_FREE
    )
    kinds = st.lists(st.tuples(weights, _losses if losses else st.just(())), min_size=1, max_size=3)
    stages = tuple(Stage(id=f"s{k + 1}", weight=w, losses=lost) for k, (w, lost) in enumerate(draw(kinds)))
    at = st.sampled_from([stage.id for stage in stages])
    lines = [
        make_line(food, draw(grams), stage_id=draw(at), as_bought=draw(st.booleans()), retention=draw(_retentions))
        for food in foods
    ]
    lines.append(make_line(water, 400.0, stage_id="s1", cooking_water=draw(st.booleans())))
    portioning = draw(st.sampled_from((ByCount(count=12), ByWeight(piece_g=35.0, trimmings_percent=4.0))))
    variant = make_variant(*lines, stages=stages, portioning=portioning)
    return make_project([*foods, water], variant)


# Minerals only: what a retention takes off a constituent would leave the batch without leaving its weight.
_retentions = st.sampled_from(({}, {"K": 0.8, "MG": 0.9}))
