"""A composition table that cannot be used is refused with file, line, column and a way to mend it."""

import shutil
from collections.abc import Callable
from pathlib import Path

import msgspec
import pytest

from workbench.base import paths
from workbench.composition.bundled import bundled_foods, read_foods, row_hash
from workbench.composition.food import Food, Value
from workbench.composition.sources import read_reviews
from workbench.composition.table_file import CompositionError

Edit = Callable[[str], str]


@pytest.fixture
def table(tmp_path: Path) -> Path:
    """A small table of two foods, cut from the bundled one."""
    for file in paths.ingredient_db().glob("*.csv"):
        lines = file.read_text(encoding="utf-8").splitlines(keepends=True)
        if file.name in ("ingredients.csv", "facts.csv", "measures.csv", "provenance.csv"):
            lines = [lines[0], *(line for line in lines if line.startswith(("coconut_oil,", "rice_long_grain,")))]
        (tmp_path / file.name).write_text("".join(lines), encoding="utf-8")
    return tmp_path


def edit(folder: Path, name: str, change: Edit) -> None:
    path = folder / name
    old = path.read_text(encoding="utf-8")
    new = change(old)
    assert new != old, "the edit changed nothing"
    path.write_text(new, encoding="utf-8")


def test_the_cut_table_loads(table: Path) -> None:
    foods = read_foods(table, "test")
    assert list(foods) == ["rice_long_grain", "coconut_oil"]
    rice = foods["rice_long_grain"]
    assert rice.values["PROCNT"].value == 7.13  # USDA SR26 20444
    assert rice.values["CHOCDF"].kind == "calculated"
    assert rice.taken_from is not None and rice.taken_from.table_version == "test"
    assert rice.contains == ()  # stated: none, which is not the same as not stated
    assert "FIBSOL" not in rice.values


@pytest.mark.parametrize(
    ("name", "change", "place"),
    [
        ("ingredients.csv", lambda t: t.replace(",7.13,", ",7.1x,"), "ingredients.csv, line 2, column PROCNT"),
        ("ingredients.csv", lambda t: t.replace(",7.13,", ",-7.13,"), "ingredients.csv, line 2, column PROCNT"),
        ("ingredients.csv", lambda t: t.replace(",7.13,", ",nan,"), "ingredients.csv, line 2, column PROCNT"),
        ("ingredients.csv", lambda t: t.replace(",7.13,", ",inf,"), "ingredients.csv, line 2, column PROCNT"),
        ("ingredients.csv", lambda t: t.replace(",sr26,20444,", ",sr99,20444,"), "line 2, column source"),
        ("ingredients.csv", lambda t: t.replace(",sr26,20444,", ",sr26,,"), "line 2, column code"),
        ("ingredients.csv", lambda t: t + t.splitlines()[1] + "\n", "line 4, column id"),
        ("ingredients.csv", lambda t: t.replace("PROCNT", "PROTEIN"), "ingredients.csv, line 1"),
        ("ingredients.csv", lambda t: t.replace("PROCNT", "FAT", 1), "ingredients.csv, line 1"),
        ("ingredients.csv", lambda t: t.replace(",7.13,", ",7,13,"), "ingredients.csv, line 2"),
        ("facts.csv", lambda t: t.replace(",plant,", ",planet,", 1), "facts.csv, line 2, column origin"),
        ("facts.csv", lambda t: t.replace("bulk_starch", "bulk"), "facts.csv, line 2, column roles"),
        ("facts.csv", lambda t: t.replace("rice_white", "rise"), "facts.csv, line 2, column digestibility"),
        ("facts.csv", lambda t: t.replace("coconut,,fat", "nutcoco,,fat"), "facts.csv, line 3, column contains"),
        ("facts.csv", lambda t: "".join(t.splitlines(keepends=True)[:2]), "ingredients.csv, line 3, column id"),
        ("provenance.csv", lambda t: t.replace(",FAT,", ",FATS,", 1), "column tag"),
        ("provenance.csv", lambda t: t + t.splitlines()[1] + "\n", "column tag"),
        ("provenance.csv", lambda t: t + "coconut_oil,STARCH,,,,,3,,\n", "column value"),
        ("measures.csv", lambda t: t.replace(",cup,", ",,", 1), "column measure"),
        ("measures.csv", lambda t: t.replace(",218,", ",0,"), "column grams"),
        ("digestibility.csv", lambda t: t.replace(",0.84,", ",8.4,"), "column d_protein"),
        ("fat_profiles.csv", lambda t: t.replace(",44.6,", ",446,"), "column F12D0"),
        ("sources.csv", lambda t: t.replace("CHOCDF;ENERC_KCAL", "CARBS"), "column calculated"),
    ],
)
def test_bad_cells_are_named(table: Path, name: str, change: Edit, place: str) -> None:
    edit(table, name, change)
    with pytest.raises(CompositionError) as caught:
        read_foods(table, "test")
    assert name in caught.value.where or "facts" in name
    assert place in caught.value.where
    assert caught.value.summary


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("coconut_oils,FAT,table_closure,why", "food"),
        ("coconut_oil,FATS,table_closure,why", "tag"),
        ("coconut_oil,FAT,,why", "finding"),
        ("coconut_oil,FAT,table_closure,", "reason"),
        ("coconut_oil,,table_closure,why\ncoconut_oil,,table_closure,again", "finding"),
    ],
)
def test_a_review_that_cannot_be_used_is_named(table: Path, line: str, column: str) -> None:
    (table / "reviews.csv").write_text(f"food,tag,finding,reason\n{line}\n", encoding="utf-8")
    with pytest.raises(CompositionError) as caught:
        read_reviews(table, read_foods(table, "test"))
    assert caught.value.where.startswith("reviews.csv") and caught.value.where.endswith(f"column {column}")


