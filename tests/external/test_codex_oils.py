"""Fatty acids of the lauric oils within the ranges of Codex Alimentarius CXS 210-1999, Table 1, % of fatty acids.

SR26 prints grams in 100 g oil, so they are divided by the sum of all acids of the row.  Ranges as quoted in Nutrients
2019;11:2008 (palm kernel), Molecules 2019;24:4235 (babassu; C6:0 not detected from memory) and an oil specification
that cites the standard (coconut).
"""

import math

import pytest

from workbench.composition.bundled import bundled_foods, fat_profiles

RANGES = {
    "coconut_oil": {
        "F6D0": (0.0, 0.7),
        "F8D0": (4.6, 10.0),
        "F10D0": (5.0, 8.0),
        "F12D0": (45.1, 53.2),
        "F14D0": (16.8, 21.0),
        "F16D0": (7.5, 10.2),
        "F18D0": (2.0, 4.0),
    },
    "palm_kernel_oil": {
        "F6D0": (0.0, 0.8),
        "F8D0": (2.4, 6.2),
        "F10D0": (2.6, 5.0),
        "F12D0": (45.0, 55.0),
        "F14D0": (14.0, 18.0),
        "F16D0": (6.5, 10.0),
        "F18D0": (1.0, 3.0),
    },
    "babassu_oil": {
        "F8D0": (2.6, 7.3),
        "F10D0": (1.2, 7.6),
        "F12D0": (40.0, 55.0),
        "F14D0": (11.0, 27.0),
        "F16D0": (5.2, 11.0),
        "F18D0": (1.8, 7.4),
    },
}


def percent_of_acids(food_id: str, tag: str) -> float:
    values = bundled_foods()[food_id].values
    return 100 * values[tag].value / math.fsum(values[group].value for group in ("FASAT", "FAMS", "FAPU"))


@pytest.mark.parametrize(("food_id", "tag"), [(food_id, tag) for food_id, acids in RANGES.items() for tag in acids])
def test_acids_are_within_the_standard(food_id: str, tag: str) -> None:
    low, high = RANGES[food_id][tag]
    assert low <= percent_of_acids(food_id, tag) <= high


@pytest.mark.parametrize("food_id", RANGES)
def test_room_is_left_for_glycerol(food_id: str) -> None:
    """FAO 2003 prints 0.942 g acids per g coconut oil; C12-rich oils are alike."""
    values = bundled_foods()[food_id].values
    acids = math.fsum(values[group].value for group in ("FASAT", "FAMS", "FAPU"))
    assert acids / values["FAT"].value == pytest.approx(0.942, abs=0.012)


def test_profiles_of_lauric_fats_are_those_of_their_oils() -> None:
    """A profile is grams in 100 g fat; as per cent of acids it must keep to the range of its oil."""
    for key, oil in (
        ("coconut_kernel", "coconut_oil"),
        ("coconut_oil", "coconut_oil"),
        ("palm_kernel", "palm_kernel_oil"),
        ("babassu", "babassu_oil"),
    ):
        for tag in ("F8D0", "F10D0", "F12D0"):
            low, high = RANGES[oil][tag]
            assert low <= fat_profiles()[key].acids[tag] / 0.942 <= high, f"{key} {tag}"
