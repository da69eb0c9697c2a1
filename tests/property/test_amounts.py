"""Whatever is typed gives a usable weight or one message."""

import math

from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.property.strategies import measures, names
from workbench.base.errors import AmountError
from workbench.base.units import SPELLINGS, System
from workbench.composition.amounts import LIMIT_G, AmbiguousAmount, parse_amount
from workbench.composition.food import Food

_pieces = st.sampled_from(
    ["1", "½", "/", " ", ",", ".", "500", "e9", "-", "'", "\u2009", "²", *SPELLINGS, "piece", "of"]
)
typed = st.text(max_size=20) | st.lists(_pieces, max_size=8).map("".join)


_foods = st.builds(
    Food,
    id=st.just("food"),
    name=names,
    density_g_per_ml=st.none() | st.floats(0.1, 2),
    measures=st.lists(measures, max_size=2).map(tuple),
    edible_fraction=st.floats(0.1, 1),
)


@settings(max_examples=500)
@given(typed, st.none() | _foods, st.sampled_from(("metric", "us")), st.booleans())
@example("1" + "0" * 59, None, "metric", False)
@example("1e" + "9" * 57, None, "metric", False)
def test_any_text_is_an_amount_or_one_message(text: str, food: Food | None, system: System, comma: bool) -> None:
    try:
        readings = [parse_amount(text, food, system, decimal_comma=comma)]
    except AmbiguousAmount as question:
        readings = list(question.readings)
        assert len(readings) == 2
    except AmountError as error:
        readings = []
        if not (error.summary and error.hint):
            raise AssertionError(repr(text)) from error
    for reading in readings:
        assert math.isfinite(reading.grams)
        assert 0 <= reading.grams <= LIMIT_G


@given(st.floats(0, 1000).map(lambda x: round(x, 2)), st.sampled_from(("g", "kg", "oz", "lb")), st.booleans())
def test_either_decimal_sign_means_the_same(number: float, unit: str, comma: bool) -> None:
    """Two decimals never look like thousands."""
    text = f"{number:.2f} {unit}"
    expected = parse_amount(text, None, "metric", decimal_comma=False).grams
    assert parse_amount(text.replace(".", ","), None, "metric", decimal_comma=comma).grams == expected
