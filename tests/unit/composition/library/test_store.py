"""The library as its users know it: what is kept is there again, every change can be taken back, imports are whole."""

import sqlite3
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, suppress
from pathlib import Path

import pytest
from msgspec.structs import replace

from tests.support import make_food
from workbench.base.progress import Cancelled, Progress
from workbench.composition.bundled import bundled_foods, row_hash
from workbench.composition.food import Food, Pack, Value
from workbench.composition.library import thinning
from workbench.composition.library.connection import LibraryBusy, LibraryError, connect
from workbench.composition.library.index import LibraryIndex
from workbench.composition.library.records import ImportSummary, Lot, MadeFrom, Rule, TableInfo
from workbench.composition.library.store import Library

FIGS = make_food("figs", {"WATER": 30.0, "SUGAR": 48.0}, origin="plant")
INFO = TableInfo(key="regional", title="Regional table", version="1", citation="A. Author, 2020")


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with Library.open(tmp_path / "library.sqlite") as opened:
        yield opened


def row(code: str, name: str, **facts: object) -> Food:
    values = {"WATER": Value(float(len(name)), "measured", "regional", code, n=3, sd=0.25, note="dry matter by oven")}
    return Food(id=code, name=name, values=values, group="fruit", **facts)  # type: ignore[arg-type]


def names(library: Library) -> list[str]:
    return sorted(food.name for food in library.foods())


# --- one's own foods --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("food_id", ["maize_grits", "honey", "milk_whole", "chia"])
def test_a_food_comes_back_as_it_was_kept(library: Library, food_id: str) -> None:
    food = next(food for key, food in bundled_foods().items() if key.startswith(food_id))
    library.put(food)
    with Library.open(library.path, readonly=True) as again:
        kept = again.food(food.id)
    assert kept is not None and kept.taken_from is not None
    assert replace(kept, taken_from=None) == replace(food, taken_from=None)
    assert (kept.taken_from.kind, kept.taken_from.row_hash) == ("library", row_hash(food))


def test_revisions_with_their_notes_newest_first(library: Library) -> None:
    library.put(FIGS, note="from the pack")
    library.put(replace(FIGS, packs=(Pack(500.0, 4.5, "EUR", "2026-03-01"),)), note="new price")
    newest, oldest = library.revisions("figs")
    assert (newest.note, oldest.note) == ("new price", "from the pack")
    assert oldest.entry is not None and oldest.entry.food == FIGS
    library.put(replace(FIGS, packs=(Pack(500.0, 4.5, "EUR", "2026-03-01"),)))
    assert len(library.revisions("figs")) == 2  # nothing new was said


def test_undo_and_redo_until_something_else_is_done(library: Library) -> None:
    library.put(FIGS)
    library.put(replace(FIGS, name="dried figs"))
    step = library.undo()
    assert step is not None and step.words == "“dried figs” kept"
    assert names(library) == ["figs"]
    assert library.redo() == step and names(library) == ["dried figs"]
    library.undo()
    library.put(FIGS)  # as it is: this changes nothing
    assert library.redo() == step and library.undo() == step
    library.set_note("figs", "from the market")
    assert library.redo() is None
    assert library.undo() is not None and library.undo() is not None and library.undo() is None
    assert names(library) == [] and library.index.having(["figs"]) == set()


def test_tags_notes_and_deliveries(library: Library) -> None:
    library.put(FIGS)
    library.put(make_food("dates", {}))
    library.set_tags("figs", ["race", " race ", "sticky", ""])
    library.set_lots("figs", [Lot(code="L17", supplier="mill", best_before="2027-01-31")])
    entry = library.entry("figs")
    assert entry is not None and entry.tags == ("race", "sticky") and entry.lots[0].code == "L17"
    assert [food.id for food in library.foods(tag="race")] == ["figs"]
    assert library.tags() == ["race", "sticky"]
    library.undo()
    library.undo()
    assert library.tags() == []


def test_a_food_that_something_is_made_of_can_only_be_deactivated(library: Library) -> None:
    library.put(FIGS)
    library.put(make_food("jam", {}), made_from=MadeFrom(recipe=b"{}", variant_id="v", foods={"figs": "abc"}))
    assert library.composites_of("figs") == ["jam"]
    with pytest.raises(LibraryError, match="composite ingredient is made of it"):
        library.delete("figs")
    library.deactivate("figs")
    assert names(library) == ["jam"] and library.food("figs") is not None
    library.reactivate("figs")
    assert names(library) == ["figs", "jam"]
    library.delete("jam")
    assert library.food("jam") is None and library.composites_of("figs") == []
    library.undo()
    assert library.composites_of("figs") == ["jam"]


