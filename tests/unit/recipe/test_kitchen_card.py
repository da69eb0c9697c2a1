"""What the cook reads: half of everything, what to buy, how to cut, and no card without a valid result."""

import pytest

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from workbench.base.errors import CalculationError
from workbench.document.project import ByCount, ByWeight, Loss, Portioning, Stage, WaterLost, Weighed
from workbench.recipe.kitchen_card import KitchenCard, cooling_words, cutting, kitchen_card

MAIZE = make_food("maize", {"WATER": 11.0}, origin="plant", contains=())
BANANA = make_food("banana", {"WATER": 75.0}, origin="plant", contains=(), edible_fraction=0.64, bought_as="with skin")
WATER = make_food("water", {"WATER": 100.0}, origin="mineral", contains=())


def card(portioning: Portioning, **facts: object) -> KitchenCard:
    stages = (
        Stage(
            id="s1",
            name="cook",
            kind="cook",
            weight=Weighed(in_g=1000.0, out_g=800.0),
            losses=(Loss(kind="fat_left", percent=5.0),),
            minutes=20,
            temperature_degC=95,
            text="Stir.",
        ),
    )
    lines = [
        make_line(MAIZE, 300.0, note="sieve it"),
        make_line(BANANA, 600.0, as_bought=True),
        make_line(WATER, 316.0),
    ]
    variant = make_variant(*lines, stages=stages, portioning=portioning)
    project = make_project([MAIZE, BANANA, WATER], variant, **facts)
    return kitchen_card(project, evaluated(project))


def test_half_of_every_weight_and_what_to_buy() -> None:
    """600 g bananas with their skin are 384 g to eat."""
    stage = card(ByCount(count=10)).stages[0]
    assert [(line.name, line.whole_g, line.half_g) for line in stage.lines] == [
        ("maize", 300.0, 150.0),
        ("banana", pytest.approx(384.0), pytest.approx(192.0)),
        ("water", 316.0, 158.0),
    ]
    assert stage.lines[1].remarks == ("600 g as bought, half 300 g (with skin)",)
    assert stage.lines[0].remarks == ("sieve it",)
    assert (stage.in_g, stage.out_g, stage.facts) == (pytest.approx(1000.0), pytest.approx(800.0), "20 min · 95 °C")
    assert stage.text == "Stir. 5 % of the fat stays in the pan"


@pytest.mark.parametrize(
    ("portioning", "whole", "half"),
    [
        (ByCount(count=10), "10 pieces of 80 g", "5 pieces of 80 g"),
        (ByCount(count=5), "5 pieces of 160 g", "2 pieces of 160 g, 80 g over"),
        (ByWeight(piece_g=70.0), "11 pieces of 70 g, 30 g over", "5 pieces of 70 g, 50 g over"),
    ],
)
def test_what_the_batch_and_half_of_it_make(portioning: Portioning, whole: str, half: str) -> None:
    made = card(portioning)
    assert (made.whole, made.half) == (whole, half)


def test_fahrenheit_stands_beside_celsius_in_a_kitchen_of_cups() -> None:
    assert card(ByCount(count=10), measures="us").stages[0].facts == "20 min · 95 °C (203 °F)"


def test_a_variant_as_an_ingredient_has_its_own_card() -> None:
    porridge = make_variant(make_line(MAIZE, 300.0), id="porridge", name="porridge")
    bar = make_variant(make_line(porridge, 250.0), id="bar")
    project = make_project([MAIZE], porridge, bar)
    (line,) = kitchen_card(project, evaluated(project, "bar")).stages[0].lines
    assert line.name == "porridge" and "its own card" in line.remarks[0]


def test_no_card_without_a_valid_result() -> None:
    project = make_project([MAIZE], make_variant(make_line(MAIZE, 100.0), weight=WaterLost(amount=90.0)))
    with pytest.raises(CalculationError, match="no valid result") as error:
        kitchen_card(project, evaluated(project))
    assert error.value.problems


def test_cutting_says_when_there_is_no_even_pattern() -> None:
    assert cutting(0, 70.0, 20.0).pattern is None
    uneven = cutting(17, 70.0, 20.0)
    assert uneven.pattern is None
    assert "16 (4 × 4) or 18 (3 × 6)" in uneven.words[1]
    assert "2 tins" in cutting(60, 70.0, 20.0).words[0]


def test_the_cautious_default_of_cooling_and_keeping() -> None:
    """Food Code 3-501.14: 57 to 21 °C in 2 h, to 5 °C in 6 h in all; a day at 5 °C at most."""
    words = " ".join(cooling_words("metric"))
    for figure in ("57 °C to 21 °C within 2 h", "to 5 °C within 6 h", "within 24 h of cooking", "20 mm"):
        assert figure in words
