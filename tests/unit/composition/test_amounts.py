"""Amounts as a cook types them."""

import pytest

from workbench.base.errors import AmountError
from workbench.base.text import use_language
from workbench.composition.amounts import AmbiguousAmount, parse_amount
from workbench.composition.food import Food, Measure

# USDA SR26 9094: 1 cup of dried figs = 149 g, 1 fig = 8.4 g; 19296: 1 cup of honey = 339 g (SCIENCE.md section 9).
FIGS = Food(
    id="figs",
    name="figs, dried",
    measures=(Measure("fig", 8.4, "sr26"), Measure("cup", 149, "sr26")),
    density_g_per_ml=0.5,  # not its own cup's, so that a test sees which was used
)
HONEY = Food(id="honey", name="honey", density_g_per_ml=1.433)
CHIA = Food(id="chia", name="chia seed", measures=(Measure("handful", 20),))
# SR26 12061: sliced 92 g, whole 143 g.
CUPS = (Measure("cup, sliced", 92, "sr26"), Measure("cup, whole", 143, "sr26"))
ALMONDS = Food(id="almonds", name="almonds", measures=CUPS)
OWN = Food(id="own", name="club mix", measures=(Measure("cup", 120),))
US_CUP, METRIC_CUP = 236.5882365, 250.0


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("300", 300),
        ("300 g", 300),
        ("300g", 300),
        ("0", 0),
        (".5 kg", 500),
        ("1,5 kg", 1500),
        ("1.5 kg", 1500),
        ("1.500", 1.5),
        ("0,500 g", 0.5),
        ("1 500 g", 1500),
        ("1\u202f500,5 g", 1500.5),
        ("1’500 g", 1500),
        ("1,500.5 g", 1500.5),
        ("1.234,5 g", 1234.5),
        ("1,500,000 mg", 1500),
        ("1e2 g", 100),
        ("\uff13\uff10\uff10 g", 300),
        ("3 oz", 3 * 28.349523125),
        ("2 lb.", 2 * 453.59237),
    ],
)
def test_a_weight_is_read_in_any_unit(text: str, grams: float) -> None:
    found = parse_amount(text, None, "metric")
    assert found.grams == pytest.approx(grams, rel=1e-12)
    assert found.note == ""


@pytest.mark.parametrize(
    ("text", "food", "system", "grams"),
    [
        # An ingredient's own measure beats its density; a sourced cup is a US one and is converted by volume.
        ("½ cup", FIGS, "us", 74.5),
        ("1 ½ cup", FIGS, "us", 223.5),
        ("1½ cups", FIGS, "us", 223.5),
        ("3/4 cup", FIGS, "us", 111.75),
        ("1 cup", FIGS, "metric", 149 * METRIC_CUP / US_CUP),
        ("1 US cup", FIGS, "metric", 149),
        ("1 metric cup", FIGS, "us", 149 * METRIC_CUP / US_CUP),
        ("2 figs", FIGS, "metric", 16.8),
        ("1 fig", FIGS, "us", 8.4),
        ("2 dried figs", FIGS, "us", 16.8),
        ("1 cup of dried figs", FIGS, "us", 149),
        # Without a source a cup is the project's own.
        ("1 cup", OWN, "metric", 120),
        ("1 cup", OWN, "us", 120),
        ("1 US cup", OWN, "metric", 120 * US_CUP / METRIC_CUP),
        # Density next; then the density that another of its measures tells.
        ("3 ml", HONEY, "metric", 4.299),
        ("1/2 tsp", HONEY, "metric", 2.5 * 1.433),
        ("2 tbsp of honey", HONEY, "us", 2 * 14.78676478125 * 1.433),
        ("3 fl oz", HONEY, "metric", 3 * 29.5735295625 * 1.433),
        ("1 ml", FIGS, "metric", 0.5),
        ("1 dl", OWN, "metric", 48),
        # One of several cups must be named.
        ("1 cup sliced", ALMONDS, "us", 92),
        ("2 cups, whole", ALMONDS, "us", 286),
        ("1 metric cup whole almonds", ALMONDS, "us", 143 * METRIC_CUP / US_CUP),
        ("2 handfuls", CHIA, "us", 40),
    ],
)
def test_a_spoon_or_a_cup_is_weighed_by_its_ingredient(text: str, food: Food, system: str, grams: float) -> None:
    found = parse_amount(text, food, system)  # type: ignore[arg-type]
    assert found.grams == pytest.approx(grams, rel=1e-9)
    assert food.name in found.note
    assert found.entered == text


