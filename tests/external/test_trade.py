"""Rules of thumb of the trade, marked "common practice, no source", beside the table and the ready projects."""

import pytest

from tests.support import bundled_by_code, evaluated, evaluation_of
from workbench.base.paths import demo_projects
from workbench.document.project import Typical
from workbench.storage.project_file import load_project

DEMOS = sorted(path.name for path in demo_projects().glob("*.fare"))


@pytest.mark.parametrize(
    ("code", "parts_of_water"),
    [
        ("20452", 2.0),  # short-grain rice, pressed into cakes
        ("20444", 2.0),  # long-grain rice
        ("20035", 2.0),  # quinoa
        ("20031", 2.5),  # millet
    ],
)
def test_water_for_a_grain_covers_what_it_takes_up(code: str, parts_of_water: float) -> None:
    """Parts of water by weight: common practice, no source.  The typical weight takes up that much or a little less,
    because some boils off; and not so much less that half of it would have to."""
    grain, water = bundled_by_code(code), bundled_by_code("14411")
    result = evaluation_of([(100.0, grain)], weight=Typical())
    taken_up = result.finished_g - 100.0
    assert 0.5 * 100 * parts_of_water < taken_up <= 100 * parts_of_water + 10
    assert [p.code for p in result.problems] == ["cooking_water_short"], "and says so when the water is forgotten"
    enough = evaluation_of([(100.0, grain), (0.0, water)], weight=Typical())
    assert enough.finished_g == result.finished_g


@pytest.mark.parametrize("name", DEMOS)
def test_pieces_of_the_demos_fit_pocket_and_hour(name: str) -> None:
    """Common practice, no source: a wrapped piece weighs 30-100 g; two to four an hour give 50-90 g carbohydrate."""
    project = load_project(demo_projects() / name).project
    for variant in project.variants:
        result = evaluated(project, variant.id)
        assert 30.0 <= result.portions.piece_g <= 100.0, variant.name
        assert 2.0 <= variant.pace_per_hour <= 4.0, variant.name
        hourly = result.bound("CHOAVLDF", "per_hour")
        assert 50.0 <= hourly.low <= hourly.high <= 90.0, variant.name


@pytest.mark.parametrize("name", DEMOS)
def test_race_pieces_are_what_the_trade_calls_one(name: str) -> None:
    """Common practice, no source: 20-25 g carbohydrate, at most about 1 g fibre.  A low-fibre day has at most 10 g
    (Vanhauwaert et al. 2015, Adv Nutr 6:820); six race pieces stay below it.
    """
    project = load_project(demo_projects() / name).project
    races = [variant for variant in project.variants if variant.purpose == "race"]
    assert races
    for variant in races:
        result = evaluated(project, variant.id)
        carbohydrate, fibre = result.bound("CHOAVLDF"), result.bound("FIBTG")
        assert 20.0 <= carbohydrate.low <= carbohydrate.high <= 25.5, variant.name
        assert fibre.high <= 1.0, variant.name
        assert 6 * fibre.high < 10.0
