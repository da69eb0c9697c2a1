"""Nutrition lines of a pack: order, what can be declared where values are missing, and what an analysis may find."""

import pytest

from tests.support import NO_RULES, evaluation_of, make_food
from workbench.recipe.nutrition_lines import nutrition_lines

FULL = {
    "WATER": 50.0,
    "FAT": 5.31,
    "FASAT": 0.09,
    "FAMS": 2.0,
    "FAPU": 2.0,
    "FATRN": 0.0,
    "CHOAVLDF": 32.88,
    "SUGAR": 9.96,
    "FIBTG": 0.7,
    "PROCNT": 4.0,
    "NA": 142.0,
    "CHOLE": 3.0,
}
KNOWN = make_food("known", FULL)


def shown(rules: str = "eu", basis: str = "per_100g", **without: float) -> dict[str, str]:
    lines = nutrition_lines(evaluation_of([(100.0, KNOWN)]), rules, basis)  # type: ignore[arg-type]
    return {line.key: line.text() for line in lines}


def test_european_lines_in_the_order_of_annex_xv() -> None:
    """Annex XIV: 17 × 36.88 + 37 × 5.31 + 8 × 0.7 = 829.03 kJ; 4 × 36.88 + 9 × 5.31 + 2 × 0.7 = 196.71 kcal."""
    assert shown() == {
        "energy_kj": "829 kJ",
        "energy_kcal": "197 kcal",
        "FAT": "5.3 g",
        "FASAT": "< 0.1 g",
        "carbohydrate_label": "33 g",
        "SUGAR": "10 g",
        "FIBTG": "0.7 g",
        "protein_label": "4.0 g",
        "salt": "0.36 g",
    }
    keys = ["energy_kj", "energy_kcal", "FAT", "FASAT", "carbohydrate_label", "SUGAR", "FIBTG", "protein_label", "salt"]
    assert list(shown()) == keys


def test_lines_of_the_united_states_count_fibre_as_carbohydrate() -> None:
    lines = shown("us", "portion")
    assert lines["CHOCDF"] == "34 g"
    assert lines["FIBTG"] == "less than 1 g"
    assert lines["CHOLE"] == "less than 5 mg"
    assert lines["NA"] == "140 mg"
    assert lines["energy_kcal"] == "200 kcal"


def test_a_missing_value_is_named_and_nothing_is_printed() -> None:
    figs = make_food("figs", {tag: amount for tag, amount in FULL.items() if tag != "SUGAR"})
    lines = {x.key: x for x in nutrition_lines(evaluation_of([(50.0, KNOWN), (50.0, figs)]), "eu", "per_100g")}
    assert lines["SUGAR"].text() == "not declarable: value missing in figs"
    assert lines["SUGAR"].tolerance is None
    assert lines["FAT"].text() == "5.3 g"


@pytest.mark.parametrize(("grams", "words"), [(1.0, "5.3 g"), (100.0, "not declarable: value missing in spice")])
def test_a_missing_value_that_rounding_hides_can_be_declared(grams: float, words: str) -> None:
    """Spice with less than 20 g fat: 1 g of it in 10 kg leaves 5.309 to 5.311 g, 100 g leave 5.26 to 5.46 g."""
    spice = make_food("spice", {"WATER": 10.0}, limits={"FAT": 20.0})
    lines = nutrition_lines(evaluation_of([(10_000.0, KNOWN), (grams, spice)]), "eu", "per_100g")
    assert next(line for line in lines if line.key == "FAT").text() == words


def test_nothing_known_is_never_nought() -> None:
    evaluation = evaluation_of([(100.0, make_food("blank", {}))], assumptions=NO_RULES)
    for rules in ("eu", "us"):
        for line in nutrition_lines(evaluation, rules, "per_100g"):  # type: ignore[arg-type]
            assert line.printed is None, line.key
            assert line.missing == ("blank",), line.key


@pytest.mark.parametrize(
    ("rules", "basis", "key", "words"),
    [
        ("eu", "per_100g", "carbohydrate_label", "26.4–39.6 g"),  # 20 % of 33
        ("eu", "per_100g", "FASAT", "at most 0.9 g"),  # less than 0.1 and 0.8
        ("eu", "per_100g", "energy_kj", ""),
        ("eu", "portion", "carbohydrate_label", ""),  # tolerances are per 100 g
        ("us", "portion", "PROCNT", "at least 3.2 g"),
        ("us", "portion", "NA", "at most 168 mg"),
        ("us", "portion", "FATRN", ""),  # 20 % of nothing says nothing
    ],
)
def test_what_an_analysis_may_find(rules: str, basis: str, key: str, words: str) -> None:
    lines = nutrition_lines(evaluation_of([(100.0, KNOWN)]), rules, basis)  # type: ignore[arg-type]
    assert next(line for line in lines if line.key == key).tolerance_text() == words
