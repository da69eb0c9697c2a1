"""Labels as packs print them, against the rules they are printed by.

Rounding: European Commission, "Guidance document on tolerances for nutrient values declared on a label", December 2012,
table 4 (energy to 1; fat, carbohydrate, sugars, protein, fibre from 10 g to 1 g, below to 0.1 g, 0.5 g and less as 0;
saturates as 0 from 0.1 g down; salt from 1 g to 0.1 g, below to 0.01 g, 0.0125 g and less as 0), as a laboratory's
summary gives it; halves go up.  Order of the lines: Regulation (EU) No 1169/2011, Annex XV.  Energy: its Annex XIV.
United States: 21 CFR 101.9(c) and FDA Food Labeling Guide, Appendix H (October 2009).
"""

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal

import pytest

from tests.support import bundled_by_code, evaluation_of, make_food
from workbench.composition.bundled import bundled_foods
from workbench.composition.derive import fill_gaps
from workbench.composition.food import Food
from workbench.composition.label import LINES, read_label

LABELLED = {
    "fat": "FAT",
    "saturates": "FASAT",
    "carbohydrate": "CHOAVLDF",
    "sugars": "SUGAR",
    "fibre": "FIBTG",
    "protein": "PROCNT",
    "salt": "NA",
}


def to(amount: float, step: str) -> str:
    return str(Decimal(repr(amount)).quantize(Decimal(step), ROUND_HALF_UP))


def eu_grams(amount: float, nothing: float) -> str:
    if amount <= nothing:
        return "0"
    return to(amount, "1") if amount >= 10 or to(amount, "0.1") == "10.0" else to(amount, "0.1")


def eu_salt(amount: float) -> str:
    return "0" if amount <= 0.0125 else to(amount, "0.1") if amount >= 1 else to(amount, "0.01")


def contents(food: Food) -> dict[str, float] | None:
    """What a label needs, from the table; None where it does not say."""
    g = {tag: value.value for tag, value in fill_gaps(food).values.items()}
    if not {"FAT", "FASAT", "CHOCDF", "FIBTG", "SUGAR", "PROCNT", "NA"} <= g.keys():
        return None
    g.setdefault("CHOAVLDF", max(g["CHOCDF"] - g["FIBTG"], 0.0))
    return g


def eu_label(g: Mapping[str, float]) -> dict[str, str]:
    parts = (g["PROCNT"], g["FAT"], g["CHOAVLDF"], g["FIBTG"], g.get("ALC", 0.0), g.get("POLYL", 0.0))
    label = {
        "energy_kj": to(sum(n * x for n, x in zip(parts, (17, 37, 17, 8, 29, -7), strict=True)), "1"),
        "energy_kcal": to(sum(x * n for x, n in zip(parts, (4, 9, 4, 2, 7, -1.6), strict=True)), "1"),
        "fat": eu_grams(g["FAT"], 0.5),
        "saturates": eu_grams(g["FASAT"], 0.1),
        "carbohydrate": eu_grams(g["CHOAVLDF"], 0.5),
        "sugars": eu_grams(g["SUGAR"], 0.5),
        "fibre": eu_grams(g["FIBTG"], 0.5),
        "protein": eu_grams(g["PROCNT"], 0.5),
        "salt": eu_salt(2.5 * g["NA"] / 1000),
    }
    if g.get("POLYL", 0.0) > 0.5:
        label["polyols"] = eu_grams(g["POLYL"], 0.5)
    return label


FOODS = [(key, g) for key, food in bundled_foods().items() if (g := contents(food)) is not None]


def test_the_lines_stand_in_the_order_of_the_regulation() -> None:
    """Annex XV: energy, fat, of which saturates, mono-unsaturates, polyunsaturates, carbohydrate, of which sugars,
    polyols, starch, fibre, protein, salt; sodium is no line of the law and comes last."""
    assert " ".join(line.key for line in LINES) == (
        "energy_kj energy_kcal fat saturates monounsaturates polyunsaturates "
        "carbohydrate sugars polyols starch fibre protein salt sodium"
    )


@pytest.mark.parametrize(
    ("amount", "printed"),
    [(3.553, "3.6"), (32.88, "33"), (49.68, "50"), (0.433, "0"), (9.96, "10")],
)
def test_rounding_of_grams_in_this_test_is_that_of_the_guidance(amount: float, printed: str) -> None:
    assert eu_grams(amount, 0.5) == printed


@pytest.mark.parametrize(("amount", "printed"), [(0.334, "0.33"), (1.26, "1.3"), (0.012, "0")])
def test_rounding_of_salt_in_this_test_is_that_of_the_guidance(amount: float, printed: str) -> None:
    assert eu_salt(amount) == printed


@pytest.mark.parametrize(("key", "g"), FOODS, ids=[key for key, _g in FOODS])
def test_a_food_goes_to_its_label_and_back(key: str, g: dict[str, float]) -> None:
    """What is read agrees with the food within the rounding, and a sane label is not doubted."""
    label = eu_label(g)
    reading = read_label(label)
    for line, tag in LABELLED.items():
        scale = 400.0 if tag == "NA" else 1.0  # mg sodium of 1 g salt
        amount = g[tag] / scale
        coarse = 0.5 if amount >= 9.95 or (amount <= 0.5 and tag != "NA") else 0.05
        allowed = {"NA": 0.05 if amount >= 1 else 0.0125}.get(tag, coarse)
        assert abs(reading.values[tag].value / scale - amount) <= allowed + 1e-9, line
    assert not reading.limits
    codes = {finding.code for finding in reading.findings}
    excess = float(label["sugars"]) - float(label["carbohydrate"])
    if excess > (1.01 if float(label["carbohydrate"]) >= 10 else 0.101):  # sugars analysed, carbohydrate by difference
        assert codes == {"label_part_over_whole"}
    elif g.get("ALC", 0.0) > 1:  # no line of a label says so
        assert codes == {"label_energy_off"}
        assert "alcohol" in reading.findings[0].hint
    else:
        assert not codes


