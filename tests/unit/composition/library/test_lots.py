"""Lots of suppliers: their figures as they are typed, and that nothing of them is lost on the library's ways."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from tests.support import make_food
from workbench.base.errors import AmountError
from workbench.base.progress import Progress
from workbench.composition.library.lots import figures_text, ingredient_of, read_figures
from workbench.composition.library.records import Lot, TableInfo
from workbench.composition.library.store import Library

MEAL = replace(make_food("maize meal", {"WATER": 12.0, "FAT": 3.0}, limits={"NA": 2.0}), taken_from=None)


@pytest.mark.parametrize(
    ("text", "figures"),
    [
        ("water 11.2 g; protein 12,8", {"WATER": 11.2, "PROCNT": 12.8}),
        ("C8:0 7.1 g\ncarbohydrate without fibre: 61", {"F8D0": 7.1, "CHOAVLDF": 61.0}),
        ("sodium 0.4 g", {"NA": 400.0}),
        # Salt is sodium x 2.5 (Regulation (EU) No 1169/2011, Annex I, 11); 1 kcal is 4.184 kJ.
        ("salt 1 g; energy 1500 kJ", {"NA": 400.0, "ENERC_KCAL": 1500 / 4.184}),
        ("dry matter 88 %", {"WATER": 12.0}),
        ("", {}),
    ],
)
def test_figures_are_read_as_they_are_typed(text: str, figures: dict[str, float]) -> None:
    assert read_figures(text) == pytest.approx(figures)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("fat", "no figure"),
        ("carbohydrate 70", "not clear which component"),
        ("water 11 ml", "“ml” does not fit"),
        ("water 112", "more than there can be"),
        ("water 11; moisture 12", "stands twice"),
    ],
)
def test_what_cannot_be_read_is_said_and_never_guessed(text: str, words: str) -> None:
    with pytest.raises(AmountError, match=words):
        read_figures(text)


def test_the_lot_as_an_ingredient_has_its_own_figures_and_the_usual_ones_beside_them() -> None:
    lot = Lot(code="4711", supplier="the mill", received="2026-10-02", figures={"WATER": 11.2, "NA": 1.0})
    food = ingredient_of(MEAL, lot, "new")
    assert {tag: value.value for tag, value in food.values.items()} == {"WATER": 11.2, "FAT": 3.0, "NA": 1.0}
    assert food.values["WATER"].source == "lot 4711 the mill 2026-10-02" and food.limits == {}
    assert (food.id, food.name) == ("new", "maize meal, lot 4711")
    assert figures_text(lot) == "water 11.2 g; sodium 1 mg"


def test_lots_outlast_a_new_import_a_back_up_and_a_merge(tmp_path: Path) -> None:
    lot = Lot(code="4711", best_before="2027-04-01", figures={"WATER": 11.2})
    info = TableInfo(key="mill", title="the mill’s table")
    with Library.open(tmp_path / "library.sqlite") as library:
        library.import_table(info, [replace(MEAL, id="1")], Progress())
        library.set_lots("mill:1", [lot])
        library.import_table(info, [replace(MEAL, id="1", name="maize meal, fine")], Progress())
        library.back_up(tmp_path / "copy.sqlite")
    with Library.open(tmp_path / "other.sqlite") as other:
        other.import_table(info, [replace(MEAL, id="1", name="maize meal, fine")], Progress())
        (differing,) = other.what_merging_changes(tmp_path / "copy.sqlite").differing
        assert differing.what == "lots"
        other.merge(tmp_path / "copy.sqlite", {"mill:1": "theirs"})
        entry = other.entry("mill:1")
    assert entry is not None and entry.lots == (lot,) and entry.food.name == "maize meal, fine"
