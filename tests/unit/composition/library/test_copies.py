"""Back-ups, restoring and merging: what will change is said first, and then exactly that happens."""

import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from msgspec.structs import replace

from tests.support import make_food
from workbench.base.progress import Cancelled, Progress
from workbench.composition.library import steps
from workbench.composition.library.backup import rolling
from workbench.composition.library.connection import LibraryError
from workbench.composition.library.records import Choice, TableInfo
from workbench.composition.library.store import Library
from workbench.composition.search_ranking import typed_words

FIGS, DATES, PLUMS = (make_food(name, {"WATER": 30.0}) for name in ("figs", "dates", "plums"))


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with Library.open(tmp_path / "library.sqlite") as opened:
        opened.put_all([FIGS, DATES], words="two foods")
        yield opened


def names(library: Library) -> list[str]:
    return sorted(food.name for food in library.foods())


def test_restoring_says_what_it_changes_and_keeps_the_state_before(library: Library, tmp_path: Path) -> None:
    copy = tmp_path / "copy.sqlite"
    library.back_up(copy)
    library.delete("dates")
    library.put(replace(FIGS, name="dried figs"))
    library.put(PLUMS)
    change = library.what_restoring_changes(copy)
    assert (change.n_foods, change.coming_back, change.going, change.changing) == (2, 1, 1, 1)
    assert change.words().endswith("restoring brings back 1, removes 1, and changes 1")
    before = library.restore(copy)
    assert names(library) == ["dates", "figs"]
    with Library.open(before, readonly=True) as kept:
        assert [one.id for one in kept.index.found(typed_words("plum"), 10, None, similar=False)] == ["plums"]
    library.restore(before)
    assert names(library) == ["dried figs", "plums"]


def test_a_library_of_other_tags_restored_by_another_program_is_read_rightly(library: Library, tmp_path: Path) -> None:
    library.put(make_food("x", {"MINE": 1.0}))
    with Library.open(tmp_path / "other.sqlite") as other:
        other.put(make_food("y", {"THEIRS": 2.0}))
    assert library.food("x") is not None
    with Library.open(library.path) as another:
        another.restore(tmp_path / "other.sqlite")
    food = library.food("y")
    assert food is not None and list(food.values) == ["THEIRS"]


def test_a_copy_from_another_computer_that_numbers_its_tags_otherwise_is_compared_by_what_it_holds(
    library: Library, tmp_path: Path
) -> None:
    mine, theirs = make_food("mine", {"MINE": 1.0}), make_food("theirs", {"THEIRS": 2.0})
    with Library.open(tmp_path / "other.sqlite") as other:
        for keeping, foods in ((library, (mine, theirs)), (other, (theirs, mine))):
            for food in foods:
                keeping.put(food)
        other.put(replace(FIGS, name="dried figs"))
        library.delete("dates")
        change = library.what_restoring_changes(other.path)
    assert (change.n_foods, change.coming_back, change.going, change.changing) == (3, 0, 0, 1)