def test_own_and_hidden_foods_beside_a_table(library: Library) -> None:
    library.put_all([FIGS, make_food("dates", {}), FIGS], words="three foods, one of them twice")
    library.import_table(INFO, [row("1", "Fig"), row("2", "Date")], Progress())
    library.deactivate("dates")
    library.deactivate("regional:2")

    def ids(**which: object) -> list[str]:
        return [entry.food.id for entry in library.entries(**which)]  # type: ignore[arg-type]

    assert ids(table="") == ["figs"] and ids(table="", inactive=True) == ["dates", "figs"]
    assert ids(inactive=True, active=False) == ["dates", "regional:2"]
    assert ids(table="regional") == ["regional:1"] and ids() == ["figs", "regional:1"]
    assert ids(active=False) == []


# --- tables -----------------------------------------------------------------------------------------------------------


def test_an_import_is_one_step_and_its_foods_name_table_and_code(library: Library) -> None:
    summary = library.import_table(INFO, (row(code, name) for code, name in (("1", "Fig"), ("2", "Date"))), Progress())
    assert summary == ImportSummary(added=2)
    food = library.food("regional:2")
    assert food is not None and food.id == "regional:2" and food.values["WATER"].n == 3
    assert food.taken_from is not None and food.taken_from.table_version == "1"
    assert library.tables() == {"regional": INFO}
    step = library.undo()
    assert step is not None and (step.words, step.n_foods) == ("import of Regional table", 2)
    assert names(library) == [] and library.tables() == {}
    library.redo()
    assert names(library) == ["Date", "Fig"] and library.tables() == {"regional": INFO}


def test_a_newer_edition_replaces_rows_and_keeps_what_the_user_said(library: Library) -> None:
    library.import_table(INFO, [row("1", "Fig"), row("2", "Date"), row("3", "Plum")], Progress())
    fig = library.food("regional:1")
    assert fig is not None
    library.put(replace(fig, origin="plant", roles=("inclusion",), values={"WATER": Value(99.0, "label", "own")}))
    library.set_tags("regional:1", ["race"])
    newer = replace(INFO, version="2")
    rows = [row("1", "Fig, ripe"), row("2", "Date"), row("4", "Pear")]
    summary = library.import_table(newer, rows, Progress())
    assert summary == ImportSummary(added=1, replaced=1, same=1, missing=1, overwritten=("Fig",))
    entry = library.entry("regional:1")
    assert entry is not None
    assert (entry.food.name, entry.food.origin, entry.food.roles) == ("Fig, ripe", "plant", ("inclusion",))
    assert entry.food.values["WATER"].value == 9.0 and entry.tags == ("race",)
    assert names(library) == ["Date", "Fig, ripe", "Pear"]
    gone = library.food("regional:3")
    assert gone is not None and gone.name == "Plum"  # projects may use it
    library.import_table(newer, [*rows, row("3", "Plum")], Progress())
    assert names(library) == ["Date", "Fig, ripe", "Pear", "Plum"]
    library.deactivate("regional:3")
    library.import_table(newer, [*rows, row("3", "Plum, dark")], Progress())
    assert "Plum, dark" not in names(library)  # hidden by the user, not by an edition


def test_a_code_that_stands_twice_is_named_and_nothing_is_imported(library: Library) -> None:
    with pytest.raises(LibraryError) as caught:
        library.import_table(INFO, [row("1", "Fig"), row("2", "Date"), row("1", "Fig, dried")], Progress())
    assert caught.value.summary == "The code 1 stands twice: “Fig” and “Fig, dried”."
    assert names(library) == [] and library.next_undo() is None
    with pytest.raises(LibraryError, match="“Plum” has no code"):
        library.import_table(INFO, [row(" ", "Plum")], Progress())


@pytest.mark.parametrize("stop_at", [0, 1, 150])
def test_an_import_that_is_stopped_leaves_the_library_as_it_was(library: Library, stop_at: int) -> None:
    library.import_table(INFO, [row("1", "Fig")], Progress())
    progress = Progress()

    def rows() -> Iterator[Food]:
        for k in range(200):
            progress.cancelled = k == stop_at
            yield row(str(k), f"food {k}")

    with pytest.raises(Cancelled):
        library.import_table(replace(INFO, version="2"), rows(), progress)
    assert names(library) == ["Fig"] and library.tables() == {"regional": INFO}
    assert library.import_table(INFO, [row("1", "Fig")], Progress()).same == 1  # nothing stands in its way


