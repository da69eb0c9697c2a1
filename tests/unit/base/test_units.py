"""Every factor against outside sources: pint, and the US measures of SCIENCE.md section 11, row 70."""

import pytest

from workbench.base.units import SPELLINGS, UNITS, find_unit

# Our name -> pint's.  The metric cup, tablespoon and teaspoon are checked as plain millilitres below.
PINT_NAMES = {
    "oz": "ounce",
    "lb": "pound",
    "fl oz": "fluid_ounce",
    "US cup": "cup",
    "US tbsp": "tablespoon",
    "US tsp": "teaspoon",
}


def test_factors_agree_with_pint() -> None:
    import pint

    registry = pint.UnitRegistry()
    checked = 0
    for name, unit in UNITS.items():
        if name.startswith("metric"):
            continue
        base = "gram" if unit.kind == "mass" else "milliliter"
        expected = registry.Quantity(1.0, PINT_NAMES.get(name, name)).to(base).magnitude
        assert unit.factor == pytest.approx(expected, rel=1e-12), name
        checked += 1
    assert checked == len(UNITS) - 3


@pytest.mark.parametrize(("name", "ml"), [("US cup", 236.588), ("US tbsp", 14.787), ("US tsp", 4.929)])
def test_us_measures_as_published(name: str, ml: float) -> None:
    """SCIENCE.md section 11, row 70: within 0.001 ml."""
    assert UNITS[name].factor == pytest.approx(ml, abs=0.001)


def test_metric_cups_and_spoons_hold_whole_millilitres() -> None:
    """Metric kitchen measures: 250, 15 and 5 ml; common practice, no source."""
    assert [UNITS[f"metric {word}"].factor for word in ("cup", "tbsp", "tsp")] == [250, 15, 5]


def test_only_kitchen_words_follow_the_measure_system() -> None:
    different = {word for word in SPELLINGS if find_unit(word, "metric") != find_unit(word, "us")}
    assert {SPELLINGS[word] for word in different} == {"cup", "tbsp", "tsp"}
    assert find_unit("US cup", "metric") == find_unit("cup", "us")
    assert find_unit("Metric Tablespoons", "us") == find_unit("tbsp", "metric")


def test_an_ounce_is_a_mass_and_a_fluid_ounce_a_volume() -> None:
    assert [find_unit(text, "us").kind for text in ("oz", "Ounces", "fl. oz.", "fluid ounces")] == [
        "mass",
        "mass",
        "volume",
        "volume",
    ]
    assert find_unit("pint", "us") is None  # several sizes
