"""Published compositions found again: survey recipes whose amounts were spoilt, and fructose to glucose of mixtures."""

from collections import defaultdict

import numpy as np
import pytest

from tests.external.test_fndds import COMPONENTS, _food, _rows
from tests.support import bundled_by_code, make_food, project_of
from workbench.document.project import ByCount, Target, TargetSet, WaterLost
from workbench.solve.matching import match
from workbench.solve.proposal import Options

RECIPES = sorted(row["fndds_code"] for row in _rows("survey_foods.csv"))


@pytest.mark.parametrize("code", RECIPES)
def test_a_spoilt_survey_recipe_is_found_again(code: str) -> None:
    """USDA FNDDS 2019-2020: every amount off by up to a third; the targets are the published figures, as near as
    the recipe itself comes to them (see test_fndds).  The answer changes no more than the recipe itself would."""
    foods = {row["ndb_no"]: _food(row) for row in _rows("survey_ingredients.csv")}
    lines = [(float(r["grams"]), foods[r["ndb_no"]]) for r in _rows("survey_recipes.csv") if r["fndds_code"] == code]
    (published,) = (row for row in _rows("survey_foods.csv") if row["fndds_code"] == code)
    rng = np.random.default_rng(int(code) % 2**32)
    spoilt = [(grams * float(np.exp(rng.uniform(-0.3, 0.3))), food) for grams, food in lines]
    weight = WaterLost(amount=-float(published["moisture_change_percent"]), unit="%")
    project = project_of(spoilt, weight)
    targets = []
    for tag in COMPONENTS:
        value = float(published[tag])
        allowed = max(0.02 * value, 5.0 if tag == "NA" else 0.5)
        targets.append(
            Target(id=tag, quantity=tag, basis="per_100g", low=max(value - allowed, 0.0), high=value + allowed)
        )
    proposal = match(project, project.variants[0], TargetSet(id="t", name=code, targets=tuple(targets)))
    assert proposal.met
    for target in targets:
        value = proposal.after.bound(target.quantity, "per_100g").value
        assert target.low is not None and target.high is not None
        assert (
            target.low - 0.5 * (target.quantity == "NA") - 0.05
            <= value
            <= target.high + 0.5 * (target.quantity == "NA") + 0.05
        )
    change = sum((c.after_g / c.before_g - 1) ** 2 for c in proposal.changes)
    back = sum((right[0] / wrong[0] - 1) ** 2 for right, wrong in zip(lines, spoilt, strict=True))
    assert change <= back + 1e-6


NOTHING = dict.fromkeys(("GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS", "STARCH", "DEXTN", "SUGAR", "FIBTG"), 0.0)
STARCH = make_food("starch", {**NOTHING, "CHOCDF": 100.0, "STARCH": 100.0})
SUCROSE = make_food("sucrose", {**NOTHING, "CHOCDF": 100.0, "SUGAR": 100.0, "SUCS": 100.0})


def ratio_is(value: float, key: str = "fructose_to_glucose") -> TargetSet:
    return TargetSet(id="t", name="ratio", targets=(Target(id="r", quantity=key, low=value, high=value),))


@pytest.mark.parametrize(("ratio", "sucrose_per_starch"), [(0.5, 2.0), (0.8, 8.0)])
def test_sucrose_on_starch(ratio: float, sucrose_per_starch: float) -> None:
    """(s/2) / (t + s/2): 0.5 needs s = 2 t, 0.8 needs s = 8 t (plain arithmetic); 90 g in all stay 90 g."""
    project = project_of([(45.0, STARCH), (45.0, SUCROSE)], portioning=ByCount(count=3))
    proposal = match(project, project.variants[0], ratio_is(ratio), Options(hold_batch_weight=True))
    starch, sucrose = proposal.amounts.values()
    assert sucrose / starch == pytest.approx(sucrose_per_starch, rel=1e-6)
    assert starch + sucrose == pytest.approx(90.0)


def test_agave_syrup_brings_a_starchy_piece_to_four_fifths() -> None:
    """Agave 19912 holds 55.60 g fructose and 12.43 g glucose; starch gives 1.111 times its weight of glucose:
    0.5560 a = 0.8 (0.1243 a + 1.111 t)."""
    agave = bundled_by_code("19912")
    project = project_of([(60.0, STARCH), (60.0, agave)])
    target = ratio_is(0.8, "fructose_to_glucose_hydrolysed")
    proposal = match(project, project.variants[0], target, Options(hold_batch_weight=True))
    starch, syrup = proposal.amounts.values()
    assert syrup / starch == pytest.approx(0.8 * 1.111 / (0.5560 - 0.8 * 0.1243), rel=2e-3)


def test_honey_and_sugar_hold_what_honey_alone_exceeds() -> None:
    """Honey 19296 has 1.097 after digestion, sugar 19335 has 1.000: 1.05 lies between, nothing above 1.097 can be."""
    project = project_of([(50.0, bundled_by_code("19296")), (50.0, bundled_by_code("19335"))])
    variant = project.variants[0]
    assert match(project, variant, ratio_is(1.05, "fructose_to_glucose_hydrolysed")).met
    above = match(project, variant, ratio_is(1.2, "fructose_to_glucose_hydrolysed"))
    assert not above.met
    assert above.after.bound("fructose_to_glucose_hydrolysed").value <= 1.097 + 0.002


def test_recipes_are_as_many_as_in_the_survey_check() -> None:
    counted = defaultdict(int)
    for row in _rows("survey_recipes.csv"):
        counted[row["fndds_code"]] += 1
    assert sorted(counted) == RECIPES and len(RECIPES) == 14