def test_energy_worked_by_hand_for_rolled_oats() -> None:
    """SR26 8120: protein 13.15, fat 6.52, carbohydrate 57.6 without 10.1 fibre: 1525 kJ and 362 kcal by Annex XIV."""
    oats = contents(bundled_by_code("8120"))
    assert oats is not None
    label = eu_label(oats)
    assert (label["energy_kj"], label["energy_kcal"]) == ("1525", "362")
    assert read_label(label).findings == ()


def test_a_label_gives_the_energy_that_it_prints() -> None:
    """Read, put into a recipe and computed by Annex XIV: the printed kJ, within what rounding each line allows."""
    for key, g in FOODS:
        if g["SUGAR"] > g["CHOAVLDF"] or g.get("ALC", 0.0) > 1 or g.get("POLYL", 0.0) > 1:
            continue
        label = eu_label(g)
        food = make_food(key, {tag: value.value for tag, value in read_label(label).values.items()})
        computed = evaluation_of([(100.0, food)]).bound("energy_kj", "per_100g").value
        assert abs(computed - float(label["energy_kj"])) <= 0.5 * (17 + 37 + 17 + 8) + 1, key


# --- labels of the United States ------------------------------------------------------------------------------------


def us_label(g: Mapping[str, float], serving_g: float) -> dict[str, str]:
    """Per serving; carbohydrate includes fibre; energy 4, 4 and 9 kcal of protein, total carbohydrate and fat."""

    def rounded(amount: float, step: float) -> float:
        return step * int(amount / step + 0.5)

    part = {tag: amount * serving_g / 100 for tag, amount in g.items()}
    kcal = 4 * part["PROCNT"] + 4 * part["CHOCDF"] + 9 * part["FAT"]
    fat, saturates = ("0" if x < 0.5 else f"{rounded(x, 0.5 if x < 5 else 1):g}" for x in (part["FAT"], part["FASAT"]))
    sodium = part["NA"]
    return {
        "energy_kcal": "0" if kcal < 5 else f"{rounded(kcal, 5 if kcal <= 50 else 10):g}",
        "fat": fat,
        "saturates": saturates,
        "sodium": "0" if sodium < 5 else f"{rounded(sodium, 5 if sodium <= 140 else 10):g} mg",
        **{
            key: "0" if part[tag] < 0.5 else "less than 1 g" if part[tag] < 1 else f"{rounded(part[tag], 1):g} g"
            for key, tag in (("carbohydrate", "CHOCDF"), ("fibre", "FIBTG"), ("sugars", "SUGAR"), ("protein", "PROCNT"))
        },
    }


@pytest.mark.parametrize(("kcal", "printed"), [(104.85, "100"), (47.0, "45"), (4.9, "0")])
def test_rounding_of_calories_in_this_test_is_that_of_appendix_h(kcal: float, printed: str) -> None:
    food = {"PROCNT": kcal / 4, "CHOCDF": 0.0, "FAT": 0.0, "FASAT": 0.0, "NA": 0.0, "FIBTG": 0.0, "SUGAR": 0.0}
    assert us_label(food, 100.0)["energy_kcal"] == printed


@pytest.mark.parametrize("serving_g", [5.0, 15.0, 28.0, 55.0, 240.0])
def test_a_us_label_gives_total_carbohydrate_and_is_not_doubted(serving_g: float) -> None:
    for key, g in FOODS:
        if g["SUGAR"] > g["CHOAVLDF"] or g.get("ALC", 0.0) > 1:
            continue
        reading = read_label(us_label(g, serving_g), per_g=serving_g, fibre_in_carbohydrate=True)
        assert reading.findings == (), key
        assert "CHOAVLDF" not in reading.values
        if "CHOCDF" in reading.values:
            assert reading.values["CHOCDF"].value == pytest.approx(g["CHOCDF"], abs=51 / serving_g), key
        assert reading.values["NA"].value == pytest.approx(g["NA"], abs=510 / serving_g), key


def test_half_grams_of_a_us_label_are_no_contradiction() -> None:
    """Appendix H: 2.7 g fat with 1.3 g saturates and 1.3 g mono-unsaturates is printed as 2.5, 1.5 and 1.5 g."""
    printed = {"fat": "2.5 g", "saturates": "1.5 g", "monounsaturates": "1.5 g"}
    assert read_label(printed, per_g=30.0, fibre_in_carbohydrate=True).findings == ()
    assert [finding.code for finding in read_label(printed, per_g=30.0).findings] == ["label_parts_over_whole"]


def test_fibre_of_a_us_label_is_taken_off_once() -> None:
    """Bran (SR26 20077): 64.5 g carbohydrate of which 42.8 g are fibre leave 21.7 g."""
    bran = contents(bundled_by_code("20077"))
    assert bran is not None
    reading = read_label(us_label(bran, 100.0), fibre_in_carbohydrate=True)
    food = make_food("bran", {tag: value.value for tag, value in reading.values.items()})
    got = evaluation_of([(100.0, food)]).bound("CHOAVLDF", "per_100g")
    assert got.value == pytest.approx(21.7, abs=1.0)
