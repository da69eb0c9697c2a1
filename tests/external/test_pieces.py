"""Two plant-based pieces worked by hand on USDA SR26 (NDB numbers) by weighing in and out.

The method is that of Greenfield & Southgate, "Food composition data", FAO 2003, appendix on recipes: the difference in
weight is water, totals are divided by the finished weight.  Energy by Regulation (EU) No 1169/2011, Annex XIV.
"""

import pytest

from tests.support import bundled_by_code, evaluation_of, without
from workbench.document.project import ByCount, Weighed
from workbench.recipe.evaluation import Evaluation

# Degermed cornmeal 20022 (enriched; in the table as 20422, the same figures), water 14411, light corn syrup 19350, raw
# coconut cream 12115, salt 2047.
MAIZE_SQUARE = {"20422": 300.0, "14411": 1100.0, "19350": 120.0, "12115": 60.0, "2047": 3.0}
# Roasted buckwheat groats 20009, dried figs 9094, sunflower kernels 12036, desiccated coconut 12108, maple syrup 19353.
BUCKWHEAT_BAR = {
    "20009": 200.0,
    "9094": 180.0,
    "12036": 60.0,
    "12108": 40.0,
    "19353": 80.0,
    "14411": 120.0,
    "2047": 3.0,
}


def _made(grams: dict[str, float], out_g: float, pieces: int, unknown: str = "") -> Evaluation:
    raw = sum(grams.values())
    tag, _in, of = unknown.partition(" in ")
    foods = {code: bundled_by_code(code) for code in grams}
    parts = [(g, without(foods[code], tag) if code == of else foods[code]) for code, g in grams.items()]
    return evaluation_of(parts, Weighed(in_g=raw, out_g=out_g), ByCount(count=pieces))


@pytest.fixture(scope="module")
def square() -> Evaluation:
    return _made(MAIZE_SQUARE, 1400.0, 20)


@pytest.fixture(scope="module")
def bar() -> Evaluation:
    return _made(BUCKWHEAT_BAR, 600.0, 10)


WORKED_PER_100_G = {
    "square": {"WATER": 72.083, "PROCNT": 1.679, "FAT": 1.878, "FASAT": 1.365, "CHOCDF": 23.892, "FIBTG": 0.930,
               "ASH": 0.468, "CHOAVLDF": 22.962, "mct_c6_c10": 0.195, "mct_c6_c12": 0.855},
    "bar": {"WATER": 22.958, "PROCNT": 7.442, "FAT": 10.638, "FASAT": 4.501, "CHOCDF": 56.660, "FIBTG": 8.320,
            "ASH": 2.304, "CHOAVLDF": 48.340, "mct_c6_c10": 0.579, "mct_c6_c12": 2.490},
}  # fmt: skip


@pytest.mark.parametrize("piece", ["square", "bar"])
def test_composition_per_100_g(piece: str, request: pytest.FixtureRequest) -> None:
    result: Evaluation = request.getfixturevalue(piece)
    worked = WORKED_PER_100_G[piece]
    assert {key: result.bound(key, "per_100g").value for key in worked} == pytest.approx(worked, abs=0.001)
    assert {key: result.bound(key, "per_100g").certainty for key in worked} == dict.fromkeys(worked, "exact")


def test_a_square_of_70_g(square: Evaluation) -> None:
    assert square.portions.piece_g == pytest.approx(70.0)
    assert square.bound("CHOAVLDF").value == pytest.approx(16.07, abs=0.01)
    assert square.bound("FIBTG").value == pytest.approx(0.651, abs=0.001)
    assert square.bound("FAT").value == pytest.approx(1.315, abs=0.001)
    assert square.bound("mct_c6_c10").value == pytest.approx(0.137, abs=0.001)
    assert square.bound("NA").value == pytest.approx(65.227, abs=0.01)


def test_a_bar_of_60_g(bar: Evaluation) -> None:
    assert bar.bound("CHOAVLDF").value == pytest.approx(29.00, abs=0.01)
    assert bar.bound("FIBTG").value == pytest.approx(4.992, abs=0.001)
    assert bar.bound("mct_c6_c10").value == pytest.approx(0.348, abs=0.001)
    assert bar.bound("mct_c6_c12").value == pytest.approx(1.494, abs=0.001)
    assert bar.bound("NA").value == pytest.approx(123.734, abs=0.01)


def test_energy_of_both_pieces_is_what_was_worked_out_by_hand(square: Evaluation, bar: Evaluation) -> None:
    for result, kj, kcal in ((square, 495.8, 117.3), (bar, 1408.5, 335.5)):
        assert result.bound("energy_kj", "per_100g").value == pytest.approx(kj, abs=0.1)
        assert result.bound("energy_kcal", "per_100g").value == pytest.approx(kcal, abs=0.1)


def test_undigested_organic_matter(square: Evaluation, bar: Evaluation) -> None:
    """Square: cornmeal 8.028, syrup 1.843, coconut cream 2.680 g; bar 44.920 g, of it buckwheat 21.632.

    The hand calculation left out the 0.2 % fat of the corn syrup (0.24 g x 0.10) and the traces of protein and fat in
    the maple syrup (0.032 g x 0.15 + 0.048 g x 0.10).
    """
    assert square.bound("residue_organic", "batch").value == pytest.approx(12.550 + 0.024, abs=0.002)
    assert bar.bound("residue_organic", "batch").value == pytest.approx(44.920 + 0.010, abs=0.002)
    assert square.contributions("residue_organic", "batch") == pytest.approx([8.028, 0, 1.867, 2.680, 0], abs=0.002)


def test_sugars_are_a_lower_limit_where_a_row_lacks_them() -> None:
    """SR26 has no sugars for coconut cream (12115) nor for roasted buckwheat (20009): known parts 6.925 and 24.181."""
    square = _made(MAIZE_SQUARE, 1400.0, 20, unknown="SUGAR in 12115")
    bar = _made(BUCKWHEAT_BAR, 600.0, 10, unknown="SUGAR in 20009")
    for result, known, name in ((square, 6.925, "coconut cream"), (bar, 24.181, "buckwheat")):
        sugars = result.bound("SUGAR", "per_100g")
        assert sugars.value == sugars.low == pytest.approx(known, abs=0.001)
        assert sugars.at_least and not sugars.at_most
        assert len(sugars.unknown) == 1 and name in sugars.unknown[0]


def test_pieces_for_60_g_carbohydrate_an_hour(square: Evaluation, bar: Evaluation) -> None:
    assert 60 / square.bound("CHOAVLDF").value == pytest.approx(3.73, abs=0.01)
    assert 60 / bar.bound("CHOAVLDF").value == pytest.approx(2.07, abs=0.01)
