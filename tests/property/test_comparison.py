"""Limits of a change hold the truth, whatever the blanks of the ingredients that two variants have in common."""

import math

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, composite
from msgspec.structs import replace

from tests.property.recipes import Truth, complete_foods, foods_with_blanks
from tests.support import NO_RULES, evaluated, make_line, make_project, make_variant, without
from workbench.document.project import (
    Basis,
    ByCount,
    ByWeight,
    FinalWater,
    Line,
    Project,
    Typical,
    Unchanged,
    Variant,
    WaterLost,
    Weighed,
)
from workbench.recipe.bound import Bound
from workbench.recipe.change import Changes, way
from workbench.recipe.quantities import BASES, QUANTITIES

_grams = st.sampled_from((0.0, 40.0, 100.0, 100.0, 260.0))
_weights = st.sampled_from(
    (
        Unchanged(),
        Typical(),
        WaterLost(amount=15.0, unit="%"),
        WaterLost(amount=20.0),
        Weighed(in_g=100.0, out_g=92.0),
        FinalWater(percent=30.0),
    )
)
_portions = st.sampled_from((ByCount(count=7), ByCount(count=12), ByWeight(piece_g=35.0, trimmings_percent=4.0)))


@composite
def pairs(draw: DrawFn) -> tuple[Project, Project, frozenset[str]]:
    """Two variants of the same one to three foods as they are, the same with blanks, and the blanks."""
    truths = [draw(foods_with_blanks()) for _ in range(draw(st.integers(1, 3)))]
    truths = [Truth(replace(t.food, id=f"f{k}", name=f"f{k}"), t.blanks - {"WATER"}) for k, t in enumerate(truths)]
    water = replace(draw(complete_foods("rest")), id="rest", name="rest")

    def variant(name: str) -> Variant:
        lines: list[Line] = []
        for t in truths:
            retention = draw(st.sampled_from(({}, {}, {"K": 0.8})))
            as_bought = draw(st.booleans())
            lines.append(make_line(t.food, draw(_grams), as_bought=as_bought, retention=retention))
            if draw(st.booleans()):  # the same ingredient on two lines
                lines.append(make_line(t.food, draw(_grams), f"{t.food.id} again"))
        lines.append(make_line(water, 80.0))
        pace = draw(st.sampled_from((2.0, 3.0)))
        return make_variant(
            *lines, weight=draw(_weights), portioning=draw(_portions), id=name, name=name, pace_per_hour=pace
        )

    both = variant("before"), variant("after")
    foods = [t.food for t in truths]
    whole = make_project([*foods, water], *both, assumptions=NO_RULES)
    blank = make_project([*(without(t.food, *t.blanks) for t in truths), water], *both, assumptions=NO_RULES)
    return whole, blank, frozenset().union(*(t.blanks for t in truths))


def told(blanks: frozenset[str]) -> list[str]:
    """Quantities whose limits are not those of a convention: without alcohol, polyols or acids energies follow one."""
    convention = {"energy_specific_kcal"} if "ALC" in blanks else set()
    if blanks & {"ALC", "POLYL", "OA"}:
        convention |= {key for key in QUANTITIES if key.startswith("energy")}
    return [key for key in QUANTITIES if key not in convention]


@settings(max_examples=150)
@given(pairs(), st.sampled_from(BASES))
def test_a_change_holds_the_truth(pair: tuple[Project, Project, frozenset[str]], basis: Basis) -> None:
    whole, blank, blanks = pair
    truth = [evaluated(whole, name) for name in ("before", "after")]
    seen = [evaluated(blank, name) for name in ("before", "after")]
    assume(all(each.valid for each in (*truth, *seen)))
    changes = Changes(*seen)
    for key in told(blanks):
        was, became = (each.bound(key, basis) for each in truth)
        change = changes.change(key, basis)
        really = became.value - was.value
        if math.isnan(really):
            continue
        slack = 1e-7 * (1.0 + abs(was.value) + abs(became.value))
        assert change.low - slack <= really <= change.high + slack, (key, basis, change, really)
        assert math.isnan(change.value) or change.low <= change.value <= change.high, (key, change)
        decimals = QUANTITIES[key].decimals
        said, right = way(change, decimals), way(Bound(really, really, really), 12)
        assert said in ("cannot_tell", "same") or said == right or abs(really) <= slack, (key, change, really)
        if said == "same":
            assert abs(really) <= 0.5 * 10.0**-decimals + slack, (key, change, really)
        # Never wider than the two figures alone leave it.
        before, after = (each.bound(key, basis) for each in seen)
        if not math.isnan(after.low - before.high):
            assert change.low >= after.low - before.high - slack, key
