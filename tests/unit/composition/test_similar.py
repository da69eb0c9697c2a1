"""What an ingredient is compared with, and where it stands there."""

from tests.support import make_food
from workbench.composition.food import Food, TakenFrom
from workbench.composition.similar import FEWEST, MOST_NEAREST, kin_of, standing


def fruit(name: str, water: float, fibre: float | None = 1.0, **facts: object) -> Food:
    amounts = {"WATER": water, "PROCNT": 2.0, "FAT": 1.0, "CHOCDF": 97.0 - water}
    return make_food(name, amounts | ({} if fibre is None else {"FIBTG": fibre}), **{"group": "fruit", **facts})


def test_the_nearest_are_those_made_most_like_it_whatever_their_fibre() -> None:
    itself = fruit("fig", 30.0, fibre=10.0)
    others = [
        fruit(f"at {water}", float(water), fibre=water / 10) for water in (90, 31, 70, 25, 50, 36, 80, 60, 29, 45)
    ]
    kin = kin_of(itself, [*others, itself])
    assert (kin.by, kin.kind) == ("group", "fruit")
    assert [food.name for food in kin.foods] == [
        *("at 29", "at 31", "at 25", "at 36", "at 45", "at 50", "at 60", "at 70", "at 80", "at 90")
    ]
    assert kin.nearest == kin.foods[:MOST_NEAREST]


def test_a_project_s_copy_is_not_compared_with_its_own_row() -> None:
    row = fruit("fig", 30.0)
    copy = fruit("my figs", 30.0, taken_from=TakenFrom("bundled", key="fig"))
    others = [fruit(f"f{k}", 30.0 + k) for k in range(FEWEST)]
    assert row not in kin_of(copy, [row, *others, copy]).foods


def test_a_small_group_gives_way_to_the_role_and_without_either_there_is_nothing() -> None:
    lonely = fruit("lonely", 30.0, group="rare", roles=("binder", "fat"))
    binders = [fruit(f"b{k}", 30.0 + k, group="", roles=("liquid", "binder")) for k in range(FEWEST)]
    fats = [fruit(f"fat{k}", 30.0, group="", roles=("fat",)) for k in range(9)]
    kin = kin_of(lonely, [*fats, *binders])
    assert (kin.by, kin.kind, {food.id for food in kin.foods}) == ("role", "binder", {b.id for b in binders})
    assert kin_of(lonely, binders[:-1]).foods == ()


def test_what_is_not_known_counts_neither_above_nor_below() -> None:
    itself = fruit("fig", 30.0, fibre=5.0)
    others = [fruit("a", 30.0, fibre=None), fruit("b", 30.0, fibre=0.0), fruit("c", 30.0, fibre=9.0)]
    kin = kin_of(itself, [*others, fruit("d", 30.0, fibre=4.0), fruit("e", 30.0, fibre=5.0)])
    (fibre,) = standing(itself, kin, ("FIBTG",), frozenset())
    assert (fibre.amount, fibre.above, fibre.below, len(fibre.known)) == (5.0, 1, 2, 4)
    blank = fruit("blank", 30.0, fibre=None)
    (unknown,) = standing(blank, kin_of(blank, kin.foods), ("FIBTG",), frozenset())
    assert (unknown.amount, unknown.above, unknown.below) == (None, 0, 0)