@pytest.mark.parametrize(
    ("text", "comma", "readings"),
    [
        ("1,500 g", False, [(1.5, "1.5 g"), (1500, "1500 g")]),
        ("12,345", False, [(12.345, "12.345 g"), (12345, "12345 g")]),
        ("1.500 g", True, [(1.5, "1,5 g"), (1500, "1500 g")]),
    ],
)
def test_a_sign_that_may_separate_thousands_is_asked_about(
    text: str, comma: bool, readings: list[tuple[float, str]]
) -> None:
    with pytest.raises(AmbiguousAmount) as caught:
        parse_amount(text, None, "metric", decimal_comma=comma)
    assert [(one.grams, one.entered) for one in caught.value.readings] == readings
    assert all(one.entered in caught.value.summary for one in caught.value.readings)
    for one in caught.value.readings:  # each answer can be typed as it stands
        assert parse_amount(one.entered, None, "metric", decimal_comma=comma).grams == one.grams


def test_the_language_says_which_sign_is_the_decimal_one() -> None:
    use_language("de")
    try:
        assert parse_amount("1,500 g", None, "metric").grams == 1.5
        with pytest.raises(AmbiguousAmount):
            parse_amount("1.500 g", None, "metric")
    finally:
        use_language("en")


def test_a_reading_over_the_limit_is_no_reading() -> None:
    assert parse_amount("1,500 kg", None, "metric").grams == 1500


@pytest.mark.parametrize(
    ("text", "food", "words"),
    [
        ("abc", FIGS, "“abc” is not an amount."),
        ("", FIGS, "The amount is empty."),
        ("   ", FIGS, "The amount is empty."),
        ("-3 g", FIGS, "cannot be negative"),
        ("−3 g", FIGS, "cannot be negative"),
        ("NaN", FIGS, "is not an amount"),
        ("∞", FIGS, "is not an amount"),
        ("1/0 cup", FIGS, "is not an amount"),
        ("1 5/4 cup", FIGS, "is not an amount"),
        ("1 50 g", FIGS, "is not an amount"),
        ("1,50,0 g", FIGS, "is not an amount"),
        ("120+30", FIGS, "is not an amount"),
        ("10² g", FIGS, "is not an amount"),
        ("cup", FIGS, "is not an amount"),
        ("1" * 5000, FIGS, "is not an amount"),
        ("1e9 kg", FIGS, "The limit is 1000 kg."),
        ("1e999", FIGS, "The limit is 1000 kg."),
        ("3 ml", CHIA, "chia seed has no density, so an amount in ml cannot become grams."),
        ("1 cup", None, "has no density"),
        ("1 cup", ALMONDS, "Say which: “cup, sliced”, “cup, whole”."),
        ("3 tablespon", FIGS, "Did you mean “tablespoon”?"),
        ("3 handfull", CHIA, "Did you mean “handful”?"),
        ("3 parsec", CHIA, "Known here: g, kg, oz, lb, ml, l, cup, tbsp, tsp, fl oz, handful."),
        ("3 pieces", None, "“pieces” is not a known unit."),
        ("3 g sliced", FIGS, "is not a known unit"),
    ],
)
def test_what_cannot_be_read_says_why_and_how_to_mend_it(text: str, food: Food | None, words: str) -> None:
    with pytest.raises(AmountError) as caught:
        parse_amount(text, food, "metric")
    assert words in caught.value.lines()[0]
    assert caught.value.hint
    assert len(caught.value.lines()[0]) < 250
