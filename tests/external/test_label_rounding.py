"""Rounding and tolerances of printed figures, case by case at their edges.

European Union: European Commission, guidance on tolerances for nutrient values declared on a label, December 2012:
table 4 (rounding) after a laboratory's summary, table 1 (tolerances) from memory.  United States: FDA Food Labeling
Guide, Appendix H (October 2009), and 21 CFR 101.9(g) from memory.  Where neither text settles a half it goes up.
Percentages: Commission Notice 2017/C 393/05 (from memory).
"""

import math

import pytest

from workbench.science.label_rounding import (
    EuKind,
    Printed,
    UsKind,
    eu_printed,
    eu_tolerance,
    ingredient_percent,
    us_printed,
    us_tolerance,
)


def text(printed: Printed) -> str:
    return f"{'<' if printed.less_than else ''}{printed.value:.{printed.decimals}f}"


@pytest.mark.parametrize(
    ("kind", "amount", "shown"),
    [
        # energy to the nearest kJ and kcal
        ("energy", 0.4, "0"),
        ("energy", 643.5, "644"),
        ("energy", 643.499, "643"),
        # from 10 g on 1 g; above 0.5 g 0.1 g; 0.5 g and less negligible
        ("fat", 3.553, "3.6"),
        ("grams", 32.88, "33"),
        ("grams", 49.68, "50"),
        ("grams", 0.433, "<0.5"),
        ("grams", 0.5, "<0.5"),
        ("grams", 0.500_001, "0.5"),
        ("grams", 0.55, "0.6"),
        ("grams", 9.94, "9.9"),
        ("grams", 9.95, "10"),
        ("grams", 9.96, "10"),
        ("grams", 10.0, "10"),
        ("grams", 10.49, "10"),
        ("grams", 10.5, "11"),
        ("grams", 0.0, "0"),
        # saturates: negligible from 0.1 g down
        ("saturates", 10.547, "11"),
        ("saturates", 0.09, "<0.1"),
        ("saturates", 0.1, "<0.1"),
        ("saturates", 0.14, "0.1"),
        ("saturates", 9.95, "10"),
        # salt: from 1 g on 0.1 g; above 0.0125 g 0.01 g
        ("salt", 0.334, "0.33"),
        ("salt", 1.26, "1.3"),
        ("salt", 0.012, "<0.01"),
        ("salt", 0.0125, "<0.01"),
        ("salt", 0.013, "0.01"),
        ("salt", 0.994, "0.99"),
        ("salt", 0.995, "1.0"),
        ("salt", 1.05, "1.1"),
        ("salt", 12.0, "12.0"),
    ],
)
def test_figures_are_rounded_as_the_european_guidance_has_it(kind: EuKind, amount: float, shown: str) -> None:
    assert text(eu_printed(kind, amount)) == shown


@pytest.mark.parametrize(
    ("kind", "amount", "shown"),
    [
        ("calories", 4.9, "0"),
        ("calories", 5.0, "5"),
        ("calories", 47.0, "45"),
        ("calories", 47.5, "50"),
        ("calories", 50.0, "50"),
        ("calories", 54.9, "50"),
        ("calories", 55.0, "60"),
        ("calories", 104.85, "100"),
        ("fat", 0.49, "0"),
        ("fat", 0.5, "0.5"),
        ("fat", 2.132, "2"),
        ("fat", 2.25, "2.5"),
        ("fat", 4.74, "4.5"),
        ("fat", 4.8, "5"),
        ("fat", 5.4, "5"),
        ("fat", 5.5, "6"),
        ("cholesterol", 1.9, "0"),
        ("cholesterol", 2.0, "<5"),
        ("cholesterol", 5.0, "<5"),
        ("cholesterol", 5.1, "5"),
        ("cholesterol", 7.5, "10"),
        ("sodium", 4.9, "0"),
        ("sodium", 5.0, "5"),
        ("sodium", 80.05, "80"),
        ("sodium", 137.5, "140"),
        ("sodium", 140.0, "140"),
        ("sodium", 142.0, "140"),
        ("sodium", 145.0, "150"),
        ("grams", 0.26, "0"),
        ("grams", 0.5, "<1"),
        ("grams", 0.7, "<1"),
        ("grams", 1.0, "1"),
        ("grams", 2.49, "2"),
        ("grams", 2.5, "3"),
        ("grams", 5.277, "5"),
    ],
)
def test_rounding_of_the_united_states(kind: UsKind, amount: float, shown: str) -> None:
    assert text(us_printed(kind, amount)) == shown


def test_a_half_that_floats_just_miss_is_a_half() -> None:
    assert 0.35 + 0.7 < 1.05
    assert text(eu_printed("salt", 0.35 + 0.7)) == "1.1"
    assert sum([0.1] * 50) < 5.0
    assert text(us_printed("calories", sum([0.1] * 50))) == "5"


@pytest.mark.parametrize(
    ("kind", "declared", "limits"),
    [
        ("grams", 1.0, (0.0, 3.0)),
        ("grams", 9.9, (7.9, 11.9)),
        ("grams", 10.0, (8.0, 12.0)),
        ("grams", 40.0, (32.0, 48.0)),
        ("grams", 41.0, (33.0, 49.0)),
        ("fat", 9.9, (8.4, 11.4)),
        ("fat", 10.0, (8.0, 12.0)),
        ("fat", 50.0, (42.0, 58.0)),
        ("saturates", 3.9, (3.1, 4.7)),
        ("saturates", 4.0, (3.2, 4.8)),
        ("saturates", 50.0, (40.0, 60.0)),
        ("salt", 1.2, (0.825, 1.575)),
        ("salt", 1.25, (1.0, 1.5)),
    ],
)
def test_tolerances_are_those_of_the_european_guidance(
    kind: EuKind, declared: float, limits: tuple[float, float]
) -> None:
    assert eu_tolerance(kind, declared) == pytest.approx(limits)


def test_energy_has_no_tolerance_of_its_own() -> None:
    assert eu_tolerance("energy", 800.0) is None


def test_limits_of_the_united_states_are_on_one_side() -> None:
    assert us_tolerance(10.0, wanted=True) == pytest.approx((8.0, math.inf))
    assert us_tolerance(10.0, wanted=False) == pytest.approx((0.0, 12.0))


@pytest.mark.parametrize(
    ("percent", "shown"),
    [(25.0, "25"), (62.5, "63"), (4.76, "5"), (4.74, "4.5"), (2.0, "2"), (0.25, "0.5"), (0.24, "<0.5")],
)
def test_percentages_of_ingredients(percent: float, shown: str) -> None:
    assert text(ingredient_percent(percent)) == shown
