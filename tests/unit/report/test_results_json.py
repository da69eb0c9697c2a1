"""Results for other programs: null only where nothing is known, no infinities, every catalogued quantity."""

import json
import math

import pytest

from tests.support import NO_RULES, evaluation_of, make_food
from workbench.document.project import ByWeight, WaterLost
from workbench.recipe.bound import NOT_KNOWN, Bound
from workbench.recipe.quantities import QUANTITIES
from workbench.report.results_json import bound_data, variant_data

RICE = make_food("rice", {"WATER": 13.0, "CHOCDF": 79.0, "PROCNT": 6.5, "FAT": 0.5, "NA": 1.0})
SALT = make_food("salt", {"NA": 38758.0})


@pytest.mark.parametrize(
    ("bound", "data"),
    [
        (Bound(2.0, 2.0, 2.0), (2.0, 2.0, 2.0, False, False)),
        (Bound(0.0, 0.0, 0.0), (0.0, 0.0, 0.0, False, False)),
        (Bound(2.0, 2.0, math.inf, ("rice",)), (2.0, 2.0, None, True, False)),
        (Bound(79.0, 0.0, 79.0, ("rice",)), (79.0, 0.0, 79.0, False, True)),
        (Bound(5.0, 4.0, 6.0, ("rice",)), (5.0, 4.0, 6.0, True, True)),
        (Bound(0.0, 0.0, math.inf, ("rice",)), (None, 0.0, None, True, False)),
        (NOT_KNOWN, (None, 0.0, None, True, False)),
        (Bound(math.nan, math.nan, math.inf), (None, None, None, True, False)),  # 0 / 0
    ],
)
def test_a_figure_is_written_with_its_limits_and_what_is_not_known(
    bound: Bound, data: tuple[float | None, float | None, float | None, bool, bool]
) -> None:
    found = bound_data(bound)
    assert tuple(found[key] for key in ("value", "low", "high", "at_least", "at_most")) == data
    assert found["unknown"] == list(bound.unknown)


def test_a_variant_is_written_without_infinities_on_every_basis() -> None:
    data = variant_data(evaluation_of([(100.0, RICE), (2.0, SALT)], portioning=ByWeight(piece_g=30.0)))
    strict = json.loads(json.dumps(data, allow_nan=False))
    assert strict == data, "plain data, without infinities"
    assert data["batch"]["mass_g"] == pytest.approx(102.0)
    assert data["portion"]["whole_pieces"] == 3
    assert data["portion"]["left_over_g"] == pytest.approx(12.0)
    for basis in ("batch", "portion", "per_100g"):
        assert data[basis]["components"].keys() == QUANTITIES.keys()
    sodium = data["batch"]["components"]["NA"]
    assert (sodium["value"], sodium["unknown"]) == (pytest.approx(1.0 + 775.16), [])


def test_null_stands_only_where_nothing_is_known() -> None:
    data = variant_data(evaluation_of([(100.0, RICE), (2.0, SALT)], assumptions=NO_RULES))["batch"]["components"]
    assert data["FIBTG"]["value"] is None
    assert data["FIBTG"]["unknown"] == ["rice", "salt"]
    carbohydrate = data["CHOCDF"]
    assert (carbohydrate["value"], carbohydrate["high"], carbohydrate["at_least"]) == (79.0, None, True)
    assert carbohydrate["unknown"] == ["salt"]


def test_without_a_valid_result_there_are_no_figures() -> None:
    data = variant_data(evaluation_of([(100.0, RICE)], WaterLost(amount=50.0)))
    assert data["batch"] is data["portion"] is data["per_100g"] is None
    (problem,) = data["problems"]
    assert problem["code"] == "negative_water"
    assert problem["severity"] == "error"
    assert problem["where"] and problem["hint"]