def test_what_is_no_sound_library_is_not_restored(library: Library, tmp_path: Path) -> None:
    (tmp_path / "text").write_text("no library " * 100)
    (tmp_path / "empty").touch()
    copy = tmp_path / "copy.sqlite"
    library.back_up(copy)
    with copy.open("r+b") as handle:
        handle.seek(copy.stat().st_size // 2)
        handle.write(b"\xff" * 20_000)
    for name, message in (
        ("text", "not a library"),
        ("empty", "not a library"),
        ("none", "no such"),
        (copy, "damaged"),
    ):
        with pytest.raises(LibraryError, match=message):
            library.restore(tmp_path / name)
    assert names(library) == ["dates", "figs"]


def test_states_before_the_last_restorings_are_kept_and_earlier_ones_go(library: Library, tmp_path: Path) -> None:
    backup = tmp_path / "copy.sqlite"
    library.back_up(backup)
    befores = []
    for k in range(7):
        library.put(make_food(f"fruit {k}", {}))
        befores.append(library.restore(backup))
    assert sorted(library.path.parent.glob("library.before-restoring-*")) == befores[-5:]
    with Library.open(befores[-1], readonly=True) as kept:
        assert "fruit 6" in names(kept)


def test_a_back_up_is_whole_or_not_there(library: Library, tmp_path: Path) -> None:
    target = tmp_path / "copy.sqlite"
    progress = Progress()
    progress.cancelled = True
    with pytest.raises(Cancelled):
        library.back_up(target, progress)
    with pytest.raises(LibraryError, match="could not be written"):
        library.back_up(tmp_path / "no folder" / "copy.sqlite")
    with pytest.raises(LibraryError, match="another file"):
        library.back_up(library.path)
    assert [path.name for path in tmp_path.iterdir()] == ["library.sqlite"]


def test_copies_are_made_before_an_import_and_after_a_day(library: Library) -> None:
    copy = rolling(library.path)
    copy.unlink(missing_ok=True)
    library.import_table(TableInfo(key="t", title="t"), [make_food("1", {})], Progress())
    with Library.open(copy, readonly=True) as kept:
        assert names(kept) == ["dates", "figs"]
    library.put(PLUMS)
    with Library.open(copy, readonly=True) as kept:
        assert names(kept) == ["dates", "figs"]  # the copy of today is enough
    os.utime(copy, (time.time() - 100_000,) * 2)
    library.delete("plums")
    with Library.open(copy, readonly=True) as kept:
        assert "plums" in names(kept)


def test_the_last_states_before_restoring_are_kept(library: Library, tmp_path: Path) -> None:
    copy = tmp_path / "copy.sqlite"
    library.back_up(copy)
    kept = [library.restore(copy) for _time in range(7)]
    assert [path.exists() for path in kept] == [False, False, True, True, True, True, True]
    library.restore(kept[2])  # the oldest is not deleted while it is being taken
    assert kept[2].exists() and kept[3].exists()


@pytest.mark.parametrize(
    ("choices", "otherwise", "figs"),
    [
        ({}, "mine", "figs"),
        ({}, "theirs", "figs of theirs"),
        ({}, "newer", "figs of theirs"),
        ({"figs": "mine"}, "theirs", "figs"),
    ],
)
def test_merging_does_what_its_preview_says(
    library: Library,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    choices: dict[str, Choice],
    otherwise: Choice,
    figs: str,
) -> None:
    monkeypatch.setattr(steps, "now", lambda: "2999-01-01T00:00:00+00:00")
    with Library.open(tmp_path / "other.sqlite") as other:
        other.put(make_food("quinces", {"XOWN": 1.0}))  # numbers its tags otherwise
        other.put_all([replace(FIGS, name="figs of theirs"), DATES, PLUMS], words="three foods")
        other.import_table(TableInfo(key="t", title="their table"), [make_food("1", {}, name="pear")], Progress())
    change = library.what_merging_changes(other.path)
    assert sorted(name for _id, name in change.new) == ["pear", "plums", "quinces"] and change.n_same == 1
    assert [(one.id, one.mine, one.theirs, one.newer) for one in change.differing] == [
        ("figs", "figs", "figs of theirs", "theirs")
    ]
    library.merge(other.path, choices, otherwise=otherwise)
    assert names(library) == sorted(["dates", figs, "pear", "plums", "quinces"])
    assert library.tables()["t"].title == "their table"
    quinces = library.food("quinces")
    assert quinces is not None and quinces.values["XOWN"].value == 1.0
    library.undo()
    assert names(library) == ["dates", "figs"] and library.tables() == {}


def test_the_file_is_one_sqlite_database_that_others_can_read(library: Library) -> None:
    with closing(sqlite3.connect(library.path)) as database:
        assert database.execute("SELECT name FROM sought ORDER BY name").fetchall() == [("dates",), ("figs",)]
        assert database.execute("PRAGMA journal_mode").fetchone() == ("delete",)  # safe on network folders
