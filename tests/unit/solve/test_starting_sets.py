"""The starting sets: readable targets that make sense, each with a source or said to have none."""

from msgspec.structs import replace

from tests.support import make_project, make_variant
from workbench.recipe.quantities import QUANTITIES
from workbench.solve.starting_sets import sets_on_offer, starting_target_set, starting_target_sets
from workbench.solve.wishes import wish_problems


def test_every_target_is_of_the_catalogue_and_says_where_it_comes_from() -> None:
    sets = starting_target_sets()
    assert [s.name for s in sets] == ["race piece", "long-ride piece"]
    for targets in sets:
        assert wish_problems(targets) == ()
        for target in targets.targets:
            assert target.basis in QUANTITIES[target.quantity].bases
            assert "common practice, no source" in target.source or any(
                year in target.source for year in ("2014", "2015", "2022")
            )


def test_published_guidance_stands_as_published() -> None:
    """Jeukendrup 2014: 60, 90 g/h; Rowlands et al. 2015: 0.5-1.0, best 0.8; Wallis & Podlogar 2022: 30-60 g/h."""
    race, ride = starting_target_set("race"), starting_target_set("long_ride")
    assert race is not None and ride is not None and starting_target_set("original") is None
    by_key = {(t.quantity, t.basis): t for t in race.targets}
    hour, ratio = by_key["CHOAVLDF", "per_hour"], by_key["fructose_to_glucose", "batch"]
    assert (hour.low, hour.high, hour.strength) == (60.0, 90.0, "prefer")
    assert (ratio.low, ratio.aim, ratio.high, ratio.strength) == (0.5, 0.8, 1.0, "prefer")
    ride_hour = next(t for t in ride.targets if t.basis == "per_hour")
    assert (ride_hour.low, ride_hour.high) == (30.0, 60.0)


def test_sets_taken_twice_are_two_sets() -> None:
    one, two = starting_target_sets()[0], starting_target_sets()[0]
    assert one.id != two.id and {t.id for t in one.targets}.isdisjoint(t.id for t in two.targets)


def test_no_two_sets_on_offer_have_the_same_name() -> None:
    own = replace(starting_target_sets()[0], targets=())
    offered = sets_on_offer(make_project([], make_variant(), target_sets=(own,)))
    assert [s.name for s in offered] == ["race piece", "long-ride piece"] and offered[0] is own
