"""What recipes can be made of: the bundled table, and the foods of the library that say what they do in a recipe."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from workbench.composition import kitchen_foods as kitchen
from workbench.composition.bundled import bundled_foods
from workbench.composition.kitchen_foods import kitchen_foods
from workbench.composition.library.store import Library

TABLE = bundled_foods()
MINE = replace(TABLE["oat_drink"], id="mine", name="oat drink of the farm", taken_from=None)


def _library(folder: Path) -> Path:
    path = folder / "library.sqlite"
    with Library.open(path) as library:
        library.put(MINE)
        library.put(replace(MINE, id="roleless", name="something", roles=()))
        library.put(replace(TABLE["honey"], name="honey of the club", taken_from=None))
        library.put(replace(MINE, id="put_away", name="old oat drink"))
        library.deactivate("put_away")
    return path


def test_without_a_library_it_is_the_table(tmp_path: Path) -> None:
    assert kitchen_foods(tmp_path / "none.sqlite") == (TABLE, ())


def test_foods_with_a_role_come_in_and_stand_for_their_namesakes(tmp_path: Path) -> None:
    path = _library(tmp_path)
    foods, problems = kitchen_foods(path)
    assert problems == ()
    assert set(foods) - set(TABLE) == {"mine"}
    taken = foods["mine"].taken_from
    assert taken is not None
    assert taken.kind == "library"
    assert foods["honey"].name == "honey of the club"
    assert list(kitchen_foods(path).foods) == list(foods), "the same library gives the same order"


def test_too_many_of_a_role_are_cut_and_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kitchen, "MOST_OF_A_ROLE", 1)
    path = _library(tmp_path)
    with Library.open(path) as library:
        library.put(replace(MINE, id="another", name="another oat drink"))
    _foods, problems = kitchen_foods(path)
    assert [problem.code for problem in problems] == ["library_cut"]


def test_a_library_that_cannot_be_read_is_left_out_and_named(tmp_path: Path) -> None:
    path = tmp_path / "library.sqlite"
    path.write_bytes(b"no database" * 100)
    foods, problems = kitchen_foods(path)
    assert foods == TABLE
    assert [problem.code for problem in problems] == ["without_library"]
