"""Changes between two evaluations: what both have in common leaves no doubt, whatever it holds."""

import math

import pytest
from msgspec.structs import replace

from tests.support import NO_RULES, evaluated, make_food, make_line, make_project, make_variant
from workbench.composition.food import Food, Pack
from workbench.document.project import ByCount, Line, Project, WaterLost
from workbench.recipe.bound import Bound
from workbench.recipe.change import Changes, way
from workbench.recipe.evaluation import Evaluation

OATS = make_food("oats", {"CHOAVLDF": 60.0, "FIBTG": 10.0, "FAT": 7.0})
SYRUP = make_food("syrup", {"CHOAVLDF": 80.0, "FIBTG": 0.0, "FAT": 0.0, "K": 20.0})
FIGS = make_food("figs", {"CHOAVLDF": 54.0, "FAT": 1.0, "K": 680.0})  # whose fibre nobody published


def pair(before: list[Line], after: list[Line], foods: tuple[Food, ...] = (OATS, SYRUP, FIGS)) -> Changes:
    both = make_variant(*before, id="before"), make_variant(*after, id="after")
    project = make_project(foods, *both, assumptions=NO_RULES)
    return Changes(evaluated(project, "before"), evaluated(project, "after"))


def test_as_much_of_an_unknown_in_both_is_no_doubt() -> None:
    figs = make_line(FIGS, 50.0)
    change = pair([figs], [figs, make_line(OATS, 30.0)]).change("FIBTG", "batch")
    assert (change.low, change.value, change.high) == pytest.approx((3.0, 3.0, 3.0))
    assert change.certainty == "exact"


def test_more_of_it_opens_one_side_only_and_less_the_other() -> None:
    less, more, oats = make_line(FIGS, 50.0), make_line(FIGS, 60.0), make_line(OATS, 30.0)
    up = pair([less], [more, oats]).change("FIBTG", "batch")
    assert (up.low, up.high) == (pytest.approx(3.0), math.inf)
    assert math.isnan(up.value), "of the first nothing is known"
    down = pair([more, oats], [less]).change("FIBTG", "batch")
    assert (down.low, down.high) == (-math.inf, pytest.approx(-3.0))
    assert (way(up, 1), way(down, 1)) == ("up", "down"), "which way it went is certain all the same"


def test_no_limit_is_wider_than_some_filling_of_the_blank_reaches() -> None:
    """Fibre is a part of total carbohydrate: from none of it to all of it."""
    blank = make_food("cake", {"CHOCDF": 40.0})

    def change(food: Food) -> Bound:
        both = [[make_line(food, 50.0)], [make_line(food, 60.0), make_line(OATS, 30.0)]]
        return pair(*both, (food, OATS)).change("FIBTG", "batch")

    filled = [change(make_food("cake", {"CHOCDF": 40.0, "FIBTG": fibre})) for fibre in (0.0, 13.0, 40.0)]
    assert [found.certainty for found in filled] == ["exact"] * 3
    found = change(blank)
    assert (found.low, found.high) == pytest.approx((filled[0].value, filled[2].value))
    assert found.low <= filled[1].value <= found.high


def test_an_ingredient_on_two_lines_counts_as_a_whole() -> None:
    change = pair([make_line(FIGS, 50.0)], [make_line(FIGS, 20.0, "a"), make_line(FIGS, 30.0, "b")])
    assert change.change("FIBTG", "batch")[:3] == (0.0, 0.0, 0.0)


def test_the_piece_counts_not_the_batch() -> None:
    lines = [make_line(FIGS, 50.0), make_line(OATS, 50.0)]
    twice = [make_line(FIGS, 100.0), make_line(OATS, 100.0)]
    both = (
        make_variant(*lines, id="before", portioning=ByCount(count=10)),
        make_variant(*twice, id="after", portioning=ByCount(count=20)),
    )
    project = make_project([OATS, FIGS], *both, assumptions=NO_RULES)
    changes = Changes(evaluated(project, "before"), evaluated(project, "after"))
    for basis in ("portion", "per_100g", "per_25g_carbohydrate", "per_hour"):
        assert changes.change("FIBTG", basis)[:3] == pytest.approx((0.0, 0.0, 0.0)), basis  # type: ignore[arg-type]
    assert changes.change("FIBTG", "batch").high == math.inf
    assert changes.change("energy_from_fat", "batch")[:3] == (0.0, 0.0, 0.0), "the same mixture has the same ratios"


