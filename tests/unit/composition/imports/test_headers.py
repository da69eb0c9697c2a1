"""What a column is taken for."""

import pytest

from workbench.base.errors import WorkbenchError
from workbench.composition.imports.header_words import CARBOHYDRATE, ENERGY, ENERGY_KJ, SALT
from workbench.composition.imports.headers import columns, factor, meaning, overridden


@pytest.mark.parametrize(
    ("text", "target", "unit"),
    [
        ("CHOAVLDF", "CHOAVLDF", ""),
        ("ENERC", ENERGY_KJ, ""),  # INFOODS: energy in kJ where the tag has no ending
        ("203", "PROCNT", ""),
        ("611", "F12D0", ""),
        ("Protein (g)", "PROCNT", "g"),
        ("Sodium, mg", "NA", "mg"),
        ("Na_mg", "NA", "mg"),
        ("Mg", "MG", ""),
        ("Eiweiß [g/100 g]", "PROCNT", "g"),
        ("davon gesättigte Fettsäuren", "FASAT", ""),
        ("davon gesaettigte Fettsaeuren", "FASAT", ""),
        ("Hidratos de carbono (g)", CARBOHYDRATE, "g"),
        ("de los cuales azúcares", "SUGAR", ""),
        ("Fiber, total dietary", "FIBTG", ""),
        ("Energy", ENERGY, ""),
        ("Energy (kcal)", "ENERC_KCAL", "kcal"),
        ("Brennwert kJ", ENERGY_KJ, "kJ"),
        ("Salz", SALT, ""),
        ("Calcium (mcg)", "CA", "µg"),
        ("PROCNT_sd", "sd:PROCNT", ""),
        ("Added sugars", "", ""),
        ("Crude fibre", "", ""),  # another method: half of the fibre or less
        ("FIBC", "", ""),
        ("mg", "", ""),
        ("Vitamin C (mg)", "", ""),
    ],
)
def test_titles_in_three_languages_and_tags(text: str, target: str, unit: str) -> None:
    assert meaning(text)[:2] == (target, unit)


def test_units_are_converted_or_refused() -> None:
    assert factor("NA", "µg") == pytest.approx(0.001)
    assert factor("PROCNT", "mg") == pytest.approx(0.001)
    assert factor("PROCNT", "%") == 1.0
    assert factor(ENERGY_KJ, "") == pytest.approx(1 / 4.184)
    assert factor("NA", "kJ") is None
    assert factor("FIBTG", "IU") is None


def test_a_column_that_repeats_an_earlier_one_is_left_out_with_its_reason() -> None:
    found, per = columns(["Food", "Protein (g)", "Eiweiß", "Fat (g/100 ml)"])
    assert [bool(column.why_not) for column in found] == [False, False, True, False]
    assert per == "100ml"


def test_a_chosen_column_takes_the_place_of_the_one_found() -> None:
    found, _per = columns(["Food", "Protein", "N x 5.7"])
    chosen = overridden(found, {"N x 5.7": "PROCNT:mg"})
    assert chosen[2].target == "PROCNT"
    assert chosen[2].unit == "mg"
    assert chosen[1].why_not


@pytest.mark.parametrize(("column", "target"), [("Protien", "PROCNT"), ("Protein", "PROCNZ"), ("Protein", "PROCNT:kJ")])
def test_a_choice_that_cannot_be_is_refused_with_the_nearest_name(column: str, target: str) -> None:
    found, _per = columns(["Food", "Protein"])
    with pytest.raises(WorkbenchError) as refused:
        overridden(found, {column: target})
    assert refused.value.hint
