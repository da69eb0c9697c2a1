"""Results in words, as screen, terminal and sheet show them."""

import math

import pytest

from workbench.document.project import FinalWater, Loss, Stage, Target, Typical, WaterLost, Weighed, WeightChoice
from workbench.recipe.bound import NOT_KNOWN, Bound
from workbench.recipe.evaluation import Portions
from workbench.recipe.verdict import Verdict
from workbench.recipe.words import (
    band_text,
    bound_text,
    losses_text,
    portions_text,
    quantity_text,
    verdict_text,
    weight_text,
)

RICE = ("rice",)


@pytest.mark.parametrize(
    ("bound", "text"),
    [
        (Bound(16.07, 16.07, 16.07), "16.1 g"),
        (Bound(4.84, 4.84, math.inf, RICE), "at least 4.8 g"),
        (Bound(79.2, 0.0, 79.2, RICE), "at most 79.2 g"),
        (Bound(0.6, 0.6, 0.9, RICE), "0.6–0.9 g"),
        (Bound(6.93, 6.93, 6.94, RICE), "6.9 g"),
        (NOT_KNOWN, "not known"),
    ],
)
def test_a_figure_with_what_is_known_of_it(bound: Bound, text: str) -> None:
    assert quantity_text(bound, "FIBTG") == text


def test_a_ratio_has_no_unit() -> None:
    assert quantity_text(Bound(0.5, 0.5, 0.5), "fructose_to_glucose") == "0.50"
    assert bound_text(Bound(-0.01, -0.01, -0.01), 1) == "0.0"


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [
        (20.0, 25.0, "between 20.0 and 25.0"),
        (20.0, None, "at least 20.0"),
        (None, 1.0, "at most 1.0"),
        (None, None, "no limit"),
    ],
)
def test_limits_of_a_target_are_told_in_words(low: float | None, high: float | None, text: str) -> None:
    assert band_text(low, high, 1) == text


@pytest.mark.parametrize(
    ("state", "by", "bound", "end"),
    [
        ("met", 0.0, Bound(0.7, 0.7, 0.7), "met"),
        ("over", 0.5, Bound(1.5, 1.5, 1.5), "over by 0.5 g"),
        ("short", 0.2, Bound(0.8, 0.8, 0.8), "short by 0.2 g"),
        ("cannot_tell", math.nan, Bound(0.5, 0.5, math.inf, RICE), "cannot tell (rice)"),
        ("cannot_tell", math.nan, NOT_KNOWN, "cannot tell (no result)"),
    ],
)
def test_a_verdict_says_by_how_much_a_target_is_missed(state: str, by: float, bound: Bound, end: str) -> None:
    target = Target(id="t", quantity="FIBTG", high=1.0)
    text = verdict_text(Verdict(target, state, by, bound))  # type: ignore[arg-type]
    assert text.startswith("fibre per piece: ") and text.endswith(end)
    assert "at most 1.0" in text


def test_targets_on_one_quantity_are_told_apart_and_an_aim_is_said() -> None:
    bound = Bound(69.6, 69.6, 69.6)
    target = Target(id="t", quantity="CHOAVLDF", basis="per_hour", low=60.0, high=90.0, aim=75.0)
    assert verdict_text(Verdict(target, "met", 0.0, bound)) == (
        "carbohydrate (without fibre) per hour: 69.6 g, between 60.0 and 90.0, aim 75.0: met"
    )
    ratio = Target(id="t", quantity="fructose_to_glucose", basis="batch", aim=0.8)
    assert verdict_text(Verdict(ratio, "short", 0.3, Bound(0.5, 0.5, 0.5))) == (
        "fructose to glucose, by mass: 0.50, aim 0.80: short by 0.30"
    )


@pytest.mark.parametrize(
    ("choice", "text"),
    [
        (Weighed(in_g=1706.0, out_g=1430.0), "weighed 1706 g in, 1430 g out: 84 %"),
        (WaterLost(amount=40.0), "water lost 40 g"),
        (WaterLost(amount=9.0, unit="%"), "water lost 9 %"),
        (FinalWater(percent=70.0), "cooked to 70 % water"),
        (Typical(), "typical weight after cooking"),
        (None, "weight unchanged"),
    ],
)
def test_weight_after_a_stage(choice: WeightChoice | None, text: str) -> None:
    assert weight_text(Stage(id="s", weight=choice) if choice else Stage(id="s")) == text


def test_losses_are_told_in_words() -> None:
    losses = (Loss(kind="fat_left", percent=5.0), Loss(kind="drained", percent=12.0))
    assert (
        losses_text(Stage(id="s", losses=losses))
        == "5 % of the fat stays in the pan, 12 % of the weight in is poured off"
    )
    assert losses_text(Stage(id="s")) == ""


@pytest.mark.parametrize(
    ("portions", "text"),
    [
        (Portions(20.0, 20, 70.0, 0.0, 0.0), "20 pieces of 70 g"),
        (Portions(1.0, 1, 12.34, 0.0, 0.0), "1 piece of 12.3 g"),
        (Portions(19.5, 19, 70.0, 35.0, 10.0), "19 pieces of 70 g, 35 g left over, 10 g trimmings"),
    ],
)
def test_pieces_are_told_with_what_is_left_over(portions: Portions, text: str) -> None:
    assert portions_text(portions) == text