def test_an_import_may_run_in_another_thread_while_this_one_reads(library: Library) -> None:
    library.put(FIGS)
    begun, seen = threading.Event(), threading.Event()

    def rows() -> Iterator[Food]:
        begun.set()
        assert seen.wait(10)
        yield row("1", "Fig")

    with ThreadPoolExecutor() as pool:
        summary = pool.submit(library.import_table, INFO, rows(), Progress())
        assert begun.wait(10)
        assert names(library) == ["figs"]
        with pytest.raises(LibraryBusy, match="in this window since"):
            library.put(make_food("dates", {}))
        seen.set()
        assert summary.result() == ImportSummary(added=1)
    assert names(library) == ["Fig", "figs"]


def test_a_search_sees_one_moment_of_a_library_that_another_program_changes(library: Library) -> None:
    library.put_all([make_food("p", {}, name="plum"), make_food("j", {}, name="plum jam")], words="plums")
    tried: list[str] = []

    def forget_what_was_found(statement: str) -> None:
        if "sought.place = " in statement and "MATCH" not in statement and not tried:
            tried.append(statement)
            with suppress(sqlite3.OperationalError):  # not while somebody reads
                writing.execute("DELETE FROM sought")

    with (
        closing(connect(library.path, readonly=True, patience_s=1.0)) as reading,
        closing(sqlite3.connect(library.path, timeout=0.0, isolation_level=None)) as writing,
    ):
        reading.set_trace_callback(forget_what_was_found)
        assert [found.id for found in LibraryIndex(reading).find("plum")] == ["p", "j"]
    assert tried


def test_a_table_key_does_not_catch_another_that_begins_alike(library: Library) -> None:
    library.import_table(INFO, [row("1", "Fig")], Progress())
    library.import_table(replace(INFO, key="regional2"), [row("1", "Date")], Progress())
    library.import_table(INFO, [row("2", "Plum")], Progress())
    assert [food.name for food in library.foods(table="regional2")] == ["Date"]
    assert [food.name for food in library.foods(table="regional")] == ["Plum"]
    with pytest.raises(LibraryError, match="cannot be the key"):
        library.import_table(replace(INFO, key="a:b"), [], Progress())


def test_old_states_of_imported_foods_are_given_up_and_those_of_own_foods_kept(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(thinning, "MOST_STATES", 10)
    library.put(FIGS)
    library.put(replace(FIGS, name="dried figs"))
    for edition in range(1, 9):
        rows = [row(str(code), f"food {code} of edition {edition}") for code in range(4)]
        library.import_table(replace(INFO, version=str(edition)), rows, Progress())
    assert [one.entry.food.name for one in library.revisions("figs") if one.entry] == ["dried figs", "figs"]
    # The last three steps can be taken back however large they are; the state before them is needed for that.
    assert [one.entry.food.name[-1] for one in library.revisions("regional:1") if one.entry] == ["8", "7", "6", "5"]
    while library.undo() is not None:
        pass
    assert names(library) == ["dried figs", *(f"food {code} of edition 5" for code in range(4))]
    assert library.tables()["regional"].version == "5"
    while library.redo() is not None:
        pass
    assert names(library) == ["dried figs", *(f"food {code} of edition 8" for code in range(4))]


# --- rules ------------------------------------------------------------------------------------------------------------


def test_a_rule_states_facts_of_what_fits_and_is_taken_back_as_one(library: Library) -> None:
    rows = [row("1", "Fig, dried"), row("2", "Figwort"), row("3", "Fig, fresh", origin="mineral"), row("4", "Milk")]
    library.import_table(INFO, rows, Progress())
    assert library.apply_rule(Rule(table="regional", word="fig", origin="plant", contains=())) == 2
    said = {food.name: (food.origin, food.contains) for food in library.foods()}
    assert said == {
        "Fig, dried": ("plant", ()),
        "Fig, fresh": ("mineral", ()),  # it had said so itself
        "Figwort": ("unknown", None),  # another word
        "Milk": ("unknown", None),
    }
    library.import_table(replace(INFO, version="2"), rows, Progress())
    assert {food.name: food.origin for food in library.foods()}["Fig, dried"] == "plant"
    library.undo()
    library.undo()
    assert {food.contains for food in library.foods()} == {None}


def test_a_rule_for_everything_or_for_nothing_is_refused(library: Library) -> None:
    with pytest.raises(LibraryError, match="fits every food"):
        library.apply_rule(Rule(origin="plant"))
    with pytest.raises(LibraryError, match="states nothing"):
        library.apply_rule(Rule(word="fig"))
