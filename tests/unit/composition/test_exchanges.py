"""Data files of exchanges and forms: a cell that cannot be used is named by file, line and column."""

from pathlib import Path

import pytest

from workbench.composition.bundled import bundled_foods
from workbench.composition.exchanges import read_exchanges
from workbench.composition.piece_forms import read_forms
from workbench.composition.table_file import CompositionError

FOODS = bundled_foods()
HEAD = "key,replaces,by,amounts,purpose,needs_heat,up_to_percent,loses,trial,source,note\n"
GOOD = "a,butter,coconut_oil|rapeseed_oil;water,=FAT;12.5,,,,flavour,try it,,\n"


def _written(folder: Path, text: str, name: str = "exchanges.csv") -> Path:
    (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_alternatives_are_written_out_in_their_order(tmp_path: Path) -> None:
    found = read_exchanges(_written(tmp_path, HEAD + GOOD), FOODS)
    assert [exchange.by for exchange in found] == [("coconut_oil", "water"), ("rapeseed_oil", "water")]
    assert found[0].amounts == ("FAT", 12.5)


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        (GOOD.replace("butter", "buter"), "replaces", "buter"),
        (GOOD.replace("coconut_oil", "oil"), "by", "oil"),
        (GOOD.replace("=FAT;12.5", "=FAT"), "amounts", "1 amounts where 2 foods"),
        (GOOD.replace("=FAT", "=LUCK"), "amounts", "LUCK"),
        (GOOD.replace("12.5", "-3"), "amounts", "-3"),
        (GOOD.replace("12.5", "nan"), "amounts", "nan"),
        (GOOD.replace("flavour", "soul"), "loses", "soul"),
        (GOOD + GOOD, "key", "twice"),
        (GOOD.replace(",,,,flavour", ",sprint,,,flavour"), "purpose", "sprint"),
    ],
)
def test_a_cell_that_cannot_be_used_is_named(tmp_path: Path, row: str, column: str, said: str) -> None:
    with pytest.raises(CompositionError) as caught:
        read_exchanges(_written(tmp_path, HEAD + row), FOODS)
    assert f"column {column}" in caught.value.where
    assert said in caught.value.summary


LIMITS = "form,kind,what,low,typical,high,source,note\n"
FORMS = (
    "key,title,piece_g,piece_low,piece_high,stages,first,grain,lost_percent,lost_at,water_low,water_high,"
    "salt_low,salt_high,sugar_high,most_ingredients,always,source,note\n"
    "cake,cake,50,40,60,mix:mix;bake:bake,*,raw,5,2,10,30,0,1,40,6,water,,\n"
)


def test_a_limit_of_a_form_that_is_not_there_is_named(tmp_path: Path) -> None:
    _written(tmp_path, FORMS, "forms.csv")
    with pytest.raises(CompositionError) as caught:
        read_forms(_written(tmp_path, LIMITS + "pie,role,fat,0,1,5,,\n", "role_limits.csv"), FOODS)
    assert "pie" in caught.value.summary


@pytest.mark.parametrize("row", ["cake,role,fat,5,1,9,,\n", "cake,role,charm,0,1,5,,\n", "cake,food,pizza,0,1,5,,\n"])
def test_limits_in_the_wrong_order_or_of_nothing_known(tmp_path: Path, row: str) -> None:
    _written(tmp_path, FORMS, "forms.csv")
    with pytest.raises(CompositionError):
        read_forms(_written(tmp_path, LIMITS + row, "role_limits.csv"), FOODS)


def test_limits_of_every_form_hold_in_each(tmp_path: Path) -> None:
    _written(tmp_path, FORMS, "forms.csv")
    rows = "cake,role,fat,0,1,5,,\n,food,agar,,,2,,\n"
    form = read_forms(_written(tmp_path, LIMITS + rows, "role_limits.csv"), FOODS)["cake"]
    assert [limit.what for limit in form.limits] == ["fat", "agar"]
    assert form.limits[0].counts(FOODS["coconut_oil"])
    assert not form.limits[0].counts(FOODS["almonds"]), "fat is only their second role"
