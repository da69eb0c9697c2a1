"""Reading a pack label: what may be typed, what stays unknown, and which cause is named for a contradiction."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from workbench.base.errors import AmountError
from workbench.composition.food import Food, Value
from workbench.composition.label import LINES, LabelError, label_entries, read_label, read_line

# An oat crisp; energy by hand from the lines (Regulation (EU) 1169/2011, Annex XIV): 37 x 12.5 + 17 x 58 + 8 x 9 +
# 17 x 8.9 = 1672 kJ; 9 x 12.5 + 4 x 58 + 2 x 9 + 4 x 8.9 = 398 kcal.
CRISP = {
    "energy_kj": "1672",
    "energy_kcal": "398",
    "fat": "12.5",
    "saturates": "2.1",
    "carbohydrate": "58",
    "sugars": "18",
    "fibre": "9",
    "protein": "8.9",
    "salt": "0.83",
}


def codes_and_causes(entries: dict[str, str], **how: object) -> list[tuple[str, str]]:
    return [(finding.code, finding.hint) for finding in read_label(entries, **how).findings]  # type: ignore[arg-type]


def scaled(factor: float, *keys: str) -> dict[str, str]:
    """The crisp with some lines for another amount of it."""
    return {key: f"{float(text) * factor:.4g}" if key in keys else text for key, text in CRISP.items()}


# --- what may be typed ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "typed", "amount"),
    [
        ("fat", "12,5", 12.5),
        ("fat", " 12.5 g", 12.5),
        ("fat", "12,5g", 12.5),
        ("fat", "500 mg", 0.5),
        ("fat", "0", 0.0),
        ("energy_kj", "1 523 kJ", 1523.0),
        ("energy_kj", "1,523", 1523.0),
        ("energy_kj", "1.523 KJ", 1523.0),
        ("energy_kcal", "362.5", 362.5),
        ("sodium", "1.200", 1200.0),
        ("sodium", "0.4 g", 400.0),
        ("sodium", "0,500", 0.5),
        ("salt", "1.250 g", 1.25),
    ],
)
def test_a_figure_is_read_as_it_is_printed(key: str, typed: str, amount: float) -> None:
    figure = read_line(key, typed)
    assert figure is not None
    assert figure.amount == pytest.approx(amount)
    assert not figure.less_than


@pytest.mark.parametrize("typed", ["< 0.5 g", "<0,5", "≤ 0.5", "less than 500 mg", "LESS THAN 0.5"])
def test_less_than_is_a_limit_and_no_value(typed: str) -> None:
    reading = read_label({"sugars": typed})
    assert reading.limits == {"SUGAR": pytest.approx(0.5)}
    assert reading.values == {}


@pytest.mark.parametrize("typed", ["", "   ", "-", "–", "—"])
def test_a_blank_or_a_dash_is_not_known_and_no_zero(typed: str) -> None:
    reading = read_label({**CRISP, "fibre": typed})
    assert "FIBTG" not in reading.values
    assert "FIBTG" not in reading.limits


@pytest.mark.parametrize(
    "typed", ["1x", "12.5.1", "-3", "abc", "1e5", "∞", "nan", "½", "12 g g", "9" * 40, "1/2", "5 kJ"]
)
def test_what_is_no_figure_is_refused_with_its_line_and_a_way_to_mend_it(typed: str) -> None:
    with pytest.raises(LabelError) as caught:
        read_label({"fat": typed})
    assert caught.value.key == "fat"
    assert caught.value.where == "fat"
    assert caught.value.hint


@given(st.text(max_size=40), st.sampled_from([line.key for line in LINES]))
def test_no_text_does_more_than_be_refused(typed: str, key: str) -> None:
    try:
        figure = read_line(key, typed)
    except AmountError:
        return
    assert figure is None or 0.0 <= figure.low <= figure.amount <= figure.high


def test_more_fat_than_food_is_refused() -> None:
    with pytest.raises(LabelError, match="cannot be in 100 g") as caught:
        read_label({"fat": "125"})
    assert caught.value.key == "fat"
    with pytest.raises(LabelError) as caught:
        read_label(CRISP, per_g=30.0)
    assert "per 100 g, not per serving of 30 g" in caught.value.hint
    # 14 g of oil in a tablespoon of 13.6 g is rounding, and no more than 100 g in 100 g.
    assert read_label({"fat": "14"}, per_g=13.6).values["FAT"].value == 100.0


def test_a_serving_needs_a_weight() -> None:
    for per_g in (0.0, -5.0, float("nan"), float("inf")):
        with pytest.raises(LabelError):
            read_label(CRISP, per_g=per_g)


# --- what becomes of it ---------------------------------------------------------------------------------------------


def test_values_are_per_100_g_and_say_where_they_are_from() -> None:
    reading = read_label({"fat": "3", "salt": "0.25"}, per_g=25.0, source="coast crisps")
    assert reading.values["FAT"] == Value(12.0, "label", "coast crisps")
    assert reading.values["NA"].value == pytest.approx(400.0)  # salt is 2.5 times sodium
    assert set(reading.values) == {"FAT", "NA"}


def test_kj_alone_gives_published_energy_with_a_note() -> None:
    value = read_label({"energy_kj": "1672"}).values["ENERC_KCAL"]
    assert value.value == pytest.approx(399.6, abs=0.05)
    assert "kJ" in value.note


def test_what_was_typed_comes_back_for_a_change() -> None:
    typed = {**CRISP, "starch": "< 40", "salt": "0,83"}
    del typed["energy_kj"]
    reading = read_label(typed)
    food = Food(id="f", name="crisp", values=reading.values, limits=reading.limits)
    entries, fibre_inside = label_entries(food)
    assert entries == {**typed, "salt": "0.83"}
    assert not fibre_inside
    again = read_label(entries)
    assert {tag: v.value for tag, v in again.values.items()} == {tag: v.value for tag, v in reading.values.items()}
    assert again.limits == reading.limits
    american = read_label({"carbohydrate": "67", "fibre": "9", "sodium": "330"}, fibre_in_carbohydrate=True)
    entries, fibre_inside = label_entries(replace(food, values=american.values, limits={}))
    assert entries == {"carbohydrate": "67", "fibre": "9", "sodium": "330"}
    assert fibre_inside


# --- contradictions -------------------------------------------------------------------------------------------------

ENERGY = ("energy_kj", "energy_kcal")
# Wheat bran: 37 x 4.3 + 17 x 22 + 8 x 43 + 17 x 16 = 1149 kJ.
BRAN = {"energy_kj": "1149", "fat": "4.3", "carbohydrate": "22", "fibre": "43", "protein": "16"}
REST = ("fat", "saturates", "carbohydrate", "sugars", "fibre", "protein", "salt")


def test_a_sane_label_is_left_alone() -> None:
    assert codes_and_causes(CRISP) == []
    assert codes_and_causes(scaled(0.3, *ENERGY, *REST), per_g=30.0) == []
    without_fibre = {key: text for key, text in CRISP.items() if key != "fibre"}
    assert codes_and_causes(without_fibre) == []  # 9 g of it may be there unlisted
    mean_values = {**CRISP, "energy_kj": "1610", "energy_kcal": "383"}  # 4 % less than from the lines
    assert codes_and_causes(mean_values) == []


@pytest.mark.parametrize(
    ("entries", "how", "code", "cause"),
    [
        ({**CRISP, "energy_kj": "398", "energy_kcal": "1672"}, {}, "label_kj_and_kcal", "kJ and kcal are swapped"),
        ({**CRISP, "energy_kj": "1627", "energy_kcal": "938"}, {}, "label_kj_and_kcal", "check the one in kcal"),
        ({**CRISP, "energy_kj": "1172"}, {}, "label_kj_and_kcal", "check the one in kJ"),
        ({**CRISP, "energy_kj": "", "energy_kcal": "1672"}, {}, "label_energy_impossible", "in kJ"),
        ({**CRISP, "energy_kj": "398", "energy_kcal": ""}, {}, "label_energy_off", "in kcal"),
        ({**CRISP, "carbohydrate": "67"}, {}, "label_energy_off", "carbohydrate line includes the fibre"),
        (BRAN, {"fibre_in_carbohydrate": True}, "label_energy_off", "does not include the fibre"),
        (scaled(0.3, *ENERGY), {}, "label_energy_off", "serving of about 30 g"),
        (
            {"fat": "12.5", "carbohydrate": "25"},
            {"per_g": 30.0},
            "label_over_100",
            "per 100 g, not per serving of 30 g",
        ),
        (scaled(0.6, *REST), {"per_g": 60.0}, "label_energy_off", "per 100 g and the rest per serving of 60 g"),
        (scaled(0.3, *REST), {"per_g": 30.0}, "label_energy_impossible", "per 100 g and the rest per serving of 30 g"),
        ({"energy_kcal": "398"}, {"per_g": 30.0}, "label_energy_impossible", "per serving of 30 g"),
        ({**CRISP, "saturates": "14"}, {}, "label_part_over_whole", "swapped"),
        ({**CRISP, "sugars": "18", "carbohydrate": "8"}, {}, "label_part_over_whole", "per serving"),
        ({**CRISP, "monounsaturates": "8", "polyunsaturates": "6"}, {}, "label_parts_over_whole", "per serving"),
        ({**CRISP, "sugars": "38", "starch": "38"}, {}, "label_parts_over_whole", "a part of another"),
        ({**CRISP, "sodium": "830"}, {}, "label_salt_and_sodium", "which of the two"),
        ({**CRISP, "sodium": "0.33"}, {}, "label_salt_and_sodium", "sodium is in g"),
    ],
)
def test_a_contradiction_names_its_likely_cause(entries: dict[str, str], how: dict, code: str, cause: str) -> None:
    assert any(code == c and cause in hint for c, hint in codes_and_causes(entries, **how)), codes_and_causes(
        entries, **how
    )


def test_a_finding_says_which_line_it_is_about() -> None:
    (finding,) = read_label({**CRISP, "saturates": "14"}).findings
    assert finding.where[0].id == "saturates"
    assert finding.sentence().startswith("of which saturates: 14 g is more than fat, 12.5 g")


def test_an_energy_that_no_food_has_is_not_taken_over() -> None:
    reading = read_label({"energy_kcal": "1672"})
    assert "ENERC_KCAL" not in reading.values
    assert [finding.code for finding in reading.findings] == ["label_energy_impossible"]


def test_fibre_that_a_us_label_counts_as_carbohydrate_is_not_counted_twice() -> None:
    """Bran: 64.5 g carbohydrate with 42.8 g fibre in it; together they would be more than there is room for."""
    bran = {"fat": "4", "carbohydrate": "65", "fibre": "43", "protein": "16"}
    assert codes_and_causes(bran, fibre_in_carbohydrate=True) == []
    assert [(code, "includes the fibre" in hint) for code, hint in codes_and_causes(bran)] == [("label_over_100", True)]
    assert [code for code, _hint in codes_and_causes({**bran, "fibre": "70"}, fibre_in_carbohydrate=True)] == [
        "label_part_over_whole"
    ]
