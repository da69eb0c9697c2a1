"""Traps of published tables as they show in a recipe: USDA SR26 (NDB numbers), Indian Food Composition Tables 2017.

What the traps do to the rows themselves is checked in ``tests/database``.
"""

import msgspec
import pytest

from tests.support import (
    NO_RULES,
    bundled_by_code,
    evaluated,
    evaluation_of,
    make_food,
    make_line,
    make_project,
    make_variant,
)
from workbench.document.project import Assumptions


def test_a_grain_without_a_fibre_figure_leaves_fibre_open() -> None:
    """20452, short-grain white rice: no fibre figure; 20022, cornmeal: 3.9."""
    rice, cornmeal = bundled_by_code("20452"), bundled_by_code("20422")
    fibre = evaluation_of([(100.0, rice), (100.0, cornmeal)]).bound("FIBTG", "batch")
    assert fibre.value == fibre.low == pytest.approx(3.9)
    assert fibre.at_least and fibre.unknown == (rice.name,)
    assert fibre.high == pytest.approx(3.9 + 79.15), "fibre cannot be more than the carbohydrate it is part of"


def test_alone_it_is_not_known() -> None:
    assert evaluation_of([(100.0, bundled_by_code("20452"))]).bound("FIBTG", "batch").certainty == "not_known"


def test_a_blank_under_a_minus_is_an_upper_limit() -> None:
    """20452: carbohydrate without fibre is at most 79.15; energy at most 17 kJ for each gram of it, at least 8."""
    result = evaluation_of([(100.0, bundled_by_code("20452"))])
    carbohydrate, energy = result.bound("CHOAVLDF", "batch"), result.bound("energy_kj", "batch")
    assert (carbohydrate.value, carbohydrate.high) == pytest.approx((79.15, 79.15)) and carbohydrate.at_most
    rest = 17 * 6.50 + 37 * 0.52
    assert energy.value == energy.high == pytest.approx(rest + 17 * 79.15)
    assert energy.low == pytest.approx(rest + 8 * 79.15)


def test_two_kinds_of_carbohydrate_meet() -> None:
    """IFCT A015, milled rice: 78.24 g without fibre, fibre 2.81; SR26 prints the total, here 81.05."""
    indian = make_food("A015", {"CHOAVLDF": 78.24, "FIBTG": 2.81})
    american = make_food("same", {"CHOCDF": 81.05, "FIBTG": 2.81})
    for key in ("CHOCDF", "CHOAVLDF", "FIBTG"):
        pair = [evaluation_of([(50.0, food)]).bound(key, "batch") for food in (indian, american)]
        assert pair[0].value == pytest.approx(pair[1].value)
        assert {bound.certainty for bound in pair} == {"exact"}


def test_more_sugar_than_carbohydrate_leaves_no_starch_and_no_negative_rest() -> None:
    """19353, maple syrup: sugars 67.90 beside carbohydrate 67.04, 60.44 g of it split; 1077, milk: 5.05 and 4.80."""
    for code, rest in (("19353", 67.04 - 60.44), ("1077", 0.0)):
        result = evaluation_of([(100.0, bundled_by_code(code))])
        assert result.bound("STARCH", "batch").value == 0.0
        assert result.bound("other_carbohydrate", "batch").value == pytest.approx(rest)


def test_medium_chain_fat_of_a_row_without_acids_comes_from_its_kind_of_fat() -> None:
    """12109: its published acids lack the glycerol, so the table leaves them out; 13.1 % of the fat by 12108."""
    flaked = bundled_by_code("12109")
    assert evaluation_of([(100.0, flaked)]).bound("mct_c6_c10", "batch").value == pytest.approx(
        0.1314 * flaked.values["FAT"].value, rel=0.005
    )
    off = evaluation_of([(100.0, flaked)], assumptions=Assumptions(medium_chain_from_profile=False))
    assert off.bound("mct_c6_c10", "batch").certainty == "not_known"


def test_edible_part_counts_only_where_it_is_bought_so() -> None:
    """9040, bananas: 36 % skin as bought, so 600 g are 384 g; the same 600 g peeled stay 600 g."""
    banana = bundled_by_code("9040")
    for as_bought, grams in ((True, 384.0), (False, 600.0)):
        variant = make_variant(make_line(banana, 600.0, as_bought=as_bought))
        assert evaluated(make_project([banana], variant)).finished_g == pytest.approx(grams)


def test_an_oil_with_no_energy_figure_still_has_energy() -> None:
    """IFCT T001, coconut oil: energy 0 beside 100 g fat.  Energy comes from grams; the printed one is not read."""
    oil = make_food("T001", {"FAT": 100.0, "ENERC_KCAL": 0.0})
    assert evaluation_of([(10.0, oil)], assumptions=NO_RULES).bound("energy_kcal", "batch").value == pytest.approx(90.0)


def test_fibre_and_undigested_carbohydrate_are_one_matter_seen_twice() -> None:
    """20077, wheat bran: 42.8 g fibre; by Merrill and Watt 0.60 of the protein, 0.10 of the fat and 0.44 of the
    carbohydrate are not digested, its fibre among them.  Added up they would exceed the carbohydrate, 64.51 g."""
    bran = bundled_by_code("20077")
    result = evaluation_of([(100.0, bran)])
    lost = 0.60 * 15.55 + 0.10 * 4.25
    organic, by_fibre = result.bound("residue_organic", "batch"), result.bound("residue_fibre_based", "batch")
    assert organic.value == pytest.approx(lost + 0.44 * 64.51)
    assert by_fibre.value == pytest.approx(lost + 42.8)
    values = {tag: value for tag, value in bran.values.items() if not tag.startswith("FIB")}
    blank = evaluation_of([(100.0, msgspec.structs.replace(bran, values=values))])
    assert blank.bound("residue_organic", "batch") == organic, "fibre has no part in it"
    assert blank.bound("residue_fibre_based", "batch").certainty != "exact"
