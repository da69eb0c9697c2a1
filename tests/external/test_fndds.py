"""USDA Food and Nutrient Database for Dietary Studies 2019-2020: survey recipes and their published composition.

Ingredients by NDB number in grams and one change of moisture in percent of the summed weight, from the FNDDS ingredient
table; results per 100 g from the survey foods of USDA FoodData Central; composition of the ingredients from USDA SR26
(public domain, all of them).  The survey takes newer figures for some ingredients and prints rounded ones, so results
agree within 0.5 g or 2 %, whichever is larger; sodium within 5 mg or 2 %.

Fourteen recipes near to portable food stand in ``data``; all forty are read where POCKETFARE_REFERENCE names the
folder.
"""

import csv
import gzip
import json
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.support import bundled_by_code, evaluation_of, make_food
from workbench.composition.food import Food
from workbench.document.project import WaterLost
from workbench.recipe.evaluation import Evaluation

DATA = Path(__file__).parent / "data"
COMPONENTS = ("CHOCDF", "FAT", "FIBTG", "PROCNT", "FASAT", "SUGAR", "NA")
Record = Callable[[str, object], None]


def _rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def _food(row: dict[str, str]) -> Food:
    amounts = {tag: float(row[tag]) for tag in ("WATER", "ASH", *COMPONENTS) if row[tag]}
    return make_food(row["ndb_no"], amounts)


def _cooked(parts: list[tuple[float, Food]], moisture_change_percent: float) -> Evaluation:
    return evaluation_of(parts, weight=WaterLost(amount=-moisture_change_percent, unit="%"))


def _deviations(result: Evaluation, published: dict[str, float]) -> dict[str, tuple[float, float]]:
    """Deviation of each component, and what is allowed."""
    found = {}
    for tag in COMPONENTS:
        bound = result.bound(tag, "per_100g")
        assert bound.certainty == "exact", tag
        allowed = max(0.02 * published[tag], 5.0 if tag == "NA" else 0.5)
        found[tag] = (abs(bound.value - published[tag]), allowed)
    return found


def _report(all_deviations: dict[str, dict[str, tuple[float, float]]], record: Record) -> None:
    too_far, largest = [], defaultdict(float)
    for recipe, deviations in all_deviations.items():
        for tag, (deviation, allowed) in deviations.items():
            largest[tag] = max(largest[tag], round(deviation, 3))
            if deviation > allowed:
                too_far.append(f"{recipe}: {tag} is {deviation:.2f} off, {allowed:.2f} allowed")
    for tag, deviation in largest.items():
        record(f"FNDDS, {len(all_deviations)} recipes, largest deviation of {tag}", deviation)
    assert not too_far, "\n".join(too_far)


def test_recipes_near_to_portable_food(record_testsuite_property: Record) -> None:
    foods = {row["ndb_no"]: _food(row) for row in _rows("survey_ingredients.csv")}
    lines = defaultdict(list)
    for row in _rows("survey_recipes.csv"):
        lines[row["fndds_code"]].append((float(row["grams"]), foods[row["ndb_no"]]))
    found = {}
    for row in _rows("survey_foods.csv"):
        result = _cooked(lines[row["fndds_code"]], float(row["moisture_change_percent"]))
        published = {tag: float(row[tag]) for tag in COMPONENTS}
        found[f"{row['fndds_code']} {row['food']}"] = _deviations(result, published)
    assert len(found) >= 10
    _report(found, record_testsuite_property)


def test_all_forty_recipes(reference: Path, record_testsuite_property: Record) -> None:
    with gzip.open(reference / "usda_sr26_per_100g.csv.gz", "rt", encoding="utf-8", newline="") as handle:
        table = {row["ndb_no"]: row for row in csv.DictReader(handle)}
    recipes = json.loads((reference / "fndds_worked_recipes.json").read_text(encoding="utf-8"))["recipes"]
    found = {}
    for recipe in recipes:
        parts = [(one["grams"], _food(table[str(one["ndb_no"])])) for one in recipe["ingredients"]]
        result = _cooked(parts, recipe["moisture_change_pct"])
        published = {tag: recipe["published_per_100g"]["NA_mg" if tag == "NA" else tag] for tag in COMPONENTS}
        found[f"{recipe['fndds_code']} {recipe['food']}"] = _deviations(result, published)
    assert len(found) == 40
    _report(found, record_testsuite_property)