def test_a_known_word_is_offered_in_the_hint(table: Path) -> None:
    edit(table, "facts.csv", lambda t: t.replace(",plant,", ",planet,", 1))
    with pytest.raises(CompositionError) as caught:
        read_foods(table, "test")
    assert "plant" in caught.value.hint and "planet" in caught.value.summary


def test_a_missing_file_is_named(table: Path) -> None:
    (table / "measures.csv").unlink()
    with pytest.raises(CompositionError) as caught:
        read_foods(table, "test")
    assert caught.value.where == "measures.csv" and caught.value.hint


def test_a_file_in_another_encoding_is_refused(table: Path) -> None:
    text = (table / "facts.csv").read_text(encoding="utf-8").replace("Kokosöl", "Kokosöl ")
    (table / "facts.csv").write_bytes(text.encode("latin-1", errors="replace"))
    with pytest.raises(CompositionError) as caught:
        read_foods(table, "test")
    assert caught.value.where == "facts.csv"


def test_the_hash_follows_what_changes_a_result_and_nothing_else(table: Path) -> None:
    before = read_foods(table, "test")["rice_long_grain"]
    edit(table, "ingredients.csv", lambda t: t.replace("rice, white, long-grain, raw", "long-grain rice"))
    shutil.copy(paths.ingredient_db() / "sources.csv", table)
    renamed = read_foods(table, "later")["rice_long_grain"]
    assert renamed.name == "long-grain rice"
    assert row_hash(renamed) == row_hash(before)
    edit(table, "ingredients.csv", lambda t: t.replace(",7.13,", ",7.14,"))
    assert row_hash(read_foods(table, "test")["rice_long_grain"]) != row_hash(before)
    risky = msgspec.structs.replace(before, may_contain=("sesame",))
    assert row_hash(risky) != row_hash(before)


def test_the_hash_is_the_same_on_every_machine_and_in_every_version() -> None:
    """A project compares the hash of its copy with this table; hashing otherwise would mark every row as changed."""
    food = Food(id="x", name="x", values={"FAT": Value(99.48, source="sr26", code="1003")}, origin="dairy", contains=())
    assert row_hash(food) == "0d2bdb2ede379787"


def test_no_two_rows_have_the_same_content() -> None:
    assert len({row_hash(food) for food in bundled_foods().values()}) == len(bundled_foods())


def test_the_table_cannot_be_changed_by_accident() -> None:
    with pytest.raises(TypeError):
        bundled_foods()["water"] = bundled_foods()["salt"]  # type: ignore[index]