def test_drying_changes_the_water_beside_carbohydrate_and_nothing_else_beside_it() -> None:
    cake = make_food("cake", {"WATER": 50.0, "CHOCDF": 40.0, "FAT": 5.0})  # 0 to 40 g of it are fibre
    both = (
        make_variant(make_line(cake, 100.0), id="before"),
        make_variant(make_line(cake, 100.0), weight=WaterLost(amount=20.0), id="after"),
    )
    project = make_project([cake], *both, assumptions=NO_RULES)
    changes = Changes(evaluated(project, "before"), evaluated(project, "after"))
    assert changes.change("FAT", "per_25g_carbohydrate")[:3] == (0.0, 0.0, 0.0)
    # Of 100 g with all the carbohydrate there can be: 50 g water less 20 g beside 40 g, for 25 g.
    assert changes.change("WATER", "per_25g_carbohydrate").value == pytest.approx(-20.0 * 25.0 / 40.0)


def test_what_cooking_takes_from_an_unknown_is_not_in_common() -> None:
    figs = make_food("figs", {"CHOAVLDF": 54.0})
    before, after = make_line(figs, 50.0), make_line(figs, 50.0, retention={"K": 0.5})
    changes = pair([before], [after], (figs,))
    assert way(changes.change("K", "batch"), 0) == "cannot_tell"
    assert changes.change("CHOAVLDF", "batch").certainty == "exact"


def test_an_ingredient_edited_in_another_project_is_another_one() -> None:
    def of(food: Food) -> Evaluation:
        return evaluated(make_project([food], make_variant(make_line(food, 100.0)), assumptions=NO_RULES))

    edited = replace(FIGS, values={tag: v for tag, v in FIGS.values.items() if tag != "K"})
    assert Changes(of(FIGS), of(replace(FIGS))).change("FIBTG", "batch").certainty == "exact"
    assert way(Changes(of(FIGS), of(edited)).change("FIBTG", "batch"), 1) == "cannot_tell"


def test_prices_in_two_currencies_have_no_difference() -> None:
    def of(currency: str) -> Evaluation:
        food = replace(OATS, packs=(Pack(size_g=1000.0, price=2.0, currency=currency),))
        project: Project = make_project([food], make_variant(make_line(food, 100.0)))
        return evaluated(project)

    abroad = Changes(of("EUR"), of("USD"))
    assert math.isnan(abroad.change("cost", "batch").value)
    assert abroad.change("FAT", "batch")[:3] == (0.0, 0.0, 0.0), "what is not money has one"
    assert Changes(of("EUR"), of("EUR")).change("cost", "batch").value == 0.0


def test_without_a_valid_result_nothing_is_told() -> None:
    changes = pair([make_line(OATS, 50.0)], [make_line(OATS, 0.0)])
    assert way(changes.change("FAT", "portion"), 1) == "cannot_tell"
    assert math.isnan(changes.change("FAT", "portion").value)


@pytest.mark.parametrize(
    ("low", "high", "decimals", "said"),
    [
        (0.2, 0.4, 1, "up"),
        (-math.inf, -0.1, 1, "down"),
        (0.0, 0.4, 1, "cannot_tell"),  # it may be nothing
        (-0.1, 0.4, 1, "cannot_tell"),
        (-0.04, 0.04, 1, "same"),
        (0.01, math.inf, 0, "up"),
        (0.3, 0.4, 0, "same"),
    ],
)
def test_the_way_is_told_where_both_limits_agree(low: float, high: float, decimals: int, said: str) -> None:
    assert way(Bound(math.nan, low, high), decimals) == said