# --- three recipes worked by hand on SR26 figures --------------------------------------------------------------------


def test_oatmeal_comes_out_as_the_survey_has_it() -> None:
    """FNDDS 56203056, oatmeal with water: oats 40 g (8120), water 240 g (14411), salt 0.4 g (2047), moisture -15 %."""
    parts = [(40.0, bundled_by_code("8120")), (240.0, bundled_by_code("14411")), (0.4, bundled_by_code("2047"))]
    result = _cooked(parts, -15.0)
    assert result.finished_g == pytest.approx(238.34, abs=0.01)
    per_100_g = {tag: result.bound(tag, "per_100g").value for tag in ("PROCNT", "FAT", "CHOCDF", "FIBTG", "CHOAVLDF")}
    worked = {"PROCNT": 2.207, "FAT": 1.094, "CHOCDF": 11.362, "FIBTG": 1.695, "CHOAVLDF": 9.667}
    assert per_100_g == pytest.approx(worked, abs=0.002)
    assert result.bound("NA", "per_100g").value == pytest.approx(70.1, abs=0.1)
    assert result.bound("WATER", "per_100g").value == pytest.approx(84.77, abs=0.01)
    cooked_row = bundled_by_code("8121").values  # oats cooked with water, an independent sample
    assert result.bound("CHOCDF", "per_100g").value == pytest.approx(cooked_row["CHOCDF"].value, rel=0.06)


def test_cake_of_glutinous_rice() -> None:
    """FNDDS 55701000: rice flour 20061, water 14411, sugar 19335, baking powder 18369, vanilla 2052, coconut milk
    12117, moisture -11 %."""
    vanilla = make_food("2052", {"WATER": 85.58, "PROCNT": 0.03, "FAT": 0.0, "CHOCDF": 14.4, "ASH": 0.0, "FIBTG": 0.0,
                                 "SUGAR": 14.4, "ALC": 0.0})  # fmt: skip
    grams = {"20061": 453.6, "14411": 474.0, "19335": 500.0, "18369": 4.6, "12117": 420.0}
    result = _cooked([*((g, bundled_by_code(code)) for code, g in grams.items()), (4.3, vanilla)], -11.0)
    assert result.finished_g == pytest.approx(1652.285, abs=0.01)
    worked = {"WATER": 36.995, "PROCNT": 2.216, "FAT": 6.450, "CHOCDF": 53.776, "FIBTG": 1.219, "SUGAR": 31.120,
              "ASH": 0.570, "F8D0": 0.425, "F10D0": 0.337, "F12D0": 2.688, "mct_c6_c10": 0.796, "mct_c6_c12": 3.485,
              }  # fmt: skip
    found = {key: result.bound(key, "per_100g").value for key in worked}
    assert found == pytest.approx(worked, abs=0.002)
    assert sum(found[tag] for tag in ("WATER", "PROCNT", "FAT", "CHOCDF", "ASH")) == pytest.approx(100.006, abs=0.002)


def test_a_plain_cookie_comes_out_as_the_survey_has_it() -> None:
    """FNDDS 53270100: flour 125 g (20081), salt 1.5 g (2047), sugar 50 g (19335), lard 48 g (4002), moisture -4 %."""
    flour = next(_food(row) for row in _rows("survey_ingredients.csv") if row["ndb_no"] == "20081")
    others = {"2047": 1.5, "19335": 50.0, "4002": 48.0}
    result = _cooked([(125.0, flour), *((g, bundled_by_code(code)) for code, g in others.items())], -4.0)
    assert result.finished_g == pytest.approx(215.52, abs=0.01)
    worked = {"WATER": 2.753, "PROCNT": 5.991, "FAT": 22.840, "CHOCDF": 67.454, "FIBTG": 1.566, "SUGAR": 23.310,
              "FASAT": 8.820}  # fmt: skip
    assert {tag: result.bound(tag, "per_100g").value for tag in worked} == pytest.approx(worked, abs=0.002)
    assert result.bound("NA", "per_100g").value == pytest.approx(271.1, abs=0.1)
